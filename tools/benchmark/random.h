// A fast generator of random numbers that draws the same on every machine and compiler: SplitMix64
// (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace baylore::benchmark {

class Random {
 public:
  // Any seeds serve, one after the other too: they are mixed, or the sequences of seeds that lie a
  // few steps apart would be one sequence.
  explicit Random(std::uint64_t seed) : state_(mixed(seed ^ 0x6a09e667f3bcc909U)) {}

  std::uint64_t next() { return mixed(state_ += 0x9e3779b97f4a7c15U); }
  // 0 .. count - 1; 0 when there is nothing to choose from.
  std::size_t below(std::size_t count) { return count == 0 ? 0 : next() % count; }
  bool one_in(std::size_t count) { return below(count) == 0; }
  // Above 0, at most 1.
  double share() { return (static_cast<double>(next() >> 11U) + 1) * 0x1p-53; }
  bool chance(double probability) { return share() <= probability; }

 private:
  static std::uint64_t mixed(std::uint64_t z) {
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31U);
  }
  std::uint64_t state_;
};

}  // namespace baylore::benchmark
