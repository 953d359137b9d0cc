#include "trade/code.h"

#include <algorithm>
#include <array>
#include <string>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

constexpr std::string_view kSystemLetters = "PCBU";
constexpr std::string_view kHexDigits = "0123456789ABCDEF";
constexpr std::string_view kCodeRemedy =
    "write P, C, B or U and four characters, as in P0420 or P0420-00";

int hex_value(char c) {
  const std::size_t at = kHexDigits.find(c);
  return at == std::string_view::npos ? -1 : static_cast<int>(at);
}

void hex_digits(std::string& out, unsigned value, int digits) {
  for (int shift = 4 * (digits - 1); shift >= 0; shift -= 4) {
    out += kHexDigits[(value >> shift) & 0xFu];
  }
}

// What was done to a text, each thing once and in the order a reader meets it.
struct Repairs {
  std::vector<std::string> made;
  void note(const std::string& repair) {
    if (std::find(made.begin(), made.end(), repair) == made.end()) made.push_back(repair);
  }
};

unsigned third_digit(const Code& code) { return (code.value >> 8) & 0xFu; }
unsigned second_digit(const Code& code) { return (code.value >> 12) & 0x3u; }

}  // namespace

char system_letter(const Code& code) { return kSystemLetters[code.value >> 14]; }

CodeSystem code_system(const Code& code) { return static_cast<CodeSystem>(code.value >> 14); }

std::string_view system_name(CodeSystem system) {
  switch (system) {
    case CodeSystem::kPowertrain:
      return "powertrain";
    case CodeSystem::kChassis:
      return "chassis";
    case CodeSystem::kBody:
      return "body";
    case CodeSystem::kNetwork:
      return "network";
  }
  return "";
}

std::string base_text(const Code& code) {
  std::string out(1, system_letter(code));
  hex_digits(out, code.value & 0x3FFFu, 4);
  return out;
}

std::string text(const Code& code) {
  std::string out = base_text(code);
  if (code.failure_type) {
    out += '-';
    hex_digits(out, *code.failure_type, 2);
  }
  return out;
}

std::string hex(const Code& code) {
  std::string out;
  hex_digits(out, code.value, 4);
  return out;
}

// The division by letter and second character of SAE J2012 (from memory). Of U3 the editions
// differ.
DefinedBy defined_by(const Code& code) {
  const unsigned second = second_digit(code);
  switch (code_system(code)) {
    case CodeSystem::kPowertrain:
      if (second == 1) return DefinedBy::kMaker;
      if (second == 3) return third_digit(code) <= 3 ? DefinedBy::kMaker : DefinedBy::kStandard;
      return DefinedBy::kStandard;
    case CodeSystem::kChassis:
    case CodeSystem::kBody:
      if (second == 0) return DefinedBy::kStandard;
      return second == 3 ? DefinedBy::kReserved : DefinedBy::kMaker;
    case CodeSystem::kNetwork:
      if (second == 0) return DefinedBy::kStandard;
      return second == 3 ? DefinedBy::kStandardOrReserved : DefinedBy::kMaker;
  }
  return DefinedBy::kReserved;
}

std::string_view defined_by_name(DefinedBy defined) {
  switch (defined) {
    case DefinedBy::kStandard:
      return "ISO/SAE";
    case DefinedBy::kMaker:
      return "manufacturer";
    case DefinedBy::kReserved:
      return "reserved";
    case DefinedBy::kStandardOrReserved:
      return "standard/reserved";
  }
  return "";
}

std::optional<std::string_view> subsystem(const Code& code) {
  const unsigned second = second_digit(code);
  if (code_system(code) != CodeSystem::kPowertrain || (second != 0 && second != 2)) {
    return std::nullopt;
  }
  switch (third_digit(code)) {
    case 0x0:
      return "fuel and air metering, auxiliary emission controls";
    case 0x1:
    case 0x2:
      return "fuel and air metering";
    case 0x3:
      return "ignition system or misfire";
    case 0x4:
      return "auxiliary emission controls";
    case 0x5:
      return "vehicle speed, idle control, auxiliary inputs";
    case 0x6:
      return "computer and output circuits";
    case 0x7:
    case 0x8:
    case 0x9:
      return "transmission";
    case 0xA:
      // P2A goes on where P22 ends; the hybrid's codes stand under P0 alone.
      return second == 0 ? "hybrid propulsion"
                         : "fuel and air metering, auxiliary emission controls";
    case 0xB:
    case 0xC:
      if (second == 0) return "hybrid propulsion";
      return std::nullopt;
    default:
      return std::nullopt;
  }
}

