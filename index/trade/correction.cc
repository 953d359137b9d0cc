#include "trade/correction.h"

#include "trade/atmosphere.h"
#include "trade/electrical.h"
#include "trade/scan.h"

namespace baylore::trade {
namespace {

Parsed<Expectation> for_barometer(const Expectation& expectation, const Quantity& barometer) {
  if (expectation.unit->dimension != Dimension::kPressure) {
    return Refusal{0, "the barometer corrects a pressure only", "take the `correct:` line out"};
  }
  if (barometer.unit->dimension != Dimension::kPressure) {
    return Refusal{0, "the barometer is a pressure", "enter it in kPa, inHg or mbar"};
  }
  const double pascal = convert(barometer.value, *barometer.unit, unit(UnitId::kPascal));
  if (!(pascal >= 50000 && pascal <= 110000)) {
    return Refusal{0, "no barometer reads that", "enter 50 to 110 kPa"};
  }
  const double drop = convert(kSeaLevelPa - pascal, unit(UnitId::kPascal), *expectation.unit);
  Expectation out = expectation;
  if (out.low) *out.low -= drop;
  if (out.high) *out.high -= drop;
  return out;
}

Parsed<Expectation> for_copper(const Expectation& expectation, double written_for,
                               const Quantity& temperature) {
  if (expectation.unit->dimension != Dimension::kResistance) {
    return Refusal{0, "copper corrects a resistance only", "take the `correct:` line out"};
  }
  if (temperature.unit->dimension != Dimension::kTemperature) {
    return Refusal{0, "the winding's temperature is wanted", "enter it in °C or °F"};
  }
  const double celsius = convert(temperature.value, *temperature.unit, unit(UnitId::kCelsius));
  if (!(celsius >= -50 && celsius <= 200)) {
    return Refusal{0, "no winding is at that temperature", "enter -50 to 200 °C"};
  }
  const std::optional<double> factor = copper_resistance_at(1, written_for, celsius);
  if (!factor) return Refusal{0, "the temperature is out of range", "check the `correct:` line"};
  Expectation out = expectation;
  if (out.low) *out.low *= *factor;
  if (out.high) *out.high *= *factor;
  return out;
}

}  // namespace

Parsed<Correction> parse_correction(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 100);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const std::string low = scan::lowered(plain.view());
  Correction out;
  if (low == "measured barometer") return out;
  constexpr std::string_view kCopper = "copper ";
  if (low.starts_with(kCopper)) {
    const Parsed<scan::Span> read = scan::span_within(plain, kCopper.size(), low.size());
    const scan::Span* span = value_in(read);
    if (span == nullptr) return reason_in(read);
    if (!span->single || span->unit->dimension != Dimension::kTemperature) {
      return scan::refuse(plain, kCopper.size(), "copper needs one temperature",
                          "write it as in `copper 20 °C`");
    }
    out.kind = Correction::Kind::kCopper;
    out.written_for_celsius = convert(span->low, *span->unit, unit(UnitId::kCelsius));
    if (!(out.written_for_celsius >= -50 && out.written_for_celsius <= 200)) {
      return scan::refuse(plain, kCopper.size(), "no winding is measured at that temperature",
                          "write -50 to 200 °C");
    }
    return out;
  }
  return scan::refuse(plain, 0, "this correction is not known",
                      "write `measured barometer` or `copper 20 °C`");
}

std::string_view asks_for(const Correction& correction) {
  return correction.kind == Correction::Kind::kCopper ? "temperature of the winding" : "barometer";
}

Parsed<Expectation> corrected(const Expectation& expectation, const Correction& correction,
                              const Quantity& measured) {
  if (!expectation.is_range()) {
    return Refusal{0, "a plain answer has nothing to correct", "take the `correct:` line out"};
  }
  if (measured.unit == nullptr) return Refusal{0, "the measurement has no unit", "enter it again"};
  return correction.kind == Correction::Kind::kCopper
             ? for_copper(expectation, correction.written_for_celsius, measured)
             : for_barometer(expectation, measured);
}

}  // namespace baylore::trade
