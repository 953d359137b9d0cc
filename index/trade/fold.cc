#include <array>
#include <cstdint>

#include "trade/scan.h"

namespace baylore::trade::scan {
namespace {

struct Plain {
  char32_t code_point;
  std::string_view ascii;
};

// Sorted by code point is not needed: the table is short and only reached for non-ASCII characters.
constexpr std::array kPlain = {
    Plain{0x00A0, " "},     Plain{0x2002, " "},     Plain{0x2003, " "},    Plain{0x2004, " "},
    Plain{0x2005, " "},     Plain{0x2006, " "},     Plain{0x2007, " "},    Plain{0x2008, " "},
    Plain{0x2009, " "},     Plain{0x200A, " "},     Plain{0x202F, " "},    Plain{0x3000, " "},
    Plain{0x200B, ""},      Plain{0xFEFF, ""},      Plain{0x00AD, ""},     Plain{0x2010, "-"},
    Plain{0x2011, "-"},     Plain{0x2012, "-"},     Plain{0x2013, "-"},    Plain{0x2014, "-"},
    Plain{0x2015, "-"},     Plain{0x2212, "-"},     Plain{0xFE58, "-"},    Plain{0xFE63, "-"},
    Plain{0x00B7, "."},     Plain{0x22C5, "."},     Plain{0x2219, "."},    Plain{0x2022, "."},
    Plain{0x2027, "."},     Plain{0x00D7, "x"},     Plain{0x2715, "x"},    Plain{0x03A9, "ohm"},
    Plain{0x2126, "ohm"},   Plain{0x00B5, "u"},     Plain{0x03BC, "u"},    Plain{0x00B0, "deg"},
    Plain{0x00BA, "deg"},   Plain{0x02DA, "deg"},   Plain{0x2103, "degC"}, Plain{0x2109, "degF"},
    Plain{0x00B2, "^2"},    Plain{0x00B3, "^3"},    Plain{0x2082, "_2"},   Plain{0x03BB, "lambda"},
    Plain{0x0394, "delta"}, Plain{0x2206, "delta"}, Plain{0x00B1, "+-"},   Plain{0x2265, ">="},
    Plain{0x2264, "<="},    Plain{0x2A7E, ">="},    Plain{0x2A7D, "<="},   Plain{0x2026, ".."},
    Plain{0x2025, ".."},    Plain{0x2018, "'"},     Plain{0x2019, "'"},    Plain{0x2032, "'"},
    Plain{0x201C, "\""},    Plain{0x201D, "\""},    Plain{0x201E, "\""},   Plain{0x2033, "\""},
    Plain{0x00BC, " 1/4"},  Plain{0x00BD, " 1/2"},  Plain{0x00BE, " 3/4"}, Plain{0x2153, " 1/3"},
    Plain{0x2154, " 2/3"},  Plain{0x215B, " 1/8"},  Plain{0x215C, " 3/8"}, Plain{0x215D, " 5/8"},
    Plain{0x215E, " 7/8"},  Plain{0x2044, "/"},     Plain{0x2215, "/"},
};

// One character of UTF-8 at `i`; length 0 when the bytes are not UTF-8 (overlong forms, surrogates
// and values past U+10FFFF included).
struct Decoded {
  char32_t code_point = 0;
  std::size_t length = 0;
};

Decoded decode(std::string_view text, std::size_t i) {
  const auto byte = [&](std::size_t k) { return static_cast<std::uint8_t>(text[k]); };
  const std::uint8_t first = byte(i);
  if (first < 0x80) return {first, 1};
  std::size_t length = 0;
  char32_t value = 0;
  char32_t least = 0;
  if ((first & 0xE0) == 0xC0) {
    length = 2, value = first & 0x1F, least = 0x80;
  } else if ((first & 0xF0) == 0xE0) {
    length = 3, value = first & 0x0F, least = 0x800;
  } else if ((first & 0xF8) == 0xF0) {
    length = 4, value = first & 0x07, least = 0x10000;
  } else {
    return {};
  }
  if (length > text.size() - i) return {};
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(i + k) & 0xC0) != 0x80) return {};
    value = (value << 6) | (byte(i + k) & 0x3Fu);
  }
  if (value < least || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) return {};
  return {value, length};
}

}  // namespace

Parsed<Folded> fold(std::string_view original, std::size_t longest) {
  if (original.size() > longest) {
    return Refusal{longest, "the text is too long to be a value", "write the value alone"};
  }
  Folded folded;
  folded.text.reserve(original.size() + 8);
  const auto put = [&](std::string_view ascii, std::size_t at) {
    for (const char c : ascii) {
      folded.text.push_back(c);
      folded.at.push_back(at);
    }
  };
  for (std::size_t i = 0; i < original.size();) {
    const Decoded character = decode(original, i);
    if (character.length == 0) {
      return Refusal{i, "a byte that is not UTF-8 text", "type the character again"};
    }
    const char32_t c = character.code_point;
    const std::string_view bytes = original.substr(i, character.length);
    if (c == '\t' || c == '\n' || c == '\r') {
      put(" ", i);
    } else if (c < 0x20 || (c >= 0x7F && c < 0xA0)) {
      return Refusal{i, "a control character", "type the value again"};
    } else if (c < 0x7F) {
      put(bytes, i);
    } else if (c >= 0xFF01 && c <= 0xFF5E) {
      const char ascii = static_cast<char>(c - 0xFF01 + 0x21);
      put(std::string_view(&ascii, 1), i);
    } else {
      std::string_view plain = bytes;
      for (const Plain& entry : kPlain) {
        if (entry.code_point == c) plain = entry.ascii;
      }
      put(plain, i);
    }
    i += character.length;
  }
  folded.at.push_back(original.size());

  std::size_t begin = 0;
  std::size_t end = folded.text.size();
  while (begin < end && folded.text[begin] == ' ') ++begin;
  while (end > begin && folded.text[end - 1] == ' ') --end;
  folded.at.erase(folded.at.begin() + static_cast<std::ptrdiff_t>(end) + 1, folded.at.end());
  folded.at.erase(folded.at.begin(), folded.at.begin() + static_cast<std::ptrdiff_t>(begin));
  folded.text = folded.text.substr(begin, end - begin);
  return folded;
}

Refusal refuse(const Folded& folded, std::size_t i, std::string what, std::string remedy) {
  return {folded.at[i < folded.at.size() ? i : folded.at.size() - 1], std::move(what),
          std::move(remedy)};
}

std::string quoted(std::string_view text) {
  constexpr std::size_t kLongest = 24;
  std::string out = "`";
  if (text.size() <= kLongest) {
    out += text;
  } else {
    std::size_t cut = kLongest;
    while (cut > 0 && (static_cast<std::uint8_t>(text[cut]) & 0xC0) == 0x80) --cut;
    out += text.substr(0, cut);
    out += "...";
  }
  out += '`';
  return out;
}

std::string lowered(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

std::size_t skip_blanks(std::string_view text, std::size_t i) {
  while (i < text.size() && text[i] == ' ') ++i;
  return i;
}

}  // namespace baylore::trade::scan
