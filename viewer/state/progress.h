// How far long work is, and how long it will still take.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace baylore::viewer {

// Pure: told what is done and when, in seconds from any start.
class Progress {
 public:
  Progress() = default;
  explicit Progress(double now) : began_(now) {}

  void at(std::uint64_t done, std::uint64_t all, double now);
  [[nodiscard]] std::uint64_t done() const { return done_; }
  [[nodiscard]] std::uint64_t all() const { return all_; }
  // Between 0 and 1; 0 while nobody knows how much there is.
  [[nodiscard]] float part() const;
  // In words, such as "2 min left"; empty until enough is done to tell.
  [[nodiscard]] std::string left() const;

 private:
  double began_ = 0;
  double now_ = 0;
  std::uint64_t done_ = 0;
  std::uint64_t all_ = 0;
};

}  // namespace baylore::viewer
