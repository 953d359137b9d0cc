#include "shop/document.h"

#include <algorithm>
#include <array>
#include <unordered_set>
#include <utility>

#include <fmt/format.h>

#include "shop/fold.h"
#include "shop/scan.h"

namespace baylore::shop {
namespace {

using scan::Shape;

// Sections whose tables are entries written side by side. In any other section a table is prose,
// unless its first column is headed "name".
bool table_section(std::string_view key) {
  static constexpr std::array<std::string_view, 8> kKeys = {
      "checks",  "fasteners",         "parts",      "verify",
      "numbers", "acceptance checks", "components", "makes"};
  return std::find(kKeys.begin(), kKeys.end(), key) != kKeys.end();
}

const Field* found(const std::vector<Field>& fields, std::string_view key) {
  const auto at =
      std::find_if(fields.begin(), fields.end(), [&](const Field& f) { return f.key == key; });
  return at == fields.end() ? nullptr : &*at;
}

}  // namespace

const Field* Entry::field(std::string_view key) const { return found(fields, key); }

std::string Entry::value(std::string_view key) const {
  const Field* f = field(key);
  return f == nullptr ? std::string() : f->value;
}

// One pass gives every line its shape; the rest walks ranges of lines and never looks at one more
// than a few times.
//   1. front matter: from `---` to `---`. Without an end it is the unbroken run of `key: value` and
//   `- item` lines.
//   2. preamble: up to the first `## `.
//   3. each section: prose, tables of entries, `### ` entries.
class Document::Reader {
 public:
  explicit Reader(Document& into) : doc_(into), lines_(into.bytes_) {}

  void read() {
    check_utf8();
    const int body = read_front() + 1;
    doc_.body_first_ = body;
    take_shapes(body);
    read_body(body);
    std::stable_sort(doc_.problems_.begin(), doc_.problems_.end(),
                     [](const Problem& a, const Problem& b) { return a.line < b.line; });
  }

 private:
  void problem(int line, int column, Level level, std::string rule, std::string what,
               std::string remedy) {
    constexpr std::size_t kMostProblems = 200;
    if (doc_.problems_.size() < kMostProblems) {
      doc_.problems_.push_back(
          {line, column, std::move(what), std::move(remedy), level, std::move(rule)});
    } else if (doc_.problems_.size() == kMostProblems) {
      doc_.problems_.push_back(
          {line, 1, "more problems follow", "mend the ones above first", Level::note, "more"});
    }
  }

  // Whether one more heading, field, item or row may be taken.
  bool spend(int line) {
    if (parts_ < kMostParts) {
      ++parts_;
      return true;
    }
    if (parts_ == kMostParts) {
      ++parts_;
      problem(line, 1, Level::error, "size", "more headings and fields than are read from one file",
              "split the file; from here on it is plain text");
    }
    return false;
  }

  void check_utf8() {
    const std::size_t at = invalid_utf8_at(doc_.bytes_);
    if (at == std::string_view::npos) return;
    int line = 1;
    while (line < lines_.count() && lines_.start(line + 1) <= at) ++line;
    const std::size_t start = lines_.start(line);
    problem(line, scan::column_at(lines_.text(line), at > start ? at - start : 0), Level::error,
            "utf-8", "a character that is not UTF-8", "save the file as UTF-8");
  }

  bool is_rule(int line) const {
    const std::string_view text = scan::right_trimmed(lines_.text(line));
    return text == "---" || text == "...";
  }

  // The last line of front matter, its end included; 0 when there is none.
  int read_front() {
    const int count = lines_.count();
    if (count == 0 || scan::right_trimmed(lines_.text(1)) != "---") return 0;
    int end = 2;
    while (end <= count && !is_rule(end) && lines_.text(end).substr(0, 3) != "## ") ++end;
    const bool ended = end <= count && is_rule(end);
    if (!ended) {
      end = 2;
      while (end <= count && (scan::key_line(lines_.text(end)) || scan::bullet(lines_.text(end))))
        ++end;
      if (end == 2) return 0;  // a thematic break, nothing more
      problem(1, 1, Level::error, "front-matter", "the front matter has no end",
              "put a line --- after its last `key: value`");
    }
    doc_.front_open_ = 1;
    doc_.front_last_ = end - 1;
    read_fields(2, end - 1);
    return ended ? end : end - 1;
  }

