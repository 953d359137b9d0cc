#include "search/rank.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "store/weights.h"

namespace baylore::search {
namespace {

// --- the weights -------------------------------------------------------------------------------

// What one occurrence counts by column, and how soon more of them stop counting, are in
// store/weights.h: the postings have them folded in.

// Two words of the line next to each other, and how far apart they may stand to count at all.
constexpr double kNear = 0.2;
constexpr int kNearest = 6;
// Occurrences of synonyms and unfinished words weigh less than this and do not count as near.
constexpr double kNearWeight = 0.7;

// Words of the line in a condition of the tip that the line names whole (`after rain`, `towing a
// trailer`), in rarities.
constexpr double kCondition = 0.25;

// What has proved right here, as a share of the rest: a tip that was right on most of very many
// jobs gains this much, one that was right on one of one a third of it. Little, because what was
// often the cause is often looked for.
constexpr double kProved = 0.10;
constexpr double kProvedAfter = 2;  // jobs

// --- nearness ----------------------------------------------------------------------------------

struct Gap {
  int words = kNearest + 1;  // 1: next to each other, in the line's order
  std::size_t area = 0;
};

// The smallest distance of two terms inside one area; the line's order is one word nearer. Both
// lists are ascending, so the nearest of each place are its neighbours in the other.
Gap gap_between(const std::vector<Place>& first, const std::vector<Place>& second) {
  Gap best;
  const auto counts = [](const Place& place) {
    return static_cast<double>(place.weight) >= kNearWeight;
  };
  std::size_t next = 0;
  for (const Place& a : first) {
    if (!counts(a)) continue;
    while (next < second.size() && second[next].at < a.at) ++next;
    for (std::size_t i = next; i-- > 0;) {  // before it
      const int apart = a.at - second[i].at + 1;
      if (apart >= best.words) break;
      if (counts(second[i])) best = {apart, a.area()};
    }
    for (std::size_t i = next; i < second.size(); ++i) {  // at it or after
      const int apart = second[i].at - a.at;
      if (apart >= best.words) break;
      if (apart > 0 && counts(second[i])) best = {apart, a.area()};
    }
  }
  return best;
}

// Where a term's occurrences are weighed: by area, because why names them.
using ByArea = std::array<double, store::kAreas>;

}  // namespace

double vehicle_share(FitVerdict fit) {
  switch (fit) {
    case FitVerdict::fits:
      return 0.90;
    case FitVerdict::fits_all:
      return 0.65;
    case FitVerdict::other_year:
      return 0.30;
    case FitVerdict::other_engine:
      return 0.22;
    case FitVerdict::other_model:
    case FitVerdict::no_vehicle:
      return 0;
  }
  return 0;
}

double rarity(double having, double tips) {
  return std::log(1 + (std::max(tips - having, 0.0) + 0.5) / (having + 0.5));
}

// score = sum over terms of    count x rarity x saturated(weighted occurrences) x kAllWords if so
//       + sum over neighbours  kNear x rarity of the commoner / words between
//       + sum over conditions  kCondition x rarity of each word
//       + sum over codes       kCode x rarity
//       + (share of the vehicle + share of what it has proved) x all of the above
double rank(const Evidence& evidence, const Plan& plan, const Terms& terms,
            std::vector<Part>* parts) {
  double total = 0;
  const auto add = [&](const Part& part) {
    if (part.score <= 0) return;
    total += part.score;
    if (parts != nullptr) parts->push_back(part);
  };

  std::size_t wanted = 0;
  std::size_t there = 0;
  for (std::size_t term = 0; term < terms.terms.size(); ++term) {
    if (!terms.terms[term].required) continue;
    ++wanted;
    there += evidence.words.places[term].empty() ? 0U : 1U;
  }
  const double bonus = wanted > 1 && there == wanted ? kAllWords : 1;

  // Words: BM25F. Occurrences are weighted and held against the column's length first, then
  // saturated once over all columns, so that a word in five columns is not five words.
  std::array<double, store::kColumns> each{};
  for (std::size_t column = 0; column < store::kColumns; ++column) {
    each[column] = store::occurrence_weight(column, evidence.words.sizes[column]);
  }
  for (std::size_t term = 0; term < terms.terms.size(); ++term) {
    const std::vector<Place>& places = evidence.words.places[term];
    // No tip has it: nothing to win or lose.
    const PlannedTerm& planned = plan.terms[term];
    if (places.empty() || planned.rarity <= 0) continue;
    double sum = 0;
    ByArea by_area{};
    for (const Place& place : places) {
      const std::size_t area = place.area();
      const double weight = static_cast<double>(place.weight) *
                            each[static_cast<std::size_t>(store::kColumnOfArea[area])];
      sum += weight;
      by_area[area] += weight;
    }
    const double won = bonus * planned.worth * sum / (sum + store::kSaturation);
    total += won;
    if (parts == nullptr) continue;
    for (std::size_t area = 0; area < store::kAreas; ++area) {
      const double share = won * by_area[area] / sum;
      if (share > 0) parts->push_back({Part::Of::word, term, area, share});
    }
  }

  // Neighbours in the line that stand close in the tip, in the same area. Words without a meaning
  // of their own are stepped over: `leak at the pump` is `leak pump`.
  std::size_t before = terms.terms.size();
  for (const std::size_t term : terms.order) {
    if (!terms.terms[term].required) continue;
    const std::size_t first = std::exchange(before, term);
    if (first == terms.terms.size() || first == term) continue;
    const Gap gap = gap_between(evidence.words.places[first], evidence.words.places[term]);
    if (gap.words > kNearest) continue;
    const double worth = std::min(plan.terms[first].rarity, plan.terms[term].rarity);
    add({Part::Of::word, term, gap.area, kNear * worth / gap.words});
  }

  for (const std::size_t term : evidence.words.conditions) {
    add({Part::Of::word, term, static_cast<std::size_t>(store::Area::when),
         kCondition * plan.terms[term].rarity});
  }

  for (std::size_t i = 0; i < evidence.codes.size(); ++i) {
    const CodeEvidence& code = evidence.codes[i];
    if (code.match == CodeMatch::exact) add({Part::Of::code, i, 0, kCodeExact * code.rarity});
    if (code.match == CodeMatch::base) add({Part::Of::code, i, 0, kCodeBase * code.rarity});
    if (code.match == CodeMatch::near) add({Part::Of::near_code, i, 0, kCodeNear * code.rarity});
  }

  // A line about nothing but a vehicle: the fit is all there is.
  const double found = total > 0 ? total : 1;
  add({Part::Of::vehicle, 0, 0, vehicle_share(evidence.fit) * found});
  const Track& track = evidence.track;
  const int held = std::max(track.right - track.came_back, 0);
  add({Part::Of::proved, 0, 0,
       kProved * held / (std::max(track.used, held) + kProvedAfter) * found});
  return total;
}

}  // namespace baylore::search
