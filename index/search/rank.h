// What a found tip is worth: one function, every weight named in rank.cc, every part of the score
// kept so that the terminal can say why.
#pragma once

#include <span>
#include <vector>

#include "search/evidence.h"
#include "search/search.h"
#include "search/terms.h"

namespace baylore::search {

enum class CodeMatch { none, near, base, exact };

// A code of the line as one tip stands to it.
struct CodeEvidence {
  CodeMatch match = CodeMatch::none;
  double rarity = 0;  // of its base
};

struct Evidence {
  const Found& words;                   // where the words stand; there may be none
  std::span<const CodeEvidence> codes;  // one for each code of the line
  FitVerdict fit = FitVerdict::no_vehicle;
  Track track;  // what the tip has proved in this shop
};

// One part of a score.
struct Part {
  enum class Of { word, code, near_code, vehicle, proved } of = Of::word;
  std::size_t index = 0;  // of the term, or of the code
  std::size_t area = 0;   // for a word
  double score = 0;
};

// What the tip is worth. With `parts`, also what each part brought: their sum is the whole,
// rounding apart.
double rank(const Evidence& evidence, const Plan& plan, const Terms& terms,
            std::vector<Part>* parts = nullptr);

// How rare something is that `having` of `tips` have. Never zero: in a shop's few hundred tips a
// word in half of them (`leak`) still tells tips apart, and the usual form would floor it to
// nothing.
double rarity(double having, double tips);

// Weights that the quick score of candidates.cc uses too.

// A tip that has every word of the line, against one that has one of them often.
inline constexpr double kAllWords = 1.3;
// A tip that lists the code of the line, in rarities: above what any single word can bring.
inline constexpr double kCodeExact = 2.0;
inline constexpr double kCodeBase = 1.6;
inline constexpr double kCodeNear = 0.35;
// A word of everyday speech, against its rarity: in a few hundred tips `really` and `they` are rare
// by chance.
inline constexpr double kSaysLittle = 0.3;
// The vehicle, as a share of what words and codes brought: it lifts a tip that answers the
// complaint and makes no answer of one that does not, however long the line. (As a share of the
// most a line could bring it drowned the complaint in long lines: a tip that fits and has one word
// of seven stood above one for another model that has all.)
double vehicle_share(FitVerdict fit);

}  // namespace baylore::search
