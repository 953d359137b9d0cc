// Edits of a Document. Each works on lines: it drops a run of lines, puts others in its place, and
// reads the whole again. Lines outside the run keep their bytes.
#include <algorithm>
#include <utility>

#include "shop/document.h"
#include "shop/scan.h"
#include "shop/tip.h"

namespace baylore::shop {
namespace {

std::string on_one_line(std::string_view text) {
  std::string out(text);
  std::replace_if(
      out.begin(), out.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
  return out;
}

// The lines of a text as somebody typed it, without blank ones around.
std::vector<std::string> lines_in(std::string_view text) {
  const scan::Lines lines(text);
  std::vector<std::string> out;
  for (int line = 1; line <= lines.count(); ++line) out.emplace_back(lines.text(line));
  while (!out.empty() && scan::is_blank(out.back())) out.pop_back();
  const auto first =
      std::find_if(out.begin(), out.end(), [](const std::string& l) { return !scan::is_blank(l); });
  out.erase(out.begin(), first);
  return out;
}

// Where `key` stands in the usual order; past the end when it has no place.
std::size_t place_in(const std::vector<std::string>& order, std::string_view key) {
  return static_cast<std::size_t>(std::find(order.begin(), order.end(), key) - order.begin());
}

}  // namespace

class Document::Editor {
 public:
  explicit Editor(Document& document) : doc_(document), lines_(document.bytes_) {}

  void set_value(std::string_view key, std::string_view value) {
    const std::string plain = on_one_line(value);
    const std::string written = scan::quoted_if_needed(plain);
    const Field* field = doc_.field(scan::lower(key));
    if (field == nullptr) {
      add_front(key, {std::string(key) + ": " + written});
      return;
    }
    if (field->items.empty() && field->value == plain) return;
    replace_line(field->line, key_part(*field) + " " + written);
    drop_items(*field, 0, field->items.size());
    apply();
  }

  void set_list(std::string_view key, const std::vector<std::string>& items) {
    const Field* field = doc_.field(scan::lower(key));
    std::vector<std::string> wanted;
    for (const std::string& item : items) wanted.push_back(on_one_line(item));
    if (field == nullptr) {
      std::vector<std::string> added = {std::string(key) + ":"};
      for (const std::string& item : wanted) added.push_back("  - " + scan::quoted_if_needed(item));
      add_front(key, added);
      return;
    }
    if (doc_.list(field->key) == wanted) return;
    // A value on the key's own line moves into the list.
    if (!field->value.empty()) replace_line(field->line, key_part(*field));
    // The items that stay at the front and the end keep their lines.
    const std::vector<Item>& old = field->items;
    std::size_t front = 0;
    while (front < old.size() && front < wanted.size() && old[front].value == wanted[front])
      ++front;
    std::size_t back = 0;
    while (back < old.size() - front && back < wanted.size() - front &&
           old[old.size() - 1 - back].value == wanted[wanted.size() - 1 - back]) {
      ++back;
    }
    std::string indent = "  ";
    if (!old.empty()) {
      const std::string_view text = lines_.text(old.front().line);
      indent = std::string(text.substr(0, scan::bullet(text)->indent));
    }
    std::vector<std::string> added;
    for (std::size_t i = front; i < wanted.size() - back; ++i) {
      added.push_back(indent + "- " + scan::quoted_if_needed(wanted[i]));
    }
    insert(front == 0 ? field->line + 1 : old[front - 1].line + 1, added);
    drop_items(*field, front, old.size() - back);
    apply();
  }

  void remove(std::string_view key) {
    const std::string low = scan::lower(key);
    for (const Field& field : doc_.front_) {
      if (field.key != low) continue;
      drop(field.line, field.line);
      drop_items(field, 0, field.items.size());
    }
    apply();
  }

