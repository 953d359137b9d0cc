#include "pack/pack.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "files/names.h"
#include "pack/confined.h"
#include "pack/digest.h"
#include "pack/name.h"
#include "shop/records.h"
#include "shop/scan.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;
using shop::Kind;

constexpr std::string_view kData = "data/";
constexpr std::size_t kPhotoHead = 8;

// The path below data/; empty for what lies elsewhere.
std::string_view below_data(std::string_view path) {
  return path.starts_with(kData) ? path.substr(kData.size()) : std::string_view();
}

bool is_text_path(std::string_view path) {
  const Kind kind = shop::kind_of(path);
  return kind == Kind::tip || kind == Kind::part;
}

// A file of the payload whose bytes are kept for later.
bool is_kept(std::string_view path) {
  return path == kAncestry || path == kCounts || is_text_path(below_data(path));
}

// What one reading of a container gives: a bag's content, and the payload's texts, unparsed.
struct Contents {
  BagContent bag;
  std::map<std::string, std::string> kept;   // texts of the payload, by path in the pack
  std::map<std::string, std::string> heads;  // the first bytes of the other files
  std::vector<Reason> reasons;
};

// Reads all of a container once.
class ContainerReader {
 public:
  // Only what a pack has, or any bag.
  enum class Frame { pack, bag };
  ContainerReader(Container& container, Frame frame, const Progress& progress)
      : container_(container), frame_(frame), progress_(progress) {}

  Result<Contents> read() {
    const auto listing = container_.list();
    if (!listing) return listing.failure();
    name_ = listing->name;
    contents_.reasons = listing->reasons;
    if (!contents_.reasons.empty()) return std::move(contents_);
    std::vector<std::string> paths;
    for (const ContainerEntry& entry : listing->entries) {
      paths.push_back(entry.path);
      all_ += entry.size;
      if (entry.path.starts_with(kData) || entry.path == "data") contents_.bag.has_data = true;
    }
    // What is refused in any case is not unpacked first.
    judge_sizes(listing->entries);
    if (frame_ == Frame::pack) {
      const auto more = judge_tag_names(paths);
      contents_.reasons.insert(contents_.reasons.end(), more.begin(), more.end());
    }
    if (!contents_.reasons.empty()) return std::move(contents_);
    needed_ = digests_needed(paths);
    const auto reasons = container_.read([&](const ContainerEntry& entry, std::string_view piece,
                                             bool last) { return take(entry, piece, last); });
    if (!reasons) return reasons.failure();
    if (given_up_)
      return Failure{Failure::Kind::other, {}, "was given up", "start again when there is time"};
    contents_.reasons.insert(contents_.reasons.end(), reasons->begin(), reasons->end());
    std::sort(contents_.bag.files.begin(), contents_.bag.files.end(),
              [](const BagFile& a, const BagFile& b) { return a.path < b.path; });
    return std::move(contents_);
  }
  [[nodiscard]] const std::string& name() const { return name_; }

 private:
  // Tag files and texts are kept whole; of the others the first bytes tell what they are.
  static bool is_whole(const ContainerEntry& entry) {
    const bool tag = !entry.path.starts_with(kData);
    return (tag && entry.path.find('/') == std::string::npos) || is_kept(entry.path);
  }

  // A container never gives more bytes than it lists.
  void judge_sizes(const std::vector<ContainerEntry>& entries) {
    Reasons reasons;
    std::uint64_t whole = 0;
    for (const ContainerEntry& entry : entries) {
      if (entry.folder || !is_whole(entry)) continue;
      const bool text = is_text_path(below_data(entry.path));
      if (entry.size > (text ? kTextInPack : kTagLimit))
        reasons.add("size", entry.path, "is larger than such a file can be");
      whole += entry.size;
    }
    if (whole > kTextsInPack) {
      reasons.add("size", {},
                  fmt::format("The texts come to more than {} MiB", kTextsInPack >> 20U));
    }
    contents_.reasons.insert(contents_.reasons.end(), reasons.list().begin(), reasons.list().end());
  }

