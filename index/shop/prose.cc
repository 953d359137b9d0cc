#include "shop/prose.h"

#include <algorithm>
#include <array>
#include <optional>

#include <fmt/format.h>

#include "shop/scan.h"
#include "trade/quantity.h"

namespace baylore::shop {
namespace {

using scan::Shape;

// A tip with more pictures than this is a mistake; the rest of them stays plain text.
constexpr std::size_t kMostPictures = 1000;

// A list item's first line: how far its words are in.
struct Marker {
  std::size_t indent = 0;
  std::size_t words_at = 0;
};

// `1. words` or `1) words`; up to nine digits, as CommonMark has it.
std::optional<Marker> numbered(std::string_view line) {
  Marker found;
  found.indent = std::min(line.find_first_not_of(' '), line.size());
  std::size_t at = found.indent;
  while (at < line.size() && scan::is_digit(line[at]) && at - found.indent < 10) ++at;
  const std::size_t digits = at - found.indent;
  if (digits == 0 || digits > 9 || at == line.size() || (line[at] != '.' && line[at] != ')'))
    return std::nullopt;
  ++at;
  if (at < line.size() && line[at] != ' ' && line[at] != '\t') return std::nullopt;
  found.words_at = std::min(line.find_first_not_of(" \t", at), line.size());
  return found;
}

std::optional<Marker> bulleted(std::string_view line) {
  const auto item = scan::bullet(line);
  if (!item) return std::nullopt;
  return Marker{item->indent, item->value_at};
}

bool is_picture_line(std::string_view line) {
  line = scan::trimmed(line);
  return line.substr(0, 2) == "![" && !line.empty() && line.back() == ')';
}

bool is_mark_line(std::string_view line) {
  const auto split = scan::bullet_key_line(line);
  return split && scan::lower(split->key).substr(0, 5) == "mark ";
}

// A line of a list item without the indent of the item's words, as far as it has it.
std::string_view outdented(std::string_view line, std::size_t by) {
  const std::size_t blanks = std::min(line.find_first_not_of(" \t"), line.size());
  return line.substr(std::min(by, blanks));
}

// The outermost items of one kind. An item runs on over deeper lines, over lines that follow it
// without a blank one between, and over code blocks; a line at the margin after a blank one ends
// it.
std::vector<std::string> list_items(std::string_view body,
                                    std::optional<Marker> (*marker)(std::string_view)) {
  std::vector<std::string> items;
  const scan::Lines lines(body);
  scan::Blocks blocks;
  bool open = false;
  bool after_blank = false;
  std::size_t words_at = 0;
  std::string blanks;  // blank lines that belong to the item only if it goes on
  const auto add = [&](std::string_view text) {
    items.back() += blanks + "\n" + std::string(text);
    blanks.clear();
  };
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = lines.text(number);
    const Shape shape = blocks.take(line);
    if (shape == Shape::hidden) {
      if (open) add(outdented(line, words_at));
      after_blank = false;
      continue;
    }
    if (shape == Shape::blank) {
      if (open) blanks += '\n';
      after_blank = true;
      continue;
    }
    const auto found = marker(line);
    if (found && found->indent < (open ? std::max<std::size_t>(words_at, 1) : 4)) {
      items.emplace_back(scan::trimmed(line.substr(found->words_at)));
      words_at = found->words_at;
      open = true;
      blanks.clear();
    } else if (open) {
      const std::size_t indent = std::min(line.find_first_not_of(" \t"), line.size());
      const bool heading = shape != Shape::text;
      const bool deeper = indent >= std::min<std::size_t>(words_at, 2);
      if (heading || is_picture_line(line) || is_mark_line(line) ||
          (!deeper && (after_blank || scan::bullet(line)))) {
        open = false;
        blanks.clear();
      } else {
        add(scan::right_trimmed(outdented(line, words_at)));
      }
    }
    after_blank = false;
  }
  items.erase(std::remove_if(items.begin(), items.end(),
                             [](const std::string& i) { return scan::is_blank(i); }),
              items.end());
  return items;
}

// Whether the full stop after `text` belongs to its last word and ends no sentence: "approx.", the
// initial in "R. Okoro", but not the unit in "2 L." Common practice, no source.
bool ends_in_abbreviation(std::string_view text) {
  static constexpr std::array<std::string_view, 9> kWords = {"approx", "e.g", "i.e", "fig", "incl",
                                                             "excl",   "vs",  "cf",  "resp"};
  const std::size_t before = text.find_last_of(" (");
  const std::string_view word = before == std::string_view::npos ? text : text.substr(before + 1);
  if (word.size() == 1) {
    const bool unit =
        before != std::string_view::npos && before > 0 && scan::is_digit(text[before - 1]);
    return !unit && !scan::is_digit(word.front());
  }
  const std::string low = scan::lower(word);
  return std::find(kWords.begin(), kWords.end(), low) != kWords.end();
}

void put_sentence(std::string_view text, std::vector<std::string>& into) {
  text = scan::trimmed(text);
  if (!text.empty()) into.emplace_back(text);
}

void split_paragraph(const std::string& text, std::vector<std::string>& into) {
  std::size_t start = 0;
  for (std::size_t i = 0; i + 2 < text.size(); ++i) {
    if ((text[i] != '.' && text[i] != '!' && text[i] != '?') || text[i + 1] != ' ') continue;
    const char next = text[i + 2];
    if ((next >= 'a' && next <= 'z') || scan::is_digit(next) || next == ' ') continue;
    // Only the words right before the stop matter; a long look back would cost quadratic time.
    constexpr std::size_t kLongestWord = 24;
    const std::size_t from = std::max(start, i > kLongestWord ? i - kLongestWord : 0);
    if (text[i] == '.' && ends_in_abbreviation(std::string_view(text).substr(from, i - from))) {
      continue;
    }
    put_sentence(std::string_view(text).substr(start, i + 1 - start), into);
    start = i + 2;
  }
  put_sentence(std::string_view(text).substr(start), into);
}

// `%20` and the like; what is no escape stays.
std::string percent_decoded(std::string_view text) {
  const auto nibble = [](char c) {
    if (scan::is_digit(c)) return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
  };
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '%' && i + 2 < text.size() && nibble(text[i + 1]) >= 0 &&
        nibble(text[i + 2]) >= 0) {
      out += static_cast<char>(nibble(text[i + 1]) * 16 + nibble(text[i + 2]));
      i += 2;
    } else {
      out += text[i];
    }
  }
  return out;
}

