// A disk in memory that forgets at a power cut whatever was not flushed: bytes of a file since its
// last sync(), and names since the last sync_folder() of their folder. What is kept and what is
// lost of the unflushed is drawn at random, each name for itself, as a real disk may have written
// any of it already and in any order. Unflushed bytes are there up to any place, or stand as zeros
// where room was given to them and they were not written.
#pragma once

#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "files/names.h"

namespace baylore::test {

class ForgetfulDisk final : public files::Disk {
 public:
  ForgetfulDisk() { now_["/"] = flushed_["/"] = folder(); }

  // The power goes at the `call`-th call from now on, counted from 1; 0 for never.
  void cut_at(int call) {
    calls_ = 0;
    cut_ = call;
    off_ = false;
  }
  [[nodiscard]] bool off() const { return off_; }
  [[nodiscard]] int calls() const { return calls_; }

  // The power comes back: each unflushed name and each file's unflushed bytes are there or not, as
  // `random` has it.
  void power_on(std::mt19937& random) {
    std::map<std::string, std::shared_ptr<Node>> kept;
    for (const auto& [path, node] : flushed_) kept[path] = node;
    for (const auto& [path, node] : now_) {
      const auto old = flushed_.find(path);
      if ((old == flushed_.end() || old->second != node) && random() % 2 == 0) kept[path] = node;
    }
    for (const auto& [path, node] : flushed_) {
      if (now_.count(path) == 0 && random() % 2 == 0) kept.erase(path);
    }
    for (auto& [path, node] : kept) {
      if (!node->folder && node->bytes != node->flushed) {
        // Any beginning of what was not flushed.
        const std::size_t same = std::min(node->flushed.size(), node->bytes.size());
        const std::size_t more = node->bytes.size() - same;
        std::string tail = node->bytes.substr(same, more == 0 ? 0 : random() % (more + 1));
        if (random() % 3 == 0) std::fill(tail.begin(), tail.end(), '\0');
        node->bytes = node->flushed + tail;
      }
    }
    // A name in a folder that is not there is not there either.
    for (auto one = kept.begin(); one != kept.end();) {
      const bool orphan = one->first != "/" && kept.count(files::folder_of(one->first)) == 0;
      one = orphan ? kept.erase(one) : std::next(one);
    }
    now_ = kept;
    flushed_ = kept;
    for (auto& [path, node] : now_) node->flushed = node->bytes;
    cut_at(0);
  }

