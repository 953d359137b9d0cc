#include "pack/confined.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <mutex>
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "confine/child.h"
#include "pack/confined/frames.h"
#include "pack/zip_directory.h"

namespace baylore::pack {
namespace {

using confine::Descriptor;
using confine::Got;
using files::Failure;
using files::Result;

// A stick that has to wake up is no reason to give up.
constexpr std::chrono::seconds kSilence{60};

struct ReaderProgram {
  std::mutex lock;
  std::string program;
  bool here = false;
};
ReaderProgram& reader() {
  static ReaderProgram one;
  return one;
}

Failure not_installed(const std::string& path) {
  return {Failure::Kind::missing, path,
          "stays closed: the program that reads packs, baylore-container, is not here",
          "install Baylore again"};
}

class ContainerConfined final : public Container {
 public:
  ContainerConfined(std::string path, pid_t id, Descriptor pipe)
      : path_(std::move(path)), child_(id), pipe_(std::move(pipe)) {}

  // Sizes and numbers are held against the limits again, names by judged_listing().
  Result<ContainerListing> list() override {
    const ContainerLimits limits;
    std::vector<ZipEntry> entries;
    Reasons reasons;
    std::uint64_t all = 0;
    bool fits = true;
    bool through = false;
    while (!through && wrong_.empty()) {
      if (!next()) break;
      switch (kind_) {
        case 'e': {
          ZipEntry entry;
          if (!read_entry(entry) || entries.size() >= limits.entries) {
            lied();
            break;
          }
          all += entry.size;
          fits = fits && entry.size <= limits.one && all <= limits.all;
          entries.push_back(std::move(entry));
          break;
        }
        case 'r':
          take_reason(reasons);
          break;
        case 'l':
          through = true;
          break;
        default:
          lied();
      }
    }
    if (failure_) return *failure_;
    // One that is too large comes with a reason to refuse it, or is not what was listed.
    if (wrong_.empty() && !fits && reasons.empty()) lied();
    if (!wrong_.empty()) {
      listing_ = {};
      listing_.reasons = {{"container", {}, wrong_}};
    } else {
      listing_ = judged_listing(entries, reasons);
    }
    return listing_;
  }

  Result<std::vector<Reason>> read(const TakePiece& take) override {
    Reasons reasons;
    reasons.add(listing_.reasons);
    if (!reasons.empty()) return reasons.list();
    for (const ContainerEntry& entry : listing_.entries) {
      if (entry.folder) continue;
      std::uint64_t left = entry.size;
      bool last = false;
      while (!last && reasons.empty() && next()) {
        if (kind_ == 'r') {
          take_reason(reasons);
        } else if (kind_ == 'b' && !bytes_.empty() && bytes_.size() <= left) {
          left -= bytes_.size();
          if (!take(entry, bytes_, false)) return reasons.list();
        } else if (kind_ == 'f' && left == 0) {
          last = true;
          if (!take(entry, {}, true)) return reasons.list();
        } else {
          lied();
          break;
        }
      }
      if (!last) break;
    }
    while (wrong_.empty() && !failure_ && next() && kind_ != 'd') {
      if (kind_ == 'r') {
        take_reason(reasons);
      } else {
        lied();
      }
    }
    if (failure_) return *failure_;
    if (!wrong_.empty()) reasons.add("container", {}, wrong_);
    return reasons.list();
  }

 private:
  void could_not(std::string why) { wrong_ = "The file could not be read: " + std::move(why); }
  void lied() { could_not("its reader says what cannot be"); }

  bool read_entry(ZipEntry& entry) const {
    constexpr std::size_t kFixed = 9;
    if (bytes_.size() < kFixed || bytes_.size() > kFixed + kLongestZipName) return false;
    if (bytes_[0] != '\0' && bytes_[0] != '\1') return false;
    entry.folder = bytes_[0] == '\1';
    for (std::size_t i = 8; i > 0; --i)
      entry.size = (entry.size << 8U) | static_cast<unsigned char>(bytes_[i]);
    entry.name = bytes_.substr(kFixed);
    return entry.folder == entry.name.ends_with('/');
  }

  void take_reason(Reasons& into) {
    const std::size_t first = bytes_.find('\0');
    const std::size_t second = first == std::string::npos ? first : bytes_.find('\0', first + 1);
    if (second == std::string::npos || second + 1 == bytes_.size()) return lied();
    into.add(bytes_.substr(0, first), bytes_.substr(first + 1, second - first - 1),
             bytes_.substr(second + 1));
  }