// The pictures of one line: `![caption](file)`, `![caption](<file with blanks> "title")`.
void pictures_in(std::string_view line, int number, std::vector<Picture>& into) {
  std::size_t at = 0;
  while (into.size() < kMostPictures && (at = line.find("![", at)) != std::string_view::npos) {
    const std::size_t middle = line.find("](", at);
    if (middle == std::string_view::npos) return;
    const std::size_t start = middle + 2;
    const bool angled = start < line.size() && line[start] == '<';
    std::size_t end = line.find(angled ? '>' : ')', start);
    if (end == std::string_view::npos) return;
    std::string_view file = line.substr(angled ? start + 1 : start, end - start - (angled ? 1 : 0));
    if (angled) end = line.find(')', end);
    if (end == std::string_view::npos) return;
    if (!angled) {
      const std::size_t title = file.find(" \"");
      file = scan::trimmed(file.substr(0, title));
    }
    Picture picture;
    picture.file = percent_decoded(file);
    picture.caption = std::string(scan::trimmed(line.substr(at + 2, middle - at - 2)));
    picture.line = number;
    if (!picture.file.empty()) into.push_back(std::move(picture));
    at = end + 1;
  }
}

// The next word of `text` from `at` on, which is moved behind it.
std::string_view take_word(std::string_view text, std::size_t& at) {
  at = std::min(text.find_first_not_of(" \t", at), text.size());
  const std::size_t end = std::min(text.find_first_of(" \t", at), text.size());
  const std::string_view word = text.substr(at, end - at);
  at = end;
  return word;
}

