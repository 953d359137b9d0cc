#include "job/vin_patterns.h"

#include <algorithm>
#include <cstdlib>
#include <optional>

#include "files/names.h"
#include "files/save.h"
#include "job/json_fields.h"
#include "trade/vin.h"

namespace baylore::job {
namespace {

constexpr std::string_view kPatternsFormat = "baylore-vin-patterns 1";
constexpr std::uint64_t kPatternsLimit = 16U << 20U;
constexpr std::size_t kPattern = 9;  // places 1 to 8 and 10
constexpr std::size_t kAlike = 5;    // maker, and the first two of the vehicle's attributes
constexpr std::size_t kLongestWord = 80;
constexpr int kLastModelYear = 2100;
constexpr char kUnknown = '*';

std::optional<trade::Vin> read(std::string_view text) {
  if (auto whole = trade::taken(trade::read_vin(text))) return whole;
  return trade::taken(trade::read_partial_vin(text));
}

// Places 1 to 8 and 10, unknown ones `*`.
std::string pattern_of(const trade::Vin& vin) { return vin.text.substr(0, 8) + vin.text[9]; }

bool is_pattern(std::string_view text) {
  return text.size() == kPattern && std::all_of(text.begin(), text.end(), [](char c) {
           return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z');
         });
}

// North American VINs, first place 1 to 5, must carry the check digit (49 CFR 565.15).
bool has_slip(const trade::Vin& vin) {
  return vin.complete && !vin.valid && vin.text[0] >= '1' && vin.text[0] <= '5';
}

// As far as it is kept: one year, and no VIN even where a name should be.
search::Vehicle kept(const search::Vehicle& chosen) {
  search::Vehicle vehicle;
  const auto word = [](const std::string& text) {
    return text.size() > kLongestWord ? std::string() : trade::without_vins(text);
  };
  vehicle.make = word(chosen.make);
  vehicle.model = word(chosen.model);
  vehicle.engine = word(chosen.engine);
  if (chosen.last_year == 0) vehicle.year = chosen.year;
  return vehicle;
}

// The one of a VIN's candidate years, 30 apart, that is nearest to a year its kind was built in.
int year_near(const std::vector<int>& years, int built) {
  if (years.size() == 1) return years.front();
  if (years.empty() || built == 0) return 0;
  return *std::min_element(years.begin(), years.end(),
                           [&](int a, int b) { return std::abs(a - built) < std::abs(b - built); });
}

void by_chosen(std::vector<VinGuess>& guesses) {
  std::stable_sort(guesses.begin(), guesses.end(),
                   [](const VinGuess& a, const VinGuess& b) { return a.chosen > b.chosen; });
}

}  // namespace

VinPatterns::VinPatterns(files::Disk& disk, const std::string& state_folder)
    : disk_(disk), path_(files::join(state_folder, "vin-patterns.json")) {
  const auto text = disk_.read(path_, kPatternsLimit);
  using Kind = files::Failure::Kind;
  if (!text && text.failure().kind != Kind::too_large) {
    if (text.failure().kind != Kind::missing) out_of_reach_ = text.failure();
    return;
  }
  if (text && take(*text)) return;
  patterns_.clear();
  // When even that fails, the next save replaces a file nobody can read.
  (void)disk_.rename(path_, path_ + ".damaged");
}

// False when the text is no such file; then `patterns_` holds some of it.
bool VinPatterns::take(std::string_view text) {
  const Json object = parse_object(text);
  if (object.is_discarded()) return false;
  Fields fields(object);
  std::string format;
  fields.text("format", format);
  const Json* patterns = fields.object("patterns");
  if (!fields.good() || format != kPatternsFormat || patterns == nullptr) return false;
  if (patterns->size() > kMostPatterns) return false;
  for (const auto& [pattern, list] : patterns->items()) {
    if (!is_pattern(pattern) || !list.is_array() || list.size() > kMostVehicles) return false;
    Choices& choices = patterns_[pattern];
    for (const Json& each : list) {
      if (!each.is_object()) return false;
      Choice choice;
      Fields of_choice(each);
      of_choice.text("make", choice.vehicle.make);
      of_choice.text("model", choice.vehicle.model);
      of_choice.text("engine", choice.vehicle.engine);
      of_choice.integer("year", 0, kLastModelYear, choice.vehicle.year);
      of_choice.integer("chosen", 1, kMostChosen, choice.chosen);
      const bool named = !choice.vehicle.make.empty() && !choice.vehicle.model.empty();
      if (!of_choice.good() || !named || choice.chosen == 0) return false;
      choices.push_back(std::move(choice));
    }
  }
  return true;
}

// The pattern chosen least often goes, the first of equals; never the newest.
void VinPatterns::make_room(const std::string& pattern) {
  const auto total = [](const Choices& choices) {
    int sum = 0;
    for (const Choice& choice : choices) sum += choice.chosen;
    return sum;
  };
  while (patterns_.size() > kMostPatterns) {
    auto least = patterns_.end();
    for (auto one = patterns_.begin(); one != patterns_.end(); ++one) {
      if (one->first == pattern) continue;
      if (least == patterns_.end() || total(one->second) < total(least->second)) least = one;
    }
    patterns_.erase(least);
  }
}

files::Result<void> VinPatterns::learn(std::string_view vin, const search::Vehicle& chosen) {
  const std::optional<trade::Vin> known = read(vin);
  const search::Vehicle vehicle = kept(chosen);
  if (!known || has_slip(*known) || vehicle.make.empty() || vehicle.model.empty()) return {};
  const std::string pattern = pattern_of(*known);
  if (!is_pattern(pattern)) return {};  // a place is unknown
  if (out_of_reach_) return *out_of_reach_;

  Choices& choices = patterns_[pattern];
  auto same = std::find_if(choices.begin(), choices.end(),
                           [&](const Choice& choice) { return choice.vehicle == vehicle; });
  if (same == choices.end()) {
    if (choices.size() == kMostVehicles) {
      choices.erase(
          std::min_element(choices.begin(), choices.end(),
                           [](const Choice& a, const Choice& b) { return a.chosen < b.chosen; }));
    }
    choices.push_back({vehicle, 0});
    same = choices.end() - 1;
  }
  if (++same->chosen >= kMostChosen) {
    for (Choice& choice : choices) choice.chosen = (choice.chosen + 1) / 2;
  }
  make_room(pattern);
  return save();
}

files::Result<void> VinPatterns::save() const {
  Json patterns = Json::object();
  for (const auto& [pattern, choices] : patterns_) {
    Json list = Json::array();
    for (const Choice& choice : choices) {
      list.push_back({{"make", choice.vehicle.make},
                      {"model", choice.vehicle.model},
                      {"engine", choice.vehicle.engine},
                      {"year", choice.vehicle.year},
                      {"chosen", choice.chosen}});
    }
    patterns[pattern] = std::move(list);
  }
  Json out = Json::object();
  out["format"] = kPatternsFormat;
  out["patterns"] = std::move(patterns);
  return files::replace(disk_, path_, dump(out));
}

std::vector<VinGuess> VinPatterns::suggest(std::string_view vin) const {
  const std::optional<trade::Vin> known = read(vin);
  if (!known) return {};
  const std::string pattern = pattern_of(*known);
  const std::string_view alike = std::string_view(pattern).substr(0, kAlike);
  if (alike.find(kUnknown) != std::string_view::npos) return {};

  std::vector<VinGuess> guesses;
  if (const auto exact = patterns_.find(pattern); exact != patterns_.end()) {
    for (const Choice& choice : exact->second) {
      guesses.push_back({choice.vehicle, choice.chosen, true});
    }
    by_chosen(guesses);
  }
  std::vector<VinGuess> others;
  for (auto one = patterns_.lower_bound(alike);
       one != patterns_.end() && std::string_view(one->first).substr(0, kAlike) == alike; ++one) {
    if (one->first == pattern) continue;
    for (const Choice& choice : one->second) {
      VinGuess guess;
      guess.vehicle.make = choice.vehicle.make;
      guess.vehicle.model = choice.vehicle.model;
      guess.vehicle.year = year_near(known->model_years, choice.vehicle.year);
      guess.chosen = choice.chosen;
      const auto same_name = [&](const VinGuess& other) {
        return other.vehicle.make == guess.vehicle.make &&
               other.vehicle.model == guess.vehicle.model;
      };
      // An exact one says more of the same model.
      if (std::any_of(guesses.begin(), guesses.end(), same_name)) continue;
      const auto same = std::find_if(others.begin(), others.end(), [&](const VinGuess& other) {
        return other.vehicle == guess.vehicle;
      });
      if (same != others.end()) {
        same->chosen += guess.chosen;
      } else {
        others.push_back(std::move(guess));
      }
    }
  }
  by_chosen(others);
  guesses.insert(guesses.end(), others.begin(), others.end());
  if (guesses.size() > kMostGuesses) guesses.resize(kMostGuesses);
  return guesses;
}

}  // namespace baylore::job
