#include "search/understand.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>

#include "search/small_shop.h"
#include "search/word_list.h"

using baylore::search::completed;
using baylore::search::Language;
using baylore::search::Reading;
using baylore::search::Slips;
using baylore::search::Token;
using baylore::search::understand;
using baylore::search::understand_with_slips;
using baylore::search::Understood;
using baylore::search::Vehicle;
using baylore::search::test::vocabulary;

namespace {

Understood read(const std::string& line, const std::vector<std::string>& dropped = {}) {
  static const Language kLanguage(vocabulary());
  return understand(line, kLanguage, dropped);
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
      {"po 301 rough", {"P0301"}, "rough"},
      {"P0 301", {"P0301"}, ""},
      {"c0 035 wheel", {"C0035"}, "wheel"},
      {"co 200 ppm", {}, "co"},
      {"bo 123", {}, "bo 123"},
      {"P0301 0302, 0303 misfire", {"P0301", "P0302", "P0303"}, "misfire"},
      {"B1000/1001-11", {"B1000", "B1001-11"}, ""},
      {"P0301 2014 0302", {"P0301"}, ""},  // another number between: no list
      {"a c 1200 rpm", {}, "a c"},
      {"b 2014", {}, "b"},
      {"P0A80 hybrid battery", {"P0A80"}, "hybrid battery"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.line));
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

TEST_CASE("a code without its letter asks for it") {
  const Understood understood = read("rough 0301 idle");
  CHECK(understood.codes.empty());
  CHECK(words(understood) == "rough idle");
  REQUIRE(understood.tokens.size() == 3);
  const Token& half = understood.tokens[1];
  CHECK(half.kind == Token::Kind::half_code);
  CHECK(half.key == "half:0301");
  CHECK(half.choices == std::vector<std::string>{"P0301", "B0301", "C0301", "U0301"});
  CHECK(completed("rough 0301 idle", half, half.choices[1]) == "rough B0301 idle");
  CHECK(read("rough B0301 idle").codes == std::vector<std::string>{"B0301"});
  CHECK(read("rough 0301 idle", {"half:0301"}).tokens.size() == 2);
  CHECK(read("0128-11").tokens.at(0).choices.at(0) == "P0128-11");
  CHECK(read("0a80").tokens.at(0).choices.at(0) == "P0A80");
  // Alone, any four figures but a year; with words, only those that start with a zero.
  CHECK(read("1101").tokens.at(0).kind == Token::Kind::half_code);
  for (const char* line :
       {"2014", "4101", "0301 rpm", "1101 noise", "03011", "030", "0abc", "P0301"}) {
    CAPTURE(std::string(line));
    for (const Token& token : read(line).tokens) CHECK(token.kind != Token::Kind::half_code);
  }
}

TEST_CASE("readings are told from other numbers") {
  struct Row {
    const char* line;
    const char* key;  // empty: no reading
    const char* words;
  };
  const Row rows[] = {
      {"battery 9.6 V cranking", "reading:9.6 V", "battery cranking"},
      {"9.6v", "reading:9.6 V", ""},
      {"torque 80 ft-lb",
       "reading:80 lbf\xC2\xB7"
       "ft",
       "torque"},
      {"80 ft lb bolts",
       "reading:80 lbf\xC2\xB7"
       "ft",
       "bolts"},
      {"13,5 V", "reading:13.5 V", ""},
      {"duty 12%", "reading:12 %", "duty"},
      {"-40 C start",
       "reading:-40 \xC2\xB0"
       "C",
       "start"},
      {"idle 2000rpm", "reading:2000 rpm", "idle"},
      {"1/2 in play", "reading:0.5 in", "play"},
      {"5A fuse", "reading:5 A", "fuse"},
      {"cyl 2 a bit rough", "", "cyl 2 a bit rough"},
      {"2 in gear", "", "2 in gear"},
      {"3 clicks", "", "3 clicks"},
      {"30", "", "30"},
      {"volt", "", "volt"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.line));
    const Understood understood = read(row.line);
    CHECK(words(understood) == row.words);
    REQUIRE(understood.readings.size() == (*row.key == '\0' ? 0 : 1));
    if (understood.readings.empty()) continue;
    const std::vector<std::string> all = keys(understood);
    CHECK(std::find(all.begin(), all.end(), row.key) != all.end());
    CHECK(read(row.line, {row.key}).readings.empty());
  }
  // As a tip may write it: `9.6 V`, `9.6V`.
  CHECK(read("9.6 v").readings.at(0).wordings ==
        std::vector<std::vector<std::string>>{{"9", "6", "v"}, {"9", "6v"}});
  CHECK(read("battery 9.6 V cranking").words_typed == "battery 9.6 V cranking");
}

TEST_CASE("part numbers the shop has, written together or apart") {
  const Language language(vocabulary());
  const auto part = [](std::string_view joined) {
    return joined == "88214" ? "88-214" : joined == "88214a" ? "88-214 A" : "";
  };
  const auto with_parts = [&](const std::string& line,
                              const std::vector<std::string>& dropped = {}) {
    return understand(line, language, dropped, part);
  };
  for (const char* line : {"seal 88-214", "seal 88214", "seal 88 214", "88.214 seal"}) {
    CAPTURE(std::string(line));
    const Understood understood = with_parts(line);
    CHECK(words(understood) == "seal");
    REQUIRE(understood.parts.size() == 1);
    CHECK(understood.parts[0].shown == "88-214");
    CHECK(words(with_parts(line, {"part:88214"})) == "seal");
    CHECK(with_parts(line, {"part:88214"}).parts.empty());
  }
  CHECK(with_parts("88 214 a").parts.at(0).shown == "88-214 A");
  CHECK(with_parts("seal 88214").words_typed == "seal 88214");
  CHECK(words(with_parts("88-215")) == "88 215");
  CHECK(words(read("88-214")) == "88 214");  // without a list, words
}

