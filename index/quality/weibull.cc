#include "quality/weibull.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/erf.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <set>

#include "quality/special.h"
#include "words/words.h"

namespace baylore::quality {
namespace {

constexpr double kFlattest = 0.01;
constexpr double kSteepest = 100;

double z_of(double confidence) {
  return std::sqrt(2.0) * boost::math::erf_inv(confidence, special::kPolicy);
}

Interval around_log(double value, double error, double confidence) {
  const double spread = z_of(confidence) * error;
  return {value * std::exp(-spread), value * std::exp(spread)};
}

// Sums over all lives at one shape, of times divided by the longest so that no power overflows.
struct Sums {
  double plain = 0;  // sum of t^b
  double once = 0;   // sum of t^b log t
  double twice = 0;  // sum of t^b (log t)^2
};

class Likelihood {
 public:
  explicit Likelihood(const std::vector<Life>& lives) {
    for (const Life& life : lives) longest_ = std::max(longest_, life.time);
    for (const Life& life : lives) {
      const double log_time = std::log(life.time / longest_);
      logs_.push_back(log_time);
      if (!life.failed) continue;
      ++failed_;
      failed_logs_ += log_time;
    }
  }

  [[nodiscard]] Sums sums(double shape) const {
    Sums sums;
    for (const double log_time : logs_) {
      const double power = std::exp(shape * log_time);
      sums.plain += power;
      sums.once += power * log_time;
      sums.twice += power * log_time * log_time;
    }
    return sums;
  }
  // The derivative of the likelihood by the shape, the scale put in; rises with the shape.
  [[nodiscard]] double score(double shape) const {
    const Sums at = sums(shape);
    return at.once / at.plain - 1 / shape - failed_logs_ / failed_;
  }

  [[nodiscard]] WeibullFit fit(double shape) const {
    const Sums at = sums(shape);
    const double r = failed_;
    WeibullFit fit;
    fit.shape = shape;
    const double scaled = std::pow(at.plain / r, 1 / shape);  // the scale over the longest time
    fit.scale = longest_ * scaled;
    fit.count = static_cast<int>(logs_.size());
    fit.failed = failed_;
    fit.few = failed_ < kWeibullWarns;
    const double log_scale = std::log(scaled);
    fit.log_likelihood = r * std::log(shape) - r * shape * log_scale + (shape - 1) * failed_logs_ -
                         r - r * std::log(longest_);
    // The observed information of u = log(scale) and v = log(shape) at the maximum. With
    // w = log(t) - u: d2/du2 = -b^2 r, d2/du dv = b^2 sum (t/scale)^b w,
    // d2/dv2 = -r - b^2 sum (t/scale)^b w^2, the sum of (t/scale)^b being r.
    const double inverse = r / at.plain;
    const double once = inverse * at.once - r * log_scale;
    const double twice =
        inverse * at.twice - 2 * log_scale * inverse * at.once + r * log_scale * log_scale;
    const double uu = shape * shape * r;
    const double uv = -shape * shape * once;
    const double vv = r + shape * shape * twice;
    const double determinant = uu * vv - uv * uv;
    fit.error_log_scale = std::sqrt(vv / determinant);
    fit.error_log_shape = std::sqrt(uu / determinant);
    fit.correlation = -uv / std::sqrt(uu * vv);
    return fit;
  }

