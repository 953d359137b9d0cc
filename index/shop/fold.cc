#include "shop/fold.h"

#include <utf8proc.h>

#include <algorithm>
#include <array>

#include "shop/scan.h"

namespace baylore::shop {
namespace {

constexpr utf8proc_int32_t kFractionSlash = 0x2044;  // the bar inside ½

// Well-formed sequences after the Unicode Standard, table 3-7. The length of the one at the start
// of `text`, 0 when there is none.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : static_cast<unsigned char>(0);
  };
  const auto within = [&](std::size_t i, unsigned low, unsigned high) {
    return byte(i) >= low && byte(i) <= high;
  };
  const unsigned first = byte(0);
  if (first < 0x80) return text.empty() ? 0 : 1;
  if (first < 0xC2 || first > 0xF4) return 0;
  if (first < 0xE0) return within(1, 0x80, 0xBF) ? 2 : 0;
  if (first < 0xF0) {
    const unsigned low = first == 0xE0 ? 0xA0 : 0x80;
    const unsigned high = first == 0xED ? 0x9F : 0xBF;
    return within(1, low, high) && within(2, 0x80, 0xBF) ? 3 : 0;
  }
  const unsigned low = first == 0xF0 ? 0x90 : 0x80;
  const unsigned high = first == 0xF4 ? 0x8F : 0xBF;
  return within(1, low, high) && within(2, 0x80, 0xBF) && within(3, 0x80, 0xBF) ? 4 : 0;
}

// Letters that Unicode does not decompose, but a search writes in plain letters.
std::string_view plain_letters(utf8proc_int32_t point) {
  switch (point) {
    case 0x00E6:
      return "ae";  // æ
    case 0x00F8:
      return "o";  // ø
    case 0x00F0:
      return "d";  // ð
    case 0x00FE:
      return "th";  // þ
    case 0x0111:
      return "d";  // đ
    case 0x0127:
      return "h";  // ħ
    case 0x0131:
      return "i";  // ı
    case 0x0142:
      return "l";  // ł
    case 0x0153:
      return "oe";  // œ
    case 0x0167:
      return "t";  // ŧ
    case kFractionSlash:
      return "/";
    case 0x2010:
    case 0x2011:
    case 0x2012:
    case 0x2013:
    case 0x2014:
    case 0x2212:
      return "-";
    default:
      return {};
  }
}

// Accents and the like on Latin, Greek and Cyrillic letters. The marks of other scripts are letters
// of their own there (Thai and Indic vowels), and stay.
bool dropped_mark(utf8proc_int32_t point) { return point >= 0x0300 && point <= 0x036F; }

void put(utf8proc_int32_t point, std::string& into) {
  std::array<utf8proc_uint8_t, 4> bytes{};
  const utf8proc_ssize_t size = utf8proc_encode_char(point, bytes.data());
  for (utf8proc_ssize_t i = 0; i < size; ++i)
    into += static_cast<char>(bytes[static_cast<std::size_t>(i)]);
}

// One character: compatibility decomposition and case folding (NFKD and Unicode's full case
// folding, which also gives ß -> ss, full-width -> ASCII), accents dropped, the rest by
// plain_letters().
void fold_one(std::string_view sequence, std::string& into) {
  utf8proc_int32_t point = 0;
  utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(sequence.data()),
                   static_cast<utf8proc_ssize_t>(sequence.size()), &point);
  // The longest decomposition in Unicode is 18 code points (U+FDFA).
  std::array<utf8proc_int32_t, 32> parts{};
  int last_class = UTF8PROC_BOUNDCLASS_START;
  const auto options = static_cast<utf8proc_option_t>(
      UTF8PROC_COMPAT | UTF8PROC_DECOMPOSE | UTF8PROC_CASEFOLD | UTF8PROC_IGNORE | UTF8PROC_STABLE);
  const utf8proc_ssize_t count =
      utf8proc_decompose_char(point, parts.data(), parts.size(), options, &last_class);
  if (count < 0 || static_cast<std::size_t>(count) > parts.size()) {
    into += sequence;
    return;
  }
  // 1½ is one and a half, not eleven halves.
  const bool fraction =
      std::find(parts.begin(), parts.begin() + count, kFractionSlash) != parts.begin() + count;
  if (fraction && !into.empty() && scan::is_digit(into.back())) into += ' ';
  for (utf8proc_ssize_t i = 0; i < count; ++i) {
    const utf8proc_int32_t part = parts[static_cast<std::size_t>(i)];
    if (dropped_mark(part)) continue;
    const std::string_view plain = plain_letters(part);
    if (plain.empty()) {
      put(part, into);
    } else {
      into += plain;
    }
  }
}

