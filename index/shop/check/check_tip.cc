#include <algorithm>
#include <array>
#include <chrono>
#include <optional>
#include <unordered_set>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/check/check.h"
#include "shop/check/facts.h"
#include "shop/check/text_checks.h"
#include "shop/check/tip_checks.h"
#include "shop/fit.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "trade/code.h"
#include "trade/correction.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_window.h"

namespace baylore::shop {

using namespace checking;

namespace {

using Day = std::chrono::year_month_day;

// `2026-03-14`; nothing for another form or a day that is none.
std::optional<Day> read_day(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t count) {
    int value = 0;
    for (const char c : text.substr(at, count)) {
      if (!scan::is_digit(c)) return -1;
      value = value * 10 + (c - '0');
    }
    return value;
  };
  const int year = number(0, 4);
  const int month = number(5, 2);
  const int day = number(8, 2);
  if (year < 0 || month < 0 || day < 0) return std::nullopt;
  const Day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                 std::chrono::day(static_cast<unsigned>(day))};
  if (!date.ok()) return std::nullopt;
  return date;
}

// What is wrong with model years; empty when nothing is.
std::string wrong_years(int first, int last, int this_year) {
  for (const int year : {first, last}) {
    if (year != 0 && year < kOldestYear) return fmt::format("{} is before {}", year, kOldestYear);
    if (year > this_year + 1) return fmt::format("{} is after next year", year);
  }
  return {};
}

class TipChecks {
 public:
  TipChecks(const Document& document, const Tip& tip, Today today, Notes& notes)
      : document_(document), tip_(tip), today_(std::move(today)), notes_(notes) {}

  void all() {
    empty_keys();
    language();
    fits();
    codes();
    dates();
    status();
    checks();
    fasteners();
    marks();
    for (const char* section : {"checks", "fasteners", "parts", "verify"}) {
      for (const Entry* entry : entries_of(document_, section)) lost_fields(section, *entry);
    }
  }

 private:
  void add(Level level, Spot at, const char* rule, std::string what, std::string remedy) {
    notes_.add(level, at.line, at.column, rule, std::move(what), std::move(remedy));
  }

  // --- front matter

  void empty_key(const Field& field) {
    if (!field.value.empty() || !field.items.empty()) return;
    add(Level::note, {field.line, 1}, "empty-key",
        fmt::format("nothing stands after `{}`", field.label), "write it, or take the line out");
  }

  void empty_keys() {
    const std::vector<std::string>& known = known_keys();
    for (const Field& field : document_.front()) {
      // An empty title is told as a tip without one.
      if (field.key == "title") continue;
      if (std::find(known.begin(), known.end(), field.key) != known.end()) empty_key(field);
    }
    for (const char* section : {"checks", "fasteners", "parts", "verify"}) {
      for (const Entry* entry : entries_of(document_, section)) {
        for (const Field& field : entry->fields) {
          if (is_field_of(section, field.key)) empty_key(field);
        }
      }
    }
  }

  // A language tag as in BCP 47, as far as a shop needs it: `en`, `de`, `pt-BR`.
  void language() {
    const Field* field = document_.field("lang");
    if (field == nullptr || field->value.empty()) return;
    const std::string_view tag = field->value;
    const std::string_view first = tag.substr(0, tag.find_first_of("-_"));
    const bool letters = std::all_of(first.begin(), first.end(), [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    });
    if (letters && (first.size() == 2 || first.size() == 3)) return;
    add(Level::note, spot_of(field), "lang", fmt::format("`{}` is no language tag", tag),
        "write en, de, es, fr ...");
  }

  void fits() {
    const std::vector<Item> items = items_of(document_.field("fits"));
    for (std::size_t i = 0; i < tip_.fits.size() && i < items.size(); ++i) {
      const Fit& fit = tip_.fits[i];
      const std::string wrong = wrong_years(fit.first_year, fit.last_year, today_.year);
      if (wrong.empty()) continue;
      const std::string& value = items[i].value;
      std::size_t at = value.find('|');
      if (at != std::string::npos) at = value.find('|', at + 1);
      at = at == std::string::npos ? 0 : std::min(value.find_first_not_of(" |", at), value.size());
      add(Level::error, {items[i].line, items[i].column + scan::column_at(value, at) - 1}, "years",
          wrong, "write the model years from first to last: 2014-2018");
    }
  }

