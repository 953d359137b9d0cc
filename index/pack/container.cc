#include "pack/container.h"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>
#include <locale.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <ctime>
#include <map>
#include <optional>

#include "files/names.h"
#include "pack/name.h"
#include "pack/zip_directory.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;

class FileBytes final : public ByteSource {
 public:
  FileBytes(files::Disk& disk, std::string path, std::uint64_t size)
      : disk_(disk), path_(std::move(path)), size_(size) {}
  [[nodiscard]] std::uint64_t size() const override { return size_; }
  Result<std::string> read(std::uint64_t offset, std::size_t count) override {
    // Near each other: headers are many and small.
    constexpr std::size_t kAhead = std::size_t{1} << 18U;
    if (offset < kept_at_ || offset + count > kept_at_ + kept_.size()) {
      auto bytes = disk_.read_part(path_, offset, std::max(count, kAhead));
      if (!bytes) return bytes.failure();
      kept_ = std::move(*bytes);
      kept_at_ = offset;
    }
    return kept_.substr(static_cast<std::size_t>(offset - kept_at_), count);
  }

 private:
  files::Disk& disk_;
  std::string path_;
  std::uint64_t size_;
  std::string kept_;
  std::uint64_t kept_at_ = 0;
};

class MemoryBytes final : public ByteSource {
 public:
  explicit MemoryBytes(std::string_view bytes) : bytes_(bytes) {}
  [[nodiscard]] std::uint64_t size() const override { return bytes_.size(); }
  Result<std::string> read(std::uint64_t offset, std::size_t count) override {
    if (offset >= bytes_.size()) return std::string();
    return std::string(bytes_.substr(static_cast<std::size_t>(offset), count));
  }

 private:
  std::string_view bytes_;
};

// What libarchive reads through.
struct Reading {
  ByteSource& bytes;
  std::uint64_t at = 0;
  std::string piece;
  std::optional<Failure> failure;
};

la_ssize_t read_piece(archive*, void* data, const void** into) {
  constexpr std::size_t kPiece = std::size_t{1} << 17U;
  auto& reading = *static_cast<Reading*>(data);
  auto piece = reading.bytes.read(reading.at, kPiece);
  if (!piece) {
    reading.failure = piece.failure();
    return ARCHIVE_FATAL;
  }
  reading.piece = std::move(*piece);
  reading.at += reading.piece.size();
  *into = reading.piece.data();
  return static_cast<la_ssize_t>(reading.piece.size());
}

la_int64_t seek_piece(archive*, void* data, la_int64_t offset, int whence) {
  auto& reading = *static_cast<Reading*>(data);
  const auto size = static_cast<la_int64_t>(reading.bytes.size());
  la_int64_t from = 0;
  if (whence == SEEK_CUR) from = static_cast<la_int64_t>(reading.at);
  if (whence == SEEK_END) from = size;
  const la_int64_t to = from + offset;
  if (to < 0 || to > size) return ARCHIVE_FATAL;
  reading.at = static_cast<std::uint64_t>(to);
  return to;
}

la_int64_t skip_piece(archive*, void* data, la_int64_t count) {
  auto& reading = *static_cast<Reading*>(data);
  const auto left = static_cast<la_int64_t>(reading.bytes.size() - reading.at);
  const la_int64_t skipped = std::clamp<la_int64_t>(count, 0, left);
  reading.at += static_cast<std::uint64_t>(skipped);
  return skipped;
}

struct FreeReader {
  void operator()(archive* one) const { archive_read_free(one); }
};
struct FreeWriter {
  void operator()(archive* one) const { archive_write_free(one); }
};
struct FreeEntry {
  void operator()(archive_entry* one) const { archive_entry_free(one); }
};

// libarchive takes names for what the thread's locale says; ours are UTF-8.
locale_t utf8_locale() {
  // Loaded once and kept: loading opens files.
  static const locale_t locale = ::newlocale(LC_CTYPE_MASK, "C.UTF-8", locale_t{});
  return locale;
}

class Utf8Here {
 public:
  Utf8Here() {
    if (utf8_locale() != locale_t{}) before_ = ::uselocale(utf8_locale());
  }
  ~Utf8Here() {
    if (before_ != locale_t{}) ::uselocale(before_);
  }
  Utf8Here(const Utf8Here&) = delete;
  Utf8Here& operator=(const Utf8Here&) = delete;

 private:
  locale_t before_{};
};

std::string words_of(archive* reader) {
  const char* words = archive_error_string(reader);
  return words == nullptr ? "cannot be unpacked" : fmt::format("cannot be unpacked ({})", words);
}

