// The order of giving way, from what matters least: the engine, the years, then the vehicle; of the
// words, those that the nearest tip lacks. Which tips those are is the ranking's business
// (rank.cc lifts another engine or year above another model); here it is only said.
#include "search/relax.h"
#include "words/words.h"

namespace baylore::search {
namespace {

// A list of more is not read at a bay.
constexpr std::size_t kMostNamed = 3;

// “a”, “b” and “c”
std::string listed(const std::vector<std::string>& all, const char* open, const char* close) {
  std::string text;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (i > 0) text += i + 1 == all.size() ? tr(" and ") : ", ";
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
  if (!shortfall.unknown.empty()) add(say("No tip has {0}.", quoted(shortfall.unknown)));
  if (!shortfall.codes.empty()) {
    add(shortfall.near_codes.empty() ? say("No tip lists {0}.", plain(shortfall.codes))
                                     : say("No tip lists {0}: near it {1}.", plain(shortfall.codes),
                                           plain(shortfall.near_codes)));
  }
  if (shortfall.missing.size() > kMostNamed) {
    add(tr("None has all the words."));
  } else if (!shortfall.missing.empty()) {
    add(say("None has all the words: the nearest is without {0}.", quoted(shortfall.missing)));
  }
  if (shortfall.by_vehicle) {
    add(say("Shown is what fits {0}.", name_of(shortfall.vehicle)));
    return text;
  }
  switch (shortfall.nearest) {
    case FitVerdict::other_engine:
      add(say("None for the {0}: other engines are shown.", shortfall.vehicle.engine));
      break;
    case FitVerdict::other_year:
      add(say("None for {0}: other years are shown.", years_of(shortfall.vehicle)));
      break;
    case FitVerdict::other_model:
      add(say("None for {0}: other vehicles are shown.", name_of(shortfall.vehicle)));
      break;
    case FitVerdict::no_vehicle:
    case FitVerdict::fits:
    case FitVerdict::fits_all:
      break;
  }
  return text;
}

}  // namespace baylore::search