bool word_part(utf8proc_int32_t point) {
  switch (utf8proc_category(point)) {
    case UTF8PROC_CATEGORY_LU:
    case UTF8PROC_CATEGORY_LL:
    case UTF8PROC_CATEGORY_LT:
    case UTF8PROC_CATEGORY_LM:
    case UTF8PROC_CATEGORY_LO:
    case UTF8PROC_CATEGORY_MN:
    case UTF8PROC_CATEGORY_MC:
    case UTF8PROC_CATEGORY_ND:
    case UTF8PROC_CATEGORY_NL:
    case UTF8PROC_CATEGORY_NO:
      return true;
    default:
      return false;
  }
}

}  // namespace

std::string fold(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (static_cast<unsigned char>(c) < 0x80) {
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
      ++at;
      continue;
    }
    const std::size_t size = sequence_length(text.substr(at));
    if (size == 0) {
      out += ' ';
      ++at;
      continue;
    }
    fold_one(text.substr(at, size), out);
    at += size;
  }
  // On the folded text, so that full-width digits count too.
  for (std::size_t i = 1; i + 1 < out.size(); ++i) {
    if (out[i] == ',' && scan::is_digit(out[i - 1]) && scan::is_digit(out[i + 1])) out[i] = '.';
  }
  return out;
}

std::vector<std::string_view> words_in(std::string_view folded) {
  std::vector<std::string_view> words;
  constexpr std::size_t kNone = std::string_view::npos;
  std::size_t from = kNone;  // of the word at hand
  const auto end_word = [&](std::size_t at) {
    if (from != kNone) words.push_back(folded.substr(from, at - from));
    from = kNone;
  };
  for (std::size_t at = 0; at < folded.size();) {
    const char c = folded[at];
    std::size_t size = 1;
    bool part = scan::is_digit(c) || (c >= 'a' && c <= 'z');
    if (static_cast<unsigned char>(c) >= 0x80) {  // seldom: no table for the rest
      size = std::max<std::size_t>(1, sequence_length(folded.substr(at)));
      utf8proc_int32_t point = 0;
      utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(folded.data() + at),
                       static_cast<utf8proc_ssize_t>(size), &point);
      part = word_part(point);
    }
    if (!part) {
      end_word(at);
    } else if (from == kNone) {
      from = at;
    }
    at += size;
  }
  end_word(folded.size());
  return words;
}

std::vector<std::string> words_of(std::string_view text) {
  const std::string folded = fold(text);
  const std::vector<std::string_view> words = words_in(folded);
  return {words.begin(), words.end()};
}

std::string folded_words(std::string_view text) {
  std::string out;
  for (const std::string& word : words_of(text)) {
    if (!out.empty()) out += ' ';
    out += word;
  }
  return out;
}

std::string run_together(std::string_view text) {
  std::string out;
  for (const std::string& word : words_of(text)) out += word;
  return out;
}

std::size_t invalid_utf8_at(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = sequence_length(text.substr(at));
    if (size == 0) return at;
    at += size;
  }
  return std::string_view::npos;
}

}  // namespace baylore::shop
