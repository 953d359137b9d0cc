#include "bootstrap.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

namespace baylore::benchmark {

std::vector<double> resampled_means(const std::vector<double>& values, std::size_t resamples,
                                    std::uint64_t seed) {
  // The standard leaves open how its distributions draw, the engine alone is fixed: hence our own
  // draw. The bias of the remainder is below 1e-15.
  std::mt19937_64 random(seed);
  std::vector<double> means;
  means.reserve(resamples);
  const auto size = static_cast<double>(values.size());
  for (std::size_t i = 0; i < resamples; ++i) {
    double sum = 0;
    for (std::size_t n = 0; n < values.size(); ++n) sum += values[random() % values.size()];
    means.push_back(sum / size);
  }
  std::sort(means.begin(), means.end());
  return means;
}

double quantile(const std::vector<double>& ascending, double share) {
  if (ascending.empty()) return 0;
  const double place = share * static_cast<double>(ascending.size() - 1);
  const auto below = static_cast<std::size_t>(std::floor(place));
  const std::size_t above = std::min(below + 1, ascending.size() - 1);
  const double part = place - static_cast<double>(below);
  return ascending[below] + part * (ascending[above] - ascending[below]);
}

Interval bootstrap(const std::vector<double>& values, double share) {
  Interval interval;
  if (values.empty()) return interval;
  interval.mean =
      std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
  const std::vector<double> means = resampled_means(values);
  interval.low = quantile(means, (1 - share) / 2);
  interval.high = quantile(means, (1 + share) / 2);
  return interval;
}

}  // namespace baylore::benchmark
