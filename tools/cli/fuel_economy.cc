#include "fuel_economy.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <optional>
#include <set>

#include "shop/document.h"
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/records.h"
#include "trade/quantity.h"

namespace baylore::cli {
namespace {

constexpr std::string_view kMaker = "baylore vehicles";
constexpr int kFirstYear = 1900;
constexpr int kLastYear = 2100;
constexpr double kMostLitres = 30;

std::string_view trimmed(std::string_view text) {
  const std::size_t from = text.find_first_not_of(" \t");
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

// --- lines -------------------------------------------------------------------------------------

// The columns we use, by their place in a line; none is npos for those that are not there.
struct Columns {
  static constexpr std::size_t kNone = std::string::npos;
  std::size_t count = 0;
  std::size_t make = kNone, model = kNone, year = kNone, litres = kNone, fuel = kNone;
};

Columns columns_of(const std::vector<std::string>& names) {
  Columns columns;
  columns.count = names.size();
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string name = shop::fold(trimmed(names[i]));
    if (name == "make") columns.make = i;
    if (name == "model") columns.model = i;
    if (name == "year") columns.year = i;
    if (name == "displ" || name == "displacement") columns.litres = i;
    if (name == "fuel" || name == "fueltype") columns.fuel = i;
  }
  return columns;
}

// Where the field begins, in characters from 1; quotes keep their commas.
int column_of(std::string_view line, std::size_t field) {
  int column = 1;
  bool quoted = false;
  for (const char c : line) {
    if (field == 0) break;
    if (c == '"') quoted = !quoted;
    if (c == ',' && !quoted) --field;
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++column;
  }
  return column;
}

// A name that can stand in a vocabulary's line: it must not be taken for anything else there.
bool usable(std::string_view name) {
  if (name.empty() || name.size() > 80 || shop::words_of(name).empty()) return false;
  if (name.front() == '#' || name.front() == '-') return false;
  return std::none_of(name.begin(), name.end(), [](char c) {
    return c == '|' || c == ';' || static_cast<unsigned char>(c) < ' ' || c == '\x7F';
  });
}

// --- names -------------------------------------------------------------------------------------

// How the wheels are driven is no part of the model's name: `Osier AWD`, `Brougham (RWD)`.
std::string without_drive(std::string_view name) {
  static constexpr std::array<std::string_view, 7> kDrives = {"2wd", "4wd", "awd", "fwd",
                                                              "rwd", "4x4", "4x2"};
  std::string kept;
  std::size_t at = 0;
  while (at < name.size()) {
    const std::size_t end = std::min(name.find(' ', at), name.size());
    const std::string_view word = name.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    std::string plain;
    for (const char c : word) {
      if (c != '(' && c != ')') plain += c;
    }
    plain = shop::fold(plain);
    if (std::find(kDrives.begin(), kDrives.end(), plain) != kDrives.end()) continue;
    kept += (kept.empty() ? "" : " ") + std::string(word);
  }
  return kept.empty() ? std::string(name) : kept;
}

// `Osier/Grand Osier` is two models. Where a part is short or has a figure, `240 DL/GL` or
// `Cab/Chassis`, it is one model's variants, which only the maker could take apart: it stays one.
std::vector<std::string> names_in(const std::string& name) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  while (from <= name.size()) {
    const std::size_t end = std::min(name.find('/', from), name.size());
    parts.emplace_back(trimmed(std::string_view(name).substr(from, end - from)));
    from = end + 1;
  }
  const bool whole_names = std::all_of(parts.begin(), parts.end(), [](const std::string& part) {
    const bool letters = std::all_of(part.begin(), part.end(), [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == ' ' || c == '-';
    });
    return letters && part.size() >= 4;
  });
  return whole_names ? parts : std::vector<std::string>{name};
}

// --- engines -----------------------------------------------------------------------------------

// "3.6", "2.2 diesel", "electric"; empty when the line does not say. Nothing when what it says is
// no displacement.
std::optional<std::string> engine_of(std::string_view litres, std::string_view fuel) {
  const std::string burnt = shop::fold(fuel);
  const auto burns = [&](std::string_view word) { return burnt.find(word) != std::string::npos; };
  std::string engine;
  if (!litres.empty() && litres != "NA") {
    const auto value = trade::taken(trade::parse_number(litres));
    if (!value || *value < 0 || *value > kMostLitres) return std::nullopt;
    if (*value > 0) engine = fmt::format("{:.1f}", *value);
  }
  std::string_view kind;
  if (burnt == "diesel") {
    kind = "diesel";
  } else if (burnt == "electricity") {
    return "electric";
  } else if (burns("electricity")) {
    kind = "hybrid";
  } else if (burnt == "cng") {
    kind = "CNG";
  }
  if (kind.empty()) return engine;
  return engine + (engine.empty() ? "" : " ") + std::string(kind);
}

// --- grouping ----------------------------------------------------------------------------------

struct Found {
  std::string make;
  std::string name;
  std::map<int, std::set<std::string>> engines_by_year;
};

// Makes and models however written: `Osier GT` and `OSIER  Gt` are one, the first spelling stays.
std::string key_of(std::string_view text) {
  std::string key;
  for (const std::string& word : shop::words_of(text)) key += (key.empty() ? "" : " ") + word;
  return key;
}

using Grouped = std::map<std::pair<std::string, std::string>, Found>;

std::vector<shop::Model> runs_of(const Grouped& grouped) {
  std::vector<shop::Model> models;
  for (const auto& [key, found] : grouped) {
    std::set<std::string> engines;
    shop::Model model;
    const auto close = [&] {
      if (model.first_year == 0) return;
      model.engines.assign(engines.begin(), engines.end());
      models.push_back(model);
    };
    for (const auto& [year, of_year] : found.engines_by_year) {
      if (model.first_year == 0 || year > model.last_year + 1) {
        close();
        engines.clear();
        model = {found.make, found.name, year, year, {}};
      }
      model.last_year = year;
      engines.insert(of_year.begin(), of_year.end());
    }
    close();
  }
  return models;
}

}  // namespace

