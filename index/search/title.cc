#include "search/title.h"

#include <algorithm>
#include <string>

#include "shop/fold.h"

namespace baylore::search {
namespace {

std::size_t code_point_length(std::string_view text, std::size_t at) {
  std::size_t length = 1;
  while (at + length < text.size() &&
         (static_cast<unsigned char>(text[at + length]) & 0xC0U) == 0x80U) {
    ++length;
  }
  return length;
}

}  // namespace

std::vector<Span> spans_of(std::string_view title, std::vector<int> positions) {
  // Folding goes code point by code point: one that folds to letters or digits belongs to a word,
  // one that folds to nothing (an accent of its own) leaves the word as it is, any other ends it.
  // One can be several words: ½ is 1/2.
  std::vector<Span> words;
  bool inside = false;
  for (std::size_t at = 0; at < title.size();) {
    const std::size_t length = code_point_length(title, at);
    const std::string folded = shop::fold(title.substr(at, length));
    const std::vector<std::string> parts = shop::words_of(folded);
    if (parts.size() > 1) {
      words.insert(words.end(), parts.size(), {at, at + length});
      inside = true;
    } else if (!parts.empty()) {
      if (!inside) words.push_back({at, at});
      inside = true;
      words.back().to = at + length;
    } else if (folded.empty()) {
      if (inside) words.back().to = at + length;
    } else {
      inside = false;
    }
    at += length;
  }
  // No bold is better than the wrong word.
  if (words.size() != shop::words_of(title).size()) return {};
  std::sort(positions.begin(), positions.end());
  positions.erase(std::unique(positions.begin(), positions.end()), positions.end());
  std::vector<Span> spans;
  for (const int position : positions) {
    if (position < 0 || static_cast<std::size_t>(position) >= words.size()) continue;
    const Span& word = words[static_cast<std::size_t>(position)];
    if (spans.empty() || spans.back().from != word.from) spans.push_back(word);
  }
  return spans;
}

}  // namespace baylore::search
