// Starting a program on one open file and listening to what it says about it, bounded in time.
// Nothing it says is believed here: that is for whoever reads it.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace baylore::confine {

using Clock = std::chrono::steady_clock;

// An open descriptor, closed with its owner.
class Descriptor {
 public:
  explicit Descriptor(int number = -1) : number_(number) {}
  Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    std::swap(number_, other.number_);
    return *this;
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor();

  [[nodiscard]] int number() const { return number_; }

 private:
  int number_;
};

// The two ends of a new pipe, what is written into `to` is read from `from`. False when the system
// has no room for one.
bool make_pipe(Descriptor& from, Descriptor& to);

// The running program. Its owner cannot leave it behind: it is killed and reaped when it has not
// been before.
class Child {
 public:
  explicit Child(pid_t id) : id_(id) {}
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;
  ~Child();

  // How it ended, as waitpid says it, or nothing when it still runs at `deadline`.
  // Only called when its answer is through, so it ends within moments: looking again every
  // millisecond costs nothing.
  std::optional<int> ended_by(Clock::time_point deadline);

 private:
  pid_t id_;
};

// Starts `program` with the file as standard input, the pipe as standard output and nothing else,
// not even our environment, ignored signals or signal mask. `arguments` begin with its name.
// Returns its process id, or the negative error number. The file must have been opened before the
// pipe.
pid_t start(const std::string& program, std::vector<std::string> arguments, const Descriptor& file,
            const Descriptor& out);

enum class Got { all, some, ended, late, failed };

// Waits for the next bytes in the pipe, at most as many as fit: `some` and their count in `filled`,
// `ended` when the other side closed.
Got read_some(const Descriptor& pipe, std::span<std::uint8_t> into, Clock::time_point deadline,
              std::size_t& filled);
// Fills `into` from the pipe; `ended` when the other side closed before, with `filled` telling how
// much came.
Got read_into(const Descriptor& pipe, std::span<std::uint8_t> into, Clock::time_point deadline,
              std::size_t& filled);

}  // namespace baylore::confine
