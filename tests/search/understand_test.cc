#include "search/understand.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>

#include "search/small_shop.h"

using baylore::search::Token;
using baylore::search::understand;
using baylore::search::Understood;
using baylore::search::Vehicle;
using baylore::search::test::vocabulary;

namespace {

Understood read(const std::string& line, const std::vector<std::string>& dropped = {}) {
  static const baylore::shop::Vocabulary kVocabulary = vocabulary();
  return understand(line, kVocabulary, dropped);
}

std::string words(const Understood& understood) {
  std::string all;
  for (const std::string& word : understood.words) all += (all.empty() ? "" : " ") + word;
  return all;
}

std::vector<std::string> keys(const Understood& understood) {
  std::vector<std::string> keys;
  for (const Token& token : understood.tokens) keys.push_back(token.key);
  return keys;
}

}  // namespace

TEST_CASE("codes in the spellings people type") {
  struct Row {
    const char* line;
    std::vector<std::string> codes;
    const char* words;
  };
  const Row rows[] = {
      {"P0128 heater", {"P0128"}, "heater"},
      {"heater p0128", {"P0128"}, "heater"},
      {"P-0128", {"P0128"}, ""},
      {"PO128", {"P0128"}, ""},
      {"p0128-00 cold", {"P0128-00"}, "cold"},
      {"P0301, P0302 misfire", {"P0301", "P0302"}, "misfire"},
      {"P0301/P0302", {"P0301", "P0302"}, ""},
      {"U0100-87", {"U0100-87"}, ""},
      {"P0128 and P0128", {"P0128"}, "and"},
      {"blade piece cocoa", {}, "blade piece cocoa"},
      {"p 0128 cold", {"P0128"}, "cold"},
      {"U 0100-87", {"U0100-87"}, ""},
      {"a c 1200 rpm", {}, "a c 1200 rpm"},
      {"b 2014", {}, "b"},
      {"P0A80 hybrid battery", {"P0A80"}, "hybrid battery"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.line);
    const Understood understood = read(row.line);
    CHECK(understood.codes == row.codes);
    CHECK(words(understood) == row.words);
  }
}

TEST_CASE("a repaired code says what was repaired") {
  const Understood understood = read("PO128");
  REQUIRE(understood.tokens.size() == 1);
  CHECK(understood.tokens[0].kind == Token::Kind::code);
  CHECK(understood.tokens[0].key == "code:P0128");
  CHECK(understood.tokens[0].from == "PO128");
  CHECK_FALSE(understood.tokens[0].notes.empty());
}

