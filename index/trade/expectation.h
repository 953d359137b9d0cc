#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"
#include "trade/quantity.h"

namespace baylore::trade {

// What a check should find: a range with a unit, or a plain answer in words.
struct Expectation {
  std::optional<double> low,
      high;                    // in `unit`; at least one present when `unit` is set; low < high
  bool low_excluded = false;   // `> 5 V`: 5 V itself is outside
  bool high_excluded = false;  // `< 5 V`
  const Unit* unit = nullptr;  // nullptr: a plain answer
  std::string plain;           // the answer as written, trimmed; empty for a range

  bool is_range() const { return unit != nullptr; }
};

// Reads the value of `expect:`. Ranges: `13.5 .. 14.8 V`, `13.5-14.8 V`, `13.5 to 14.8 V`,
// `between 13.5 and 14.8 V`, `500 mV .. 4.5 V`, `5 ± 0.2 V`, `>= 95 kPa`, `<= 0.2 V`, `> `, `< `,
// `≥`, `≤`, `at least 95 kPa`, `at most`, `more than`, `less than`, `over`, `under`, `above`,
// `below`, `min`, `max`, `95 kPa or more`, `0.2 V or less`. Anything else that starts
// with a letter, a bracket or a quote is a plain answer (`no play`). Refused: an empty text, a
// range without a unit, ends the wrong way round or equal, one value without a tolerance (`5 V`),
// two dimensions, thousands commas, a text that starts with any other sign. Any bytes are accepted;
// texts above 200 bytes are refused.
Parsed<Expectation> parse_expectation(std::string_view text);

// In words for the screen: `13.5 to 14.8 V`, `95 kPa or more`, `0.2 V or less`, `more than 5 V`, or
// the plain answer. parse_expectation reads each of them back to the same expectation.
std::string in_words(const Expectation& expectation);

// The same range in another unit of the dimension, rounded inward: `13.8 psi or more`. Empty for a
// plain answer or a unit of another dimension.
std::string in_words_as(const Expectation& expectation, const Unit& other);

enum class Standing { kInRange, kLow, kHigh, kOnTheEdge };

// "in range", "low", "high", "on the edge".
std::string_view standing_word(Standing standing);

// How a reading stands against a range.
struct Verdict {
  Standing standing = Standing::kInRange;
  bool inside = true;       // by the bare number, doubt apart
  double beyond = 0;        // how far past the nearer end, in the expectation's unit; 0 when inside
  double reading = 0;       // the reading in the expectation's unit
  double doubt_at_end = 0;  // the half width of "on the edge" at the end that decided it
};

// Judges a reading. `accuracy` is the instrument's relative doubt (0.01 is 1 % of the value at the
// end, common practice, no source; 0 .. 0.5): a reading nearer to an end than that is on the edge,
// inside or outside. Refused when the expectation is a plain answer, or the reading's dimension is
// another one.
Parsed<Verdict> judge(const Expectation& expectation, const Quantity& reading,
                      double accuracy = 0.01);

// `13 kPa under the range`, `0.4 V over the range`; for a reading within the ends
// `within the range`.
std::string in_words(const Expectation& expectation, const Verdict& verdict);

// The axis a reading is shown on.
struct ScaleLabel {
  double at;
  std::string text;
};
struct Scale {
  double low = 0, high = 1;        // the axis, in the expectation's unit; both carry a label
  double step = 1;                 // between labels
  double minor_step = 0.2;         // between short ticks; divides step evenly
  std::vector<ScaleLabel> labels;  // 4 to 6
};

// The axis for a range: 4 to 6 round numbers, of which the range takes a fifth to a half (an open
// side runs to the end of the axis). An axis for a range that is nowhere negative does not start
// below 0. nullopt for a plain answer.
std::optional<Scale> scale_for(const Expectation& expectation);

}  // namespace baylore::trade
