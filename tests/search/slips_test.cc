#include "search/slips.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <random>
#include <set>
#include <string>
#include <unordered_set>
#include <vector>

#include "search/slip_cost.h"
#include "search/slip_index.h"
#include "search/word_list.h"

using namespace baylore;
using namespace baylore::search;
using search::test::WordList;

namespace {

WordList small_list() {
  WordList list;
  for (int i = 0; i < 12; ++i) list.add("belt tensioner rattles at idle");
  for (int i = 0; i < 8; ++i) list.add("alternator not charging, battery flat");
  for (int i = 0; i < 6; ++i) list.add("water pump weeps, coolant low, thermostat stuck");
  for (int i = 0; i < 5; ++i) list.add("brake pad worn, caliper seized, brake pedal soft");
  for (int i = 0; i < 4; ++i) list.add("heater cold, gauge reads low, heating fan stopped");
  list.add("catalytic converter rattles");
  list.add("reservoir cracked, overheating");
  return list;
}

Language small_language() {
  shop::Vocabulary vocabulary;
  vocabulary.models = {{"Corvane", "Hauler", 2012, 2022, {"3.6 V6"}}};
  vocabulary.synonyms = {{"intake manifold", "inlet manifold"}, {"alternator", "dynamo"}};
  return Language(vocabulary);
}

std::string spaced(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

// The line as it is searched, words apart.
std::string corrected(Slips& slips, const Lexicon& lexicon, const Language& language,
                      const std::string& line, bool open = false,
                      const std::vector<std::string>& dropped = {}) {
  const std::vector<std::string> words = shop::words_of(line);
  std::vector<std::string> made;
  std::size_t at = 0;
  const auto put = [&](const std::vector<std::string>& some) {
    made.insert(made.end(), some.begin(), some.end());
  };
  for (const Slip& slip : slips.find(words, open, lexicon, language, dropped)) {
    for (; at < slip.first; ++at) put({words[at]});
    put(slip.words);
    at += slip.count;
  }
  for (; at < words.size(); ++at) put({words[at]});
  return spaced(made);
}

}  // namespace

TEST_CASE("what a slip costs") {
  // The commoner mistake is the cheaper one. Common practice, no source.
  const auto cost = [](const char* typed, const char* meant) {
    return slip_cost(typed, meant, 100);
  };
  CHECK(cost("brake", "brake") == 0);
  CHECK(cost("runing", "running") < cost("runnin", "running"));
  CHECK(cost("brrake", "brake") < cost("bprake", "brake"));
  CHECK(cost("bracke", "brake") < cost("brapke", "brake") + 1);
  CHECK(cost("barke", "brake") < cost("bbxke", "brake"));
  CHECK(cost("brale", "brake") < cost("brape", "brake"));  // l beside k
  CHECK(cost("breke", "brake") < cost("brzke", "brake"));
  CHECK(cost("crake", "brake") > cost("brace", "brake"));
  CHECK(cost("brake", "xxxxxxxx") >= 50);
  CHECK(slip_cost("brake", "xxxxxxxx", 20) == kNoSlip);
  CHECK(slip_cost("tentio", "tensioner", 20, true) == slip_cost("tentio", "tensio", 20));
  CHECK(slip_cost("", "brake", 100) == kNoSlip);
  CHECK(slip_cost("p0301", "p0302", 100) == kNoSlip);
  CHECK(slip_cost("p0301", "p0301", 100) == 0);
}

TEST_CASE("keys side by side") {
  for (const auto& held : std::map<char, std::string>{
           {'q', "wa"}, {'g', "ftyhbv"}, {'s', "awedxz"}, {'p', "ol"}, {'m', "njk"}}) {
    // No structured binding: CAPTURE makes a lambda of it, which clang 14 does not take.
    const char key = held.first;
    const std::string& beside = held.second;
    for (char c = 'a'; c <= 'z'; ++c) {
      CAPTURE(key);
      CAPTURE(c);
      CHECK(side_by_side(key, c) == (beside.find(c) != std::string::npos));
      CHECK(side_by_side(key, c) == side_by_side(c, key));
    }
  }
}

namespace {

// The textbook table, whole.
int plain_distance(const std::string& a, const std::string& b, bool beginning) {
  std::vector<std::vector<int>> d(a.size() + 1, std::vector<int>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = static_cast<int>(i);
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      d[i][j] = std::min(
          {d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
      }
    }
  }
  const std::vector<int>& last = d[a.size()];
  return beginning ? *std::min_element(last.begin(), last.end()) : last.back();
}

}  // namespace

TEST_CASE("the distance by bits is the textbook's, and the sieve loses nothing") {
  std::mt19937 random(5);
  const auto word = [&](std::size_t shortest) {
    std::string made(shortest + random() % 9, 'a');
    for (char& c : made) c = static_cast<char>('a' + random() % 6);
    return made;
  };
  SlipIndex index;
  std::vector<std::string> words;
  for (int i = 0; i < 1500; ++i) {
    words.push_back(word(3));
    index.add(words.back(), 1);
  }
  index.finish();
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
  CHECK(index.size() == words.size());
  for (int i = 0; i < 60; ++i) {
    const std::string typed = word(4);
    const int edits = 1 + static_cast<int>(random() % 3);
    for (const bool beginning : {false, true}) {
      std::vector<std::string> expected;
      const EditDistance distance(typed);
      for (const std::string& each : words) {
        const int apart = plain_distance(typed, each, beginning);
        CHECK((beginning ? distance.to_beginning(each) : distance.to(each)) == apart);
        const bool likely = each[0] == typed[0] || each[0] == typed[1];
        const bool sought = apart <= edits && (likely || (!beginning && apart <= 1));
        if (sought && each != typed) expected.push_back(each);
      }
      std::vector<std::string> found;
      for (const SlipIndex::Near& near :
           beginning ? index.near_beginning(typed, edits, 100) : index.near(typed, edits, 100)) {
        found.emplace_back(near.word);
      }
      std::sort(found.begin(), found.end());
      CAPTURE(typed);
      CAPTURE(edits);
      CAPTURE(beginning);
      CHECK(found == expected);
    }
  }
}

TEST_CASE("beginnings") {
  SlipIndex index;
  for (const char* word : {"tensioner", "belt", "brake", "brakes"}) index.add(word, 1);
  index.finish();
  const auto all = [](std::string_view) { return true; };
  CHECK(index.begins("tens", all));
  CHECK(index.begins("brakes", all));
  CHECK(index.begins("b", all));
  CHECK_FALSE(index.begins("brakess", all));
  CHECK_FALSE(index.begins("z", all));
  CHECK_FALSE(SlipIndex().begins("a", all));
  CHECK(index.begins("brake", [](std::string_view word) { return word != "brake"; }));
  CHECK_FALSE(index.begins("tens", [](std::string_view word) { return word != "tensioner"; }));
}

// A list whose words came at two times, as the parts of a store do; those of tips that have gone
// are in the first part still.
class Parted : public WordList {
 public:
  void begin_base(std::uint64_t number, const std::set<std::string>& gone) {
    base_ = number;
    words_of_base_ = gone;
    each([this](std::string_view word, std::uint32_t) { words_of_base_.emplace(word); });
  }
  [[nodiscard]] std::uint64_t base() const override { return base_; }
  void each_of_base(const Visit& visit) const override {
    for (const std::string& word : words_of_base_) visit(word);
  }
  void each_since(const Visit& visit) const override {
    each([&](std::string_view word, std::uint32_t) {
      if (!words_of_base_.contains(std::string(word)) || word.size() % 2 == 0) visit(word);
    });
  }

