#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "trade/parsed.h"
#include "trade/unit.h"

namespace baylore::trade {

// A number with its unit, as somebody wrote or measured it. It is never converted in place: the
// authored number and unit stay the record, a conversion is for showing.
struct Quantity {
  double value = 0;            // finite, |value| <= 1e12
  const Unit* unit = nullptr;  // never nullptr in a Quantity that came from this layer
};

// Reads one quantity as people type it: `80 ft-lb`, `9Nm`, `9 N.m`, `18"Hg`, `200 mΩ`, `1/2 in`,
// `1 1/2 in`, `13,5 V`, `-40 °C`, `.5 V`. Refused with a question: `1,500 rpm` (1500 or 1.5?),
// `MOHM` (milli or mega?), a number without a unit, a unit without a number, a range, anything left
// over. Any bytes are accepted; texts above 200 bytes are refused.
Parsed<Quantity> parse_quantity(std::string_view text);

// As parse_quantity, but a number alone is read in `expected`, and a unit of another dimension is
// refused. This is what a reading field uses: `82` or `11.9 psi` against a check in kPa.
Parsed<Quantity> parse_reading(std::string_view text, const Unit& expected);

// Reads a number alone: `13.5`, `13,5`, `1/2`, `1 1/2`, `½`, `-3`, `1e3`. `1,500` is refused with a
// question. Any bytes are accepted; texts above 200 bytes are refused.
Parsed<double> parse_number(std::string_view text);

// `value` in `from` expressed in `to`. NaN when the dimensions differ: callers that take units from
// people compare Unit::dimension first, or use converted(). Relative error below 1e-15 for the
// multiplicative units. Factors: NIST SP 811 appendix B.8 (from memory), recomputed from
// lbf = 4.4482216152605 N, in = 25.4 mm, g = 9.80665 m/s².
double convert(double value, const Unit& from, const Unit& to);

// The quantity in another unit, or nullopt when the dimensions differ.
std::optional<Quantity> converted(const Quantity& quantity, const Unit& to);

// The number as it was authored: the shortest text that reads back to the same double, with a
// point: `13.5`, `80`, `-0.25`. Never an exponent within 1e-6 .. 1e15.
std::string authored_number(double value);

// The number rounded to `significant` digits (1 to 15), halves away from zero, trailing zeros after
// the point dropped: 108.465 -> `108`, 10.0556 -> `10.1`, 86.0 -> `86`, 43511 -> `43500`.
std::string shown_number(double value, int significant = 3);

// Number and symbol as authored: `80 lbf·ft`, `90°`, `12.5 %`.
std::string authored(const Quantity& quantity);

// Number and symbol rounded for showing a conversion: 108.465 N·m -> `108 N·m`. Three digits keep
// the rounding error at or under 0.5 %, below any shop instrument's own.
std::string shown(const Quantity& quantity, int significant = 3);

// A range in another unit, rounded inward: the low end up, the high end down, so that nothing
// inside the shown range is outside the authored one. An absent end stays absent. When the ends
// would cross (a narrow range), both get more digits.
struct ShownRange {
  std::optional<double> low, high;  // the rounded numbers, in the unit asked for
  std::string low_text, high_text;  // the same as text, empty when absent
};
ShownRange shown_range(std::optional<double> low, std::optional<double> high, const Unit& from,
                       const Unit& to, int significant = 3);

// The unit a second figure is shown in beside the authored one: kPa <-> psi, N·m <-> lbf·ft (lbf·in
// under 15 lbf·ft), °C <-> °F, mm <-> in, km <-> mi, L <-> US qt ... nullptr when the trade has
// only one unit (V, A, Ω, rpm, %).
const Unit* companion_unit(const Quantity& quantity);

}  // namespace baylore::trade
