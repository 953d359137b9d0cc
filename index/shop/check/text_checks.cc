#include "shop/check/text_checks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>

#include <fmt/format.h>

#include "shop/scan.h"
#include "trade/code.h"
#include "trade/expectation.h"
#include "trade/quantity.h"
#include "trade/vin.h"

namespace baylore::shop::checking {
namespace {

bool upper(char c) { return c >= 'A' && c <= 'Z'; }
bool lower_letter(char c) { return c >= 'a' && c <= 'z'; }
bool word_char(char c) {
  return scan::is_digit(c) || upper(c) || lower_letter(c) || static_cast<unsigned char>(c) >= 0x80;
}
// What glues a token to its neighbour in part numbers and file names: `WP-3361`, `a_b.png`.
bool glue(char c) { return c == '-' || c == '_' || c == '/' || c == '.'; }

// Where a line stands, as far as it changes what is looked for.
enum class LinePlace : unsigned char {
  kOrdinary,
  kReference,  // front matter that holds an id
  kCodes,      // the list of codes, which has a reader of its own
  kFrontEnd,   // the line after the last field, which may be the end of front matter
  kParts,      // part numbers look like codes and pieces of a VIN
};

std::vector<LinePlace> places_of(const Document& document, int lines) {
  std::vector<LinePlace> places(static_cast<std::size_t>(lines) + 2, LinePlace::kOrdinary);
  for (const Field& field : document.front()) {
    if (field.key == "id" || field.key == "replaced-by" || field.key == "translation-of" ||
        field.key == "superseded-by") {
      places[static_cast<std::size_t>(field.line)] = LinePlace::kReference;
    }
    if (field.key == "codes") {
      places[static_cast<std::size_t>(field.line)] = LinePlace::kCodes;
      for (const Item& item : field.items)
        places[static_cast<std::size_t>(item.line)] = LinePlace::kCodes;
    }
  }
  if (!document.front().empty()) {
    const Field& last = document.front().back();
    const int line = last.items.empty() ? last.line : last.items.back().line;
    places[static_cast<std::size_t>(line) + 1] = LinePlace::kFrontEnd;
  }
  const std::vector<Section>& sections = document.sections();
  for (std::size_t i = 0; i < sections.size(); ++i) {
    if (sections[i].key != "parts" && sections[i].key != "numbers") continue;
    const int end = i + 1 < sections.size() ? sections[i + 1].line : lines + 1;
    for (int line = sections[i].line; line < end; ++line) {
      places[static_cast<std::size_t>(line)] = LinePlace::kParts;
    }
  }
  return places;
}

struct Token {
  std::string_view text;
  std::size_t at = 0;
  bool alone = true;  // no dash, slash or point ties it to another token
};

// The runs of ASCII letters and digits that hold a digit.
std::vector<Token> tokens_with_digits(std::string_view line) {
  std::vector<Token> tokens;
  for (std::size_t i = 0; i < line.size();) {
    if (!word_char(line[i])) {
      ++i;
      continue;
    }
    std::size_t end = i;
    bool any = false;
    while (end < line.size() && word_char(line[end])) any = scan::is_digit(line[end++]) || any;
    if (any) {
      const bool tied_before = i > 0 && glue(line[i - 1]) && i > 1 && word_char(line[i - 2]);
      const bool tied_after = end + 1 < line.size() && glue(line[end]) && word_char(line[end + 1]);
      tokens.push_back({line.substr(i, end - i), i, !tied_before && !tied_after});
    }
    i = end;
  }
  return tokens;
}

std::size_t digits_in(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), scan::is_digit));
}

// --- personal data

bool vin_letter(char c) { return upper(c) && c != 'I' && c != 'O' && c != 'Q'; }

bool vin_alphabet(std::string_view text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return scan::is_digit(c) || vin_letter(c); });
}

// The first 10 to 16 characters: letters and digits mixed, a digit or X where the check digit is, a
// model year after it (49 CFR 565.15).
bool like_vin_start(std::string_view text) {
  if (text.size() < 10 || text.size() > 16 || !vin_alphabet(text)) return false;
  const std::size_t digits = digits_in(text);
  return digits >= 2 && text.size() - digits >= 3 && (scan::is_digit(text[8]) || text[8] == 'X') &&
         !trade::model_years_of(text[9]).empty();
}

// The last 8: model year, plant, six digits (49 CFR 565.15: the last five are digits, for light
// vehicles), with a letter among the first two.
bool like_vin_end(std::string_view text) {
  return text.size() == 8 && vin_alphabet(text) && !trade::model_years_of(text[0]).empty() &&
         digits_in(text.substr(2)) == 6 && (upper(text[0]) || upper(text[1]));
}

