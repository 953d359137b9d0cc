// How sure a mean over questions is: the percentile bootstrap of Efron and Tibshirani, "An
// Introduction to the Bootstrap" (1993), chapters 6 and 13. For two rankings of the same questions
// the values are the differences question by question, which makes it the paired bootstrap.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace baylore::benchmark {

inline constexpr std::size_t kResamples = 10000;

struct Interval {
  double mean = 0;
  double low = 0;
  double high = 0;
};

// The means of `resamples` samples drawn from `values` with replacement, each as long as `values`,
// in ascending order. The same on every machine and compiler. `values` may not be empty.
std::vector<double> resampled_means(const std::vector<double>& values,
                                    std::size_t resamples = kResamples,
                                    std::uint64_t seed = 20260314);

// The quantile of ascending values, 0 <= share <= 1, by linear interpolation between neighbours
// (definition 7 of Hyndman and Fan, 1996).
double quantile(const std::vector<double>& ascending, double share);

// The mean with its interval of the given share; all zero when there are no values.
Interval bootstrap(const std::vector<double>& values, double share = 0.95);

}  // namespace baylore::benchmark