  // A file that was there before anything began, flushed.
  void put(const std::string& path, std::string bytes) {
    for (std::string at = files::folder_of(path); !at.empty(); at = files::folder_of(at)) {
      if (now_.count(at) != 0) break;
      now_[at] = flushed_[at] = folder();
    }
    auto node = std::make_shared<Node>();
    node->bytes = node->flushed = std::move(bytes);
    now_[path] = flushed_[path] = node;
  }

  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& [path, node] : now_) {
      if (!node->folder) out.push_back(path);
    }
    return out;
  }

  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    if (step()) return gone(path);
    if (now_.count(path) != 0) return failure(files::Failure::Kind::exists, path);
    return opened(path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    if (step()) return gone(path);
    return opened(path);
  }
  files::Result<std::unique_ptr<files::Output>> create_private(const std::string& path) override {
    return create(path);
  }
  files::Result<void> rename(const std::string& from, const std::string& to) override {
    if (step()) return gone(to);
    if (now_.count(from) == 0) return failure(files::Failure::Kind::missing, from);
    now_[to] = now_[from];
    now_.erase(from);
    return {};
  }
  files::Result<void> exchange(const std::string& from, const std::string& to) override {
    if (step()) return gone(to);
    for (const std::string& one : {from, to}) {
      if (now_.count(one) == 0) return failure(files::Failure::Kind::missing, one);
    }
    std::swap(now_[from], now_[to]);
    return {};
  }
  files::Result<void> link(const std::string& from, const std::string& to) override {
    if (step()) return gone(to);
    if (now_.count(to) != 0) return failure(files::Failure::Kind::exists, to);
    now_[to] = now_[from];
    return {};
  }
  files::Result<void> remove(const std::string& path) override {
    if (step()) return gone(path);
    if (now_.erase(path) == 0) return failure(files::Failure::Kind::missing, path);
    return {};
  }
  files::Result<void> make_folder(const std::string& path) override {
    if (step()) return gone(path);
    if (now_.count(path) == 0) now_[path] = folder();
    return {};
  }
  files::Result<void> sync_folder(const std::string& path) override {
    if (step()) return gone(path);
    for (auto one = flushed_.begin(); one != flushed_.end();) {
      const bool removed = in(one->first, path) && now_.count(one->first) == 0;
      one = removed ? flushed_.erase(one) : std::next(one);
    }
    for (const auto& [name, node] : now_) {
      if (in(name, path)) flushed_[name] = node;
    }
    return {};
  }
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (step()) return gone(path);
    const auto found = now_.find(path);
    if (found == now_.end()) return failure(files::Failure::Kind::missing, path);
    if (found->second->bytes.size() > limit) return failure(files::Failure::Kind::too_large, path);
    return found->second->bytes;
  }
  files::Result<std::string> read_end(const std::string& path, std::size_t count) override {
    auto bytes = read(path, files::kTextLimit);
    if (bytes && bytes->size() > count) return bytes->substr(bytes->size() - count);
    return bytes;
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (step()) return gone(path);
    const auto found = now_.find(path);
    if (found == now_.end()) return failure(files::Failure::Kind::missing, path);
    files::Status status;
    status.folder = found->second->folder;
    status.size = found->second->bytes.size();
    return status;
  }
  files::Result<std::string> read_part(const std::string& path, std::uint64_t offset,
                                       std::size_t count) override {
    auto bytes = read(path, kLargest);
    if (!bytes) return bytes;
    return offset < bytes->size() ? bytes->substr(offset, count) : std::string();
  }
  files::Result<int> descriptor(const std::string& path) override {
    const auto bytes = read(path, kLargest);
    if (!bytes) return bytes.failure();
    const int file = ::memfd_create("forgetful", MFD_CLOEXEC);
    const bool written = file >= 0 && ::write(file, bytes->data(), bytes->size()) ==
                                          static_cast<ssize_t>(bytes->size());
    if (!written || ::lseek(file, 0, SEEK_SET) != 0)
      return failure(files::Failure::Kind::other, path);
    return file;
  }
  files::Result<std::vector<files::Listed>> list(const std::string& top) override {
    return listed(top, false);
  }
  files::Result<std::vector<files::Listed>> list_all(const std::string& top) override {
    return listed(top, true);
  }

 private:
  static constexpr std::uint64_t kLargest = std::uint64_t{1} << 30U;

  files::Result<std::vector<files::Listed>> listed(const std::string& top, bool hidden) {
    if (step()) return gone(top);
    const auto itself = now_.find(top);
    if (itself == now_.end()) return failure(files::Failure::Kind::missing, top);
    std::vector<files::Listed> found;
    const std::string start = top == "/" ? top : top + "/";
    for (const auto& [path, node] : now_) {
      if (path.size() <= start.size() || path.substr(0, start.size()) != start) continue;
      if (!hidden && path.find("/.", start.size() - 1) != std::string::npos) continue;
      files::Status about;
      about.folder = node->folder;
      about.size = node->bytes.size();
      found.push_back({path.substr(start.size()), about});
    }
    return found;
  }

  struct Node {
    bool folder = false;
    std::string bytes;
    std::string flushed;
  };

  class MemoryOutput final : public files::Output {
   public:
    MemoryOutput(ForgetfulDisk& disk, std::shared_ptr<Node> node)
        : disk_(disk), node_(std::move(node)) {}
    files::Result<void> write(std::string_view bytes) override {
      if (disk_.step()) {
        if (!disk_.was_off_) node_->bytes += bytes.substr(0, bytes.size() / 2);
        return gone("");
      }
      node_->bytes += bytes;
      return {};
    }
    files::Result<void> sync() override {
      if (disk_.step()) return gone("");
      node_->flushed = node_->bytes;
      return {};
    }
    files::Result<void> close() override {
      if (disk_.step()) return gone("");
      return {};
    }

   private:
    ForgetfulDisk& disk_;
    std::shared_ptr<Node> node_;
  };

  static std::shared_ptr<Node> folder() {
    auto node = std::make_shared<Node>();
    node->folder = true;
    return node;
  }
  static bool in(const std::string& path, const std::string& folder) {
    return path != "/" && files::folder_of(path) == folder;
  }
  static files::Failure failure(files::Failure::Kind kind, const std::string& path) {
    return {kind, path, "says the test's disk", ""};
  }
  static files::Failure gone(const std::string& path) {
    return failure(files::Failure::Kind::gone, path);
  }

  // One call; true when the power is off.
  bool step() {
    ++calls_;
    was_off_ = off_;
    if (cut_ > 0 && calls_ >= cut_) off_ = true;
    return off_;
  }
  files::Result<std::unique_ptr<files::Output>> opened(const std::string& path) {
    if (now_.count(files::folder_of(path)) == 0)
      return failure(files::Failure::Kind::missing, path);
    auto& node = now_[path];
    if (node == nullptr) node = std::make_shared<Node>();
    return std::unique_ptr<files::Output>(std::make_unique<MemoryOutput>(*this, node));
  }

  std::map<std::string, std::shared_ptr<Node>> now_;
  std::map<std::string, std::shared_ptr<Node>> flushed_;
  int calls_ = 0;
  int cut_ = 0;
  bool off_ = false;
  bool was_off_ = false;
};

}  // namespace baylore::test
