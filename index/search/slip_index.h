// The words that corrections are drawn from, laid out so that those a slip or two away from a typed
// word are found in a fraction of a millisecond among a hundred thousand.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::search {

class SlipIndex {
 public:
  // Words of 3 to kLongestSlip lower-case ASCII letters; what else is added is left out. A word
  // added twice has the higher count.
  void add(std::string_view word, std::uint32_t tips);
  // After the last add(), before the first question.
  void finish();

  struct Near {
    std::string_view word;  // lives as long as the index
    std::uint32_t tips = 0;
    int cost = 0;  // slip_cost(), at most the one asked for
  };
  // The words that `typed` may be a slip for, in the order of their letters: at most `edits`
  // letters put in, left out, replaced or swapped, and no dearer than `most` by slip_cost(). With
  // `beginning`, words that may go on. `typed` itself is never among them.
  [[nodiscard]] std::vector<Near> near(std::string_view typed, int edits, int most,
                                       bool beginning) const;
  // Whether some word begins with `start`.
  [[nodiscard]] bool begins(std::string_view start) const;
  [[nodiscard]] std::size_t size() const { return words_.size(); }

 private:
  struct Word {
    std::uint32_t at = 0;  // in letters_
    std::uint32_t tips = 0;
  };

  [[nodiscard]] std::string_view text(std::size_t i) const {
    return std::string_view(letters_).substr(words_[i].at, sizes_[i]);
  }

  std::string letters_;
  std::vector<Word> words_;  // in the order of their letters
  std::vector<std::uint8_t> sizes_;
  std::vector<std::uint32_t> marks_;  // which letters a word has: see marks_of()
};

}  // namespace baylore::search
