// The real disk, except that it fails at a chosen call. Counting the calls of a run without
// failures gives the points to try: fail at the first, the second ... and look at what is left each
// time (the idea is SQLite's and leveldb's).
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk.h"

namespace baylore::test {

class FailingDisk final : public files::Disk {
 public:
  enum class How { once, forever };

  explicit FailingDisk(files::Disk& real) : real_(real) {}

  // Fails at the `call`-th call from now on, counted from 1. A write that fails has written half of
  // its bytes.
  void fail_at(int call, How how, files::Failure::Kind kind) {
    calls_ = 0;
    at_ = call;
    how_ = how;
    kind_ = kind;
  }
  [[nodiscard]] int calls() const { return calls_; }
  // The names of the calls, in order: what a test prints when it finds something.
  [[nodiscard]] const std::vector<std::string>& log() const { return log_; }

  files::Result<std::unique_ptr<files::Output>> create(const std::string& path) override {
    if (fails("create")) return failure(path);
    return wrapped(real_.create(path), path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    if (fails("append")) return failure(path);
    return wrapped(real_.append(path), path);
  }
  files::Result<std::unique_ptr<files::Output>> create_private(const std::string& path) override {
    if (fails("create_private")) return failure(path);
    return wrapped(real_.create_private(path), path);
  }
  files::Result<void> rename(const std::string& from, const std::string& to) override {
    if (fails("rename")) return failure(to);
    return real_.rename(from, to);
  }
  files::Result<void> link(const std::string& from, const std::string& to) override {
    if (fails("link")) return failure(to);
    return real_.link(from, to);
  }
  files::Result<void> remove(const std::string& path) override {
    // Removing is how everything cleans up behind itself; a disk that refuses even that is tried
    // apart.
    if (remove_fails_ && fails("remove")) return failure(path);
    return real_.remove(path);
  }
  files::Result<void> make_folder(const std::string& path) override {
    if (fails("make_folder")) return failure(path);
    return real_.make_folder(path);
  }
  files::Result<void> sync_folder(const std::string& folder) override {
    if (fails("sync_folder")) return failure(folder);
    return real_.sync_folder(folder);
  }
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (fails("read")) return failure(path);
    return real_.read(path, limit);
  }
  files::Result<std::string> read_end(const std::string& path, std::size_t count) override {
    if (fails("read_end")) return failure(path);
    return real_.read_end(path, count);
  }
  files::Result<std::string> read_part(const std::string& path, std::uint64_t offset,
                                       std::size_t count) override {
    if (fails("read_part")) return failure(path);
    return real_.read_part(path, offset, count);
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (fails("status")) return failure(path);
    return real_.status(path);
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    if (fails("list")) return failure(folder);
    return real_.list(folder);
  }
  files::Result<std::vector<files::Listed>> list_all(const std::string& folder) override {
    if (fails("list_all")) return failure(folder);
    return real_.list_all(folder);
  }

  void let_remove_fail() { remove_fails_ = true; }

 private:
  class FailingOutput final : public files::Output {
   public:
    FailingOutput(FailingDisk& disk, std::unique_ptr<files::Output> real, std::string path)
        : disk_(disk), real_(std::move(real)), path_(std::move(path)) {}
    files::Result<void> write(std::string_view bytes) override {
      if (!disk_.fails("write")) return real_->write(bytes);
      static_cast<void>(real_->write(bytes.substr(0, bytes.size() / 2)));
      return disk_.failure(path_);
    }
    files::Result<void> sync() override {
      if (disk_.fails("sync")) return disk_.failure(path_);
      return real_->sync();
    }
    files::Result<void> close() override {
      auto closed = real_->close();
      if (disk_.fails("close")) return disk_.failure(path_);
      return closed;
    }

   private:
    FailingDisk& disk_;
    std::unique_ptr<files::Output> real_;
    std::string path_;
  };

  bool fails(const char* name) {
    ++calls_;
    log_.emplace_back(name);
    return at_ > 0 && (how_ == How::once ? calls_ == at_ : calls_ >= at_);
  }
  files::Failure failure(const std::string& path) const {
    return {kind_, path, "failed by the test", "try again"};
  }
  files::Result<std::unique_ptr<files::Output>> wrapped(
      files::Result<std::unique_ptr<files::Output>> real, const std::string& path) {
    if (!real) return real;
    return std::unique_ptr<files::Output>(
        std::make_unique<FailingOutput>(*this, std::move(*real), path));
  }

  files::Disk& real_;
  int calls_ = 0;
  int at_ = 0;  // 0: never
  How how_ = How::once;
  files::Failure::Kind kind_ = files::Failure::Kind::full;
  bool remove_fails_ = false;
  std::vector<std::string> log_;
};

}  // namespace baylore::test
