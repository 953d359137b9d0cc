// The words beyond those of the demo shop: what a growing shop goes on adding. At first they are
// words of the language; the longer it grows, the more of them are slips of the pen, words run
// together, derived words, names and numbers.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "random.h"

namespace baylore::benchmark {

class RareWords {
 public:
  // `known`: the words of the demo shop, the oftenest first. `dictionary`: other words, in any
  // order. `growth`: the exponent of Heaps' law, V = K N^growth, as measured there.
  RareWords(std::vector<std::string> known, std::vector<std::string> dictionary, double growth);

  // One of the endless list, by a power law whose exponent is 1 / growth, as Heaps' law asks for
  // (Lü, Zhang and Zhou, "Zipf's law leads to Heaps' law", PLoS ONE 5(12), 2010).
  [[nodiscard]] std::string draw(Random& random) const;
  // The word of a rank from 0 on: always the same.
  [[nodiscard]] std::string word(std::uint64_t rank) const;

 private:
  std::vector<std::string> known_;
  std::vector<std::string> dictionary_;  // shuffled
  double power_;
};

}  // namespace baylore::benchmark
