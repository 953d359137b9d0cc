#include "search/search.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <random>
#include <string>

#include "search/small_shop.h"

using namespace baylore::search;
using namespace baylore::search::test;

namespace {

const char* const kHauler = "fits:\n  - Corvane | Hauler | 2014-2018 | 3.6 V6\n";

// Six tips of one invented shop.
SmallShop& shop() {
  static SmallShop shop;
  static const bool filled = [] {
    shop.tip("pump", "Heater cold at idle, coolant lost",
             std::string(kHauler) + "codes:\n  - P0128\n",
             "## Symptom\nLow tank each morning, heater goes cold at idle.\n");
    shop.tip("stat", "Warms up slowly on the road",
             "fits:\n  - Ostrel | Vane | 2008-2013 |\ncodes:\n  - P0128-1A\n",
             "## Symptom\nThe heater is never hot. Gauge low.\n\n## Background\nCold air.\n");
    shop.tip("strap", "Lights flicker over bumps", "",
             "## Symptom\nDim lamps, cold start slow.\n\n## Repair\n1. Clean the earth strap.\n");
    shop.tip("old", "Heater cold at idle: flush the core",
             std::string(kHauler) + "status: withdrawn\n", "## Symptom\nHeater cold at idle.\n");
    shop.tip("twin-b", "Rattle from the undertray", "", "## Symptom\nLoose clip.\n");
    shop.tip("twin-a", "Rattle from the undertray", "", "## Symptom\nLoose clip.\n");
    return true;
  }();
  (void)filled;
  return shop;
}

baylore::store::Store& store() {
  static baylore::store::Store store = shop().open();
  return store;
}

using Ids = std::vector<std::string>;

}  // namespace

TEST_CASE("words find the tip that has them where they count; withdrawn tips come last") {
  CHECK(ids(ask(store(), "heater cold")) == Ids{"pump", "stat", "strap", "old"});
  CHECK(ids(ask(store(), "flicker")) == Ids{"strap"});
  CHECK(ask(store(), "").hits.empty());
  CHECK(ask(store(), "chirp").hits.empty());
}

TEST_CASE("all words, or any of them when no tip has all") {
  CHECK(ask(store(), "heater idle").all_words);
  const Answer any = ask(store(), "flicker chirp undertray");
  CHECK_FALSE(any.all_words);
  CHECK(any.hits.size() == 3);
}

TEST_CASE("equal scores are ordered by id") {
  const Answer answer = ask(store(), "rattle undertray");
  CHECK(ids(answer) == Ids{"twin-a", "twin-b"});
  CHECK(answer.hits[0].score == answer.hits[1].score);
}

TEST_CASE("a code finds its tips, exact first, with or without words") {
  CHECK(ids(ask(store(), "P0128")) == Ids{"pump", "stat"});
  CHECK(ids(ask(store(), "P0128-1A")) == Ids{"stat", "pump"});
  CHECK(ids(ask(store(), "p 0128")) == Ids{"pump", "stat"});
  CHECK(ids(ask(store(), "PO128 lamps"))[2] == "strap");
  CHECK(ids(ask(store(), "P0999")).empty());
}

TEST_CASE("the vehicle orders, names itself and counts") {
  const Answer answer = ask(store(), "vane 2012 heater");
  REQUIRE(answer.hits.size() == 3);
  CHECK(ids(answer) == Ids{"stat", "pump", "old"});
  CHECK(answer.hits[0].fit.words == "fits");
  CHECK(answer.hits[1].fit.words == "other model: Corvane Hauler");
  CHECK(answer.fitting == 1);
  CHECK(answer.without_vehicle == 2);

  SUBCASE("alone it lists its tips") {
    CHECK(ids(ask(store(), "hauler")) == Ids{"pump", "old"});
    CHECK(ids(ask(store(), "hauler 2020")) == Ids{"pump", "old"});
    CHECK(ask(store(), "hauler 2020").hits[0].fit.words == "to 2018 only");
  }
  SUBCASE("the job's vehicle counts without being typed, and the line goes over it") {
    const Vehicle hauler{"Corvane", "Hauler", 2016, ""};
    CHECK(ids(ask(store(), "heater", hauler)) == Ids{"pump", "stat", "old"});
    CHECK(ask(store(), "heater", hauler).hits[0].fit.words == "fits");
    CHECK(ask(store(), "heater 2020", hauler).hits[0].fit.words == "to 2018 only");
    CHECK(ask(store(), "heater vane", hauler).hits[0].tip.id == "stat");
    // With nothing else said, what is written for the vehicle.
    CHECK(ids(ask(store(), "", hauler)) == Ids{"pump", "old"});
  }
}

