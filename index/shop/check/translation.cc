#include "shop/check/translation.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <unordered_map>
#include <unordered_set>

#include <fmt/format.h>

#include "shop/check/facts.h"
#include "shop/check/vehicles.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "trade/quantity.h"
#include "trade/thread.h"

namespace baylore::shop::checking {
namespace {

bool part_of_word(char c) {
  return scan::is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
         static_cast<unsigned char>(c) >= 0x80;
}

// A number of running text, made comparable: a comma counts as a point, zeros at the end of a
// fraction do not count.
struct Number {
  std::string text;
  Spot at;
  bool measured = false;  // a unit follows
};

bool unit_at(std::string_view line, std::size_t at) {
  if (at < line.size() && line[at] == ' ') ++at;
  const std::size_t end = std::min(line.find_first_of(" ,;)", at), line.size());
  std::string_view word = line.substr(at, end - at);
  while (!word.empty() && word.back() == '.') word.remove_suffix(1);
  return !word.empty() && word.size() <= 16 && trade::find_unit(word) != nullptr;
}

// A count that many write as a word: `ten minutes`, `3 bolts`.
bool may_be_word(const Number& number) {
  return !number.measured && number.text.size() <= 2 && std::stoi(number.text) <= 12;
}

// Numbers that stand alone or before a unit: `10 N·m`, `13,5`, `90°`. Those inside names and codes
// (P0128, M6, 88-214) are no measures.
void numbers_in(std::string_view line, int number, std::vector<Number>& into) {
  for (std::size_t i = 0; i < line.size();) {
    if (!scan::is_digit(line[i])) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < line.size() && (scan::is_digit(line[end]) ||
                                 ((line[end] == '.' || line[end] == ',') && end + 1 < line.size() &&
                                  scan::is_digit(line[end + 1])))) {
      ++end;
    }
    const bool tied_before =
        i > 0 && (part_of_word(line[i - 1]) || ((line[i - 1] == '-' || line[i - 1] == '/') &&
                                                i > 1 && part_of_word(line[i - 2])));
    // `6x1.0`, `88-214`; but `90°`, `10N·m` and `5-10 V` are measures.
    const bool tied_after =
        end + 1 < line.size() && line[end] == 'x' && scan::is_digit(line[end + 1]);
    if (!tied_before && !tied_after) {
      std::string text(line.substr(i, end - i));
      std::replace(text.begin(), text.end(), ',', '.');
      if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
      }
      into.push_back({std::move(text), {number, scan::column_at(line, i)}, unit_at(line, end)});
    }
    i = end;
  }
}

// The numbers of a section's running text; its fields and marks are compared one by one, and the
// numbers of its steps count themselves.
std::vector<Number> prose_numbers(const Document& document, const Section& section) {
  std::vector<Number> found;
  std::unordered_set<int> fields;
  for (const Entry& entry : section.entries) {
    for (const Field& field : entry.fields) {
      static const std::set<std::string> kCompared = {
          "torque", "thread",  "count",  "sequence", "class",  "grade",
          "expect", "minutes", "access", "check",    "fact",   "again",
          "family", "outside", "inside", "reuse",    "correct"};
      if (kCompared.count(field.key) == 0) continue;
      fields.insert(field.line);
      for (const Item& item : field.items) fields.insert(item.line);
    }
  }
  const scan::Lines lines(document.bytes());
  const auto& sections = document.sections();
  const auto next = std::find_if(sections.begin(), sections.end(),
                                 [&](const Section& s) { return s.line > section.line; });
  const int end = next == sections.end() ? lines.count() + 1 : next->line;
  for (int line = section.line + 1; line < end; ++line) {
    if (fields.count(line) != 0) continue;
    std::string_view text = lines.text(line);
    if (const auto split = scan::bullet_key_line(text);
        split && scan::lower(split->key).substr(0, 5) == "mark ") {
      continue;
    }
    if (text.substr(0, 2) == "![") continue;
    // `1. words`: blanks for the number keep the columns right.
    std::string words(text);
    std::size_t at = words.find_first_not_of(" \t");
    while (at < words.size() && scan::is_digit(words[at])) ++at;
    if (at < words.size() && (words[at] == '.' || words[at] == ')') && at + 1 < words.size() &&
        words[at + 1] == ' ') {
      for (std::size_t i = 0; i <= at; ++i) words[i] = ' ';
    }
    numbers_in(words, line, found);
  }
  return found;
}

// What `here` has and `there` lacks, as often as it lacks it.
std::vector<Number> left_over(const std::vector<Number>& here, const std::vector<Number>& there) {
  std::map<std::string, int> counts;
  for (const Number& number : there) ++counts[number.text];
  std::vector<Number> over;
  for (const Number& number : here) {
    if (--counts[number.text] < 0 && !may_be_word(number)) over.push_back(number);
  }
  return over;
}

class Comparison {
 public:
  Comparison(const Text& original, const Text& translation, Findings& into)
      : a_(original), b_(translation), into_(into) {}

