// Where the words of a line stand in one tip, read from the tip's own words.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

#include "search/plan.h"
#include "store/areas.h"
#include "store/weights.h"

namespace baylore::search {

// One place of a term in a tip.
struct Place {
  // Areas lie so far apart that no phrase goes from one into the next.
  static constexpr std::int32_t kAreaStep = 100'000;

  std::int32_t at = 0;  // words from the beginning of its area, and kAreaStep for each area before
  float weight = 1;     // of the best phrase of the term at this place
  std::int32_t words = 1;  // of that phrase

  [[nodiscard]] std::size_t area() const { return static_cast<std::size_t>(at / kAreaStep); }
  [[nodiscard]] int position() const { return at % kAreaStep; }
};

// Where the words stand in one tip.
struct Found {
  std::vector<std::vector<Place>> places;    // of each term, ascending
  std::array<int, store::kColumns> sizes{};  // words in each column
  // Terms in conditions of the tip that the line names whole: each once.
  std::vector<std::size_t> conditions;
};

// Reads tips of one piece. One thread at a time.
class EvidenceReader {
 public:
  EvidenceReader();
  // Tips of the piece of this number from now on. `function_numbers`: ascending.
  void take(const Plan& plan, std::size_t number,
            const std::vector<std::uint32_t>& function_numbers);
  void read(const store::Forward& tip, Found& found);

 private:
  struct Mark {
    std::uint32_t number = 0;  // of the word
    std::uint16_t term = 0;
    std::uint16_t phrase = 0;  // of several words: its number; else kNone
    std::uint16_t at = 0;      // which word of the phrase
    std::uint16_t words = 1;
    float weight = 1;
  };
  static constexpr std::uint16_t kNone = 0xFFFF;

  void clear();
  void mark(const Mark& mark);
  void meet(std::uint32_t number, std::int32_t at, Found& found);
  void find_conditions(const store::Forward& forward, Found& found) const;

  std::size_t terms_ = 0;
  const std::vector<std::uint32_t>* function_numbers_ = nullptr;
  // By the word's number as the tips have it: 0, or which of marks_ to look at. Numbers share a
  // place when there are more words than places.
  std::vector<std::uint8_t> places_;
  std::vector<std::uint16_t> set_;
  std::vector<std::vector<Mark>> marks_;
  std::unordered_map<std::uint32_t, std::vector<Mark>> rare_;  // numbers that do not fit 16 bits
  std::vector<std::vector<std::int32_t>> met_;  // of each phrase: where each of its words was last
};

// Makes the postings of a phrase from those of its words. `earlier`: made of the same phrase while
// the main part was the same; may be nullptr.
PhrasePostings phrase_postings(const store::Words& words, const PlannedPhrase& phrase,
                               const PhrasePostings* earlier = nullptr);

}  // namespace baylore::search
