#include <charconv>
#include <cmath>

#include "trade/quantity.h"
#include "trade/scan.h"

namespace baylore::trade::scan {
namespace {

constexpr double kLargest = 1e12;
constexpr std::size_t kMostDigits = 24;

std::size_t digits_end(std::string_view text, std::size_t i) {
  while (i < text.size() && is_digit(text[i])) ++i;
  return i;
}

bool digit_at(std::string_view text, std::size_t i) { return i < text.size() && is_digit(text[i]); }

// Small whole numbers only: callers have checked that [from, to) holds 1 to 6 digits.
int whole(std::string_view text, std::size_t from, std::size_t to) {
  int value = 0;
  std::from_chars(text.data() + from, text.data() + to, value);
  return value;
}

bool usual_denominator(int n) {
  for (const int usual : {2, 3, 4, 8, 16, 32, 64, 128}) {
    if (n == usual) return true;
  }
  return false;
}

struct Fraction {
  double value = 0;
  std::size_t end = 0;
};

// `3/8` with its numerator in [from, slash). Only proper fractions with the denominators rules and
// drill sizes carry: `10/12 V` is more likely a range, and is asked about.
Parsed<Fraction> fraction(const Folded& folded, std::size_t from, std::size_t slash) {
  const std::string_view text = folded.view();
  const std::size_t end = digits_end(text, slash + 1);
  const std::string remedy = "write a decimal number, or `A .. B` for a range";
  if (slash - from > 6 || end - slash - 1 > 6) {
    return refuse(folded, from, "this fraction is not understood", remedy);
  }
  const int top = whole(text, from, slash);
  const int bottom = whole(text, slash + 1, end);
  if (!usual_denominator(bottom) || top == 0 || top >= bottom) {
    return refuse(folded, from, "a fraction or two numbers?", remedy);
  }
  if (end < text.size() && text[end] == '/') {
    return refuse(folded, end, "this fraction is not understood", remedy);
  }
  return Fraction{static_cast<double>(top) / bottom, end};
}

}  // namespace

bool number_starts(std::string_view text, std::size_t i) {
  if (i < text.size() && (text[i] == '-' || text[i] == '+')) ++i;
  if (digit_at(text, i)) return true;
  return i < text.size() && (text[i] == '.' || text[i] == ',') && digit_at(text, i + 1);
}

// Order of reading: sign; digits; then either a fraction (`1/2`, `1 1/2`, `1-1/2`) or one decimal
// mark with its digits; then an exponent. A comma before exactly three digits is the one mark with
// two meanings, so it is a question, unless the digits before it rule thousands out (`0,125`,
// `1234,567`).
Parsed<Number> number(const Folded& folded, std::size_t i) {
  const std::string_view text = folded.view();
  if (!number_starts(text, i)) {
    return refuse(folded, i, "a number is missing", "write the number first, as in `13.5 V`");
  }
  Number out;
  std::size_t at = i;
  if (text[at] == '-' || text[at] == '+') out.negative = text[at++] == '-';
  const std::size_t first = at;
  at = digits_end(text, at);
  const std::size_t whole_digits = at - first;

  if (whole_digits > 0) {
    // The numerator of a fraction is either all there is so far, or stands after a blank or a dash.
    std::size_t top = first;
    std::size_t slash = at;
    if (at < text.size() && (text[at] == ' ' || text[at] == '-')) {
      const std::size_t second = text[at] == ' ' ? skip_blanks(text, at) : at + 1;
      const std::size_t second_end = digits_end(text, second);
      if (second_end > second && second_end < text.size() && text[second_end] == '/' &&
          digit_at(text, second_end + 1)) {
        top = second;
        slash = second_end;
      }
    }
    if (slash < text.size() && text[slash] == '/' && digit_at(text, slash + 1)) {
      const Parsed<Fraction> part = fraction(folded, top, slash);
      if (value_in(part) == nullptr) return reason_in(part);
      if (top != first && whole_digits > 6) {
        return refuse(folded, first, "this number is too long", "write a decimal number");
      }
      out.value = (top != first ? whole(text, first, at) : 0) + value_in(part)->value;
      out.end = value_in(part)->end;
      out.fraction = true;
      if (out.negative) out.value = -out.value;
      return out;
    }
  }

  std::string plain(text.substr(first, whole_digits));
  const bool has_mark = at < text.size() && (text[at] == '.' || text[at] == ',');
  // A point at the end of the digits (`5. V`) is read; the first of two points is a range sign.
  const bool lone_point = has_mark && text[at] == '.' && whole_digits > 0 &&
                          !(at + 1 < text.size() && text[at + 1] == '.');
  if (has_mark && (digit_at(text, at + 1) || lone_point)) {
    const char mark = text[at];
    const std::size_t decimals_end = digits_end(text, at + 1);
    const std::size_t decimals = decimals_end - at - 1;
    if (decimals_end < text.size() && (text[decimals_end] == '.' || text[decimals_end] == ',') &&
        digit_at(text, decimals_end + 1)) {
      return refuse(folded, first, "two separators in one number",
                    "write it without thousands separators, with one decimal mark");
    }
    const bool may_be_thousands = mark == ',' && decimals == 3 && whole_digits >= 1 &&
                                  whole_digits <= 3 && text[first] != '0';
    if (may_be_thousands) {
      const std::string together = plain + std::string(text.substr(at + 1, 3));
      const std::string apart = plain + "." + std::string(text.substr(at + 1, 3));
      return refuse(folded, first, "the comma can be read in two ways",
                    "write " + together + " or " + apart);
    }
    plain += '.';
    plain += text.substr(at + 1, decimals);
    at = decimals_end;
  }
  if (plain.size() > kMostDigits) {
    return refuse(folded, first, "this number is too long", "write it with fewer digits");
  }
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    std::size_t exponent = at + 1;
    if (exponent < text.size() && (text[exponent] == '-' || text[exponent] == '+')) ++exponent;
    const std::size_t exponent_end = digits_end(text, exponent);
    const bool closed = exponent_end == text.size() || text[exponent_end] == ' ';
    if (exponent_end > exponent && exponent_end - exponent <= 3 && closed) {
      plain += 'e';
      if (text[at + 1] == '-') plain += '-';
      plain += text.substr(exponent, exponent_end - exponent);
      at = exponent_end;
    }
  }
  double value = 0;
  const auto read = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (read.ec != std::errc() || !(value <= kLargest)) {
    return refuse(folded, first, "this number is out of range", "check the number and its unit");
  }
  out.value = out.negative && value != 0 ? -value : value;
  out.end = at;
  return out;
}

}  // namespace baylore::trade::scan

namespace baylore::trade {

Parsed<double> parse_number(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 200);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const Parsed<scan::Number> number = scan::number(plain, 0);
  if (value_in(number) == nullptr) return reason_in(number);
  const scan::Number& read = *value_in(number);
  if (read.end != plain.text.size()) {
    return scan::refuse(plain, read.end,
                        "something follows the number: " +
                            scan::quoted(scan::trimmed(plain.view().substr(read.end))),
                        "write the number alone");
  }
  return read.value;
}

}  // namespace baylore::trade
