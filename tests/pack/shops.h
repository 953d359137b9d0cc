// Small shops for the tests of packs.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "pack/accept.h"
#include "pack/confined.h"
#include "pack/pack.h"
#include "pack/preview.h"
#include "pack/seal.h"
#include "shop/shop.h"
#include "support/scratch.h"

namespace baylore::test {

// What these tests are about is behind the reading of containers; that it happens elsewhere is
// tested in container_confined_test.cc and by the command line.
inline const bool kReadsHere = (pack::read_containers_unconfined(), true);

// A file that begins and ends as a PNG does, with `content` where the pixels would be.
inline std::string png_of(const std::string& content) {
  std::string length;
  for (const unsigned shift : {24U, 16U, 8U, 0U})
    length += static_cast<char>((content.size() >> shift) & 0xFFU);
  return "\x89PNG\r\n\x1A\n" + length + "IDAT" + content + "sums" + std::string(4, '\0') +
         "IENDsums";
}
inline const std::string kPng = png_of("picture");
// And one as a JPEG does: `told`, when there is any, stands in a comment.
inline std::string jpeg_of(const std::string& content, const std::string& told = "") {
  const auto segment = [](char marker, const std::string& bytes) {
    const std::size_t length = bytes.size() + 2;
    return std::string("\xFF") + marker + static_cast<char>(length >> 8U) +
           static_cast<char>(length & 0xFFU) + bytes;
  };
  return "\xFF\xD8" + segment('\xDB', content) + (told.empty() ? "" : segment('\xFE', told)) +
         "\xFF\xD9";
}

inline std::string tip_text(const std::string& id, const std::string& title,
                            const std::string& more = "") {
  return "---\nid: " + id + "\ntitle: " + title +
         "\nsystem: cooling\nauthor: R. Okoro\nwritten: 2026-03-14\n---\n\n## Symptom\nLow "
         "tank.\n" +
         more;
}

// One location: a shop folder and a key.
class Location {
 public:
  explicit Location(std::string name) : name_(std::move(name)), key_(pack::SecretKey::make()) {
    put("shop.md", "---\nname: " + name_ + "\n---\n");
  }
  void put(const std::string& path, const std::string& bytes) {
    scratch_.put("shop/" + path, bytes);
  }
  [[nodiscard]] std::string get(const std::string& path) const {
    return scratch_.get("shop/" + path);
  }
  [[nodiscard]] bool has(const std::string& path) const { return scratch_.has("shop/" + path); }
  [[nodiscard]] std::string folder() const { return scratch_.path("shop"); }
  [[nodiscard]] const Scratch& scratch() const { return scratch_; }
  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] const pack::SecretKey& key() const { return key_; }

  void trusts(const Location& other) {
    REQUIRE(pack::trust(files::real_disk(), folder(), other.name(), other.key().public_key()).ok());
  }
  [[nodiscard]] pack::TrustedKeys trusted() const {
    const auto keys = pack::read_trusted(files::real_disk(), folder());
    REQUIRE(keys.ok());
    return *keys;
  }

  // Seals all tips, or some, beside the shop; the path of the pack.
  std::string seal(const std::string& pack_name, pack::Choice choice = {},
                   const std::string& date = "2026-03-20") {
    const auto plan = pack::plan_seal(files::real_disk(), folder(), choice);
    REQUIRE(plan.ok());
    last_plan = *plan;
    const auto sealed = pack::seal(files::real_disk(), folder(), *plan, {pack_name, date, name_},
                                   key_, scratch_.folder());
    REQUIRE_MESSAGE(sealed.ok(), sealed.failure().text());
    return sealed->path;
  }
  [[nodiscard]] pack::Pack open(const std::string& path) const {
    const auto opened = pack::open_pack(files::real_disk(), path, trusted());
    REQUIRE_MESSAGE(opened.ok(), opened.failure().text());
    return *opened;
  }

  // Everything a person could tell apart in the shop: the texts by kind and id.
  [[nodiscard]] std::map<pack::TextKey, std::string> texts() const {
    const auto found = pack::read_shop_texts(files::real_disk(), folder());
    REQUIRE(found.ok());
    std::map<pack::TextKey, std::string> all;
    for (const auto& [key, files] : found->by_id) {
      REQUIRE(files.size() == 1);
      all[key] = get(files.front().path);
    }
    return all;
  }
  // Every file of the shop but what is below received/ and history/.
  [[nodiscard]] std::map<std::string, std::string> files() const {
    std::map<std::string, std::string> all;
    for (const std::string& path : scratch_.files()) {
      if (!path.starts_with("shop/") || path.starts_with("shop/received/") ||
          path.starts_with("shop/history/")) {
        continue;
      }
      all[path] = scratch_.get(path);
    }
    return all;
  }
  // A person here changes a text.
  void edit(const std::string& path, const std::string& after) {
    const auto saved =
        shop::save_tip(files::real_disk(), folder(), path, has(path) ? get(path) : "", after);
    REQUIRE_MESSAGE(saved.ok(), saved.failure().text());
  }
  files::Result<pack::Outcome> try_accept(const std::string& path, pack::Accepting how = {},
                                          files::Disk& disk = files::real_disk()) {
    if (how.when.empty()) how.when = "2026-03-21T08:00:00Z";
    return pack::accept(disk, folder(), path, open(path), how);
  }
  pack::Outcome accept(const std::string& path, pack::Accepting how = {}) {
    const auto outcome = try_accept(path, std::move(how));
    REQUIRE_MESSAGE(outcome.ok(), outcome.failure().text());
    return *outcome;
  }
  pack::Outcome undo(const std::string& folder_name) {
    const auto outcome =
        pack::undo(files::real_disk(), folder(), folder_name, "LA", "2026-03-22T08:00:00Z");
    REQUIRE_MESSAGE(outcome.ok(), outcome.failure().text());
    return *outcome;
  }
  // "new heater; conflict squeal; ..." without what is the same.
  [[nodiscard]] std::string preview(const std::string& path) const {
    const auto seen = pack::preview(files::real_disk(), folder(), open(path));
    REQUIRE_MESSAGE(seen.ok(), seen.failure().text());
    std::string all;
    for (const pack::PreviewItem& item : seen->items) {
      if (item.change != pack::Change::same)
        all += std::string(pack::change_word(item.change)) + " " + item.key.second + "; ";
    }
    return all;
  }
  [[nodiscard]] std::vector<pack::OpenConflict> conflicts() const {
    const auto found = pack::open_conflicts(files::real_disk(), folder());
    REQUIRE(found.ok());
    return *found;
  }

  pack::SealPlan last_plan;

 private:
  Scratch scratch_;
  std::string name_;
  pack::SecretKey key_;
};

inline std::string listed(const std::vector<pack::Reason>& reasons) {
  std::string all;
  for (const pack::Reason& reason : reasons) all += reason.rule + " " + reason.path + "; ";
  return all;
}

}  // namespace baylore::test