  bool take(const ContainerEntry& entry, std::string_view piece, bool last) {
    if (!digests_) {
      digests_.emplace(needed_);
      bytes_of_file_.clear();
    }
    digests_->take(piece);
    done_ += piece.size();
    bytes_of_file_ +=
        is_whole(entry) ? piece
                        : piece.substr(0, kPhotoHead - std::min(kPhotoHead, bytes_of_file_.size()));
    if (last) finish(entry);
    if (progress_ && !progress_(done_, all_)) given_up_ = true;
    return !given_up_;
  }

  void finish(const ContainerEntry& entry) {
    contents_.bag.files.push_back({entry.path, entry.size, digests_->finish()});
    digests_.reset();
    const bool whole = is_whole(entry);
    if (!entry.path.starts_with(kData)) {
      contents_.bag.tags.emplace(entry.path, whole ? std::move(bytes_of_file_) : std::string());
    } else if (whole) {
      contents_.kept.emplace(entry.path, std::move(bytes_of_file_));
    } else {
      contents_.heads.emplace(entry.path, std::move(bytes_of_file_));
    }
    bytes_of_file_.clear();
  }

  Container& container_;
  Frame frame_;
  const Progress& progress_;
  std::string name_;
  Contents contents_;
  std::vector<std::string> needed_;
  std::optional<Digests> digests_;  // of the file at hand
  std::string bytes_of_file_;
  std::uint64_t done_ = 0;
  std::uint64_t all_ = 0;
  bool given_up_ = false;
};

std::string too_many_lines(const Contents& contents) {
  std::uint64_t lines = 0;
  for (const auto& [path, bytes] : contents.kept) {
    if (is_text_path(below_data(path)))
      lines += static_cast<std::uint64_t>(std::count(bytes.begin(), bytes.end(), '\n'));
  }
  if (lines <= kLinesInPack) return {};
  return fmt::format("The texts have more than {} lines", kLinesInPack);
}

// The text forms inside a pack whose frame has been judged.
class PayloadReader {
 public:
  PayloadReader(Contents& contents, Pack& pack) : contents_(contents), pack_(pack) {}

  void read() {
    read_ancestry();
    for (const BagFile& file : contents_.bag.files) {
      if (file.path == kAncestry || file.path == kCounts || !file.path.starts_with(kData)) continue;
      const std::string path(below_data(file.path));
      if (const auto text = contents_.kept.find(file.path); text != contents_.kept.end()) {
        read_text(path, std::move(text->second));
      } else if (is_photo_path(path)) {
        read_photo(path, file);
      } else {
        refuse("not-taken", path, "is no tip, part family or picture, and is left out");
      }
    }
    drop_repeated();
    std::sort(pack_.texts.begin(), pack_.texts.end(), [](const PackText& a, const PackText& b) {
      return std::pair(a.kind, a.id) < std::pair(b.kind, b.id);
    });
    if (const auto counts = contents_.kept.find(std::string(kCounts));
        counts != contents_.kept.end()) {
      int refused = 0;
      pack_.counts = read_counts(counts->second, refused);
      if (refused > 0)
        refuse("counts", "counts.csv", fmt::format("has {} lines that cannot be", refused));
    }
    pack_.refused = refused_.list();
  }

 private:
  void refuse(const char* rule, const std::string& path, std::string what) {
    refused_.add(rule, path, std::move(what));
  }

