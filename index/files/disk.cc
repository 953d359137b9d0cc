#include "files/disk.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <utility>

#include <fmt/format.h>

#include "files/names.h"

namespace baylore::files {
namespace {

// What the operating system said, in words that tell what to do.
Failure failed(int error, const std::string& path, const std::string& what) {
  Failure failure;
  failure.path = path;
  failure.what = fmt::format("{} ({})", what, std::strerror(error));
  switch (error) {
    case ENOENT:
    case ENOTDIR:
      failure.kind = Failure::Kind::missing;
      failure.remedy = "check that the folder is there and connected";
      break;
    case EACCES:
    case EPERM:
    case EROFS:
      failure.kind = Failure::Kind::denied;
      failure.remedy = "ask whoever looks after this folder to let this terminal in";
      break;
    case ENOSPC:
    case EDQUOT:
    case EFBIG:
      failure.kind = Failure::Kind::full;
      failure.remedy = "free some space and try again";
      break;
    case EIO:
    case ENXIO:
    case ENODEV:
    case ESTALE:
    case ETIMEDOUT:
    case ENOTCONN:
    case EHOSTDOWN:
    case EHOSTUNREACH:
    case ENETDOWN:
    case ENETUNREACH:
      failure.kind = Failure::Kind::gone;
      failure.remedy = "check the disk, the stick or the network and try again";
      break;
    case EEXIST:
      failure.kind = Failure::Kind::exists;
      failure.remedy = "use another name";
      break;
    case ENAMETOOLONG:
      failure.remedy = "use a shorter name";
      break;
    default:
      failure.remedy = "try again";
      break;
  }
  return failure;
}

// A system call again, as long as only a signal stopped it.
template <typename Call>
auto again(Call call) {
  auto done = call();
  while (done < 0 && errno == EINTR) done = call();
  return done;
}

// An open file. Closed when it goes out of scope.
class Handle {
 public:
  explicit Handle(int number) : number_(number) {}
  Handle(Handle&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  Handle& operator=(Handle&&) = delete;
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  ~Handle() {
    if (number_ >= 0) ::close(number_);
  }
  [[nodiscard]] int number() const { return number_; }
  [[nodiscard]] bool open() const { return number_ >= 0; }
  int give() { return std::exchange(number_, -1); }

 private:
  int number_;
};

Handle opened(const std::string& path, int flags, mode_t mode = 0666) {
  return Handle(again([&] { return ::open(path.c_str(), flags | O_CLOEXEC, mode); }));
}

class RealOutput final : public Output {
 public:
  RealOutput(Handle file, std::string path) : file_(std::move(file)), path_(std::move(path)) {}

  Result<void> write(std::string_view bytes) override {
    // A first call takes the whole; more are needed only when the system took less.
    while (!bytes.empty()) {
      const ssize_t done =
          again([&] { return ::write(file_.number(), bytes.data(), bytes.size()); });
      if (done < 0) return failed(errno, path_, "cannot be written");
      bytes.remove_prefix(static_cast<std::size_t>(done));
    }
    return {};
  }

  Result<void> sync() override {
    if (again([&] { return ::fsync(file_.number()); }) < 0)
      return failed(errno, path_, "cannot be flushed to the disk");
    return {};
  }

  Result<void> close() override {
    // Linux has let go of the file even when close() is interrupted: a second call could hit
    // another thread's file.
    if (::close(file_.give()) < 0 && errno != EINTR)
      return failed(errno, path_, "cannot be closed");
    return {};
  }