  void set_section(std::string_view heading, std::string_view body) {
    std::vector<std::string> wanted = lines_in(body);
    scan::Blocks blocks;
    for (const std::string& line : wanted) blocks.take(line);
    if (!blocks.closing().empty()) wanted.push_back(blocks.closing());
    const Section* section = doc_.section(scan::lower(heading));
    if (section == nullptr) {
      if (!wanted.empty()) add_section(heading, wanted);
      return;
    }
    const int end = end_of(*section);
    if (wanted.empty()) {
      drop(section->line, end - 1);
    } else if (section->body.empty()) {
      if (section->line + 1 < lines_.count() + 1 &&
          !scan::is_blank(lines_.text(section->line + 1))) {
        wanted.emplace_back();
      }
      insert(section->line + 1, wanted);
    } else {
      replace_body(*section, wanted);
    }
    apply();
  }

  void append_to_section(std::string_view heading, std::string_view line) {
    const Section* section = doc_.section(scan::lower(heading));
    const std::string added = on_one_line(line);
    if (section == nullptr || section->body.empty()) {
      set_section(heading, added);
      return;
    }
    int last = end_of(*section) - 1;
    while (scan::is_blank(lines_.text(last))) --last;
    scan::Blocks blocks;
    for (int at = section->line + 1; at <= last; ++at) blocks.take(lines_.text(at));
    std::vector<std::string> wanted;
    if (!blocks.closing().empty()) wanted.push_back(blocks.closing());
    wanted.push_back(added);
    insert(last + 1, wanted);
    apply();
  }

 private:
  // --- the script: changes by line of the file as it was, applied in one go

  struct Change {
    int line;                        // these are put before it
    std::vector<std::string> added;  // without line endings
    int dropped = 0;                 // and so many lines from it on are left out
  };

  void insert(int line, std::vector<std::string> added) {
    if (!added.empty()) changes_.push_back({line, std::move(added), 0});
  }
  void drop(int first, int last) { changes_.push_back({first, {}, last - first + 1}); }
  void replace_line(int line, std::string text) {
    changes_.push_back({line, {std::move(text)}, 1});
  }
  void drop_items(const Field& field, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) drop(field.items[i].line, field.items[i].line);
  }

  void apply() {
    std::stable_sort(changes_.begin(), changes_.end(),
                     [](const Change& a, const Change& b) { return a.line < b.line; });
    const std::string& bytes = doc_.bytes_;
    const std::string ending(lines_.usual_ending());
    std::string out = bytes.substr(0, lines_.start(1));  // the byte-order mark
    int line = 1;
    const auto copy_to = [&](int end) {
      if (end > line)
        out += bytes.substr(lines_.start(line), lines_.start(end) - lines_.start(line));
      line = std::max(line, end);
    };
    for (const Change& change : changes_) {
      copy_to(change.line);
      const bool at_start = out.size() <= lines_.start(1);
      if (!change.added.empty() && !at_start && out.back() != '\n') out += ending;
      // A changed line keeps its own ending, or goes without as it did.
      std::string own = change.dropped > 0
                            ? std::string(lines_.ending(change.line + change.dropped - 1))
                            : ending;
      for (std::size_t i = 0; i < change.added.size(); ++i) {
        out += change.added[i];
        out += i + 1 == change.added.size() ? own : ending;
      }
      line = std::max(line, change.line + change.dropped);
    }
    copy_to(lines_.count() + 1);
    changes_.clear();
    doc_ = parse(std::move(out));
  }

  // --- front matter

