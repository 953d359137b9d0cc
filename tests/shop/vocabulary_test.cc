#include "shop/vocabulary.h"

#include <doctest/doctest.h>

#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;
using Texts = std::vector<std::string>;

TEST_CASE("makes, synonyms and components from all files of the folder") {
  const test::Scratch scratch;
  scratch.put(
      "vocabulary/a.md",
      "---\ntitle: Makes\n---\n\n## Makes\n### Corvane\n- model: Hauler | 2012-2022 | 3.6 V6; 5.3 "
      "V8\n"
      "- model: Pallet\nHauler is the pickup.\n### Ostrel\n- model: Vane | 2008- | 2.0 I4\n");
  scratch.put("vocabulary/b.md",
              "## Synonyms\nSome words.\n- heater = cabin heat = no heat\n- B+ = plus pole\n"
              "- shakes = vibrates -> out of balance = bent rim\n\n"
              "## Abbreviations\n- ECT = engine coolant temperature\n\n"
              "## Components\n### coolant pump\n- system: cooling\n- also: water pump; pump\n");
  scratch.put("vocabulary/notes.txt", "## Synonyms\n- a = b\n");
  const Vocabulary v = read_vocabulary(files::real_disk(), scratch.folder());
  CHECK(v.findings.empty());
  REQUIRE(v.models.size() == 3);
  CHECK(v.models[0].make == "Corvane");
  CHECK(v.models[0].name == "Hauler");
  CHECK(v.models[0].first_year == 2012);
  CHECK(v.models[0].last_year == 2022);
  CHECK(v.models[0].engines == Texts{"3.6 V6", "5.3 V8"});
  CHECK(v.models[1].name == "Pallet");
  CHECK(v.models[1].engines.empty());
  CHECK(v.models[2].last_year == 0);
  REQUIRE(v.synonyms.size() == 2);
  CHECK(v.synonyms[0] == Texts{"heater", "cabin heat", "no heat"});
  CHECK(v.synonyms[1] == Texts{"B+", "plus pole"});
  REQUIRE(v.abbreviations.size() == 1);
  CHECK(v.abbreviations[0] == Texts{"ECT", "engine coolant temperature"});
  REQUIRE(v.one_way.size() == 1);
  CHECK(v.one_way[0].from == Texts{"shakes", "vibrates"});
  CHECK(v.one_way[0].to == Texts{"out of balance", "bent rim"});
  REQUIRE(v.components.size() == 1);
  CHECK(v.components[0].system == "cooling");
  CHECK(v.components[0].also == Texts{"water pump", "pump"});
}

TEST_CASE("what is wrong in the vocabulary is found where it is") {
  Vocabulary v;
  read_vocabulary(
      Document::parse(
          "## Makes\n### Corvane\n- modle: Hauler\n- model: | 2012\n- model: X | 12-22\n"
          "## Synonims\n- a = b\n## Synonyms\n- alone\n- half -> \n## Components\n### pump\n- "
          "sytem: "
          "cooling\n"),
      "vocabulary/a.md", v);
  Texts places;
  for (const Finding& f : v.findings) {
    places.push_back(std::to_string(f.line) + ":" + std::to_string(f.column) + " " + f.rule);
    CHECK(f.file == "vocabulary/a.md");
    CHECK_FALSE(f.remedy.empty());
  }
  CHECK(places == Texts{"3:1 unknown-key", "4:10 model", "5:13 years", "6:1 unknown-section",
                        "9:3 synonyms", "10:3 synonyms", "13:1 unknown-key", "12:1 component"});
  REQUIRE(v.models.size() == 1);
  CHECK(v.models[0].name == "X");
  CHECK(v.synonyms.empty());
  CHECK(v.one_way.empty());
}

TEST_CASE("a shop without a vocabulary has an empty one") {
  const test::Scratch scratch;
  const Vocabulary v = read_vocabulary(files::real_disk(), scratch.folder());
  CHECK(v.models.empty());
  CHECK(v.findings.empty());
}