  void codes() {
    for (const Item& item : items_of(document_.field("codes"))) {
      for (const trade::ReadCode& read : trade::read_codes(item.value).codes) {
        if (!never_sent(read.code)) continue;
        add(Level::warning, {item.line, item.column}, "code",
            fmt::format("{} is reserved: no vehicle sends it", trade::text(read.code)),
            "look it up again on the scan tool");
      }
    }
  }

  void day(std::string_view text, Spot at) {
    const auto read = read_day(text);
    if (!read) {
      add(Level::warning, at, "date", fmt::format("`{}` is no date", text),
          "write year, month and day: 2026-03-14");
    } else if (text > today_.tomorrow) {
      add(Level::warning, at, "date", fmt::format("{} is still to come", text),
          "write the day it was written");
    }
  }

  void dates() {
    if (const Field* field = document_.field("written"); field != nullptr && !field->value.empty())
      day(field->value, spot_of(field));
    const Section* corrections = document_.section("corrections");
    if (corrections == nullptr || corrections->body_line == 0) return;
    const scan::Lines lines(corrections->body);
    for (int line = 1; line <= lines.count(); ++line) {
      const auto item = scan::bullet(lines.text(line));
      if (!item || item->value.find('|') == std::string_view::npos) continue;
      const std::string_view date = scan::trimmed(item->value.substr(0, item->value.find('|')));
      day(date,
          {corrections->body_line + line - 1, scan::column_at(lines.text(line), item->value_at)});
    }
  }

  void status() {
    if (tip_.replaced_by.empty() || tip_.status != "current") return;
    const Field* field = document_.field("status");
    add(Level::warning, spot_of(field != nullptr ? field : document_.field("replaced-by")),
        "status", "the tip is replaced but still current",
        "write `status: withdrawn`, or take `replaced-by` out");
  }

  // --- checks

  // A likelihood ratio above one for both answers cannot be: what one answer gives, the other
  // takes.
  static int direction(std::string_view strength) {
    const std::string word = scan::lower(strength);
    if (word == "proves" || word == "suggests" || word == "hints") return 1;
    if (word == "rules out" || word == "suggests against" || word == "hints against") return -1;
    return 0;
  }

  void checks() {
    const std::vector<const Entry*> entries = entries_of(document_, "checks");
    for (std::size_t i = 0; i < tip_.checks.size() && i < entries.size(); ++i) {
      const Check& check = tip_.checks[i];
      const Entry& entry = *entries[i];
      const int way = direction(check.outside);
      if (way != 0 && way == direction(check.inside)) {
        add(Level::warning, spot_of(entry.field("inside"), entry.line), "strength",
            fmt::format("both answers speak {} the cause", way > 0 ? "for" : "against"),
            "one answer must take back what the other gives");
      }
      if (const Field* field = entry.field("correct"); field != nullptr) correction(check, *field);
    }
    const std::vector<const Entry*> verify = entries_of(document_, "verify");
    for (std::size_t i = 0; i < tip_.verify.size() && i < verify.size(); ++i) {
      const Verification& v = tip_.verify[i];
      if (v.again.empty() || !v.expect) continue;
      const auto check = std::find_if(tip_.checks.begin(), tip_.checks.end(),
                                      [&](const Check& c) { return c.id == v.again; });
      if (check == tip_.checks.end() || !check->expect || v.expect_text == check->expect_text)
        continue;
      const Field* field = verify[i]->field("expect");
      const ReadingFact here = reading_of(v.expect, v.expect_text, field, verify[i]->line);
      const ReadingFact there = reading_of(check->expect, check->expect_text, nullptr, 1);
      if (here.unit == nullptr || there.unit == nullptr ||
          (here.unit->dimension == there.unit->dimension && here.low == there.low &&
           here.high == there.high)) {
        continue;
      }
      add(Level::warning, here.at, "reading-differs",
          fmt::format("`{}` expects {} here, {} in line {}", v.again, v.expect_text,
                      check->expect_text, check->line),
          "mend the one that is wrong, or take this `expect` out: the check has its own");
    }
  }