TEST_CASE("slips are corrected, and what they were meant to be is understood") {
  baylore::search::test::WordList list;
  for (int i = 0; i < 9; ++i) list.add("belt tensioner noisy, alternator whines");
  list.add("heater");
  const Language language(vocabulary());
  Slips slips;
  const auto ask = [&](const std::string& line, const std::vector<std::string>& dropped = {}) {
    return understand_with_slips(line, language, list, slips, true, dropped);
  };
  const Understood vehicle = ask("hualer 2016 tentioner noisy");
  CHECK(vehicle.vehicle == Vehicle{"Corvane", "Hauler", 2016, ""});
  CHECK(words(vehicle) == "tensioner noisy");
  REQUIRE(vehicle.slips.size() == 2);
  CHECK(vehicle.slips[0].said() == "showing hauler for hualer");
  CHECK(vehicle.slips[1].said() == "showing tensioner for tentioner");
  CHECK(vehicle.line_without_vin == "hualer 2016 tentioner noisy");
  const Understood refused = ask("hualer 2016 tentioner noisy", {"slip:tentioner"});
  CHECK(words(refused) == "tentioner noisy");
  CHECK(refused.slips.size() == 1);
  // The corrected word is a word like others.
  CHECK(words(ask("tentioner noisy", {"word:tensioner"})) == "noisy");
  const Understood two = ask("alter nator");
  CHECK(words(two) == "alternator");
  CHECK(two.last_word_open);
  CHECK(words(ask("seal-tentioner P0128 alter nator 9.6 V")) == "seal tensioner alternator");
  // Places stay those of the line as typed.
  const Understood half = ask("tentionner 0301");
  REQUIRE(half.tokens.size() == 2);
  CHECK(completed("tentionner 0301", half.tokens[1], "P0301") == "tentionner P0301");
  // Hanging on a word that has a slip, the choice takes the place of the figures all the same, and
  // is read as a code there.
  for (const char* glued : {"tentionner-0301", "tentionner/0301", "tentionner,0301"}) {
    CAPTURE(glued);
    const Understood one = ask(glued);
    REQUIRE(one.tokens.size() >= 2);
    const Token& figures = one.tokens.back();
    REQUIRE(figures.kind == Token::Kind::half_code);
    const std::string taken = completed(glued, figures, "P0301");
    CHECK(taken.starts_with("tentionner"));
    CHECK(taken.find("0301") == taken.rfind("0301"));
    CHECK(ask(taken).codes == std::vector<std::string>{"P0301"});
  }
  CHECK(ask("1M8GDM9AXKP042788 tentioner").line_without_vin == "tentioner");
  CHECK(words(ask("tensio")) == "tensio");
  CHECK(ask("heater noisy").slips.empty());
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
      {"hauler 2012 to 2016", {"Corvane", "Hauler", 2012, "", 2016}, ""},
      {"hauler '12 thru '16 noise", {"Corvane", "Hauler", 2012, "", 2016}, "noise"},
      {"2012 to fix", {"", "", 2012, ""}, "to fix"},
      {"hauler del 2012 al 2016", {"Corvane", "Hauler", 2012, "", 2016}, "del"},
      {"hauler 3.6", {"Corvane", "Hauler", 0, "3.6 V6"}, ""},
      {"hauler 3.6 litros", {"Corvane", "Hauler", 0, "3.6 V6"}, ""},
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
      {"stalls at 2000 rpm", {}, "stalls at"},
      {"torque 12-16 nm", {}, "torque 12 16 nm"},
      {"drop 3.6 v", {}, "drop"},
      {"14 mm bolt", {}, "bolt"},
      {"1799 or 2045", {}, "1799 or 2045"},
      {"gap 16-12", {}, "gap 16 12"},
      // A model's name that is a word of the trade needs company.
      {"vane worn", {}, "vane worn"},
      {"ostrel vane worn", {"Ostrel", "Vane", 0, ""}, "worn"},
      {"vane 2012 worn", {"Ostrel", "Vane", 2012, ""}, "worn"},
      {"hauler 2016 in gear", {"Corvane", "Hauler", 2016, ""}, "in gear"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.line));
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
    CHECK(understand(vin, Language()).vehicle.year == 0);
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
      "heater", "hauler", "2016", "P0128",    "12-16",  "3.6",   "l",       "v6",
      "PO128",  "'14",    "kite", "tavik",    "vane",   "rpm",   "2000",    "f",
      "9",      "long",   "it's", "seal-kit", "diesel", "5.3V8", "corvane", "no",
      "heat",   "3,6l",   "nm",   "u0100-87", "0301",   "9.6",   "v"};
  for (int round = 0; round < 3000; ++round) {
    std::string line;
    for (int i = 0; i < 6; ++i) {
      line += (i == 0 ? "" : " ") + stretches[random() % stretches.size()];
    }
    CAPTURE(line);
    const Understood understood = read(line);
    if (understood.vin_seen) continue;  // which is never kept
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
