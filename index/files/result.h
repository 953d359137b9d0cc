// A value or the reason why there is none. Expected failures travel in return values; nothing here
// throws.
#pragma once

#include <string>
#include <utility>
#include <variant>

namespace baylore::files {

// What went wrong, in words a technician can act on.
struct Failure {
  enum class Kind {
    missing,    // no such file or folder
    denied,     // not readable or not writable for us
    full,       // no space, or a quota reached
    gone,       // the device or network folder does not answer
    exists,     // there already, and it must not be
    too_large,  // beyond the limit the caller gave
    damaged,    // read, but not what it should be
    other,
  };
  Kind kind = Kind::other;
  std::string path;    // the file concerned, as the caller named it
  std::string what;    // "cannot be written"
  std::string remedy;  // "free some space and save again"

  // "path: what: remedy", the parts that are there.
  [[nodiscard]] std::string text() const;
};

template <typename T>
class [[nodiscard]] Result {
 public:
  Result(T value) : held_(std::move(value)) {}            // NOLINT(google-explicit-constructor)
  Result(Failure failure) : held_(std::move(failure)) {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool ok() const { return held_.index() == 0; }
  explicit operator bool() const { return ok(); }
  // Only after ok().
  [[nodiscard]] T& value() { return std::get<0>(held_); }
  [[nodiscard]] const T& value() const { return std::get<0>(held_); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }
  T& operator*() { return value(); }
  const T& operator*() const { return value(); }
  // Only after !ok().
  [[nodiscard]] const Failure& failure() const { return std::get<1>(held_); }

 private:
  std::variant<T, Failure> held_;
};

template <>
class [[nodiscard]] Result<void> {
 public:
  Result() = default;
  Result(Failure failure) : failed_(true), failure_(std::move(failure)) {}  // NOLINT

  [[nodiscard]] bool ok() const { return !failed_; }
  explicit operator bool() const { return ok(); }
  [[nodiscard]] const Failure& failure() const { return failure_; }

 private:
  bool failed_ = false;
  Failure failure_;
};

}  // namespace baylore::files