  // The next frame into `kind_` and `bytes_`; false when there is none, and `wrong_` or `failure_`
  // say why.
  bool next() {
    if (!wrong_.empty() || failure_ || !fill(frames::kHead)) return false;
    const char* head = held_.data() + at_;
    std::size_t size = 0;
    for (std::size_t i = 4; i > 0; --i) size = (size << 8U) | static_cast<unsigned char>(head[i]);
    kind_ = head[0];
    if (size > frames::kMost) return lied(), false;
    at_ += frames::kHead;
    if (!fill(size)) return false;
    bytes_.assign(held_, at_, size);
    at_ += size;
    return true;
  }

  // Until `count` bytes from `at_` on are there.
  bool fill(std::size_t count) {
    if (held_.size() - at_ >= count) return true;
    held_.erase(0, at_);
    at_ = 0;
    std::array<std::uint8_t, std::size_t{1} << 16U> piece;  // NOLINT: filled below
    const auto deadline = confine::Clock::now() + kSilence;
    while (held_.size() < count) {
      std::size_t filled = 0;
      const Got got = confine::read_some(pipe_, piece, deadline, filled);
      if (got == Got::late) return could_not("it takes too long"), false;
      if (got != Got::some) return ended(), false;
      held_.append(reinterpret_cast<const char*>(piece.data()), filled);
    }
    return true;
  }

  // Its answer ended too early.
  void ended() {
    const auto status = child_.ended_by(confine::Clock::now() + std::chrono::seconds(5));
    if (status && WIFSIGNALED(*status) && WTERMSIG(*status) == SIGXCPU)
      return could_not("it takes too long");
    if (status && WIFSIGNALED(*status)) return could_not("it broke its reader");
    switch (static_cast<frames::Exit>(status ? WEXITSTATUS(*status) : 0)) {
      case frames::Exit::unconfined:
        failure_ = {Failure::Kind::other, path_,
                    "stays closed: this system does not lock in the program that reads packs",
                    "packs stay closed until the system allows it"};
        return;
      case frames::Exit::input:
        failure_ = {Failure::Kind::gone, path_, "cannot be read",
                    "check the disk, the stick or the network and try again"};
        return;
      case frames::Exit::done:
      case frames::Exit::output:
        return could_not("its reader stopped");
    }
    // Also what a loader says when a library is missing.
    failure_ = {Failure::Kind::other, path_,
                "stays closed: the program that reads packs does not work",
                "install Baylore again"};
  }

  std::string path_;
  confine::Child child_;
  Descriptor pipe_;
  ContainerListing listing_;
  std::string wrong_;
  std::optional<Failure> failure_;
  std::string held_;  // read from the pipe; used up to `at_`
  std::size_t at_ = 0;
  char kind_ = 0;
  std::string bytes_;
};

// As open_container(), without the program.
class FileHere final : public Container {
 public:
  explicit FileHere(std::unique_ptr<ByteSource> bytes)
      : bytes_(std::move(bytes)), container_(container_here(*bytes_)) {}
  Result<ContainerListing> list() override { return container_->list(); }
  Result<std::vector<Reason>> read(const TakePiece& take) override {
    return container_->read(take);
  }

 private:
  std::unique_ptr<ByteSource> bytes_;
  std::unique_ptr<Container> container_;
};

}  // namespace

void read_containers_with(std::string program) {
  const std::lock_guard guard(reader().lock);
  reader().program = std::move(program);
  reader().here = false;
}

void read_containers_unconfined() {
  const std::lock_guard guard(reader().lock);
  reader().here = true;
}

Result<std::unique_ptr<Container>> open_container(files::Disk& disk, const std::string& path) {
  std::string program;
  bool here = false;
  {
    const std::lock_guard guard(reader().lock);
    program = reader().program;
    here = reader().here;
  }
  if (here) {
    auto bytes = open_file(disk, path);
    if (!bytes) return bytes.failure();
    return std::unique_ptr<Container>(std::make_unique<FileHere>(std::move(*bytes)));
  }
  const auto opened = disk.descriptor(path);
  if (!opened) return opened.failure();
  const Descriptor file(*opened);
  if (program.empty() || ::access(program.c_str(), X_OK) != 0) return not_installed(path);
  const Failure no_room{Failure::Kind::other, path,
                        "stays closed: the system has no room for another program",
                        "try again; restart the terminal if it stays"};
  Descriptor from;
  Descriptor to;
  if (!confine::make_pipe(from, to)) return no_room;
  const pid_t id = confine::start(program, {"baylore-container"}, file, to);
  if (id == -EAGAIN || id == -ENOMEM || id == -EMFILE || id == -ENFILE) return no_room;
  if (id < 0) return not_installed(path);
  to = Descriptor();  // else the pipe would never end
  ::fcntl(from.number(), F_SETFL, O_NONBLOCK);
  return std::unique_ptr<Container>(std::make_unique<ContainerConfined>(path, id, std::move(from)));
}

}  // namespace baylore::pack
