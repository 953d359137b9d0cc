// What a found tip is worth: one function, every weight named in rank.cc, every part of the score
// kept so that the terminal can say why.
#pragma once

#include <vector>

#include "search/candidates.h"
#include "search/search.h"
#include "search/terms.h"

namespace baylore::search {

enum class CodeMatch { none, base, exact };

// A code of the line as one tip stands to it.
struct CodeEvidence {
  CodeMatch match = CodeMatch::none;
  double having = 0;  // how many tips list it, by base
};

struct Evidence {
  const Found& words;               // where the words stand; occurrences may be empty
  bool all_words = false;           // whether every required term is among them
  std::vector<CodeEvidence> codes;  // one for each code of the line
  FitVerdict fit = FitVerdict::no_vehicle;
};

// One part of a score.
struct Part {
  enum class Of { word, code, vehicle } of = Of::word;
  std::size_t index = 0;   // of the term, or of the code
  std::size_t column = 0;  // for a word
  double score = 0;
};

struct Scored {
  double total = 0;  // the sum of the parts
  std::vector<Part> parts;
};

Scored rank(const Evidence& evidence, const Corpus& corpus, const Terms& terms);

// How rare something is that `having` of `tips` have. Never zero: in a shop's few hundred tips a
// word in half of them (`leak`) still tells tips apart, and the usual form would floor it to
// nothing.
double rarity(double having, double tips);

}  // namespace baylore::search