// `- mark LABEL: X Y words`; finds fault with the very word that is wrong.
std::optional<Mark> read_mark(std::string_view line, const scan::KeyLine& split, int number,
                              Notes& notes) {
  Mark mark;
  mark.label = std::string(scan::trimmed(split.key.substr(5)));
  mark.line = number;
  std::size_t at = 0;
  for (double* place : {&mark.x, &mark.y}) {
    const std::string_view word = take_word(split.value, at);
    const std::size_t word_at = split.value_at + at - word.size();
    const auto value = trade::taken(trade::parse_number(word));
    if (!value || *value < 0 || *value > 1) {
      notes.add(Level::error, number, scan::column_at(line, word_at), "mark",
                word.empty() ? std::string("a mark without its place")
                             : fmt::format("`{}` is no place in the picture", word),
                "write two numbers from 0 to 1, across then down: 0.42 0.61 weep hole");
      return std::nullopt;
    }
    *place = *value;
  }
  mark.text = std::string(scan::trimmed(split.value.substr(at)));
  return mark;
}

}  // namespace

std::vector<std::string> steps_of(std::string_view body) {
  std::vector<std::string> steps = list_items(body, numbered);
  return steps.empty() ? list_items(body, bulleted) : steps;
}

std::vector<std::string> points_of(std::string_view body) {
  std::vector<std::string> points = steps_of(body);
  return points.empty() ? sentences_of(body) : points;
}

std::vector<std::string> sentences_of(std::string_view text) {
  std::vector<std::string> out;
  const scan::Lines lines(text);
  std::string paragraph;
  for (int line = 1; line <= lines.count() + 1; ++line) {
    const std::string_view words =
        line <= lines.count() ? scan::trimmed(lines.text(line)) : std::string_view();
    if (!words.empty()) {
      if (!paragraph.empty()) paragraph += ' ';
      paragraph += words;
    } else if (!paragraph.empty()) {
      split_paragraph(paragraph, out);
      paragraph.clear();
    }
  }
  return out;
}

std::string why_of(std::string_view text) {
  constexpr std::string_view kWord = "Why:";
  std::size_t at = text.find(kWord);
  while (at != std::string_view::npos && at > 0 && text[at - 1] != ' ' && text[at - 1] != '\n' &&
         text[at - 1] != '*') {
    at = text.find(kWord, at + 1);
  }
  if (at == std::string_view::npos) return {};
  std::string out;
  const scan::Lines lines(text.substr(at + kWord.size()));
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view words = scan::trimmed(lines.text(line));
    if (words.empty() && !out.empty()) break;
    if (!out.empty()) out += ' ';
    out += words;
  }
  return out;
}

void read_pictures(std::string_view body, int body_line, Notes& notes, std::vector<Picture>& into) {
  const std::size_t before = into.size();
  const scan::Lines lines(body);
  scan::Blocks blocks;
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view text = lines.text(line);
    const int number = body_line + line - 1;
    if (blocks.take(text) != Shape::text) continue;
    const auto split = scan::bullet_key_line(text);
    if (!split || scan::lower(split->key).substr(0, 5) != "mark ") {
      if (into.size() < kMostPictures) pictures_in(text, number, into);
      continue;
    }
    auto mark = read_mark(text, *split, number, notes);
    if (!mark) continue;
    if (into.size() == before) {
      notes.add(Level::error, number, 1, "mark", "a mark without a picture above it",
                "put it under the line of its picture");
      continue;
    }
    into.back().marks.push_back(std::move(*mark));
  }
}

}  // namespace baylore::shop
