#include "pack/seal.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "files/names.h"
#include "pack/container.h"
#include "pack/digest.h"
#include "pack/name.h"
#include "shop/check/text_checks.h"
#include "shop/document.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/part_book.h"
#include "shop/picture_file.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "shop/tip.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using shop::Kind;

bool among(const std::vector<std::string>& list, const std::string& word) {
  if (list.empty()) return true;
  const std::string folded = shop::fold(word);
  return std::any_of(list.begin(), list.end(),
                     [&](const std::string& one) { return shop::fold(one) == folded; });
}

// Why a text stays at home although it could travel: what leads to a customer never leaves.
std::string private_fault(const shop::Document& document, const std::string& path) {
  shop::Findings findings;
  shop::Notes notes(path, findings);
  shop::checking::check_lines(document, notes);
  for (const shop::Finding& finding : findings) {
    if (finding.rule == "vin") return fmt::format("line {}: {}", finding.line, finding.message);
  }
  return {};
}

// A picture as it goes into a pack: without what its file tells beside the picture, a place first
// of all. Nothing when what it tells cannot be cut out, because the file is damaged.
std::optional<std::string> plain_photo(std::string bytes) {
  shop::PictureFile file = shop::read_picture_file(bytes);
  if (!file.whole) return std::nullopt;
  if (!file.tells_more) return bytes;
  return std::move(file.plain);
}

Failure too_much() {
  return {Failure::Kind::too_large,
          {},
          "This is more than one pack holds",
          "seal one system after the other"};
}

class SealPlanner {
 public:
  SealPlanner(files::Disk& disk, std::string shop_folder, const Choice& choice)
      : disk_(disk), shop_(std::move(shop_folder)), choice_(choice) {}

  Result<SealPlan> plan() {
    auto listed = disk_.list(files::join(shop_, "tips"));
    if (!listed) return listed.failure();
    // Of several with one id the first is taken.
    std::sort(listed->begin(), listed->end(), [](const files::Listed& a, const files::Listed& b) {
      return shop::comes_first(a.path, b.path);
    });
    for (const files::Listed& one : *listed) {
      const std::string path = files::join("tips", one.path);
      if (one.status.folder || shop::kind_of(path) != Kind::tip) continue;
      if (const auto done = take_tip(path); !done) return done.failure();
    }
    for (const std::string& id : choice_.ids) {
      if (named_.count(id) == 0) leave("missing", id, "is no tip of this shop");
    }
    if (choice_.parts) {
      if (const auto done = take_parts(); !done) return done.failure();
    }
    if (choice_.photos) take_photos();
    drop_collisions();
    plan_.counts = choice_.counts;
    plan_.left_out = left_out_.list();
    std::stable_sort(plan_.left_out.begin(), plan_.left_out.end(),
                     [](const Reason& a, const Reason& b) { return a.path < b.path; });
    return std::move(plan_);
  }

 private:
  void leave(const char* rule, const std::string& path, std::string what) {
    left_out_.add(rule, path, std::move(what));
  }

  bool chosen(const shop::Tip& tip) {
    if (!choice_.ids.empty()) {
      bool found = false;
      for (const std::string& id : choice_.ids) {
        if (id != tip.id && id != tip.slug) continue;
        named_.insert(id);
        found = true;
      }
      if (!found) return false;
    } else if (tip.status == "draft") {
      return false;
    }
    return among(choice_.systems, tip.system) && among(choice_.authors, tip.author) &&
           tip.written >= choice_.since;
  }

  Result<void> take_tip(const std::string& path) {
    auto bytes = shop::read_text(disk_, shop_, path);
    if (!bytes) return bytes.failure();
    const shop::Document document = shop::Document::parse(std::move(*bytes));
    const shop::Tip tip = shop::read_tip(document, path);
    if (!chosen(tip)) return {};
    if (!take_text(Kind::tip, path, document)) return {};
    for (const shop::PartRef& part : tip.parts) parts_.push_back(part);
    for (const shop::Picture& picture : tip.pictures) pictures_.emplace_back(path, picture.file);
    return {};
  }

  // Part families by the family a tip names, or by brand and number.
  Result<void> take_parts() {
    shop::Findings findings;
    const shop::PartBook book = shop::read_parts(disk_, shop_, findings);
    std::map<std::string, const shop::PartFamily*> used;
    for (const shop::PartRef& part : parts_) {
      const shop::PartFamily* family = part.family.empty() ? nullptr : book.family(part.family);
      if (family != nullptr) used[family->path] = family;
      for (const shop::PartBook::Place& place : book.find(part.name).places)
        used[book.family(place).path] = &book.family(place);
    }
    for (const auto& [path, family] : used) {
      auto bytes = shop::read_text(disk_, shop_, path);
      if (!bytes) return bytes.failure();
      if (!take_text(Kind::part, path, shop::Document::parse(std::move(*bytes)))) continue;
      for (const shop::Picture& picture : family->pictures)
        pictures_.emplace_back(path, picture.file);
    }
    return {};
  }