TEST_CASE("vehicles: make, model, years and engine in the ways they are written") {
  struct Row {
    const char* line;
    Vehicle vehicle;
    const char* words;
  };
  const Row rows[] = {
      {"hauler 2016 heater cold", {"Corvane", "Hauler", 2016, ""}, "heater cold"},
      {"corvane hauler heater", {"Corvane", "Hauler", 0, ""}, "heater"},
      {"CorvaneHauler heater", {"Corvane", "Hauler", 0, ""}, "heater"},
      {"heater, hauler '16", {"Corvane", "Hauler", 2016, ""}, "heater"},
      {"heater hauler \xE2\x80\x99"
       "16",
       {"Corvane", "Hauler", 2016, ""},
       "heater"},
      {"hauler 12-16", {"Corvane", "Hauler", 2012, "", 2016}, ""},
      {"hauler 2012\xE2\x80\x93"
       "2016",
       {"Corvane", "Hauler", 2012, "", 2016},
       ""},
      {"hauler 2012-14", {"Corvane", "Hauler", 2012, "", 2014}, ""},
      {"hauler 3.6", {"Corvane", "Hauler", 0, "3.6 V6"}, ""},
      {"hauler 3,6l v6 noise", {"Corvane", "Hauler", 0, "3.6 V6"}, "noise"},
      {"hauler 3.6 L", {"Corvane", "Hauler", 0, "3.6 V6"}, ""},
      {"hauler 5.3V8", {"Corvane", "Hauler", 0, "5.3 V8"}, ""},
      {"hauler v8", {"Corvane", "Hauler", 0, "5.3 V8"}, ""},
      {"pallet diesel smoke", {"Corvane", "Pallet", 0, "2.2 diesel"}, "smoke"},
      {"f 9 long whine", {"Ostrel", "F-9 Long", 0, ""}, "whine"},
      {"F9Long whine", {"Ostrel", "F-9 Long", 0, ""}, "whine"},
      {"corvane whine", {"Corvane", "", 0, ""}, "whine"},
      {"2014 whine", {"", "", 2014, ""}, "whine"},
      // A model two makes have: the make that is said, or none.
      {"tavik kite", {"Tavik", "Kite", 0, ""}, ""},
      {"kite tavik", {"Tavik", "Kite", 0, ""}, ""},
      {"kite", {"", "Kite", 0, ""}, ""},
      // Not a vehicle: part of a name, a beginning of one, a measured number, another year range.
      {"haul whine", {}, "haul whine"},
      {"haulers", {}, "haulers"},
      {"stalls at 2000 rpm", {}, "stalls at 2000 rpm"},
      {"torque 12-16 nm", {}, "torque 12 16 nm"},
      {"drop 3.6 v", {}, "drop 3 6 v"},
      {"14 mm bolt", {}, "14 mm bolt"},
      {"1799 or 2045", {}, "1799 or 2045"},
      {"gap 16-12", {}, "gap 16 12"},
      // A model's name that is a word of the trade needs company.
      {"vane worn", {}, "vane worn"},
      {"ostrel vane worn", {"Ostrel", "Vane", 0, ""}, "worn"},
      {"vane 2012 worn", {"Ostrel", "Vane", 2012, ""}, "worn"},
      {"hauler 2016 in gear", {"Corvane", "Hauler", 2016, ""}, "in gear"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.line);
    const Understood understood = read(row.line);
    CHECK(understood.vehicle == row.vehicle);
    CHECK(words(understood) == row.words);
  }
}

TEST_CASE("the vehicle is one token, in words") {
  const Understood understood = read("heater hauler 2016 3.6 cold");
  CHECK(keys(understood) == std::vector<std::string>{"word:heater", "vehicle", "word:cold"});
  CHECK(understood.tokens[1].shown == "Corvane Hauler 2016, 3.6 V6");
  CHECK(understood.tokens[1].from == "hauler 2016 3.6");
  CHECK(understood.words_typed == "heater cold");
}

TEST_CASE("what was tapped away is gone, with its words") {
  const std::string line = "Heater hauler 2016 P0128 cold";
  CHECK(keys(read(line)) ==
        std::vector<std::string>{"word:heater", "vehicle", "code:P0128", "word:cold"});
  const Understood no_vehicle = read(line, {"vehicle"});
  CHECK(no_vehicle.vehicle.empty());
  CHECK(words(no_vehicle) == "heater cold");
  const Understood no_code = read(line, {"code:P0128"});
  CHECK(no_code.codes.empty());
  CHECK(words(no_code) == "heater cold");
  const Understood no_word = read(line, {"word:heater"});
  CHECK(words(no_word) == "cold");
  CHECK(no_word.words_typed == "cold");
  CHECK(keys(no_word) == std::vector<std::string>{"vehicle", "code:P0128", "word:cold"});
}

// Check digits: 49 CFR 565.15; the first VIN is a widely published example, the second a
// motorcycle's from a sample calculation.
TEST_CASE("words never come together as a VIN") {
  for (const char* line : {"1M8GD                   M9AXKP042788 rattles",
                           "1M8GD; M9AXKP042788 rattles", "1M8GD\n\n\nM9AXKP042788 rattles"}) {
    CAPTURE(std::string(line));
    const Understood understood = read(line);
    CHECK(understood.words_typed == "rattles");
  }
}

