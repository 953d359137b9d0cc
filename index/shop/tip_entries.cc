#include "shop/tip_entries.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <unordered_set>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/prose.h"
#include "shop/scan.h"
#include "shop/shop.h"
#include "trade/quantity.h"

namespace baylore::shop {
namespace {

const std::vector<std::string>& strength_words() {
  static const std::vector<std::string> kWords = {
      "proves",        "suggests",         "hints",    "says nothing",
      "hints against", "suggests against", "rules out"};
  return kWords;
}

// An entry with the keys its section knows. A key of the author's own stays in sight: its line goes
// to the text.
class EntryReader {
 public:
  EntryReader(const Entry& entry, const std::vector<std::string>& keys, Notes& notes)
      : entry_(entry), notes_(notes) {
    for (const Field& field : entry.fields) {
      const bool known = std::find(keys.begin(), keys.end(), field.key) != keys.end();
      if (!known) keep(field, keys);
      if (known && entry.field(field.key) != &field) {
        notes.add(Level::warning, field.line, field.column, "repeated-key",
                  fmt::format("`{}` is given twice in `{}`", field.label, entry.name),
                  "keep one; the first counts");
      }
    }
    if (!own_.empty() && !entry.text.empty()) own_ += '\n';
  }

  std::string value(std::string_view key) const {
    std::string out;
    for (const Item& item : items_of(entry_.field(key)))
      out += (out.empty() ? "" : "; ") + item.value;
    return out;
  }
  // The one value of a key; nullptr when it is absent or empty.
  const Field* given(std::string_view key) const {
    const Field* field = entry_.field(key);
    return field == nullptr || field->value.empty() ? nullptr : field;
  }
  std::string text() const { return own_ + entry_.text; }

 private:
  void keep(const Field& field, const std::vector<std::string>& keys) {
    if (!own_.empty()) own_ += '\n';
    own_ += fmt::format("- {}: {}", field.label, field.value);
    for (const Item& item : field.items) own_ += "\n  - " + item.value;
    const std::string_view meant = nearest(field.key, keys);
    if (meant.empty()) return;
    notes_.add(Level::note, field.line, 1, "unknown-key",
               fmt::format("`{}` means nothing here", field.label),
               fmt::format("did you mean `{}`?", meant));
  }

