#include "pack/bag.h"

#include <fmt/format.h>
#include <iconv.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <optional>
#include <set>

#include "files/names.h"
#include "pack/digest.h"
#include "pack/name.h"
#include "shop/scan.h"

namespace baylore::pack {
namespace {

using shop::scan::kByteOrderMark;
using shop::scan::lower;
using shop::scan::trimmed;

bool in_data(std::string_view path) { return path.starts_with("data/"); }

// "sha512" of `manifest-sha512.txt` and, with the other prefix, of `tagmanifest-sha512.txt`; empty
// for any other name.
std::string manifest_digest(std::string_view path, std::string_view prefix) {
  constexpr std::string_view kEnd = ".txt";
  if (!path.starts_with(prefix) || !path.ends_with(kEnd) ||
      path.size() <= prefix.size() + kEnd.size() || path.find('/') != std::string_view::npos) {
    return {};
  }
  return lower(path.substr(prefix.size(), path.size() - prefix.size() - kEnd.size()));
}

// The next line, taken off `text`. Lines end in LF, CR or CRLF; the last need not.
std::string_view take_tag_line(std::string_view& text) {
  const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
  const std::string_view line = text.substr(0, end);
  const bool both = text.substr(end).starts_with("\r\n");
  text.remove_prefix(std::min(end + (both ? 2 : 1), text.size()));
  return line;
}

// The encodings that are read. Not all that the C library knows: a bag from elsewhere would choose
// which of some hundred converters its bytes go through, and not all of them are safe with that.
bool is_encoding(const std::string& name) {
  static const std::set<std::string> kKnown = {"utf-8",    "utf-16", "utf-16be",    "utf-16le",
                                               "us-ascii", "ascii",  "iso-8859-1",  "iso-8859-15",
                                               "utf-32",   "latin1", "windows-1252"};
  return kKnown.count(lower(name)) > 0;
}

// The text in UTF-8; nothing when the bytes are not of the encoding.
std::optional<std::string> to_utf8(std::string_view bytes, const std::string& encoding) {
  if (lower(encoding) == "utf-8") {
    if (!is_utf8(bytes)) return std::nullopt;
    return std::string(bytes);
  }
  const iconv_t converter = ::iconv_open("UTF-8", encoding.c_str());
  if (converter == reinterpret_cast<iconv_t>(-1)) return std::nullopt;  // NOLINT
  std::string in(bytes);
  std::string out;
  std::array<char, 4096> piece{};
  char* from = in.data();
  std::size_t left = in.size();
  bool good = true;
  while (good && left > 0) {
    char* to = piece.data();
    std::size_t room = piece.size();
    const std::size_t done = ::iconv(converter, &from, &left, &to, &room);
    // A piece that is full is the one failure that goes on.
    good = done != static_cast<std::size_t>(-1) || errno == E2BIG;
    out.append(piece.data(), piece.size() - room);
  }
  ::iconv_close(converter);
  if (!good) return std::nullopt;
  return out;
}

// %0A, %0D and (from 1.0 on) %25 stand for a line feed, a carriage return and a per cent sign; any
// other per cent sign for itself.
std::string decoded(std::string_view path, bool also_percent) {
  std::string out;
  for (std::size_t at = 0; at < path.size(); ++at) {
    const std::string three = lower(path.substr(at, 3));
    const char meant = three == "%0a"                   ? '\n'
                       : three == "%0d"                 ? '\r'
                       : also_percent && three == "%25" ? '%'
                                                        : '\0';
    out += meant == '\0' ? path[at] : meant;
    if (meant != '\0') at += 2;
  }
  return out;
}

// Whether a path leads out of the bag. Other oddities are a bag's own affair.
bool leaves(std::string_view path) {
  if (path.empty() || path.front() == '/' || path.front() == '~' || path.front() == '\\')
    return true;
  if (path.size() > 1 && path[1] == ':') return true;
  std::size_t start = 0;
  while (true) {
    const std::size_t end = path.find_first_of("/\\", start);
    if (path.substr(start, end == std::string_view::npos ? end : end - start) == "..") return true;
    if (end == std::string_view::npos) return false;
    start = end + 1;
  }
}

// What follows the check sum and the blanks after it.
std::string_view manifest_path(std::string_view line) {
  const std::size_t blank = std::min(line.find_first_of(" \t"), line.size());
  return line.substr(std::min(line.find_first_not_of(" \t", blank), line.size()));
}

bool is_hex(std::string_view text) {
  return !text.empty() &&
         text.find_first_not_of("0123456789abcdefABCDEF") == std::string_view::npos;
}

bool is_pack_tag(std::string_view path) {
  static constexpr std::array<std::string_view, 6> kKnown = {kBagit,       kBagInfo,   kManifest,
                                                             kTagManifest, kSignature, kSigner};
  return std::find(kKnown.begin(), kKnown.end(), path) != kKnown.end();
}

using Listing = std::map<std::string, std::string>;  // path -> check sum

class Judge {
 public:
  explicit Judge(const BagContent& content) : content_(content) {
    for (const BagFile& file : content.files) by_path_[file.path] = &file;
  }

