#include "pack/zip_directory.h"

#include <fmt/format.h>

#include <algorithm>

namespace baylore::pack {
namespace {

using files::Result;

constexpr std::size_t kEndSize = 22;
constexpr std::size_t kEntrySize = 46;
constexpr std::size_t kHeaderSize = 30;
// Behind an entry whose sizes were not known before: signature, check sum, two sizes.
constexpr std::uint64_t kDescriptorSize = 16;
// Bytes of the directory, which is held whole: 60,000 entries with ordinary names need a third.
constexpr std::uint64_t kLargestDirectory = std::uint64_t{32} << 20U;
constexpr std::uint32_t kFlagDescriptor = 1U << 3U;
constexpr std::uint32_t kFlagUtf8 = 1U << 11U;
constexpr std::uint32_t kFlagsKnown = 6U | kFlagDescriptor | kFlagUtf8;  // 6: how it was deflated

std::uint32_t number(std::string_view bytes, std::size_t at, std::size_t size) {
  std::uint32_t value = 0;
  for (std::size_t i = size; i-- > 0;)
    value = (value << 8U) | static_cast<unsigned char>(bytes[at + i]);
  return value;
}
std::uint32_t two(std::string_view bytes, std::size_t at) { return number(bytes, at, 2); }
std::uint32_t four(std::string_view bytes, std::size_t at) { return number(bytes, at, 4); }

// What is wrong with the extra fields of an entry; empty when nothing is. Times and owners are let
// pass; what would give the entry another name, size or kind is not.
std::string extra_fault(std::string_view extra, std::string_view name) {
  while (!extra.empty()) {
    if (extra.size() < 4 || extra.size() - 4 < two(extra, 2)) return "has a torn extra field";
    const std::uint32_t kind = two(extra, 0);
    const std::string_view body = extra.substr(4, two(extra, 2));
    switch (kind) {
      case 0x000a:  // NTFS times
      case 0x5455:  // times
      case 0x5855:  // times and owner
      case 0x7855:
      case 0x7875:  // owner
        break;
      case 0x7075:  // the name once more, in UTF-8
        if (body.size() < 5 || body.substr(5) != name) return "has two names";
        break;
      default:
        return fmt::format("has an extra field of a kind that no pack has ({:#06x})", kind);
    }
    extra.remove_prefix(4 + body.size());
  }
  return {};
}

// Plain files and folders only, by the mode that Unix programs keep in the upper half.
std::string mode_fault(std::uint32_t attributes, bool folder) {
  constexpr std::uint32_t kKind = 0170000;
  constexpr std::uint32_t kFile = 0100000;
  constexpr std::uint32_t kFolder = 0040000;
  constexpr std::uint32_t kLink = 0120000;
  const std::uint32_t kind = (attributes >> 16U) & kKind;
  if (kind == kLink) return "is a link";
  if (kind != 0 && kind != kFile && kind != kFolder) return "is a device or a pipe";
  if (kind != 0 && (kind == kFolder) != folder)
    return "is a folder by its mode and a file by its name, or the reverse";
  if ((attributes & 0x08U) != 0) return "is a volume label";
  return {};
}

class Directory {
 public:
  Directory(ByteSource& bytes, const ContainerLimits& limits, Reasons& reasons)
      : bytes_(bytes), limits_(limits), reasons_(reasons) {}

  Result<std::vector<ZipEntry>> read() {
    std::vector<ZipEntry> none;
    if (bytes_.size() < kEndSize) return refuse("is no zip file"), none;
    const auto end = bytes_.read(bytes_.size() - kEndSize, kEndSize);
    if (!end) return end.failure();
    if (end->size() < kEndSize || four(*end, 0) != 0x06054b50) {
      refuse("is no zip file, or has a comment or other bytes behind its end");
      return none;
    }
    const std::uint64_t count = two(*end, 10);
    const std::uint64_t size = four(*end, 12);
    start_ = four(*end, 16);
    if (two(*end, 4) != 0 || two(*end, 6) != 0 || two(*end, 8) != count)
      return refuse("is one of several disks"), none;
    if (two(*end, 20) != 0) return refuse("has a comment, which a pack has not"), none;
    if (count == 0xFFFF || size == 0xFFFFFFFF || start_ == 0xFFFFFFFF)
      return refuse("is larger than a pack can be"), none;
    if (start_ + size != bytes_.size() - kEndSize)
      return refuse("has a directory that is not where it says"), none;
    if (count > limits_.entries)
      return refuse(fmt::format("holds {} files, and {} is the most", count, limits_.entries)),
             none;
    if (size > kLargestDirectory || size > count * (kEntrySize + 3 * std::uint64_t{1024}))
      return refuse("has a directory too large for its entries"), none;
    const auto directory = bytes_.read(start_, static_cast<std::size_t>(size));
    if (!directory) return directory.failure();
    if (directory->size() != size) return refuse("is torn"), none;
    std::string_view rest = *directory;
    for (std::uint64_t i = 0; i < count; ++i) {
      if (!read_entry(rest)) return none;
    }
    if (!rest.empty()) return refuse("has bytes in its directory that belong to nothing"), none;
    return judge_places();
  }

