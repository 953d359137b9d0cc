#include "trade/quantity.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

// Enough for any finite double in plain notation.
constexpr std::size_t kLongestNumber = 400;

double from_text(const std::string& text) {
  double value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

std::string fixed_shortest(double value) {
  std::array<char, kLongestNumber> buffer{};
  const auto written = std::to_chars(buffer.data(), buffer.data() + buffer.size(),
                                     value == 0 ? 0.0 : value, std::chars_format::fixed);
  return std::string(buffer.data(), written.ptr);
}

int bounded_digits(int significant) { return std::clamp(significant, 1, 15); }

// `value` to `significant` digits, halves away from zero. The nudge of a few units in the last
// place makes a decimal half (12.25, 1.005) go the way people expect of the decimal text.
double rounded(double value, int significant) {
  if (value == 0 || !std::isfinite(value)) return value;
  const double nudged = value * (1 + 4 * std::numeric_limits<double>::epsilon());
  std::array<char, 64> buffer{};
  const auto written =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), nudged,
                    std::chars_format::scientific, bounded_digits(significant) - 1);
  return from_text(std::string(buffer.data(), written.ptr));
}

// `value` to `significant` digits, toward +inf (up) or -inf. A value within 1e-9 of a step of the
// last digit counts as on it, so that a conversion's last bits do not push 20 to 20.1.
double rounded_toward(double value, int significant, bool up) {
  if (value == 0 || !std::isfinite(value)) return value;
  const int exponent =
      static_cast<int>(std::floor(std::log10(std::fabs(value)))) - bounded_digits(significant) + 1;
  const double steps = value / std::pow(10.0, exponent);
  constexpr double kOnTheStep = 1e-9;
  const double whole = up ? std::ceil(steps - kOnTheStep) : std::floor(steps + kOnTheStep);
  return from_text(fixed_shortest(whole) + "e" + std::to_string(exponent));
}

// The quantity that starts with `number` and fills the rest of the text.
Parsed<Quantity> with_unit(const scan::Folded& plain, const scan::Number& number) {
  const std::string_view text = plain.view();
  std::size_t unit_from = scan::skip_blanks(text, number.end);
  if (unit_from == text.size()) {
    return scan::refuse(plain, unit_from, "the unit is missing",
                        "write the unit after the number, as in `13.5 V`");
  }
  if (scan::number_starts(text, unit_from) ||
      text.find("..", unit_from) != std::string_view::npos ||
      text.find("+-", unit_from) != std::string_view::npos) {
    return scan::refuse(plain, unit_from, "more than one number where one value is wanted",
                        "write one number and its unit");
  }
  // `80-ft-lb`: a hyphen may tie the number to its unit.
  if (text[unit_from] == '-' && unit_from == number.end && unit_from + 1 < text.size() &&
      scan::is_letter(text[unit_from + 1])) {
    ++unit_from;
  }
  const Parsed<const Unit*> read = scan::unit_within(plain, unit_from, text.size());
  if (value_in(read) == nullptr) return reason_in(read);
  const Unit* found = *value_in(read);
  if (number.fraction && !scan::may_be_fraction(found->dimension)) {
    return scan::refuse(plain, 0, "a fraction or two numbers?",
                        "write a decimal number, or `A .. B` for a range");
  }
  return Quantity{number.value, found};
}

}  // namespace

Parsed<Quantity> parse_quantity(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 200);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const Parsed<scan::Number> read_number = scan::number(plain, 0);
  const scan::Number* number = value_in(read_number);
  if (number == nullptr) return reason_in(read_number);
  return with_unit(plain, *number);
}

Parsed<Quantity> parse_reading(std::string_view text, const Unit& expected) {
  const Parsed<scan::Folded> folded = scan::fold(text, 200);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const Parsed<scan::Number> read_number = scan::number(plain, 0);
  const scan::Number* number = value_in(read_number);
  if (number == nullptr) return reason_in(read_number);
  if (number->end == plain.text.size()) {
    if (number->fraction && !scan::may_be_fraction(expected.dimension)) {
      return scan::refuse(plain, 0, "a fraction or two numbers?", "write a decimal number");
    }
    return Quantity{number->value, &expected};
  }
  const Parsed<Quantity> read = with_unit(plain, *number);
  if (const Quantity* quantity = value_in(read);
      quantity != nullptr && quantity->unit->dimension != expected.dimension) {
    return scan::refuse(plain, scan::skip_blanks(plain.view(), number->end),
                        std::string(quantity->unit->symbol) + " does not measure " +
                            std::string(dimension_name(expected.dimension)),
                        "write the reading in " + std::string(expected.symbol));
  }
  return read;
}

double convert(double value, const Unit& from, const Unit& to) {
  if (from.dimension != to.dimension) return std::numeric_limits<double>::quiet_NaN();
  if (&from == &to) return value;
  const long double base = (static_cast<long double>(value) + from.offset) * from.scale;
  return static_cast<double>(base / to.scale - to.offset);
}

std::optional<Quantity> converted(const Quantity& quantity, const Unit& to) {
  if (quantity.unit == nullptr || quantity.unit->dimension != to.dimension) return std::nullopt;
  return Quantity{convert(quantity.value, *quantity.unit, to), &to};
}