  // `kind,id,hash` a line.
  void read_ancestry() {
    const auto found = contents_.kept.find(std::string(kAncestry));
    if (found == contents_.kept.end()) return;
    std::string_view rest = found->second;
    std::vector<std::string> fields;
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      const std::string_view line = rest.substr(0, end);
      rest.remove_prefix(std::min(end + 1, rest.size()));
      Kind kind = Kind::tip;
      if (!shop::read_csv_line(line, fields) || fields.size() != 3 || !read_kind(fields[0], kind))
        continue;
      constexpr std::size_t kDigits = 64;
      const bool hash = fields[2].size() == kDigits &&
                        fields[2].find_first_not_of("0123456789abcdef") == std::string::npos;
      if (hash) ancestry_[{kind, fields[1]}].insert(fields[2]);
    }
  }

  void read_text(const std::string& path, std::string bytes) {
    if (const Reason fault = text_fault(path, bytes); !fault.rule.empty())
      return refuse(fault.rule.c_str(), path, fault.what);
    PackText text;
    text.kind = shop::kind_of(path);
    text.id = written_id(bytes, text.kind);
    text.path = path;
    text.title = written_title(bytes);
    text.hash = files::hash_hex(bytes);
    text.ancestry = ancestry_[{text.kind, text.id}];
    text.ancestry.erase(text.hash);
    text.bytes = std::move(bytes);
    pack_.texts.push_back(std::move(text));
  }

  void read_photo(const std::string& path, const BagFile& file) {
    if (file.size > kPhotoInPack)
      return refuse("photo", path, fmt::format("is larger than {} MiB", kPhotoInPack >> 20U));
    if (!is_photo(contents_.heads[file.path]))
      return refuse("photo", path, "is no JPEG or PNG, whatever it is called");
    const auto sum = file.digests.find("sha512");
    pack_.photos.push_back({path, file.size, sum == file.digests.end() ? "" : sum->second});
  }

  // Two texts with one id, by any spelling that some disk takes for the same, are both left out:
  // which one is meant cannot be known.
  void drop_repeated() {
    std::map<std::pair<Kind, std::string>, int> count;
    for (const PackText& text : pack_.texts) ++count[{text.kind, collision_key(text.id)}];
    std::vector<PackText> kept;
    for (PackText& text : pack_.texts) {
      if (count[{text.kind, collision_key(text.id)}] == 1) {
        kept.push_back(std::move(text));
      } else {
        refuse("id", text.path, fmt::format("has an id that another file has too: {}", text.id));
      }
    }
    pack_.texts = std::move(kept);
  }

  Contents& contents_;
  Pack& pack_;
  Reasons refused_;
  std::map<TextKey, std::set<std::string>> ancestry_;
};

std::string text_of(const BagContent& content, std::string_view path) {
  const auto found = content.tags.find(std::string(path));
  return found == content.tags.end() ? std::string() : found->second;
}

}  // namespace

std::string_view signer_word(Signer signer) {
  switch (signer) {
    case Signer::trusted:
      return "trusted";
    case Signer::unknown:
      return "unknown";
    case Signer::nobody:
      return "unsigned";
    case Signer::altered:
      break;
  }
  return "altered";
}

Signed judge_signature(const BagContent& content, const TrustedKeys& trusted) {
  Signed found;
  if (content.tags.count(std::string(kSignature)) == 0) return found;
  found.signer = Signer::altered;
  const auto refuse = [&](std::string what) {
    found.reasons.push_back({"signature", std::string(kSignature), std::move(what)});
    return found;
  };
  const auto signature = read_signature(text_of(content, kSignature));
  if (!signature) return refuse("is no signature");
  found.key_id = key_id_text(signature->id);
  if (!signature->prehashed)
    return refuse("is in the legacy form: sign again with a newer minisign");
  const std::string signed_bytes = text_of(content, kTagManifest);
  if (const Trusted* location = trusted.find(signature->id)) {
    if (!is_signed(signed_bytes, *signature, location->key)) {
      return refuse(fmt::format("is not {}'s, whose key it names, or the pack was changed",
                                location->location));
    }
    found.signer = Signer::trusted;
    found.location = location->location;
    found.key = location->key;
    found.comment = signature->comment;
    return found;
  }
  if (content.tags.count(std::string(kSigner)) > 0) {
    const auto key = read_public_key(text_of(content, kSigner));
    if (!key || key->id != signature->id) return refuse("is not by the key that came with it");
    if (!is_signed(signed_bytes, *signature, *key))
      return refuse("does not fit: the pack was changed after it was signed");
    found.key = key;
    found.comment = signature->comment;
  }
  found.signer = Signer::unknown;
  return found;
}

std::string_view Pack::verdict() const {
  if (signature.signer == Signer::altered) return "altered";
  return reasons.empty() ? signer_word(signature.signer) : "refused";
}

namespace {

// The order matters: container, then check sums, then signature, and only then what the texts say.
Result<Pack> opened_pack(Container& container, const TrustedKeys& trusted,
                         const Progress& progress) {
  ContainerReader reader(container, ContainerReader::Frame::pack, progress);
  auto contents = reader.read();
  if (!contents) return contents.failure();
  Pack pack;
  pack.name = reader.name();
  Reasons reasons;
  reasons.add(contents->reasons);
  if (reasons.empty()) {
    pack.bag = judge_bag(contents->bag);
    reasons.add(pack.bag.reasons);
    reasons.add(judge_pack(contents->bag, pack.bag));
    pack.signature = judge_signature(contents->bag, trusted);
    reasons.add(pack.signature.reasons);
    pack.mark =
        sha512_hex(text_of(contents->bag, kTagManifest) + text_of(contents->bag, kSignature))
            .substr(0, 32);
  }
  if (std::string fault = too_many_lines(*contents); reasons.empty() && !fault.empty())
    reasons.add("size", {}, std::move(fault));
  pack.reasons = reasons.list();
  if (pack.reasons.empty()) PayloadReader(*contents, pack).read();
  return pack;
}

}  // namespace