 private:
  std::uint64_t base_ = 0;
  std::set<std::string> words_of_base_;
};

TEST_CASE("words that came in two parts are corrected as words that came at once") {
  const Language language = small_language();
  std::mt19937 dice(3);
  const auto any_word = [&] {
    std::string word;
    for (std::size_t i = 0; i < 4 + dice() % 4; ++i) word += "abert"[dice() % 5];
    return word;
  };
  Parted list;
  Slips followed;
  std::set<std::string> gone;
  int corrected = 0;
  for (int round = 0; round < 400; ++round) {
    if (round % 100 == 0) {
      for (int i = 0; i < 5; ++i) gone.insert(any_word());
      list.begin_base(static_cast<std::uint64_t>(round) + 1, gone);
    }
    list.add(any_word() + " " + any_word());
    const WordList at_once = list;  // what it holds, in one part
    const std::vector<std::string> typed{any_word()};
    for (const bool open : {false, true}) {
      CAPTURE(typed[0]);
      CAPTURE(open);
      Slips fresh;
      const auto there = followed.find(typed, open, list, language, {});
      const auto expected = fresh.find(typed, open, at_once, language, {});
      REQUIRE(there.size() == expected.size());
      for (std::size_t i = 0; i < there.size(); ++i) {
        CHECK(there[i].said() == expected[i].said());
        ++corrected;
      }
    }
  }
  CHECK(corrected > 20);
}

TEST_CASE("slips of every kind lead to the shop's words") {
  const WordList list = small_list();
  const Language language = small_language();
  Slips slips;
  struct Row {
    const char* line;
    const char* meant;
  };
  // How they are misspelt: common practice, no source.
  const Row rows[] = {
      {"tentioner rattles", "tensioner rattles"},
      {"tensionner", "tensioner"},  // doubled
      {"resevoir", "reservoir"},    // dropped
      {"guage", "gauge"},           // swapped
      {"thermastat stuck", "thermostat stuck"},
      {"alternater", "alternator"},
      {"calliper", "caliper"},
      {"catalitic", "catalytic"},
      {"brske pedal", "brake pedal"},  // s beside a
      {"waterpump weeps", "water pump weeps"},
      {"alter nator", "alternator"},
      {"over heating", "overheating"},  // both halves stand nowhere together
      {"wate rpump", "water pump"},
      {"intakemanifold", "intake manifold"},  // of the vocabulary alone
      {"hualer", "hauler"},                   // a vehicle's name
      {"dinamo", "dynamo"},
      {"coolent low and thermastat", "coolant low and thermostat"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.line));
    CHECK(corrected(slips, list, language, row.line) == row.meant);
  }
}