  bool take_text(Kind kind, const std::string& path, const shop::Document& document) {
    const std::string& bytes = document.bytes();
    if (const Reason fault = text_fault(path, bytes); !fault.rule.empty()) {
      leave(fault.rule.c_str(), path, fault.what);
      return false;
    }
    if (const std::string fault = private_fault(document, path); !fault.empty()) {
      leave("private", path, fault);
      return false;
    }
    std::string id = written_id(bytes, kind);
    if (const auto [other, fresh] = ids_.emplace(std::pair(kind, collision_key(id)), path);
        !fresh) {
      leave("id", path, fmt::format("has the id of {}: give one of them another", other->second));
      return false;
    }
    plan_.texts.push_back({kind, path, std::move(id), written_title(bytes)});
    plan_.bytes += bytes.size();
    return true;
  }

  void take_photos() {
    std::set<std::string> photos;
    for (const auto& [text, name] : pictures_) {
      const std::string path = shop::picture_path(disk_, shop_, text, name);
      if (path.empty()) {
        leave("photo", text, fmt::format("shows `{}`, which is not there", name));
        continue;
      }
      if (photos.count(path) > 0) continue;
      const std::string fault = photo_fault(path);
      if (fault.empty()) {
        photos.insert(path);
      } else {
        leave("photo", path, fault);
      }
    }
    plan_.photos.assign(photos.begin(), photos.end());
  }

  std::string photo_fault(const std::string& path) {
    if (!is_photo_path(path)) return "is no JPEG or PNG, or lies where no picture goes";
    if (std::string fault = name_fault(path); !fault.empty()) return fault;
    const auto bytes = disk_.read(files::join(shop_, path), kPhotoInPack);
    if (!bytes) return bytes.failure().what;
    if (!is_photo(*bytes)) return "is no JPEG or PNG, whatever it is called";
    if (!plain_photo(*bytes)) return "is damaged, and what its file tells cannot be taken out";
    plan_.bytes += bytes->size();
    return {};
  }

  // Names that the other location's disk may take for one.
  void drop_collisions() {
    std::sort(plan_.texts.begin(), plan_.texts.end(),
              [](const SealText& a, const SealText& b) { return a.path < b.path; });
    std::map<std::string, std::string> seen;
    const auto taken = [&](const std::string& path) {
      const auto [other, fresh] = seen.emplace(collision_key(path), path);
      if (!fresh) {
        leave("name", path,
              fmt::format("and {} are one name on some disks: rename one", other->second));
      }
      return !fresh;
    };
    std::erase_if(plan_.texts, [&](const SealText& text) { return taken(text.path); });
    std::erase_if(plan_.photos, taken);
  }

  files::Disk& disk_;
  std::string shop_;
  const Choice& choice_;
  SealPlan plan_;
  Reasons left_out_;
  std::set<std::string> named_;  // of choice_.ids, those that are some tip's
  std::vector<shop::PartRef> parts_;
  std::vector<std::pair<std::string, std::string>> pictures_;  // text's path, name in it
  std::map<std::pair<Kind, std::string>, std::string> ids_;
};

// 1. Every file of the payload is read once for its check sum, pictures without what their files
// tell
//    beside the picture; texts stay in memory.
// 2. Manifests and signature are made.
// 3. Tag files and payload are written under a temporary name; a picture that is no longer what it
//    was ends it.
// 4. The file is read back as a stranger's would be. Only then it gets its name.
class Sealer {
 public:
  Sealer(files::Disk& disk, const std::string& shop_folder, const SealPlan& plan,
         const SealOptions& options, const SecretKey& key, const Progress& progress)
      : disk_(disk),
        shop_(shop_folder),
        plan_(plan),
        options_(options),
        key_(key),
        progress_(progress) {}