  Bag judge() {
    reasons_.add(content_.faults);
    read_declaration();
    if (!content_.has_data) reasons_.add("data", "data", "is not there: a bag has such a folder");
    read_info();
    const std::set<std::string> fetched = read_fetch();
    judge_payload(fetched);
    judge_tags();
    bag_.reasons = reasons_.list();
    return std::move(bag_);
  }

 private:
  void fault(std::string_view rule, std::string_view path, std::string what) {
    reasons_.add(std::string(rule), std::string(path), std::move(what));
  }

  // The bytes of a tag file as UTF-8 text; nothing, and said why, when it cannot be read so.
  std::optional<std::string> tag_text(const std::string& path) {
    const auto bytes = content_.tags.find(path);
    if (bytes == content_.tags.end()) return std::nullopt;
    auto text = to_utf8(bytes->second, bag_.encoding.empty() ? "UTF-8" : bag_.encoding);
    if (!text) fault("encoding", path, fmt::format("is not written in {}", shown_encoding()));
    return text;
  }
  std::string shown_encoding() const { return bag_.encoding.empty() ? "UTF-8" : bag_.encoding; }

  // bagit.txt: two lines, always in UTF-8, without a byte-order mark.
  void read_declaration() {
    const auto found = content_.tags.find(std::string(kBagit));
    if (found == content_.tags.end()) {
      fault("bagit.txt", kBagit, "is not there, so this is no bag");
      return;
    }
    const std::string_view text = found->second;
    if (text.starts_with(kByteOrderMark)) {
      fault("bagit.txt", kBagit, "begins with a byte-order mark");
      return;
    }
    std::vector<std::string_view> lines;
    // Two are right; the third tells that there are more.
    for (std::string_view rest = text; !rest.empty() && lines.size() < 3;)
      lines.push_back(take_tag_line(rest));
    constexpr std::string_view kVersion = "BagIt-Version:";
    constexpr std::string_view kEncoding = "Tag-File-Character-Encoding:";
    if (!is_utf8(text) || lines.size() != 2 || !lines[0].starts_with(kVersion) ||
        !lines[1].starts_with(kEncoding)) {
      fault("bagit.txt", kBagit,
            "is not the two lines `BagIt-Version: M.N` and `Tag-File-Character-Encoding: UTF-8`");
    }
    for (const std::string_view line : lines) {
      if (line.starts_with(kVersion))
        bag_.version = std::string(trimmed(line.substr(kVersion.size())));
      if (line.starts_with(kEncoding))
        bag_.encoding = std::string(trimmed(line.substr(kEncoding.size())));
    }
    static const std::set<std::string> kVersions = {"0.93", "0.94", "0.95", "0.96", "0.97", "1.0"};
    if (kVersions.count(bag_.version) == 0) {
      fault("version", kBagit, fmt::format("names the version `{}`, which is none", bag_.version));
    }
    newest_ = bag_.version == "1.0";
    if (!bag_.encoding.empty() && !is_encoding(bag_.encoding)) {
      fault("encoding", kBagit, fmt::format("names an unknown encoding, `{}`", bag_.encoding));
      bag_.encoding.clear();
    }
  }

