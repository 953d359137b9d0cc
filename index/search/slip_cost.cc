#include "search/slip_cost.h"

#include <algorithm>
#include <bit>
#include <cstdlib>
#include <string>

namespace baylore::search {
namespace {

// In tenths of a wrong letter. Common practice, no source; only their order matters much.
constexpr int kOther = 10;
constexpr int kNearLetter = 7;  // side by side on the keyboard, or alike to the ear
constexpr int kVowel = 6;       // one vowel for another: the commonest mistake of the ear
constexpr int kSwap = 6;        // neighbours swapped
constexpr int kDouble = 4;      // a letter doubled, or one of two left out
constexpr int kMissing = 8;     // a letter left out
constexpr int kExtra = 9;       // a letter too many
constexpr int kSilent = 6;      // a vowel or an h left out or put in
constexpr int kFirst = 4;       // on top, for a first letter: people hit that one

bool letters(std::string_view word) {
  return !word.empty() && word.size() <= kLongestSlip &&
         std::all_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

std::size_t index(char c) { return static_cast<std::size_t>(c - 'a'); }

bool vowel(char c) { return std::string_view("aeiouy").find(c) != std::string_view::npos; }

// Replaced by each other by people who write what they hear.
bool alike(char a, char b) {
  static constexpr std::array<std::string_view, 13> kPairs = {
      "ck", "cs", "sz", "gj", "fv", "mn", "dt", "bp", "kq", "vw", "bv", "cq", "st"};
  return std::any_of(kPairs.begin(), kPairs.end(), [&](std::string_view pair) {
    return (pair[0] == a && pair[1] == b) || (pair[0] == b && pair[1] == a);
  });
}

using Table = std::array<std::array<std::uint8_t, 26>, 26>;

Table make_neighbours() {
  // Where the keys are, in quarters of a key's width.
  static constexpr std::array<std::string_view, 3> kRows = {"qwertyuiop", "asdfghjkl", "zxcvbnm"};
  static constexpr std::array<int, 3> kShift = {0, 1, 3};
  std::array<std::array<int, 2>, 26> at{};
  for (std::size_t row = 0; row < kRows.size(); ++row) {
    for (std::size_t i = 0; i < kRows[row].size(); ++i) {
      at[index(kRows[row][i])] = {static_cast<int>(i) * 4 + kShift[row], static_cast<int>(row) * 4};
    }
  }
  Table table{};
  for (std::size_t a = 0; a < 26; ++a) {
    for (std::size_t b = 0; b < 26; ++b) {
      const int across = at[a][0] - at[b][0];
      const int down = at[a][1] - at[b][1];
      const int apart = across * across + down * down;
      table[a][b] = a != b && apart <= 5 * 5 ? 1 : 0;
    }
  }
  return table;
}

const Table& neighbours() {
  static const Table kTable = make_neighbours();
  return kTable;
}

Table make_replacing() {
  Table table{};
  for (std::size_t a = 0; a < 26; ++a) {
    for (std::size_t b = 0; b < 26; ++b) {
      const char x = static_cast<char>('a' + a);
      const char y = static_cast<char>('a' + b);
      int cost = kOther;
      if (a == b) {
        cost = 0;
      } else if (vowel(x) && vowel(y)) {
        cost = kVowel;
      } else if (alike(x, y) || neighbours()[a][b] != 0) {
        cost = kNearLetter;
      }
      table[a][b] = static_cast<std::uint8_t>(cost);
    }
  }
  return table;
}

// What the letter at `at` of `meant` costs to be left out of what was typed.
int missing(std::string_view meant, std::size_t at) {
  const char c = meant[at];
  int cost = vowel(c) || c == 'h' ? kSilent : kMissing;
  if ((at > 0 && meant[at - 1] == c) || (at + 1 < meant.size() && meant[at + 1] == c)) {
    cost = kDouble;
  }
  return cost + (at == 0 ? kFirst : 0);
}

// What the letter at `at` of `typed` costs to be one too many.
int extra(std::string_view typed, std::size_t at) {
  const char c = typed[at];
  int cost = vowel(c) || c == 'h' ? kSilent : kExtra;
  // A finger on two keys at once.
  const auto beside = [&](std::size_t other) {
    return neighbours()[index(c)][index(typed[other])] != 0;
  };
  if ((at > 0 && beside(at - 1)) || (at + 1 < typed.size() && beside(at + 1))) {
    cost = std::min(cost, kNearLetter);
  }
  if ((at > 0 && typed[at - 1] == c) || (at + 1 < typed.size() && typed[at + 1] == c)) {
    cost = kDouble;
  }
  return cost + (at == 0 ? kFirst : 0);
}

}  // namespace

bool side_by_side(char a, char b) {
  if (a < 'a' || a > 'z' || b < 'a' || b > 'z') return false;
  return neighbours()[index(a)][index(b)] != 0;
}

// The usual table of costs, three rows of it: row i is what the first i letters typed cost to be
// the first j letters meant. A row above `most` everywhere ends it.
int slip_cost(std::string_view typed, std::string_view meant, int most, bool beginning) {
  static const Table kReplacing = make_replacing();
  if (!letters(typed) || !letters(meant)) return typed == meant && !typed.empty() ? 0 : kNoSlip;
  std::array<std::array<int, kLongestSlip + 1>, 3> rows{};
  const std::size_t width = meant.size();
  rows[0][0] = 0;
  for (std::size_t j = 1; j <= width; ++j) rows[0][j] = rows[0][j - 1] + missing(meant, j - 1);
  for (std::size_t i = 1; i <= typed.size(); ++i) {
    auto& row = rows[i % 3];
    const auto& above = rows[(i - 1) % 3];
    const auto& two_above = rows[(i + 1) % 3];
    const int extra_cost = extra(typed, i - 1);
    row[0] = above[0] + extra_cost;
    int least = row[0];
    for (std::size_t j = 1; j <= width; ++j) {
      const int replaced = kReplacing[index(typed[i - 1])][index(meant[j - 1])];
      int cost = above[j - 1] + replaced + (replaced != 0 && (i == 1 || j == 1) ? kFirst : 0);
      cost = std::min(cost, above[j] + extra_cost);
      cost = std::min(cost, row[j - 1] + missing(meant, j - 1));
      if (i > 1 && j > 1 && typed[i - 1] == meant[j - 2] && typed[i - 2] == meant[j - 1] &&
          typed[i - 1] != typed[i - 2]) {
        cost = std::min(cost, two_above[j - 2] + kSwap + (i == 2 ? kFirst / 2 : 0));
      }
      row[j] = cost;
      least = std::min(least, cost);
    }
    // A swap reaches back over a row, and is never free.
    if (least > most + kSwap) return kNoSlip;
  }
  const auto& last = rows[typed.size() % 3];
  int cost = last[width];
  if (beginning) cost = *std::min_element(last.begin() + 1, last.begin() + 1 + width);
  return cost <= most ? cost : kNoSlip;
}

EditDistance::EditDistance(std::string_view pattern) : size_(pattern.size()) {
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    places_[index(pattern[i])] |= std::uint64_t{1} << i;
  }
}

template <bool kBeginning>
int EditDistance::distance(std::string_view text) const {
  std::uint64_t plus = ~std::uint64_t{0};
  std::uint64_t minus = 0;
  std::uint64_t diagonal = 0;
  std::uint64_t before = 0;
  const std::uint64_t end = std::uint64_t{1} << (size_ - 1);
  int distance = static_cast<int>(size_);
  int least = distance;
  for (const char c : text) {
    const std::uint64_t here = places_[index(c)];
    const std::uint64_t swapped = ((~diagonal & here) << 1) & before;
    diagonal = (((here & plus) + plus) ^ plus) | here | minus | swapped;
    std::uint64_t up = minus | ~(diagonal | plus);
    std::uint64_t down = diagonal & plus;
    if ((up & end) != 0) ++distance;
    if ((down & end) != 0) --distance;
    if (kBeginning) least = std::min(least, distance);
    up = (up << 1) | 1;
    down <<= 1;
    plus = down | ~(diagonal | up);
    minus = up & diagonal;
    before = here;
  }
  return kBeginning ? least : distance;
}

int EditDistance::to(std::string_view text) const { return distance<false>(text); }

int EditDistance::to_beginning(std::string_view text) const { return distance<true>(text); }

}  // namespace baylore::search
