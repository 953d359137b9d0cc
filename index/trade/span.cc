#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>

#include "trade/quantity.h"
#include "trade/scan.h"

namespace baylore::trade::scan {
namespace {

enum class Sign { kNone, kRange, kTolerance };

// Where the two numbers of a span are parted.
struct Parting {
  Sign sign = Sign::kNone;
  std::size_t at = 0;    // first character of the sign
  std::size_t next = 0;  // where the second number should start
  bool dash = false;
};

bool is_unit(const Folded& folded, std::size_t from, std::size_t to) {
  const Parsed<const Unit*> read = unit_within(folded, from, to);
  return value_in(read) != nullptr;
}

// The first sign after the first number. A dash parts only when a number follows it and what stands
// before it is nothing or a unit: `13.5-14.8 V` and `5 V - 6 V`, but not `80-ft-lb`.
Parsed<Parting> parting_of(const Folded& folded, std::size_t from, std::size_t to) {
  const std::string_view text = folded.view().substr(0, to);
  for (std::size_t i = from; i < to; ++i) {
    const std::string_view rest = text.substr(i);
    if (rest.starts_with("..")) {
      std::size_t dots = i;
      while (dots < to && text[dots] == '.') ++dots;
      if (dots - i > 2 && dots < to && is_digit(text[dots])) {
        return refuse(folded, i, "the points before the second number can be read in two ways",
                      "write ` .. ` with blanks around it");
      }
      return Parting{Sign::kRange, i, skip_blanks(text, dots), false};
    }
    if (rest.starts_with("+-")) {
      return Parting{Sign::kTolerance, i, skip_blanks(text, i + 2), false};
    }
    if (rest.starts_with("+/-")) {
      return Parting{Sign::kTolerance, i, skip_blanks(text, i + 3), false};
    }
    if (lowered(rest.substr(0, 4)) == " to ") {
      return Parting{Sign::kRange, i, skip_blanks(text, i + 4), false};
    }
    if (text[i] == '-') {
      const std::size_t next = skip_blanks(text, i + 1);
      if (number_starts(text, next) &&
          (trimmed(text.substr(from, i - from)).empty() || is_unit(folded, from, i))) {
        return Parting{Sign::kRange, i, next, true};
      }
    }
  }
  return Parting{};
}

// 13.899999999999999 -> 13.9: a sum or conversion of authored decimals, brought back to a decimal.
double tidy(double value) {
  const std::string text = shown_number(value, 13);
  double decimal = value;
  std::from_chars(text.data(), text.data() + text.size(), decimal);
  return decimal;
}

}  // namespace

bool may_be_fraction(Dimension dimension) {
  switch (dimension) {
    case Dimension::kLength:
    case Dimension::kAngle:
    case Dimension::kVolume:
    case Dimension::kMass:
    case Dimension::kTime:
      return true;
    default:
      return false;
  }
}

// Number, unit or none, sign, number, unit or none. What the sign means decides how the ends are
// made: a range takes them as they stand, a tolerance puts them around the first number, in its
// unit or in percent of it.
Parsed<Span> span_within(const Folded& folded, std::size_t from, std::size_t to) {
  const std::string_view text = folded.view().substr(0, to);
  const std::size_t start = skip_blanks(text, from);
  const Parsed<Number> first_read = number(folded, start);
  if (value_in(first_read) == nullptr) return reason_in(first_read);
  const Number& first = *value_in(first_read);
  if (first.end > to) return refuse(folded, start, "a number is missing", "write the number first");
  const Parsed<Parting> parting_read = parting_of(folded, first.end, to);
  if (value_in(parting_read) == nullptr) return reason_in(parting_read);
  const Parting& parting = *value_in(parting_read);

  if (parting.sign == Sign::kNone) {
    const Parsed<const Unit*> read = unit_within(folded, first.end, to);
    if (value_in(read) == nullptr) return reason_in(read);
    const Unit* found = *value_in(read);
    if (first.fraction && !may_be_fraction(found->dimension)) {
      return refuse(folded, start, "a fraction or two numbers?",
                    "write a decimal number, or `A .. B` for a range");
    }
    return Span{first.value, first.value, found, true};
  }

  const Unit* first_unit = nullptr;
  if (!trimmed(text.substr(first.end, parting.at - first.end)).empty()) {
    const Parsed<const Unit*> read = unit_within(folded, first.end, parting.at);
    if (value_in(read) == nullptr) return reason_in(read);
    first_unit = *value_in(read);
  }
  const Parsed<Number> second_read = number(folded, parting.next);
  if (value_in(second_read) == nullptr) return reason_in(second_read);
  const Number& second = *value_in(second_read);
  if (second.end > to) {
    return refuse(folded, parting.next, "a number is missing", "write the second number");
  }
  const Unit* second_unit = nullptr;
  if (!trimmed(text.substr(second.end, to - second.end)).empty()) {
    const Parsed<const Unit*> read = unit_within(folded, second.end, to);
    if (value_in(read) == nullptr) return reason_in(read);
    second_unit = *value_in(read);
  } else if (first_unit == nullptr) {
    return refuse(folded, to, "a range needs a unit", "write it as in `13.5 .. 14.8 V`");
  }
  if (first_unit == nullptr) first_unit = second_unit;
  if (second_unit == nullptr) second_unit = first_unit;

  Span span;
  span.single = false;
  span.unit = second_unit;
  if (parting.sign == Sign::kTolerance) {
    const bool percent =
        second_unit->id == UnitId::kPercent && first_unit->dimension != Dimension::kRatio;
    if (!percent && first_unit != second_unit) {
      return refuse(folded, parting.next, "the tolerance is in another unit",
                    "write it in " + std::string(first_unit->symbol) + " or in %");
    }
    const double tolerance = percent ? std::fabs(first.value) * second.value / 100.0 : second.value;
    if (!(tolerance > 0)) {
      return refuse(folded, parting.next, "the tolerance must be more than zero",
                    "write it as in `5 ± 0.2 V`");
    }
    span.unit = first_unit;
    span.low = tidy(first.value - tolerance);
    span.high = tidy(first.value + tolerance);
  } else {
    if (parting.dash && first.negative && !second.negative) {
      return refuse(folded, parting.at, "the dash after a negative number can be read in two ways",
                    "write `A .. B`");
    }
    if (first_unit->dimension != second_unit->dimension) {
      return refuse(folded, parting.next,
                    "the two ends measure different things: " +
                        std::string(dimension_name(first_unit->dimension)) + " and " +
                        std::string(dimension_name(second_unit->dimension)),
                    "write both ends in one unit");
    }
    span.low = first_unit == second_unit ? first.value
                                         : tidy(convert(first.value, *first_unit, *second_unit));
    span.high = second.value;
  }
  if ((first.fraction || second.fraction) && !may_be_fraction(span.unit->dimension)) {
    return refuse(folded, start, "a fraction or two numbers?",
                  "write decimal numbers, as in `13.5 .. 14.8 V`");
  }
  if (!(span.low < span.high)) {
    return refuse(
        folded, start,
        span.low > span.high ? "the low end is above the high end" : "the two ends are the same",
        "write the lower number first, as in `13.5 .. 14.8 V`");
  }
  return span;
}

}  // namespace baylore::trade::scan