Result<Pack> open_pack(files::Disk& disk, const std::string& path, const TrustedKeys& trusted,
                       const Progress& progress) {
  const auto container = open_container(disk, path);
  if (!container) return container.failure();
  return opened_pack(**container, trusted, progress);
}

Result<Pack> open_pack(ByteSource& bytes, const TrustedKeys& trusted, const Progress& progress) {
  return opened_pack(*container_here(bytes), trusted, progress);
}

Result<void> read_photos(files::Disk& disk, const std::string& path, const Pack& pack,
                         const std::set<std::string>& wanted, const TakePhoto& take) {
  if (wanted.empty()) return {};
  const auto container = open_container(disk, path);
  if (!container) return container.failure();
  const auto listing = (*container)->list();
  if (!listing) return listing.failure();
  if (!listing->reasons.empty()) {
    return Failure{Failure::Kind::damaged, path, listing->reasons.front().text(),
                   "copy it again and start anew"};
  }
  std::map<std::string_view, const PackPhoto*> by_path;
  for (const PackPhoto& photo : pack.photos) {
    if (wanted.count(photo.path) > 0) by_path[photo.path] = &photo;
  }
  const Failure changed{Failure::Kind::damaged, path, "was changed while it was read",
                        "copy it again and start anew"};
  std::optional<Failure> failure;
  std::string whole;
  const auto reasons =
      (*container)->read([&](const ContainerEntry& entry, std::string_view piece, bool last) {
        const auto photo = by_path.find(below_data(entry.path));
        if (photo == by_path.end()) return true;
        if (whole.size() + piece.size() > photo->second->size) {
          failure = changed;
          return false;
        }
        whole += piece;
        if (!last) return true;
        if (sha512_hex(whole) != photo->second->sha512) {
          failure = changed;
        } else if (const auto taken = take(*photo->second, whole); !taken) {
          failure = taken.failure();
        }
        whole.clear();
        by_path.erase(photo);
        return !failure;
      });
  if (!reasons) return reasons.failure();
  if (failure) return *failure;
  if (!reasons->empty() || !by_path.empty()) return changed;
  return {};
}

Result<Verified> verify(files::Disk& disk, const std::string& path, const TrustedKeys& trusted) {
  const auto status = disk.status(path);
  if (!status) return status.failure();
  Verified verified;
  Reasons reasons;
  BagContent content;
  if (status->folder) {
    auto read = read_bag_folder(disk, path);
    if (!read) return read.failure();
    content = std::move(*read);
  } else {
    const auto container = open_container(disk, path);
    if (!container) return container.failure();
    auto contents = ContainerReader(**container, ContainerReader::Frame::bag, nullptr).read();
    if (!contents) return contents.failure();
    reasons.add(contents->reasons);
    content = std::move(contents->bag);
  }
  if (reasons.empty()) {
    verified.bag = judge_bag(content);
    verified.no_pack = judge_pack(content, verified.bag);
    verified.signature = judge_signature(content, trusted);
    reasons.add(verified.bag.reasons);
    reasons.add(verified.signature.reasons);
  }
  verified.reasons = reasons.list();
  verified.sound = verified.reasons.empty();
  return verified;
}

bool is_photo_path(std::string_view path) {
  const std::string low = shop::scan::lower(path);
  const bool ending = low.ends_with(".png") || low.ends_with(".jpg") || low.ends_with(".jpeg");
  return ending &&
         (path.starts_with("photos/") || path.starts_with("tips/") || path.starts_with("parts/"));
}

bool is_photo(std::string_view bytes) {
  return bytes.starts_with("\x89PNG\r\n\x1A\n") || bytes.starts_with("\xFF\xD8\xFF");
}

}  // namespace baylore::pack
