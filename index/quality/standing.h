// How the rivals for one place on the car have lasted: the rows of a table, the lines of a picture.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

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
  Interval dead_share;  // dead on arrival, of all that were to be fitted; kScreenConfidence
  Curve months;         // still in service, by months
  Curve km;             // by distance; parts without a known distance are left out
  std::variant<WeibullFit, NoFit> wear;  // by months
  std::vector<std::uint32_t> failures;   // records of the failed, for History::record_id()
};

struct Standing {
  std::size_t family = 0;
  By by = By::number;
  double window_months = 12;
  std::vector<Rival> rivals;  // the most fitted first, then by name
  Rival all;                  // the whole family; its verdict says nothing
  Scatter scatter;
};

// Which fitted parts are asked for.
struct Among {
  bool own_only = false;
  std::optional<std::uint32_t> label;  // of By::lot: the number whose lots are told
};

Standing standing_of(const History& history, std::size_t family, By by, const Among& among = {});

// "31 fitted, 0 failed", "12 fitted, 4 failed, 1 dead on arrival".
std::string in_words(const Tally& tally);
// "clearly worse", with what it rests on: "2 to 19 % come back within 12 months, 9 in 10 sure".
std::string in_words(const Judged& judged, double window_months);
// "wears out: half fail by 31 months", "fails early", or why nothing can be said.
std::string in_words(const std::variant<WeibullFit, NoFit>& wear);

}  // namespace baylore::quality
