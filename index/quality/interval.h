// A share of so many in so many, and how sure it is.
#pragma once

namespace baylore::quality {

struct Interval {
  double low = 0;
  double high = 1;
};

// How sure the intervals on the screen are: "9 in 10 sure".
inline constexpr double kScreenConfidence = 0.90;

// Wilson's score interval for `hits` of `of` (Wilson, J. Am. Stat. Assoc. 22:209, 1927). `of` > 0,
// 0 <= hits <= of, 0 < confidence < 1; both may be fractions. 0 to 1 for anything else.
Interval wilson(double hits, double of, double confidence);

// Jeffreys' equal-tailed interval: quantiles of Beta(hits + 1/2, of - hits + 1/2), its low end set
// to 0 when there was no hit and its high end to 1 when all were (Brown, Cai and DasGupta, Stat.
// Sci. 16:101, 2001). Averaged over shares drawn from Beta(1/2, 1/2) it covers exactly; at a fixed
// share it strays, and most at small numbers. Domain as for wilson().
Interval jeffreys(double hits, double of, double confidence);

// The posterior mean of the share under Jeffreys' prior: (hits + 1/2) / (of + 1).
double jeffreys_mean(double hits, double of);

}  // namespace baylore::quality
