#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "trade/parsed.h"

namespace baylore::trade {

// The number in a GS1 barcode: GTIN-8, GTIN-12, GTIN-13 or GTIN-14 (GS1 General Specifications,
// sections 3.2 and 7.9).

// The check digit for the digits before it: weights 3 and 1 in turn from the right, the sum filled
// up to a multiple of ten (GS1 General Specifications 7.9, "standard check digit calculation").
// nullopt when `digits` is empty or holds anything but digits. '0' to '9'.
std::optional<char> gtin_check_digit(std::string_view digits);

struct Gtin {
  std::string digits;  // 14, zeros in front of a shorter one: one article, one text
  int length = 14;     // as it was written: 8, 12, 13 or 14
  std::string lot;     // batch or lot of an element string (application identifier 10), or empty
};

// Reads what a scanner gives or somebody types: the digits with blanks or dashes between, or a GS1
// element string, `(01)09520000000011(10)LOT7` or the same as transmitted, a symbology identifier
// in front (`]C1`, `]d2`, `]E0` ...) and FNC1 (byte 29) after a lot. Refused: other lengths, other
// characters, a wrong check digit (said which it should be), zeros alone, and behind the article
// number of an element string what is no application identifier or no lot. Any bytes are accepted;
// texts above 96 bytes are refused.
Parsed<Gtin> read_gtin(std::string_view text);

}  // namespace baylore::trade