TEST_CASE("what is right, or nobody's business, stays as it is") {
  const WordList list = small_list();
  const Language language = small_language();
  Slips slips;
  for (const char* line : {
           "belt tensioner",             // in tips
           "corvane hauler manifold",    // in the vocabulary
           "p0301 p0420 3x6 12v",        // codes and numbers
           "please says wont customer",  // everyday words
           "para cuando",
           "heaters gauges heated rattled",  // other endings of words that are there
           "zzzzzzz qqxxyy",                 // near to nothing
           "ab xy",                          // too short
           "\xD1\x82\xD0\xBE\xD1\x80\xD0\xBC\xD0\xBE\xD0\xB7",
           "no se",
       }) {
    CAPTURE(std::string(line));
    CHECK(corrected(slips, list, language, line) == spaced(shop::words_of(line)));
    CHECK(slips.find(shop::words_of(line), false, list, language).empty());
  }
  CHECK(slips.find({}, true, list, language).empty());
}

TEST_CASE("a correction is said, and can be refused") {
  const WordList list = small_list();
  const Language language = small_language();
  Slips slips;
  const auto found = slips.find({"tentioner", "noise"}, false, list, language);
  REQUIRE(found.size() == 1);
  CHECK(found[0].said() == "showing tensioner for tentioner");
  CHECK(found[0].key == "slip:tentioner");
  CHECK(found[0].first == 0);
  CHECK(found[0].count == 1);
  CHECK_FALSE(found[0].keeps);
  CHECK(slips.find({"tentioner", "noise"}, false, list, language, {"slip:tentioner"}).empty());
  const auto two = slips.find({"the", "alter", "nator"}, false, list, language);
  REQUIRE(two.size() == 1);
  CHECK(two[0].key == "slip:alter nator");
  CHECK(two[0].first == 1);
  CHECK(two[0].count == 2);
  CHECK(two[0].said() == "showing alternator for alter nator");
}

