#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"

namespace baylore::trade {

// Vehicle identification numbers: 49 CFR 565.13-.15. A VIN identifies a customer's car: callers
// keep it only for the moment, never in a file, a log or a recent search.

// What the rule of position 7 may be applied to.
enum class VehicleClass {
  kUnknown,
  kLight,  // passenger car, or MPV or truck of at most 4536 kg (10 000 lb) gross weight rating
  kOther,  // motorcycle, bus, trailer, heavier truck: position 7 says nothing about the year
};

// The check digit by integer arithmetic: sum of value x weight, modulo 11, 10 written X.
struct CheckDigit {
  int sum = 0;
  int remainder = 0;
  char computed = '0';  // what position 9 should be
  char stated = '0';    // what position 9 is
  bool agrees = false;
};
// Of 17 upper-case VIN characters (A-Z less I, O, Q; 0-9); nullopt for anything else.
std::optional<CheckDigit> check_digit(std::string_view vin);

// Model years a position 10 character can mean within 1980-2039, oldest first: 'K' -> 1989, 2019.
// Empty for I, O, Q, U, Z, 0 and anything else.
std::vector<int> model_years_of(char position_10);

// What a VIN tells. It can show that a VIN is wrong; it never shows that it is right: of single
// wrong characters about 1 in 13 passes the check digit.
struct Vin {
  std::string text;                  // 17 characters, upper case; unknown ones `*` in a partial VIN
  bool complete = true;              // all 17 known
  bool valid = false;                // complete, check digit agrees and the year character is legal
  std::optional<CheckDigit> check;   // present when complete
  std::vector<int> model_years;      // candidates, oldest first; one when position 7 may decide
  std::optional<int> year_if_light;  // by position 7, if a light North American vehicle
  std::string reason;  // one sentence in words: what was found and what it does not prove
  std::vector<std::string> repairs;  // what was done to the text to read it
};

// Reads a whole VIN, as typed or scanned. Repairs: lower case, blanks and dashes, the start and
// stop `*` of Code 39, a leading I that some labels carry. Refused: illegal letters I, O, Q (with
// the digit they are mistaken for, never put in), other characters, wrong length. A wrong check
// digit is no refusal: the result says so, because VINs from outside North America need not carry
// one. Any bytes are accepted; texts above 64 bytes are refused.
Parsed<Vin> read_vin(std::string_view text, VehicleClass vehicle = VehicleClass::kUnknown);

// Reads a part of a VIN: the first 10 to 16 characters, the last 8 (five digits at the end), or 17
// with unknown places written `*`, `?` or `_`. `valid` is always false.
Parsed<Vin> read_partial_vin(std::string_view text, VehicleClass vehicle = VehicleClass::kUnknown);

// A VIN, or what looks like a mistyped one (16 to 18 characters, letters and digits mixed), inside
// a typed line: first one found. The caller takes it out before anything is kept.
struct FoundVin {
  std::size_t at = 0, length = 0;  // bytes of the line
  bool exact = false;              // 17 legal characters; false: looks like a VIN with a slip
};
std::optional<FoundVin> find_vin(std::string_view line);

// The line with every VIN and near-VIN taken out and the blanks around it closed up.
std::string without_vins(std::string_view line);

}  // namespace baylore::trade
