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

bool indexable(std::string_view word) {
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

// Whether words have at most kEdits marks that `typed` has not, and lack at most kEdits that it
// has (with `kBeginning`, the first does not matter): clearing the lowest bit so often leaves 0.
// Written so that the compiler does several words at once.
template <int kEdits, bool kBeginning>
void sieve(const std::uint32_t* marks, std::size_t count, std::uint32_t typed,
           std::uint32_t* fail) {
  for (std::size_t i = 0; i < count; ++i) {
    std::uint32_t lacking = typed & ~marks[i];
    std::uint32_t other = kBeginning ? 0 : marks[i] & ~typed;
    for (int edit = 0; edit < kEdits; ++edit) {
      lacking &= lacking - 1;
      other &= other - 1;
    }
    fail[i] = lacking | other;
  }
}

using Sieve = void (*)(const std::uint32_t*, std::size_t, std::uint32_t, std::uint32_t*);

constexpr int kMostEdits = 3;
constexpr std::array<std::array<Sieve, 2>, kMostEdits + 1> kSieves = {{
    {sieve<0, false>, sieve<0, true>},
    {sieve<1, false>, sieve<1, true>},
    {sieve<2, false>, sieve<2, true>},
    {sieve<3, false>, sieve<3, true>},
}};

std::size_t letter(char c) { return static_cast<std::size_t>(c - 'a'); }

// The first eight letters as one number, which sorts as they do.
std::uint64_t sort_key(std::string_view word) {
  std::uint64_t key = 0;
  for (std::size_t i = 0; i < 8; ++i) {
    key = key << 8 | (i < word.size() ? static_cast<unsigned char>(word[i]) : 0U);
  }
  return key;
}

constexpr std::uint32_t kAnyLetter = (std::uint32_t{1} << 26) - 1;

std::uint32_t first_two(std::string_view typed) {
  return std::uint32_t{1} << letter(typed[0]) | std::uint32_t{1} << letter(typed[1]);
}

}  // namespace

void SlipIndex::add(std::string_view word, std::uint32_t tips) {
  if (!indexable(word)) return;
  words_.push_back({static_cast<std::uint32_t>(letters_.size()), tips});
  sizes_.push_back(static_cast<std::uint8_t>(word.size()));
  letters_ += word;
}

void SlipIndex::finish() {
  struct Key {
    std::uint64_t first_letters;
    std::uint32_t word;
  };
  std::vector<Key> order(words_.size());
  for (std::uint32_t i = 0; i < order.size(); ++i) order[i] = {sort_key(text(i)), i};
  std::sort(order.begin(), order.end(), [this](const Key& a, const Key& b) {
    if (a.first_letters != b.first_letters) return a.first_letters < b.first_letters;
    const int compared = text(a.word).compare(text(b.word));
    return compared != 0 ? compared < 0 : words_[a.word].tips > words_[b.word].tips;
  });
  order.erase(std::unique(order.begin(), order.end(),
                          [this](const Key& a, const Key& b) {
                            return a.first_letters == b.first_letters &&
                                   text(a.word) == text(b.word);
                          }),
              order.end());

  // By first letter and length, keeping the order otherwise: count, then place.
  const auto group = [this](std::uint32_t word) {
    return letter(letters_[words_[word].at]) * kLengths + sizes_[word];
  };
  starts_.assign(26 * kLengths + 1, 0);
  for (const Key& key : order) ++starts_[group(key.word) + 1];
  std::partial_sum(starts_.begin(), starts_.end(), starts_.begin());
  std::vector<std::uint32_t> next(starts_.begin(), starts_.end() - 1);
  std::vector<std::uint32_t> from(order.size());
  sorted_.resize(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    sorted_[i] = next[group(order[i].word)]++;
    from[sorted_[i]] = order[i].word;
  }

  std::string ordered_letters;
  std::vector<Word> words;
  std::vector<std::uint8_t> sizes;
  ordered_letters.reserve(letters_.size());
  words.reserve(from.size());
  sizes.reserve(from.size());
  marks_.clear();
  marks_.reserve(from.size());
  for (const std::uint32_t word : from) {
    words.push_back({static_cast<std::uint32_t>(ordered_letters.size()), words_[word].tips});
    sizes.push_back(sizes_[word]);
    marks_.push_back(marks_of(text(word)));
    ordered_letters += text(word);
  }
  letters_ = std::move(ordered_letters);
  words_ = std::move(words);
  sizes_ = std::move(sizes);
}

template <bool kBeginning>
void SlipIndex::look(std::string_view typed, int edits, int most, std::uint32_t first_letters,
                     std::vector<Near>& found) const {
  const EditDistance distance(typed);
  const std::uint32_t marks = marks_of(typed);
  const std::size_t size = typed.size();
  const auto width = static_cast<std::size_t>(edits);
  const std::size_t shortest = size > width ? size - width : 0;
  const std::size_t longest = kBeginning ? kLengths - 2 : size + width;
  const Sieve sieve_words = kSieves[width][kBeginning ? 1 : 0];

  constexpr std::size_t kBlock = 256;
  std::array<std::uint32_t, kBlock> fail{};
  for (std::size_t first = 0; first < 26; ++first) {
    if ((first_letters >> first & 1) == 0) continue;
    const std::size_t end = start(first, longest + 1);
    for (std::size_t from = start(first, shortest); from < end; from += kBlock) {
      const std::size_t count = std::min(kBlock, end - from);
      sieve_words(marks_.data() + from, count, marks, fail.data());
      for (std::size_t i = 0; i < count; ++i) {
        if (fail[i] != 0) continue;
        const std::string_view word = text(from + i);
        const int apart =
            kBeginning ? distance.to_beginning(word.substr(0, size + width)) : distance.to(word);
        if (apart > edits || word == typed) continue;
        const int cost = slip_cost(typed, word, most, kBeginning);
        if (cost != kNoSlip) found.push_back({word, words_[from + i].tips, cost});
      }
    }
  }
}

std::vector<SlipIndex::Near> SlipIndex::near(std::string_view typed, int edits, int most) const {
  std::vector<Near> found;
  if (!indexable(typed) || edits < 1 || starts_.empty()) return found;
  const std::uint32_t likely = edits > 1 ? first_two(typed) : 0;
  look<false>(typed, 1, most, kAnyLetter & ~likely, found);
  if (likely != 0) look<false>(typed, std::min(edits, kMostEdits), most, likely, found);
  return found;
}

std::vector<SlipIndex::Near> SlipIndex::near_beginning(std::string_view typed, int edits,
                                                       int most) const {
  std::vector<Near> found;
  if (!indexable(typed) || edits < 1 || starts_.empty()) return found;
  look<true>(typed, std::min(edits, kMostEdits), most, first_two(typed), found);
  return found;
}

bool SlipIndex::begins(std::string_view start,
                       const std::function<bool(std::string_view word)>& counts) const {
  auto at = std::lower_bound(
      sorted_.begin(), sorted_.end(), start,
      [this](std::uint32_t word, std::string_view sought) { return text(word) < sought; });
  for (; at != sorted_.end() && text(*at).starts_with(start); ++at) {
    if (counts(text(*at))) return true;
  }
  return false;
}

}  // namespace baylore::search
