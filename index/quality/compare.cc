#include "quality/compare.h"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "quality/special.h"

namespace baylore::quality {
namespace {

// The hypergeometric distribution of row A's hits given the margins, its weights in logarithms so
// that no table is too large.
class Tables {
 public:
  Tables(int a_hits, int a_misses, int b_hits, int b_misses)
      : low_(std::max(0, a_hits - b_misses)), high_(std::min(a_hits + a_misses, a_hits + b_hits)) {
    const auto log_choose = [](double n, double k) {
      return boost::math::lgamma(n + 1, special::kPolicy) -
             boost::math::lgamma(k + 1, special::kPolicy) -
             boost::math::lgamma(n - k + 1, special::kPolicy);
    };
    const double row_a = a_hits + a_misses;
    const double row_b = b_hits + b_misses;
    const double hits = a_hits + b_hits;
    for (int x = low_; x <= high_; ++x)
      logs_.push_back(log_choose(row_a, x) + log_choose(row_b, hits - x));
  }
  [[nodiscard]] int low() const { return low_; }
  [[nodiscard]] int high() const { return high_; }

  // Probabilities of low() .. high() when the odds ratio is e^log_ratio.
  [[nodiscard]] std::vector<double> at(double log_ratio) const {
    std::vector<double> p(logs_.size());
    for (std::size_t i = 0; i < p.size(); ++i) p[i] = logs_[i] + log_ratio * static_cast<double>(i);
    const double most = *std::max_element(p.begin(), p.end());
    double sum = 0;
    for (double& each : p) sum += each = std::exp(each - most);
    for (double& each : p) each /= sum;
    return p;
  }
  [[nodiscard]] double mean(double log_ratio) const {
    const std::vector<double> p = at(log_ratio);
    double mean = low_;
    for (std::size_t i = 0; i < p.size(); ++i) mean += p[i] * static_cast<double>(i);
    return mean;
  }

 private:
  int low_;
  int high_;
  std::vector<double> logs_;
};

double conditional_odds_ratio(const Tables& tables, int hits) {
  if (tables.low() == tables.high()) return std::numeric_limits<double>::quiet_NaN();
  if (hits == tables.low()) return 0;
  if (hits == tables.high()) return std::numeric_limits<double>::infinity();
  const auto excess = [&](double log_ratio) { return tables.mean(log_ratio) - hits; };
  constexpr double kFar = 50;  // e^50: beyond any table of whole numbers
  std::uintmax_t steps = 200;
  const auto ends = boost::math::tools::toms748_solve(
      excess, -kFar, kFar, boost::math::tools::eps_tolerance<double>(48), steps, special::kPolicy);
  return std::exp((ends.first + ends.second) / 2);
}

}  // namespace

Beta jeffreys_posterior(double hits, double of) { return {hits + 0.5, of - hits + 0.5}; }
Beta uniform_posterior(double hits, double of) { return {hits + 1, of - hits + 1}; }

double quantile(const Beta& share, double p) {
  return boost::math::ibeta_inv(share.a, share.b, p, special::kPolicy);
}

Interval interval(const Beta& share, double confidence) {
  const double tail = (1 - confidence) / 2;
  return {quantile(share, tail), boost::math::ibetac_inv(share.a, share.b, tail, special::kPolicy)};
}

double at_most(const Beta& share, double x) {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  return boost::math::ibeta(share.a, share.b, x, special::kPolicy);
}

double chance_greater(const Beta& a, const Beta& b) {
  // Near the ends of u the integrand turns like a root: substituting u = s²(3 - 2s) flattens both.
  const auto integrand = [&](double s) {
    const double u = s * s * (3 - 2 * s);
    if (u <= 0 || u >= 1) return 0.0;
    return at_most(b, quantile(a, u)) * 6 * s * (1 - s);
  };
  const double chance =
      boost::math::quadrature::gauss_kronrod<double, 31>::integrate(integrand, 0.0, 1.0, 8, 1e-10);
  return std::clamp(chance, 0.0, 1.0);
}

std::vector<double> next_hits(const Beta& share, int of) {
  std::vector<double> p;
  if (of < 0 || of > 1000) return p;
  const double n = of;
  const auto log_beta = [](double a, double b) {
    return boost::math::lgamma(a, special::kPolicy) + boost::math::lgamma(b, special::kPolicy) -
           boost::math::lgamma(a + b, special::kPolicy);
  };
  for (int k = 0; k <= of; ++k) {
    const double log_choose = -std::log(n + 1) - log_beta(n - k + 1, k + 1);
    p.push_back(
        std::exp(log_choose + log_beta(share.a + k, share.b + n - k) - log_beta(share.a, share.b)));
  }
  return p;
}

FisherTest fisher_exact(int a_hits, int a_misses, int b_hits, int b_misses) {
  FisherTest test;
  if (std::min({a_hits, a_misses, b_hits, b_misses}) < 0) return test;
  const Tables tables(a_hits, a_misses, b_hits, b_misses);
  const std::vector<double> p = tables.at(0);
  const auto here = static_cast<std::size_t>(a_hits - tables.low());
  double two = 0, less = 0, greater = 0;
  // As likely as this one, up to rounding, counts as no likelier.
  const double bound = p[here] * (1 + 1e-7);
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (p[i] <= bound) two += p[i];
    if (i <= here) less += p[i];
    if (i >= here) greater += p[i];
  }
  test.two_sided = std::min(two, 1.0);
  test.less = std::min(less, 1.0);
  test.greater = std::min(greater, 1.0);
  const double across = static_cast<double>(a_misses) * b_hits;
  const double along = static_cast<double>(a_hits) * b_misses;
  test.sample_odds_ratio = across > 0 ? along / across : std::numeric_limits<double>::infinity();
  test.conditional_odds_ratio = conditional_odds_ratio(tables, a_hits);
  return test;
}

}  // namespace baylore::quality