 private:
  // As one expression with what is returned.
  void refuse(std::string what) { reasons_.add("container", {}, "The file " + std::move(what)); }
  void refuse(const ZipEntry& entry, std::string rule, std::string what) {
    reasons_.add(std::move(rule), entry.name, std::move(what));
  }

  // One entry of the directory; false when what follows cannot be told.
  bool read_entry(std::string_view& rest) {
    if (rest.size() < kEntrySize || four(rest, 0) != 0x02014b50)
      return refuse("has a directory that cannot be read"), false;
    const std::size_t name = two(rest, 28);
    const std::size_t extra = two(rest, 30);
    const std::size_t comment = two(rest, 32);
    if (rest.size() - kEntrySize < name + extra + comment)
      return refuse("has a directory that cannot be read"), false;
    if (name > kLongestZipName) return refuse("has a name too long for any disk"), false;
    Seen seen;
    seen.entry.name = std::string(rest.substr(kEntrySize, name));
    seen.entry.folder = seen.entry.name.ends_with('/');
    seen.flags = two(rest, 8);
    seen.method = two(rest, 10);
    seen.sum = four(rest, 16);
    seen.entry.packed = four(rest, 20);
    seen.entry.size = four(rest, 24);
    seen.entry.at = four(rest, 42);
    const ZipEntry& entry = seen.entry;
    if ((seen.flags & ~kFlagsKnown) != 0)
      refuse(entry, "container", "is encrypted, or packed in a way that a pack is not");
    if (seen.method != 0 && seen.method != 8)
      refuse(entry, "container", "is packed in a way that a pack is not");
    if (seen.method == 0 && entry.packed != entry.size) refuse(entry, "size", "has two sizes");
    if (entry.folder && entry.size != 0) refuse(entry, "size", "is a folder with content");
    if (two(rest, 34) != 0) refuse(entry, "container", "lies on another disk");
    if (comment != 0) refuse(entry, "container", "has a comment, which a pack has not");
    if (const std::string fault = mode_fault(four(rest, 38), entry.folder); !fault.empty())
      refuse(entry, "link", fault);
    if (const std::string fault = extra_fault(rest.substr(kEntrySize + name, extra), entry.name);
        !fault.empty()) {
      refuse(entry, "container", fault);
    }
    judge_size(entry);
    rest.remove_prefix(kEntrySize + name + extra + comment);
    seen_.push_back(std::move(seen));
    return true;
  }

  void judge_size(const ZipEntry& entry) {
    constexpr std::uint64_t kSmall = std::uint64_t{1} << 20U;
    if (entry.size > limits_.one)
      refuse(entry, "size", fmt::format("is larger than {} MiB", limits_.one >> 20U));
    if (entry.size > kSmall && entry.size > entry.packed * limits_.ratio)
      refuse(entry, "size", fmt::format("unpacks to more than {} times itself", limits_.ratio));
    const bool fitted = all_ <= limits_.all;
    all_ += entry.size;
    if (fitted && all_ > limits_.all) {
      reasons_.add("size", {},
                   fmt::format("The file unpacks to more than {} MiB", limits_.all >> 20U));
    }
  }

