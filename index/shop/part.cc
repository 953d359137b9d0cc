#include "shop/part.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/cautions.h"
#include "shop/fit.h"
#include "shop/notes.h"
#include "shop/prose.h"
#include "shop/scan.h"
#include "shop/tip_entries.h"
#include "trade/gtin.h"
#include "trade/quantity.h"
#include "words/words.h"

namespace baylore::shop {
namespace {

constexpr std::array<std::string_view, kGrades> kGradeWords = {"",
                                                               marked("original"),
                                                               marked("supplier of the original"),
                                                               marked("aftermarket"),
                                                               marked("remanufactured"),
                                                               marked("used")};

// Tables are headed with words (`superseded by`), entries with keys (`superseded-by`).
std::string dashed(std::string key) {
  std::replace(key.begin(), key.end(), ' ', '-');
  return key;
}

const Field* field_of(const std::vector<Field>& fields, std::string_view key) {
  const auto at = std::find_if(fields.begin(), fields.end(),
                               [&](const Field& field) { return dashed(field.key) == key; });
  return at == fields.end() ? nullptr : &*at;
}

// The one value of a key; nullptr when it is absent or empty.
const Field* given(const std::vector<Field>& fields, std::string_view key) {
  const Field* field = field_of(fields, key);
  return field == nullptr || field->value.empty() ? nullptr : field;
}

std::string value_of(const std::vector<Field>& fields, std::string_view key) {
  const Field* field = given(fields, key);
  return field == nullptr ? std::string() : field->value;
}

// A key's values: a list, or one line with `;` between.
std::vector<Item> values_of(const std::vector<Field>& fields, std::string_view key) {
  std::vector<Item> out;
  for (const Item& item : items_of(field_of(fields, key))) {
    std::size_t start = 0;
    while (start <= item.value.size()) {
      const std::size_t end = std::min(item.value.find(';', start), item.value.size());
      const auto one = scan::trimmed(std::string_view(item.value).substr(start, end - start));
      if (!one.empty()) {
        out.push_back(
            {std::string(one), item.line, item.column + scan::column_at(item.value, start) - 1});
      }
      start = end + 1;
    }
  }
  return out;
}

// `yes`, or `no`; anything else is told, and `otherwise` counts.
bool says_yes(const std::vector<Field>& fields, std::string_view key, bool otherwise,
              Notes& notes) {
  const Field* field = given(fields, key);
  if (field == nullptr) return false;
  const std::string word = scan::lower(field->value);
  if (word == "yes" || word == "true") return true;
  if (word == "no" || word == "false") return false;
  notes.add(Level::warning, field->line, field->column, "yes-or-no",
            fmt::format("`{}` is neither yes nor no", excerpt(field->value)),
            fmt::format("write yes or no; it counts as {}", otherwise ? "yes" : "no"));
  return otherwise;
}

void note_unknown(const std::vector<Field>& fields, const std::vector<std::string>& known,
                  Notes& notes) {
  for (const Field& field : fields) {
    const std::string_view meant = nearest(dashed(field.key), known);
    if (meant.empty()) continue;
    notes.add(Level::note, field.line, 1, "unknown-key",
              fmt::format("`{}` means nothing here", field.label),
              fmt::format("did you mean `{}`?", meant));
  }
}

// The keys of an entry; those of the front matter are looked at when it is read.
void note_keys(const std::vector<Field>& fields, const std::vector<std::string>& known,
               Notes& notes) {
  note_unknown(fields, known, notes);
  for (const Field& field : fields) {
    const std::string key = dashed(field.key);
    if (field_of(fields, key) == &field ||
        std::find(known.begin(), known.end(), key) == known.end())
      continue;
    notes.add(Level::warning, field.line, 1, "repeated-key",
              fmt::format("`{}` is given twice", field.label), "keep one; the first counts");
  }
}

const std::vector<std::string>& number_keys() {
  static const std::vector<std::string> kKeys = {
      "brand",    "number",   "gtin",       "grade",         "price", "core-charge",
      "keep-old", "warranty", "supersedes", "superseded-by", "fits"};
  return kKeys;
}

// A price: a number from 0 to a million; a word of currency may follow.
double read_price(const Field& field, Notes& notes) {
  const std::string_view first =
      std::string_view(field.value).substr(0, field.value.find_first_of(" \t"));
  const auto number = trade::taken(trade::parse_number(first));
  constexpr double kMost = 1e6;
  if (number && *number >= 0 && *number <= kMost) return *number;
  notes.add(Level::warning, field.line, field.column, "price",
            fmt::format("`{}` is no price", excerpt(field.value)), "write a number: 42.50");
  return 0;
}

// `24 months; 40000 km`, `2 years`.
Warranty read_warranty(const std::vector<Field>& fields, Notes& notes) {
  Warranty warranty;
  const trade::Unit& km = trade::unit(trade::UnitId::kKilometre);
  for (const Item& item : values_of(fields, "warranty")) {
    warranty.text += (warranty.text.empty() ? "" : "; ") + item.value;
    const std::size_t blank = std::min(item.value.find(' '), item.value.size());
    const auto number =
        trade::taken(trade::parse_number(std::string_view(item.value).substr(0, blank)));
    const std::string word = scan::lower(scan::trimmed(std::string_view(item.value).substr(blank)));
    const bool years = word == "year" || word == "years";
    if (number && *number >= 0 && *number <= 600 &&
        (years || word == "month" || word == "months")) {
      warranty.months = static_cast<int>(std::lround(*number * (years ? 12 : 1)));
      continue;
    }
    const auto distance = trade::taken(trade::parse_quantity(item.value));
    if (distance && distance->unit->dimension == trade::Dimension::kLength &&
        distance->value >= 0) {
      warranty.km = trade::convert(distance->value, *distance->unit, km);
      continue;
    }
    notes.add(Level::warning, item.line, item.column, "warranty",
              fmt::format("`{}` is no term", excerpt(item.value)), "write 24 months; 40000 km");
  }
  return warranty;
}

// Brand and number: as given, or taken apart from the entry's name, whose first word is the brand.
void name_number(const Entry& entry, PartNumber& into) {
  into.brand = value_of(entry.fields, "brand");
  into.number = value_of(entry.fields, "number");
  std::string_view rest = entry.name;
  const auto ends_in_number = [&] {
    return rest.size() > into.number.size() &&
           rest.substr(rest.size() - into.number.size()) == into.number;
  };
  if (into.brand.empty() && !into.number.empty() && ends_in_number()) {
    into.brand = scan::trimmed(rest.substr(0, rest.size() - into.number.size()));
    return;
  }
  if (into.brand.empty()) {
    const std::size_t blank = rest.find(' ');
    const bool word = rest.substr(0, blank).find_first_of("0123456789") == std::string_view::npos;
    if (blank != std::string_view::npos && word) into.brand = rest.substr(0, blank);
  }
  if (!into.number.empty()) return;
  if (!into.brand.empty() &&
      scan::lower(rest.substr(0, into.brand.size())) == scan::lower(into.brand)) {
    rest.remove_prefix(into.brand.size());
  }
  into.number = scan::trimmed(rest);
}

// Whether a number that another one names can be one.
bool is_number(const Item& item, Notes& notes) {
  const auto key = trade::part_key(item.value);
  const auto* refusal = trade::refusal_in(key);
  if (refusal != nullptr) {
    notes.add(Level::warning, item.line, item.column, "part-number",
              fmt::format("`{}` is no part number: {}", excerpt(item.value), refusal->what),
              refusal->remedy);
  }
  return refusal == nullptr;
}

void read_numbers(const Section& section, Notes& notes, PartFamily& family) {
  for (const Entry& entry : section.entries) {
    note_keys(entry.fields, number_keys(), notes);
    PartNumber number;
    number.name = entry.name;
    number.line = entry.line;
    name_number(entry, number);
    const auto key = trade::part_key(number.number);
    if (const auto* refusal = trade::refusal_in(key)) {
      const Field* field = given(entry.fields, "number");
      notes.add(Level::warning, field != nullptr ? field->line : entry.line,
                field != nullptr ? field->column : 1, "part-number",
                fmt::format("`{}` is no part number: {}", excerpt(number.number), refusal->what),
                refusal->remedy);
    } else {
      number.key = *trade::taken(key);
    }
    if (const Field* field = given(entry.fields, "gtin")) {
      const auto gtin = trade::read_gtin(field->value);
      if (const auto* refusal = trade::refusal_in(gtin)) {
        notes.refused(Level::error, item_of(*field), "gtin", *refusal);
      } else {
        number.gtin = trade::taken(gtin)->digits;
      }
    }
    if (const Field* field = given(entry.fields, "grade")) {
      const auto grade = read_grade(field->value);
      if (!grade) {
        notes.add(Level::warning, field->line, field->column, "grade",
                  fmt::format("`{}` is no grade", excerpt(field->value)),
                  "write original, supplier of the original, aftermarket, remanufactured or used");
      }
      number.grade = grade.value_or(Grade::unknown);
    }
    if (const Field* field = given(entry.fields, "price")) number.price = read_price(*field, notes);
    if (const Field* field = given(entry.fields, "core-charge"))
      number.core_charge = read_price(*field, notes);
    number.keep_old = says_yes(entry.fields, "keep-old", true, notes) || number.core_charge > 0;
    number.warranty = read_warranty(entry.fields, notes);
    for (const Item& item : values_of(entry.fields, "supersedes")) {
      if (is_number(item, notes)) number.supersedes.push_back(item.value);
    }
    if (const Field* field = given(entry.fields, "superseded-by");
        field != nullptr && is_number(item_of(*field), notes)) {
      number.superseded_by = field->value;
    }
    for (const Item& item : items_of(field_of(entry.fields, "fits")))
      number.fits.push_back(read_fit(item, notes));
    number.text = entry.text;
    family.numbers.push_back(std::move(number));
  }
}

void read_look_over(const Section& section, PartFamily& family) {
  for (const Entry& entry : section.entries) {
    family.look_over.push_back(
        {entry.name, value_of(entry.fields, "expect"), entry.text, entry.line});
  }
}

void read_goes_with(const Section& section, Notes& notes, PartFamily& family) {
  static const std::vector<std::string> kKeys = {"kind", "amount", "number"};
  for (const Entry& entry : section.entries) {
    note_keys(entry.fields, kKeys, notes);
    const std::string amount = value_of(entry.fields, "amount");
    family.goes_with.push_back({entry.name, scan::lower(value_of(entry.fields, "kind")),
                                amount.empty() ? "1" : amount, value_of(entry.fields, "number"),
                                entry.text, entry.line});
  }
}

void read_front(const Document& document, Notes& notes, PartFamily& family) {
  note_unknown(document.front(), part_keys(), notes);
  const Field* id = document.field("id");
  if (id == nullptr) id = document.field("family");
  family.id = family.slug;
  if (id != nullptr && files::is_id(id->value)) {
    family.id = id->value;
    family.id_written = true;
  } else if (id != nullptr && !id->value.empty()) {
    notes.add(Level::error, id->line, id->column, "id",
              fmt::format("`{}` cannot be an id", excerpt(id->value)),
              "use up to 64 letters, digits, dots, dashes and underscores, or take the line out");
  }
  family.title = document.value("title");
  if (family.title.empty()) family.title = document.heading();
  if (family.title.empty()) {
    family.title = family.slug;
    std::replace(family.title.begin(), family.title.end(), '-', ' ');
  }
  family.component = document.value("component");
  family.system = document.value("system");
  for (const Item& item : items_of(document.field("fits")))
    family.fits.push_back(read_fit(item, notes));
  family.superseded_by = value_of(document.front(), "superseded-by");
  if (family.superseded_by.empty())
    family.superseded_by = value_of(document.front(), "replaced-by");
  // The author can add to what the system says, and not take away from it.
  family.safety_critical = says_yes(document.front(), "safety-critical", true, notes);
  family.safety_critical |= safety_critical(family.system);
}

}  // namespace

std::string_view grade_word(Grade grade) { return kGradeWords.at(static_cast<std::size_t>(grade)); }

std::optional<Grade> read_grade(std::string_view word) {
  const std::string low = scan::lower(word);
  for (std::size_t i = 1; i < kGradeWords.size(); ++i) {
    if (kGradeWords[i] == low) return static_cast<Grade>(i);
  }
  return std::nullopt;
}

const std::vector<std::string>& part_sections() {
  static const std::vector<std::string> kSections = {"numbers", "acceptance checks", "look over",
                                                     "goes with", "note"};
  return kSections;
}

const std::vector<std::string>& part_keys() {
  static const std::vector<std::string> kKeys = {
      "id", "title", "component", "system", "fits", "superseded-by", "safety-critical", "lang"};
  return kKeys;
}

PartFamily read_part(const Document& document, std::string path) {
  PartFamily family;
  family.path = std::move(path);
  family.slug = files::name_of(family.path);
  if (family.slug.size() > 3) family.slug.resize(family.slug.size() - 3);
  Notes notes(family.path, family.findings);
  notes.take(document);
  read_front(document, notes, family);
  for (const Section& section : document.sections()) {
    family.sections.push_back(
        {section.key, section.heading, section.text, section.body, section.line});
    if (section.body_line > 0)
      read_pictures(section.body, section.body_line, notes, family.pictures);
    if (section.key == "numbers") read_numbers(section, notes, family);
    if (section.key == "look over") read_look_over(section, family);
    if (section.key == "goes with") read_goes_with(section, notes, family);
    if (section.key == "acceptance checks") {
      Tip checks;
      read_checks(section, notes, checks);
      std::move(checks.checks.begin(), checks.checks.end(), std::back_inserter(family.acceptance));
    }
    const std::string_view meant = nearest(section.key, part_sections());
    if (meant.empty()) continue;
    notes.add(Level::note, section.line, 1, "unknown-section",
              fmt::format("the section `{}` has no meaning of its own", section.heading),
              fmt::format("did you mean `{}`?", meant));
  }
  std::stable_sort(family.findings.begin(), family.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.line < b.line; });
  family.broken = std::any_of(family.findings.begin(), family.findings.end(),
                              [](const Finding& f) { return f.level == Level::error; });
  return family;
}

std::vector<OrderLine> order_list(const PartFamily& family, const PartNumber& number) {
  std::vector<OrderLine> lines;
  OrderLine part{number.name, "1", number.price, {}};
  if (number.brand.empty() || number.name.find(number.brand) == std::string::npos)
    part.what = (number.brand.empty() ? "" : number.brand + " ") + number.number;
  if (number.core_charge > 0) part.note = fmt::format("core charge {:.2f}", number.core_charge);
  if (number.keep_old)
    part.note += (part.note.empty() ? "" : ", ") + std::string("keep the old part");
  if (!number.warranty.text.empty())
    part.note += (part.note.empty() ? "" : ", ") + ("warranty " + number.warranty.text);
  lines.push_back(std::move(part));
  for (const GoesWith& with : family.goes_with) {
    OrderLine line;
    line.what = with.name + (with.number.empty() ? "" : ", " + with.number);
    line.amount = with.amount;
    if (with.kind == "fastener" || with.kind == "seal") line.note = "used once";
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace baylore::shop
