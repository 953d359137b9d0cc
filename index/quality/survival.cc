#include "quality/survival.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/erf.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <limits>

#include "quality/special.h"

namespace baylore::quality {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

void put_in_order(std::vector<Life>& lives) {
  lives.erase(
      std::remove_if(lives.begin(), lives.end(),
                     [](const Life& life) { return !(life.time >= 0) || std::isinf(life.time); }),
      lives.end());
  std::sort(lives.begin(), lives.end(), [](const Life& x, const Life& y) {
    return x.time != y.time ? x.time < y.time : x.failed > y.failed;
  });
}

}  // namespace

double Step::standard_error() const { return survival > 0 ? survival * std::sqrt(variance) : 0; }

Interval band(const Step& step, Band kind, double confidence) {
  const double z = std::sqrt(2.0) * boost::math::erf_inv(confidence, special::kPolicy);
  const double s = step.survival;
  if (s <= 0) return {kNan, kNan};
  const double spread = z * std::sqrt(step.variance);
  switch (kind) {
    case Band::plain:
      return {std::max(0.0, s - s * spread), std::min(1.0, s + s * spread)};
    case Band::log:
      return {s * std::exp(-spread), std::min(1.0, s * std::exp(spread))};
    case Band::log_log:
      break;
  }
  if (s >= 1) return {kNan, kNan};
  const double scale = spread / -std::log(s);
  return {std::pow(s, std::exp(scale)), std::pow(s, std::exp(-scale))};
}

Curve kaplan_meier(std::vector<Life> lives) {
  put_in_order(lives);
  Curve curve;
  curve.count = static_cast<int>(lives.size());
  if (!lives.empty()) curve.longest = lives.back().time;
  double survival = 1;
  double variance = 0;
  for (std::size_t i = 0; i < lives.size();) {
    const double time = lives[i].time;
    const int at_risk = static_cast<int>(lives.size() - i);
    int failed = 0;
    for (; i < lives.size() && lives[i].time == time; ++i) failed += lives[i].failed ? 1 : 0;
    if (failed == 0) continue;
    const double left = at_risk - failed;
    survival *= left / at_risk;
    variance += failed / (left * at_risk);  // infinite when none is left
    curve.failed += failed;
    curve.steps.push_back({time, at_risk, failed, survival, variance});
  }
  return curve;
}

const Step* Curve::step_at(double time) const {
  const auto after = std::upper_bound(steps.begin(), steps.end(), time,
                                      [](double t, const Step& step) { return t < step.time; });
  return after == steps.begin() ? nullptr : &*(after - 1);
}

std::optional<double> Curve::at(double time) const {
  if (count == 0 || time > longest) return std::nullopt;
  const Step* step = step_at(time);
  return step == nullptr ? 1.0 : step->survival;
}

std::optional<double> Curve::median() const {
  constexpr double kRounding = 1e-12;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (steps[i].survival > 0.5 + kRounding) continue;
    if (steps[i].survival < 0.5 - kRounding || i + 1 == steps.size()) return steps[i].time;
    return (steps[i].time + steps[i + 1].time) / 2;
  }
  return std::nullopt;
}

// P(X >= k) of the binomial is a regularised incomplete beta function.
double falls_to_it(int observed, int all, double expected) {
  if (observed <= 0 || expected >= all) return 1;
  return boost::math::ibeta(observed, all - observed + 1, expected / all, special::kPolicy);
}

LogRank log_rank(const std::vector<Life>& a, const std::vector<Life>& b) {
  return each_against_rest({a, b}).front();
}

// All lives in the order of time. At each time of failure every group with lives still at risk is
// to be expected its share of the failures; the differences from what was observed, and the
// hypergeometric variances, add up. Groups that are used up drop out: after that the rest is alone.
std::vector<LogRank> each_against_rest(const std::vector<std::vector<Life>>& groups) {
  struct Member {
    double time;
    bool failed;
    std::size_t group;
  };
  std::vector<Member> all;
  std::vector<double> at_risk(groups.size(), 0);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    for (const Life& life : groups[g]) {
      if (!(life.time >= 0) || std::isinf(life.time)) continue;
      all.push_back({life.time, life.failed, g});
      ++at_risk[g];
    }
  }
  std::sort(all.begin(), all.end(),
            [](const Member& x, const Member& y) { return x.time < y.time; });
  std::vector<LogRank> tests(groups.size());
  std::vector<double> variances(groups.size(), 0);
  std::vector<int> failed(groups.size(), 0);
  auto n = static_cast<double>(all.size());
  for (std::size_t i = 0; i < all.size();) {
    std::size_t next = i;
    int d = 0;
    for (; next < all.size() && all[next].time == all[i].time; ++next) {
      if (!all[next].failed) continue;
      ++failed[all[next].group];
      ++d;
    }
    for (std::size_t g = 0; g < groups.size() && d > 0; ++g) {
      const double share = at_risk[g] / n;
      tests[g].observed_a += failed[g];
      tests[g].observed_b += d - failed[g];
      tests[g].expected_a += d * share;
      tests[g].expected_b += d * (1 - share);
      if (n > 1) variances[g] += d * share * (1 - share) * (n - d) / (n - 1);
      failed[g] = 0;
    }
    for (; i < next; ++i) {
      --at_risk[all[i].group];
      --n;
    }
  }
  for (std::size_t g = 0; g < groups.size(); ++g) {
    LogRank& test = tests[g];
    if (variances[g] <= 0) continue;
    const double excess = test.observed_a - test.expected_a;
    test.chi_square = excess * excess / variances[g];
    test.p = boost::math::gamma_q(0.5, test.chi_square / 2, special::kPolicy);
    test.a_worse = falls_to_it(test.observed_a, test.observed_a + test.observed_b, test.expected_a);
  }
  return tests;
}

}  // namespace baylore::quality