  // Entries lie one behind the other from the first byte to the directory, each behind a header
  // that says the same as the directory.
  Result<std::vector<ZipEntry>> judge_places() {
    std::sort(seen_.begin(), seen_.end(),
              [](const Seen& a, const Seen& b) { return a.entry.at < b.entry.at; });
    std::vector<ZipEntry> entries;
    std::uint64_t end = 0;
    bool torn = false;
    for (const Seen& seen : seen_) {
      const ZipEntry& entry = seen.entry;
      if (entry.at != end) {
        refuse(entry, "container",
               "shares bytes with another entry, or bytes before it belong to nothing");
        torn = true;
        break;
      }
      const auto header = judge_header(seen);
      if (!header) return header.failure();
      if (*header == 0) {
        torn = true;
        break;
      }
      end = entry.at + *header + entry.packed;
      if ((seen.flags & kFlagDescriptor) != 0) {
        const auto size = descriptor_size(seen, end);
        if (!size) return size.failure();
        if (*size == 0) {
          torn = true;
          break;
        }
        end += *size;
      }
      entries.push_back(entry);
    }
    if (!torn && end != start_) refuse("has bytes before its directory that belong to nothing");
    return entries;
  }

  struct Seen {
    ZipEntry entry;
    std::uint32_t flags = 0;
    std::uint32_t method = 0;
    std::uint32_t sum = 0;
  };

  // What is said behind the entry may be zero before it, and nothing else.
  static bool said(std::uint32_t here, std::uint64_t in_directory, bool later) {
    return here == in_directory || (later && here == 0);
  }

  // The length of the header before the entry; 0, and said why, when it says something else.
  Result<std::uint64_t> judge_header(const Seen& seen) {
    const ZipEntry& entry = seen.entry;
    const auto bytes = bytes_.read(entry.at, kHeaderSize + entry.name.size() + 1024);
    if (!bytes) return bytes.failure();
    const std::string_view header = *bytes;
    if (header.size() < kHeaderSize || four(header, 0) != 0x04034b50)
      return refuse(entry, "container", "is not where the directory says"), std::uint64_t{0};
    const std::size_t name = two(header, 26);
    const std::size_t extra = two(header, 28);
    const bool later = (seen.flags & kFlagDescriptor) != 0;
    const bool same =
        two(header, 6) == seen.flags && two(header, 8) == seen.method &&
        header.substr(kHeaderSize, name) == entry.name && said(four(header, 14), seen.sum, later) &&
        said(four(header, 18), entry.packed, later) && said(four(header, 22), entry.size, later);
    if (!same)
      return refuse(entry, "container", "is another by its own header than by the directory"),
             std::uint64_t{0};
    if (extra > 1024 || header.size() < kHeaderSize + name + extra)
      return refuse(entry, "container", "has a torn header"), std::uint64_t{0};
    const std::string fault = extra_fault(header.substr(kHeaderSize + name, extra), entry.name);
    if (!fault.empty()) return refuse(entry, "container", fault), std::uint64_t{0};
    if (entry.at + kHeaderSize + name + extra + entry.packed > start_)
      return refuse(entry, "size", "reaches into the directory"), std::uint64_t{0};
    return kHeaderSize + name + extra;
  }

  // The length of what follows an entry's bytes; 0, and said why, when it says something else.
  Result<std::uint64_t> descriptor_size(const Seen& seen, std::uint64_t at) {
    const auto bytes = bytes_.read(at, kDescriptorSize);
    if (!bytes) return bytes.failure();
    const std::string_view found = *bytes;
    const bool same = found.size() == kDescriptorSize && four(found, 0) == 0x08074b50 &&
                      four(found, 4) == seen.sum && four(found, 8) == seen.entry.packed &&
                      four(found, 12) == seen.entry.size;
    if (same) return kDescriptorSize;
    return refuse(seen.entry, "container", "is another by what follows it than by the directory"),
           std::uint64_t{0};
  }

  ByteSource& bytes_;
  const ContainerLimits& limits_;
  Reasons& reasons_;
  std::uint64_t start_ = 0;  // of the directory
  std::uint64_t all_ = 0;    // unpacked bytes so far
  std::vector<Seen> seen_;
};

}  // namespace

Result<std::vector<ZipEntry>> read_zip_directory(ByteSource& bytes, const ContainerLimits& limits,
                                                 Reasons& reasons) {
  return Directory(bytes, limits, reasons).read();
}

}  // namespace baylore::pack