TEST_CASE("a word that is still being typed") {
  const WordList list = small_list();
  const Language language = small_language();
  Slips slips;
  const auto open = [&](const std::string& line) {
    return corrected(slips, list, language, line, true);
  };
  CHECK(open("tens") == "tens");
  CHECK(open("tentio") == "tensioner");
  CHECK(open("tesni") == "tensioner");
  CHECK(open("ten") == "ten");
  CHECK(open("brake cali") == "brake cali");
  CHECK(open("brake calli") == "brake caliper");
  CHECK(open("waterpu") == "water pu");
  CHECK(open("hual") == "hauler");
  // No word has to be right before it is finished.
  for (const std::string word : {"tensioner", "alternator", "thermostat", "catalytic"}) {
    for (std::size_t size = 1; size <= word.size(); ++size) {
      CAPTURE(word.substr(0, size));
      CHECK(open(word.substr(0, size)) == word.substr(0, size));
    }
  }
  // Finished, it is judged as it is.
  CHECK(corrected(slips, list, language, "tentio") == "tentio");
}

TEST_CASE("the line's other words decide between two candidates") {
  WordList list;
  for (int i = 0; i < 20; ++i) list.add("brake pedal soft");
  for (int i = 0; i < 25; ++i) list.add("reed valve petal broken");
  for (int i = 0; i < 20; ++i) list.add("tail lamp wet");
  for (int i = 0; i < 20; ++i) list.add("nail in the tyre");
  const Language language;
  Slips slips;
  CHECK(corrected(slips, list, language, "soft brake pefal") == "soft brake pedal");
  CHECK(corrected(slips, list, language, "reed valve pefal") == "reed valve petal");
  // Short, and as near to the one as to the other: left alone.
  CHECK(corrected(slips, list, language, "ail") == "ail");
}

TEST_CASE("a rare word keeps itself, and a very common one beside it joins in") {
  WordList list;
  list.add("tensoner noisy");
  list.add("belt tensioner", 300);
  list.add("chain", 100);
  Slips slips;
  const auto found = slips.find({"tensoner"}, false, list, Language());
  REQUIRE(found.size() == 1);
  CHECK(found[0].keeps);
  CHECK(found[0].said() == "also showing tensioner for tensoner");
  // What its own tip says besides is what was looked for.
  CHECK(slips.find({"tensoner", "noisy"}, false, list, Language()).empty());
  CHECK(slips.find({"tensoner", "chain"}, false, list, Language()).size() == 1);
}

TEST_CASE("a lexicon or vocabulary that changed is looked at again") {
  WordList list;
  list.add("belt tensioner", 3);
  Slips slips;
  CHECK(corrected(slips, list, Language(), "thermastat") == "thermastat");
  list.add("thermostat");
  CHECK(corrected(slips, list, Language(), "thermastat") == "thermostat");
  shop::Vocabulary vocabulary;
  vocabulary.synonyms = {{"alternator", "generator"}};
  CHECK(corrected(slips, list, Language(vocabulary), "alternater") == "alternator");
}

// --- property: one slip of each kind in the demo shop's own words
// ---------------------------------