  const Entry& entry_;
  Notes& notes_;
  std::string own_;
};

void read_expect(const EntryReader& entry, Notes& notes, std::optional<trade::Expectation>& into,
                 std::string& text) {
  const Field* field = entry.given("expect");
  if (field == nullptr) return;
  text = field->value;
  const auto read = trade::parse_expectation(field->value);
  if (const auto* refusal = trade::refusal_in(read)) {
    notes.refused(Level::error, item_of(*field), "expect", *refusal);
    return;
  }
  into = trade::taken(read);
}

std::string read_strength(const EntryReader& entry, std::string_view key, Notes& notes) {
  const Field* field = entry.given(key);
  if (field == nullptr) return {};
  const std::string word = scan::lower(field->value);
  const auto& words = strength_words();
  if (std::find(words.begin(), words.end(), word) == words.end()) {
    const std::string_view meant = nearest(word, words);
    notes.add(Level::warning, field->line, field->column, "strength",
              fmt::format("`{}` is no strength word, so this answer says nothing", field->value),
              meant.empty() ? "write proves, suggests, hints, says nothing, hints against, "
                              "suggests against or rules out"
                            : fmt::format("did you mean `{}`?", meant));
  }
  return field->value;
}

// `undertray 6; engine cover 2`: what must come off first and how long that takes.
std::vector<Access> read_access(const EntryReader& entry) {
  std::vector<Access> out;
  const std::string all = entry.value("access");
  std::size_t start = 0;
  while (start <= all.size()) {
    const std::size_t end = std::min(all.find_first_of(";,", start), all.size());
    const std::string_view one = scan::trimmed(std::string_view(all).substr(start, end - start));
    start = end + 1;
    if (one.empty()) continue;
    Access access;
    access.name = std::string(one);
    const std::size_t blank = one.find_last_of(" \t");
    const auto minutes = blank == std::string_view::npos
                             ? std::optional<double>()
                             : trade::taken(trade::parse_number(one.substr(blank + 1)));
    if (minutes && *minutes >= 0) {
      access.minutes = *minutes;
      access.name = std::string(scan::right_trimmed(one.substr(0, blank)));
    }
    out.push_back(std::move(access));
  }
  return out;
}

// An id from a name. A name without a Latin letter or digit leaves no slug, and two such checks
// must not share their readings.
std::string id_from(const std::string& name) {
  const std::string slug = slug_of(name);
  return slug.empty() ? "c-" + files::hash_hex(name).substr(0, 24) : slug;
}

// The id of a check: as written, or made from its name.
std::string check_id(const EntryReader& entry, const std::string& name, Notes& notes) {
  const Field* field = entry.given("check");
  if (field == nullptr) return id_from(name);
  if (files::is_id(field->value)) return field->value;
  std::string made = id_from(field->value);
  notes.add(Level::warning, field->line, field->column, "id",
            fmt::format("`{}` cannot be an id", field->value),
            fmt::format("use letters, digits, dots and dashes: {}", made));
  return made;
}

// A tightening order names each fastener once; `1 4 2 5 3` for five.
void check_sequence(const Field& field, int count, Notes& notes) {
  std::vector<int> order;
  std::string digits;
  const auto close = [&] {
    if (!digits.empty()) order.push_back(digits.size() > 4 ? -1 : std::stoi(digits));
    digits.clear();
  };
  for (const char c : field.value) {
    if (c >= '0' && c <= '9') {
      digits += c;
    } else if (c == ' ' || c == ',' || c == '-' || c == '\t') {
      close();
    } else {
      return;  // words: "from the middle outwards"
    }
  }
  close();
  std::vector<int> sorted = order;
  std::sort(sorted.begin(), sorted.end());
  const bool repeated = std::adjacent_find(sorted.begin(), sorted.end()) != sorted.end();
  const bool outside =
      !sorted.empty() && count > 0 && (sorted.front() < 1 || sorted.back() > count);
  const bool short_of = count > 0 && static_cast<int>(order.size()) != count;
  if (order.empty() || !(repeated || outside || short_of)) return;
  notes.add(Level::warning, field.line, field.column, "sequence",
            count > 0 ? fmt::format("the order does not name each of {} fasteners once", count)
                      : std::string("the order names a fastener twice"),
            "write each number once, in the order of tightening");
}

int read_count(const Field& field, Notes& notes) {
  const auto number = trade::taken(trade::parse_number(field.value));
  constexpr double kMost = 999;
  if (number && *number >= 1 && *number <= kMost && std::floor(*number) == *number)
    return static_cast<int>(*number);
  notes.add(Level::warning, field.line, field.column, "count",
            fmt::format("`{}` is no count", field.value), "write how many there are: 5");
  return 0;
}

}  // namespace

double read_minutes(const Item& item, Notes& notes) {
  const auto read = trade::parse_reading(item.value, trade::unit(trade::UnitId::kMinute));
  if (const auto* refusal = trade::refusal_in(read)) {
    notes.refused(Level::warning, item, "minutes", *refusal);
    return 0;
  }
  const trade::Quantity quantity = *trade::taken(read);
  const double minutes =
      trade::convert(quantity.value, *quantity.unit, trade::unit(trade::UnitId::kMinute));
  constexpr double kMost = 60.0 * 24 * 14;
  if (minutes >= 0 && minutes <= kMost) return minutes;
  notes.add(Level::warning, item.line, item.column, "minutes",
            fmt::format("`{}` is no working time", item.value), "write minutes: 95");
  return 0;
}

void read_checks(const Section& section, Notes& notes, Tip& tip) {
  static const std::vector<std::string> kKeys = {"check", "fact",   "minutes", "access", "tools",
                                                 "valid", "expect", "outside", "inside", "correct"};
  std::unordered_set<std::string> ids;
  for (const Check& check : tip.checks) ids.insert(check.id);
  for (const Entry& entry : section.entries) {
    const EntryReader reader(entry, kKeys, notes);
    Check check;
    check.name = entry.name;
    check.line = entry.line;
    check.id = check_id(reader, entry.name, notes);
    check.fact = reader.value("fact");
    if (const Field* field = reader.given("minutes"))
      check.minutes = read_minutes(item_of(*field), notes);
    check.access = read_access(reader);
    check.tools = reader.value("tools");
    check.valid = reader.value("valid");
    read_expect(reader, notes, check.expect, check.expect_text);
    check.outside = read_strength(reader, "outside", notes);
    check.inside = read_strength(reader, "inside", notes);
    check.correct = reader.value("correct");
    check.text = reader.text();
    check.why = why_of(check.text);
    if (!check.id.empty() && !ids.insert(check.id).second) {
      const Field* id = reader.given("check");
      notes.add(Level::warning, id != nullptr ? id->line : entry.line,
                id != nullptr ? id->column : 1, "repeated-id",
                fmt::format("a second check `{}` in this tip", check.id),
                "give it an id of its own with `- check:`");
    }
    tip.checks.push_back(std::move(check));
  }
}

void read_fasteners(const Section& section, Notes& notes, Tip& tip) {
  static const std::vector<std::string> kKeys = {"count",  "thread",   "class", "grade",
                                                 "torque", "sequence", "reuse"};
  for (const Entry& entry : section.entries) {
    const EntryReader reader(entry, kKeys, notes);
    Fastener fastener;
    fastener.name = entry.name;
    fastener.line = entry.line;
    if (const Field* field = reader.given("count")) fastener.count = read_count(*field, notes);
    fastener.thread = reader.value("thread");
    fastener.property_class = reader.value("class");
    if (fastener.property_class.empty()) fastener.property_class = reader.value("grade");
    fastener.torque_text = reader.value("torque");
    if (const Field* field = reader.given("torque")) {
      const auto read = trade::parse_torque(field->value);
      if (const auto* refusal = trade::refusal_in(read)) {
        notes.refused(Level::error, item_of(*field), "torque", *refusal);
      } else {
        fastener.torque = trade::taken(read);
      }
    }
    fastener.sequence = reader.value("sequence");
    if (const Field* field = reader.given("sequence"))
      check_sequence(*field, fastener.count, notes);
    fastener.reuse = reader.value("reuse");
    fastener.text = reader.text();
    tip.fasteners.push_back(std::move(fastener));
  }
}

void read_parts(const Section& section, Notes& notes, Tip& tip) {
  static const std::vector<std::string> kKeys = {"family"};
  for (const Entry& entry : section.entries) {
    const EntryReader reader(entry, kKeys, notes);
    tip.parts.push_back({entry.name, reader.value("family"), reader.text(), entry.line});
  }
}

void read_verify(const Section& section, Notes& notes, Tip& tip) {
  static const std::vector<std::string> kKeys = {"again", "check", "valid", "expect"};
  for (const Entry& entry : section.entries) {
    const EntryReader reader(entry, kKeys, notes);
    Verification verification;
    verification.name = entry.name;
    verification.line = entry.line;
    verification.again = reader.value("again");
    verification.check = reader.value("check");
    verification.valid = reader.value("valid");
    read_expect(reader, notes, verification.expect, verification.expect_text);
    verification.text = reader.text();
    tip.verify.push_back(std::move(verification));
  }
}

}  // namespace baylore::shop