  // `key:` as the line has it, up to its colon.
  std::string key_part(const Field& field) const {
    const std::string_view text = lines_.text(field.line);
    return std::string(text.substr(0, text.find(':') + 1));
  }
  void add_front(std::string_view key, std::vector<std::string> added) {
    if (doc_.front_open_ == 0) {
      added.insert(added.begin(), "---");
      added.emplace_back("---");
      if (lines_.count() > 0 && !scan::is_blank(lines_.text(1))) added.emplace_back();
      insert(1, std::move(added));
    } else {
      // After the last key that usually comes before this one.
      const std::size_t place = place_in(known_keys(), scan::lower(key));
      int line = place == known_keys().size() ? doc_.front_last_ + 1 : doc_.front_open_ + 1;
      for (const Field& field : doc_.front_) {
        if (place == known_keys().size() || place_in(known_keys(), field.key) > place) continue;
        line = std::max(line, (field.items.empty() ? field.line : field.items.back().line) + 1);
      }
      insert(past_items(line), std::move(added));
    }
    apply();
  }

  // The first place from `line` on where a new key would not take over list items that stand below
  // it.
  int past_items(int line) const {
    for (int at = line; at <= doc_.front_last_; ++at) {
      const std::string_view text = scan::trimmed(lines_.text(at));
      if (scan::bullet(text)) {
        line = at + 1;
      } else if (!text.empty() && text.front() != '#') {
        break;
      }
    }
    return line;
  }

  // --- sections

  // The line after a section.
  int end_of(const Section& section) const {
    for (const Section& other : doc_.sections_) {
      if (other.line > section.line) return other.line;
    }
    return lines_.count() + 1;
  }

  void replace_body(const Section& section, const std::vector<std::string>& wanted) {
    const std::vector<std::string> old = lines_in(section.body);
    const std::size_t shorter = std::min(old.size(), wanted.size());
    std::size_t front = 0;
    while (front < shorter && old[front] == wanted[front]) ++front;
    std::size_t back = 0;
    while (back < shorter - front && old[old.size() - 1 - back] == wanted[wanted.size() - 1 - back])
      ++back;
    const int from = section.body_line + static_cast<int>(front);
    const int dropped = static_cast<int>(old.size() - front - back);
    std::vector<std::string> added(wanted.begin() + static_cast<std::ptrdiff_t>(front),
                                   wanted.end() - static_cast<std::ptrdiff_t>(back));
    if (dropped > 0 || !added.empty()) changes_.push_back({from, std::move(added), dropped});
  }

  void add_section(std::string_view heading, std::vector<std::string> body) {
    const std::string title = on_one_line(scan::trimmed(heading));
    if (title.empty()) return;
    const std::size_t place = place_in(known_sections(), scan::lower(title));
    // Before the first section that usually comes later; a section of the author's own goes to the
    // end.
    int line = lines_.count() + 1;
    if (place < known_sections().size()) {
      for (const Section& section : doc_.sections_) {
        const std::size_t other = place_in(known_sections(), section.key);
        if (other > place && other < known_sections().size()) {
          line = section.line;
          break;
        }
      }
    }
    body.insert(body.begin(), "## " + title);
    if (line > 1 && !scan::is_blank(lines_.text(line - 1)))
      body.insert(body.begin(), std::string());
    if (line <= lines_.count()) {
      body.emplace_back();
    } else {
      scan::Blocks blocks;
      for (int at = doc_.body_first_; at < line; ++at) blocks.take(lines_.text(at));
      if (!blocks.closing().empty()) body.insert(body.begin(), blocks.closing());
    }
    insert(line, std::move(body));
    apply();
  }

  Document& doc_;
  scan::Lines lines_;
  std::vector<Change> changes_;
};

void Document::set_value(std::string_view key, std::string_view value) {
  if (scan::is_key(key)) Editor(*this).set_value(key, value);
}

void Document::set_list(std::string_view key, const std::vector<std::string>& items) {
  if (items.empty()) {
    remove(key);
  } else if (scan::is_key(key)) {
    Editor(*this).set_list(key, items);
  }
}

void Document::remove(std::string_view key) { Editor(*this).remove(key); }

void Document::set_section(std::string_view heading, std::string_view body) {
  Editor(*this).set_section(heading, body);
}

void Document::append_to_section(std::string_view heading, std::string_view line) {
  Editor(*this).append_to_section(heading, line);
}

}  // namespace baylore::shop
