// Three sieves, each dearer and finer than the one before:
//   1. which letters a word has, one bit each, and its length: some words in a hundred pass
//   2. the edit distance, a word's letters at a time in the bits of one number
//   3. the cost of the slip
#include "search/slip_index.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <numeric>

#include "search/slip_cost.h"

namespace baylore::search {
namespace {

constexpr std::size_t kShortest = 3;

bool letters(std::string_view word) {
  return word.size() >= kShortest && word.size() <= kLongestSlip &&
         std::all_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

// A bit for every letter that is there, and one for the commonest letters that are there twice. One
// letter put in sets at most one bit, one left out clears at most one, one replaced does both, a
// swap does nothing.
std::uint32_t marks_of(std::string_view word) {
  static constexpr std::string_view kTwice = "eratio";
  std::uint32_t marks = 0;
  for (const char c : word) {
    const std::uint32_t bit = std::uint32_t{1} << (c - 'a');
    if ((marks & bit) != 0) {
      const std::size_t second = kTwice.find(c);
      if (second != std::string_view::npos) marks |= std::uint32_t{1} << (26 + second);
    }
    marks |= bit;
  }
  return marks;
}

// Which of 64 words have at most kEdits marks that `typed` has not, and lack at most kEdits that it
// has (with `kBeginning`, the first does not matter): clearing the lowest bit so often leaves
// nothing. Written so that the compiler does several words at once.
template <int kEdits, bool kBeginning>
void sieve(const std::uint32_t* marks, const std::uint8_t* sizes, std::size_t count,
           std::uint32_t typed, std::uint8_t shortest, std::uint8_t longest, std::uint8_t* pass) {
  for (std::size_t i = 0; i < count; ++i) {
    std::uint32_t lacking = typed & ~marks[i];
    std::uint32_t other = kBeginning ? 0 : marks[i] & ~typed;
    for (int edit = 0; edit < kEdits; ++edit) {
      lacking &= lacking - 1;
      other &= other - 1;
    }
    pass[i] = static_cast<std::uint8_t>((lacking | other) == 0 ? 1 : 0) &
              static_cast<std::uint8_t>(sizes[i] >= shortest ? 1 : 0) &
              static_cast<std::uint8_t>(sizes[i] <= longest ? 1 : 0);
  }
}

using Sieve = void (*)(const std::uint32_t*, const std::uint8_t*, std::size_t, std::uint32_t,
                       std::uint8_t, std::uint8_t, std::uint8_t*);

constexpr int kMostEdits = 3;
constexpr std::array<std::array<Sieve, 2>, kMostEdits + 1> kSieves = {{
    {sieve<0, false>, sieve<0, true>},
    {sieve<1, false>, sieve<1, true>},
    {sieve<2, false>, sieve<2, true>},
    {sieve<3, false>, sieve<3, true>},
}};

}  // namespace

void SlipIndex::add(std::string_view word, std::uint32_t tips) {
  if (!letters(word)) return;
  words_.push_back({static_cast<std::uint32_t>(letters_.size()), tips});
  sizes_.push_back(static_cast<std::uint8_t>(word.size()));
  letters_ += word;
}

void SlipIndex::finish() {
  std::vector<std::uint32_t> order(words_.size());
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(), [this](std::uint32_t a, std::uint32_t b) {
    const int compared = text(a).compare(text(b));
    return compared != 0 ? compared < 0 : words_[a].tips > words_[b].tips;
  });
  std::string sorted_letters;
  std::vector<Word> words;
  std::vector<std::uint8_t> sizes;
  sorted_letters.reserve(letters_.size());
  words.reserve(words_.size());
  sizes.reserve(words_.size());
  marks_.clear();
  marks_.reserve(words_.size());
  std::string_view last;
  for (const std::uint32_t i : order) {
    const std::string_view word = text(i);
    if (word == last) continue;
    last = word;
    words.push_back({static_cast<std::uint32_t>(sorted_letters.size()), words_[i].tips});
    sizes.push_back(sizes_[i]);
    marks_.push_back(marks_of(word));
    sorted_letters += word;
  }
  letters_ = std::move(sorted_letters);
  words_ = std::move(words);
  sizes_ = std::move(sizes);
}

std::vector<SlipIndex::Near> SlipIndex::near(std::string_view typed, int edits, int most,
                                             bool beginning) const {
  std::vector<Near> found;
  if (!letters(typed) || edits < 1) return found;
  edits = std::min(edits, kMostEdits);
  const EditDistance distance(typed);
  const std::uint32_t marks = marks_of(typed);
  const std::size_t size = typed.size();
  const auto width = static_cast<std::size_t>(edits);
  const auto shortest = static_cast<std::uint8_t>(size > width ? size - width : 0);
  const auto longest = static_cast<std::uint8_t>(beginning ? kLongestSlip : size + width);
  const Sieve sieve_words = kSieves[width][beginning ? 1 : 0];

  constexpr std::size_t kBlock = 256;
  std::array<std::uint8_t, kBlock> pass{};
  for (std::size_t from = 0; from < words_.size(); from += kBlock) {
    const std::size_t count = std::min(kBlock, words_.size() - from);
    sieve_words(marks_.data() + from, sizes_.data() + from, count, marks, shortest, longest,
                pass.data());
    for (std::size_t i = 0; i < count; ++i) {
      if (pass[i] == 0) continue;
      const std::string_view word = text(from + i);
      const int apart =
          beginning ? distance.to_beginning(word.substr(0, size + width)) : distance.to(word);
      if (apart > edits || word == typed) continue;
      const int cost = slip_cost(typed, word, most, beginning);
      if (cost != kNoSlip) found.push_back({word, words_[from + i].tips, cost});
    }
  }
  return found;
}

bool SlipIndex::begins(std::string_view start) const {
  std::size_t low = 0;
  std::size_t high = words_.size();
  while (low < high) {
    const std::size_t middle = (low + high) / 2;
    if (text(middle) < start) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low < words_.size() && text(low).substr(0, start.size()) == start;
}

}  // namespace baylore::search
