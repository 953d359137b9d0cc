#include "shop/check/facts.h"

#include <algorithm>
#include <array>
#include <limits>

#include "files/names.h"
#include "shop/fit.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_spec.h"

namespace baylore::shop::checking {
namespace {

// Words that name no fastener in particular.
bool vague_word(const std::string& word) {
  static constexpr std::array<std::string_view, 34> kWords = {
      "bolt",   "nut",    "screw",    "stud",    "union", "fastener",  "clamp",
      "cap",    "mount",  "mounting", "bracket", "cover", "retaining", "securing",
      "fixing", "flange", "housing",  "upper",   "lower", "front",     "rear",
      "left",   "right",  "inner",    "outer",   "top",   "bottom",    "long",
      "short",  "of",     "the",      "all",     "main",  "support"};
  return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

std::string singular(std::string word) {
  if (word.size() > 3 && word.back() == 's' && word[word.size() - 2] != 's') word.pop_back();
  return word;
}

std::string thread_text(const std::string& thread) {
  const auto read = trade::taken(trade::parse_thread(thread));
  return read ? read->text : folded_words(thread);
}

// The last torque and all that is turned after it.
bool read_torque(const trade::TorqueSpec& spec, FastenerFact& into) {
  const trade::Unit& newton_metre = trade::unit(trade::UnitId::kNewtonMetre);
  std::size_t first = spec.stages.size();
  while (first > 0 && !(spec.stages[first - 1].unit != nullptr && spec.stages[first - 1].low &&
                        spec.stages[first - 1].high)) {
    --first;
  }
  if (first == 0) return false;
  const trade::TorqueStage& last = spec.stages[first - 1];
  into.unit = last.unit;
  into.low_nm = trade::convert(*last.low, *last.unit, newton_metre);
  into.high_nm = trade::convert(*last.high, *last.unit, newton_metre);
  for (std::size_t i = first - 1; i < spec.stages.size(); ++i) {
    for (const double degrees : spec.stages[i].degrees) {
      into.degrees += spec.stages[i].kind == trade::TorqueStage::Kind::kLoosen ? -degrees : degrees;
    }
  }
  return true;
}

void take_fasteners(const Document& document, const Tip& tip, TipFacts& facts) {
  const std::vector<const Entry*> entries = entries_of(document, "fasteners");
  for (std::size_t i = 0; i < tip.fasteners.size() && i < entries.size(); ++i) {
    const Fastener& fastener = tip.fasteners[i];
    FastenerFact fact;
    if (!fastener.torque || !read_torque(*fastener.torque, fact)) continue;
    fact.vague = true;
    for (const std::string& word : words_of(fastener.name)) {
      const std::string one = singular(word);
      if (!fact.key.empty()) fact.key += ' ';
      fact.key += one;
      fact.vague = fact.vague && vague_word(one);
    }
    if (fact.key.empty()) continue;
    fact.key += '|' + thread_text(fastener.thread);
    fact.said = fastener.torque_text;
    fact.at = spot_of(entries[i]->field("torque"), entries[i]->line);
    facts.fasteners.push_back(std::move(fact));
  }
}

void take_readings(const Document& document, const Tip& tip, TipFacts& facts) {
  const auto add = [&](const std::optional<trade::Expectation>& expect, const std::string& said,
                       const Entry& entry, const std::string& id, bool own) {
    if (!expect || id.empty()) return;
    ReadingFact fact = reading_of(expect, said, entry.field("expect"), entry.line);
    fact.check = id;
    fact.own_id = own;
    facts.readings.push_back(std::move(fact));
  };
  const std::vector<const Entry*> checks = entries_of(document, "checks");
  for (std::size_t i = 0; i < tip.checks.size() && i < checks.size(); ++i) {
    const Check& check = tip.checks[i];
    add(check.expect, check.expect_text, *checks[i], check.id,
        checks[i]->field("check") != nullptr);
  }
  const std::vector<const Entry*> verify = entries_of(document, "verify");
  for (std::size_t i = 0; i < tip.verify.size() && i < verify.size(); ++i) {
    const Verification& v = tip.verify[i];
    if (v.again.empty()) add(v.expect, v.expect_text, *verify[i], v.check, true);
  }
}

void take_fits(const Document& document, const Tip& tip, TipFacts& facts) {
  const std::vector<Item> items = items_of(document.field("fits"));
  for (std::size_t i = 0; i < tip.fits.size() && i < items.size(); ++i) {
    // Years that could not be read fit nothing here, or one slip would set off others.
    Findings wrong;
    Notes notes(tip.path, wrong);
    read_fit(items[i], notes);
    if (!wrong.empty()) continue;
    facts.vehicles.push_back(vehicle_of(tip.fits[i]));
    facts.fits.push_back(tip.fits[i]);
    facts.fits_at.push_back({items[i].line, items[i].column});
  }
  if (items.empty()) facts.vehicles.push_back({});
}

void take_parts(const Document& document, const Tip& tip, TipFacts& facts) {
  const std::vector<const Entry*> entries = entries_of(document, "parts");
  for (std::size_t i = 0; i < tip.parts.size() && i < entries.size(); ++i) {
    facts.parts.push_back({tip.parts[i].name,
                           tip.parts[i].family,
                           {entries[i]->line, 1},
                           spot_of(entries[i]->field("family"), entries[i]->line)});
  }
}

Reference reference_to(const Document& document, const char* key) {
  const Field* field = document.field(key);
  if (field == nullptr) return {};
  return {field->value, spot_of(field)};
}

// A key however it is written: `Superseded by` is `superseded-by`.
std::string dashed(std::string key) {
  std::replace(key.begin(), key.end(), ' ', '-');
  std::replace(key.begin(), key.end(), '_', '-');
  return key;
}

const Field* dashed_field(const std::vector<Field>& fields, std::string_view key) {
  const auto at = std::find_if(fields.begin(), fields.end(),
                               [&](const Field& f) { return dashed(f.key) == key; });
  return at == fields.end() ? nullptr : &*at;
}

std::string dashed_value(const std::vector<Field>& fields, std::string_view key) {
  const Field* field = dashed_field(fields, key);
  std::string out;
  for (const Item& item : items_of(field)) out += (out.empty() ? "" : "; ") + item.value;
  return out;
}

}  // namespace

Spot spot_of(const Field* field, int otherwise) {
  if (field == nullptr) return {otherwise, 1};
  return {std::max(field->line, 1), std::max(field->column, 1)};
}

std::vector<const Entry*> entries_of(const Document& document, const std::string& section) {
  std::vector<const Entry*> entries;
  for (const Section& one : document.sections()) {
    if (one.key != section) continue;
    for (const Entry& entry : one.entries) entries.push_back(&entry);
  }
  return entries;
}

ReadingFact reading_of(const std::optional<trade::Expectation>& expect, const std::string& said,
                       const Field* field, int entry_line) {
  ReadingFact fact;
  fact.said = said;
  fact.at = spot_of(field, entry_line);
  if (!expect || expect->unit == nullptr) return fact;
  const trade::Unit& unit = *expect->unit;
  const auto base = [&](double value) {
    return static_cast<double>((static_cast<long double>(value) + unit.offset) * unit.scale);
  };
  constexpr double kOpen = std::numeric_limits<double>::infinity();
  fact.unit = &unit;
  fact.low = expect->low ? base(*expect->low) : -kOpen;
  fact.high = expect->high ? base(*expect->high) : kOpen;
  return fact;
}

std::string squeezed(const std::string& text) {
  std::string out;
  for (const std::string& word : words_of(text)) out += word;
  return out;
}

TipFacts facts_of(const Document& document, const Tip& tip) {
  TipFacts facts;
  facts.path = tip.path;
  facts.slug = tip.slug;
  if (!tip.provisional_id) facts.id = tip.id;
  facts.id_at = spot_of(document.field("id"));
  facts.title_at = spot_of(document.field("title"));
  facts.lang = tip.lang;
  facts.withdrawn = tip.status == "withdrawn";
  facts.system = tip.system;
  facts.system_at = spot_of(document.field("system"));
  facts.component = tip.component;
  facts.component_at = spot_of(document.field("component"));
  facts.replaced_by = reference_to(document, "replaced-by");
  facts.translation_of = reference_to(document, "translation-of");
  const std::vector<Item> others = items_of(document.field("mistaken-for"));
  for (std::size_t i = 0; i < tip.mistaken_for.size() && i < others.size(); ++i) {
    facts.mistaken_for.push_back({tip.mistaken_for[i].tip, {others[i].line, others[i].column}});
  }
  facts.links = links_of(document);
  take_fits(document, tip, facts);
  take_fasteners(document, tip, facts);
  take_readings(document, tip, facts);
  for (const Picture& picture : tip.pictures) {
    facts.pictures.push_back({picture.file, {picture.line, 1}});
  }
  take_parts(document, tip, facts);
  std::string words = tip.title;
  for (const Prose& section : tip.sections) {
    words += '\n';
    words += section.body;
  }
  facts.sketch = sketch_of(words);
  return facts;
}

PartFacts part_facts_of(const Document& document, const std::string& path) {
  PartFacts facts;
  facts.path = path;
  facts.slug = files::name_of(path);
  if (facts.slug.size() > 3) facts.slug.resize(facts.slug.size() - 3);
  const Field* id = document.field("id");
  if (id == nullptr) id = document.field("family");
  if (id != nullptr) facts.id = id->value;
  facts.id_at = spot_of(id);
  facts.superseded_by = dashed_value(document.front(), "superseded-by");
  if (facts.superseded_by.empty())
    facts.superseded_by = dashed_value(document.front(), "replaced-by");
  facts.superseded_at = spot_of(dashed_field(document.front(), "superseded-by"));
  struct Old {
    std::string squeezed;
    std::string by;
  };
  std::vector<Old> old;  // `supersedes:` says it from the other side
  for (const Section& section : document.sections()) {
    for (const Entry& entry : section.entries) {
      NumberFact fact;
      fact.shown = entry.name;
      const std::string brand = dashed_value(entry.fields, "brand");
      const std::string number = dashed_value(entry.fields, "number");
      for (const std::string& name :
           {entry.name, brand + entry.name, number.empty() ? "" : brand + number,
            number.empty() ? "" : entry.name + number}) {
        if (!name.empty()) fact.names.push_back(squeezed(name));
      }
      fact.superseded_by = dashed_value(entry.fields, "superseded-by");
      if (fact.superseded_by.empty())
        fact.superseded_by = dashed_value(entry.fields, "replaced-by");
      const std::string before = dashed_value(entry.fields, "supersedes");
      std::size_t start = 0;
      while (start < before.size()) {
        const std::size_t end = std::min(before.find_first_of(";,", start), before.size());
        const std::string one(scan::trimmed(std::string_view(before).substr(start, end - start)));
        if (!one.empty()) {
          old.push_back({squeezed(one), entry.name});
          old.push_back({squeezed(brand + one), entry.name});
        }
        start = end + 1;
      }
      if (!fact.superseded_by.empty()) facts.numbers.push_back(std::move(fact));
    }
  }
  for (const Old& one : old) {
    NumberFact fact;
    fact.names = {one.squeezed};
    fact.superseded_by = one.by;
    facts.numbers.push_back(std::move(fact));
  }
  return facts;
}

}  // namespace baylore::shop::checking
