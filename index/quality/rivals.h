// Rivals for one place on the car judged against each other: numbers of a family, brands, grades,
// lots of a number. From lives alone; history.h says where they come from.
//
// What is compared. A part counts as come back when it failed within the window (the shop's
// comeback months). One that is still in service and younger than the window has passed only part
// of the test, and counts as that part: the share of the window's failures that come as early,
// after all rivals' common curve; where that curve has fewer than kShapeNeeds failures, the share
// of the window that has gone by. So a brand fitted last month neither shines nor is judged.
//
// The words:
//   too few to judge     fewer than kFewest parts' worth of the window behind it, or behind the
//                        others
//   clearly worse        so many of all failures fall to it by chance in at most 2.5 % of all
//                        families (LogRank::a_worse, over the whole lives; Holm's correction over
//                        the rivals, Scand. J. Stat. 6:65, 1979), it has at least 3 failures, and
//                        fails at least kClearlyTimes as often
//   likely worse         a share above that of the others with a probability of at least 0.95, or
//                        a_worse at most 0.05; at least 2 failures, kLikelyTimes as often; and its
//                        share drawn toward the rivals' mean still kDrawnInTimes that mean: where
//                        the brands hardly scatter, the unluckiest of twenty is not worse
//   no clear difference  all else; also of what is better
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
inline constexpr double kFamilyWiseAlarm = 0.025;
inline constexpr double kLikelyChance = 0.95;
inline constexpr double kLikelyAlarm = 0.05;
inline constexpr double kClearlyTimes = 1.5;
inline constexpr double kLikelyTimes = 1.25;
inline constexpr double kDrawnInTimes = 1.2;

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
