// Corrections against a published list of misspellings: the dictionary of codespell (Debian package
// codespell), which grew from the list of common misspellings on Wikipedia. Used are the pairs
// whose right word the demo shop's tips or vocabulary have: what a technician could have meant
// there.
#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <string>
#include <vector>

#include "search/slips.h"
#include "search/word_list.h"

using namespace baylore;
using namespace baylore::search;

namespace {

struct Misspelt {
  std::string wrong;
  std::vector<std::string> right;
};

bool letters(const std::string& word) {
  return !word.empty() &&
         std::all_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

// Lines `wrong->right` or `wrong->right, other, reason`. Every second one: the others were used to
// choose how much cost and frequency weigh.
std::vector<Misspelt> published() {
  std::ifstream in(BAYLORE_MISSPELLINGS);
  std::vector<Misspelt> all;
  bool ours = true;
  for (std::string line; std::getline(in, line);) {
    const std::size_t arrow = line.find("->");
    if (arrow == std::string::npos) continue;
    ours = !ours;
    if (!ours) continue;
    Misspelt one{line.substr(0, arrow), {}};
    std::size_t at = arrow + 2;
    while (at < line.size()) {
      const std::size_t end = std::min(line.find(',', at), line.size());
      std::string word = line.substr(at, end - at);
      word.erase(0, word.find_first_not_of(' '));
      if (letters(word)) one.right.push_back(word);
      at = end + 1;
    }
    if (letters(one.wrong) && !one.right.empty()) all.push_back(std::move(one));
  }
  return all;
}

}  // namespace

TEST_CASE("published misspellings of the demo shop's words") {
  const std::vector<Misspelt> pairs = published();
  REQUIRE(pairs.size() > 10000);
  const search::test::WordList list = search::test::demo_words();
  const Language language(search::test::demo_vocabulary());
  const auto ours = [&](const std::string& word) {
    return list.tips_with(word) > 0 || language.has_word(word);
  };
  Slips slips;
  std::size_t asked = 0;
  std::size_t right = 0;
  std::size_t silent = 0;
  for (const Misspelt& pair : pairs) {
    if (pair.wrong.size() < 5 || ours(pair.wrong)) continue;
    if (std::none_of(pair.right.begin(), pair.right.end(), ours)) continue;
    ++asked;
    const std::vector<Slip> found = slips.find({pair.wrong}, false, list, language);
    if (found.empty()) {
      ++silent;
    } else if (std::find(pair.right.begin(), pair.right.end(), found[0].shown) !=
               pair.right.end()) {
      ++right;
    }
  }
  MESSAGE("right: " << right << " of " << asked << "; left alone: " << silent);
  CHECK(asked > 500);
  CHECK(right * 100 >= asked * 85);
}
