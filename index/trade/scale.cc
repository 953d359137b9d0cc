#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "trade/expectation.h"

namespace baylore::trade {
namespace {

// Steps people read without thinking, and how many short ticks part each.
struct RoundStep {
  double mantissa;
  int minor_parts;
  int extra_decimals;
  double cost;
};
constexpr std::array kRoundSteps = {RoundStep{1, 5, 0, 0.0}, RoundStep{2, 4, 0, 0.0},
                                    RoundStep{2.5, 5, 1, 0.06}, RoundStep{5, 5, 0, 0.0}};

std::string label_text(double value, int decimals) {
  std::array<char, 400> buffer{};
  const auto written = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                     std::chars_format::fixed, decimals);
  std::string text(buffer.data(), written.ptr);
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  if (zero && text.front() == '-') text.erase(0, 1);
  return text;
}

}  // namespace

// Tries every axis made of 3 to 5 round steps that keeps the range between a fifth and a half of
// it, and takes the one with the least cost. Cost: the share away from a third; a closed range away
// from the middle; for an open range and for any range near zero, an axis that does not start at
// zero.
std::optional<Scale> scale_for(const Expectation& expectation) {
  if (!expectation.is_range() || !(expectation.low || expectation.high)) return std::nullopt;
  const bool closed = expectation.low && expectation.high;
  const double only_end = expectation.low.value_or(expectation.high.value_or(0));
  const double size =
      closed ? *expectation.high - *expectation.low : (only_end != 0 ? std::fabs(only_end) : 1.0);
  const bool may_start_below_zero = closed ? *expectation.low < 0 : only_end <= 0;

  double best_cost = std::numeric_limits<double>::infinity();
  Scale best;
  int best_decimals = 0;
  const int decade = static_cast<int>(std::floor(std::log10(size)));
  for (int power = decade - 2; power <= decade + 1; ++power) {
    for (const RoundStep& round : kRoundSteps) {
      const double step = round.mantissa * std::pow(10.0, power);
      for (int steps = 3; steps <= 5; ++steps) {
        const double length = step * steps;
        // Every multiple of the step that leaves the fixed end on the axis.
        const double first = std::floor((only_end - length) / step);
        for (int k = 0; k <= steps + 2; ++k) {
          const double low = (first + k) * step;
          const double high = low + length;
          if (low < 0 && !may_start_below_zero) continue;
          const double range_low = expectation.low ? *expectation.low : low;
          const double range_high = expectation.high ? *expectation.high : high;
          constexpr double kSlack = 1e-9;
          if (range_low < low - kSlack * step || range_high > high + kSlack * step) continue;
          const double share = (range_high - range_low) / length;
          if (share < 0.2 - kSlack || share > 0.5 + kSlack) continue;
          double cost = std::fabs(share - 1.0 / 3.0) + round.cost;
          if (closed) {
            const double middle = (range_low + range_high) / 2;
            const double off = std::fabs(middle - (low + high) / 2) / length;
            cost += low == 0 ? 0.2 * off : off;
            // A bracket at the upper end leaves no room for a reading past it; away from zero the
            // lower end is ruled out by the middle.
            if (high - range_high < 0.04 * length) cost += 0.5;
          } else if (only_end == 0) {
            // Nothing tells how large a reading may be: one unit each way is as good as any.
            cost += std::fabs(std::log10(step));
          } else if ((only_end > 0 ? low : high) != 0) {
            cost += 0.4;
          }
          if (cost < best_cost) {
            best_cost = cost;
            best.low = low;
            best.high = high;
            best.step = step;
            best.minor_step = step / round.minor_parts;
            best_decimals = std::max(0, -power + round.extra_decimals);
          }
        }
      }
    }
  }
  if (!std::isfinite(best_cost)) return std::nullopt;
  const int labels = static_cast<int>(std::lround((best.high - best.low) / best.step)) + 1;
  for (int i = 0; i < labels; ++i) {
    const double at = best.low + best.step * i;
    best.labels.push_back({at, label_text(at, best_decimals)});
  }
  return best;
}

}  // namespace baylore::trade