TEST_CASE("synonyms of the vocabulary find what the word does not, behind what it does") {
  CHECK(ids(ask(store(), "no heat")).at(0) == "pump");
  CHECK(ids(ask(store(), "ground strap")) == Ids{"strap"});
  CHECK(ask(store(), "ground").all_words);
}

TEST_CASE("while typing, every step to a word keeps its tip") {
  for (const std::string word : {"flicker", "undertray", "rattling", "warming"}) {
    for (std::size_t length = 3; length <= word.size(); ++length) {
      Query query;
      query.line = word.substr(0, length);
      CAPTURE(query.line);
      CHECK_FALSE(search(store(), query).hits.empty());
    }
  }
  Query query;
  query.line = "flick ";
  CHECK(search(store(), query).hits.empty());
}

TEST_CASE("why: true parts of the score, the words as typed") {
  const Answer answer = ask(store(), "Heater COLD P0128 hauler");
  REQUIRE_FALSE(answer.hits.empty());
  for (const Hit& hit : answer.hits) {
    CAPTURE(hit.tip.id);
    double sum = 0;
    for (std::size_t i = 0; i < hit.why.size(); ++i) {
      sum += hit.why[i].score;
      if (i > 0) CHECK(hit.why[i - 1].score >= hit.why[i].score);
    }
    CHECK(sum == doctest::Approx(hit.score));
  }
  const Hit& pump = answer.hits[0];
  CHECK(pump.tip.id == "pump");
  const auto field = [&](const std::string& name) {
    const auto found = std::find_if(pump.why.begin(), pump.why.end(),
                                    [&](const Why& why) { return why.field == name; });
    return found == pump.why.end() ? std::string("-") : found->words;
  };
  CHECK(field("title") == "Heater COLD");
  CHECK(field("vehicle") == "fits");
  CHECK(field("code") == "P0128");
  CHECK(pump.why_line.find("code") != std::string::npos);
}

TEST_CASE("why names the place as the tip does") {
  SmallShop other;
  other.tip("belt-slip", "Squeal on cold start",
            "component: drive belt\nsystem: charging\nauthor: R. Okoro\nwhen:\n  - rain\n" +
                std::string(kHauler),
            "## Symptom\nNoise.\n\n## Background\nGlazed ribs.\n");
  const baylore::store::Store reader = other.open();
  const auto line = [&](const char* word) {
    const Answer answer = ask(reader, word);
    return answer.hits.empty() ? std::string("-") : answer.hits[0].why_line;
  };
  CHECK(line("squealing") == "title");
  CHECK(line("drive") == "component");
  CHECK(line("charging") == "system");
  CHECK(line("rain") == "when");
  CHECK(line("Corvane truck") == "vehicle");  // no tip has the word: what fits the make
  CHECK(line("okoro") == "author");
  CHECK(line("glazed") == "background");
  CHECK(line("slip") == "file name");
}

TEST_CASE("bold is what matched in the title") {
  const Answer answer = ask(store(), "cold heater");
  REQUIRE_FALSE(answer.hits.empty());
  const Hit& hit = answer.hits[0];
  std::vector<std::string> bold;
  for (const Span& span : hit.bold)
    bold.push_back(hit.tip.title.substr(span.from, span.to - span.from));
  CHECK(bold == std::vector<std::string>{"Heater", "cold"});
  CHECK(ask(store(), "core flushing").hits[0].bold.size() == 2);  // flush, core
}

