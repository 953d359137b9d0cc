// What the Part screen shows, and what stands beside the parts of a tip: put together off the
// drawing thread from the shop's part files and from what became of every part fitted.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pack/counts.h"
#include "quality/cost.h"
#include "quality/standing.h"
#include "search/search.h"
#include "shop/cautions.h"
#include "shop/outcome.h"
#include "shop/part_book.h"

namespace baylore::viewer {

// What fills the wider column of the Part screen.
enum class PartView { rivals, months, distance, cost, about };

// A number of the family, or a lot of one, as a row: how it lasted, and whether it fits the car.
struct RivalRow {
  std::string name;      // "Halden 88-214", "lot 2433"
  std::string under;     // "supplier of the original"
  quality::Rival rival;  // none fitted: counts of 0
  bool fits = true;      // this car, as far as the part file says
  std::string fit_words;
  // Nothing for safety-critical parts, without a price, for lots and grades.
  std::optional<quality::Choice> choice;
  quality::ExpectedCost cost;
  // Of a dearer one: the share of comebacks of the shown part from which on this one is cheaper.
  std::optional<double> break_even;
  double shown_costs_more = 0;  // probability that the shown part costs more than this one
};

// What is asked of the desk for the Part screen.
struct PartAsked {
  std::string name;  // as typed, scanned, or written in a tip: "Halden 88-214 lot 2433"
  quality::By by = quality::By::number;
  search::Vehicle vehicle;
};

struct PartLink {
  std::string id;  // of a tip
  std::string title;
};

struct PartPage {
  PartAsked asked;
  std::string lot;  // said with the name or in the barcode
  shop::PartBook::Place place;
  shop::PartFamily family;
  std::vector<std::string> said;  // "Superseded by Ostrel OS-8310-D" and the like
  search::FitResult fit;
  std::vector<shop::Caution> cautions;
  quality::Standing standing;  // its rivals without the rows of what was never fitted
  std::vector<RivalRow> rows;  // the one shown first, then the most fitted
  int elsewhere = 0;           // other locations that are counted in
  // What came with packs: by location, bare counts that stand beside the figures, not in them.
  std::vector<std::pair<std::string, pack::Count>> told;
  std::vector<PartLink> tips;  // that list a number of the family

  [[nodiscard]] const shop::PartNumber& number() const { return family.numbers[place.number]; }
};

// A part listed by a tip: what became of it here.
struct PartEvidence {
  bool listed = false;  // in a part file
  std::string grade;
  std::string fit_words;  // empty when it fits, or nobody can tell
  quality::Rival rival;   // none fitted: counts of 0
  double window_months = 12;
  std::string against;  // "note says avoid; 0 of 31 came back", or empty
};

// One fitted part behind a figure.
struct PartRecord {
  std::string outcome;   // id
  std::string location;  // empty: this shop
  std::string when;      // fitted; ISO 8601
  shop::Car car;
  bool failed = false;
  bool dead = false;   // bad before it went in
  double months = 0;   // until it failed, or until now
  double km = 0;       // the same; NaN when not known
  std::string reason;  // of the comeback, or what was wrong with a dead one
};

}  // namespace baylore::viewer