bool speaks_of_vin(std::string_view line) {
  std::string low;
  for (std::size_t i = 0; i + 3 <= line.size(); ++i) {
    const char c = line[i];
    if (c != 'v' && c != 'V' && c != 'c' && c != 'C') continue;
    if (i > 0 && word_char(line[i - 1])) continue;
    low = scan::lower(line.substr(i, 22));
    if (low.substr(0, 3) == "vin" && (low.size() == 3 || !word_char(low[3]))) return true;
    if (low.substr(0, 22) == "vehicle identification" || low.substr(0, 10) == "chassis no" ||
        low.substr(0, 14) == "chassis number") {
      return true;
    }
  }
  return false;
}

class LineChecks {
 public:
  LineChecks(int number, std::string_view line, LinePlace place, Notes& notes)
      : number_(number), line_(line), place_(place), notes_(notes) {}

  void all() {
    characters();
    placeholder();
    if (digits_in(line_) < 3) return;
    personal_data();
    if (place_ == LinePlace::kOrdinary) codes();
    figures();
  }

 private:
  void add(Level level, std::size_t at, const char* rule, std::string what, std::string remedy) {
    notes_.add(level, number_, scan::column_at(line_, at), rule, std::move(what),
               std::move(remedy));
  }

  void personal_data() {
    const char* remedy =
        "take it out: it leads to a customer; year, make, model and engine say enough";
    if (const auto found = trade::find_vin(line_)) {
      // An id of 17 characters is one by accident unless even the check digit agrees.
      const std::string_view text = line_.substr(found->at, found->length);
      const auto check = trade::check_digit(text);
      if (place_ != LinePlace::kReference || (check && check->agrees)) {
        add(Level::error, found->at, "vin",
            found->exact ? "a whole VIN in the text" : "what looks like a VIN in the text", remedy);
        return;
      }
    }
    if (place_ == LinePlace::kReference) return;
    const bool named = speaks_of_vin(line_);
    for (const Token& token : tokens_with_digits(line_)) {
      const std::size_t digits = digits_in(token.text);
      const bool mixed = digits >= 2 && token.text.size() >= digits + 2 && token.text.size() >= 8;
      if (named && token.text.size() >= 6 && token.text.size() <= 18 && (digits >= 4 || mixed) &&
          vin_alphabet(token.text)) {
        add(Level::error, token.at, "vin", "a part of a VIN in the text", remedy);
        return;
      }
      if (place_ == LinePlace::kOrdinary && token.alone &&
          (like_vin_start(token.text) || like_vin_end(token.text))) {
        add(Level::warning, token.at, "vin",
            fmt::format("`{}` looks like a part of a VIN", token.text), remedy);
        return;
      }
    }
  }

  // Codes in running text that no vehicle can send: a second character past 3, or a digit too many.
  void codes() {
    for (const Token& token : tokens_with_digits(line_)) {
      const std::string_view text = token.text;
      if (!token.alone || text.size() < 5 || text.size() > 6) continue;
      if (std::string_view("PCBU").find(text[0]) == std::string_view::npos) continue;
      const bool number = std::all_of(text.begin() + 1, text.end(), scan::is_digit);
      if (text.size() == 5 && number && text[1] > '3') {
        add(Level::warning, token.at, "code",
            fmt::format("`{}` cannot be a code: the second character goes from 0 to 3", text),
            "look it up again on the scan tool");
      } else if (text.size() == 6 && number && text[0] == 'P' && text[1] <= '3') {
        add(Level::warning, token.at, "code",
            fmt::format("`{}` has a digit too many for a code", text),
            "look it up again on the scan tool");
      } else if (text.size() == 5 && text[1] <= '3') {
        const auto read = trade::taken(trade::parse_code(text));
        if (read && read->repairs.empty() && never_sent(read->code)) {
          add(Level::warning, token.at, "code",
              fmt::format("`{}` is reserved: no vehicle sends it", text),
              "look it up again on the scan tool");
        }
      }
    }
  }

  // --- two figures for one thing: `10 N·m (7.4 lbf·ft)`

  struct Figure {
    double low = 0, high = 0;
    const trade::Unit* unit = nullptr;
  };

