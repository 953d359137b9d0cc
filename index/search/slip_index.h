// The words that corrections are drawn from, laid out so that those a slip or two away from a typed
// word are found in a fraction of a millisecond among a hundred thousand.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
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
  // The words that `typed` may be a slip for, in no particular order: one letter put in, left out,
  // replaced or swapped, or up to `edits` of them in words that begin with one of the first two
  // letters typed; and no dearer than `most` by slip_cost(). `typed` itself is never among them.
  [[nodiscard]] std::vector<Near> near(std::string_view typed, int edits, int most) const;
  // The words whose beginning `typed` may be a slip for, as above, among those that begin with one
  // of the first two letters typed.
  [[nodiscard]] std::vector<Near> near_beginning(std::string_view typed, int edits, int most) const;
  // Whether some word that counts begins with `start`.
  [[nodiscard]] bool begins(std::string_view start,
                            const std::function<bool(std::string_view word)>& counts) const;
  [[nodiscard]] std::size_t size() const { return words_.size(); }

 private:
  struct Word {
    std::uint32_t at = 0;  // in letters_
    std::uint32_t tips = 0;
  };
  static constexpr std::size_t kLengths = 64;

  [[nodiscard]] std::string_view text(std::size_t i) const {
    return std::string_view(letters_).substr(words_[i].at, sizes_[i]);
  }
  // Where the words start that begin with the letter and are as long as that, or longer, up to the
  // next letter.
  [[nodiscard]] std::uint32_t start(std::size_t letter, std::size_t size) const {
    return starts_[letter * kLengths + size];
  }
  template <bool kBeginning>
  void look(std::string_view typed, int edits, int most, std::uint32_t first_letters,
            std::vector<Near>& found) const;

  std::string letters_;
  std::vector<Word> words_;  // by first letter, then by length, then in the order of their letters
  std::vector<std::uint8_t> sizes_;
  std::vector<std::uint32_t> marks_;  // which letters a word has: see marks_of()
  std::vector<std::uint32_t> starts_;
  std::vector<std::uint32_t> sorted_;  // all words in the order of their letters
};

}  // namespace baylore::search
