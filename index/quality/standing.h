// How the rivals for one place on the car have lasted: the rows of a table, the lines of a picture.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "quality/cost.h"
#include "quality/history.h"
#include "quality/rivals.h"
#include "quality/weibull.h"

namespace baylore::quality {

struct Tally {
  int fitted = 0;
  int in_service = 0;
  int failed = 0;
  int unclear = 0;  // of the failed: no stated reason
  int dead_on_arrival = 0;
};

enum class By { number, brand, grade, lot };

struct Rival {
  std::string name;  // the number, the brand, the grade's word, the lot
  std::string brand;
  shop::Grade grade = shop::Grade::unknown;
  std::optional<shop::PartBook::Place> place;  // of a number that a part file lists
  Tally all;                                   // all locations
  Tally own;                                   // this shop
  Judged judged;                               // from all locations
  Interval own_share;                          // of this shop's parts alone, as Judged::share
  double own_mean = 0;
  Count own_window;
  bool often_dead = false;  // more of it bad in the box than of the others: Fisher's test, Holm's
                            // correction over the rivals, kClearlyAlarm
  Interval dead_share;      // dead on arrival, of all that were to be fitted; kScreenConfidence
  Curve months;             // still in service, by months
  Curve km;                 // by distance; parts without a known distance are left out
  std::variant<WeibullFit, NoFit> wear;  // by months
  std::vector<std::uint32_t> failures;   // records of the failed, for History::record_id()
};

struct Standing {
  std::vector<std::size_t> families;
  By by = By::number;
  double window_months = 12;
  double median_minutes = 0;  // of the jobs, 0: none says
  std::vector<Rival> rivals;  // the most fitted first, then by name
  Rival all;                  // the whole family; its verdict says nothing
  Scatter scatter;
};

// Which fitted parts are asked for.
struct Among {
  bool own_only = false;
  std::optional<std::uint32_t> label;  // of By::lot: the number whose lots are told
};

// Of one family, or of several of one component together.
Standing standing_of(const History& history, const std::vector<std::size_t>& families, By by,
                     const Among& among = {});

// A brand over all components together: what failed of it, against what would have failed had it
// been as good as its rivals for the same place.
struct BrandLine {
  std::string name;
  Tally all;
  int components = 0;
  int observed = 0;     // failures, in components where there are rivals
  double expected = 0;  // of these
  double a_worse = 1;   // as LogRank, over all components
  double times = 1;     // as often as the others; infinite when they never failed
  Verdict verdict = Verdict::too_few;
};
// All brands, the most fitted first. `components` are the families that count as one place each.
std::vector<BrandLine> brands_of(const History& history,
                                 const std::vector<std::vector<std::size_t>>& components);

// What a comeback costs this shop.
struct Rates {
  double labour_an_hour = 0;  // shop::Settings::labour_rate
  double goodwill = 0;
};
// The choice of a number for cost.h: its price; its share drawn toward the rivals' mean; labour by
// the median job of the family; the part once more unless its warranty outlasts the window. Nothing
// for safety-critical families, where grade and the maker's word decide, nor without a price, nor
// for what is no listed number.
std::optional<Choice> choice_of(const History& history, const Standing& standing,
                                const Rival& rival, const Rates& rates);

// "31 fitted, 0 failed", "12 fitted, 4 failed, 1 dead on arrival".
std::string in_words(const Tally& tally);
// "clearly worse", with what it rests on: "2 to 19 % come back within 12 months, 9 in 10 sure".
std::string in_words(const Judged& judged, double window_months);
// "wears out: one in ten gone by 31 months", "fails early", or why nothing can be said.
std::string in_words(const std::variant<WeibullFit, NoFit>& wear);

}  // namespace baylore::quality