  static std::optional<Figure> figure(std::string_view text) {
    text = scan::trimmed(text);
    if (text.empty() || text.size() > 60) return std::nullopt;
    if (const auto one = trade::taken(trade::parse_quantity(text)))
      return Figure{one->value, one->value, one->unit};
    if (!scan::is_digit(text.front()) && text.front() != '-') return std::nullopt;
    const auto range = trade::taken(trade::parse_expectation(text));
    if (range && range->unit != nullptr && range->low && range->high)
      return Figure{*range->low, *range->high, range->unit};
    return std::nullopt;
  }

  // The longest figure that ends the text.
  static std::optional<Figure> figure_at_end(std::string_view text) {
    constexpr std::size_t kLongest = 32;
    const std::size_t first = text.size() > kLongest ? text.size() - kLongest : 0;
    for (std::size_t i = first; i < text.size(); ++i) {
      const bool starts = i == 0 || (!word_char(text[i - 1]) && !glue(text[i - 1]) &&
                                     text[i - 1] != ',' && text[i - 1] != '-');
      if (!scan::is_digit(text[i]) || !starts) continue;
      if (const auto found = figure(text.substr(i))) return found;
    }
    return std::nullopt;
  }

  // Wide enough for figures rounded to one or two digits; the units that people mix up lie further
  // apart (lbf·ft and N·m: 36 %). The bound is ours: no source.
  static bool agree(double a, double b) {
    return std::abs(a - b) <= 0.07 * std::max(std::abs(a), std::abs(b));
  }

  static bool agree(const Figure& a, const Figure& b) {
    using trade::Dimension;
    const double low = trade::convert(b.low, *b.unit, *a.unit);
    const double high = trade::convert(b.high, *b.unit, *a.unit);
    if (a.unit->dimension != Dimension::kTemperature)
      return agree(a.low, low) && agree(a.high, high);
    const auto near = [](double x, double y) { return std::abs(x - y) <= 3 || agree(x, y); };
    if (near(a.low, low) && near(a.high, high)) return true;
    // Said of a difference: 10 °C (18 °F) more.
    const double size = a.unit->id == trade::UnitId::kFahrenheit ? 1.8 : 1 / 1.8;
    return near(a.low, b.low * size) && near(a.high, b.high * size);
  }

  void figures() {
    if (const auto split = scan::bullet_key_line(line_)) {
      const std::string key = scan::lower(split->key);
      if (key == "torque" || key == "expect") return;  // read whole by their own readers
    }
    for (std::size_t at = line_.find('('); at != std::string_view::npos;
         at = line_.find('(', at + 1)) {
      const std::size_t end = line_.find(')', at);
      if (end == std::string_view::npos) return;
      const std::string_view inside = scan::trimmed(line_.substr(at + 1, end - at - 1));
      if (inside.empty() || !(scan::is_digit(inside.front()) || inside.front() == '-')) continue;
      const auto second = figure(inside);
      const auto first = second ? figure_at_end(line_.substr(0, at)) : std::nullopt;
      if (!first || first->unit == second->unit ||
          first->unit->dimension != second->unit->dimension || agree(*first, *second)) {
        continue;
      }
      add(Level::warning, at + 1, "two-units",
          fmt::format("`{}` is not what stands before the bracket: that would be {}", inside,
                      trade::shown(
                          {trade::convert(first->low, *first->unit, *second->unit), second->unit})),
          "find out which of the two is right and mend the other");
      return;
    }
  }

  // --- placeholders

  static char lowered(char c) { return upper(c) ? static_cast<char>(c - 'A' + 'a') : c; }

  // Whether `text` begins with `word`, which is in lower case, in any case.
  static bool begins(std::string_view text, std::string_view word) {
    return text.size() >= word.size() && std::equal(word.begin(), word.end(), text.begin(),
                                                    [](char a, char b) { return a == lowered(b); });
  }

  // The value of a field or item, the words of a heading, or the whole line.
  [[nodiscard]] std::string_view value() const {
    std::string_view value = scan::trimmed(line_);
    if (const auto split = scan::bullet_key_line(line_)) {
      value = split->value;
    } else if (const auto item = scan::bullet(line_)) {
      value = item->value;
    } else if (const auto key = scan::key_line(line_)) {
      value = key->value;
    }
    while (!value.empty() && value.front() == '#') value.remove_prefix(1);
    return scan::trimmed(value);
  }

