// Packs, from the container to the preview.
#include <algorithm>
#include <map>
#include <vector>

#include "files/names.h"
#include "fuzz/targets.h"
#include "pack/bag.h"
#include "pack/digest.h"
#include "pack/minisign.h"
#include "pack/name.h"
#include "pack/pack.h"
#include "pack/preview.h"
#include "support/zip_maker.h"

namespace baylore::fuzz {
namespace {

using Files = std::map<std::string, std::string>;

// Made for this file and known to everybody; it signs nothing else.
const pack::SecretKey& north() {
  static const pack::SecretKey key = *pack::SecretKey::read(
      "untrusted comment: for tests\n"
      "RWQAAEIyAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA654kX4VyTMlYIHhFdjYA"
      "tYg01ljszK8w6zEcIZoO/bbkzM/"
      "iVD3nakofyZJfJG6IvlpRFlLVJBBiXpdvb9NJk1aiWFUNOFNWlq9LLvopG32GvtmX50d7HIv57a41fWrdoy5f9gPydVk"
      "=\n");
  return key;
}

pack::TrustedKeys trusted() {
  pack::TrustedKeys keys;
  keys.keys.push_back({"north", {}, north().public_key()});
  return keys;
}

// A shop in memory that nobody can write to.
class Memory final : public files::Disk {
 public:
  explicit Memory(Files files) : files_(std::move(files)) {}
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    const auto found = files_.find(path);
    if (found == files_.end()) return missing(path);
    if (found->second.size() > limit) return no(path);
    return found->second;
  }
  files::Result<files::Status> status(const std::string& path) override {
    const auto found = files_.find(path);
    if (found == files_.end()) return missing(path);
    files::Status status;
    status.size = found->second.size();
    return status;
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    std::vector<files::Listed> all;
    for (const auto& [path, bytes] : files_) {
      if (!path.starts_with(folder + "/")) continue;
      files::Listed one;
      one.path = path.substr(folder.size() + 1);
      one.status.size = bytes.size();
      all.push_back(std::move(one));
    }
    return all;
  }
  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    return no(path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    return no(path);
  }
  files::Result<void> rename(const std::string&, const std::string& to) override { return no(to); }
  files::Result<void> link(const std::string&, const std::string& to) override { return no(to); }
  files::Result<void> remove(const std::string& path) override { return no(path); }
  files::Result<void> make_folder(const std::string& path) override { return no(path); }
  files::Result<void> sync_folder(const std::string& path) override { return no(path); }
  files::Result<std::string> read_end(const std::string& path, std::size_t) override {
    return no(path);
  }

 private:
  static files::Failure missing(const std::string& path) {
    return {files::Failure::Kind::missing, path, "is not there", ""};
  }
  static files::Failure no(const std::string& path) {
    return {files::Failure::Kind::denied, path, "is not to be", ""};
  }
  Files files_;
};

constexpr const char* kFirst =
    "---\nid: a\ntitle: A\ncodes:\n  - P0128\n---\n\n## Checks\n### B\n- expect: 1 V\n";

Files shop() {
  const std::string first = kFirst;
  return {{"shop/tips/a.md", first + "\n## Finish\n- one\n- two\n\n![x](x.png)\n"},
          {"shop/history/a/" + files::hash_hex(first) + ".md", first},
          {"shop/tips/x.png", "\x89PNG\r\n\x1A\n"},
          {"shop/parts/b.md", "---\nid: b\ntitle: B\n---\n\n## Numbers\n### Zenner 1\n"}};
}

// `path`, a line break, bytes; the next one behind the byte 1.
Files files_in(std::string_view bytes) {
  Files files;
  while (!bytes.empty()) {
    const std::string_view one = bytes.substr(0, bytes.find('\1'));
    bytes.remove_prefix(std::min(one.size() + 1, bytes.size()));
    const std::size_t line = std::min(one.find('\n'), one.size());
    files[std::string(one.substr(0, line))] = one.substr(std::min(line + 1, one.size()));
  }
  return files;
}

// A pack with this payload, and everything around it as it should be.
std::string sealed(const Files& payload) {
  Files all = {{"bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"},
               {"bag-info.txt", "Bagging-Date: 2026-03-20\n"}};
  std::string manifest;
  for (const auto& [path, bytes] : payload) {
    all["data/" + path] = bytes;
    manifest += pack::sha512_hex(bytes) + "  data/" + path + "\n";
  }
  all["manifest-sha512.txt"] = manifest;
  std::string tags;
  for (const auto& [path, bytes] : all) {
    if (!path.starts_with("data/")) tags += pack::sha512_hex(bytes) + "  " + path + "\n";
  }
  all["tagmanifest-sha512.txt"] = tags;
  all["tagmanifest-sha512.txt.minisig"] = north().sign(tags, "p1");
  test::ZipWhole whole;
  for (const auto& [path, bytes] : all) {
    if (path.size() > 60000) continue;
    test::ZipPart part;
    part.name = "p1/" + path;
    part.bytes = bytes;
    whole.parts.push_back(std::move(part));
  }
  return test::zip_of(whole);
}

std::string sound(const pack::Pack& opened) {
  if (opened.reasons.size() > pack::Reasons::kMost) return "more reasons than anybody reads";
  if (!opened.reasons.empty()) {
    if (!opened.texts.empty() || !opened.photos.empty() || !opened.counts.empty())
      return "something is taken of a refused pack";
    if (opened.verdict() != "refused" && opened.verdict() != "altered")
      return "refused, and is not";
    return {};
  }
  if (!files::is_id(opened.name)) return "a pack with a name that is none";
  for (const pack::PackText& text : opened.texts) {
    if (!pack::text_fault(text.path, text.bytes).rule.empty()) return "a text that may not travel";
    if (pack::written_id(text.bytes, text.kind) != text.id) return "a text under another id";
    if (files::hash_hex(text.bytes) != text.hash) return "a text under another hash";
  }
  for (const pack::PackPhoto& photo : opened.photos) {
    if (!pack::is_photo_path(photo.path) || !pack::name_fault(photo.path).empty() ||
        photo.size > pack::kPhotoInPack) {
      return "a picture that may not travel";
    }
  }
  for (const pack::Count& count : opened.counts) {
    if (count.name.empty() || count.failed > count.used) return "a count that cannot be";
  }
  return {};
}

std::string looked_at(const pack::Pack& opened) {
  Memory disk(shop());
  const auto seen = pack::preview(disk, "shop", opened);
  if (!seen) return "a preview fails: " + seen.failure().text();
  if (seen->items.size() != opened.texts.size()) return "a preview without all texts";
  for (const pack::PreviewItem& item : seen->items) {
    if (item.change == pack::Change::blocked) {
      if (item.why.empty()) return "blocked, and nobody knows why";
      continue;
    }
    if (shop::kind_of(item.path) != item.key.first) return "a text would go where none goes";
    const bool ours = item.path == "tips/a.md" || item.path == "parts/b.md";
    const std::string below = item.key.first == shop::Kind::part ? "parts" : "tips";
    if (!ours && !item.path.starts_with(below + "/received/" + item.key.second + "/"))
      return "a text would go elsewhere";
  }
  pack::PhotoPlan plan(disk, "shop", opened);
  std::vector<files::Failure> left;
  for (const pack::PackText& text : opened.texts) {
    for (const pack::PhotoWrite& photo : plan.writes(text, "tips/received/i/x.md", left)) {
      if (!pack::is_photo_path(photo.path) || !pack::name_fault(photo.path).empty())
        return "a picture would go where none goes";
      if (photo.path == "tips/x.png") return "a picture would go over ours";
    }
  }
  return {};
}

}  // namespace

