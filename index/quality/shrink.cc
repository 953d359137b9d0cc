#include "quality/shrink.h"

#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "quality/special.h"

namespace baylore::quality {
namespace {

double log_gamma(double x) { return boost::math::lgamma(x, special::kPolicy); }

// The best mean at one strength, by the logit, and its likelihood.
std::pair<double, double> best_mean(const std::vector<Count>& brands, double strength) {
  constexpr double kFar = 12;  // shares from 6 in a million to the same below 1
  constexpr int kBits = 26;
  std::uintmax_t steps = 60;
  const auto least = boost::math::tools::brent_find_minima(
      [&](double logit) { return -log_belief(brands, 1 / (1 + std::exp(-logit)), strength); },
      -kFar, kFar, kBits, steps);
  return {1 / (1 + std::exp(-least.first)), -least.second};
}

}  // namespace

Beta Scatter::of(const Count& count) const {
  const Beta before = prior();
  return {before.a + count.hits, before.b + count.of - count.hits};
}

double log_marginal(const std::vector<Count>& brands, double mean, double strength) {
  const double a = mean * strength;
  const double b = (1 - mean) * strength;
  double sum = 0;
  for (const Count& brand : brands) {
    if (brand.of <= 0) continue;
    sum += log_gamma(a + brand.hits) - log_gamma(a) + log_gamma(b + brand.of - brand.hits) -
           log_gamma(b) - log_gamma(strength + brand.of) + log_gamma(strength);
  }
  return sum;
}

double log_belief(const std::vector<Count>& brands, double mean, double strength) {
  const double away = std::log(strength / kUsualStrength);
  return log_marginal(brands, mean, strength) - away * away / 2;
}

Scatter scatter_of(const std::vector<Count>& brands) {
  Scatter scatter;
  double hits = 0, of = 0;
  std::size_t told = 0;
  for (const Count& brand : brands) {
    if (brand.of <= 0) continue;
    hits += brand.hits;
    of += brand.of;
    ++told;
  }
  if (of <= 0) return scatter;
  scatter.mean = (hits + 0.5) / (of + 1);
  scatter.strength = kUsualStrength;
  if (told < 3 || hits <= 0 || hits >= of) return scatter;
  std::uintmax_t steps = 40;
  constexpr int kBits = 20;
  const auto least = boost::math::tools::brent_find_minima(
      [&](double log_strength) { return -best_mean(brands, std::exp(log_strength)).second; },
      std::log(kLeastStrength), std::log(kMostStrength), kBits, steps);
  scatter.strength = std::exp(least.first);
  scatter.mean = best_mean(brands, scatter.strength).first;
  scatter.estimated = true;
  return scatter;
}

}  // namespace baylore::quality