 private:
  Handle file_;
  std::string path_;
};

std::int64_t nanoseconds(const timespec& time) {
  return static_cast<std::int64_t>(time.tv_sec) * 1000000000 +
         static_cast<std::int64_t>(time.tv_nsec);
}

Status status_of(const struct stat& from) {
  Status status;
  status.folder = S_ISDIR(from.st_mode);
  status.size = static_cast<std::uint64_t>(from.st_size);
  status.modified_ns = nanoseconds(from.st_mtim);
  status.changed_ns = nanoseconds(from.st_ctim);
  status.inode = static_cast<std::uint64_t>(from.st_ino);
  return status;
}

Failure too_large(const std::string& path, std::uint64_t limit) {
  return {Failure::Kind::too_large, path, fmt::format("is larger than {} MiB", limit >> 20U),
          "check whether it is the right file"};
}

// A file open for reading, and its size. Only a plain file: a pipe or a device could wait for ever.
Result<std::pair<int, std::uint64_t>> open_plain(const std::string& path) {
  Handle file = opened(path, O_RDONLY | O_NONBLOCK);
  if (!file.open()) return failed(errno, path, "cannot be opened");
  struct stat found {};
  if (::fstat(file.number(), &found) < 0) return failed(errno, path, "cannot be read");
  if (!S_ISREG(found.st_mode))
    return Failure{Failure::Kind::other, path, "is not a file", "name a file"};
  return std::pair<int, std::uint64_t>(file.give(), static_cast<std::uint64_t>(found.st_size));
}

// Reads up to `most` bytes from `offset` on.
Result<std::string> read_from(int file, const std::string& path, std::uint64_t offset,
                              std::uint64_t expected, std::uint64_t most) {
  // One more than expected, so that the end is met inside the buffer: whoever keeps many texts
  // keeps their bytes and no room beside them. A file that grows meanwhile goes on.
  std::string bytes(static_cast<std::size_t>(std::min(expected + 1, most)), '\0');
  std::size_t held = 0;
  while (held < most) {
    if (held == bytes.size()) {
      bytes.resize(static_cast<std::size_t>(
          std::min<std::uint64_t>(held + (std::uint64_t{1} << 16U), most)));
    }
    const ssize_t done = again([&] {
      return ::pread(file, bytes.data() + held, bytes.size() - held,
                     static_cast<off_t>(offset + held));
    });
    if (done < 0) return failed(errno, path, "cannot be read");
    if (done == 0) break;
    held += static_cast<std::size_t>(done);
  }
  bytes.resize(held);
  return bytes;
}

// File systems without an own notion of flushing a folder, or of second names, say so in these
// ways.
bool not_offered(int error) {
  return error == EINVAL || error == ENOTSUP || error == ENOSYS || error == EBADF;
}

// Renames without replacing; where even that is not offered, looks first.
int rename_once(const std::string& from, const std::string& to) {
  if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return 0;
  if (!not_offered(errno)) return -1;
  struct stat there {};
  if (::lstat(to.c_str(), &there) == 0) {
    errno = EEXIST;
    return -1;
  }
  return ::rename(from.c_str(), to.c_str());
}

class RealDisk final : public Disk {
 public:
  Result<std::unique_ptr<Output>> create(const std::string& path) override {
    return output(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW);
  }
  Result<std::unique_ptr<Output>> append(const std::string& path) override {
    return output(path, O_WRONLY | O_CREAT | O_APPEND | O_NOFOLLOW);
  }

  Result<std::unique_ptr<Output>> create_private(const std::string& path) override {
    return output(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0600);
  }

  Result<void> rename(const std::string& from, const std::string& to) override {
    if (::rename(from.c_str(), to.c_str()) < 0) return failed(errno, to, "cannot be put in place");
    return {};
  }

  Result<void> exchange(const std::string& from, const std::string& to) override {
    if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_EXCHANGE) == 0) return {};
    if (not_offered(errno)) return Disk::exchange(from, to);
    return failed(errno, to, "cannot be put in place");
  }

  Result<void> link(const std::string& from, const std::string& to) override {
    if (::link(from.c_str(), to.c_str()) == 0) return {};
    // EPERM is what FAT and many network folders answer when they have no second names.
    if ((errno == EPERM || errno == EMLINK || not_offered(errno)) && rename_once(from, to) == 0)
      return {};
    return failed(errno, to, "cannot be put in place");
  }

  Result<void> remove(const std::string& path) override {
    if (std::remove(path.c_str()) < 0) return failed(errno, path, "cannot be removed");
    return {};
  }