  // Where a word stands that always means something is missing; npos when none does. `todo` in
  // small letters is a word of some languages and counts only alone.
  [[nodiscard]] std::size_t telling_word() const {
    static constexpr std::array<std::string_view, 5> kAnyCase = {"tbd", "tbc", "t.b.d", "fixme",
                                                                 "lorem ipsum"};
    for (std::size_t i = 0; i < line_.size(); ++i) {
      const char c = lowered(line_[i]);
      if (c == '?' && line_.substr(i, 3) == "???") return i;
      if ((c != 't' && c != 'f' && c != 'l' && c != 'x') || (i > 0 && word_char(line_[i - 1])))
        continue;
      const std::string_view rest = line_.substr(i);
      const auto whole = [&](std::size_t length) {
        return length == rest.size() || !word_char(rest[length]);
      };
      for (const std::string_view word : kAnyCase) {
        if (begins(rest, word) && whole(word.size())) return i;
      }
      for (const std::string_view word : {"TODO", "TO DO"}) {
        if (rest.substr(0, word.size()) == word && whole(word.size())) return i;
      }
      const std::size_t crosses = std::min(rest.find_first_not_of(rest[0]), rest.size());
      if (c == 'x' && crosses >= 3 && whole(crosses)) return i;
    }
    return std::string_view::npos;
  }

  void placeholder() {
    static constexpr std::array<std::string_view, 7> kWhole = {
        "todo", "to do", "...", "\u2026", "placeholder", "(todo)", "-"};
    static constexpr std::array<std::string_view, 12> kBegins = {
        "to be written",   "to be done",   "to be added",    "to be confirmed",
        "to be completed", "to be filled", "coming soon",    "write me",
        "insert text",     "fill in here", "text goes here", "todo:"};
    const std::string_view said = value();
    const bool empty_words = std::any_of(kWhole.begin(), kWhole.end(),
                                         [&](std::string_view w) {
                                           return said.size() == w.size() && begins(said, w);
                                         }) ||
                             std::any_of(kBegins.begin(), kBegins.end(),
                                         [&](std::string_view w) { return begins(said, w); });
    const std::size_t at = empty_words && !said.empty()
                               ? static_cast<std::size_t>(said.data() - line_.data())
                               : telling_word();
    if (at == std::string_view::npos || is_rule()) return;
    std::size_t end = at;
    while (end < line_.size() && line_[end] != ' ' && line_[end] != ',' && line_[end] != ';') ++end;
    add(Level::warning, at, "placeholder",
        fmt::format("`{}` stands where something should be said", line_.substr(at, end - at)),
        "write it, or take the line out");
  }

  // What parts front matter from the rest, or a body in two.
  [[nodiscard]] bool is_rule() const {
    const std::string_view text = scan::right_trimmed(line_);
    return text == "---" || (text == "..." && place_ == LinePlace::kFrontEnd);
  }

  // --- characters

  // What the terminal's fonts and its left-to-right lines cannot show.
  static const char* undrawable(std::uint32_t point) {
    if (point > 0xFFFF) return "lies beyond U+FFFF and cannot be drawn";
    if (point == 0xFFFD) return "marks a character that was lost on the way";
    if ((point >= 0x0590 && point <= 0x08FF) || (point >= 0xFB1D && point <= 0xFDFF) ||
        (point >= 0xFE70 && point <= 0xFEFE)) {
      return "is of a script that runs from right to left and cannot be drawn";
    }
    if ((point >= 0x202A && point <= 0x202E) || (point >= 0x2066 && point <= 0x2069) ||
        point == 0x200E || point == 0x200F) {
      return "turns the direction of writing and can hide what a line says";
    }
    if (point >= 0xE000 && point <= 0xF8FF) return "is for private use and cannot be drawn";
    if ((point < 0x20 && point != '\t' && point != '\r' && point != '\f' && point != '\v') ||
        (point >= 0x7F && point < 0xA0)) {
      return "is a control character";
    }
    return nullptr;
  }

  void characters() {
    for (std::size_t i = 0; i < line_.size();) {
      const auto first = static_cast<unsigned char>(line_[i]);
      std::size_t length = 1;
      std::uint32_t point = first;
      if (first >= 0xF0) {
        length = 4;
        point = first & 0x07U;
      } else if (first >= 0xE0) {
        length = 3;
        point = first & 0x0FU;
      } else if (first >= 0xC0) {
        length = 2;
        point = first & 0x1FU;
      } else if (first >= 0x80) {
        ++i;  // not UTF-8: the document says so
        continue;
      }
      if (i + length > line_.size()) return;
      for (std::size_t k = 1; k < length; ++k) {
        point = (point << 6U) | (static_cast<unsigned char>(line_[i + k]) & 0x3FU);
      }
      if (const char* what = undrawable(point)) {
        add(Level::warning, i, "character", fmt::format("U+{:04X} {}", point, what),
            "write it in words or in plain letters");
        return;  // one a line is enough
      }
      i += length;
    }
  }