// A container as it is; any other bytes as a payload that is sealed first, so that what is behind
// check sums and signature is reached too.
std::string pack(std::string_view bytes) {
  const bool container = bytes.starts_with("PK");
  const std::string made = container ? std::string(bytes) : sealed(files_in(bytes));
  const auto opened = pack::open_pack(*pack::open_bytes(made), trusted());
  if (!opened) return "bytes in memory cannot be read";
  if (std::string broken = sound(*opened); !broken.empty()) return broken;
  if (!container && opened->reasons.empty() && opened->verdict() != "trusted")
    return "north's signature is not north's";
  return opened->reasons.empty() ? looked_at(*opened) : std::string();
}

std::string bag(std::string_view bytes) {
  pack::BagContent content;
  std::vector<std::string> paths;
  const Files all = files_in(bytes);
  for (const auto& [path, its_bytes] : all) paths.push_back(path);
  const auto needed = pack::digests_needed(paths);
  for (const auto& [path, its_bytes] : all) {
    pack::Digests digests(needed);
    digests.take(its_bytes);
    content.files.push_back({path, its_bytes.size(), digests.finish()});
    if (path.starts_with("data/")) {
      content.has_data = true;
    } else {
      content.tags[path] = path.find('/') == std::string::npos ? its_bytes : std::string();
    }
  }
  const pack::Bag judged = pack::judge_bag(content);
  if (judged.reasons.size() > pack::Reasons::kMost) return "more reasons than anybody reads";
  if (judged.valid() && (judged.version.empty() || !content.has_data)) return "valid, and no bag";
  const auto reasons = pack::judge_pack(content, judged);
  if (!judged.valid() || !reasons.empty()) return {};
  // Every file of a pack is spoken for by a check sum that fits.
  const std::string& manifest = content.tags["manifest-sha512.txt"];
  for (const pack::BagFile& file : content.files) {
    if (!file.path.starts_with("data/")) continue;
    std::string lower = manifest;
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](char c) { return c >= 'A' && c <= 'F' ? static_cast<char>(c + 32) : c; });
    if (lower.find(file.digests.at("sha512")) == std::string::npos) return "a file unspoken for";
  }
  return {};
}

std::string minisign(std::string_view bytes) {
  if (const auto key = pack::read_public_key(bytes)) {
    if (pack::read_public_key(key->line()) != key) return "a key's line is another key";
    if (pack::read_public_key(pack::public_key_file(*key)) != key) return "a key's file is another";
  }
  if (const auto key = pack::SecretKey::read(bytes)) {
    const auto again = pack::SecretKey::read(key->file());
    if (!again || again->public_key() != key->public_key()) return "a secret key's file is another";
  }
  (void)pack::SecretKey::needs_passphrase(bytes);
  const auto signature = pack::read_signature(bytes);
  if (!signature) return {};
  if (signature->comment.find('\n') != std::string::npos) return "a comment of two lines";
  // Ed25519 gives one signature for one message: what holds is what north signed.
  if (!pack::is_signed("for tests", *signature, north().public_key())) return {};
  const auto made = pack::read_signature(north().sign("for tests", signature->comment));
  if (!made || made->of_bytes != signature->of_bytes) return "a signature that nobody made";
  return {};
}

}  // namespace baylore::fuzz
