#pragma once

#include <string>
#include <string_view>

#include "trade/parsed.h"

namespace baylore::trade {

// A part number as it is compared. Two people write one number in many ways (`88-214`, `88 214`,
// `88.214`), and read some of its characters as others. `plain` forgives the first, `folded` both.
// Neither says anything of the brand: numbers of two brands that are equal by chance stay apart
// only where the caller compares brands too.
struct PartKey {
  std::string plain;   // capital letters and digits as written, nothing between
  std::string folded;  // the same with what is mistaken for another character made one:
                       // O, Q, D as 0; I, L as 1; Z as 2; S as 5; G as 6; B as 8
                       // (common practice, no source)
  bool operator==(const PartKey&) const = default;
};

// Longest number that is taken, in bytes.
inline constexpr std::size_t kLongestPartNumber = 64;

// Reads a number as typed, printed or scanned. Dashes of any width, blanks, dots, slashes and
// underscores between its characters say nothing. Refused: an empty text, one without a digit or a
// letter, other characters (a letter of another script looks like a Latin one and is not), more
// than kLongestPartNumber bytes. Any bytes are accepted.
Parsed<PartKey> part_key(std::string_view text);

}  // namespace baylore::trade
