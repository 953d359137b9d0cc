// From the words of a line to what is looked for.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "search/phrases.h"
#include "search/understand.h"

namespace baylore::search {

// One way a term can stand in a tip.
struct Phrase {
  std::vector<std::string> words;  // folded, next to each other in this order
  double weight = 1;               // how much an occurrence counts, the word itself being 1
  bool prefix = false;             // the last word may go on
  bool other = false;              // another wording, from the vocabulary
};

// One different word, code, part number or reading of the line.
struct Term {
  std::string typed;  // "Heater"
  std::string word;   // "heater"
  int count = 1;      // how often it stands in the line
  bool code = false;  // a trouble code named in prose
  bool reading = false;
  bool says_little = false;     // see everyday.h
  bool required = true;         // counts for "all words": not `the`, not a code
  std::vector<Phrase> phrases;  // the first one is the word itself
};

struct Terms {
  std::vector<Term> terms;
  std::vector<std::size_t> order;  // the line's words as indexes into terms, for nearness
};

// `last_is_prefix`: the last word may still be growing. Other wordings of the vocabulary join in at
// the weight they have there. At most kMostTerms different words are looked at.
inline constexpr std::size_t kMostTerms = 128;
Terms terms_of(const Understood& understood, const Phrases& vocabulary, bool last_is_prefix);

// What an occurrence counts that is the beginning of a longer word, while the word may be growing.
inline constexpr double kPrefix = 0.8;

// Words that carry no fault, English and Spanish: a tip need not have them to have "all words".
bool function_word(std::string_view word);
const std::vector<std::string_view>& function_words();

}  // namespace baylore::search