TEST_CASE("only ids: the same tips in the same order") {
  Query query;
  query.line = "heater cold";
  query.last_is_prefix = false;
  query.only_ids = true;
  CHECK(ids(search(store(), query)) == ids(ask(store(), "heater cold")));
  query.limit = 2;
  CHECK(ids(search(store(), query)) == Ids{"pump", "stat"});
  query.limit = 0;
  CHECK(search(store(), query).hits.empty());
}

TEST_CASE("any bytes are a question, and none of them damages the store") {
  std::mt19937 random(5);
  for (int round = 0; round < 3000; ++round) {
    Query query;
    query.line.resize(random() % 40);
    for (char& c : query.line) c = static_cast<char>(random() % 256);
    query.last_is_prefix = random() % 2 == 0;
    const Answer once = search(store(), query);
    const Answer again = search(store(), query);
    CHECK(ids(once) == ids(again));
  }
  CHECK_FALSE(store().damaged());
  CHECK(ask(store(), "flicker").hits.size() == 1);
}

TEST_CASE("a new tip is found after a refresh") {
  SmallShop other;
  other.tip("one", "Squeal on cold start", "", "## Symptom\nBelt.\n");
  baylore::store::Store reader = other.open();
  CHECK(ids(ask(reader, "squeal")) == Ids{"one"});
  const std::uint64_t stamp = ask(reader, "squeal").stamp;
  other.tip("two", "Squeal in the rain", "", "## Symptom\nBelt.\n");
  (void)other.open();
  REQUIRE(reader.refresh().ok());
  CHECK(ids(ask(reader, "squeal")).size() == 2);
  CHECK(ask(reader, "squeal").stamp > stamp);
}

TEST_CASE("a slip is corrected, said, and can be refused") {
  const Answer answer = ask(store(), "flikcer bumsp");
  CHECK(ids(answer) == Ids{"strap"});
  REQUIRE(answer.understood.slips.size() == 2);
  CHECK(answer.understood.slips[0].said() == "showing flicker for flikcer");
  CHECK(answer.understood.slips[1].said() == "showing bumps for bumsp");
  CHECK(answer.shortfall.empty());
  Query query;
  query.line = "flikcer bumsp";
  query.last_is_prefix = false;
  query.dropped = {answer.understood.slips[0].key};
  const Answer refused = search(store(), query);
  CHECK(refused.understood.slips.size() == 1);
  CHECK(refused.shortfall == "No tip has “flikcer”.");
  CHECK(ids(refused) == Ids{"strap"});
}

TEST_CASE("what the answer could not keep is said") {
  CHECK(ask(store(), "heater idle").shortfall.empty());
  CHECK(ask(store(), "rattle gauge").shortfall ==
        "None has all the words: the nearest is without “rattle”.");
  CHECK(ask(store(), "heater zylophone").shortfall == "No tip has “zylophone”.");
  // A code that differs in the last figure alone.
  const Answer near = ask(store(), "P0125");
  CHECK(near.shortfall == "No tip lists P0125: near it P0128.");
  CHECK(ids(near) == Ids{"pump", "stat"});
  CHECK(near.hits[0].why_line.find("near code") != std::string::npos);
  CHECK(ask(store(), "P0471").shortfall == "No tip lists P0471.");
  // Nothing of the line: what fits the vehicle, and with no vehicle nothing.
  const Answer by_vehicle = ask(store(), "zylophone hauler 2016");
  CHECK(by_vehicle.shortfall == "No tip has “zylophone”. Shown is what fits Corvane Hauler.");
  CHECK(ids(by_vehicle) == Ids{"pump", "old"});
  CHECK(ask(store(), "zylophone").hits.empty());
}

TEST_CASE("the engine gives way before the years, the years before the model") {
  CHECK(ask(store(), "coolant hauler 2016 5.3").shortfall ==
        "None for the 5.3 V8: other engines are shown.");
  CHECK(ask(store(), "coolant hauler 2020").shortfall == "None for 2020: other years are shown.");
  CHECK(ask(store(), "coolant vane").shortfall ==
        "None for Ostrel Vane: other vehicles are shown.");
}

TEST_CASE("tips for other vehicles stand below a rule") {
  const Answer answer = ask(store(), "heater hauler 2016");
  CHECK(answer.above == 1);
  CHECK(ids(answer) == Ids{"pump", "stat", "old"});
  CHECK(ask(store(), "heater").above == 2);  // no vehicle, no rule but that of withdrawn ones
}

