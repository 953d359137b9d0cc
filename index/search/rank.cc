#include "search/rank.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace baylore::search {
namespace {

// --- the weights -------------------------------------------------------------------------------

// How much one occurrence counts, by column, and how far a long column is held against a tip (0 not
// at all, 1 in full). The title is the author's own summary and the symptom is what the complaint
// sounds like; steps and parts mention many things in passing.
struct ColumnWeight {
  double weight = 1;
  double length = 0.75;
};
constexpr std::array<ColumnWeight, kColumns> kColumn = {{
    {6.0, 0.60},  // title
    {3.0, 0.75},  // symptom
    {1.2, 0.75},  // checks
    {0.9, 0.75},  // location
    {0.8, 0.75},  // repair
    {1.2, 0.60},  // parts
    {0.7, 0.75},  // finish
    {2.5, 0.40},  // names: component, system, when, vehicles
    {1.0, 0.75},  // other
}};
// A column that is empty in most tips has a tiny average; measured against that, any text is long.
constexpr double kShortestAverage = 6;

// How soon more occurrences of a word stop counting, in weighted occurrences: BM25's k1, which is
// this over the column's weight, so 1 in the title and 2 in the symptom.
constexpr double kSaturation = 6.0;

// A tip that has every word of the line, against one that has one of them often.
constexpr double kAllWords = 1.3;

// Two words of the line next to each other, and how far apart they may stand to count at all.
constexpr double kNear = 0.2;
constexpr int kNearest = 6;
// Occurrences of synonyms and unfinished words weigh less than this and do not count as near.
constexpr double kNearWeight = 0.7;

// A tip that lists the code of the line, in rarities: above what any single word can bring.
constexpr double kCodeExact = 2.0;
constexpr double kCodeBase = 1.6;

// The vehicle, as a share of what words and codes brought: it lifts a tip that answers the
// complaint and makes no answer of one that does not, however long the line. (As a share of the
// most a line could bring it drowned the complaint in long lines: a tip that fits and has one word
// of seven stood above one for another model that has all.)
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

// --- nearness ----------------------------------------------------------------------------------

struct Gap {
  int words = 0;  // 1: next to each other, in the line's order
  std::size_t column = 0;
};

// The smallest distance of two terms inside one column; the line's order is one word nearer.
Gap gap_between(const std::vector<Occurrence>& occurrences, std::size_t first, std::size_t second) {
  Gap best{kNearest + 1, 0};
  for (const Occurrence& a : occurrences) {
    if (a.term != first || a.weight < kNearWeight) continue;
    for (const Occurrence& b : occurrences) {
      if (b.term != second || b.weight < kNearWeight || b.column != a.column) continue;
      const int apart =
          b.position > a.position ? b.position - a.position : a.position - b.position + 1;
      if (b.position != a.position && apart < best.words) best = {apart, a.column};
    }
  }
  return best;
}

}  // namespace

double rarity(double having, double tips) {
  return std::log(1 + (std::max(tips - having, 0.0) + 0.5) / (having + 0.5));
}

// score = sum over terms of    count x rarity x saturated(weighted occurrences) x kAllWords if so
//       + sum over neighbours  kNear x rarity of the commoner / words between
//       + sum over codes       kCode x rarity
//       + share of the vehicle x all of the above
Scored rank(const Evidence& evidence, const Corpus& corpus, const Terms& terms) {
  Scored scored;
  const auto add = [&](Part part) {
    if (part.score <= 0) return;
    scored.total += part.score;
    scored.parts.push_back(part);
  };

  // Words: BM25F. Occurrences are weighted and held against the column's length first, then
  // saturated once over all columns, so that a word in five columns is not five words.
  std::vector<std::array<double, kColumns>> weighted(terms.terms.size());
  for (const Occurrence& occurrence : evidence.words.occurrences) {
    const std::size_t column = occurrence.column;
    const double average = std::max(corpus.average[column], kShortestAverage);
    const double relative = evidence.words.sizes[column] / average;
    const double length = 1 - kColumn[column].length + kColumn[column].length * relative;
    weighted[occurrence.term][column] += occurrence.weight * kColumn[column].weight / length;
  }
  const auto wanted = std::count_if(terms.terms.begin(), terms.terms.end(),
                                    [](const Term& term) { return term.required; });
  const double bonus = evidence.all_words && wanted > 1 ? kAllWords : 1;
  for (std::size_t term = 0; term < terms.terms.size(); ++term) {
    const double having = corpus.having[term];
    if (having <= 0) continue;  // no tip has it: nothing to win or lose
    const double worth = terms.terms[term].count * rarity(having, corpus.tips);
    double sum = 0;
    for (const double part : weighted[term]) sum += part;
    if (sum <= 0) continue;
    const double won = bonus * worth * sum / (sum + kSaturation);
    for (std::size_t column = 0; column < kColumns; ++column) {
      add({Part::Of::word, term, column, won * weighted[term][column] / sum});
    }
  }

  // Neighbours in the line that stand close in the tip, in the same column.
  // Words without a meaning of their own are stepped over: `leak at the pump` is `leak pump`.
  std::vector<std::size_t> line;
  for (const std::size_t term : terms.order) {
    if (terms.terms[term].required) line.push_back(term);
  }
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const std::size_t first = line[i];
    const std::size_t second = line[i + 1];
    if (first == second) continue;
    const Gap gap = gap_between(evidence.words.occurrences, first, second);
    if (gap.words > kNearest) continue;
    const double worth = std::min(rarity(corpus.having[first], corpus.tips),
                                  rarity(corpus.having[second], corpus.tips));
    add({Part::Of::word, second, gap.column, kNear * worth / gap.words});
  }

  for (std::size_t i = 0; i < evidence.codes.size(); ++i) {
    const CodeEvidence& code = evidence.codes[i];
    const double worth = rarity(code.having, corpus.tips);
    if (code.match == CodeMatch::exact) add({Part::Of::code, i, 0, kCodeExact * worth});
    if (code.match == CodeMatch::base) add({Part::Of::code, i, 0, kCodeBase * worth});
  }

  // A line about nothing but a vehicle: the fit is all there is.
  const double found = scored.total > 0 ? scored.total : 1;
  add({Part::Of::vehicle, 0, 0, vehicle_share(evidence.fit) * found});
  return scored;
}

}  // namespace baylore::search