  // bag-info.txt: `Label: value`, a line that begins with a blank goes on with the value before it.
  void read_info() {
    const auto text = tag_text(std::string(kBagInfo));
    if (!text) return;
    constexpr std::size_t kMost = 1000;
    for (std::string_view rest = *text; !rest.empty();) {
      const std::string_view line = take_tag_line(rest);
      if (trimmed(line).empty()) continue;
      if (bag_.info.size() >= kMost) {
        fault("bag-info", kBagInfo, fmt::format("has more than {} labels", kMost));
        break;
      }
      if ((line.front() == ' ' || line.front() == '\t') && !bag_.info.empty()) {
        bag_.info.back().second += ' ' + std::string(trimmed(line));
        continue;
      }
      const std::size_t colon = line.find(':');
      if (colon == std::string_view::npos || colon == 0) {
        fault("bag-info", kBagInfo, fmt::format("has a line that is no `Label: value`: {}", line));
        continue;
      }
      const std::string_view label = line.substr(0, colon);
      if (newest_ && trimmed(label) != label)
        fault("bag-info", kBagInfo, fmt::format("has blanks around the label `{}`", label));
      bag_.info.emplace_back(trimmed(label), trimmed(line.substr(colon + 1)));
    }
    judge_oxum();
  }

  // Payload-Oxum: octets and number of files of data/.
  void judge_oxum() {
    const std::string oxum = bag_.value("Payload-Oxum");
    if (oxum.empty()) return;
    std::uint64_t octets = 0;
    std::uint64_t count = 0;
    for (const BagFile& file : content_.files) {
      if (!in_data(file.path)) continue;
      octets += file.size;
      ++count;
    }
    const std::string seen = fmt::format("{}.{}", octets, count);
    if (oxum != seen) {
      fault("oxum", kBagInfo,
            fmt::format("says Payload-Oxum {}, and data/ comes to {}", oxum, seen));
    }
  }

  // `check sum, blanks, path` a line.
  Listing read_manifest(const std::string& path, const std::string& digest) {
    Listing listing;
    const auto text = tag_text(path);
    if (!text) return listing;
    std::string_view rest = *text;
    if (rest.starts_with(kByteOrderMark)) rest.remove_prefix(kByteOrderMark.size());
    while (!rest.empty()) {
      const std::string_view line = take_tag_line(rest);
      if (trimmed(line).empty()) continue;
      const std::size_t blank = std::min(line.find_first_of(" \t"), line.size());
      const std::string_view sum = line.substr(0, blank);
      std::string name = decoded(manifest_path(line), newest_);
      if (!is_hex(sum) || sum.size() != digest_digits(digest) || name.empty()) {
        fault("manifest", path, fmt::format("has a line that is no check sum and path: {}", line));
        continue;
      }
      if (name.starts_with("./")) name.erase(0, 2);
      if (leaves(name)) {
        fault("path", path, fmt::format("lists `{}`, which leads out of the bag", name));
        continue;
      }
      if (!listing.emplace(name, lower(sum)).second)
        fault("manifest", path, fmt::format("lists `{}` twice", name));
    }
    return listing;
  }

  void compare(const std::string& manifest, const std::string& digest, const Listing& listing,
               const std::set<std::string>& fetched) {
    for (const auto& [name, sum] : listing) {
      const auto file = by_path_.find(name);
      if (file == by_path_.end()) {
        fault("missing", name,
              fetched.count(name) > 0 ? "is listed and still has to be fetched"
                                      : fmt::format("is listed in {} and is not there", manifest));
        continue;
      }
      const auto seen = file->second->digests.find(digest);
      if (seen == file->second->digests.end() || seen->second != sum)
        fault("checksum", name, fmt::format("is not what {} says: it was changed", manifest));
    }
  }

  std::set<std::string> read_fetch() {
    std::set<std::string> fetched;
    const auto text = tag_text("fetch.txt");
    if (!text) return fetched;
    for (std::string_view rest = *text; !rest.empty();) {
      const std::string_view line = take_tag_line(rest);
      if (trimmed(line).empty()) continue;
      // Address, length or `-`, path.
      const std::size_t first = std::min(line.find_first_of(" \t"), line.size());
      const std::size_t length = std::min(line.find_first_not_of(" \t", first), line.size());
      const std::size_t second = std::min(line.find_first_of(" \t", length), line.size());
      const std::size_t start = std::min(line.find_first_not_of(" \t", second), line.size());
      std::string name = decoded(line.substr(start), newest_);
      if (name.starts_with("./")) name.erase(0, 2);
      if (name.empty()) {
        fault("fetch", "fetch.txt",
              fmt::format("has a line that is no address and path: {}", line));
      } else if (leaves(name) || !in_data(name)) {
        fault("path", "fetch.txt", fmt::format("names `{}`, which is outside of data/", name));
      } else {
        fetched.insert(std::move(name));
      }
    }
    return fetched;
  }

