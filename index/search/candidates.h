// Finds the tips worth ranking: a quick score for every tip from the postings alone, and the best
// of them. What they are worth is decided in rank.cc.
#pragma once

#include <cstdint>
#include <vector>

#include "search/plan.h"
#include "search/vehicles.h"
#include "store/words.h"

namespace baylore::search {

struct Candidate {
  std::uint32_t key = 0;  // the quick score; withdrawn tips below all others
  std::uint32_t tip = 0;  // in its piece
  std::uint32_t piece = 0;
  bool withdrawn = false;
};

// Tips that have a word or code of the line, or, when it says nothing else, are about its vehicle.
struct Tally {
  std::uint64_t fitting = 0;  // without a vehicle: all of them
  std::uint64_t others = 0;
};

struct Gathered {
  std::vector<Candidate> best;  // at most as many as asked for, best first
  Tally any;
  Tally all;  // with every required term
};

// Memory that is the same for every search. One thread at a time.
class Gatherer {
 public:
  Gatherer();
  // `by_vehicle`: the line says nothing but a vehicle.
  Gathered gather(const store::Words& words, const Plan& plan, const Standings& standings,
                  bool by_vehicle, std::size_t most);

 private:
  struct List;
  struct Group;
  struct Asked;
  template <bool kRequired>
  void add_up(Group& group, std::uint32_t begin, std::uint32_t end);
  void choose(const Asked& asked, std::uint32_t begin, std::uint32_t end);
  std::uint32_t seed(const Asked& asked);
  void look_for_withdrawn(const store::Words& words);

  std::vector<std::int16_t> scores_;    // of the tips of a stretch
  std::vector<std::int16_t> term_;      // of one term
  std::vector<std::uint8_t> terms_;     // how many required terms a tip has
  std::vector<std::uint8_t> verdicts_;  // a copy, filled up
  std::vector<std::int16_t> highest_;   // of each column of scores
  std::vector<std::int16_t> seeds_;
  std::uint64_t version_ = 0;    // of the words whose pieces
  std::vector<bool> withdrawn_;  // have withdrawn tips
  std::vector<Candidate> pool_;
  std::uint32_t least_ = 0;  // the key a candidate must have
  Gathered result_;
};

}  // namespace baylore::search