  int number_;
  std::string_view line_;
  LinePlace place_;
  Notes& notes_;
};

// The text without HTML comments.
std::string without_comments(std::string_view text) {
  std::string out;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t open = text.find("<!--", at);
    out += text.substr(at, open == std::string_view::npos ? open : open - at);
    if (open == std::string_view::npos) break;
    const std::size_t close = text.find("-->", open);
    if (close == std::string_view::npos) break;
    at = close + 3;
  }
  return out;
}

bool says_nothing(std::string_view text) {
  return without_comments(text).find_first_not_of(" \t\r\n\v\f") == std::string::npos;
}

bool contains(const std::vector<std::string>& list, std::string_view word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

}  // namespace

bool never_sent(const trade::Code& code) {
  if (trade::defined_by(code) == trade::DefinedBy::kReserved) return true;
  // P34 is in use, P35 to P3F are kept for later (from memory).
  return code.value >= 0x3500 && code.value <= 0x3FFF;
}

void check_lines(const Document& document, Notes& notes) {
  const scan::Lines lines(document.bytes());
  const std::vector<LinePlace> places = places_of(document, lines.count());
  for (int line = 1; line <= lines.count(); ++line) {
    // The first of the marks that version control sets; in fenced code too.
    if (lines.text(line).starts_with("<<<<<<< ")) {
      notes.add(Level::error, line, 1, "unmerged",
                "both sides of a merge stand here, between the marks <<<<<<< and >>>>>>>",
                "keep what is right, and take the marks out");
    }
    LineChecks(line, lines.text(line), places[static_cast<std::size_t>(line)], notes).all();
  }
}

void check_sections(const Document& document, const std::vector<std::string>& known, Notes& notes) {
  for (const Section& section : document.sections()) {
    if (says_nothing(section.body)) {
      notes.add(Level::warning, section.line, 1, "empty-section",
                fmt::format("nothing is written under `{}`", section.heading),
                "write it, or take the heading out");
      continue;
    }
    for (const Entry& entry : section.entries) {
      const std::string name = scan::lower(entry.name);
      if (contains(known, name)) {
        notes.add(
            Level::warning, entry.line, 1, "heading-depth",
            fmt::format("`{}` is a section, but stands inside `{}`", entry.name, section.heading),
            fmt::format("write ## {}", entry.name));
      } else if ((section.key == "checks" || section.key == "fasteners") && entry.fields.empty() &&
                 says_nothing(entry.text)) {
        notes.add(Level::warning, entry.line, 1, "empty-entry",
                  fmt::format("nothing is written under `{}`", entry.name),
                  "write it, or take the heading out");
      }
    }
  }
  const scan::Lines lines(document.bytes());
  scan::Blocks blocks;
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view text = lines.text(line);
    const scan::Shape shape = blocks.take(text);
    const bool deep = shape == scan::Shape::text && text.substr(0, 5) == "#### ";
    if (shape != scan::Shape::title && !deep) continue;
    const std::string_view name = deep ? scan::trimmed(text.substr(5)) : scan::heading_text(text);
    if (!contains(known, scan::lower(name))) continue;
    notes.add(Level::warning, line, 1, "heading-depth",
              fmt::format("`{}` is a section, but this is no heading of one", name),
              fmt::format("write ## {}", name));
  }
}

std::vector<TextLink> links_of(const Document& document) {
  std::vector<TextLink> links;
  constexpr std::size_t kMost = 1000;
  const scan::Lines lines(document.bytes());
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = lines.text(number);
    for (std::size_t at = line.find("]("); at != std::string_view::npos;
         at = line.find("](", at + 1)) {
      const std::size_t open = line.rfind('[', at);
      if (open == std::string_view::npos || (open > 0 && line[open - 1] == '!')) continue;
      const std::size_t end = line.find(')', at);
      if (end == std::string_view::npos) break;
      std::string_view target = scan::trimmed(line.substr(at + 2, end - at - 2));
      target = target.substr(0, target.find(" \""));
      if (target.size() > 1 && target.front() == '<' && target.back() == '>')
        target = target.substr(1, target.size() - 2);
      target = target.substr(0, target.find('#'));
      if (target.empty() || target.find(':') != std::string_view::npos ||
          target.find('%') != std::string_view::npos || links.size() >= kMost) {
        continue;
      }
      links.push_back({std::string(target), number, scan::column_at(line, at + 2)});
    }
  }
  return links;
}

}  // namespace baylore::shop::checking