  void correction(const Check& check, const Field& field) {
    const auto read = trade::parse_correction(field.value);
    if (const auto* refusal = trade::refusal_in(read)) {
      notes_.refused(Level::warning, item_of(field), "correct", *refusal);
      return;
    }
    if (!check.expect) return;
    const bool vacuum = trade::taken(read)->kind == trade::Correction::Kind::kMeasuredBarometer;
    const auto wanted = vacuum ? trade::Dimension::kPressure : trade::Dimension::kResistance;
    if (check.expect->unit != nullptr && check.expect->unit->dimension == wanted) return;
    add(Level::warning, spot_of(&field), "correct",
        fmt::format("`{}` cannot correct `{}`", field.value, check.expect_text),
        fmt::format("it is for a {}", trade::dimension_name(wanted)));
  }

  // --- fasteners

  static bool has_word(const std::vector<std::string>& words,
                       std::initializer_list<std::string_view> wanted) {
    return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
      return std::find(wanted.begin(), wanted.end(), word) != wanted.end();
    });
  }

  // Plugs and hollow bolts have another section than their thread says; soft threads bear less.
  static bool beyond_mechanics(const Fastener& fastener) {
    const std::vector<std::string> name = words_of(fastener.name);
    if (has_word(name, {"plug", "plugs", "banjo", "bleeder", "nipple"})) return true;
    const std::vector<std::string> all = words_of(fastener.name + ' ' + fastener.text);
    return has_word(all,
                    {"aluminium", "aluminum", "alloy", "magnesium", "plastic", "brass", "copper"});
  }

  void fasteners() {
    const std::vector<const Entry*> entries = entries_of(document_, "fasteners");
    for (std::size_t i = 0; i < tip_.fasteners.size() && i < entries.size(); ++i) {
      const Fastener& fastener = tip_.fasteners[i];
      const Entry& entry = *entries[i];
      const auto thread = read_thread(entry.field("thread"));
      const Field* class_field = entry.field("class");
      if (class_field == nullptr) class_field = entry.field("grade");
      const auto strength = read_class(class_field);
      if (!thread || strength == nullptr) continue;
      if (thread->metric != strength->metric) {
        add(Level::warning, spot_of(class_field), "class",
            fmt::format("`{}` is not a class for {}", class_field->value, thread->text),
            thread->metric ? "metric threads have 8.8, 10.9, 12.9"
                           : "inch threads have Grade 2, 5, 8");
        continue;
      }
      if (fastener.torque && !beyond_mechanics(fastener))
        torque(fastener, *thread, *strength, entry.field("torque"));
    }
  }

  std::optional<trade::Thread> read_thread(const Field* field) {
    if (field == nullptr || field->value.empty()) return std::nullopt;
    const auto read = trade::parse_thread(field->value);
    const std::string_view value = field->value;
    if (const auto* refusal = trade::refusal_in(read)) {
      const bool metric =
          value.size() > 1 && (value[0] == 'M' || value[0] == 'm') && scan::is_digit(value[1]);
      if (metric || scan::is_digit(value[0]))
        notes_.refused(Level::warning, item_of(*field), "thread", *refusal);
      return std::nullopt;
    }
    auto thread = trade::taken(read);
    if (!thread->standard) {
      add(Level::warning, spot_of(field), "thread",
          fmt::format("`{}` is no usual pair of diameter and pitch", value),
          "measure the pitch, or look it up again");
    }
    return thread;
  }

  // Classes of ISO 898-1 (from memory); only 8.8, 10.9 and 12.9 have a window.
  const trade::StrengthClass* read_class(const Field* field) {
    if (field == nullptr || field->value.empty()) return nullptr;
    const auto read = trade::parse_class(field->value);
    if (const auto* known = trade::value_in(read)) return *known;
    static constexpr std::array<std::string_view, 9> kClasses = {"4.6", "4.8", "5.6",  "5.8", "6.8",
                                                                 "8.8", "9.8", "10.9", "12.9"};
    const std::string_view value = field->value;
    const bool like_class = value.find_first_not_of("0123456789.,") == std::string_view::npos &&
                            value.find_first_of(".,") != std::string_view::npos;
    std::string plain(value);
    std::replace(plain.begin(), plain.end(), ',', '.');
    if (like_class && std::find(kClasses.begin(), kClasses.end(), plain) == kClasses.end()) {
      add(Level::warning, spot_of(field), "class", fmt::format("`{}` is no property class", value),
          "read it off the head again: 8.8, 10.9 and 12.9 are the usual ones");
    }
    return nullptr;
  }

  void torque(const Fastener& fastener, const trade::Thread& thread,
              const trade::StrengthClass& strength, const Field* field) {
    const auto window = trade::taken(trade::torque_window(thread, strength));
    if (!window) return;
    const auto opinion = trade::judge_torque(*fastener.torque, *window);
    if (!opinion || opinion->place == trade::TorqueOpinion::Place::kInside) return;
    const bool above = opinion->place == trade::TorqueOpinion::Place::kAbove;
    // A somewhat low torque is often meant: soft joints, seals, clamps. Under a third of the
    // lowest, a high one, or one that another unit would make plausible, is not.
    const bool slip = opinion->did_you_mean != nullptr;
    trade::TorqueWindow wide = *window;
    wide.low /= 3;
    const bool far =
        trade::judge_torque(*fastener.torque, wide)->place == trade::TorqueOpinion::Place::kBelow;
    add(above || slip || far ? Level::warning : Level::note, spot_of(field), "torque",
        fmt::format("{} is {} what {} {} is usually tightened to ({} to {} N·m)",
                    fastener.torque_text, above ? "above" : "below", thread.text, strength.name,
                    trade::shown_number(window->low), trade::shown_number(window->high)),
        slip ? fmt::format("did you mean {}? The maker's value decides",
                           opinion->did_you_mean->symbol)
             : std::string("look it up again; the maker's value decides"));
  }

  void marks() {
    misspelt_marks();
    for (const Picture& picture : tip_.pictures) {
      std::unordered_set<std::string> seen;
      for (const Mark& mark : picture.marks) {
        if (seen.insert(mark.label).second) continue;
        add(Level::warning, {mark.line, 1}, "mark",
            fmt::format("a second mark {} in one picture", mark.label), "give it its own number");
      }
    }
  }

  // `- mrak 1: 0.42 0.61 weep hole`
  void misspelt_marks() {
    const scan::Lines lines(document_.bytes());
    for (int line = 1; line <= lines.count(); ++line) {
      const auto split = scan::bullet_key_line(lines.text(line));
      if (!split || split->value.substr(0, 2).find_first_of("01") == std::string_view::npos)
        continue;
      const std::size_t blank = split->key.find(' ');
      if (blank == std::string_view::npos) continue;
      const std::string word = scan::lower(split->key.substr(0, blank));
      if (word != "marker" && nearest(word, {"mark"}).empty()) continue;
      add(Level::note, {line, 1}, "unknown-key", fmt::format("`{}` means nothing here", split->key),
          "did you mean `mark`?");
    }
  }

  // --- fields that nothing reads

  static bool is_field_of(std::string_view section, std::string_view key) {
    static const std::unordered_set<std::string_view> kChecks = {
        "check", "fact",   "minutes", "access", "tools",
        "valid", "expect", "outside", "inside", "correct"};
    static const std::unordered_set<std::string_view> kFasteners = {
        "count", "thread", "class", "grade", "torque", "sequence", "reuse"};
    static const std::unordered_set<std::string_view> kVerify = {"again", "check", "valid",
                                                                 "expect"};
    if (section == "checks") return kChecks.count(key) != 0;
    if (section == "fasteners") return kFasteners.count(key) != 0;
    if (section == "verify") return kVerify.count(key) != 0;
    return key == "family";
  }

  // Fields end at the first line that is none, so a field after that is text and nobody's number.
  // When the line that ends them is a list item itself, it is the one that lacks its colon.
  void lost_fields(std::string_view section, const Entry& entry) {
    if (entry.text_line == 0) return;
    const scan::Lines lines(entry.text);
    scan::Blocks blocks;
    const auto first = scan::bullet(lines.text(1));
    const bool broken = first && !scan::bullet_key_line(lines.text(1));
    for (int line = 1; line <= lines.count(); ++line) {
      const std::string_view text = lines.text(line);
      if (blocks.take(text) != scan::Shape::text) continue;
      const auto split = scan::bullet_key_line(text);
      if (line == 1 && broken && without_colon(section, first->value)) {
        add(Level::warning, {entry.text_line, 1}, "lost-field",
            "no colon after the key, so this is read as text", "write `- key: value`");
        return;
      }
      if (!split || !is_field_of(section, scan::lower(split->key))) continue;
      if (broken) {
        add(Level::warning, {entry.text_line, 1}, "lost-field",
            "this is no `- key: value`, so the fields after it are read as text",
            "mend it, or put it after the fields");
      } else {
        add(Level::warning, {entry.text_line + line - 1, 1}, "lost-field",
            fmt::format("`{}` stands after the text, so it is read as text", split->key),
            "put it right under the heading");
      }
      return;
    }
  }

  // `torque 10 N·m`; the words that are verbs too count only before a number.
  static bool without_colon(std::string_view section, std::string_view value) {
    const std::size_t blank = value.find(' ');
    if (blank == std::string_view::npos) return false;
    const std::string key = scan::lower(value.substr(0, blank));
    const std::string_view rest = scan::trimmed(value.substr(blank));
    if (!is_field_of(section, key) || rest.empty()) return false;
    if (key == "thread" || key == "outside" || key == "inside" || key == "again" ||
        key == "family" || key == "fact") {
      return rest.find(' ') == std::string_view::npos || direction(rest) != 0;
    }
    return scan::is_digit(rest[0]) || rest[0] == '<' || rest[0] == '>' || rest[0] == '=';
  }

  const Document& document_;
  const Tip& tip_;
  Today today_;
  Notes& notes_;
};

