// Lines of two and three texts set against each other.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace baylore::pack {

// A line with its ending, LF or CRLF; the last may have none.
std::vector<std::string> lines_with_ends(std::string_view text);
// Without its ending.
std::string_view bare(std::string_view line);

// Pairs of places with equal lines, rising on both sides: a longest common subsequence (Myers, "An
// O(ND) difference algorithm", 1986, from memory). Endings do not count. Texts that differ in more
// than kMostEdits lines are paired at their common beginning and end alone.
inline constexpr std::size_t kMostEdits = 2000;
std::vector<std::pair<std::size_t, std::size_t>> matches(const std::vector<std::string>& a,
                                                         const std::vector<std::string>& b);

// How many lines have to go or come to make one of the other.
std::size_t distance(std::string_view a, std::string_view b);

// Merges by lines, after Khanna, Kunal and Pierce, "A formal investigation of diff3" (2007): what
// changed on one side only is taken, what both changed alike is taken once. List items and table
// rows that both added at one place are both kept. False when both changed one place in different
// ways; then `into` holds our side there.
bool merge_lines(const std::vector<std::string>& base, const std::vector<std::string>& ours,
                 const std::vector<std::string>& theirs, std::vector<std::string>& into);

}  // namespace baylore::pack