  void read_fields(int first, int last) {
    std::unordered_set<std::string> seen;
    bool keyed = false;   // an item belongs to the field before it
    bool orphan = false;  // the item before was already complained about
    for (int line = first; line <= last; ++line) {
      const std::string_view text = lines_.text(line);
      const std::string_view bare = scan::trimmed(text);
      if (bare.empty() || bare.front() == '#') continue;  // YAML's comments are kept and not read
      if (const auto item = scan::bullet(text)) {
        if (keyed) {
          if (!item->value.empty() && spend(line)) {
            doc_.front_.back().items.push_back(
                {scan::unquoted(item->value), line, scan::column_at(text, item->value_at)});
          }
        } else if (!std::exchange(orphan, true)) {
          problem(line, 1, Level::error, "front-matter", "a list item that belongs to no key",
                  "put a line `key:` above it");
        }
        continue;
      }
      orphan = false;
      const auto split = scan::key_line(text);
      keyed = split.has_value();
      if (!split) {
        const bool indented = text.front() == ' ' || text.front() == '\t';
        orphan = true;
        problem(line, 1, Level::error, "front-matter", "neither `key: value` nor `- item`",
                indented ? "take the blanks at its start away, or put `- ` before the words"
                         : "write `key: value`, or move the line below the front matter");
        continue;
      }
      if (!spend(line)) {
        keyed = false;
        continue;
      }
      Field field = field_of(line, text, *split);
      if (!seen.insert(field.key).second) {
        problem(line, 1, Level::warning, "repeated-key",
                fmt::format("`{}` is given twice", field.label), "keep one; the first counts");
      }
      doc_.front_.push_back(std::move(field));
    }
  }

  static Field field_of(int line, std::string_view text, const scan::KeyLine& split) {
    Field field;
    field.label = std::string(split.key);
    field.key = scan::lower(split.key);
    field.value = scan::unquoted(split.value);
    field.line = line;
    field.column = scan::column_at(text, split.value_at);
    return field;
  }

  void take_shapes(int first) {
    shapes_.assign(static_cast<std::size_t>(lines_.count()) + 1, Shape::text);
    scan::Blocks blocks;
    int opened = 0;
    for (int line = first; line <= lines_.count(); ++line) {
      const std::string_view text = lines_.text(line);
      const Shape shape = blocks.take(text);
      const bool heading = shape == Shape::section || shape == Shape::entry;
      shapes_[static_cast<std::size_t>(line)] = heading && !spend(line) ? Shape::text : shape;
      if (shape != Shape::hidden || blocks.closing().empty()) {
        opened = 0;
      } else if (opened == 0) {
        opened = line;
      }
      if (shape == Shape::text && glued_heading(text)) {
        problem(line, 1, Level::note, "heading",
                "no blank after the # marks, so this is no heading",
                "write a blank between the marks and the words");
      }
    }
    if (opened != 0) {
      const bool comment = blocks.closing() == "-->";
      problem(opened, 1, Level::warning, "open-block",
              comment ? "a comment without an end hides the rest of the file"
                      : "a code block without an end takes the rest of the file",
              fmt::format("put a line {} after it", blocks.closing()));
    }
  }

  // `##Checks`
  static bool glued_heading(std::string_view text) {
    const std::size_t marks = text.find_first_not_of('#');
    if (marks != 2 && marks != 3) return false;
    const char c = text[marks];
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
  }

  Shape shape(int line) const { return shapes_[static_cast<std::size_t>(line)]; }
  // The first line from `line` on with this shape, at most `end`.
  int next(Shape wanted, int line, int end) const {
    while (line < end && shape(line) != wanted) ++line;
    return std::min(line, end);
  }

  void read_body(int first) {
    const int end = lines_.count() + 1;
    int line = next(Shape::section, first, end);
    read_preamble(first, line);
    std::unordered_set<std::string> seen;
    while (line < end) {
      const int after = next(Shape::section, line + 1, end);
      Section section;
      section.heading = std::string(scan::heading_text(lines_.text(line)));
      section.key = scan::lower(section.heading);
      section.line = line;
      section.body = lines_.joined(line + 1, after - 1, &section.body_line);
      read_section(section, line + 1, after);
      if (!seen.insert(section.key).second) {
        problem(line, 1, Level::note, "repeated-section",
                fmt::format("a second section `{}`", section.heading),
                "bring them together; both are read");
      }
      doc_.sections_.push_back(std::move(section));
      line = after;
    }
  }

  void read_preamble(int first, int end) {
    const int title = next(Shape::title, first, end);
    if (title < end) doc_.heading_ = std::string(scan::heading_text(lines_.text(title)));
    int at = 0;
    doc_.preamble_ = lines_.joined(first, title - 1, &at);
    doc_.preamble_line_ = at;
    const std::string rest = lines_.joined(title + 1, end - 1, &at);
    if (doc_.preamble_.empty()) {
      doc_.preamble_ = rest;
      doc_.preamble_line_ = at;
    } else if (!rest.empty()) {
      doc_.preamble_ += "\n\n" + rest;
    }
  }