  Result<Sealed> seal(const std::string& folder) {
    Sealed sealed;
    sealed.name = options_.name;
    sealed.key = key_.public_key();
    sealed.path = files::join(folder, options_.name + ".bag.zip");
    if (const auto there = disk_.status(sealed.path)) {
      return Failure{Failure::Kind::exists, sealed.path, "is there already",
                     "give the pack another name"};
    }
    for (const auto step : {&Sealer::read_texts, &Sealer::read_photos, &Sealer::make_tags}) {
      if (auto done = (this->*step)(); !done) return done.failure();
    }
    const std::string temporary = files::join(folder, ".new-" + files::new_id());
    auto done = write(temporary);
    if (done) done = read_back(temporary);
    if (done) done = disk_.link(temporary, sealed.path);
    if (const auto removed = disk_.remove(temporary);
        done && !removed && removed.failure().kind != Failure::Kind::missing) {
      done = removed.failure();
    }
    if (done) {
      done = disk_.sync_folder(folder);
      // Its name would be taken at the next try, and might not outlive a stick that is pulled out.
      if (!done) static_cast<void>(disk_.remove(sealed.path));
    }
    if (!done) {
      Failure failure = done.failure();
      if (failure.path.empty() || failure.path == temporary) failure.path = sealed.path;
      return failure;
    }
    sealed.bytes = written_;
    return sealed;
  }

 private:
  Failure given_up() const {
    return {Failure::Kind::other, options_.name, "was given up", "start again when there is time"};
  }
  // The payload counts three times: for its check sums, written, and read back.
  bool go_on(std::uint64_t bytes) {
    done_ += bytes;
    return !progress_ || progress_(std::min(done_, plan_.bytes * 3), plan_.bytes * 3);
  }

  Result<void> read_texts() {
    std::string ancestry;
    std::uint64_t octets = 0;
    std::uint64_t lines = 0;
    std::set<std::string> tips;
    std::set<std::string> families;
    for (const SealText& text : plan_.texts) {
      auto bytes = shop::read_text(disk_, shop_, text.path);
      if (!bytes) return bytes.failure();
      const auto earlier = earlier_versions(disk_, shop_, text.id);
      if (!earlier) return earlier.failure();
      for (const std::string& hash : *earlier)
        ancestry += shop::csv_line({std::string(kind_word(text.kind)), text.id, hash}) + '\n';
      (text.kind == Kind::tip ? tips : families).insert(text.id);
      if (!go_on(bytes->size())) return given_up();
      octets += bytes->size();
      lines += static_cast<std::uint64_t>(std::count(bytes->begin(), bytes->end(), '\n'));
      if (octets > kTextsInPack / 10 * 9 || lines > kLinesInPack) return too_much();
      payload_.emplace("data/" + text.path, std::move(*bytes));
    }
    if (!ancestry.empty()) payload_.emplace(kAncestry, std::move(ancestry));
    if (!plan_.counts) return {};
    const auto today = shop::instant_of(options_.date + "T23:59:59Z");
    if (!today) {
      return Failure{Failure::Kind::other, options_.date, "is no day", "write it as 2026-03-14"};
    }
    const auto counts = count_outcomes(disk_, shop_, tips, families, *today);
    if (!counts) return counts.failure();
    payload_.emplace(kCounts, counts_text(*counts));
    return {};
  }

  Result<std::string> read_photo(const std::string& path) {
    auto bytes = disk_.read(files::join(shop_, path), kPhotoInPack);
    if (!bytes) return bytes;
    auto plain = plain_photo(std::move(*bytes));
    if (!plain) return changed(path);
    return std::move(*plain);
  }
  static Failure changed(const std::string& path) {
    return {Failure::Kind::damaged, path, "changed while it was sealed", "start again"};
  }

  Result<void> read_photos() {
    for (const std::string& path : plan_.photos) {
      const auto bytes = read_photo(path);
      if (!bytes) return bytes.failure();
      photos_["data/" + path] = {sha512_hex(*bytes), bytes->size()};
      if (!go_on(bytes->size())) return given_up();
    }
    return {};
  }

  Result<void> make_tags() {
    std::map<std::string, std::string> sums;
    std::uint64_t octets = 0;
    for (const auto& [path, bytes] : payload_) {
      sums[path] = sha512_hex(bytes);
      octets += bytes.size();
    }
    for (const auto& [path, photo] : photos_) {
      sums[path] = photo.sum;
      octets += photo.size;
    }
    std::string manifest;
    for (const auto& [path, sum] : sums) manifest += sum + "  " + path + '\n';
    const auto kinds = std::count_if(plan_.texts.begin(), plan_.texts.end(),
                                     [](const SealText& text) { return text.kind == Kind::tip; });
    const std::string info = fmt::format(
        "Source-Organization: {}\nBagging-Date: {}\nExternal-Identifier: {}\n"
        "External-Description: {} tips, {} part families, {} pictures\nPayload-Oxum: {}.{}\n"
        "Bag-Software-Agent: Baylore\n",
        one_line(options_.from), options_.date, options_.name, kinds,
        static_cast<std::ptrdiff_t>(plan_.texts.size()) - kinds, plan_.photos.size(), octets,
        sums.size());
    tags_ = {{std::string(kBagit), "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"},
             {std::string(kBagInfo), info},
             {std::string(kManifest), manifest},
             {std::string(kSigner), public_key_file(key_.public_key())}};
    std::string tag_manifest;
    for (const auto& [path, bytes] : tags_) tag_manifest += sha512_hex(bytes) + "  " + path + '\n';
    tags_.emplace_back(
        kSignature,
        key_.sign(tag_manifest, fmt::format("{} sealed {}", options_.name, options_.date)));
    tags_.emplace_back(kTagManifest, std::move(tag_manifest));
    return {};
  }

