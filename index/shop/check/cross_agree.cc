#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>

#include <fmt/format.h>

#include "shop/check/cross.h"
#include "shop/fold.h"
#include "trade/quantity.h"

namespace baylore::shop::checking {
namespace {

// What one tip says of one thing: the torque of a fastener, the expected reading of a check.
struct Claim {
  std::uint32_t tip = 0;
  std::uint32_t item = 0;  // of the tip's fasteners or readings
  std::size_t value = 0;   // which of the different values of its key
};

// Claims of one value by tips of one vehicle.
struct Group {
  const Vehicle* vehicle = nullptr;
  std::size_t value = 0;
  std::vector<Claim> claims;
};

// A claim that others contradict, and one of those.
struct Contradicted {
  Claim claim;
  Claim by;
};

// How many tips are looked at to see which value has more behind it.
constexpr std::size_t kMostSupport = 64;
constexpr std::size_t kMostPartners = 4000;

using Tips = std::set<std::uint32_t>;

void count_in(const Group& group, Tips& tips) {
  for (const Claim& claim : group.claims) {
    if (tips.size() >= kMostSupport) return;
    tips.insert(claim.tip);
  }
}

// Finds the claims of one key that contradict each other on one vehicle.
//   1. Claims of equal vehicle and value are put together: a shop has few of those for one key,
//      however many tips it has.
//   2. Groups are compared within a make and model; those that name none are compared with all.
//   3. A claim is told unless more tips, and at least two, say the same as it does against each
//      value that contradicts it: then the other one is the slip. What counts are tips of vehicles
//      that meet; for a check, which is one check wherever it is used, all tips (`anywhere`).
std::vector<Contradicted> contradictions(const std::vector<TipFacts>& tips,
                                         const std::vector<Claim>& claims, bool anywhere) {
  std::vector<Contradicted> found;
  if (std::all_of(claims.begin(), claims.end(),
                  [&](const Claim& c) { return c.value == claims.front().value; })) {
    return found;
  }
  using Key = std::tuple<std::string, std::string, std::string, int, int, std::size_t>;
  std::map<Key, std::size_t> index;
  std::vector<Group> groups;
  for (const Claim& claim : claims) {
    for (const Vehicle& v : tips[claim.tip].vehicles) {
      const auto [at, added] = index.emplace(
          Key(v.make, v.model, v.engine, v.first_year, v.last_year, claim.value), groups.size());
      if (added) groups.push_back({&v, claim.value, {}});
      groups[at->second].claims.push_back(claim);
    }
  }
  std::unordered_map<std::string, std::vector<std::size_t>> by_model;
  std::vector<std::size_t> loose;
  std::vector<std::size_t> all;
  const auto model_of = [](const Vehicle& v) { return v.make + '|' + v.model; };
  for (std::size_t i = 0; i < groups.size(); ++i) {
    const Vehicle& v = *groups[i].vehicle;
    all.push_back(i);
    if (v.make.empty() || v.model.empty()) {
      loose.push_back(i);
    } else {
      by_model[model_of(v)].push_back(i);
    }
  }
  std::map<std::size_t, Tips> everywhere;  // by value
  if (anywhere) {
    for (const Group& group : groups) count_in(group, everywhere[group.value]);
  }
  std::set<std::tuple<std::uint32_t, std::uint32_t>> told;
  for (std::size_t i = 0; i < groups.size(); ++i) {
    const Group& group = groups[i];
    const Vehicle& v = *group.vehicle;
    const bool is_loose = v.make.empty() || v.model.empty();
    Tips support;
    count_in(group, support);
    std::map<std::size_t, std::pair<Tips, std::size_t>> against;  // by value: tips, one group
    std::size_t looked = 0;
    const auto look = [&](const std::vector<std::size_t>& partners) {
      for (const std::size_t k : partners) {
        if (k == i || ++looked > kMostPartners || !overlap(v, *groups[k].vehicle)) continue;
        if (groups[k].value == group.value) {
          count_in(groups[k], support);
        } else {
          const auto at = against.emplace(groups[k].value, std::pair(Tips(), k)).first;
          count_in(groups[k], at->second.first);
        }
      }
    };
    if (is_loose) {
      look(all);
    } else {
      look(by_model[model_of(v)]);
      look(loose);
    }
    for (const Claim& claim : group.claims) {
      const auto stronger = [&](const auto& one) {
        const Tips& mine = anywhere ? everywhere[group.value] : support;
        const Tips& theirs = anywhere ? everywhere[one.first] : one.second.first;
        return mine.size() >= 2 && mine.size() > theirs.size();
      };
      // A tip that contradicts itself names two fasteners alike; that is not for here.
      const auto others = [&](const auto& one) {
        return one.second.first.size() > 1 || one.second.first.count(claim.tip) == 0;
      };
      const auto by = std::find_if(against.begin(), against.end(),
                                   [&](const auto& one) { return others(one) && !stronger(one); });
      if (by == against.end() || !told.emplace(claim.tip, claim.item).second) continue;
      const std::vector<Claim>& other = groups[by->second.second].claims;
      const auto not_own = std::find_if(other.begin(), other.end(),
                                        [&](const Claim& c) { return c.tip != claim.tip; });
      if (not_own != other.end()) found.push_back({claim, *not_own});
    }
  }
  return found;
}

bool close(double a, double b, double share) {
  if (a == b) return true;
  if (std::isinf(a) || std::isinf(b)) return false;  // open on one side only
  return std::abs(a - b) <= share * std::max(std::abs(a), std::abs(b));
}

// Written in one unit, two torques must be equal; in two, equal within what a rounded conversion
// and the 3 % of two stated units (torque_spec.h) leave open.
bool same_torque(const FastenerFact& a, const FastenerFact& b) {
  const double share = a.unit == b.unit ? 1e-9 : 0.03;
  return close(a.low_nm, b.low_nm, share) && close(a.high_nm, b.high_nm, share) &&
         std::abs(a.degrees - b.degrees) < 0.5;
}

bool same_reading(const ReadingFact& a, const ReadingFact& b) {
  if ((a.unit == nullptr) != (b.unit == nullptr)) return false;
  if (a.unit == nullptr) return folded_words(a.said) == folded_words(b.said);
  if (a.unit->dimension != b.unit->dimension) return false;
  if (a.unit->dimension == trade::Dimension::kTemperature && a.unit != b.unit)
    return std::abs(a.low - b.low) < 0.6 && std::abs(a.high - b.high) < 0.6;
  const double share = a.unit == b.unit ? 1e-9 : 0.01;
  return close(a.low, b.low, share) && close(a.high, b.high, share);
}

// Gives each claim the number of its value. Values are few where tips agree.
template <class Fact, class Same>
void number_values(std::vector<Claim>& claims, const Fact& fact, const Same& same) {
  constexpr std::size_t kMostValues = 500;
  std::vector<const Claim*> seen;
  for (Claim& claim : claims) {
    std::size_t value = 0;
    while (value < seen.size() && !same(fact(claim), fact(*seen[value]))) ++value;
    claim.value = value;
    if (value == seen.size() && seen.size() < kMostValues) seen.push_back(&claim);
  }
}

using Claims = std::map<std::string, std::vector<Claim>>;

bool takes_part(const TipFacts& tip) { return !tip.withdrawn && tip.translation_of.to.empty(); }

void check_torques(const ShopFacts& facts, Findings& into) {
  Claims by_key;
  for (std::size_t t = 0; t < facts.tips.size(); ++t) {
    const TipFacts& tip = facts.tips[t];
    if (!takes_part(tip)) continue;
    for (std::size_t i = 0; i < tip.fasteners.size(); ++i) {
      const FastenerFact& fastener = tip.fasteners[i];
      std::string key = fastener.key;
      if (fastener.vague) {
        if (tip.component.empty()) continue;
        key += '|' + folded_words(tip.component);
      }
      by_key[key].push_back({static_cast<std::uint32_t>(t), static_cast<std::uint32_t>(i), 0});
    }
  }
  const auto fact = [&](const Claim& claim) -> const FastenerFact& {
    return facts.tips[claim.tip].fasteners[claim.item];
  };
  for (auto& [key, claims] : by_key) {
    number_values(claims, fact, same_torque);
    for (const Contradicted& one : contradictions(facts.tips, claims, false)) {
      const FastenerFact& here = fact(one.claim);
      const FastenerFact& there = fact(one.by);
      into.push_back(
          {facts.tips[one.claim.tip].path, here.at.line, here.at.column, Level::warning,
           "torque-differs",
           fmt::format("{} here, {} in {}:{} for the same fastener on the same vehicle", here.said,
                       there.said, facts.tips[one.by.tip].path, there.at.line),
           "look both up in the maker's information; if they are two fasteners, name "
           "them apart"});
    }
  }
}

// On vehicles that do not meet, one check may well expect two things, so the ones in the minority
// get a note only: an id stands for one check wherever it is used.
void note_minority(const ShopFacts& facts, const std::vector<Claim>& claims,
                   const std::set<std::tuple<std::uint32_t, std::uint32_t>>& told, Findings& into) {
  std::map<std::size_t, Tips> tips;
  std::map<std::size_t, std::size_t> counts;
  std::map<std::size_t, const Claim*> first;
  for (const Claim& claim : claims) {
    ++counts[claim.value];
    first.emplace(claim.value, &claim);
  }
  if (counts.size() < 2) return;
  std::size_t most = 0;
  for (const auto& [value, count] : counts) most = std::max(most, count);
  const auto held_by_most = [&](std::size_t value) { return counts.at(value) == most; };
  const bool tie = std::count_if(counts.begin(), counts.end(),
                                 [&](const auto& one) { return one.second == most; }) > 1;
  for (const Claim& claim : claims) {
    if ((held_by_most(claim.value) && !tie) || told.count({claim.tip, claim.item}) != 0) continue;
    const auto other = std::find_if(counts.begin(), counts.end(), [&](const auto& one) {
      return one.first != claim.value && one.second == most;
    });
    if (other == counts.end()) continue;
    const Claim& by = *first.at(other->first);
    if (by.tip == claim.tip) continue;
    const ReadingFact& here = facts.tips[claim.tip].readings[claim.item];
    const ReadingFact& there = facts.tips[by.tip].readings[by.item];
    into.push_back({facts.tips[claim.tip].path, here.at.line, here.at.column, Level::note,
                    "reading-differs",
                    fmt::format("`{}` expects {} here, {} in {}:{} on other vehicles", here.check,
                                here.said, there.said, facts.tips[by.tip].path, there.at.line),
                    "mend the one that is wrong, or give this check an id of its own"});
  }
}

void check_readings(const ShopFacts& facts, Findings& into) {
  Claims by_key;
  for (std::size_t t = 0; t < facts.tips.size(); ++t) {
    const TipFacts& tip = facts.tips[t];
    if (!takes_part(tip)) continue;
    for (std::size_t i = 0; i < tip.readings.size(); ++i) {
      const ReadingFact& reading = tip.readings[i];
      // Words of two languages cannot be compared.
      const std::string language = reading.unit == nullptr ? '|' + tip.lang : std::string();
      by_key[reading.check + language].push_back(
          {static_cast<std::uint32_t>(t), static_cast<std::uint32_t>(i), 0});
    }
  }
  const auto fact = [&](const Claim& claim) -> const ReadingFact& {
    return facts.tips[claim.tip].readings[claim.item];
  };
  for (auto& [key, claims] : by_key) {
    number_values(claims, fact, same_reading);
    std::set<std::tuple<std::uint32_t, std::uint32_t>> told;
    for (const Contradicted& one : contradictions(facts.tips, claims, true)) {
      const ReadingFact& here = fact(one.claim);
      const ReadingFact& there = fact(one.by);
      told.emplace(one.claim.tip, one.claim.item);
      told.emplace(one.by.tip, one.by.item);
      // Two wordings of a plain answer may mean one thing.
      const Level level = here.unit == nullptr ? Level::note : Level::warning;
      into.push_back(
          {facts.tips[one.claim.tip].path, here.at.line, here.at.column, level, "reading-differs",
           fmt::format("`{}` expects {} here, {} in {}:{} on the same vehicle", here.check,
                       here.said, there.said, facts.tips[one.by.tip].path, there.at.line),
           "mend the one that is wrong, or give one of the checks an id of its own"});
    }
    std::vector<Claim> named;
    std::copy_if(claims.begin(), claims.end(), std::back_inserter(named),
                 [&](const Claim& c) { return fact(c).own_id; });
    note_minority(facts, named, told, into);
  }
}

}  // namespace

void check_agreement(const ShopFacts& facts, Findings& into) {
  check_torques(facts, into);
  check_readings(facts, into);
}

}  // namespace baylore::shop::checking
