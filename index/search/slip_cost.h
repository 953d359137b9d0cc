// How likely one word is a slip for another, as a cost in tenths: 0 for the same word, about 10 for
// a letter that is simply wrong.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace baylore::search {

// Words that can be compared: lower-case ASCII letters, at most so many. Others cost kNoSlip.
inline constexpr std::size_t kLongestSlip = 40;
inline constexpr int kNoSlip = 999;

// Cheaper than other slips are doubled and dropped letters, swapped neighbours, letters that sound
// alike and letters side by side on a keyboard; dearer is a wrong first letter. With `beginning`,
// what `meant` has after the part that `typed` stands for is free: the word is still being typed.
// Above `most` the answer is kNoSlip.
int slip_cost(std::string_view typed, std::string_view meant, int most, bool beginning = false);

// Whether two letters are side by side on a QWERTY keyboard (ISO/IEC 9995 layouts agree on where
// letters stand to each other; QWERTY's order is common practice).
bool side_by_side(char a, char b);

// The fewest letters put in, left out, replaced or swapped with their neighbour that make one
// pattern into many texts, each swap once and untouched otherwise (restricted Damerau-Levenshtein),
// 64 steps at a time: Hyyrö, "A bit-vector algorithm for computing Levenshtein and Damerau edit
// distances", Nordic Journal of Computing 10 (2003), from memory.
class EditDistance {
 public:
  // Of 1 to kLongestSlip lower-case ASCII letters.
  explicit EditDistance(std::string_view pattern);
  [[nodiscard]] int to(std::string_view text) const;
  // To the nearest beginning of `text`.
  [[nodiscard]] int to_beginning(std::string_view text) const;

 private:
  template <bool kBeginning>
  [[nodiscard]] int distance(std::string_view text) const;

  std::array<std::uint64_t, 26> places_{};  // of each letter in the pattern
  std::size_t size_ = 0;
};

}  // namespace baylore::search