// Takes one file's bytes; false when the caller wants no more.
bool read_entry(archive* reader, const ContainerEntry& entry, const TakePiece& take,
                Reasons& reasons) {
  std::array<char, std::size_t{1} << 16U> piece;  // NOLINT: filled below
  std::uint64_t left = entry.size;
  while (true) {
    const la_ssize_t got = archive_read_data(reader, piece.data(), piece.size());
    if (got < 0) {
      reasons.add("container", entry.path, words_of(reader));
      return true;
    }
    const auto count = static_cast<std::uint64_t>(got);
    if (count > left || (count == 0 && left > 0)) {
      reasons.add("size", entry.path, "unpacks to another size than the container says");
      return true;
    }
    left -= count;
    if (count == 0) return take(entry, {}, true);
    if (!take(entry, {piece.data(), static_cast<std::size_t>(count)}, false)) return false;
  }
}

}  // namespace

Result<std::unique_ptr<ByteSource>> open_file(files::Disk& disk, const std::string& path) {
  const auto status = disk.status(path);
  if (!status) return status.failure();
  if (status->folder) return Failure{Failure::Kind::other, path, "is a folder", "name a file"};
  return std::unique_ptr<ByteSource>(std::make_unique<FileBytes>(disk, path, status->size));
}

std::unique_ptr<ByteSource> open_bytes(std::string_view bytes) {
  return std::make_unique<MemoryBytes>(bytes);
}

void prepare_to_read_containers() {
  static_cast<void>(utf8_locale());
  // Entries have times, which libarchive puts into the time zone: without this it looks one up.
  ::setenv("TZ", "UTC0", 1);
  ::tzset();
}

Result<ContainerListing> list_container(ByteSource& bytes, const ContainerLimits& limits) {
  Reasons reasons;
  const auto found = read_zip_directory(bytes, limits, reasons);
  if (!found) return found.failure();
  return judged_listing(*found, reasons);
}

ContainerListing judged_listing(const std::vector<ZipEntry>& entries, Reasons& reasons) {
  ContainerListing listing;
  std::map<std::string, std::string> seen;  // as some disks see it -> as it is written
  for (const ZipEntry& entry : entries) {
    std::string_view path = entry.name;
    if (entry.folder) path.remove_suffix(1);
    if (const std::string fault = name_fault(path); !fault.empty()) {
      reasons.add("name", entry.name, fault);
      continue;
    }
    const auto [other, fresh] = seen.emplace(collision_key(path), entry.name);
    if (!fresh) {
      reasons.add("name", entry.name,
                  other->second == entry.name
                      ? "is in the container twice"
                      : fmt::format("and `{}` are one name on some disks", other->second));
    }
    const std::size_t slash = path.find('/');
    const std::string_view top = path.substr(0, slash);
    if (listing.name.empty()) listing.name = std::string(top);
    if (top != listing.name || (slash == std::string_view::npos && !entry.folder)) {
      reasons.add("name", entry.name, "is outside of the one folder that a pack is");
      continue;
    }
    if (slash == std::string_view::npos) continue;  // the folder itself
    listing.entries.push_back({std::string(path.substr(slash + 1)), entry.size, entry.folder});
  }
  // A file where another entry has a folder.
  for (const auto& [key, name] : seen) {
    for (std::size_t slash = key.find('/'); slash != std::string::npos;
         slash = key.find('/', slash + 1)) {
      const auto above = seen.find(key.substr(0, slash));
      if (above != seen.end() && !above->second.ends_with('/'))
        reasons.add("name", name, fmt::format("lies below `{}`, which is a file", above->second));
    }
  }
  if (entries.empty() && reasons.empty()) reasons.add("container", {}, "The file is empty");
  if (!listing.name.empty() && !files::is_id(listing.name))
    reasons.add("name", listing.name,
                "is no name for a pack: letters, digits, dots and dashes are");
  listing.reasons = reasons.list();
  return listing;
}

namespace {

class ContainerHere final : public Container {
 public:
  explicit ContainerHere(ByteSource& bytes) : bytes_(bytes) {}
  Result<ContainerListing> list() override {
    auto listing = list_container(bytes_);
    if (listing) listing_ = *listing;
    return listing;
  }
  Result<std::vector<Reason>> read(const TakePiece& take) override {
    return read_container(bytes_, listing_, take);
  }

 private:
  ByteSource& bytes_;
  ContainerListing listing_;
};

}  // namespace

std::unique_ptr<Container> container_here(ByteSource& bytes) {
  return std::make_unique<ContainerHere>(bytes);
}