std::optional<std::string_view> failure_type_name(std::uint8_t failure_type) {
  switch (failure_type) {
    case 0x00:
      return "no failure type given";
    case 0x11:
      return "circuit short to ground";
    case 0x12:
      return "circuit short to battery";
    case 0x13:
      return "circuit open";
    case 0x14:
      return "circuit short to ground or open";
    case 0x15:
      return "circuit short to battery or open";
    case 0x16:
      return "circuit voltage below threshold";
    case 0x17:
      return "circuit voltage above threshold";
    case 0x1A:
      return "circuit resistance below threshold";
    case 0x1B:
      return "circuit resistance above threshold";
    case 0x1C:
      return "circuit voltage out of range";
    case 0x1D:
      return "circuit current out of range";
    case 0x1E:
      return "circuit resistance out of range";
    case 0x1F:
      return "circuit intermittent";
    case 0x31:
      return "no signal";
    default:
      return std::nullopt;
  }
}

// Blanks and joining dashes out, case up; then the letter, the four characters, and nothing or two
// more. A dash may stand after the letter or before the failure type and nowhere else: `P04-20` is
// no code.
Parsed<ReadCode> parse_code(std::string_view typed) {
  const Parsed<scan::Folded> folded = scan::fold(typed, 64);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const std::string remedy(kCodeRemedy);
  if (plain.text.empty()) return Refusal{0, "the code is missing", remedy};

  Repairs repairs;
  std::string packed;               // letters and digits only
  std::vector<std::size_t> from;    // of each, its place in the folded text
  std::vector<std::size_t> dashes;  // number of characters before each dash
  for (std::size_t i = 0; i < plain.text.size(); ++i) {
    const char c = plain.text[i];
    if (c == ' ') {
      repairs.note("blanks left out");
    } else if (c == '-') {
      const std::size_t original = plain.at[i];
      if (typed[original] != '-') repairs.note("another dash read as -");
      dashes.push_back(packed.size());
    } else if (scan::is_digit(c) || scan::is_letter(c)) {
      if (c != scan::upper(c)) repairs.note("small letters read as capitals");
      packed += scan::upper(c);
      from.push_back(i);
      if (packed.size() > 7) {
        return scan::refuse(plain, i, "too long for one code", "write one code at a time");
      }
    } else if (c == ',' || c == ';' || c == '/') {
      return scan::refuse(plain, i, "more than one code", "write one code at a time");
    } else {
      return scan::refuse(plain, i, "a character no code has", remedy);
    }
  }
  if (packed.empty() || kSystemLetters.find(packed[0]) == std::string_view::npos) {
    return scan::refuse(plain, 0, "a code starts with P, C, B or U",
                        "put the letter of the system before it");
  }
  if (packed.size() != 5 && packed.size() != 7) {
    return scan::refuse(plain, plain.text.size(),
                        packed.size() < 5
                            ? "too short for a code"
                            : "four characters follow the letter, or six with the failure type",
                        remedy);
  }
  bool letter_dash = false;
  bool type_dash = false;
  for (const std::size_t before : dashes) {
    if (before == 1 && !letter_dash) {
      letter_dash = true;
      repairs.note("the dash after the letter left out");
    } else if (before == 5 && packed.size() == 7 && !type_dash) {
      type_dash = true;
    } else {
      return scan::refuse(plain, before < from.size() ? from[before] : plain.text.size(),
                          "a dash where no code has one", remedy);
    }
  }
  bool any_digit = false;
  for (std::size_t i = 1; i < packed.size(); ++i) {
    any_digit = any_digit || scan::is_digit(packed[i]);
    if (packed[i] == 'O') {
      packed[i] = '0';
      repairs.note("the letter O read as zero");
    } else if (packed[i] == 'I' || packed[i] == 'L') {
      repairs.note(std::string("the letter ") + packed[i] + " read as one");
      packed[i] = '1';
    }
    if (hex_value(packed[i]) < 0) {
      return scan::refuse(plain, from[i],
                          scan::quoted(std::string_view(&packed[i], 1)) + " is no digit of a code",
                          "the digits are 0 to 9 and A to F");
    }
  }
  if (!any_digit) return scan::refuse(plain, 0, "a word, not a code", remedy);
  if (packed[1] < '0' || packed[1] > '3') {
    return scan::refuse(plain, from[1], "the second character of a code is 0, 1, 2 or 3", remedy);
  }
  unsigned value = static_cast<unsigned>(kSystemLetters.find(packed[0])) << 14;
  value |= static_cast<unsigned>(packed[1] - '0') << 12;
  for (std::size_t i = 2; i < 5; ++i) {
    value |= static_cast<unsigned>(hex_value(packed[i])) << (4 * (4 - i));
  }
  ReadCode read;
  read.code.value = static_cast<std::uint16_t>(value);
  if (packed.size() == 7) {
    const int type = hex_value(packed[5]) * 16 + hex_value(packed[6]);
    read.code.failure_type = static_cast<std::uint8_t>(type);
    if (!type_dash) repairs.note("a dash put before the failure type");
  }
  read.repairs = std::move(repairs.made);
  return read;
}

