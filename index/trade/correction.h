#pragma once

#include <string>
#include <string_view>

#include "trade/expectation.h"
#include "trade/parsed.h"
#include "trade/quantity.h"

namespace baylore::trade {

// How an expected range depends on the conditions of the measurement: the value of `correct:` in a
// check.
struct Correction {
  enum class Kind {
    kMeasuredBarometer,  // a vacuum written for sea level; falls with the barometer
    kCopper,             // a resistance of copper written for one temperature
  };
  Kind kind = Kind::kMeasuredBarometer;
  double written_for_celsius = 20;  // kCopper only
};

// Reads `measured barometer` or `copper 20 °C`. Texts above 100 bytes are refused.
Parsed<Correction> parse_correction(std::string_view text);

// What the technician is asked to measure for it: `barometer` or `temperature of the winding`.
std::string_view asks_for(const Correction& correction);

// The range as it should read under the measured condition: the barometer as a pressure (50 to 110
// kPa), or the winding's temperature (-50 to 200 °C). Refused: a plain answer, a range that is no
// pressure or no resistance, a measurement of the wrong kind or out of range. The barometer's
// correction keeps the manifold pressure of the written range, which is a hint and no verdict (see
// atmosphere.h).
Parsed<Expectation> corrected(const Expectation& expectation, const Correction& correction,
                              const Quantity& measured);

}  // namespace baylore::trade
