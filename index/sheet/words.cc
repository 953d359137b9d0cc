#include "sheet/words.h"

#include <md4c.h>

#include <algorithm>
#include <cstdint>
#include <utility>

namespace baylore::sheet {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

bool continues(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

// The code point at `at` and its length; length 0 when the bytes there are no UTF-8 (RFC 3629:
// neither too long a form, nor a surrogate, nor beyond U+10FFFF).
std::pair<std::uint32_t, std::size_t> decoded(std::string_view text, std::size_t at) {
  const auto first = static_cast<unsigned char>(text[at]);
  if (first < 0x80) return {first, 1};
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  static constexpr std::uint32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
  if (first < 0xC2 || first > 0xF4 || at + length > text.size()) return {0, 0};
  std::uint32_t code = first & (0x7FU >> length);
  for (std::size_t i = 1; i < length; ++i) {
    if (!continues(text[at + i])) return {0, 0};
    code = code << 6U | (static_cast<unsigned char>(text[at + i]) & 0x3FU);
  }
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (code < kLeast[length] || code > 0x10FFFF || surrogate) return {0, 0};
  return {code, length};
}

bool turns_direction(std::uint32_t code) {
  return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

struct Reader {
  std::vector<Paragraph> out;
  std::vector<unsigned> lists;  // the next item's number; 0: bullets
  std::string marker;
  int pictures = 0;
  bool open = false;

  void put(std::string_view text) {
    if (pictures > 0) return;
    if (!std::exchange(open, true)) out.push_back({std::exchange(marker, {}), {}});
    out.back().text += text;
  }
};

int enter_block(MD_BLOCKTYPE type, void* detail, void* user) {
  auto& r = *static_cast<Reader*>(user);
  if (type == MD_BLOCK_UL) r.lists.push_back(0);
  if (type == MD_BLOCK_OL) r.lists.push_back(static_cast<MD_BLOCK_OL_DETAIL*>(detail)->start);
  if (type == MD_BLOCK_LI) {
    unsigned& next = r.lists.back();
    r.marker = next == 0 ? "•" : std::to_string(next++) + ".";
  }
  r.open = r.open && (type == MD_BLOCK_TD || type == MD_BLOCK_TH);
  return 0;
}

int leave_block(MD_BLOCKTYPE type, void* /*detail*/, void* user) {
  auto& r = *static_cast<Reader*>(user);
  if (type == MD_BLOCK_UL || type == MD_BLOCK_OL) r.lists.pop_back();
  const bool cell = type == MD_BLOCK_TD || type == MD_BLOCK_TH;
  if (cell && r.open) r.put("  ");
  if (!cell) r.open = false;
  return 0;
}

int enter_span(MD_SPANTYPE type, void* /*detail*/, void* user) {
  if (type == MD_SPAN_IMG) ++static_cast<Reader*>(user)->pictures;
  return 0;
}

int leave_span(MD_SPANTYPE type, void* /*detail*/, void* user) {
  if (type == MD_SPAN_IMG) --static_cast<Reader*>(user)->pictures;
  return 0;
}

int on_text(MD_TEXTTYPE type, const MD_CHAR* text, MD_SIZE size, void* user) {
  auto& r = *static_cast<Reader*>(user);
  if (type == MD_TEXT_BR || type == MD_TEXT_SOFTBR) {
    r.put(" ");
  } else if (type == MD_TEXT_NULLCHAR) {
    r.put(kReplacement);
  } else {
    r.put(std::string_view(text, size));
  }
  return 0;
}

std::string without_marks(std::string_view markdown) {
  std::string out;
  while (!markdown.empty()) {
    const std::size_t end = std::min(markdown.find('\n'), markdown.size());
    if (!markdown.starts_with("- mark ")) out.append(markdown.substr(0, end)) += '\n';
    markdown.remove_prefix(std::min(end + 1, markdown.size()));
  }
  return out;
}

}  // namespace

std::string clean(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const auto [code, length] = decoded(text, at);
    if (length == 0) {
      out += kReplacement;
      ++at;
      while (at < text.size() && continues(text[at])) ++at;
      continue;
    }
    // C0, DEL, C1, and the two separators that some programs take for the end of a line.
    const bool control = code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x2028 ||
                         code == 0x2029 || code == 0xFEFF;
    if (code == '\n') {
      out += '\n';
    } else if (control) {
      out += ' ';
    } else if (!turns_direction(code)) {
      out += text.substr(at, length);
    }
    at += length;
  }
  return out;
}

std::string clean_line(std::string_view text) {
  std::string out;
  for (const char c : clean(text)) {
    const bool blank = c == '\n' || c == ' ';
    if (blank && (out.empty() || out.back() == ' ')) continue;
    out += blank ? ' ' : c;
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::vector<Paragraph> paragraphs_of(std::string_view markdown) {
  const std::string text = without_marks(markdown);
  Reader reader;
  MD_PARSER parser{};
  parser.flags = MD_FLAG_TABLES | MD_FLAG_NOHTML | MD_FLAG_NOINDENTEDCODEBLOCKS;
  parser.enter_block = enter_block;
  parser.leave_block = leave_block;
  parser.enter_span = enter_span;
  parser.leave_span = leave_span;
  parser.text = on_text;
  md_parse(text.data(), static_cast<MD_SIZE>(text.size()), &parser, &reader);
  for (Paragraph& one : reader.out) one.text = clean_line(one.text);
  std::erase_if(reader.out, [](const Paragraph& one) { return one.text.empty(); });
  return std::move(reader.out);
}

std::string plain_of(std::string_view markdown) {
  std::string out;
  for (const Paragraph& one : paragraphs_of(markdown)) {
    if (!out.empty()) out += ' ';
    if (!one.marker.empty() && one.marker != "•") out += one.marker + " ";
    out += one.text;
  }
  return out;
}

void join(std::string& line, const std::string& part, std::string_view gap) {
  if (part.empty()) return;
  if (!line.empty()) line += gap;
  line += part;
}

}  // namespace baylore::sheet
