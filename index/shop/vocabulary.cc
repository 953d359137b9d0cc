#include "shop/vocabulary.h"

#include <algorithm>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/fit.h"
#include "shop/notes.h"
#include "shop/scan.h"
#include "shop/shop.h"

namespace baylore::shop {
namespace {

// The parts of `text` between `mark`s, trimmed, empty ones left out.
std::vector<std::string> split(std::string_view text, char mark) {
  std::vector<std::string> out;
  std::size_t start = 0;
  while (start <= text.size()) {
    const std::size_t end = std::min(text.find(mark, start), text.size());
    const std::string_view part = scan::trimmed(text.substr(start, end - start));
    if (!part.empty()) out.emplace_back(part);
    start = end + 1;
  }
  return out;
}

// `- model: Name | years | engine; engine`
void read_model(const std::string& make, const Item& item, Notes& notes, Vocabulary& into) {
  Model model;
  model.make = make;
  const std::size_t first = std::min(item.value.find('|'), item.value.size());
  const std::size_t second =
      std::min(item.value.find('|', std::min(first + 1, item.value.size())), item.value.size());
  const std::string_view value = item.value;
  model.name = std::string(scan::trimmed(value.substr(0, first)));
  if (model.name.empty()) {
    notes.add(Level::error, item.line, item.column, "model", "a model without a name",
              "write `- model: Name | years | engine; engine`");
    return;
  }
  if (first < value.size()) {
    const std::string_view years = scan::trimmed(value.substr(first + 1, second - first - 1));
    if (!read_years(years, model.first_year, model.last_year)) {
      notes.add(Level::error, item.line, item.column + scan::column_at(value, first + 1) - 1,
                "years", fmt::format("`{}` are no model years", years),
                "write 2014-2018, 2014, 2014- or -2018");
    }
  }
  if (second < value.size()) model.engines = split(value.substr(second + 1), ';');
  into.models.push_back(std::move(model));
}

void read_makes(const Section& section, Notes& notes, Vocabulary& into) {
  for (const Entry& entry : section.entries) {
    for (const Field& field : entry.fields) {
      if (field.key == "model" || field.key == "models") {
        for (const Item& item : items_of(&field)) read_model(entry.name, item, notes, into);
      } else if (nearest(field.key, {"model"}) == "model") {
        notes.add(Level::note, field.line, 1, "unknown-key",
                  fmt::format("`{}` means nothing here", field.label), "did you mean `model`?");
      }
    }
  }
}

// `- heater = cabin heat = no heat`, one group a line, or `- vibrates = shakes -> out of balance`
// for one direction. Groups go to `groups`, which is of `into`.
void read_synonyms(const Section& section, std::vector<std::vector<std::string>>& groups,
                   Notes& notes, Vocabulary& into) {
  const scan::Lines lines(section.body);
  scan::Blocks blocks;
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view text = lines.text(line);
    if (blocks.take(text) != scan::Shape::text) continue;
    const auto item = scan::bullet(text);
    if (!item) continue;
    if (const std::size_t arrow = item->value.find("->"); arrow != std::string_view::npos) {
      OneWay way{split(item->value.substr(0, arrow), '='),
                 split(item->value.substr(arrow + 2), '=')};
      if (way.from.empty() || way.to.empty()) {
        notes.add(Level::warning, section.body_line + line - 1,
                  scan::column_at(text, item->value_at), "synonyms", "an arrow with one side empty",
                  "write `- what is typed -> what it may mean`");
        continue;
      }
      into.one_way.push_back(std::move(way));
      continue;
    }
    std::vector<std::string> group = split(item->value, '=');
    if (group.size() < 2) {
      notes.add(Level::warning, section.body_line + line - 1, scan::column_at(text, item->value_at),
                "synonyms", "a group of fewer than two words", "write `- heater = cabin heat`");
      continue;
    }
    groups.push_back(std::move(group));
  }
}

void read_components(const Section& section, Notes& notes, Vocabulary& into) {
  static const std::vector<std::string> kKeys = {"system", "also"};
  for (const Entry& entry : section.entries) {
    Component component;
    component.name = entry.name;
    component.system = entry.value("system");
    for (const Item& item : items_of(entry.field("also"))) {
      for (std::string& name : split(item.value, ';')) component.also.push_back(std::move(name));
    }
    for (const Field& field : entry.fields) {
      const std::string_view meant = nearest(field.key, kKeys);
      if (meant.empty()) continue;
      notes.add(Level::note, field.line, 1, "unknown-key",
                fmt::format("`{}` means nothing here", field.label),
                fmt::format("did you mean `{}`?", meant));
    }
    if (component.system.empty()) {
      notes.add(Level::warning, entry.line, 1, "component",
                fmt::format("`{}` has no system", entry.name),
                "add `- system:`, so that its cautions are shown");
    }
    into.components.push_back(std::move(component));
  }
}

}  // namespace

void read_vocabulary(const Document& document, const std::string& path, Vocabulary& into) {
  static const std::vector<std::string> kSections = {"makes", "synonyms", "abbreviations",
                                                     "components"};
  Notes notes(path, into.findings);
  notes.take(document);
  for (const Section& section : document.sections()) {
    if (section.key == "makes") read_makes(section, notes, into);
    if (section.key == "synonyms") read_synonyms(section, into.synonyms, notes, into);
    if (section.key == "abbreviations") read_synonyms(section, into.abbreviations, notes, into);
    if (section.key == "components") read_components(section, notes, into);
    const std::string_view meant = nearest(section.key, kSections);
    if (meant.empty()) continue;
    notes.add(Level::note, section.line, 1, "unknown-section",
              fmt::format("the section `{}` has no meaning of its own", section.heading),
              fmt::format("did you mean `{}`?", meant));
  }
}

Vocabulary read_vocabulary(files::Disk& disk, const std::string& shop_folder) {
  Vocabulary vocabulary;
  const auto listed = disk.list(files::join(shop_folder, "vocabulary"));
  if (!listed) {
    if (listed.failure().kind != files::Failure::Kind::missing) {
      Notes("vocabulary", vocabulary.findings)
          .add(Level::error, 1, 1, "file", listed.failure().what, listed.failure().remedy);
    }
    return vocabulary;
  }
  for (const files::Listed& one : *listed) {
    const std::string path = files::join("vocabulary", one.path);
    if (one.status.folder || kind_of(path) != Kind::vocabulary) continue;
    const auto text = read_text(disk, shop_folder, path);
    if (text) {
      read_vocabulary(Document::parse(*text), path, vocabulary);
    } else {
      Notes(path, vocabulary.findings)
          .add(Level::error, 1, 1, "file", text.failure().what, text.failure().remedy);
    }
  }
  return vocabulary;
}

}  // namespace baylore::shop
