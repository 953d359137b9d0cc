// How long things last when some have not failed yet: Kaplan-Meier curves and the log-rank test.
#pragma once

#include <optional>
#include <vector>

#include "quality/interval.h"

namespace baylore::quality {

// One thing, followed for `time` (any unit, > 0 or 0): it failed then, or was still in service when
// last known of (censored).
struct Life {
  double time = 0;
  bool failed = false;
};

// One step of the curve, at a time when something failed.
struct Step {
  double time = 0;
  int at_risk = 0;  // just before
  int failed = 0;
  double survival = 1;  // the share still in service after it (Kaplan and Meier 1958)
  double variance = 0;  // of log(survival), Greenwood's sum: infinite when survival is 0
  [[nodiscard]] double standard_error() const;  // Greenwood's, of the survival; 0 at survival 0
};

enum class Band {
  plain,    // survival +- z x standard error, cut at 0 and 1
  log,      // on the logarithm, cut at 1
  log_log,  // on log(-log(survival)): never leaves 0 .. 1, the one that is drawn
};
// Of one step; both ends NaN where the kind has none (survival 0, and log_log at survival 1).
Interval band(const Step& step, Band kind, double confidence);

// The curve. Failures come before censorings at the same time, so that what left at t was still at
// risk of failing at t. Times that are negative or not finite are left out.
struct Curve {
  std::vector<Step> steps;  // by time; empty when nothing failed
  int count = 0;
  int failed = 0;
  double longest = 0;  // the last time anything was known of

  // The survival at `time`: that of the last step at or before it. 1 before the first. Nothing
  // beyond `longest`: nobody was followed so long.
  [[nodiscard]] std::optional<double> at(double time) const;
  [[nodiscard]] const Step* step_at(double time) const;  // nullptr before the first
  // The first time at which at most half are left; the mean of both ends where the curve stands at
  // exactly one half. Nothing when it never comes down to it.
  [[nodiscard]] std::optional<double> median() const;
};
Curve kaplan_meier(std::vector<Life> lives);

// Whether two groups fail alike over their whole lives (Mantel 1966; Peto and Peto 1972).
struct LogRank {
  int observed_a = 0;
  int observed_b = 0;
  double expected_a = 0;  // failures of A had both failed alike
  double expected_b = 0;
  double chi_square = 0;  // one degree of freedom
  double p = 1;           // two-sided; 1 when nothing can be said
  // The probability that so many of all failures or more fall to A when both fail alike: the
  // binomial tail of observed_a among all, each falling to A with the share expected_a. The
  // failures fall to A with probabilities that differ from time to time, and a sum of such draws
  // strays less than the binomial does (Hoeffding, Ann. Math. Stat. 27:713, 1956): the tail is on
  // the safe side. Unlike the normal approximation it may be trusted at three failures.
  double a_worse = 1;
};
// That tail by itself: `observed` or more of `all` failures, each falling to it with the
// probability expected / all.
double falls_to_it(int observed, int all, double expected);
LogRank log_rank(const std::vector<Life>& a, const std::vector<Life>& b);
// Each group as A against all the others together as B, in one pass over all lives.
std::vector<LogRank> each_against_rest(const std::vector<std::vector<Life>>& groups);

}  // namespace baylore::quality
