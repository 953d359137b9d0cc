// What to do next, as plain numbers: a check that tells causes apart, or a repair that is quicker
// to try. Knows no tips; session.h puts the words to it.
//
// The goal is the least expected minutes until the right cause is found. A check costs its minutes
// and those of the covers that are still on; a repair that does not hold costs its minutes for
// nothing and leaves the other causes. Two simple rules make proposals: the check with the most
// information a minute, and the repair with the most weight a minute (belief.h). A look-ahead over
// two steps (three where checks are few), the repairs in their order behind it, decides between
// them and the runners-up.
#pragma once

#include <cstddef>
#include <limits>
#include <utility>
#include <vector>

#include "diagnosis/belief.h"

namespace baylore::diagnosis {

inline constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

struct PlanCheck {
  std::vector<double> outside;                         // P(outside | cause), one a cause
  double minutes = 0;                                  // > 0, without covers
  std::vector<std::pair<std::size_t, double>> covers;  // number of the cover, its minutes
  std::size_t fact = 0;                                // checks of one fact are not both planned
  bool by_hand = false;                                // preferred where two are worth the same
};

struct Problem {
  Weights weights;
  std::vector<double> repair_minutes;  // of a repair that does not hold, > 0, one a cause
  std::vector<bool> tried;             // repairs done without effect; empty: none
  std::vector<PlanCheck> checks;       // those that can be done now
  std::vector<bool> open;              // covers that are off; shorter than the covers' numbers: on
};

struct Plan {
  std::size_t check = kNone;           // the check to do, or
  std::size_t repair = kNone;          // the cause to act on; both kNone when nothing is left
  double expected_minutes = 0;         // from here, wrong repairs and the right one included
  std::size_t by_information = kNone;  // check
  std::size_t by_weight = kNone;       // cause
  std::vector<double> bits;            // of each check
  std::vector<double> minutes;         // of each check, covers included
};

// Below this a check tells nothing: it is never proposed.
inline constexpr double kLeastBits = 1e-6;

// At most 15 ms for 50 causes and 300 checks on one core of an ordinary machine; all checks are
// looked at when there are few, the most informative ones when there are many.
Plan make_plan(const Problem& problem);

}  // namespace baylore::diagnosis
