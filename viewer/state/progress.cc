#include "viewer/state/progress.h"

#include <algorithm>
#include <cmath>

#include "words/words.h"

namespace baylore::viewer {
namespace {

// What the first moments tell is no rate: files are opened, caches are cold.
constexpr double kTellsAfter = 2;
constexpr double kTellsFrom = 0.02;  // of the whole

}  // namespace

void Progress::at(std::uint64_t done, std::uint64_t all, double now) {
  done_ = std::min(done, all);
  all_ = all;
  now_ = now;
}

float Progress::part() const {
  return all_ == 0 ? 0 : static_cast<float>(static_cast<double>(done_) / static_cast<double>(all_));
}

std::string Progress::left() const {
  const double spent = now_ - began_;
  const double part_done = part();
  if (spent < kTellsAfter || part_done < kTellsFrom) return {};
  const double seconds = spent / part_done * (1 - part_done);
  // No more digits than the guess has.
  if (seconds < 8) return tr("a few seconds left");
  if (seconds < 55) return say("{0} s left", std::lround(seconds / 5) * 5);
  return say("{0} min left", std::max(1L, std::lround(seconds / 60)));
}

}  // namespace baylore::viewer
