#include "shop/scan.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace baylore::shop::scan {
namespace {

bool blank_char(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f'; }
bool letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
}
bool key_char(char c) {
  return letter(c) || is_digit(c) || c == ' ' || c == '-' || c == '_' || c == '.' || c == '/';
}

// Spaces at the start, at most three: a fourth makes CommonMark's indented code.
std::size_t block_indent(std::string_view line) {
  std::size_t n = 0;
  while (n < line.size() && line[n] == ' ') ++n;
  return n;
}

constexpr std::size_t kLongestKey = 48;

// `key: value` where `line` starts with the key; offsets are into `line`.
std::optional<KeyLine> split_key(std::string_view line) {
  const std::size_t colon = line.substr(0, kLongestKey + 1).find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  KeyLine found;
  found.key = right_trimmed(line.substr(0, colon));
  if (!is_key(found.key)) return std::nullopt;
  std::size_t at = colon + 1;
  while (at < line.size() && blank_char(line[at])) ++at;
  found.value = right_trimmed(line.substr(at));
  found.value_at = found.value.empty() ? colon + 1 : at;
  return found;
}

// What a reader of plain YAML scalars (1.1 or 1.2) would turn into a truth value or nothing.
bool yaml_word(std::string_view value) {
  static constexpr std::array<std::string_view, 12> kWords = {
      "true", "false", "yes", "no", "on", "off", "y", "n", "null", "~", "=", "<<"};
  const std::string low = lower(value);
  return std::find(kWords.begin(), kWords.end(), low) != kWords.end();
}

// Whether a YAML reader takes `value` for a number that it would print in another way: 0420, 1.50,
// 1e3, 0x1F, 12:30, 1_000. A number that prints as it was written (95, 0.42, -3) loses nothing and
// stays bare.
bool yaml_changes_number(std::string_view value) {
  std::string_view rest = value;
  if (!rest.empty() && (rest.front() == '-' || rest.front() == '+')) rest.remove_prefix(1);
  if (rest.empty()) return false;
  if (rest.front() == '.') return rest.size() > 1;
  if (!is_digit(rest.front())) return false;
  const bool number_like = std::all_of(rest.begin(), rest.end(), [](char c) {
    return is_digit(c) || c == '.' || c == '_' || c == ':' || c == 'x' || c == 'X' || c == 'o' ||
           c == '+' || c == '-' || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
  });
  if (!number_like) return false;
  if (value.front() == '+' || value == "-0") return true;
  // A plain date comes back as it was.
  if (rest.size() == 10 && rest[4] == '-' && rest[7] == '-') return false;
  const std::size_t point = rest.find('.');
  const std::string_view whole = rest.substr(0, point);
  if (!std::all_of(whole.begin(), whole.end(), is_digit)) return true;
  if (whole.size() > 1 && whole.front() == '0') return true;
  if (whole.size() > 15) return true;
  if (point == std::string_view::npos) return false;
  const std::string_view fraction = rest.substr(point + 1);
  return fraction.empty() || fraction.size() > 12 ||
         !std::all_of(fraction.begin(), fraction.end(), is_digit) ||
         (fraction.back() == '0' && fraction != "0");
}

void put_utf8(std::uint32_t point, std::string& into) {
  if (point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) point = 0xFFFD;
  const auto put = [&](std::uint32_t byte) {
    into += static_cast<char>(static_cast<unsigned char>(byte));
  };
  if (point < 0x80) {
    put(point);
  } else if (point < 0x800) {
    put(0xC0U | (point >> 6U));
    put(0x80U | (point & 0x3FU));
  } else if (point < 0x10000) {
    put(0xE0U | (point >> 12U));
    put(0x80U | ((point >> 6U) & 0x3FU));
    put(0x80U | (point & 0x3FU));
  } else {
    put(0xF0U | (point >> 18U));
    put(0x80U | ((point >> 12U) & 0x3FU));
    put(0x80U | ((point >> 6U) & 0x3FU));
    put(0x80U | (point & 0x3FU));
  }
}

// `digits` hexadecimal digits of `text`, or nullopt.
std::optional<std::uint32_t> hex_digits(std::string_view text, std::size_t digits) {
  if (text.size() < digits) return std::nullopt;
  std::uint32_t value = 0;
  for (const char c : text.substr(0, digits)) {
    std::uint32_t nibble = 0;
    if (is_digit(c)) {
      nibble = static_cast<std::uint32_t>(c - '0');
    } else if (c >= 'a' && c <= 'f') {
      nibble = static_cast<std::uint32_t>(c - 'a') + 10;
    } else if (c >= 'A' && c <= 'F') {
      nibble = static_cast<std::uint32_t>(c - 'A') + 10;
    } else {
      return std::nullopt;
    }
    value = value * 16 + nibble;
  }
  return value;
}

// The inside of a double-quoted YAML scalar; nullopt when a bare quote stands in it.
std::optional<std::string> double_unquoted(std::string_view inside) {
  std::string out;
  for (std::size_t i = 0; i < inside.size(); ++i) {
    const char c = inside[i];
    if (c == '"') return std::nullopt;
    if (c != '\\') {
      out += c;
      continue;
    }
    if (++i == inside.size()) return std::nullopt;  // the last quote was an escaped one
    const char escape = inside[i];
    const std::size_t digits = escape == 'x' ? 2 : escape == 'u' ? 4 : escape == 'U' ? 8 : 0;
    if (digits > 0) {
      const auto point = hex_digits(inside.substr(i + 1), digits);
      if (!point) return std::nullopt;
      put_utf8(*point, out);
      i += digits;
    } else if (escape == '"' || escape == '\\' || escape == '/') {
      out += escape;
    } else if (escape == 't' || escape == 'n' || escape == 'r' || escape == ' ') {
      out += ' ';
    } else {
      return std::nullopt;
    }
  }
  return out;
}

}  // namespace