  Result<void> make_folder(const std::string& path) override {
    if (::mkdir(path.c_str(), 0777) == 0) return {};
    const int error = errno;
    struct stat there {};
    if (error == EEXIST && ::stat(path.c_str(), &there) == 0 && S_ISDIR(there.st_mode)) return {};
    return failed(error, path, "cannot be made");
  }

  Result<void> sync_folder(const std::string& folder) override {
    const std::string path = folder.empty() ? "." : folder;
    const Handle handle = opened(path, O_RDONLY | O_DIRECTORY);
    if (!handle.open()) return failed(errno, path, "cannot be opened");
    if (again([&] { return ::fsync(handle.number()); }) < 0 && !not_offered(errno)) {
      return failed(errno, path, "cannot be flushed to the disk");
    }
    return {};
  }

  Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    const auto file = open_plain(path);
    if (!file) return file.failure();
    const Handle handle(file->first);
    const std::uint64_t size = file->second;
    if (size > limit) return too_large(path, limit);
    auto bytes = read_from(handle.number(), path, 0, size, limit + 1);
    if (bytes && bytes->size() > limit) return too_large(path, limit);
    return bytes;
  }

  Result<std::string> read_end(const std::string& path, std::size_t count) override {
    const auto file = open_plain(path);
    if (!file) return file.failure();
    const Handle handle(file->first);
    const std::uint64_t size = file->second;
    const std::uint64_t wanted = std::min<std::uint64_t>(count, size);
    return read_from(handle.number(), path, size - wanted, wanted, wanted);
  }

  Result<std::string> read_part(const std::string& path, std::uint64_t offset,
                                std::size_t count) override {
    const auto file = open_plain(path);
    if (!file) return file.failure();
    const Handle handle(file->first);
    const std::uint64_t left = file->second > offset ? file->second - offset : 0;
    const std::uint64_t wanted = std::min<std::uint64_t>(count, left);
    return read_from(handle.number(), path, offset, wanted, wanted);
  }

  Result<int> descriptor(const std::string& path) override {
    const auto file = open_plain(path);
    if (!file) return file.failure();
    return file->first;
  }

  Result<Status> status(const std::string& path) override {
    struct stat found {};
    if (again([&] { return ::lstat(path.c_str(), &found); }) < 0)
      return failed(errno, path, "is not there");
    if (!S_ISLNK(found.st_mode)) return status_of(found);
    Status status;
    struct stat behind {};
    if (again([&] { return ::stat(path.c_str(), &behind); }) == 0) status = status_of(behind);
    status.link = true;
    return status;
  }

  Result<std::vector<Listed>> list(const std::string& folder) override {
    return listed(folder, false);
  }
  Result<std::vector<Listed>> list_all(const std::string& folder) override {
    return listed(folder, true);
  }
  Result<std::vector<Listed>> list_here(const std::string& folder) override {
    std::vector<Listed> found;
    const int error = list_one(folder, {}, false, found);
    if (error != 0) return failed(error, folder, "cannot be listed");
    std::sort(found.begin(), found.end(),
              [](const Listed& a, const Listed& b) { return a.path < b.path; });
    return found;
  }

 private:
  static Result<std::vector<Listed>> listed(const std::string& folder, bool all) {
    // Folders still to be looked into, relative to `folder`. A tree deeper than this is no shop.
    constexpr std::ptrdiff_t kDeepest = 64;
    std::vector<Listed> found;
    std::vector<std::string> waiting = {std::string()};
    while (!waiting.empty()) {
      const std::string below = std::move(waiting.back());
      waiting.pop_back();
      const std::size_t before = found.size();
      const int error = list_one(folder, below, all, found);
      if (error != 0 && below.empty()) return failed(error, folder, "cannot be listed");
      if (error == EACCES || error == EPERM) {
        Listed closed;
        closed.path = below;
        closed.status.folder = true;
        closed.status.unreadable = true;
        found.push_back(std::move(closed));
      } else if (error != 0 && error != ENOENT && error != ENOTDIR) {
        // Half a list would look as if the rest had been removed.
        return failed(error, join(folder, below), "cannot be listed");
      }
      for (std::size_t i = before; i < found.size(); ++i) {
        const Listed& one = found[i];
        if (!one.status.folder || one.status.unreadable) continue;
        if (std::count(one.path.begin(), one.path.end(), '/') < kDeepest)
          waiting.push_back(one.path);
      }
    }
    std::sort(found.begin(), found.end(),
              [](const Listed& a, const Listed& b) { return a.path < b.path; });
    return mended(std::move(found));
  }

