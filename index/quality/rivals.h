// Rivals for one place on the car judged against each other: numbers of a family, brands, grades,
// lots of a number. From lives alone; history.h says where they come from.
//
// What is compared. A part counts as come back when it failed within the window (the shop's
// comeback months). One that is still in service and younger than the window has passed only part
// of the test, and counts as that part: the share of the window's failures that come as early,
// after all rivals' common curve; where that curve has fewer than kShapeNeeds failures, the share
// of the window that has gone by. So a brand fitted last month neither shines nor is judged.
//
// The words rest on LogRank::a_worse, the probability that so many of all failures fall to a rival
// by chance, over the whole lives, with Holm's correction over the rivals (Scand. J. Stat. 6:65,
// 1979):
//   too few to judge     fewer than kFewest windows' worth of parts behind it, or behind the others
//   clearly worse        in at most 1 of 40 families of equals would any be called so; at least 3
//                        failures, and kClearlyTimes as often as the others
//   likely worse         the same with 1 of 10 families, and kLikelyTimes as often
//   no clear difference  all else; also of what is better
// The probability that its share is above the others' (chance_worse) stands beside the word and
// does not make it: of twenty equal brands one is always the unluckiest.
#pragma once

#include <string_view>
#include <vector>

#include "quality/compare.h"
#include "quality/interval.h"
#include "quality/shrink.h"
#include "quality/survival.h"

namespace baylore::quality {

enum class Verdict { too_few, no_clear_difference, likely_worse, clearly_worse };
std::string_view verdict_word(Verdict verdict);  // "too few to judge" ...

inline constexpr double kFewest = 5;
inline constexpr int kShapeNeeds = 5;
inline constexpr double kClearlyAlarm = 0.025;
inline constexpr double kLikelyAlarm = 0.10;
inline constexpr double kClearlyTimes = 1.5;
inline constexpr double kLikelyTimes = 1.25;
inline constexpr int kFewestFailures = 3;

// How many times as often as B A fails, by what was observed of each and what was expected had both
// failed alike: infinite when B never failed and A did, 1 when neither did.
double times_as_often(double observed_a, double expected_a, double observed_b, double expected_b);

// The rule alone, for what is gathered otherwise.
struct Evidence {
  bool enough = false;  // to be judged at all
  double a_worse = 1;   // as LogRank
  int failures = 0;
  double times = 1;  // as often as the others
};
std::vector<Verdict> verdicts(const std::vector<Evidence>& rivals);

struct Judged {
  Count window;               // come back within the window, of so many windows' worth of parts
  Interval share;             // Jeffreys, kScreenConfidence: "9 in 10 sure"
  double mean = 0;            // posterior mean of the share
  Beta drawn_in;              // the share drawn toward the rivals' mean (shrink.h)
  double chance_worse = 0.5;  // P(its share > that of all the others together)
  LogRank lives;              // it against all the others, over the whole lives
  double times = 1;  // how many times as often as the others it fails; infinite when they never did
  Verdict verdict = Verdict::too_few;
};

struct Judgement {
  std::vector<Judged> rivals;  // as given
  Scatter scatter;             // of the rivals' shares
  Judged all;                  // all together; no verdict, nothing to compare with
};

// `window` in the unit of the lives, > 0. Of one rival only the share is told.
Judgement judge(const std::vector<std::vector<Life>>& rivals, double window);

}  // namespace baylore::quality
