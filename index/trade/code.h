#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"

namespace baylore::trade {

// A diagnostic trouble code, SAE J2012 / ISO 15031-6 (structure from memory): 16 bits, of which
// 15-14 are the letter (P C B U), 13-12 the second character (0-3), the rest three hexadecimal
// digits. The failure type is the third byte of the three-byte form.
struct Code {
  std::uint16_t value = 0;
  std::optional<std::uint8_t> failure_type;

  // P before C before B before U, then by number; without a failure type first.
  friend auto operator<=>(const Code&, const Code&) = default;
};

enum class CodeSystem { kPowertrain, kChassis, kBody, kNetwork };

enum class DefinedBy {
  kStandard,            // ISO/SAE
  kMaker,               // manufacturer
  kReserved,            // reserved
  kStandardOrReserved,  // differs between editions of the standard
};

// `P0420`, or `P0420-00` with a failure type.
std::string text(const Code& code);
// `P0420` always.
std::string base_text(const Code& code);
// `0420`, four upper-case hexadecimal digits of the two-byte form.
std::string hex(const Code& code);

char system_letter(const Code& code);  // 'P' 'C' 'B' 'U'
CodeSystem code_system(const Code& code);
std::string_view system_name(CodeSystem system);  // "powertrain", "chassis", "body", "network"
DefinedBy defined_by(const Code& code);
std::string_view defined_by_name(
    DefinedBy defined);  // "ISO/SAE", "manufacturer", "reserved", "standard/reserved"

// What part of the powertrain the third character stands for, only where the standard gives it a
// meaning (P0 and P2, third character 0 to C; from memory). Never for a maker's own codes.
std::optional<std::string_view> subsystem(const Code& code);

// What a failure type byte says (`11` short to ground ...), for the common ones; nullopt otherwise.
// Numbers from a public list, names from memory.
std::optional<std::string_view> failure_type_name(std::uint8_t failure_type);

// A code with every repair that was needed to read it, in words for the reader:
// "the letter O read as zero". Empty when the text was already in the normal form.
struct ReadCode {
  Code code;
  std::vector<std::string> repairs;
};

// Reads one code. Repairs: blanks, lower case, dashes of any kind, `P-0420`, `P042000`, O for 0 and
// I or L for 1 after the letter. Never S for 5, B for 8, D for 0 (B and D are digits there).
// Refused: no letter, second character past 3, wrong length, no digit at all (`piece` is a word),
// two codes at once. Any bytes are accepted; texts above 64 bytes are refused.
Parsed<ReadCode> parse_code(std::string_view text);

// A list as typed or scanned: `P0301, P0302`, `P0301 P0302`, one a line. Order and repetition are
// kept as given; sort with std::sort. What could not be read stands in `refused`, its `at` into the
// whole text.
struct CodeList {
  std::vector<ReadCode> codes;
  std::vector<Refusal> refused;
};
CodeList read_codes(std::string_view text);

// Codes inside a typed line of words, with where they stand. Stricter than parse_code, so that
// `blade`, `piece` and `cocoa` stay words: a token counts when its second character is a digit 0-3,
// or when it has two real digits besides a repaired letter.
struct FoundCode {
  std::size_t at = 0, length = 0;  // bytes of the line
  ReadCode read;
};
std::vector<FoundCode> find_codes(std::string_view line);

// Whether a code on the car answers to a code in a tip: same base, and the failure types equal or
// one of them absent or 00 (none given).
bool matches(const Code& in_tip, const Code& on_car);

}  // namespace baylore::trade
