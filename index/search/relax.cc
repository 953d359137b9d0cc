// The order of giving way, from what matters least: the engine, the years, then the vehicle; of the
// words, those that the nearest tip lacks. Which tips those are is the ranking's business
// (rank.cc lifts another engine or year above another model); here it is only said.
#include "search/relax.h"

namespace baylore::search {
namespace {

// A list of more is not read at a bay.
constexpr std::size_t kMostNamed = 3;

// “a”, “b” and “c”
std::string listed(const std::vector<std::string>& all, const char* open, const char* close) {
  std::string text;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (i > 0) text += i + 1 == all.size() ? " and " : ", ";
    text += open + all[i] + close;
  }
  return text;
}

std::string quoted(const std::vector<std::string>& words) { return listed(words, "“", "”"); }
std::string plain(const std::vector<std::string>& words) { return listed(words, "", ""); }

std::string name_of(const Vehicle& vehicle) {
  Vehicle named;
  named.make = vehicle.make;
  named.model = vehicle.model;
  return named.empty() ? vehicle.text() : named.text();
}

std::string years_of(const Vehicle& vehicle) {
  Vehicle years;
  years.year = vehicle.year;
  years.last_year = vehicle.last_year;
  return years.text();
}

}  // namespace

std::string said(const Shortfall& shortfall) {
  std::string text;
  const auto add = [&](const std::string& sentence) {
    text += (text.empty() ? "" : " ") + sentence;
  };
  if (!shortfall.unknown.empty()) add("No tip has " + quoted(shortfall.unknown) + ".");
  if (!shortfall.codes.empty()) {
    add("No tip lists " + plain(shortfall.codes) +
        (shortfall.near_codes.empty() ? "." : ": near it " + plain(shortfall.near_codes) + "."));
  }
  if (shortfall.missing.size() > kMostNamed) {
    add("None has all the words.");
  } else if (!shortfall.missing.empty()) {
    add("None has all the words: the nearest is without " + quoted(shortfall.missing) + ".");
  }
  if (shortfall.by_vehicle) {
    add("Shown is what fits " + name_of(shortfall.vehicle) + ".");
    return text;
  }
  switch (shortfall.nearest) {
    case FitVerdict::other_engine:
      add("None for the " + shortfall.vehicle.engine + ": other engines are shown.");
      break;
    case FitVerdict::other_year:
      add("None for " + years_of(shortfall.vehicle) + ": other years are shown.");
      break;
    case FitVerdict::other_model:
      add("None for " + name_of(shortfall.vehicle) + ": other vehicles are shown.");
      break;
    case FitVerdict::no_vehicle:
    case FitVerdict::fits:
    case FitVerdict::fits_all:
      break;
  }
  return text;
}

}  // namespace baylore::search
