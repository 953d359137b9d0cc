// The one text form of tips, parts, vocabulary and shop.md: front matter, `## sections`, `###
// entries` with `- key: value` lines. A Document keeps every byte of its file; reading and writing
// an untouched one is byte-identical, and an edit changes its own lines only. The structure is
// found by a line scanner of our own, because that is what gives line numbers.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shop/finding.h"

namespace baylore::shop {

// One value of a list, with where it stands. Lines count from 1, columns from 1 in code points.
struct Item {
  std::string value;
  int line = 0;
  int column = 0;
};

// `key: value`, or `key:` with `- item` lines under it.
struct Field {
  std::string key;    // lower case, as looked up
  std::string label;  // the key as written
  std::string value;  // trimmed; quotes of a YAML writer taken off
  int line = 0;
  int column = 0;  // of the value
  std::vector<Item> items;
};

// `### name`, then `- key: value` lines, then free text.
struct Entry {
  std::string name;
  int line = 0;
  std::vector<Field> fields;
  std::string text;   // what follows the fields, without blank lines around it
  int text_line = 0;  // where that starts; 0 when there is none
  [[nodiscard]] const Field* field(std::string_view key) const;
  [[nodiscard]] std::string value(std::string_view key) const;  // empty when absent
};

// `## heading` and everything up to the next one.
struct Section {
  std::string heading;  // as written
  std::string key;      // lower case: "checks"
  int line = 0;
  std::string
      body;  // all of it, entries included, without blank lines around it; newlines are '\n'
  int body_line = 0;  // where the body starts
  std::string text;   // the prose before the first entry, without blank lines around it
  int text_line = 0;
  std::vector<Entry> entries;
};

struct Problem {
  int line = 0;
  int column = 0;
  std::string what;
  std::string remedy;
  Level level = Level::error;
  std::string rule;  // "utf-8", "front-matter", "repeated-key", "heading" ...
};

// The most headings, fields, items and table rows that are taken from one file.
inline constexpr int kMostParts = 100000;

class Document {
 public:
  Document() = default;
  // Never fails: what is not understood is kept and listed in problems(). Fenced code blocks and
  // HTML comments hold no headings. Linear in the size; beyond kMostParts headings, fields and
  // items the rest is plain text and a problem.
  static Document parse(std::string bytes);

  [[nodiscard]] const std::string& bytes() const { return bytes_; }
  [[nodiscard]] const std::vector<Field>& front() const { return front_; }
  [[nodiscard]] const Field* field(std::string_view key) const;
  [[nodiscard]] std::string value(std::string_view key) const;  // empty when absent
  [[nodiscard]] std::vector<std::string> list(
      std::string_view key) const;  // a single value is a list of one
  [[nodiscard]] const std::vector<Section>& sections() const { return sections_; }
  [[nodiscard]] const Section* section(std::string_view key) const;
  // What stands before the first section: its first `# heading` (or empty), and the rest of the
  // text.
  [[nodiscard]] const std::string& heading() const { return heading_; }
  [[nodiscard]] const std::string& preamble() const { return preamble_; }
  [[nodiscard]] int preamble_line() const { return preamble_line_; }
  // Not UTF-8, front matter without an end, lines in it that are neither `key: value` nor `- item`,
  // keys given twice ...
  [[nodiscard]] const std::vector<Problem>& problems() const { return problems_; }

  // --- edits. Each changes the lines it must and no other; a new line takes the file's own line
  // ending. A key that no front matter could hold (empty, with a colon, a line break ...) changes
  // nothing; line breaks inside a value become blanks. ---

  // Sets or adds `key: value` (in front matter, which is made when missing). A value a YAML reader
  // would take for something else is quoted.
  void set_value(std::string_view key, std::string_view value);
  // Sets or adds a list; an empty list removes the key.
  void set_list(std::string_view key, const std::vector<std::string>& items);
  void remove(std::string_view key);
  // Replaces a section's body, or adds the section at its place in the usual order of sections; an
  // empty body removes the section. The heading line stays as written when the section is there. A
  // code block or comment that the body leaves open is closed, so that it cannot swallow the
  // sections after it.
  void set_section(std::string_view heading, std::string_view body);
  // Appends one line at the end of a section's body, making the section when missing.
  void append_to_section(std::string_view heading, std::string_view line);

 private:
  class Reader;  // document.cc: fills a Document from its bytes
  class Editor;  // document_edit.cc: changes lines and reads again

  std::string bytes_;
  std::vector<Field> front_;
  std::vector<Section> sections_;
  std::string heading_;
  std::string preamble_;
  int preamble_line_ = 0;
  std::vector<Problem> problems_;
  int front_open_ = 0;  // line of the opening `---`; 0 without front matter
  int front_last_ = 0;  // last line before the closing one
  int body_first_ = 1;  // first line after the front matter
};

}  // namespace baylore::shop