  void read_section(Section& section, int first, int end) {
    const int entries = next(Shape::entry, first, end);
    read_prose(section, first, entries);
    for (int line = entries; line < end;) {
      const int after = next(Shape::entry, line + 1, end);
      section.entries.push_back(read_entry(line, after));
      line = after;
    }
  }

  // The prose before the first `### `: tables that hold entries are taken out of it.
  void read_prose(Section& section, int first, int end) {
    std::string text;
    int start = first;  // of the prose that is not yet taken
    const auto take = [&](int last) {
      int at = 0;
      const std::string part = lines_.joined(start, last, &at);
      if (part.empty()) return;
      if (text.empty()) {
        section.text_line = at;
      } else {
        text += "\n\n";
      }
      text += part;
    };
    for (int line = first; line + 1 < end; ++line) {
      if (shape(line) != Shape::text || shape(line + 1) != Shape::text) continue;
      const std::size_t columns = scan::table_rule(lines_.text(line + 1));
      if (columns == 0) continue;
      const auto header = scan::table_row(lines_.text(line));
      if (!header || header->size() != columns) continue;
      if (!table_section(section.key) && scan::lower((*header)[0].text) != "name") continue;
      take(line - 1);
      line = read_table(section, *header, line + 2, end) - 1;
      start = line + 1;
    }
    take(end - 1);
    section.text = std::move(text);
  }

  // One entry a row; gives the line after the table.
  int read_table(Section& section, const std::vector<scan::Cell>& header, int line, int end) {
    for (; line < end && shape(line) == Shape::text; ++line) {
      const std::string_view text = lines_.text(line);
      const auto row = scan::table_row(text);
      if (!row || !spend(line)) break;
      Entry entry;
      entry.line = line;
      for (std::size_t i = 0; i < row->size() && i < header.size(); ++i) {
        const scan::Cell& cell = (*row)[i];
        const std::string key = scan::lower(header[i].text);
        if (i == 0) {
          entry.name = cell.text;
        } else if (key == "text") {
          entry.text = cell.text;
          entry.text_line = cell.text.empty() ? 0 : line;
        } else if (!cell.text.empty() && spend(line)) {
          Field field;
          field.key = key;
          field.label = header[i].text;
          field.value = cell.text;
          field.line = line;
          field.column = scan::column_at(text, cell.at);
          entry.fields.push_back(std::move(field));
        }
      }
      section.entries.push_back(std::move(entry));
    }
    return line;
  }

  Entry read_entry(int heading, int end) {
    Entry entry;
    entry.name = std::string(scan::heading_text(lines_.text(heading)));
    entry.line = heading;
    int line = heading + 1;
    for (; line < end; ++line) {
      if (shape(line) == Shape::blank) continue;
      if (shape(line) != Shape::text) break;
      const std::string_view text = lines_.text(line);
      const auto item = scan::bullet(text);
      if (item && item->indent >= 2 && !entry.fields.empty() && entry.fields.back().value.empty()) {
        if (!spend(line)) break;
        entry.fields.back().items.push_back(
            {scan::unquoted(item->value), line, scan::column_at(text, item->value_at)});
        continue;
      }
      const auto split = scan::bullet_key_line(text);
      if (!split || !spend(line)) break;
      entry.fields.push_back(field_of(line, text, *split));
    }
    entry.text = lines_.joined(line, end - 1, &entry.text_line);
    return entry;
  }

  Document& doc_;
  scan::Lines lines_;
  std::vector<Shape> shapes_;  // by line number
  int parts_ = 0;
};

Document Document::parse(std::string bytes) {
  Document document;
  document.bytes_ = std::move(bytes);
  Reader(document).read();
  return document;
}

const Field* Document::field(std::string_view key) const { return found(front_, key); }

std::string Document::value(std::string_view key) const {
  const Field* f = field(key);
  return f == nullptr ? std::string() : f->value;
}

std::vector<std::string> Document::list(std::string_view key) const {
  std::vector<std::string> out;
  const Field* f = field(key);
  if (f == nullptr) return out;
  if (!f->value.empty()) out.push_back(f->value);
  for (const Item& item : f->items) out.push_back(item.value);
  return out;
}

const Section* Document::section(std::string_view key) const {
  const auto at = std::find_if(sections_.begin(), sections_.end(),
                               [&](const Section& s) { return s.key == key; });
  return at == sections_.end() ? nullptr : &*at;
}

}  // namespace baylore::shop
