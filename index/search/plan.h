// What is looked for, resolved to the numbers that words have in the parts of the postings, with
// what each is worth.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "search/terms.h"
#include "store/words.h"

namespace baylore::search {

// What an occurrence of another form of the word counts: `leaks` for `leaking`.
inline constexpr double kStem = 0.8;
// A growing word stands for at most so many longer ones, those that most tips have.
inline constexpr std::size_t kMostCompletions = 64;

// A word of the dictionary that answers a term.
struct Way {
  static constexpr std::uint32_t kAbsent = 0xFFFFFFFFU;
  std::vector<std::uint32_t> numbers;  // by piece of the words; kAbsent where it is not
  std::uint32_t tips = 0;              // alive, that hold it
  double weight = 1;                   // what an occurrence counts
};

// Where several words stand next to each other: postings made from those of the words, by piece, in
// the form the parts have them.
struct PhrasePostings {
  std::vector<std::string> bytes;
  std::uint32_t tips = 0;  // alive
};

struct PlannedPhrase {
  std::vector<std::vector<Way>> words;  // the ways of each word
  std::shared_ptr<const PhrasePostings> postings;
  double weight = 1;
};

struct PlannedTerm {
  std::vector<Way> ways;               // single words
  std::vector<PlannedPhrase> phrases;  // of several words
  double worth = 0;                    // the most it can bring: times said x rarity
  bool required = true;
};

struct PlannedCode {
  std::vector<std::uint32_t> exact;  // by piece
  std::vector<std::uint32_t> base;
  double having = 0;  // tips that list the base
};

// What the ranking needs to know about all tips together.
struct Corpus {
  double tips = 0;
  std::array<double, store::kColumns> average{};  // words per column
  std::vector<double> having;                     // of each term: how many tips have it
};

struct Plan {
  std::vector<PlannedTerm> terms;
  std::vector<PlannedCode> codes;
  Corpus corpus;
  std::size_t required = 0;  // how many terms count for "all words"
};

// Resolves, and remembers what it resolved while the words stay the same: a line is typed letter by
// letter. One thread at a time.
class Planner {
 public:
  Plan plan(const store::Words& words, const Terms& terms, const std::vector<std::string>& codes);
  // The numbers of words that carry no fault, ascending, in one piece.
  [[nodiscard]] const std::vector<std::uint32_t>& function_numbers(const store::Words& words,
                                                                   std::size_t piece);

 private:
  void forget_old(const store::Words& words);
  const std::vector<Way>& ways_of(const store::Words& words, const std::string& word);
  std::vector<Way> completions(const store::Words& words, const std::string& prefix) const;
  std::shared_ptr<const PhrasePostings> postings_of(const store::Words& words,
                                                    const PlannedPhrase& phrase,
                                                    const std::vector<std::string>& text);

  std::uint64_t version_ = 0;
  store::Stemmer stemmer_;
  std::unordered_map<std::string, std::vector<Way>> ways_;
  std::unordered_map<std::string, std::shared_ptr<const PhrasePostings>> phrases_;
  std::vector<std::vector<std::uint32_t>> function_numbers_;
};

}  // namespace baylore::search
