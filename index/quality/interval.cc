#include "quality/interval.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>

#include "quality/special.h"

namespace baylore::quality {
namespace {

bool makes_sense(double hits, double of, double confidence) {
  return of > 0 && hits >= 0 && hits <= of && confidence > 0 && confidence < 1 && std::isfinite(of);
}

}  // namespace

Interval wilson(double hits, double of, double confidence) {
  if (!makes_sense(hits, of, confidence)) return {};
  const double z = std::sqrt(2.0) * boost::math::erf_inv(confidence, special::kPolicy);
  const double p = hits / of;
  const double middle = p + z * z / (2 * of);
  const double half = z * std::sqrt(p * (1 - p) / of + z * z / (4 * of * of));
  const double all = 1 + z * z / of;
  // At no hit and at all hits one end is exactly 0 or 1; rounding must not move it.
  return {hits == 0 ? 0 : std::max(0.0, (middle - half) / all),
          hits == of ? 1 : std::min(1.0, (middle + half) / all)};
}

Interval jeffreys(double hits, double of, double confidence) {
  if (!makes_sense(hits, of, confidence)) return {};
  const double a = hits + 0.5;
  const double b = of - hits + 0.5;
  const double tail = (1 - confidence) / 2;
  return {hits == 0 ? 0 : boost::math::ibeta_inv(a, b, tail, special::kPolicy),
          hits == of ? 1 : boost::math::ibetac_inv(a, b, tail, special::kPolicy)};
}

double jeffreys_mean(double hits, double of) { return (hits + 0.5) / (of + 1); }

}  // namespace baylore::quality