TEST_CASE("a VIN gives its model years and is never kept") {
  const std::string vin = "1M8GDM9AXKP042788";
  const Understood understood = read("hauler " + vin + " heater");
  CHECK(understood.vin_seen);
  CHECK(understood.vehicle.year == 2019);  // 1989 or 2019; the Hauler was built from 2012
  CHECK(words(understood) == "heater");
  CHECK(understood.line_without_vin.find("042788") == std::string::npos);
  CHECK(understood.line_without_vin.find("heater") != std::string::npos);
  for (const Token& token : understood.tokens) {
    CAPTURE(token.key);
    const std::string all = token.key + token.from + token.shown;
    CHECK(all.find("042788") == std::string::npos);
  }
  const auto token = std::find_if(understood.tokens.begin(), understood.tokens.end(),
                                  [](const Token& each) { return each.kind == Token::Kind::vin; });
  REQUIRE(token != understood.tokens.end());
  CHECK(token->notes == std::vector<std::string>{"model year 1989 or 2019"});

  SUBCASE("a year that was typed wins") { CHECK(read("2014 " + vin).vehicle.year == 2014); }
  SUBCASE("without a vehicle any model of the vocabulary decides") {
    CHECK(read(vin).vehicle.year == 2019);
  }
  SUBCASE("no model was built in either year: no year") {
    CHECK(understand(vin, {}).vehicle.year == 0);
  }
  SUBCASE("dropped") {
    const Understood dropped = read(vin + " heater", {"vin"});
    CHECK(dropped.vehicle.year == 0);
    CHECK(words(dropped) == "heater");
  }
  SUBCASE("with a slip it is taken out all the same") {
    const Understood slip = read("1M8GDM9AXKPO42788 heater");
    CHECK(slip.vin_seen);
    CHECK(words(slip) == "heater");
    CHECK(slip.line_without_vin.find("42788") == std::string::npos);
  }
}

TEST_CASE("words keep their order, and joined ones come apart") {
  CHECK(words(read("Seal-kit 88-214 doesn't fit")) == "seal kit 88 214 doesn t fit");
  CHECK(keys(read("seal-kit")) == std::vector<std::string>{"word:seal kit"});
  CHECK(read("seal-kit fits").words_typed == "seal-kit fits");
  CHECK(words(read("  ,, !! ")).empty());
  CHECK(words(read("")).empty());
}

TEST_CASE("the last word is open until a blank follows") {
  CHECK(read("heater co").last_word_open);
  CHECK_FALSE(read("heater co ").last_word_open);
  CHECK_FALSE(read("heater hauler").last_word_open);
  CHECK_FALSE(read("heater P0128").last_word_open);
}

TEST_CASE("nothing is lost: every letter and digit of a line is in a token") {
  std::mt19937 random(7);
  const std::vector<std::string> stretches = {
      "heater", "hauler", "2016",    "P0128", "12-16", "3.6",  "l",  "v6",      "PO128", "'14",
      "kite",   "tavik",  "vane",    "rpm",   "2000",  "f",    "9",  "long",    "it's",  "seal-kit",
      "diesel", "5.3V8",  "corvane", "no",    "heat",  "3,6l", "nm", "u0100-87"};
  for (int round = 0; round < 3000; ++round) {
    std::string line;
    for (int i = 0; i < 6; ++i) {
      line += (i == 0 ? "" : " ") + stretches[random() % stretches.size()];
    }
    CAPTURE(line);
    const Understood understood = read(line);
    std::vector<char> from_line;
    std::vector<char> from_tokens;
    const auto keep = [](const std::string& text, std::vector<char>& into) {
      for (const char c : text) {
        if (c != ' ' && c != ',') into.push_back(c);
      }
    };
    keep(line, from_line);
    for (const Token& token : understood.tokens) keep(token.from, from_tokens);
    std::sort(from_line.begin(), from_line.end());
    std::sort(from_tokens.begin(), from_tokens.end());
    from_line.erase(
        std::remove_if(from_line.begin(), from_line.end(), [](char c) { return c == '\''; }),
        from_line.end());
    from_tokens.erase(
        std::remove_if(from_tokens.begin(), from_tokens.end(), [](char c) { return c == '\''; }),
        from_tokens.end());
    CHECK(from_line == from_tokens);
  }
}

TEST_CASE("any bytes are a line") {
  std::mt19937 random(11);
  for (int round = 0; round < 20000; ++round) {
    std::string line(random() % 60, '\0');
    for (char& c : line) c = static_cast<char>(random() % 256);
    const Understood once = read(line);
    const Understood again = read(line);
    CHECK(once.words == again.words);
    CHECK(once.codes == again.codes);
    CHECK(once.line_without_vin == again.line_without_vin);
  }
}
