#include "viewer/input/text_buffer.h"

#include <algorithm>

namespace baylore::viewer {
namespace {

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

bool is_scalar(char32_t c) { return c < 0xD800 || (c > 0xDFFF && c <= 0x10FFFF); }

// To the code point before `at`; an invalid byte is a step of its own, as it is forwards.
std::size_t step_back(std::string_view text, std::size_t at) {
  if (at == 0) return 0;
  for (const std::size_t length : {4U, 3U, 2U}) {
    if (length > at) continue;
    std::size_t end = at - length;
    next_code_point(text, end);
    if (end == at) return at - length;
  }
  return at - 1;
}

}  // namespace

char32_t next_code_point(std::string_view text, std::size_t& at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(at);
  std::size_t length = 1;
  char32_t value = first;
  if (first >= 0xF0 && first < 0xF5) {
    length = 4;
    value = first & 0x07U;
  } else if (first >= 0xE0 && first < 0xF0) {
    length = 3;
    value = first & 0x0FU;
  } else if (first >= 0xC2 && first < 0xE0) {
    length = 2;
    value = first & 0x1FU;
  } else if (first >= 0x80) {
    ++at;
    return 0xFFFD;
  }
  if (at + length > text.size()) {
    ++at;
    return 0xFFFD;
  }
  for (std::size_t i = 1; i < length; ++i) {
    if (!is_continuation(text[at + i])) {
      ++at;
      return 0xFFFD;
    }
    value = (value << 6U) | (byte(at + i) & 0x3FU);
  }
  // Longer than need be, a half of a UTF-16 pair, or beyond Unicode: RFC 3629 allows none of them.
  const bool overlong = (length == 3 && value < 0x800) || (length == 4 && value < 0x10000);
  if (overlong || !is_scalar(value)) {
    ++at;
    return 0xFFFD;
  }
  at += length;
  return value;
}

void append_utf8(std::string& to, char32_t c) {
  const auto put = [&](unsigned byte) { to.push_back(static_cast<char>(byte)); };
  if (!is_scalar(c)) c = 0xFFFD;
  if (c < 0x80) {
    put(c);
  } else if (c < 0x800) {
    put(0xC0U | (c >> 6U));
    put(0x80U | (c & 0x3FU));
  } else if (c < 0x10000) {
    put(0xE0U | (c >> 12U));
    put(0x80U | ((c >> 6U) & 0x3FU));
    put(0x80U | (c & 0x3FU));
  } else {
    put(0xF0U | (c >> 18U));
    put(0x80U | ((c >> 12U) & 0x3FU));
    put(0x80U | ((c >> 6U) & 0x3FU));
    put(0x80U | (c & 0x3FU));
  }
}

TextBuffer::TextBuffer(std::string text, bool multiline)
    : text_(std::move(text)), caret_(text_.size()), multiline_(multiline) {}

void TextBuffer::set(std::string text) {
  text_ = std::move(text);
  caret_ = text_.size();
}

void TextBuffer::place_caret(std::size_t byte) {
  caret_ = std::min(byte, text_.size());
  // Inside a code point it goes before that.
  for (std::size_t back = 1; back < 4 && back <= caret_; ++back) {
    std::size_t end = caret_ - back;
    next_code_point(text_, end);
    if (end > caret_) {
      caret_ -= back;
      return;
    }
  }
}

void TextBuffer::insert(std::string_view utf8) {
  for (std::size_t at = 0; at < utf8.size();) insert(next_code_point(utf8, at));
}

void TextBuffer::insert(char32_t code_point) {
  if (code_point == '\r' || code_point == 0x7F) return;
  if (code_point < 0x20 && !(code_point == '\n' && multiline_)) return;
  std::string bytes;
  append_utf8(bytes, code_point);
  text_.insert(caret_, bytes);
  caret_ += bytes.size();
}

void TextBuffer::erase_back() {
  const std::size_t from = step_back(text_, caret_);
  text_.erase(from, caret_ - from);
  caret_ = from;
}

void TextBuffer::erase_forward() {
  if (caret_ >= text_.size()) return;
  std::size_t to = caret_;
  next_code_point(text_, to);
  text_.erase(caret_, to - caret_);
}

void TextBuffer::left() { caret_ = step_back(text_, caret_); }

void TextBuffer::right() {
  if (caret_ < text_.size()) next_code_point(text_, caret_);
}

void TextBuffer::home() {
  const std::size_t newline = caret_ == 0 ? std::string::npos : text_.rfind('\n', caret_ - 1);
  caret_ = newline == std::string::npos ? 0 : newline + 1;
}

void TextBuffer::end() {
  const std::size_t newline = text_.find('\n', caret_);
  caret_ = newline == std::string::npos ? text_.size() : newline;
}

std::string TextBuffer::word_at_caret() const {
  std::size_t from = caret_;
  while (from > 0 && text_[from - 1] != ' ' && text_[from - 1] != '\n') --from;
  return text_.substr(from, caret_ - from);
}

void TextBuffer::replace_word(std::string_view word) {
  const std::size_t length = word_at_caret().size();
  text_.erase(caret_ - length, length);
  caret_ -= length;
  insert(word);
  insert(U' ');
}

std::vector<WrappedLine> wrap(std::string_view text, float width,
                              const std::function<float(char32_t)>& width_of) {
  std::vector<WrappedLine> lines;
  std::size_t from = 0;     // of the line
  std::size_t blank = 0;    // the last blank in the line; from when there is none
  float used = 0;           // width of [from, at)
  float used_at_blank = 0;  // width of [from, blank]
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t here = at;
    const char32_t c = next_code_point(text, at);
    if (c == '\n') {
      lines.push_back({from, here});
      from = blank = at;
      used = 0;
      continue;
    }
    const float w = width_of(c);
    // Twice when what was carried over from the blank is still too wide with this one.
    while (used + w > width && here > from && c != ' ') {
      if (blank > from) {
        lines.push_back({from, blank});
        from = blank + 1;
        used -= used_at_blank;
      } else {
        lines.push_back({from, here});
        from = here;
        used = 0;
      }
      blank = from;
    }
    used += w;
    if (c == ' ') {
      blank = here;
      used_at_blank = used;
    }
  }
  lines.push_back({from, text.size()});
  return lines;
}

}  // namespace baylore::viewer
