// Two shares against each other.
#pragma once

#include <vector>

#include "quality/interval.h"

namespace baylore::quality {

// What is known of a share: a Beta distribution. a, b > 0.
struct Beta {
  double a = 0.5;
  double b = 0.5;
  [[nodiscard]] double mean() const { return a / (a + b); }
};
Beta jeffreys_posterior(double hits, double of);  // prior Beta(1/2, 1/2)
Beta uniform_posterior(double hits, double of);   // prior Beta(1, 1)

// The p-quantile, 0 < p < 1, and the equal-tailed interval.
double quantile(const Beta& share, double p);
Interval interval(const Beta& share, double confidence);
// The probability that the share is at most x.
double at_most(const Beta& share, double x);

// The probability that share A is greater than share B, the two independent: the integral of
// F_B(Q_A(u)) over u from 0 to 1, which stays smooth where the densities have poles. Absolute error
// below 1e-9. It is evidence, not a test: 0.97 may stand beside a Fisher p of 0.1.
double chance_greater(const Beta& a, const Beta& b);

// How many of the next `of` will be hits: probabilities of 0, 1 ... `of` (beta-binomial). `of` from
// 0 to 1000.
std::vector<double> next_hits(const Beta& share, int of);

// Fisher's exact test of a table of two rows {hits, misses} (Fisher 1935). Whole numbers, >= 0.
struct FisherTest {
  double two_sided = 1;               // all tables no likelier than this one
  double less = 1;                    // row A has as few hits or fewer
  double greater = 1;                 // row A has as many hits or more
  double sample_odds_ratio = 1;       // (a d) / (b c); infinite when b c = 0
  double conditional_odds_ratio = 1;  // its conditional maximum-likelihood estimate; 0 or infinite
                                      // at the ends of what the margins allow, NaN when they allow
                                      // one table only
};
FisherTest fisher_exact(int a_hits, int a_misses, int b_hits, int b_misses);

}  // namespace baylore::quality