  void judge_payload(const std::set<std::string>& fetched) {
    std::set<std::string> listed;
    bool any = false;
    for (const auto& [path, bytes] : content_.tags) {
      const std::string digest = manifest_digest(path, "manifest-");
      if (digest.empty()) continue;
      if (!is_digest(digest)) {
        fault("algorithm", path, fmt::format("uses the check sum `{}`, which is unknown", digest));
        continue;
      }
      any = true;
      const Listing listing = read_manifest(path, digest);
      for (const auto& [name, sum] : listing) {
        if (!in_data(name)) {
          fault("path", path, fmt::format("lists `{}`, which is outside of data/", name));
        }
        listed.insert(name);
      }
      compare(path, digest, listing, fetched);
      // From 1.0 on every manifest lists every file; before, any one of them.
      if (!newest_) continue;
      for (const BagFile& file : content_.files) {
        if (in_data(file.path) && listing.count(file.path) == 0)
          fault("not-listed", file.path, fmt::format("is in no line of {}", path));
      }
    }
    if (!any) fault("manifest", {}, "There is no payload manifest, so nothing can be checked");
    for (const std::string& name : fetched) {
      if (listed.count(name) == 0)
        fault("fetch", "fetch.txt", fmt::format("names `{}`, which no manifest lists", name));
    }
    if (newest_ || !any) return;
    for (const BagFile& file : content_.files) {
      if (in_data(file.path) && listed.count(file.path) == 0)
        fault("not-listed", file.path, "is in no manifest");
    }
  }

  void judge_tags() {
    for (const auto& [path, bytes] : content_.tags) {
      const std::string digest = manifest_digest(path, "tagmanifest-");
      if (digest.empty()) continue;
      if (!is_digest(digest)) {
        fault("algorithm", path, fmt::format("uses the check sum `{}`, which is unknown", digest));
        continue;
      }
      const Listing listing = read_manifest(path, digest);
      for (const auto& [name, sum] : listing) {
        if (in_data(name) || !manifest_digest(name, "tagmanifest-").empty())
          fault("path", path, fmt::format("lists `{}`, which no tag manifest may", name));
      }
      compare(path, digest, listing, {});
      if (!newest_) continue;
      for (const auto& [other, its_bytes] : content_.tags) {
        if (!manifest_digest(other, "manifest-").empty() && listing.count(other) == 0)
          fault("not-listed", other, fmt::format("is in no line of {}", path));
      }
    }
  }