// Line by line: what is wrong with one is said and the line left out, the rest goes on. Rows with
// one make and model gather their engines by year; at the end, years without a gap become one
// model.
FuelEconomy read_fuel_economy(std::string_view bytes, const std::string& file) {
  FuelEconomy out;
  shop::Notes notes(file, out.findings);
  Grouped grouped;
  std::map<std::string, std::string> makes;  // as first spelt
  std::optional<Columns> columns;
  std::size_t at = bytes.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0;
  for (int number = 1; at < bytes.size(); ++number) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
    std::string_view line = bytes.substr(at, end - at);
    at = end + 1;
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (trimmed(line).empty()) continue;
    const auto leave_out = [&](std::size_t field, std::string what, std::string remedy) {
      notes.add(shop::Level::warning, number, column_of(line, field), "line", std::move(what),
                std::move(remedy));
    };
    std::vector<std::string> fields;
    if (!shop::read_csv_line(line, fields)) {
      leave_out(0, "a quote has no end, or something follows one",
                "write \"...\" with quotes inside doubled");
      continue;
    }
    if (!columns) {
      columns = columns_of(fields);
      if (columns->make == Columns::kNone || columns->model == Columns::kNone ||
          columns->year == Columns::kNone) {
        notes.add(shop::Level::error, number, 1, "columns",
                  "the first line does not name the columns make, model and year",
                  "give the fuel-economy file as it is published");
        return out;
      }
      continue;
    }
    if (fields.size() != columns->count) {
      leave_out(
          0, fmt::format("{} fields where the first line names {}", fields.size(), columns->count),
          "the line is left out: mend it in the file");
      continue;
    }
    const auto value = [&](std::size_t column) {
      return column == Columns::kNone ? std::string_view() : trimmed(fields[column]);
    };
    const std::string_view make = value(columns->make);
    const std::string_view model = value(columns->model);
    const std::string_view digits = value(columns->year);
    int year = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), year);
    const std::string left_out = "the line is left out: mend it in the file";
    if (shop::invalid_utf8_at(line) != std::string::npos) {
      leave_out(0, "this is not UTF-8", left_out);
      continue;
    }
    if (!usable(make)) {
      leave_out(columns->make, fmt::format("`{}` cannot be a make", make), left_out);
      continue;
    }
    if (!usable(model)) {
      leave_out(columns->model, fmt::format("`{}` cannot be a model", model), left_out);
      continue;
    }
    if (read.ec != std::errc() || read.ptr != digits.data() + digits.size() || year < kFirstYear ||
        year > kLastYear) {
      leave_out(columns->year, fmt::format("`{}` is no model year", digits), left_out);
      continue;
    }
    const auto engine = engine_of(value(columns->litres), value(columns->fuel));
    if (!engine) {
      leave_out(columns->litres, fmt::format("`{}` are no litres", value(columns->litres)),
                left_out);
      continue;
    }
    ++out.rows;
    for (const std::string& name : names_in(without_drive(model))) {
      Found& found = grouped[{key_of(make), key_of(name)}];
      if (found.name.empty()) {
        found.make = makes.emplace(key_of(make), make).first->second;
        found.name = name;
      }
      std::set<std::string>& engines = found.engines_by_year[year];
      if (!engine->empty()) engines.insert(*engine);
    }
  }
  if (!columns) {
    notes.add(shop::Level::error, 1, 1, "columns", "the file is empty",
              "give the fuel-economy file as it is published");
  }
  out.models = runs_of(grouped);
  return out;
}

std::string vocabulary_text(const std::vector<shop::Model>& models,
                            const std::vector<shop::Model>& known) {
  std::set<std::pair<std::string, std::string>> taken;
  for (const shop::Model& model : known) taken.insert({key_of(model.make), key_of(model.name)});
  std::string text = fmt::format(
      "---\n"
      "title: Makes, models, years and engines from the fuel-economy file\n"
      "lang: en\n"
      "made-by: {}\n"
      "source: fuel-economy data of the US EPA and DOE, fueleconomy.gov\n"
      "---\n"
      "\n"
      "Written by `{}`, and written anew the next time: what the shop knows better goes into a "
      "file "
      "of its own here, which wins.\n"
      "\n"
      "## Makes\n",
      kMaker, kMaker);
  std::string make;
  for (const shop::Model& model : models) {
    const std::string key = key_of(model.make);
    if (taken.count({key, key_of(model.name)}) > 0) continue;
    if (make != key) {
      text += "### " + model.make + "\n";
      make = key;
    }
    const std::string years = model.first_year == model.last_year
                                  ? std::to_string(model.first_year)
                                  : fmt::format("{}-{}", model.first_year, model.last_year);
    text += fmt::format("- model: {} | {}", model.name, years);
    if (!model.engines.empty()) text += fmt::format(" | {}", fmt::join(model.engines, "; "));
    text += '\n';
  }
  return text;
}

bool made_from_fuel_economy(std::string_view bytes) {
  return shop::Document::parse(std::string(bytes)).value("made-by") == kMaker;
}

}  // namespace baylore::cli