namespace {

enum class Made { doubled, dropped, swapped, beside, replaced, extra, joined, split };
constexpr const char* kMade[] = {"doubled",  "dropped", "swapped", "beside key",
                                 "replaced", "extra",   "joined",  "split"};

std::string slipped(const std::string& word, Made made, std::mt19937& random) {
  std::string out = word;
  // The first letter is seldom missed.
  const std::size_t at = 1 + random() % (word.size() - 1);
  const auto letter = [&] { return static_cast<char>('a' + random() % 26); };
  switch (made) {
    case Made::doubled:
      out.insert(at, 1, out[at]);
      break;
    case Made::dropped:
      out.erase(at, 1);
      break;
    case Made::swapped:
      if (at + 1 < out.size()) {
        std::swap(out[at], out[at + 1]);
      } else {
        std::swap(out[at - 1], out[at]);
      }
      break;
    case Made::beside: {
      char c = letter();
      while (!side_by_side(c, word[at])) c = letter();
      out[at] = c;
      break;
    }
    case Made::replaced:
      out[at] = letter();
      break;
    case Made::extra:
      out.insert(at, 1, letter());
      break;
    case Made::joined:
      break;
    case Made::split:
      out.insert(std::min(at + 1, word.size() - 2), " ");
      break;
  }
  return out;
}

}  // namespace

namespace {

// What a stemmed search finds a word by, roughly: its regular English endings cut off.
std::string stem(std::string word) {
  for (const std::string ending : {"s", "e", "ed", "ing"}) {
    if (word.size() > ending.size() + 3 &&
        word.compare(word.size() - ending.size(), ending.size(), ending) == 0) {
      word.resize(word.size() - ending.size());
    }
  }
  if (word.size() > 3 && word.back() == word[word.size() - 2]) word.pop_back();
  return word;
}

}  // namespace

TEST_CASE("one slip in a word of six letters or more comes back nine times in ten") {
  const WordList list = search::test::demo_words();
  const Language language(search::test::demo_vocabulary());
  Slips slips;
  std::vector<std::string> words;
  list.each([&](std::string_view word, std::uint32_t) {
    const bool plain =
        std::all_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; });
    if (word.size() >= 6 && plain) words.emplace_back(word);
  });
  REQUIRE(words.size() > 300);
  std::mt19937 random(2014);
  std::shuffle(words.begin(), words.end(), random);
  words.resize(300);
  std::size_t all_right = 0;
  std::size_t all_found = 0;
  std::size_t all = 0;
  for (int kind = 0; kind < 8; ++kind) {
    const auto made = static_cast<Made>(kind);
    if (made == Made::joined) continue;
    std::size_t right = 0;
    std::size_t by_ending = 0;
    std::size_t asked = 0;
    for (const std::string& word : words) {
      const std::string typed = slipped(word, made, random);
      // A slip that makes another word of the shop is no slip to anybody.
      if (typed == word || list.tips_with(typed) > 0 || language.has_word(typed)) continue;
      ++asked;
      const std::string back = corrected(slips, list, language, typed);
      if (back == word) {
        ++right;
      } else if (stem(back) == stem(word)) {
        ++by_ending;
      }
    }
    MESSAGE(std::string(kMade[kind])
            << ": " << right << " of " << asked << ", " << by_ending << " more by their stem");
    all += asked;
    all_right += right;
    all_found += right + by_ending;
    CHECK((right + by_ending) * 100 >= asked * 85);
  }
  MESSAGE("all: " << all_right << " of " << all << ", with stems " << all_found);
  CHECK(all_found * 10 >= all * 9);
  CHECK(all_right * 100 >= all * 85);

  // Neighbours of the tips' own titles, run together.
  std::size_t right = 0;
  std::size_t asked = 0;
  for (const auto& component : search::test::demo_vocabulary().components) {
    const std::vector<std::string> parts = shop::words_of(component.name);
    if (parts.size() != 2) continue;
    ++asked;
    if (corrected(slips, list, language, parts[0] + parts[1]) == parts[0] + " " + parts[1]) ++right;
  }
  MESSAGE("joined: " << right << " of " << asked);
  CHECK(asked > 20);
  CHECK(right * 10 >= asked * 9);
}
