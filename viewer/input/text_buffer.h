// Text being typed: UTF-8 bytes and a caret. No drawing; wrapping asks for widths through a
// function.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::viewer {

class TextBuffer {
 public:
  TextBuffer() = default;
  // The caret stands at the end. Invalid UTF-8 is kept and stepped over byte by byte.
  explicit TextBuffer(std::string text, bool multiline = false);

  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] std::size_t caret() const { return caret_; }
  [[nodiscard]] bool empty() const { return text_.empty(); }

  void set(std::string text);
  void place_caret(std::size_t byte);
  // Control characters are dropped, but for '\n' in a multi-line buffer.
  void insert(std::string_view utf8);
  void insert(char32_t code_point);
  void erase_back();
  void erase_forward();
  void left();
  void right();
  void home();  // of the line
  void end();
  // The word the caret stands at the end of, and putting another in its place with a space after
  // it.
  [[nodiscard]] std::string word_at_caret() const;
  void replace_word(std::string_view word);

 private:
  std::string text_;
  std::size_t caret_ = 0;
  bool multiline_ = false;
};

// One visual line of wrapped text: bytes [from, to); the newline or the blank the line was broken
// at is not in it.
struct WrappedLine {
  std::size_t from = 0;
  std::size_t to = 0;
};

// Breaks at blanks, else inside a word too long for the width. At least one line, also for empty
// text. `width_of` gives the width of one code point.
std::vector<WrappedLine> wrap(std::string_view text, float width,
                              const std::function<float(char32_t)>& width_of);

// Decodes one code point at `at` and moves past it; an invalid byte is U+FFFD and one step.
char32_t next_code_point(std::string_view text, std::size_t& at);
void append_utf8(std::string& to, char32_t code_point);

}  // namespace baylore::viewer
