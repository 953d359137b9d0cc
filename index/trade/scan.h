#pragma once

// Shared by the readers of typed text in this layer; not for other layers.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"
#include "trade/unit.h"

namespace baylore::trade::scan {

// Typed text brought into plain ASCII where it has a plain form: every kind of blank is ' ', every
// dash and minus '-', raised dots '.', the multiplication sign 'x', ohm and degree signs the words
// `ohm` and `deg`, `±` is `+-`, `≥` is `>=`, `…` is `..`, `½` is ` 1/2`, full-width forms their
// ASCII. Superscripts become `^2` so that they can never join a number. Anything else stays as it
// is.
struct Folded {
  std::string text;
  std::vector<std::size_t> at;  // text.size() + 1 offsets of the original text

  std::string_view view() const { return text; }
};

// Folds `original`, blanks at both ends removed. Refused: not UTF-8, control characters, more than
// `longest` bytes.
Parsed<Folded> fold(std::string_view original, std::size_t longest);

// A refusal at position `i` of the folded text.
Refusal refuse(const Folded& folded, std::size_t i, std::string what, std::string remedy);

// `text` in back quotes for a message, cut to some 24 characters at a character's border.
std::string quoted(std::string_view text);

std::string lowered(std::string_view text);  // ASCII letters only
std::string_view trimmed(std::string_view text);
bool is_digit(char c);
bool is_letter(char c);  // ASCII
char upper(char c);      // ASCII letters only

// The first position at or after `i` that is not a blank.
std::size_t skip_blanks(std::string_view text, std::size_t i);

// Whether a number starts here: a digit, or one sign and/or one point or comma before a digit.
bool number_starts(std::string_view text, std::size_t i);

struct Number {
  double value = 0;
  std::size_t end = 0;    // first position after it
  bool fraction = false;  // written as `1/2`
  bool negative = false;  // carried a minus sign
};
// The number that starts at `i`. See parse_number() for what is read and what is refused.
Parsed<Number> number(const Folded& folded, std::size_t i);

// The unit in [from, to) of the folded text. Refused when empty.
Parsed<const Unit*> unit_within(const Folded& folded, std::size_t from, std::size_t to);

// Whether people write `1/2` of it: lengths, angles, volumes, masses, times. Two thirds of a volt
// are more likely 2 to 3 V.
bool may_be_fraction(Dimension dimension);

// One value or a range with its unit: `5 V`, `13.5 .. 14.8 V`, `5 ± 0.2 V`.
struct Span {
  double low = 0, high = 0;  // equal for a single value
  const Unit* unit = nullptr;
  bool single = true;
};
// The span that fills [from, to) of the folded text and starts with a number. A unit missing on one
// side is taken from the other; units of one dimension are brought to the second one.
Parsed<Span> span_within(const Folded& folded, std::size_t from, std::size_t to);

}  // namespace baylore::trade::scan