namespace {

struct Token {
  std::size_t at = 0, length = 0;
};

std::vector<Token> tokens_of(std::string_view text, std::string_view separators) {
  std::vector<Token> tokens;
  std::size_t at = 0;
  while (true) {
    at = text.find_first_not_of(separators, at);
    if (at == std::string_view::npos) return tokens;
    std::size_t end = text.find_first_of(separators, at);
    if (end == std::string_view::npos) end = text.size();
    tokens.push_back({at, end - at});
    at = end;
  }
}

}  // namespace

// Commas, semicolons, slashes and new lines part for certain. Blanks may stand inside a code, so
// within a part the longest run of up to four words that is one code is taken first: `P0420 00
// P0171` is two.
CodeList read_codes(std::string_view text) {
  constexpr std::size_t kMostWords = 4;
  CodeList list;
  for (const Token& part : tokens_of(text, ",;/|+&\n\r\t")) {
    const std::string_view inside = text.substr(part.at, part.length);
    const std::vector<Token> words = tokens_of(inside, " ");
    for (std::size_t i = 0; i < words.size();) {
      std::size_t taken = 0;
      for (std::size_t n = std::min(kMostWords, words.size() - i); n > 0 && taken == 0; --n) {
        const Token& end = words[i + n - 1];
        const Parsed<ReadCode> read =
            parse_code(inside.substr(words[i].at, end.at + end.length - words[i].at));
        if (const ReadCode* code = value_in(read)) {
          list.codes.push_back(*code);
          taken = n;
        }
      }
      if (taken == 0) {
        const std::string_view word = inside.substr(words[i].at, words[i].length);
        const Parsed<ReadCode> read = parse_code(word);
        if (const Refusal* refusal = refusal_in(read); refusal != nullptr && word != "and") {
          Refusal placed = *refusal;
          placed.at += part.at + words[i].at;
          list.refused.push_back(placed);
        }
        taken = 1;
      }
      i += taken;
    }
  }
  return list;
}

// Only tokens without blanks, so that words standing near each other never make a code; a failure
// type only with its dash, so that `P0420 11` keeps the 11 as a number.
std::vector<FoundCode> find_codes(std::string_view line) {
  std::vector<FoundCode> found;
  for (const Token& token : tokens_of(line, " \t\n\r,;/|+&()[]{}<>:.!?\"'")) {
    const std::string_view word = line.substr(token.at, token.length);
    if (word.size() < 5 || word.size() > 16) continue;
    std::size_t digits = 0;
    for (const char c : word) digits += scan::is_digit(c) ? 1u : 0u;
    const bool plain_second = word[1] >= '0' && word[1] <= '3';
    const bool dash_second = word[1] == '-' && word[2] >= '0' && word[2] <= '3';
    if (!plain_second && !dash_second && digits < 2) continue;
    const Parsed<ReadCode> read = parse_code(word);
    if (const ReadCode* code = value_in(read)) found.push_back({token.at, token.length, *code});
  }
  return found;
}

bool matches(const Code& in_tip, const Code& on_car) {
  if (in_tip.value != on_car.value) return false;
  const auto given = [](const Code& code) { return code.failure_type.value_or(0); };
  return given(in_tip) == 0 || given(on_car) == 0 || given(in_tip) == given(on_car);
}

}  // namespace baylore::trade