 private:
  std::vector<double> logs_;
  double longest_ = 0;
  double failed_logs_ = 0;
  int failed_ = 0;
};

}  // namespace

double WeibullFit::failed_by(double time) const {
  return time <= 0 ? 0 : -std::expm1(-std::pow(time / scale, shape));
}

double WeibullFit::time_when(double share) const {
  return scale * std::pow(-std::log1p(-share), 1 / shape);
}

Interval WeibullFit::shape_interval(double confidence) const {
  return around_log(shape, error_log_shape, confidence);
}

Interval WeibullFit::scale_interval(double confidence) const {
  return around_log(scale, error_log_scale, confidence);
}

Interval WeibullFit::time_interval(double share, double confidence) const {
  // log t = u + k / e^v with k = log(-log(1 - share)): its slope along v is -k / shape.
  const double slope = -std::log(-std::log1p(-share)) / shape;
  const double variance = error_log_scale * error_log_scale +
                          slope * slope * error_log_shape * error_log_shape +
                          2 * slope * correlation * error_log_scale * error_log_shape;
  return around_log(time_when(share), std::sqrt(std::max(variance, 0.0)), confidence);
}

std::variant<WeibullFit, NoFit> fit_weibull(const std::vector<Life>& lives) {
  std::set<double> times;
  int failed = 0;
  for (const Life& life : lives) {
    if (!(life.time > 0) || std::isinf(life.time)) return NoFit{tr("a time that is not above 0")};
    if (!life.failed) continue;
    ++failed;
    times.insert(life.time);
  }
  if (static_cast<int>(times.size()) < kWeibullNeeds) {
    return NoFit{failed == 0
                     ? std::string(tr("nothing failed yet"))
                     : say_count("1 failure: two at different times are needed",
                                 "{0} failures at one time: two at different times are needed",
                                 failed, failed)};
  }
  const Likelihood likelihood(lives);
  // The line through the points is near; the bracket grows from there.
  const double start =
      std::clamp(weibull_line(weibull_points(lives, MedianRank::benard), Along::time).shape,
                 2 * kFlattest, kSteepest / 2);
  double low = start, high = start;
  while (low > kFlattest && likelihood.score(low) > 0) low /= 2;
  while (high < kSteepest && likelihood.score(high) < 0) high *= 2;
  if (likelihood.score(low) > 0 || likelihood.score(high) < 0)
    return NoFit{tr("the failures lie too close together for a curve")};
  double shape = low;
  if (high > low) {
    std::uintmax_t steps = 200;
    const auto ends = boost::math::tools::toms748_solve(
        [&](double at) { return likelihood.score(at); }, low, high,
        boost::math::tools::eps_tolerance<double>(50), steps, special::kPolicy);
    shape = (ends.first + ends.second) / 2;
  }
  return likelihood.fit(shape);
}

Wear wear_of(const WeibullFit& fit) {
  const Interval shape = fit.shape_interval(kScreenConfidence);
  if (shape.high < 1) return Wear::early;
  return shape.low > 1 ? Wear::late : Wear::unknown;
}

double median_rank(double i, int n, MedianRank kind) {
  if (kind == MedianRank::benard) return (i - 0.3) / (n + 0.4);
  return boost::math::ibeta_inv(i, n - i + 1, 0.5, special::kPolicy);
}

// Johnson's rule: each failure's rank is that of the one before and a step, the step being what is
// left of the ranks over one more than what is left of the lives.
std::vector<PlotPoint> weibull_points(std::vector<Life> lives, MedianRank kind) {
  std::sort(lives.begin(), lives.end(), [](const Life& x, const Life& y) {
    return x.time != y.time ? x.time < y.time : x.failed > y.failed;
  });
  std::vector<PlotPoint> points;
  const auto count = static_cast<double>(lives.size());
  double rank = 0;
  for (std::size_t i = 0; i < lives.size(); ++i) {
    if (!lives[i].failed) continue;
    const double left = count - static_cast<double>(i);
    rank += (count + 1 - rank) / (left + 1);
    points.push_back({lives[i].time, rank, median_rank(rank, static_cast<int>(count), kind)});
  }
  return points;
}

WeibullLine weibull_line(const std::vector<PlotPoint>& points, Along along) {
  double n = 0, x = 0, y = 0;
  const auto height = [](const PlotPoint& p) { return std::log(-std::log1p(-p.share)); };
  for (const PlotPoint& p : points) {
    x += std::log(p.time);
    y += height(p);
    ++n;
  }
  if (n < 2) return {};
  x /= n;
  y /= n;
  double xx = 0, xy = 0, yy = 0;
  for (const PlotPoint& p : points) {
    const double dx = std::log(p.time) - x;
    const double dy = height(p) - y;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  if (!(xx > 0) || !(yy > 0) || !(xy > 0)) return {};
  WeibullLine line;
  line.shape = along == Along::time ? yy / xy : xy / xx;
  line.scale = std::exp(x - y / line.shape);
  line.correlation = xy / std::sqrt(xx * yy);
  return line;
}

}  // namespace baylore::quality
