#include "rare_words.h"

#include <array>
#include <cmath>
#include <utility>

namespace baylore::benchmark {
namespace {

constexpr std::array<const char*, 16> kBefore = {"re",   "un",   "over",  "under", "pre",  "mid",
                                                 "semi", "anti", "inter", "sub",   "post", "half",
                                                 "non",  "auto", "multi", "cross"};
constexpr std::array<const char*, 16> kAfter = {"ing",  "ed",   "er",   "less", "ness", "able",
                                                "side", "way",  "work", "line", "like", "ish",
                                                "ful",  "wise", "ment", "age"};
constexpr std::array<const char*, 24> kSyllables = {
    "bar", "cor",  "den", "fel", "gor", "hal", "jor", "kel", "lum", "mar", "nev",  "os",
    "pel", "quin", "rud", "sel", "tav", "vor", "wen", "by",  "ley", "ton", "ster", "den"};

// A neighbour lost, doubled, swapped or put for another.
std::string slip(std::string word, Random& random) {
  if (word.size() < 3) return word + 'e';
  const std::size_t at = 1 + random.below(word.size() - 2);
  switch (random.below(4)) {
    case 0:
      word.erase(at, 1);
      break;
    case 1:
      word.insert(at, 1, word[at]);
      break;
    case 2:
      std::swap(word[at], word[at + 1]);
      break;
    default:
      word[at] = static_cast<char>('a' + random.below(26));
  }
  return word;
}

}  // namespace

RareWords::RareWords(std::vector<std::string> known, std::vector<std::string> dictionary,
                     double growth)
    : known_(std::move(known)), dictionary_(std::move(dictionary)), power_(1 / (1 / growth - 1)) {
  Random random(20260314);
  for (std::size_t i = dictionary_.size(); i > 1; --i) {
    std::swap(dictionary_[i - 1], dictionary_[random.below(i)]);
  }
}

std::string RareWords::draw(Random& random) const {
  // Ranks continue those of the known words: beyond the first `size`, P(rank > r) = (size / r)^(s -
  // 1) with s = 1 / growth.
  const auto size = static_cast<double>(known_.size());
  const double rank = size * std::pow(random.share(), -power_) - size;
  return word(static_cast<std::uint64_t>(std::fmin(rank, 1e12)));
}

std::string RareWords::word(std::uint64_t rank) const {
  Random random(rank);
  // Words of the language only at first, then in every second place while they last.
  const std::uint64_t only = dictionary_.size() / 4;
  if (rank < only) return dictionary_[rank];
  if (rank % 2 == 0 && only + (rank - only) / 2 < dictionary_.size()) {
    return dictionary_[only + (rank - only) / 2];
  }
  // Common words are slipped on and joined more often than seldom ones.
  const auto known = [&]() -> const std::string& {
    const auto size = static_cast<double>(known_.size());
    return known_[static_cast<std::size_t>(std::pow(size, random.share())) - 1];
  };
  switch (random.below(10)) {
    case 0:
    case 1:
    case 2:
      return slip(known(), random);
    case 3:
      return known() + known();
    case 4:
      return kBefore.at(random.below(kBefore.size())) + known();
    case 5:
    case 6:
      return known() + kAfter.at(random.below(kAfter.size()));
    case 7:
    case 8: {
      std::string name;
      for (std::size_t i = 0; i < 3; ++i) name += kSyllables.at(random.below(kSyllables.size()));
      return name;
    }
    default: {
      std::string number(1, static_cast<char>('a' + random.below(26)));
      for (std::size_t i = 3 + random.below(4); i > 0; --i) {
        number += static_cast<char>('0' + random.below(10));
      }
      return number;
    }
  }
}

}  // namespace baylore::benchmark