// One slip must not be told twice: a heading or key that is misspelt takes away what others look
// for.
Findings without_echoes(const Tip& tip) {
  const auto misspelt = [&](const char* rule, const std::string& meant) {
    return std::any_of(tip.findings.begin(), tip.findings.end(), [&](const Finding& f) {
      return f.rule == rule && f.remedy == fmt::format("did you mean `{}`?", meant);
    });
  };
  const bool no_checks = misspelt("unknown-section", "checks") || misspelt("unknown-key", "check");
  const bool no_title = misspelt("unknown-key", "title");
  Findings kept;
  for (const Finding& finding : tip.findings) {
    if (finding.rule == "again" && no_checks) continue;
    if (finding.rule == "title" && no_title) continue;
    kept.push_back(finding);
  }
  return kept;
}

}  // namespace

namespace checking {

Today today_of(const CheckOptions& options) {
  std::optional<Day> day = read_day(options.today);
  if (!day) day = read_day(files::now_text().substr(0, 10));
  if (!day) day = Day(std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now()));
  const Day tomorrow = std::chrono::sys_days(*day) + std::chrono::days(1);
  return {
      static_cast<int>(day->year()),
      fmt::format("{:04}-{:02}-{:02}", static_cast<int>(tomorrow.year()),
                  static_cast<unsigned>(tomorrow.month()), static_cast<unsigned>(tomorrow.day()))};
}

void check_model_years(const Document& document, const CheckOptions& options, Notes& notes) {
  const int this_year = today_of(options).year;
  for (const Entry* entry : entries_of(document, "makes")) {
    for (const Field& field : entry->fields) {
      if (field.key != "model" && field.key != "models") continue;
      for (const Item& item : items_of(&field)) {
        const Fit model = read_fit("| " + item.value);
        const std::string wrong = wrong_years(model.first_year, model.last_year, this_year);
        if (wrong.empty()) continue;
        notes.add(Level::error, item.line, item.column, "years", wrong,
                  "write the model years from first to last: 2014-2018");
      }
    }
  }
}

}  // namespace checking

Findings check_tip(const Document& document, const Tip& tip, const CheckOptions& options) {
  Findings findings = without_echoes(tip);
  Notes notes(tip.path, findings);
  TipChecks(document, tip, today_of(options), notes).all();
  check_lines(document, notes);
  check_sections(document, known_sections(), notes);
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return a.line != b.line ? a.line < b.line : a.column < b.column;
  });
  return findings;
}

}  // namespace baylore::shop
