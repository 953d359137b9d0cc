// Weibull lives: whether a part fails early, at random or by wear, and when.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "quality/interval.h"
#include "quality/survival.h"

namespace baylore::quality {

struct WeibullFit {
  double shape = 1;  // beta: below 1 fails early, 1 at random, above 1 wears out
  double scale = 1;  // eta: by then 63.2 % have failed; in the unit of the times
  double log_likelihood = 0;
  int count = 0;
  int failed = 0;
  // Standard errors and correlation of log(scale) and log(shape), from the observed information.
  double error_log_scale = 0;
  double error_log_shape = 0;
  double correlation = 0;
  bool few = false;  // fewer than kWeibullWarns failures: told with a warning

  [[nodiscard]] double failed_by(double time) const;   // share failed by then
  [[nodiscard]] double time_when(double share) const;  // the time by which `share` (0 .. 1) failed
  [[nodiscard]] Interval shape_interval(double confidence) const;  // normal on the logarithm
  [[nodiscard]] Interval scale_interval(double confidence) const;
  // Of time_when(share), by the delta method on the logarithm.
  [[nodiscard]] Interval time_interval(double share, double confidence) const;
};

// Why there is no fit.
struct NoFit {
  std::string why;  // "1 failure: two at different times are needed"
};

// Below these the fit is refused, or told with a warning.
inline constexpr int kWeibullNeeds = 2;  // failures at different times
inline constexpr int kWeibullWarns = 5;  // failures

// Maximum likelihood with what has not failed yet counted as such. Times must be above 0: of parts
// fitted and failed on one day, give the day's half. Refused: fewer than kWeibullNeeds different
// times of failure, times that are not above 0 or not finite, or a likelihood without a maximum in
// 0.01 <= shape <= 100.
std::variant<WeibullFit, NoFit> fit_weibull(const std::vector<Life>& lives);

// What the fit says, or that it says nothing: the shape's 90 % interval lies below 1, above 1, or
// on both sides.
enum class Wear { unknown, early, late };
Wear wear_of(const WeibullFit& fit);

// A failure on a Weibull plot: where it stands among all, those in service taken into account.
struct PlotPoint {
  double time = 0;
  double rank = 0;   // Johnson's adjusted rank (1964): the plain one where nothing is censored
  double share = 0;  // the median rank: the share failed by then
};
enum class MedianRank {
  exact,   // the median of Beta(i, n - i + 1)
  benard,  // (i - 0.3) / (n + 0.4), Benard and Bos-Levenbach 1953
};
// The median rank of the i-th of n; i from 0 to n, and not whole after Johnson's adjustment.
double median_rank(double i, int n, MedianRank kind);
// One point a failure, by time.
std::vector<PlotPoint> weibull_points(std::vector<Life> lives, MedianRank kind);

// The straight line through such points: log time against log(-log(1 - share)), distances taken
// along time (X on Y) or along the share (Y on X). Where the search for the maximum likelihood
// begins, and how points are seen to lie on a line.
struct WeibullLine {
  double shape = 0;
  double scale = 0;
  double correlation = 0;
};
enum class Along { time, share };
// Refused (shape 0) for points at fewer than two different times.
WeibullLine weibull_line(const std::vector<PlotPoint>& points, Along along);

}  // namespace baylore::quality