  // A value of bag-info.txt.
  static std::string one_line(std::string text) {
    std::replace_if(
        text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
    return text;
  }

  Result<void> write(const std::string& temporary) {
    auto output = disk_.create(temporary);
    if (!output) return output.failure();
    auto done = write_all(**output);
    if (done) done = (*output)->sync();
    const auto closed = (*output)->close();
    return done ? closed : done;
  }

  Result<void> write_all(files::Output& output) {
    ContainerWriter writer(output, options_.name);
    for (const auto& [path, bytes] : tags_) {
      if (auto done = writer.add(path, bytes); !done) return done;
    }
    for (const auto& [path, bytes] : payload_) {
      if (auto done = writer.add(path, bytes); !done) return done;
      if (!go_on(bytes.size())) return given_up();
    }
    for (const auto& [path, photo] : photos_) {
      const std::string here = path.substr(std::string_view("data/").size());
      const auto bytes = read_photo(here);
      if (!bytes) return bytes.failure();
      if (sha512_hex(*bytes) != photo.sum) return changed(here);
      if (auto done = writer.add(path, *bytes); !done) return done;
      if (!go_on(bytes->size())) return given_up();
    }
    return writer.finish();
  }

  Result<void> read_back(const std::string& temporary) {
    TrustedKeys own;
    own.keys.push_back({"here", {}, key_.public_key()});
    const std::uint64_t before = done_;
    const auto pack = open_pack(disk_, temporary, own, [&](std::uint64_t done, std::uint64_t) {
      done_ = before;
      return go_on(done);
    });
    if (!pack) return pack.failure();
    const bool whole = pack->verdict() == "trusted" && pack->refused.empty() &&
                       pack->texts.size() == plan_.texts.size() &&
                       pack->photos.size() == plan_.photos.size();
    if (whole) {
      const auto status = disk_.status(temporary);
      if (!status) return status.failure();
      written_ = status->size;
      return {};
    }
    const std::vector<Reason>& why = pack->reasons.empty() ? pack->refused : pack->reasons;
    return Failure{Failure::Kind::damaged,
                   {},
                   fmt::format("does not read back as it was written{}",
                               why.empty() ? "" : ": " + why.front().text()),
                   "try another disk or stick"};
  }

  struct Photo {
    std::string sum;
    std::uint64_t size = 0;
  };

  files::Disk& disk_;
  const std::string& shop_;
  const SealPlan& plan_;
  const SealOptions& options_;
  const SecretKey& key_;
  const Progress& progress_;
  std::map<std::string, std::string> payload_;  // path in the pack -> bytes
  std::map<std::string, Photo> photos_;
  std::vector<std::pair<std::string, std::string>> tags_;
  std::uint64_t done_ = 0;
  std::uint64_t written_ = 0;
};

}  // namespace

Result<SealPlan> plan_seal(files::Disk& disk, const std::string& shop_folder,
                           const Choice& choice) {
  return SealPlanner(disk, shop_folder, choice).plan();
}

Result<Sealed> seal(files::Disk& disk, const std::string& shop_folder, const SealPlan& plan,
                    const SealOptions& options, const SecretKey& key, const std::string& folder,
                    const Progress& progress) {
  if (plan.texts.empty()) {
    return Failure{Failure::Kind::other, {}, "There is nothing to seal", "choose some tips"};
  }
  // Room for the tag files is left.
  const ContainerLimits limits;
  if (plan.bytes > limits.all / 10 * 9 ||
      plan.texts.size() + plan.photos.size() > limits.entries / 10 * 9) {
    return too_much();
  }
  SealOptions named = options;
  if (named.name.empty()) {
    const std::string from = shop::slug_of(options.from);
    named.name = (from.empty() ? "pack" : from.substr(0, 40)) + "-" + options.date;
  }
  if (!files::is_id(named.name) || !name_fault(named.name).empty()) {
    return Failure{Failure::Kind::other, named.name, "is no name for a pack",
                   "use letters, digits, dots and dashes"};
  }
  return Sealer(disk, shop_folder, plan, named, key, progress).seal(folder);
}

}  // namespace baylore::pack
