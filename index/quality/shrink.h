// Brands of one component seen together: a brand with two on record says little of itself and is
// drawn toward the component's mean; one with two hundred keeps its own share.
#pragma once

#include <vector>

#include "quality/compare.h"

namespace baylore::quality {

// Comebacks in so many; both may be fractions, 0 <= hits <= of.
struct Count {
  double hits = 0;
  double of = 0;
};

// How the shares of a component's brands scatter: a Beta distribution, found from the counts
// themselves (empirical Bayes: beta-binomial, marginal likelihood; Skellam 1948, Casella, Am. Stat.
// 39:83, 1985). Four or five brands tell the strength hardly at all: it is weighed with what is
// usual, kUsualStrength give or take a factor of e, which dozens of brands outweigh.
struct Scatter {
  double mean = 0.05;
  double strength = 10;    // as many as this many parts of one's own: a + b of the Beta
  bool estimated = false;  // false: fewer than three brands, or nothing came back; `strength` is
                           // then kUsualStrength around the pooled share
  [[nodiscard]] Beta prior() const { return {mean * strength, (1 - mean) * strength}; }
  // What is known of a brand with these counts.
  [[nodiscard]] Beta of(const Count& count) const;
};

// The strength where the brands are too few to tell it (common practice, no source), and the most
// and least that is believed of an estimate: brands never are exactly alike.
inline constexpr double kUsualStrength = 20;
inline constexpr double kLeastStrength = 1;
inline constexpr double kMostStrength = 1000;

Scatter scatter_of(const std::vector<Count>& brands);

// The logarithm of the marginal likelihood, without the binomial coefficients, which do not change.
double log_marginal(const std::vector<Count>& brands, double mean, double strength);
// The same with what is usual of the strength: scatter_of() finds its highest point.
double log_belief(const std::vector<Count>& brands, double mean, double strength);

}  // namespace baylore::quality
