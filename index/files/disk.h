// The seam: the few calls through which every byte reaches and leaves the disk. A test replaces
// `Disk` with one that fails, shortens or forgets at a chosen call; nothing above this file calls
// the operating system for files.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "files/result.h"

namespace baylore::files {

// What the folder says about a file. Times are nanoseconds since 1970-01-01 UTC.
struct Status {
  bool folder = false;
  bool link = false;   // a symbolic link; the rest is what it leads to, zero when that is not there
  bool other = false;  // a pipe, socket or device; in list_all() only
  bool unreadable = false;  // in a list only: a folder whose content we may not see, so that its
                            // files do not look removed
  std::uint64_t size = 0;
  std::int64_t modified_ns = 0;
  std::int64_t changed_ns = 0;  // ctime: moves even when a tool restores the modification time
  std::uint64_t inode = 0;
};

struct Listed {
  std::string path;  // relative to the folder that was listed, '/' between parts
  Status status;
};

// An open file that is being written. Closing without sync() promises nothing.
class Output {
 public:
  virtual ~Output() = default;
  virtual Result<void> write(std::string_view bytes) = 0;
  virtual Result<void> sync() = 0;
  virtual Result<void> close() = 0;
};

// All paths are UTF-8 as the operating system takes them. Every call is thread-safe.
class Disk {
 public:
  virtual ~Disk() = default;

  // Opens a file that must not exist yet.
  virtual Result<std::unique_ptr<Output>> create(const std::string& path) = 0;
  // Opens for appending, creating it when missing.
  virtual Result<std::unique_ptr<Output>> append(const std::string& path) = 0;
  // Opens a file that must not exist yet and that only its owner may read or write: for secrets. A
  // disk without such files fails.
  virtual Result<std::unique_ptr<Output>> create_private(const std::string& path);
  // Replaces `to` in one step.
  virtual Result<void> rename(const std::string& from, const std::string& to) = 0;
  // Swaps what two names stand for in one step: what was at `to` is not lost, as rename() would
  // have it. `other` where the file system cannot (FAT, and most network folders).
  virtual Result<void> exchange(const std::string& from, const std::string& to);
  // Gives `from` a second name `to`, failing with `exists` when `to` is there: the write-once step.
  // Where the file system has no second names (a stick's FAT), `from` is renamed instead and gone
  // afterwards.
  virtual Result<void> link(const std::string& from, const std::string& to) = 0;
  // A file, or a folder with nothing in it.
  virtual Result<void> remove(const std::string& path) = 0;
  // Makes one folder; there already is fine.
  virtual Result<void> make_folder(const std::string& path) = 0;
  // Makes names created in, moved into or removed from `folder` durable.
  virtual Result<void> sync_folder(const std::string& folder) = 0;

  // The whole file; `too_large` beyond `limit` bytes.
  virtual Result<std::string> read(const std::string& path, std::uint64_t limit) = 0;
  // The last bytes of the file, at most `count`: how an append finds a torn line without reading
  // the whole.
  virtual Result<std::string> read_end(const std::string& path, std::size_t count) = 0;
  // `count` bytes from `offset` on, fewer at the end of the file: for files too large to hold.
  virtual Result<std::string> read_part(const std::string& path, std::uint64_t offset,
                                        std::size_t count);
  // An open descriptor of a plain file, for reading only, to hand to another program. Closed by the
  // caller.
  virtual Result<int> descriptor(const std::string& path);
  virtual Result<Status> status(const std::string& path) = 0;
  // Files and folders below `folder`, to any depth, sorted by path. Symbolic links and names
  // starting with '.' are left out: a link could lead out of the shop.
  virtual Result<std::vector<Listed>> list(const std::string& folder) = 0;
  // The same with hidden names, links, pipes and devices (as Status::other), so that a folder from
  // elsewhere can be judged by all that is in it. Links are named, never followed.
  virtual Result<std::vector<Listed>> list_all(const std::string& folder);
  // What list() would give of the folder itself, without looking into the folders in it: for sticks
  // and other places that are not ours and may hold anything.
  virtual Result<std::vector<Listed>> list_here(const std::string& folder);
};

// The operating system's files.
Disk& real_disk();

// 16 MiB: no hand-written file of a shop comes near; what is larger is refused instead of filling
// the memory.
inline constexpr std::uint64_t kTextLimit = 16U << 20U;

}  // namespace baylore::files
