// Lines, blocks and words of the one text form: what reading (document.cc) and editing
// (document_edit.cc) share.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::shop::scan {

inline constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";  // of UTF-8

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(std::string_view text);
std::string_view trimmed(std::string_view text);
std::string_view right_trimmed(std::string_view text);
// ASCII letters only: keys and known headings are ASCII, anything else compares as written.
std::string lower(std::string_view text);
// The column, from 1 in code points, of byte `offset`.
int column_at(std::string_view line, std::size_t offset);

// The lines of a file by number from 1. A byte-order mark is before the first line, an ending is LF
// or CRLF, a file without a final line ending ends in a line all the same. Keeps a view: the bytes
// must outlive it.
class Lines {
 public:
  explicit Lines(std::string_view bytes);
  [[nodiscard]] int count() const { return static_cast<int>(starts_.size()) - 1; }
  [[nodiscard]] std::string_view text(int line) const;  // without its ending
  [[nodiscard]] std::string_view ending(
      int line) const;  // "\n", "\r\n", or "" at the end of the file
  [[nodiscard]] std::size_t start(int line) const {
    return starts_[static_cast<std::size_t>(line) - 1];
  }
  // The ending of the first line that has one; "\n" when none has.
  [[nodiscard]] std::string_view usual_ending() const;
  // Lines first..last joined by '\n', without blank lines around; `at` is set to the first line
  // kept, 0 when none is.
  [[nodiscard]] std::string joined(int first, int last, int* at) const;

 private:
  std::string_view bytes_;
  std::vector<std::size_t> starts_;  // one more than there are lines: the end of the file
};

enum class Shape : unsigned char {
  text,
  blank,
  title,    // `# `
  section,  // `## `
  entry,    // `### `
  hidden,   // in a fenced code block or an HTML comment, its first and last line included
};

// Tells the shape of each line, fed in order. CommonMark 0.30: ATX headings (4.2), fenced code
// blocks (4.5), HTML blocks of the second kind (4.6); the other blocks hold no heading we would
// mistake.
class Blocks {
 public:
  Shape take(std::string_view line);
  // The line that ends the open code block or comment; empty when none is open.
  [[nodiscard]] std::string closing() const;

 private:
  char fence_ = 0;  // '`' or '~' inside a code block
  std::size_t fence_length_ = 0;
  bool comment_ = false;
};

// The words of a heading line, without its marks.
std::string_view heading_text(std::string_view line);

// A `key: value` split, with byte offsets into the line.
struct KeyLine {
  std::string_view key;
  std::string_view value;  // trimmed
  std::size_t value_at = 0;
};
// `key: value` at the start of a line of front matter.
std::optional<KeyLine> key_line(std::string_view line);
// `- key: value`, as entries hold it, any of CommonMark's bullets.
std::optional<KeyLine> bullet_key_line(std::string_view line);
// `- item`, with its indent.
struct Bullet {
  std::size_t indent = 0;
  std::string_view value;  // trimmed
  std::size_t value_at = 0;
};
std::optional<Bullet> bullet(std::string_view line);
// Whether front matter can hold it as a key.
bool is_key(std::string_view key);

// The cells of a GitHub table's row, trimmed, `\|` taken as `|`; nullopt for a line without a bar.
// At most 64.
struct Cell {
  std::string text;
  std::size_t at = 0;  // byte offset in the line
};
std::optional<std::vector<Cell>> table_row(std::string_view line);
// Whether it is the line under a table's header: `| --- | :-: |`; how many cells it has, 0 when it
// is not.
std::size_t table_rule(std::string_view line);

// A value as read: the quotes of a YAML writer taken off, anything else as it stands.
std::string unquoted(std::string_view value);
// A value as written: in double quotes when a YAML reader would take the bare words for something
// else.
std::string quoted_if_needed(std::string_view value);

}  // namespace baylore::shop::scan
