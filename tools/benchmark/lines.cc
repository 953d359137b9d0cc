#include "lines.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "shop/fold.h"

namespace baylore::benchmark {
namespace {

constexpr std::array<std::string_view, 40> kSmall = {
    "a",    "an",   "the",  "and",  "or",   "of",  "to",   "in",   "on",   "at",
    "it",   "its",  "is",   "was",  "are",  "be",  "with", "for",  "from", "that",
    "this", "then", "than", "as",   "by",   "so",  "but",  "not",  "no",   "all",
    "one",  "only", "when", "what", "into", "out", "up",   "down", "over", "after"};

std::vector<std::string> telling_words(std::string_view text) {
  std::vector<std::string> words;
  for (std::string& word : shop::words_of(text)) {
    const bool small = std::find(kSmall.begin(), kSmall.end(), word) != kSmall.end();
    if (!small && word.size() > 1) words.push_back(std::move(word));
  }
  return words;
}

void take(std::vector<std::string>& line, const std::vector<std::string>& words, Random& random) {
  if (!words.empty()) line.push_back(words[random.below(words.size())]);
}

}  // namespace

std::string typed_line(const shop::Tip& tip, const shop::Tip& other, Random& random) {
  const std::size_t length = 2 + random.below(5);
  std::vector<std::string> line;
  if (!tip.fits.empty() && random.one_in(2)) {
    const shop::Fit& fit = tip.fits[random.below(tip.fits.size())];
    if (random.one_in(3)) line.push_back(fit.make);
    if (line.empty() || !random.one_in(3)) line.push_back(fit.model);
    if (random.one_in(3)) line.push_back(std::to_string(fit.first_year));
  }
  if (!tip.codes.empty() && random.one_in(8)) {
    line.push_back(tip.codes[random.below(tip.codes.size())]);
  }
  const shop::Prose* symptom = tip.section("symptom");
  const std::vector<std::string> title = telling_words(tip.title);
  const std::vector<std::string> said = symptom == nullptr ? title : telling_words(symptom->body);
  const std::vector<std::string> component = telling_words(tip.component);
  if (random.one_in(4)) take(line, telling_words(other.title), random);
  for (std::size_t tries = 0; line.size() < length && tries < 20; ++tries) {
    const std::size_t which = random.below(10);
    take(line, which < 5 ? title : which < 8 ? said : component, random);
    // The same word twice says nothing more.
    if (std::count(line.begin(), line.end(), line.back()) > 1) line.pop_back();
  }
  // Vehicle first or last.
  if (random.one_in(3)) std::rotate(line.begin(), line.begin() + 1, line.end());
  std::string out;
  for (const std::string& word : line) out += (out.empty() ? "" : " ") + word;
  std::transform(out.begin(), out.end(), out.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return out;
}

}  // namespace baylore::benchmark
