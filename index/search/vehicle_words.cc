#include "search/vehicle_words.h"

#include <algorithm>
#include <array>
#include <optional>
#include <set>
#include <string>

#include "search/engine.h"
#include "shop/fold.h"

namespace baylore::search {
namespace {

// Years that can stand in a VIN, so that `1200` and `9999` stay numbers.
constexpr int kFirstYear = 1980;
constexpr int kLastYear = 2039;
// --- numbers that are measured, not years or engines -------------------------------------------

bool unit(std::string_view folded) {
  static const std::set<std::string, std::less<>> kUnits = {
      "v",   "mv",   "volt",   "volts",   "a",     "ma",      "amp",   "amps", "ohm",  "ohms",
      "k",   "bar",  "mbar",   "psi",     "kpa",   "mpa",     "inhg",  "mmhg", "mm",   "cm",
      "m",   "in",   "inch",   "inches",  "nm",    "n·m",     "ft",    "lb",   "lbs",  "lbf",
      "km",  "kmh",  "mi",     "mile",    "miles", "mph",     "s",     "sec",  "secs", "ms",
      "min", "mins", "minute", "minutes", "h",     "hour",    "hours", "rpm",  "°c",   "°f",
      "c",   "f",    "deg",    "degrees", "%",     "percent", "kw",    "w",    "watt", "watts",
      "hz",  "khz",  "g",      "kg",      "ml",    "turns",   "times", "pin",  "pins", "ω"};
  return kUnits.find(folded) != kUnits.end();
}

// The unit after a piece, folded; empty when no unit follows.
std::string unit_after(const std::vector<Piece>& pieces, std::size_t index) {
  if (index + 1 >= pieces.size()) return {};
  const std::string next = shop::fold(pieces[index + 1].typed);
  return unit(next) || unit(next.substr(0, next.find('/'))) ? next : std::string();  // `80 km/h`
}

bool measured(const std::vector<Piece>& pieces, std::size_t index) {
  return !unit_after(pieces, index).empty();
}

// As above, but for what may be a year: `2016 in gear` measures nothing.
bool measured_year(const std::vector<Piece>& pieces, std::size_t index) {
  const std::string unit = unit_after(pieces, index);
  const std::string head = unit.substr(0, unit.find('/'));  // `2017 a/c` is no current either
  return !unit.empty() && head != "in" && head != "a";
}

// --- years -------------------------------------------------------------------------------------

struct Years {
  int first = 0;
  int last = 0;  // 0: one year
};

std::optional<int> number(std::string_view text) {
  if (text.empty() || text.size() > 4) return std::nullopt;
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return value;
}

// `2014` or `14`; two digits count from 1980 to 2039.
std::optional<int> year(std::string_view text, bool two_digits) {
  const std::optional<int> value = number(text);
  if (!value) return std::nullopt;
  if (text.size() == 4 && *value >= kFirstYear && *value <= kLastYear) return value;
  if (two_digits && text.size() == 2) {
    if (*value >= kFirstYear - 1900) return *value + 1900;
    if (*value <= kLastYear - 2000) return *value + 2000;
  }
  return std::nullopt;
}

std::string_view without_apostrophe(std::string_view text, bool& had) {
  for (const std::string_view mark : {std::string_view("'"), std::string_view("\xE2\x80\x99"),
                                      std::string_view("\xE2\x80\x98")}) {
    if (text.substr(0, mark.size()) == mark) {
      had = true;
      return text.substr(mark.size());
    }
  }
  had = false;
  return text;
}

// `2014`, `'14`, `2012-2016`, `2012-16`, `12-16`, with any dash.
std::optional<Years> years_in(std::string_view typed) {
  std::size_t dash = typed.find('-');
  std::size_t dash_bytes = 1;
  if (dash == std::string_view::npos) {
    for (const std::string_view mark :
         {std::string_view("\xE2\x80\x93"), std::string_view("\xE2\x80\x94")}) {
      if (dash == std::string_view::npos) dash = typed.find(mark);
    }
    dash_bytes = 3;
  }
  bool apostrophe = false;
  if (dash == std::string_view::npos) {
    const std::string_view digits = without_apostrophe(typed, apostrophe);
    if (const std::optional<int> one = year(digits, apostrophe)) return Years{*one, 0};
    return std::nullopt;
  }
  const std::string_view left = without_apostrophe(typed.substr(0, dash), apostrophe);
  const std::string_view right = without_apostrophe(typed.substr(dash + dash_bytes), apostrophe);
  const std::optional<int> first = year(left, true);
  const std::optional<int> last = year(right, true);
  if (!first || !last || *first > *last) return std::nullopt;
  return Years{*first, *first == *last ? 0 : *last};
}

// `2012 to 2016`, three pieces from `at` on.
std::optional<Years> years_from(const std::vector<Piece>& pieces, std::size_t at) {
  if (at + 2 >= pieces.size() || measured_year(pieces, at + 2)) return std::nullopt;
  const std::string& between = pieces[at + 1].joined;
  if (between != "to" && between != "thru" && between != "through" && between != "a" &&
      between != "al" && between != "hasta") {
    return std::nullopt;
  }
  bool first_short = false;
  const std::string_view left = without_apostrophe(pieces[at].typed, first_short);
  bool last_short = false;
  const std::string_view right = without_apostrophe(pieces[at + 2].typed, last_short);
  const std::optional<int> first = year(left, first_short);
  const std::optional<int> last = year(right, last_short);
  if (!first || !last || *first >= *last) return std::nullopt;
  return Years{*first, *last};
}

// --- make and model ----------------------------------------------------------------------------

struct Named {
  std::string make;
  std::string model;
  std::size_t at = 0;
  std::size_t count = 0;
};

// All makes and models the pieces spell, longest first at every place.
std::vector<Named> names_in(const std::vector<Piece>& pieces, const Language& language) {
  std::vector<Named> found;
  std::size_t at = 0;
  while (at < pieces.size()) {
    std::size_t step = 1;
    const std::size_t longest = std::min(language.longest_name(), pieces.size() - at);
    for (std::size_t count = longest; count > 0; --count) {
      std::string spelt;
      for (std::size_t i = at; i < at + count; ++i) spelt += pieces[i].joined;
      const std::vector<Language::Name>& names = language.named(spelt);
      if (names.empty()) continue;
      for (const Language::Name& name : names) found.push_back({name.make, name.model, at, count});
      step = count;
      break;
    }
    at += step;
  }
  return found;
}

// One make and model of all that were spelt: the first model, with the make that was said when two
// makes have a model of that name; only then a make alone.
std::vector<Named> chosen(const std::vector<Named>& found) {
  const auto model = std::find_if(found.begin(), found.end(),
                                  [](const Named& name) { return !name.model.empty(); });
  if (model == found.end()) {
    if (found.empty()) return {};
    return {found.front()};
  }
  std::vector<Named> same;  // models of this name at this place
  for (const Named& name : found) {
    if (name.at == model->at && !name.model.empty()) same.push_back(name);
  }
  for (const Named& candidate : same) {
    const auto make = std::find_if(found.begin(), found.end(), [&](const Named& name) {
      return name.model.empty() && name.make == candidate.make;
    });
    if (make != found.end()) return {candidate, *make};
  }
  Named only = same.front();
  const bool one_make = std::all_of(same.begin(), same.end(),
                                    [&](const Named& name) { return name.make == only.make; });
  if (!one_make) only.make.clear();
  return {only};
}

// --- engine ------------------------------------------------------------------------------------

bool litre_word(std::string_view folded) {
  return folded == "l" || folded == "litre" || folded == "liter" || folded == "litros";
}

struct EngineSaid {
  Engine engine;
  std::vector<std::size_t> at;
};

bool known_to(const std::vector<Engine>& engines, const Engine& said) {
  return std::any_of(engines.begin(), engines.end(),
                     [&](const Engine& engine) { return covers(engine, said); });
}

// `3.6`, `3.6l`, `3.6 l`, `3.6 V6`, `3.6V6`, `V6`, and a word such as `diesel` right after any of
// them or after the model. A bare number counts only when an engine known to the shop has it.
EngineSaid engine_in(const std::vector<Piece>& pieces, const std::vector<Engine>& engines) {
  EngineSaid said;
  const auto displacement_said = [&](std::size_t i) {
    bool litres = false;
    std::string value = displacement_in(pieces[i].typed, &litres);
    if (value.empty()) return std::string();
    const std::string next =
        i + 1 < pieces.size() ? shop::fold(pieces[i + 1].typed) : std::string();
    if (litres || litre_word(next)) return value;
    if (!layout_in(next).empty()) return value;
    if (!measured(pieces, i) && known_to(engines, {value, "", {}})) return value;
    return std::string();
  };
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    if (piece.taken) continue;
    const bool after_vehicle =
        i > 0 && (pieces[i - 1].taken || (!said.at.empty() && said.at.back() == i - 1));
    if (said.engine.displacement.empty()) {
      if (std::string value = displacement_said(i); !value.empty()) {
        said.engine.displacement = std::move(value);
        said.at.push_back(i);
        continue;
      }
      // Written together: 3.6V6, 3.6lV6.
      const std::size_t letter = piece.typed.find_first_of("vVwWiIhHrR");
      if (letter != std::string::npos && letter > 0) {
        std::string value = displacement_in(std::string_view(piece.typed).substr(0, letter));
        std::string layout = layout_in(std::string_view(piece.typed).substr(letter));
        if (!value.empty() && !layout.empty()) {
          said.engine.displacement = std::move(value);
          said.engine.layout = std::move(layout);
          said.at.push_back(i);
          continue;
        }
      }
    }
    const std::string folded = shop::fold(piece.typed);
    const bool after_displacement =
        !said.engine.displacement.empty() && !said.at.empty() && said.at.back() == i - 1;
    if (after_displacement && litre_word(folded)) {
      said.at.push_back(i);
      continue;
    }
    if (said.engine.layout.empty()) {
      std::string layout = layout_in(piece.typed);
      if (!layout.empty() && (after_displacement || known_to(engines, {"", layout, {}}))) {
        said.engine.layout = std::move(layout);
        said.at.push_back(i);
        continue;
      }
    }
    if (after_vehicle && piece.words.size() == 1 &&
        known_to(engines, {"", "", {piece.words.front()}})) {
      said.engine.words.push_back(piece.words.front());
      said.at.push_back(i);
    }
  }
  return said;
}

// The vocabulary's spelling when only one engine can be meant, else what was said.
std::string engine_name(const Engine& said, const Language::Engines& known) {
  std::vector<std::string> possible;
  for (std::size_t i = 0; i < known.names.size(); ++i) {
    if (covers(known.engines[i], said)) possible.push_back(known.names[i]);
  }
  if (possible.size() == 1) return possible.front();
  std::string name = said.displacement;
  const auto add = [&](const std::string& word) { name += (name.empty() ? "" : " ") + word; };
  if (!said.layout.empty()) {
    std::string layout = said.layout;
    layout[0] = static_cast<char>(layout[0] - 'a' + 'A');
    add(layout);
  }
  for (const std::string& word : said.words) add(word);
  return name;
}

}  // namespace

