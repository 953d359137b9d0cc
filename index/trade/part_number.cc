#include "trade/part_number.h"

#include <array>

namespace baylore::trade {
namespace {

// What separates the characters of a number and says nothing, in UTF-8.
constexpr std::array<std::string_view, 17> kBetween = {
    " ",      "-",      ".",      "/",      "_",      "\t",     "\u00a0", "\u2009", "\u202f",
    "\u2010", "\u2011", "\u2012", "\u2013", "\u2014", "\u2015", "\u2212", "\u00ad"};

std::size_t between_at(std::string_view text, std::size_t at) {
  for (const std::string_view each : kBetween) {
    if (text.substr(at, each.size()) == each) return each.size();
  }
  return 0;
}

char folded(char c) {
  switch (c) {
    case 'O':
    case 'Q':
    case 'D':
      return '0';
    case 'I':
    case 'L':
      return '1';
    case 'Z':
      return '2';
    case 'S':
      return '5';
    case 'G':
      return '6';
    case 'B':
      return '8';
    default:
      return c;
  }
}

}  // namespace

Parsed<PartKey> part_key(std::string_view text) {
  if (text.size() > kLongestPartNumber) {
    return Refusal{kLongestPartNumber, "too long for a part number",
                   "write the number alone, without what it is for"};
  }
  PartKey key;
  for (std::size_t at = 0; at < text.size();) {
    if (const std::size_t passed = between_at(text, at); passed > 0) {
      at += passed;
      continue;
    }
    char c = text[at];
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (!(c >= 'A' && c <= 'Z') && !(c >= '0' && c <= '9')) {
      return Refusal{at, "a character that no part number has",
                     "write Latin letters, digits, dashes and blanks"};
    }
    key.plain += c;
    key.folded += folded(c);
    ++at;
  }
  if (key.plain.empty()) {
    return Refusal{text.size(), "no letter and no digit", "write the number on the box: 88-214"};
  }
  return key;
}

}  // namespace baylore::trade
