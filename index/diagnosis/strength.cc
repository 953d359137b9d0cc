#include "diagnosis/strength.h"

#include <algorithm>
#include <cmath>

namespace baylore::diagnosis {
namespace {

const double kQuarterStep = std::pow(2.0, 0.25);
constexpr double kLeastRate = 0.001;

}  // namespace

const StrengthRow* strength_row(std::string_view word) {
  const auto at = std::find_if(kStrengths.begin(), kStrengths.end(),
                               [&](const StrengthRow& row) { return row.word == word; });
  return at == kStrengths.end() ? nullptr : &*at;
}

double ratio_of(Strength strength) { return kStrengths[static_cast<std::size_t>(strength)].ratio; }

Strength nearest_strength(double ratio) {
  const auto away = [&](const StrengthRow& row) { return std::abs(std::log(row.ratio / ratio)); };
  return std::min_element(
             kStrengths.begin(), kStrengths.end(),
             [&](const StrengthRow& a, const StrengthRow& b) { return away(a) < away(b); })
      ->strength;
}

Rates rates_of(double outside, double inside) {
  // One direction on both sides: the weaker word is dropped.
  if ((outside > 1 && inside > 1) || (outside < 1 && inside < 1)) {
    const double o = std::abs(std::log(outside));
    const double i = std::abs(std::log(inside));
    if (o == i) return {};
    (o > i ? inside : outside) = 1;
  }
  if (outside == 1 && inside == 1) return {};
  if (inside == 1) inside = outside > 1 ? 1 / kQuarterStep : kQuarterStep;
  if (outside == 1) outside = inside > 1 ? 1 / kQuarterStep : kQuarterStep;
  const double without = (1 - inside) / (outside - inside);
  const double with = outside * without;
  return {std::clamp(with, kLeastRate, 1 - kLeastRate),
          std::clamp(without, kLeastRate, 1 - kLeastRate)};
}

}  // namespace baylore::diagnosis
