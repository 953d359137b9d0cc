#include "vehicles.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <map>
#include <set>
#include <string_view>
#include <utility>

#include "files/disk.h"

namespace baylore::benchmark {
namespace {

// One line of RFC 4180 without line breaks inside fields.
std::vector<std::string> fields_of(std::string_view line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else if (c != '\r') {
      fields.back() += c;
    }
  }
  return fields;
}

std::string engine_of(const std::string& displacement, const std::string& cylinders) {
  const int count = std::atoi(cylinders.c_str());
  const double litres = std::atof(displacement.c_str());
  if (count == 0 || litres <= 0) return "electric";
  return fmt::format("{:.1f} {}{}", litres, count < 6 ? "I" : "V", count);
}

// `Pickup 4WD` is the pickup: which wheels are driven is no model's name to the shop. A bar
// separates the columns of a fit, so it goes too.
std::string model_of(std::string name) {
  for (const char* drive : {" 2WD", " 4WD", " AWD", " FWD", " RWD"}) {
    const std::size_t at = name.find(drive);
    if (at != std::string::npos) name.erase(at, 4);
  }
  std::replace(name.begin(), name.end(), '|', ' ');
  return name;
}

struct Gathered {
  int first = 9999;
  int last = 0;
  std::set<std::string> engines;
  double rows = 0;
};

}  // namespace

files::Result<std::vector<Model>> read_vehicles(const std::string& csv) {
  const auto text = files::real_disk().read(csv, 1U << 28U);
  if (!text) return text.failure();
  std::map<std::pair<std::string, std::string>, Gathered> found;
  std::map<std::string, std::size_t> columns;
  std::string_view rest = *text;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    const std::vector<std::string> fields = fields_of(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (columns.empty()) {
      for (std::size_t i = 0; i < fields.size(); ++i) columns[fields[i]] = i;
      for (const char* name : {"make", "model", "year", "cyl", "displ"}) {
        if (columns.count(name) > 0) continue;
        return files::Failure{files::Failure::Kind::damaged, csv,
                              fmt::format("has no column {}", name),
                              "the columns make, model, year, cyl and displ are read"};
      }
      continue;
    }
    const auto field = [&](const char* name) -> std::string {
      const std::size_t at = columns.at(name);
      return at < fields.size() ? fields[at] : std::string();
    };
    const int year = std::atoi(field("year").c_str());
    if (year == 0 || field("make").empty()) continue;
    Gathered& model = found[{field("make"), model_of(field("model"))}];
    model.first = std::min(model.first, year);
    model.last = std::max(model.last, year);
    model.engines.insert(engine_of(field("displ"), field("cyl")));
    model.rows += 1;
  }
  std::vector<Model> models;
  for (const auto& [name, each] : found) {
    models.push_back({name.first,
                      name.second,
                      each.first,
                      each.last,
                      {each.engines.begin(), each.engines.end()},
                      each.rows});
  }
  return models;
}

std::vector<Model> invented_vehicles() {
  constexpr std::array<const char*, 30> kBegin = {
      "Al",  "Bren", "Cal", "Dor", "El",  "Fen", "Gal", "Hol", "Is",  "Jar",
      "Kel", "Lor",  "Mar", "Nor", "Or",  "Pel", "Qua", "Ros", "Sel", "Tor",
      "Ul",  "Ven",  "Wes", "Xan", "Yar", "Zel", "Bar", "Cor", "Dan", "Ed"};
  constexpr std::array<const char*, 12> kEnd = {"vane", "rick", "mont", "dale", "wyn",  "stad",
                                                "lund", "holm", "ley",  "ter",  "bury", "mere"};
  constexpr std::array<const char*, 25> kNames = {
      "Heddle",  "Plover", "Ridge", "Fell",   "Quarry", "Lantern", "Harbour", "Thicket", "Spindle",
      "Drover",  "Brook",  "Cairn", "Delta",  "Ember",  "Flint",   "Grove",   "Hollow",  "Ivory",
      "Juniper", "Kiln",   "Larch", "Meadow", "Nettle", "Orchard", "Pebble"};
  constexpr std::array<const char*, 10> kEngines = {
      "1.4 turbo I4", "1.6 I4",     "1.8 hybrid", "2.0 I4", "2.0 diesel",
      "2.4 I4",       "2.8 diesel", "3.0 V6",     "3.6 V6", "5.3 V8"};
  Random random(7);
  std::vector<Model> models;
  for (std::size_t make = 0; make < 60; ++make) {
    const std::string name = std::string(kBegin.at(make % kBegin.size())) +
                             kEnd.at((make + make / kBegin.size() * 5) % kEnd.size());
    const std::size_t count = 4 + random.below(9);
    const std::size_t from = random.below(kNames.size());
    for (std::size_t i = 0; i < count; ++i) {
      Model model;
      model.make = name;
      model.name = kNames.at((from + i) % kNames.size());
      if (random.one_in(4)) model.name += fmt::format(" {}", 100 * (1 + random.below(6)));
      model.first_year = 1995 + static_cast<int>(random.below(20));
      model.last_year = model.first_year + 3 + static_cast<int>(random.below(9));
      for (std::size_t n = 1 + random.below(3), at = random.below(7); n > 0; --n) {
        model.engines.emplace_back(kEngines.at(at + n - 1));
      }
      model.weight = 100.0 / static_cast<double>((make + 3) * (i + 1));
      models.push_back(std::move(model));
    }
  }
  return models;
}

Fleet::Fleet(std::vector<Model> models) : models_(std::move(models)) {
  double sum = 0;
  for (const Model& model : models_) up_to_.push_back(sum += model.weight);
}

const Model& Fleet::draw(Random& random) const {
  const double at = random.share() * up_to_.back();
  const auto found = std::lower_bound(up_to_.begin(), up_to_.end(), at);
  return models_[std::min(static_cast<std::size_t>(found - up_to_.begin()), models_.size() - 1)];
}

}  // namespace baylore::benchmark
