// The real disk, except that it fails at a chosen call. Counting the calls of a run without
// failures gives the points to try: fail at the first, the second ... and look at what is left each
// time (the idea is SQLite's and leveldb's).
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk_over.h"

namespace baylore::test {

class FailingDisk final : public files::DiskOver {
 public:
  enum class How { once, forever };

  explicit FailingDisk(files::Disk& real) : DiskOver(real) {}

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
    return wrapped(DiskOver::create(path), path);
  }
  files::Result<std::unique_ptr<files::Output>> append(const std::string& path) override {
    return wrapped(DiskOver::append(path), path);
  }
  files::Result<std::unique_ptr<files::Output>> create_private(const std::string& path) override {
    return wrapped(DiskOver::create_private(path), path);
  }

  // Removing is how everything cleans up behind itself: a disk that refuses even that is tried
  // apart.
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

  files::Result<void> may(std::string_view call, const std::string& path) override {
    if (call == "remove" && !remove_fails_) return {};
    if (fails(call)) return failure(path);
    return {};
  }
  bool fails(std::string_view name) {
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

  int calls_ = 0;
  int at_ = 0;  // 0: never
  How how_ = How::once;
  files::Failure::Kind kind_ = files::Failure::Kind::full;
  bool remove_fails_ = false;
  std::vector<std::string> log_;
};

}  // namespace baylore::test