std::string authored_number(double value) {
  const double size = std::fabs(value);
  if (size != 0 && (size < 1e-6 || size >= 1e15 || !std::isfinite(value))) {
    std::array<char, 64> buffer{};
    const auto written = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return std::string(buffer.data(), written.ptr);
  }
  return fixed_shortest(value);
}

std::string shown_number(double value, int significant) {
  return authored_number(rounded(value, significant));
}

namespace {

std::string joined(const std::string& number, const Unit& unit) {
  const bool tight = unit.id == UnitId::kDegree;
  return number + (tight ? "" : " ") + std::string(unit.symbol);
}

}  // namespace

std::string authored(const Quantity& quantity) {
  return joined(authored_number(quantity.value), *quantity.unit);
}

std::string shown(const Quantity& quantity, int significant) {
  return joined(shown_number(quantity.value, significant), *quantity.unit);
}

ShownRange shown_range(std::optional<double> low, std::optional<double> high, const Unit& from,
                       const Unit& to, int significant) {
  ShownRange out;
  if (from.dimension != to.dimension) return out;
  if (low) out.low = convert(*low, from, to);
  if (high) out.high = convert(*high, from, to);
  if (&from != &to) {
    if (low && high && *low >= *high) {
      out.low = rounded(*out.low, significant);
      out.high = rounded(*out.high, significant);
    } else {
      const std::optional<double> exact_low = out.low;
      const std::optional<double> exact_high = out.high;
      for (int digits = bounded_digits(significant); digits <= 15; ++digits) {
        if (exact_low) out.low = rounded_toward(*exact_low, digits, true);
        if (exact_high) out.high = rounded_toward(*exact_high, digits, false);
        if (!(out.low && out.high) || *out.low < *out.high) break;
      }
    }
  }
  if (out.low) out.low_text = authored_number(*out.low);
  if (out.high) out.high_text = authored_number(*out.high);
  return out;
}

const Unit* companion_unit(const Quantity& quantity) {
  using enum UnitId;
  switch (quantity.unit->id) {
    case kNewtonMetre:
      return &unit(std::fabs(convert(quantity.value, *quantity.unit, unit(kPoundForceFoot))) < 15
                       ? kPoundForceInch
                       : kPoundForceFoot);
    case kPoundForceFoot:
    case kPoundForceInch:
    case kKilogramForceMetre:
    case kKilogramForceCentimetre:
    case kOunceForceInch:
    case kNewtonCentimetre:
      return &unit(kNewtonMetre);
    case kKilopascal:
    case kBar:
    case kMegapascal:
    case kAtmosphere:
    case kKilogramForcePerSquareCentimetre:
      return &unit(kPsi);
    case kPsi:
    case kInchMercury:
    case kInchWater:
      return &unit(kKilopascal);
    case kMillimetreMercury:
      return &unit(kInchMercury);
    case kPascal:
    case kHectopascal:
    case kMillibar:
    case kMillimetreWater:
      return &unit(kInchWater);
    case kCelsius:
      return &unit(kFahrenheit);
    case kFahrenheit:
    case kKelvin:
      return &unit(kCelsius);
    case kCelsiusDifference:
      return &unit(kFahrenheitDifference);
    case kFahrenheitDifference:
      return &unit(kCelsiusDifference);
    case kMillimetre:
    case kCentimetre:
    case kMicrometre:
      return &unit(kInch);
    case kInch:
    case kThou:
      return &unit(kMillimetre);
    case kMetre:
      return &unit(kFoot);
    case kFoot:
      return &unit(kMetre);
    case kKilometre:
      return &unit(kMile);
    case kMile:
      return &unit(kKilometre);
    case kKilometrePerHour:
    case kMetrePerSecond:
      return &unit(kMilePerHour);
    case kMilePerHour:
      return &unit(kKilometrePerHour);
    case kLitre:
      return &unit(kUsQuart);
    case kMillilitre:
    case kCubicCentimetre:
      return &unit(kUsFluidOunce);
    case kUsGallon:
    case kUsQuart:
    case kUsPint:
    case kImperialGallon:
    case kImperialQuart:
    case kImperialPint:
      return &unit(kLitre);
    case kUsFluidOunce:
    case kCubicInch:
      return &unit(kMillilitre);
    case kLitrePerMinute:
    case kCubicMetrePerHour:
      return &unit(kUsGallonPerMinute);
    case kLitrePerHour:
      return &unit(kUsGallonPerHour);
    case kUsGallonPerMinute:
      return &unit(kLitrePerMinute);
    case kUsGallonPerHour:
      return &unit(kLitrePerHour);
    case kKilogram:
      return &unit(kPound);
    case kGram:
      return &unit(kOunce);
    case kPound:
      return &unit(kKilogram);
    case kOunce:
      return &unit(kGram);
    case kGramPerSecond:
      return &unit(kPoundPerMinute);
    case kPoundPerMinute:
      return &unit(kGramPerSecond);
    case kNewton:
    case kKilonewton:
    case kKilogramForce:
      return &unit(kPoundForce);
    case kPoundForce:
      return &unit(kNewton);
    case kKilowatt:
    case kMetricHorsepower:
      return &unit(kHorsepower);
    case kHorsepower:
      return &unit(kKilowatt);
    default:
      return nullptr;
  }
}

}  // namespace baylore::trade
