#include "diagnosis/belief.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace baylore::diagnosis {
namespace {

// p log2 p, with its limit 0 at 0.
double plogp(double p) { return p > 0 ? p * std::log2(p) : 0; }

}  // namespace

double logit(double p) { return std::log(p / (1 - p)); }

bool normalise(Weights& weights) {
  const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
  if (!(sum > 0) || !std::isfinite(sum)) return false;
  for (double& weight : weights) weight /= sum;
  return true;
}

double entropy_bits(const Weights& weights) {
  double sum = 0;
  for (const double weight : weights) sum -= plogp(weight);
  return std::max(sum, 0.0);
}

Weights posterior(const Weights& weights, const std::vector<double>& likelihood) {
  Weights after = weights;
  for (std::size_t i = 0; i < after.size(); ++i) after[i] *= likelihood[i];
  return normalise(after) ? after : weights;
}

double information_bits(const Weights& weights, const std::vector<double>& outside) {
  // The mutual information of cause and answer: the answer's entropy less its entropy once the
  // cause is known. Two logarithms a cause, and no weights are made.
  double out = 0;
  double given = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    if (weights[i] <= 0) continue;
    out += weights[i] * outside[i];
    given -= weights[i] * (plogp(outside[i]) + plogp(1 - outside[i]));
  }
  return std::max(-plogp(out) - plogp(1 - out) - given, 0.0);
}

Split split(const Weights& weights, const std::vector<double>& outside) {
  Split result;
  std::vector<double> inside(outside.size());
  for (std::size_t i = 0; i < outside.size(); ++i) {
    inside[i] = 1 - outside[i];
    result.outside += weights[i] * outside[i];
  }
  result.bits = information_bits(weights, outside);
  result.if_outside = posterior(weights, outside);
  result.if_inside = posterior(weights, inside);
  return result;
}

std::vector<std::size_t> repair_order(const Weights& weights, const std::vector<double>& minutes) {
  std::vector<std::size_t> order(weights.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  // a/b > c/d as a*d > c*b: exact where the quotients round to the same number.
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return weights[a] * minutes[b] > weights[b] * minutes[a];
  });
  return order;
}

double expected_minutes(const Weights& weights, const std::vector<double>& minutes,
                        const std::vector<std::size_t>& order) {
  double left = 1;
  double sum = 0;
  for (const std::size_t cause : order) {
    sum += minutes[cause] * std::max(left, 0.0);
    left -= weights[cause];
  }
  return sum;
}

}  // namespace baylore::diagnosis