bool is_blank(std::string_view text) { return std::all_of(text.begin(), text.end(), blank_char); }

std::string_view right_trimmed(std::string_view text) {
  while (!text.empty() && blank_char(text.back())) text.remove_suffix(1);
  return text;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && blank_char(text.front())) text.remove_prefix(1);
  return right_trimmed(text);
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

int column_at(std::string_view line, std::size_t offset) {
  int column = 1;
  for (const char c : line.substr(0, offset)) {
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++column;
  }
  return column;
}

// --- lines

Lines::Lines(std::string_view bytes) : bytes_(bytes) {
  std::size_t at = bytes.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0;
  starts_.reserve(static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n')) + 2);
  while (at < bytes.size()) {
    starts_.push_back(at);
    const std::size_t end = bytes.find('\n', at);
    at = end == std::string_view::npos ? bytes.size() : end + 1;
  }
  starts_.push_back(bytes.size());
}

std::string_view Lines::ending(int line) const {
  const std::string_view whole = bytes_.substr(start(line), start(line + 1) - start(line));
  if (whole.empty() || whole.back() != '\n') return {};
  const bool crlf = whole.size() > 1 && whole[whole.size() - 2] == '\r';
  return whole.substr(whole.size() - (crlf ? 2 : 1));
}

std::string_view Lines::text(int line) const {
  return bytes_.substr(start(line), start(line + 1) - start(line) - ending(line).size());
}

std::string_view Lines::usual_ending() const {
  if (count() > 0 && !ending(1).empty()) return ending(1);
  return "\n";
}

std::string Lines::joined(int first, int last, int* at) const {
  while (first <= last && is_blank(text(first))) ++first;
  while (last >= first && is_blank(text(last))) --last;
  if (at != nullptr) *at = first <= last ? first : 0;
  std::string out;
  for (int line = first; line <= last; ++line) {
    if (line > first) out += '\n';
    out += text(line);
  }
  return out;
}

// --- blocks

Shape Blocks::take(std::string_view line) {
  if (comment_) {
    comment_ = line.find("-->") == std::string_view::npos;
    return Shape::hidden;
  }
  const std::size_t indent = block_indent(line);
  const std::string_view rest = line.substr(std::min(indent, line.size()));
  const bool indented_code = indent > 3;
  if (fence_ != 0) {
    const std::size_t run = std::min(rest.find_first_not_of(fence_), rest.size());
    if (!indented_code && run >= fence_length_ && is_blank(rest.substr(run))) fence_ = 0;
    return Shape::hidden;
  }
  if (is_blank(rest)) return Shape::blank;
  if (indented_code) return Shape::text;
  if (rest.front() == '`' || rest.front() == '~') {
    const std::size_t run = std::min(rest.find_first_not_of(rest.front()), rest.size());
    const bool inline_code = rest.front() == '`' && rest.find('`', run) != std::string_view::npos;
    if (run >= 3 && !inline_code) {
      fence_ = rest.front();
      fence_length_ = run;
      return Shape::hidden;
    }
    return Shape::text;
  }
  if (rest.substr(0, 4) == "<!--") {
    comment_ = rest.find("-->", 4) == std::string_view::npos;
    return Shape::hidden;
  }
  if (rest.front() != '#') return Shape::text;
  const std::size_t marks = std::min(rest.find_first_not_of('#'), rest.size());
  if (marks > 3 || (marks < rest.size() && !blank_char(rest[marks]))) return Shape::text;
  return marks == 1 ? Shape::title : marks == 2 ? Shape::section : Shape::entry;
}

std::string Blocks::closing() const {
  if (comment_) return "-->";
  return fence_ == 0 ? std::string() : std::string(fence_length_, fence_);
}

std::string_view heading_text(std::string_view line) {
  line = trimmed(line);
  line.remove_prefix(std::min(line.find_first_not_of('#'), line.size()));
  line = trimmed(line);
  const std::size_t last = line.find_last_not_of('#');
  if (last == std::string_view::npos) return {};
  if (last + 1 < line.size() && blank_char(line[last]))
    line = right_trimmed(line.substr(0, last + 1));
  return line;
}

// --- keys and items

bool is_key(std::string_view key) {
  return !key.empty() && key.size() <= kLongestKey && letter(key.front()) &&
         !blank_char(key.back()) && std::all_of(key.begin(), key.end(), key_char);
}

std::optional<KeyLine> key_line(std::string_view line) { return split_key(line); }

std::optional<KeyLine> bullet_key_line(std::string_view line) {
  const auto item = bullet(line);
  if (!item || item->indent > 3) return std::nullopt;
  auto found = split_key(line.substr(item->value_at));
  if (!found) return std::nullopt;
  // `- http://...` is no key: here, unlike in front matter, a line may well be free text.
  const std::size_t colon = item->value_at + line.substr(item->value_at).find(':');
  if (colon + 1 < line.size() && !blank_char(line[colon + 1])) return std::nullopt;
  found->value_at += item->value_at;
  return found;
}

std::optional<Bullet> bullet(std::string_view line) {
  Bullet found;
  while (found.indent < line.size() && blank_char(line[found.indent])) ++found.indent;
  std::size_t at = found.indent;
  if (at == line.size() || (line[at] != '-' && line[at] != '*' && line[at] != '+'))
    return std::nullopt;
  ++at;
  if (at < line.size() && !blank_char(line[at])) return std::nullopt;
  while (at < line.size() && blank_char(line[at])) ++at;
  found.value_at = at;
  found.value = right_trimmed(line.substr(at));
  return found;
}

// --- tables

std::optional<std::vector<Cell>> table_row(std::string_view line) {
  constexpr std::size_t kMostCells = 64;
  if (line.find('|') == std::string_view::npos) return std::nullopt;
  std::vector<Cell> cells;
  std::size_t at = 0;
  while (at < line.size() && blank_char(line[at])) ++at;
  if (at < line.size() && line[at] == '|') ++at;
  const std::size_t end = right_trimmed(line).size();
  while (at < end && cells.size() < kMostCells) {
    Cell cell;
    while (at < end && blank_char(line[at])) ++at;
    cell.at = at;
    for (; at < end && line[at] != '|'; ++at) {
      if (line[at] == '\\' && at + 1 < end && line[at + 1] == '|') ++at;
      cell.text += line[at];
    }
    ++at;  // the bar
    cell.text = std::string(right_trimmed(cell.text));
    cells.push_back(std::move(cell));
  }
  return cells;
}

std::size_t table_rule(std::string_view line) {
  const bool possible = std::all_of(line.begin(), line.end(), [](char c) {
    return c == '|' || c == '-' || c == ':' || blank_char(c);
  });
  if (!possible || is_blank(line)) return 0;
  const auto cells = table_row(line);
  if (!cells) return 0;
  for (const Cell& cell : *cells) {
    std::string_view rest = cell.text;
    if (!rest.empty() && rest.front() == ':') rest.remove_prefix(1);
    if (!rest.empty() && rest.back() == ':') rest.remove_suffix(1);
    if (rest.empty() || rest.find_first_not_of('-') != std::string_view::npos) return 0;
  }
  return cells->size();
}

// --- quotes

std::string unquoted(std::string_view value) {
  if (value.size() >= 2 && value.front() == '"' && value.back() == '"') {
    if (auto inside = double_unquoted(value.substr(1, value.size() - 2))) return *inside;
  }
  if (value.size() >= 2 && value.front() == '\'' && value.back() == '\'') {
    std::string out;
    const std::string_view inside = value.substr(1, value.size() - 2);
    for (std::size_t i = 0; i < inside.size(); ++i) {
      if (inside[i] == '\'') {
        if (i + 1 == inside.size() || inside[i + 1] != '\'') return std::string(value);
        ++i;
      }
      out += inside[i];
    }
    return out;
  }
  return std::string(value);
}

std::string quoted_if_needed(std::string_view value) {
  const auto needs = [&] {
    if (value.empty() || blank_char(value.front()) || blank_char(value.back())) return true;
    static constexpr std::string_view kIndicators = "?:,[]{}#&*!|>'\"%@`";
    if (kIndicators.find(value.front()) != std::string_view::npos) return true;
    if (value.front() == '-' &&
        (value.size() == 1 || blank_char(value[1]) || value.substr(0, 3) == "---"))
      return true;
    if (value.substr(0, 3) == "...") return true;
    // A tab is no part of a plain scalar for every reader.
    if (value.back() == ':' || value.find(": ") != std::string_view::npos ||
        value.find(" #") != std::string_view::npos || value.find('\t') != std::string_view::npos) {
      return true;
    }
    return yaml_word(value) || yaml_changes_number(value);
  };
  if (!needs()) return std::string(value);
  std::string out = "\"";
  for (const char c : value) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

}  // namespace baylore::shop::scan