  void all() {
    front();
    checks();
    fasteners();
    marks();
    prose();
  }

 private:
  void differ(Spot at, Level level, const std::string& what, const std::string& here,
              const std::string& there) {
    into_.push_back(
        {b_.tip.path, std::max(at.line, 1), std::max(at.column, 1), level, "translation",
         fmt::format("{} {} here, {} in {}, which this translates", what, here, there, a_.tip.path),
         "find out which is right and mend the other"});
  }

  void front() {
    if (a_.tip.repair_minutes > 0 && b_.tip.repair_minutes > 0 &&
        std::abs(a_.tip.repair_minutes - b_.tip.repair_minutes) > 0.01) {
      differ(spot_of(b_.document.field("repair-minutes")), Level::warning, "repair minutes",
             fmt::format("{:g}", b_.tip.repair_minutes),
             fmt::format("{:g}", a_.tip.repair_minutes));
    }
    const std::set<std::string> codes(a_.tip.codes.begin(), a_.tip.codes.end());
    for (const std::string& code : b_.tip.codes) {
      if (codes.empty() || codes.count(code) != 0) continue;
      differ(code_spot(code), Level::warning, "code", code, "no such code");
    }
    const std::vector<Item> items = items_of(b_.document.field("fits"));
    for (std::size_t i = 0; i < b_.tip.fits.size() && i < items.size(); ++i) fit(i, items[i]);
  }

  Spot code_spot(const std::string& code) const {
    for (const Item& item : items_of(b_.document.field("codes"))) {
      if (item.value.find(code) != std::string::npos) return {item.line, item.column};
    }
    return spot_of(b_.document.field("codes"));
  }

  // The original's fit for the same car must have the same years.
  void fit(std::size_t i, const Item& item) {
    const Vehicle here = vehicle_of(b_.tip.fits[i]);
    const Fit* near = nullptr;
    for (const Fit& fit : a_.tip.fits) {
      const Vehicle there = vehicle_of(fit);
      if (there.make != here.make || there.model != here.model || there.engine != here.engine)
        continue;
      if (there.first_year == here.first_year && there.last_year == here.last_year) return;
      near = &fit;
    }
    if (near == nullptr) return;
    differ({item.line, item.column}, Level::warning, "fits", fit_text(b_.tip.fits[i]),
           fit_text(*near));
  }

  void expectation(const std::optional<trade::Expectation>& here, const std::string& here_said,
                   const std::optional<trade::Expectation>& there, const std::string& there_said,
                   const Entry& entry) {
    const Field* field = entry.field("expect");
    const ReadingFact b = reading_of(here, here_said, field, entry.line);
    const ReadingFact a = reading_of(there, there_said, nullptr, 1);
    if (a.unit == nullptr || b.unit == nullptr) return;
    const auto close = [&](double x, double y) {
      if (x == y) return true;
      if (std::isinf(x) || std::isinf(y)) return false;  // open on one side only
      return std::abs(x - y) <=
             (a.unit == b.unit ? 1e-9 : 0.01) * std::max(std::abs(x), std::abs(y));
    };
    if (a.unit->dimension == b.unit->dimension && close(a.low, b.low) && close(a.high, b.high))
      return;
    differ(b.at, Level::error, "the check expects", here_said, there_said);
  }

  void checks() {
    std::unordered_map<std::string, const Check*> there;
    for (const Check& check : a_.tip.checks) there.emplace(check.id, &check);
    const std::vector<const Entry*> entries = entries_of(b_.document, "checks");
    const bool parallel = a_.tip.checks.size() == b_.tip.checks.size();
    for (std::size_t i = 0; i < b_.tip.checks.size() && i < entries.size(); ++i) {
      const Check& here = b_.tip.checks[i];
      const auto found = there.find(here.id);
      // A check without an id of its own has one from its name, which is translated.
      const Check* other = found != there.end() ? found->second
                           : parallel           ? &a_.tip.checks[i]
                                                : nullptr;
      if (other == nullptr) continue;
      expectation(here.expect, here.expect_text, other->expect, other->expect_text, *entries[i]);
      if (here.minutes > 0 && other->minutes > 0 && std::abs(here.minutes - other->minutes) > 0.01)
        differ(spot_of(entries[i]->field("minutes"), entries[i]->line), Level::warning, "minutes",
               fmt::format("{:g}", here.minutes), fmt::format("{:g}", other->minutes));
    }
    const std::vector<const Entry*> verify = entries_of(b_.document, "verify");
    if (a_.tip.verify.size() != b_.tip.verify.size()) return;
    for (std::size_t i = 0; i < b_.tip.verify.size() && i < verify.size(); ++i) {
      expectation(b_.tip.verify[i].expect, b_.tip.verify[i].expect_text, a_.tip.verify[i].expect,
                  a_.tip.verify[i].expect_text, *verify[i]);
    }
  }

