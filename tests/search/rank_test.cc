#include "search/rank.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

using namespace baylore::search;

namespace {

constexpr auto kTitle = static_cast<std::size_t>(baylore::store::Area::title);
constexpr auto kSymptom = static_cast<std::size_t>(baylore::store::Area::symptom);
constexpr auto kRepair = static_cast<std::size_t>(baylore::store::Area::repair);
constexpr auto kWhen = static_cast<std::size_t>(baylore::store::Area::when);

Terms two_terms() {
  Terms terms;
  for (const char* word : {"heater", "cold"}) {
    Term term;
    term.typed = term.word = word;
    term.phrases.push_back({{word}, 1, false, false});
    terms.terms.push_back(term);
  }
  terms.order = {0, 1};
  return terms;
}

// 100 tips; 5 have `heater`, 50 have `cold`.
Plan plan() {
  Plan plan;
  for (const double having : {5, 50}) {
    PlannedTerm& term = plan.terms.emplace_back();
    term.rarity = term.worth = rarity(having, 100);
  }
  return plan;
}

// A term at one place of a tip.
struct Occurrence {
  std::size_t term;
  std::size_t area;
  int position;
  double weight;
  int words;
};

Found found_at(std::vector<Occurrence> occurrences, int size = 20) {
  Found found;
  found.places.resize(2);
  found.sizes.fill(size);
  std::sort(occurrences.begin(), occurrences.end(), [](const Occurrence& a, const Occurrence& b) {
    return std::pair(a.area, a.position) < std::pair(b.area, b.position);
  });
  for (const Occurrence& each : occurrences) {
    const auto at = static_cast<int>(each.area) * Place::kAreaStep + each.position;
    found.places[each.term].push_back({at, static_cast<float>(each.weight), each.words});
  }
  return found;
}

double score(std::vector<Occurrence> occurrences, FitVerdict fit = FitVerdict::no_vehicle,
             const std::vector<CodeEvidence>& codes = {}, int size = 20) {
  const Found found = found_at(std::move(occurrences), size);
  std::vector<Part> parts;
  const Evidence evidence{found, codes, fit, {}};
  const double total = rank(evidence, plan(), two_terms(), &parts);
  CHECK(rank(evidence, plan(), two_terms()) == total);
  double sum = 0;
  for (const Part& part : parts) {
    CHECK(part.score > 0);
    sum += part.score;
  }
  CHECK(sum == doctest::Approx(total));
  return total;
}

}  // namespace

TEST_CASE("a word in half of the tips still counts") {
  // The usual form, ln((N-n+.5)/(n+.5)), is 0 here and is floored to 1e-6 in FTS5 (fts5_aux.c).
  CHECK(rarity(50, 100) == doctest::Approx(std::log(2.0)));
  CHECK(rarity(100, 100) > 0);
  CHECK(rarity(1, 100) > rarity(5, 100));
  CHECK(rarity(5, 100) > rarity(50, 100));
  CHECK(score({{1, kSymptom, 3, 1, 1}}) > 0.05);
}

TEST_CASE("where a word stands, and how rare it is") {
  // In columns of their usual lengths.
  CHECK(score({{0, kTitle, 0, 1, 1}}, FitVerdict::no_vehicle, {}, 9) >
        score({{0, kSymptom, 0, 1, 1}}, FitVerdict::no_vehicle, {}, 90));
  CHECK(score({{0, kSymptom, 0, 1, 1}}) > score({{0, kRepair, 0, 1, 1}}));
  CHECK(score({{0, kRepair, 0, 1, 1}}) > score({{1, kRepair, 0, 1, 1}}));
}

TEST_CASE("more occurrences help less and less, in longer columns less") {
  std::vector<Occurrence> occurrences;
  double before = 0;
  double gain = 1e9;
  for (int i = 0; i < 6; ++i) {
    occurrences.push_back({0, kSymptom, i * 20, 1, 1});
    const double now = score(occurrences);
    CHECK(now > before);
    CHECK(now - before < gain);
    gain = now - before;
    before = now;
  }
  CHECK(score({{0, kSymptom, 0, 1, 1}}, FitVerdict::no_vehicle, {}, 10) >
        score({{0, kSymptom, 0, 1, 1}}, FitVerdict::no_vehicle, {}, 200));
}

