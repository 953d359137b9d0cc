#include "search/terms.h"

#include <doctest/doctest.h>

#include <string>

#include "search/small_shop.h"

using namespace baylore::search;
using baylore::search::test::vocabulary;

namespace {

Terms terms(const std::string& line, bool last_is_prefix = false) {
  const baylore::shop::Vocabulary words = vocabulary();
  return terms_of(understand(line, words), Phrases(words), last_is_prefix);
}

// "heat|heater cold|he*": the phrases of a term in order of what they count.
std::string phrases(const Term& term) {
  std::string text;
  for (const Phrase& phrase : term.phrases) {
    if (!text.empty()) text += '|';
    for (std::size_t i = 0; i < phrase.words.size(); ++i) {
      text += (i > 0 ? " " : "") + phrase.words[i];
    }
    if (phrase.prefix) text += '*';
  }
  return text;
}

std::string all(const Terms& terms, bool required_only = false) {
  std::string text;
  for (const Term& term : terms.terms) {
    if (required_only && !term.required) continue;
    text += (text.empty() ? "" : ", ") + phrases(term);
  }
  return text;
}

}  // namespace

TEST_CASE("what a typed line looks for") {
  CHECK(all(terms("rattle cold")) == "rattle, cold");
  CHECK(all(terms("")).empty());
  CHECK(all(terms("!!")).empty());
  // Nothing that is typed is an operator.
  CHECK(all(terms("NEAR AND OR NOT")) == "near, and, or, not");
  CHECK(all(terms("title:seal* -x ^y \"quoted\" (b)")) == "title, seal, x, y, quoted, b");
  CHECK(all(terms("M10x1.5")) == "m10x1, 5");
}

TEST_CASE("words without a meaning of their own are not wanted, unless there is nothing else") {
  CHECK(all(terms("leak at the pump"), true) == "leak, pump");
  CHECK(all(terms("leak at the pump")) == "leak, at, the, pump");
  CHECK(all(terms("the"), true) == "the");
  CHECK(all(terms("ruido en la direccion"), true) == "ruido, direccion");
}

TEST_CASE("the last word may still be growing") {
  CHECK(all(terms("rattle co", true)) == "rattle, co|co*");
  CHECK(all(terms("rattle co ", true)) == "rattle, co");
  // One letter is nearly every tip: it is left out until there are two.
  CHECK(all(terms("rattle c", true)) == "rattle");
  // The endings a word could be about to get are asked for, because its other forms need not begin
  // with what was typed.
  CHECK(all(terms("heatin", true)).find("heating") != std::string::npos);
  CHECK(all(terms("vibrati", true)).find("vibration") != std::string::npos);
  // `th` may become `thermostat`: it is wanted though `the` would not be.
  CHECK(all(terms("the", true), true) == "the|the*");
}

TEST_CASE("other wordings answer for each of their words, at a lower weight") {
  const Terms heat = terms("no heat");
  REQUIRE(heat.terms.size() == 2);
  for (const Term& term : heat.terms) {
    CHECK(term.phrases.size() == 3);
    CHECK(phrases(term).find("heater cold") != std::string::npos);
    CHECK(phrases(term).find("blows cold") != std::string::npos);
  }
  const Terms ground = terms("ground");
  REQUIRE(ground.terms.size() == 1);
  REQUIRE(ground.terms[0].phrases.size() == 2);
  CHECK(phrases(ground.terms[0]) == "ground|earth");
  CHECK(ground.terms[0].phrases[1].weight < 1);
  CHECK(ground.terms[0].phrases[1].other);
  CHECK(phrases(terms("assist pump").terms[0]).find("vane pump") != std::string::npos);
}

TEST_CASE("a word said twice is one term that counts twice") {
  const Terms twice = terms("knock knock");
  REQUIRE(twice.terms.size() == 1);
  CHECK(twice.terms[0].count == 2);
  CHECK(twice.order == std::vector<std::size_t>{0, 0});
}

TEST_CASE("a code is looked for in prose too, and not wanted for all words") {
  const Terms code = terms("P0301 rough");
  REQUIRE(code.terms.size() == 2);
  CHECK(code.terms[1].code);
  CHECK(phrases(code.terms[1]) == "p0301");
  CHECK_FALSE(code.terms[1].required);
}

TEST_CASE("a long line is cut at the most terms, not refused") {
  std::string line;
  for (int i = 0; i < 400; ++i) line += "w" + std::to_string(i) + "x ";
  CHECK(terms(line).terms.size() == kMostTerms);
}