  static Result<std::unique_ptr<Output>> output(const std::string& path, int flags,
                                                mode_t mode = 0666) {
    Handle file = opened(path, flags, mode);
    if (!file.open()) return failed(errno, path, "cannot be written");
    return std::unique_ptr<Output>(std::make_unique<RealOutput>(std::move(file), path));
  }

  // The names in one folder; 0 or the error.
  static int list_one(const std::string& root, const std::string& below, bool all,
                      std::vector<Listed>& into) {
    const std::string path = root.empty() && below.empty() ? "." : join(root, below);
    DIR* const folder = ::opendir(path.c_str());
    if (folder == nullptr) return errno;
    int error = 0;
    while (true) {
      errno = 0;
      const dirent* const entry = ::readdir(folder);
      if (entry == nullptr) {
        error = errno;
        break;
      }
      const std::string_view name = entry->d_name;
      if (name.empty() || name == "." || name == "..") continue;
      if (!all && name.front() == '.') continue;
      struct stat about {};
      if (::fstatat(::dirfd(folder), entry->d_name, &about, AT_SYMLINK_NOFOLLOW) < 0) {
        if (errno == ENOENT) continue;  // removed since
        error = errno;
        break;
      }
      const bool plain = S_ISREG(about.st_mode) || S_ISDIR(about.st_mode);
      if (!plain && !all) continue;
      Listed one{join(below, name), plain ? status_of(about) : Status{}};
      one.status.link = S_ISLNK(about.st_mode);
      one.status.other = !plain && !one.status.link;
      into.push_back(std::move(one));
    }
    ::closedir(folder);
    return error;
  }

  // A folder that turned out to be closed to us was listed twice: by its parent and by itself.
  static std::vector<Listed> mended(std::vector<Listed> found) {
    std::vector<Listed> out;
    for (Listed& one : found) {
      if (!out.empty() && out.back().path == one.path) {
        out.back().status.unreadable |= one.status.unreadable;
      } else {
        out.push_back(std::move(one));
      }
    }
    return out;
  }
};

}  // namespace

Result<std::unique_ptr<Output>> Disk::create_private(const std::string& path) {
  return Failure{Failure::Kind::other, path, "cannot be kept from others on this disk",
                 "keep it in your own folder"};
}

Result<void> Disk::exchange(const std::string&, const std::string& to) {
  return Failure{Failure::Kind::other, to, "cannot be swapped with another on this disk",
                 "keep it on another"};
}

Result<std::string> Disk::read_part(const std::string& path, std::uint64_t, std::size_t) {
  return Failure{Failure::Kind::other, path, "cannot be read by parts on this disk",
                 "copy it to another"};
}

Result<int> Disk::descriptor(const std::string& path) {
  return Failure{Failure::Kind::other, path, "cannot be handed to another program on this disk",
                 "copy it to another"};
}

Result<std::vector<Listed>> Disk::list_all(const std::string& folder) {
  return Failure{Failure::Kind::other, folder, "cannot be listed in full on this disk",
                 "copy it to another"};
}

Result<std::vector<Listed>> Disk::list_here(const std::string& folder) {
  auto all = list(folder);
  if (all)
    std::erase_if(*all, [](const Listed& one) { return one.path.find('/') != std::string::npos; });
  return all;
}

Disk& real_disk() {
  static RealDisk disk;
  return disk;
}

}  // namespace baylore::files
