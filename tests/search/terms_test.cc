#include "search/terms.h"

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <random>
#include <string>

#include "search/candidates.h"
#include "search/small_shop.h"

using namespace baylore::search;
using baylore::search::test::vocabulary;

namespace {

Terms terms(const std::string& line, bool last_is_prefix = false) {
  const baylore::shop::Vocabulary words = vocabulary();
  return terms_of(understand(line, words), words, last_is_prefix);
}

std::string any(const std::string& line, bool last_is_prefix = false) {
  return match_expression(terms(line, last_is_prefix).terms, false);
}

std::string all(const std::string& line) { return match_expression(terms(line).terms, true); }

}  // namespace

TEST_CASE("what a typed line asks of the index") {
  CHECK(any("rattle cold") == "(\"rattle\") OR (\"cold\")");
  CHECK(all("rattle cold") == "(\"rattle\") AND (\"cold\")");
  CHECK(any("").empty());
  CHECK(any("!!").empty());
  // Words of FTS5's own language are words like any other.
  CHECK(all("NEAR AND OR NOT") == "(\"near\") AND (\"not\")");
  CHECK(any("title:seal* -x ^y \"quoted\" (a)") ==
        "(\"title\") OR (\"seal\") OR (\"x\") OR (\"y\") OR (\"quoted\") OR (\"a\")");
  CHECK(any("M10x1.5") == "(\"m10x1\") OR (\"5\")");
}

TEST_CASE("words without a meaning of their own are not wanted, unless there is nothing else") {
  CHECK(all("leak at the pump") == "(\"leak\") AND (\"pump\")");
  CHECK(any("leak at the pump") == "(\"leak\") OR (\"at\") OR (\"the\") OR (\"pump\")");
  CHECK(all("the") == "(\"the\")");
}

TEST_CASE("the last word may still be growing") {
  CHECK(any("rattle co", true) == "(\"rattle\") OR (\"co\" OR \"co\" *)");
  CHECK(any("rattle co ", true) == "(\"rattle\") OR (\"co\")");
  // One letter is nearly every tip: it is left out until there are two.
  CHECK(any("rattle c", true) == "(\"rattle\")");
  // The stemmer knows whole endings only, so the endings a word could be about to get are asked
  // for.
  CHECK(any("heatin", true).find("\"heating\"") != std::string::npos);
  CHECK(any("vibrati", true).find("\"vibration\"") != std::string::npos);
}

TEST_CASE("synonyms answer for each of their words, at a lower weight") {
  CHECK(any("no heat") ==
        "(\"no\" OR \"heater cold\" OR \"blows cold\") OR "
        "(\"heat\" OR \"heater cold\" OR \"blows cold\")");
  const Terms ground = terms("ground");
  REQUIRE(ground.terms.size() == 1);
  REQUIRE(ground.terms[0].phrases.size() == 2);
  CHECK(ground.terms[0].phrases[1].words == "earth");
  CHECK(ground.terms[0].phrases[1].weight < 1);
  CHECK(any("assist pump") == "(\"assist\" OR \"vane pump\") OR (\"pump\" OR \"vane pump\")");
}

TEST_CASE("a word said twice is one term that counts twice") {
  const Terms twice = terms("knock knock");
  REQUIRE(twice.terms.size() == 1);
  CHECK(twice.terms[0].count == 2);
}

TEST_CASE("inner quotes are doubled and no byte ends the expression") {
  CHECK(quoted({"a\"b", false, 1, false}) == "\"a\"\"b\"");
  CHECK(quoted({std::string("a\0b", 3), true, 1, false}) == "\"ab\" *");
}

TEST_CASE("a long line is cut at the most terms, not refused") {
  std::string line;
  for (int i = 0; i < 400; ++i) line += "w" + std::to_string(i) + "x ";
  CHECK(terms(line).terms.size() == kMostTerms);
}

TEST_CASE("20,000 random lines: SQLite never sees an expression it cannot read") {
  sqlite3* raw = nullptr;
  REQUIRE(sqlite3_open(":memory:", &raw) == SQLITE_OK);
  REQUIRE(sqlite3_exec(raw, std::string(baylore::store::kFtsTable).c_str(), nullptr, nullptr,
                       nullptr) == SQLITE_OK);
  REQUIRE(sqlite3_exec(raw, "INSERT INTO tips_fts(title) VALUES('heater near cold')", nullptr,
                       nullptr, nullptr) == SQLITE_OK);
  std::mt19937 random(3);
  const std::vector<std::string> pieces = {"\"",
                                           "*",
                                           "(",
                                           ")",
                                           ":",
                                           "-",
                                           "^",
                                           "{",
                                           "}",
                                           "+",
                                           ",",
                                           "NEAR(",
                                           "AND",
                                           "OR",
                                           "NOT",
                                           "title:",
                                           "'",
                                           "a",
                                           "heater",
                                           " ",
                                           " ",
                                           "\xC3\xA9",
                                           "\xFF",
                                           "\xE2\x80\x99",
                                           std::string("\0", 1),
                                           "\xF0\x9F\x94\xA7",
                                           "\xD7\x90",
                                           "\xE0\xA4\x95\xE0\xA5\x8D",
                                           "1.5",
                                           "\xCC\x81",
                                           "\xEF\xBC\xA1"};
  int asked = 0;
  for (int round = 0; round < 20000; ++round) {
    std::string line;
    for (std::size_t i = random() % 12; i > 0; --i) {
      if (random() % 8 == 0) {
        line += static_cast<char>(random() % 256);
      } else {
        line += pieces[random() % pieces.size()];
      }
    }
    const Terms read = terms(line, random() % 2 == 0);
    for (const bool all_words : {false, true}) {
      const std::string expression = match_expression(read.terms, all_words);
      if (expression.empty()) continue;
      Corpus corpus;
      CAPTURE(line);
      CAPTURE(expression);
      const int code = find_words(raw, read.terms, all_words, corpus, [](const Found&) {});
      REQUIRE(code == SQLITE_OK);
      ++asked;
    }
  }
  CHECK(asked > 10000);
  sqlite3_close(raw);
}