TEST_CASE("an unfinished word weighs a little less than a whole one, a synonym less than that") {
  CHECK(score({{0, kTitle, 0, 1, 1}}) > score({{0, kTitle, 0, 0.8, 1}}));
  CHECK(score({{0, kTitle, 0, 0.8, 1}}) > score({{0, kTitle, 0, 0.45, 1}}));
}

TEST_CASE("words of the line that stand together") {
  const double together = score({{0, kSymptom, 5, 1, 1}, {1, kSymptom, 6, 1, 1}});
  const double turned = score({{1, kSymptom, 5, 1, 1}, {0, kSymptom, 6, 1, 1}});
  const double near = score({{0, kSymptom, 5, 1, 1}, {1, kSymptom, 9, 1, 1}});
  const double far = score({{0, kSymptom, 5, 1, 1}, {1, kSymptom, 15, 1, 1}});
  CHECK(together > turned);
  CHECK(turned > near);
  CHECK(near > far);
}

TEST_CASE("all words before one word often") {
  CHECK(score({{0, kSymptom, 1, 1, 1}, {1, kSymptom, 15, 1, 1}}) >
        score({{0, kSymptom, 1, 1, 1}, {0, kSymptom, 15, 1, 1}}));
}

TEST_CASE("a condition of the tip that the line names whole") {
  Found found = found_at({{0, kWhen, 0, 1, 1}});
  const double apart = rank({found, {}, FitVerdict::no_vehicle, {}}, plan(), two_terms());
  found.conditions = {0};
  std::vector<Part> parts;
  const double named = rank({found, {}, FitVerdict::no_vehicle, {}}, plan(), two_terms(), &parts);
  CHECK(named > apart);
  double sum = 0;
  for (const Part& part : parts) sum += part.score;
  CHECK(sum == doctest::Approx(named));
}

TEST_CASE("a code: exact, then its base, then one near it, then none") {
  const auto with = [](CodeMatch match) {
    return score({{1, kTitle, 0, 1, 1}}, FitVerdict::no_vehicle, {{match, rarity(3, 100)}});
  };
  CHECK(with(CodeMatch::exact) > with(CodeMatch::base));
  CHECK(with(CodeMatch::base) > with(CodeMatch::near));
  CHECK(with(CodeMatch::near) > with(CodeMatch::none));
  // Listing the code beats a title with both words.
  CHECK(score({}, FitVerdict::no_vehicle, {{CodeMatch::base, rarity(3, 100)}}) >
        score({{0, kTitle, 0, 1, 1}, {1, kTitle, 1, 1, 1}}, FitVerdict::no_vehicle,
              {{CodeMatch::none, rarity(3, 100)}}));
}

TEST_CASE("the vehicle: fits, fits all, another year, another engine, another model") {
  const FitVerdict order[] = {FitVerdict::fits, FitVerdict::fits_all, FitVerdict::other_year,
                              FitVerdict::other_engine, FitVerdict::other_model};
  double before = 1e9;
  for (const FitVerdict verdict : order) {
    const double now = score({{0, kSymptom, 0, 1, 1}}, verdict);
    CHECK(now < before);
    before = now;
  }
  // It lifts and does not drown: the whole complaint on another model stands above one of its words
  // in passing on a tip that fits.
  const std::vector<Occurrence> complaint = {{0, kTitle, 0, 1, 1}, {1, kTitle, 1, 1, 1}};
  CHECK(score(complaint, FitVerdict::other_model) >
        score({{1, kRepair, 0, 1, 1}}, FitVerdict::fits));
  CHECK(score(complaint, FitVerdict::other_model) <
        score({{0, kTitle, 0, 1, 1}, {1, kSymptom, 9, 1, 1}}, FitVerdict::fits));
  // A line about nothing but the vehicle.
  CHECK(score({}, FitVerdict::fits) > score({}, FitVerdict::other_year));
}