  static bool same_torque(const trade::TorqueSpec& a, const trade::TorqueSpec& b) {
    if (a.stages.size() != b.stages.size()) return false;
    const trade::Unit& newton_metre = trade::unit(trade::UnitId::kNewtonMetre);
    for (std::size_t i = 0; i < a.stages.size(); ++i) {
      const trade::TorqueStage& x = a.stages[i];
      const trade::TorqueStage& y = b.stages[i];
      if (x.kind != y.kind || x.degrees.size() != y.degrees.size() ||
          (x.unit == nullptr) != (y.unit == nullptr)) {
        return false;
      }
      for (std::size_t k = 0; k < x.degrees.size(); ++k) {
        if (std::abs(x.degrees[k] - y.degrees[k]) > 0.5) return false;
      }
      if (x.unit == nullptr) continue;
      const double share = x.unit == y.unit ? 1e-9 : 0.03;
      const auto close = [&](const std::optional<double>& p, const std::optional<double>& q) {
        if (!p || !q) return !p && !q;
        const double v = trade::convert(*p, *x.unit, newton_metre);
        const double w = trade::convert(*q, *y.unit, newton_metre);
        return std::abs(v - w) <= share * std::max(std::abs(v), std::abs(w));
      };
      if (!close(x.low, y.low) || !close(x.high, y.high)) return false;
    }
    return true;
  }

  void fasteners() {
    const std::vector<const Entry*> entries = entries_of(b_.document, "fasteners");
    // Their names are translated, so only their order tells which is which.
    if (a_.tip.fasteners.size() != b_.tip.fasteners.size()) return;
    for (std::size_t i = 0; i < b_.tip.fasteners.size() && i < entries.size(); ++i) {
      const Fastener& here = b_.tip.fasteners[i];
      const Fastener& there = a_.tip.fasteners[i];
      const Entry& entry = *entries[i];
      const auto at = [&](const char* key) { return spot_of(entry.field(key), entry.line); };
      if (here.torque && there.torque && !same_torque(*here.torque, *there.torque))
        differ(at("torque"), Level::error, "torque", here.torque_text, there.torque_text);
      if (here.count > 0 && there.count > 0 && here.count != there.count)
        differ(at("count"), Level::warning, "count", fmt::to_string(here.count),
               fmt::to_string(there.count));
      const auto both_differ = [](const std::string& x, const std::string& y) {
        return !x.empty() && !y.empty() && folded_words(x) != folded_words(y);
      };
      if (both_differ(thread_text(here.thread), thread_text(there.thread)))
        differ(at("thread"), Level::warning, "thread", here.thread, there.thread);
      if (both_differ(here.property_class, there.property_class))
        differ(at(entry.field("class") != nullptr ? "class" : "grade"), Level::warning, "class",
               here.property_class, there.property_class);
      const bool numbered = !here.sequence.empty() && scan::is_digit(here.sequence.front());
      if (numbered && both_differ(here.sequence, there.sequence))
        differ(at("sequence"), Level::warning, "order", here.sequence, there.sequence);
    }
  }

  static std::string thread_text(const std::string& thread) {
    const auto read = trade::taken(trade::parse_thread(thread));
    return read ? read->text : thread;
  }

  void marks() {
    for (const Picture& here : b_.tip.pictures) {
      const auto there = std::find_if(a_.tip.pictures.begin(), a_.tip.pictures.end(),
                                      [&](const Picture& p) { return p.file == here.file; });
      if (there == a_.tip.pictures.end()) continue;
      for (const Mark& mark : here.marks) {
        const auto other = std::find_if(there->marks.begin(), there->marks.end(),
                                        [&](const Mark& m) { return m.label == mark.label; });
        if (other == there->marks.end()) continue;
        if (std::abs(mark.x - other->x) < 1e-6 && std::abs(mark.y - other->y) < 1e-6) continue;
        differ({mark.line, 1}, Level::warning, fmt::format("mark {} at", mark.label),
               fmt::format("{:g} {:g}", mark.x, mark.y),
               fmt::format("{:g} {:g}", other->x, other->y));
      }
    }
  }

  // A number may be a word in the other language, so one that is merely absent proves nothing. When
  // each side has one that the other lacks, they stand for each other.
  void prose() {
    for (const Section& here : b_.document.sections()) {
      if (here.key == "parts" || here.key == "corrections") continue;
      const Section* there = a_.document.section(here.key);
      if (there == nullptr) continue;
      const std::vector<Number> mine = prose_numbers(b_.document, here);
      const std::vector<Number> theirs = prose_numbers(a_.document, *there);
      const std::vector<Number> more = left_over(mine, theirs);
      const std::vector<Number> less = left_over(theirs, mine);
      for (std::size_t i = 0; i < more.size() && i < less.size(); ++i) {
        differ(more[i].at, Level::warning, "the number", more[i].text, less[i].text);
      }
    }
  }

  const Text& a_;
  const Text& b_;
  Findings& into_;
};

}  // namespace

void check_translation(const Text& original, const Text& translation, Findings& into) {
  Comparison(original, translation, into).all();
}

}  // namespace baylore::shop::checking