// libarchive finds the entries once more by itself, in the same order; where it sees another kind
// or size than the directory had, the container can be read in two ways.
Result<std::vector<Reason>> read_container(ByteSource& bytes, const ContainerListing& listing,
                                           const TakePiece& take) {
  Reasons reasons;
  reasons.add(listing.reasons);
  if (!reasons.empty()) return reasons.list();
  const Utf8Here utf8;
  Reading reading{bytes, 0, {}, std::nullopt};
  const std::unique_ptr<archive, FreeReader> reader(archive_read_new());
  archive_read_support_format_zip_seekable(reader.get());
  archive_read_set_read_callback(reader.get(), read_piece);
  archive_read_set_seek_callback(reader.get(), seek_piece);
  archive_read_set_skip_callback(reader.get(), skip_piece);
  archive_read_set_callback_data(reader.get(), &reading);
  if (archive_read_open1(reader.get()) != ARCHIVE_OK) {
    if (reading.failure) return *reading.failure;
    reasons.add("container", {}, "The file " + words_of(reader.get()));
    return reasons.list();
  }
  auto expected = listing.entries.begin();
  archive_entry* header = nullptr;
  while (reasons.empty()) {
    const int code = archive_read_next_header(reader.get(), &header);
    if (reading.failure) return *reading.failure;
    if (code == ARCHIVE_EOF) break;
    if (code != ARCHIVE_OK && code != ARCHIVE_WARN) {
      reasons.add("container", {}, "The file " + words_of(reader.get()));
      break;
    }
    const bool folder = archive_entry_filetype(header) == AE_IFDIR;
    const char* name = archive_entry_pathname(header);
    const std::string_view path = name == nullptr ? "" : name;
    // The one folder itself is not in the listing.
    if (folder && path == listing.name + "/") continue;
    const bool same = expected != listing.entries.end() && expected->folder == folder &&
                      path == listing.name + "/" + expected->path + (folder ? "/" : "") &&
                      (folder || archive_entry_filetype(header) == AE_IFREG) &&
                      archive_entry_size(header) == static_cast<la_int64_t>(expected->size);
    if (!same) {
      reasons.add("container", std::string(path), "can be read in two ways");
      break;
    }
    if (!folder && !read_entry(reader.get(), *expected, take, reasons)) return reasons.list();
    if (reading.failure) return *reading.failure;
    ++expected;
  }
  if (reasons.empty() && expected != listing.entries.end())
    reasons.add("container", expected->path, "is in the directory and cannot be found");
  return reasons.list();
}

// --- writing

struct ContainerWriter::Archive {
  files::Output& output;
  std::optional<Failure> failure;
  bool given_up = false;  // whoever does that does not want the rest written
  std::unique_ptr<archive, FreeWriter> writer;

  // A failure is kept and not told to libarchive: 3.6 never frees the buffers of an archive that it
  // takes for failed.
  static la_ssize_t write(archive*, void* data, const void* bytes, std::size_t count) {
    auto& self = *static_cast<Archive*>(data);
    if (!self.given_up && !self.failure) {
      const auto done = self.output.write({static_cast<const char*>(bytes), count});
      if (!done) self.failure = done.failure();
    }
    return static_cast<la_ssize_t>(count);
  }
  Failure failed() const {
    if (failure) return *failure;
    const char* words = archive_error_string(writer.get());
    return {Failure::Kind::other, {}, words == nullptr ? "cannot be packed" : words, "try again"};
  }
};

ContainerWriter::ContainerWriter(files::Output& output, std::string name)
    : archive_(new Archive{output, std::nullopt, false, nullptr}), name_(std::move(name)) {
  archive_->writer.reset(archive_write_new());
  archive* const writer = archive_->writer.get();
  archive_write_set_format_zip(writer);
  archive_write_set_options(writer, "zip:compression=store,zip:!zip64");
  // The end is not filled up to a block.
  archive_write_set_bytes_in_last_block(writer, 1);
  archive_write_open(writer, archive_.get(), nullptr, &Archive::write, nullptr);
}

ContainerWriter::~ContainerWriter() { archive_->given_up = true; }

Result<void> ContainerWriter::add(const std::string& path, std::string_view bytes) {
  const Utf8Here utf8;
  const std::unique_ptr<archive_entry, FreeEntry> entry(archive_entry_new());
  archive_entry_copy_pathname(entry.get(), (name_ + "/" + path).c_str());
  archive_entry_set_size(entry.get(), static_cast<la_int64_t>(bytes.size()));
  archive_entry_set_filetype(entry.get(), AE_IFREG);
  archive_entry_set_perm(entry.get(), 0644);
  archive* const writer = archive_->writer.get();
  if (archive_write_header(writer, entry.get()) != ARCHIVE_OK) return archive_->failed();
  while (!bytes.empty()) {
    const la_ssize_t done = archive_write_data(writer, bytes.data(), bytes.size());
    if (done <= 0) return archive_->failed();
    bytes.remove_prefix(static_cast<std::size_t>(done));
  }
  if (archive_write_finish_entry(writer) != ARCHIVE_OK || archive_->failure)
    return archive_->failed();
  return {};
}

Result<void> ContainerWriter::finish() {
  const Utf8Here utf8;
  const int code = archive_write_close(archive_->writer.get());
  if (code != ARCHIVE_OK || archive_->failure) return archive_->failed();
  archive_->writer.reset();
  return {};
}

}  // namespace baylore::pack