  const BagContent& content_;
  std::map<std::string_view, const BagFile*> by_path_;
  bool newest_ = false;  // version 1.0
  Bag bag_;
  Reasons reasons_;
};

}  // namespace

std::vector<std::string> digests_needed(const std::vector<std::string>& paths) {
  std::set<std::string> needed;
  for (const std::string& path : paths) {
    for (const std::string_view prefix : {"manifest-", "tagmanifest-"}) {
      const std::string digest = manifest_digest(path, prefix);
      if (is_digest(digest)) needed.insert(digest);
    }
  }
  return {needed.begin(), needed.end()};
}

files::Result<BagContent> read_bag_folder(files::Disk& disk, const std::string& folder) {
  // A file is held whole while its check sums are made, a tag file until the bag is judged.
  constexpr std::uint64_t kFileLimit = 128U << 20U;
  constexpr std::uint64_t kAllTags = 64U << 20U;
  std::uint64_t tags = 0;
  const auto listed = disk.list_all(folder);
  if (!listed) return listed.failure();
  BagContent content;
  std::vector<std::string> paths;
  for (const files::Listed& one : *listed) paths.push_back(one.path);
  const std::vector<std::string> needed = digests_needed(paths);
  for (const files::Listed& one : *listed) {
    if (one.status.folder && !one.status.link) {
      if (one.path == "data") content.has_data = true;
      if (one.status.unreadable)
        content.faults.push_back({"unreadable", one.path, "is a folder closed to us"});
      continue;
    }
    if (one.status.link || one.status.other) {
      content.faults.push_back({"link", one.path, "is a link or a device, not a file"});
      continue;
    }
    const bool tag = !in_data(one.path);
    auto bytes = disk.read(files::join(folder, one.path), tag ? kTagLimit : kFileLimit);
    if (!bytes) {
      content.faults.push_back({"unreadable", one.path, bytes.failure().what});
      continue;
    }
    Digests digests(needed);
    digests.take(*bytes);
    content.files.push_back({one.path, bytes->size(), digests.finish()});
    if (!tag) continue;
    // Below other folders a tag file means nothing to us; that it is there does.
    const bool read = one.path.find('/') == std::string::npos;
    if (read) tags += bytes->size();
    if (tags > kAllTags) {
      content.faults.push_back(
          {"size", {}, fmt::format("The tag files come to more than {} MiB", kAllTags >> 20U)});
      break;
    }
    content.tags.emplace(one.path, read ? std::move(*bytes) : std::string());
  }
  return content;
}

std::string Bag::value(std::string_view label) const {
  const std::string wanted = lower(label);
  for (const auto& [name, its_value] : info) {
    if (lower(name) == wanted) return its_value;
  }
  return {};
}

Bag judge_bag(const BagContent& content) { return Judge(content).judge(); }

std::vector<Reason> judge_tag_names(const std::vector<std::string>& paths) {
  Reasons reasons;
  for (const std::string& path : paths) {
    if (in_data(path)) continue;
    if (path == "fetch.txt") {
      reasons.add("fetch", path, "asks for files from elsewhere: a pack brings all it has");
    } else if (!is_pack_tag(path)) {
      reasons.add("not-a-pack", path, "is no file that a pack has");
    }
  }
  return reasons.list();
}

std::vector<Reason> judge_pack(const BagContent& content, const Bag& bag) {
  Reasons reasons;
  if (!bag.version.empty() && bag.version != "1.0") {
    reasons.add("version", std::string(kBagit),
                fmt::format("is version {}: a pack is a bag of version 1.0", bag.version));
  }
  if (!bag.encoding.empty() && lower(bag.encoding) != "utf-8")
    reasons.add("encoding", std::string(kBagit), "is not UTF-8: a pack is");
  std::vector<std::string> paths;
  for (const auto& [path, bytes] : content.tags) paths.push_back(path);
  reasons.add(judge_tag_names(paths));
  for (const std::string_view path : {kManifest, kTagManifest, kBagInfo}) {
    if (content.tags.count(std::string(path)) == 0)
      reasons.add("missing", std::string(path), "is not there: a pack has it");
  }
  for (const std::string_view path : {kManifest, kTagManifest}) {
    const auto listing = content.tags.find(std::string(path));
    if (listing == content.tags.end()) continue;
    for (std::string_view rest = listing->second; !rest.empty();) {
      const std::string_view line = take_tag_line(rest);
      if (manifest_path(line).starts_with("./"))
        reasons.add("path", std::string(path),
                    fmt::format("has a path that begins with `./`: {}", line));
    }
  }
  // What the signature speaks for: every tag file but the tag manifest and the signature.
  if (const auto listing = content.tags.find(std::string(kTagManifest));
      listing != content.tags.end()) {
    std::set<std::string, std::less<>> named;
    for (std::string_view rest = listing->second; !rest.empty();) {
      const std::string_view path = manifest_path(take_tag_line(rest));
      if (is_pack_tag(path)) named.emplace(path);
    }
    for (const auto& [path, bytes] : content.tags) {
      if (path != kTagManifest && path != kSignature && named.count(path) == 0)
        reasons.add("not-listed", path, fmt::format("is in no line of {}", kTagManifest));
    }
  }
  std::map<std::string, std::string> keys;
  for (const BagFile& file : content.files) {
    if (const std::string fault = name_fault(file.path); !fault.empty())
      reasons.add("name", file.path, fault);
    const auto [other, fresh] = keys.emplace(collision_key(file.path), file.path);
    if (!fresh) {
      reasons.add("name", file.path,
                  fmt::format("and `{}` are one name on some disks", other->second));
    }
  }
  return reasons.list();
}

}  // namespace baylore::pack
