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
inline constexpr double kStem = 0.7;
// Codes that begin with as many letters and figures alike (`P030`) tell of one thing at several
// places, such as misfires of each cylinder or the circuits of one sensor (common practice, no
// source).
inline constexpr std::size_t kCodeFamily = 4;
// A growing word stands for at most so many longer ones, those that most tips have.
inline constexpr std::size_t kMostCompletions = 64;

// A word of the dictionary.
struct Way {
  static constexpr std::uint32_t kAbsent = 0xFFFFFFFFU;
  std::vector<std::uint32_t> numbers;  // by piece of the words; kAbsent where it is not
  std::uint64_t key = 0;   // tells it from other words: its first piece and number there
  std::uint32_t tips = 0;  // alive, that hold it
  double weight = 1;       // what an occurrence counts for the word it was resolved from
};

// A way that answers a term.
struct Answering {
  const Way* way = nullptr;
  double weight = 1;  // what an occurrence counts
};

// Where several words stand next to each other: postings made from those of the words, by piece, in
// the form the parts have them.
struct PhrasePostings {
  std::vector<std::string> bytes;
  std::vector<std::uint32_t>
      main;                // the tips of the main part among them, dead ones too; ascending
  std::uint32_t tips = 0;  // alive
};

struct PlannedPhrase {
  std::vector<const std::vector<Way>*> words;  // the ways of each word
  std::shared_ptr<const PhrasePostings> postings;
  double weight = 1;
};

struct PlannedTerm {
  std::vector<Answering> ways;         // single words
  std::vector<PlannedPhrase> phrases;  // of several words
  double rarity = 0;                   // 0 when no tip has it
  double worth = 0;                    // the most it can bring: times said x rarity
  bool required = true;
};

struct PlannedCode {
  std::vector<std::uint32_t> exact;  // by piece
  std::vector<std::uint32_t> base;
  // Codes that differ from it in the last figure alone, with whatever failure type.
  std::vector<std::vector<std::uint32_t>> near;
  bool listed = false;  // some tip lists it
  double rarity = 0;    // of the base
};

// Good until the planner's next plan.
struct Plan {
  std::vector<PlannedTerm> terms;
  std::vector<PlannedCode> codes;
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
  const std::vector<Way>& completions(const store::Words& words, const std::string& prefix);
  std::shared_ptr<const PhrasePostings> postings_of(const store::Words& words,
                                                    const PlannedPhrase& phrase,
                                                    const std::vector<std::string>& text);

  std::uint64_t version_ = 0;
  store::Stemmer stemmer_;
  std::unordered_map<std::string, std::vector<Way>> ways_;
  std::unordered_map<std::string, std::vector<Way>> completions_;
  std::unordered_map<std::string, std::shared_ptr<const PhrasePostings>> phrases_;
  // Of earlier versions of the words, with the same main part: what it has of them is as it was.
  std::unordered_map<std::string, std::shared_ptr<const PhrasePostings>> earlier_phrases_;
  std::uint64_t main_version_ = 0;
  std::vector<std::vector<std::uint32_t>> function_numbers_;
};

}  // namespace baylore::search