Vehicle take_vehicle(std::vector<Piece>& pieces, const Language& language) {
  Vehicle vehicle;

  // Years first: they are what makes an ambiguous name a vehicle's.
  for (std::size_t i = 0; i < pieces.size() && vehicle.year == 0; ++i) {
    if (measured_year(pieces, i)) continue;
    std::size_t count = 1;
    std::optional<Years> years = years_in(pieces[i].typed);
    if (years && years->last == 0) {
      if (const std::optional<Years> range = years_from(pieces, i)) {
        years = range;
        count = 3;
      }
    }
    if (!years) continue;
    vehicle.year = years->first;
    vehicle.last_year = years->last;
    for (std::size_t taken = i; taken < i + count; ++taken) pieces[taken].taken = true;
  }

  const std::vector<Named> names = chosen(names_in(pieces, language));
  if (!names.empty()) {
    const Named& name = names.front();
    bool sure =
        names.size() > 1 || vehicle.year != 0 || name.count > 1 ||
        pieces[name.at].joined == shop::run_together(name.make) + shop::run_together(name.model);
    if (!sure) sure = !language.trade_word(pieces[name.at].joined);
    if (sure) {
      vehicle.make = name.make;
      vehicle.model = name.model;
      for (const Named& each : names) {
        for (std::size_t i = each.at; i < each.at + each.count; ++i) pieces[i].taken = true;
      }
    }
  }

  const Language::Engines known = language.engines_of(vehicle.make, vehicle.model);
  const EngineSaid said = engine_in(pieces, known.engines);
  if (!said.engine.empty()) {
    vehicle.engine = engine_name(said.engine, known);
    for (const std::size_t at : said.at) pieces[at].taken = true;
  }
  return vehicle;
}

}  // namespace baylore::search
