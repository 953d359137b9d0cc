// From the words of a line to what the index is asked: a closed builder. FTS5's own query language
// is never reachable from typed text: every word is quoted, and no word carries an operator.
#pragma once

#include <string>
#include <vector>

#include "search/understand.h"
#include "shop/vocabulary.h"

namespace baylore::search {

// One way a term can stand in a tip.
struct Phrase {
  std::string words;    // folded, blanks between
  bool prefix = false;  // the last word may go on
  double weight = 1;    // how much an occurrence counts, the word itself being 1
  bool synonym = false;
};

// One different word or code of the line.
struct Term {
  std::string typed;            // "Heater"
  std::string word;             // "heater"
  int count = 1;                // how often it stands in the line
  bool code = false;            // a trouble code named in prose
  bool required = true;         // counts for "all words": not `the`, not a code
  std::vector<Phrase> phrases;  // the first one is the word itself
};

struct Terms {
  std::vector<Term> terms;
  std::vector<std::size_t> order;  // the line's words as indexes into terms, for nearness
};

// `last_is_prefix`: the last word may still be growing. Synonyms of the vocabulary join in at a
// lower weight. At most kMostTerms different words are looked at.
inline constexpr std::size_t kMostTerms = 128;
Terms terms_of(const Understood& understood, const shop::Vocabulary& vocabulary,
               bool last_is_prefix);

// "\"heater\"", "\"no heat\"", "\"hea\" *": inner quotes doubled.
std::string quoted(const Phrase& phrase);

// The MATCH expression; its phrases come in the order of terms and, inside, of Term::phrases, which
// is how matches are told apart. With `all_words`, the required terms only, each of them wanted.
// Empty when there is nothing to ask.
std::string match_expression(const std::vector<Term>& terms, bool all_words);

}  // namespace baylore::search