TEST_CASE("a code without its letter shows what it can be") {
  const Answer answer = ask(store(), "0128");
  CHECK(ids(answer) == Ids{"pump", "stat"});
  REQUIRE(answer.understood.tokens.size() == 1);
  CHECK(answer.understood.tokens[0].choices.size() == 4);
  CHECK(answer.understood.codes.empty());
}

TEST_CASE("a part number in any writing") {
  SmallShop other;
  other.tip("pump", "Coolant pump leaks", "", "## Parts\n### Halden 88-214-A\nWith seal.\n");
  other.tip("noise", "Grinding noise", "", "## Symptom\nPast 88 km/h, 214 A measured.\n");
  const baylore::store::Store reader = other.open();
  for (const char* line : {"88-214-A", "88214a", "88 214 a", "Halden 88-214a"}) {
    CAPTURE(line);
    const Answer answer = ask(reader, line);
    REQUIRE(answer.understood.parts.size() == 1);
    CHECK(answer.understood.parts[0].shown == "88-214-A");
    REQUIRE_FALSE(answer.hits.empty());
    CHECK(answer.hits[0].tip.id == "pump");
  }
  CHECK(ask(reader, "88215").understood.parts.empty());
}

TEST_CASE("a reading is looked for as tips write it, and none of them has to have it") {
  SmallShop other;
  other.tip("low", "Battery low", "", "## Symptom\nBattery cranks, 9.6 V at the post.\n");
  other.tip("high", "Battery high", "", "## Symptom\nBattery boils, 15.4 V at the post.\n");
  const baylore::store::Store reader = other.open();
  CHECK(ids(ask(reader, "battery 9.6V")) == Ids{"low", "high"});
  CHECK(ids(ask(reader, "battery 15.4 V")) == Ids{"high", "low"});
  CHECK(ask(reader, "battery 11.1 V").all_words);
}

TEST_CASE("what proved right here gains a little") {
  Query query;
  query.line = "rattle undertray";
  query.last_is_prefix = false;
  CHECK(ids(search(store(), query)) == Ids{"twin-a", "twin-b"});
  auto tracks = std::make_shared<TrackRecord>();
  (*tracks)["twin-b"] = {3, 2, 0};
  query.tracks = tracks;
  const Answer answer = search(store(), query);
  CHECK(ids(answer) == Ids{"twin-b", "twin-a"});
  double sum = 0;
  for (const Why& why : answer.hits[0].why) sum += why.score;
  CHECK(sum == doctest::Approx(answer.hits[0].score));
  CHECK(answer.hits[0].why.back().field == "proved here");
  CHECK(answer.hits[0].why.back().words == "2 of 3");
  // Right twice and back twice has proved nothing.
  (*tracks)["twin-b"] = {3, 2, 2};
  CHECK(ids(search(store(), query)) == Ids{"twin-a", "twin-b"});
}

TEST_CASE("a tip that lies there twice is found once, with the words of the file that counts") {
  SmallShop twice;
  const std::string front = "---\nid: belt\ntitle: Belt chirps\n---\n\n## Symptom\n";
  twice.write("tips/belt.md", front + "When damp.\n");
  twice.write("tips/belt (1).md", front + "When damp and cold.\n");
  const auto paths = [&](const std::string& line) {
    std::string all;
    const auto now = twice.open();
    for (const Hit& hit : ask(now, line).hits) all += hit.tip.path + "; ";
    return all;
  };
  CHECK(paths("belt chirps") == "tips/belt.md; ");
  CHECK(paths("cold").empty());
  // Whichever goes.
  std::filesystem::remove(twice.shop() + "/tips/belt.md");
  CHECK(paths("cold") == "tips/belt (1).md; ");
  twice.write("tips/belt.md", front + "When damp.\n");
  CHECK(paths("belt chirps") == "tips/belt.md; ");
  std::filesystem::remove(twice.shop() + "/tips/belt (1).md");
  CHECK(paths("belt chirps") == "tips/belt.md; ");
  CHECK(paths("cold").empty());
}
