// Sketches against the Jaccard index counted out word by word.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "shop/check/similar.h"
#include "shop/fold.h"

using namespace baylore::shop;
using namespace baylore::shop::checking;

namespace {

std::set<std::string> shingles(const std::string& text) {
  const std::vector<std::string> words = words_of(text);
  std::set<std::string> out;
  for (std::size_t i = 2; i < words.size(); ++i)
    out.insert(words[i - 2] + ' ' + words[i - 1] + ' ' + words[i]);
  return out;
}

// |A n B| / |A u B|, by its definition.
double jaccard(const std::string& a, const std::string& b) {
  const std::set<std::string> one = shingles(a);
  const std::set<std::string> other = shingles(b);
  std::size_t both = 0;
  for (const std::string& s : one) both += other.count(s);
  return static_cast<double>(both) / static_cast<double>(one.size() + other.size() - both);
}

std::string words(std::mt19937& random, int count) {
  std::string out;
  for (int i = 0; i < count; ++i) out += "w" + std::to_string(random() % 2000) + ' ';
  return out;
}

// `text` with one word in `every` changed.
std::string changed(std::mt19937& random, const std::string& text, unsigned long every) {
  std::string out;
  for (const std::string& word : words_of(text))
    out += (random() % every == 0 ? "x" + std::to_string(random()) : word) + ' ';
  return out;
}

}  // namespace

// Broder 1997: the share of equal places estimates the index without bias, with a standard error of
// sqrt(J (1 - J) / n), or less where shingles are many; four of them leave one pair in 16 000
// outside.
TEST_CASE("the estimate is as good as the theory says") {
  std::mt19937 random(11);
  for (int round = 0; round < 300; ++round) {
    const std::string a = words(random, 400);
    const std::string b = changed(random, a, 3 + random() % 60);
    const double truth = jaccard(a, b);
    const double sigma = std::sqrt(truth * (1 - truth) / static_cast<double>(Sketch::kSize));
    CAPTURE(truth);
    CHECK(std::abs(likeness(sketch_of(a), sketch_of(b)) - truth) <= 4 * sigma + 0.011);
  }
  const std::string text = words(random, 100);
  CHECK(likeness(sketch_of(text), sketch_of(text)) == 1);
  CHECK(likeness(sketch_of(text), sketch_of(words(random, 100))) < 0.05);
  CHECK(likeness(sketch_of("too short"), sketch_of("too short")) == 0);
}

TEST_CASE("pairs are met without comparing each with each") {
  std::mt19937 random(12);
  std::vector<Sketch> sketches;
  constexpr std::size_t kOriginals = 500;
  std::vector<std::string> texts;
  for (std::size_t i = 0; i < kOriginals; ++i) texts.push_back(words(random, 300));
  for (std::size_t i = 0; i < 50; ++i) texts.push_back(changed(random, texts[i], 40));
  for (const std::string& text : texts) sketches.push_back(sketch_of(text));
  std::vector<const Sketch*> pointers;
  for (const Sketch& sketch : sketches) pointers.push_back(&sketch);
  pointers.push_back(nullptr);
  std::set<std::pair<std::size_t, std::size_t>> wanted;
  for (std::size_t i = 0; i < 50; ++i) {
    if (likeness(sketches[i], sketches[kOriginals + i]) >= kNearlyTheSame)
      wanted.emplace(kOriginals + i, i);
  }
  REQUIRE(wanted.size() > 45);
  std::set<std::pair<std::size_t, std::size_t>> found;
  for (const Alike& pair : alike(pointers)) found.emplace(pair.one, pair.other);
  CHECK(found == wanted);
}

TEST_CASE("all alike is no square") {
  std::mt19937 random(13);
  const Sketch sketch = sketch_of(words(random, 200));
  const std::vector<const Sketch*> pointers(50000, &sketch);
  CHECK(alike(pointers).size() == pointers.size() - 1);
}
