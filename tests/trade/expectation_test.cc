#include "trade/expectation.h"

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"
#include "trade/near.h"

using namespace baylore::trade;

namespace {

struct Case {
  std::string_view text;
  std::optional<double> low, high;
  UnitId id;
};

Expectation expectation_of(std::string_view text) {
  const auto read = taken(parse_expectation(text));
  REQUIRE(read);
  return *read;
}

Standing standing_of(std::string_view expected, double value, UnitId id, double accuracy = 0.01) {
  const auto verdict = taken(judge(expectation_of(expected), Quantity{value, &unit(id)}, accuracy));
  REQUIRE(verdict);
  return verdict->standing;
}

}  // namespace

TEST_CASE("ranges in the forms people write") {
  const std::array cases = {
      Case{"13.5 .. 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5..14.8V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5 … 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5-14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5 – 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13,5 .. 14,8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5 V .. 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5 V .. 14.8", 13.5, 14.8, UnitId::kVolt},
      Case{"13.5 to 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"between 13.5 and 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"Between 13.5 V and 14.8 V", 13.5, 14.8, UnitId::kVolt},
      Case{"500 mV .. 4.5 V", 0.5, 4.5, UnitId::kVolt},
      Case{"17\"Hg to 22\"Hg", 17, 22, UnitId::kInchMercury},
      Case{"-40 .. 120 °C", -40, 120, UnitId::kCelsius},
      Case{"-10 - -5 °C", -10, -5, UnitId::kCelsius},
      Case{"1/2 .. 3/4 in", 0.5, 0.75, UnitId::kInch},
      Case{"5 ± 0.2 V", 4.8, 5.2, UnitId::kVolt},
      Case{"5 V +/- 0.2 V", 4.8, 5.2, UnitId::kVolt},
      Case{"5 V ± 4 %", 4.8, 5.2, UnitId::kVolt},
      Case{">= 95 kPa", 95, {}, UnitId::kKilopascal},
      Case{"≥95kPa", 95, {}, UnitId::kKilopascal},
      Case{"at least 95 kPa", 95, {}, UnitId::kKilopascal},
      Case{"95 kPa or more", 95, {}, UnitId::kKilopascal},
      Case{"min. 95 kPa", 95, {}, UnitId::kKilopascal},
      Case{"95 kPa min", 95, {}, UnitId::kKilopascal},
      Case{"<= 0.2 V", {}, 0.2, UnitId::kVolt},
      Case{"at most 0.2 V", {}, 0.2, UnitId::kVolt},
      Case{"0.2 V or less", {}, 0.2, UnitId::kVolt},
      Case{"max 0.2 V", {}, 0.2, UnitId::kVolt},
      Case{"5 min or less", {}, 5, UnitId::kMinute},
      Case{"> 5 V", 5, {}, UnitId::kVolt},
      Case{"under 50 mA", {}, 50, UnitId::kMilliampere},
      Case{"0 .. 0.2 V", 0, 0.2, UnitId::kVolt},
      Case{"1.265 .. 1.28 SG", 1.265, 1.28, UnitId::kSpecificGravityUnit},
  };
  for (const Case& one : cases) {
    CAPTURE(std::string(one.text));
    const auto read = taken(parse_expectation(one.text));
    REQUIRE(read);
    REQUIRE(read->is_range());
    CHECK(read->unit->id == one.id);
    CHECK(read->low == one.low);
    CHECK(read->high == one.high);
    // In words and back.
    const auto again = taken(parse_expectation(in_words(*read)));
    REQUIRE(again);
    CHECK(again->low == read->low);
    CHECK(again->high == read->high);
    CHECK(again->unit == read->unit);
    CHECK(again->low_excluded == read->low_excluded);
    CHECK(again->high_excluded == read->high_excluded);
  }
  CHECK(expectation_of("> 5 V").low_excluded);
  CHECK(!expectation_of(">= 5 V").low_excluded);
}

TEST_CASE("a plain answer stays as written") {
  for (const std::string_view text :
       {"no play", "turns without grit", "at least one turn", "over the lip", "no", "läuft rund",
        "under the clip, not beside it", "minor seepage only", "between the two marks"}) {
    CAPTURE(std::string(text));
    const Expectation read = expectation_of(text);
    CHECK(!read.is_range());
    CHECK(read.plain == text);
    CHECK(in_words(read) == text);
    CHECK(!scale_for(read));
  }
  CHECK(expectation_of("  no play ").plain == "no play");
}

TEST_CASE("malformed expectations") {
  const std::vector<std::string_view> texts = {
      "",
      "   ",
      "5 V",
      "12 teeth",
      "13.5 .. 14.8",
      "14.8 .. 13.5 V",
      "5 .. 5 V",
      "5 V .. 6 A",
      "1,500 .. 1,600 rpm",
      ">= ",
      ">=",
      ">= five V",
      ">= 5",
      ">= 5 .. 6 V",
      "<= 1 - 2 V",
      "-5-3 °C",
      "-5 - 3 °C",
      "0...7 V",
      "1 .. 2 V or so",
      "5 ± 0 V",
      "5 ± -1 V",
      "5 V ± 1 A",
      "5 .. V",
      ".. 5 V",
      "1/2 .. 2/3 V",
      "100 .. 100.00001 kPa",
      "13.5 .. 14.8 volz",
      "5 V or",
      "2 clicks",
      "\xFF",
      "5 .. 6 .. 7 V",
      "5-6-7 V",
      "13.5 .. 14.8 MV",
      "0 play",
      "1 turn, no grit",
      "5 or more",
  };
  expect_refusals(texts, 36, [](std::string_view text) { return parse_expectation(text); });
}

TEST_CASE("a reading is judged in the unit of the range") {
  CHECK(standing_of(">= 95 kPa", 82, UnitId::kKilopascal) == Standing::kLow);
  CHECK(standing_of(">= 95 kPa", 11.9, UnitId::kPsi) == Standing::kLow);
  CHECK(standing_of(">= 95 kPa", 98, UnitId::kKilopascal) == Standing::kInRange);
  CHECK(standing_of(">= 95 kPa", 94.5, UnitId::kKilopascal) == Standing::kOnTheEdge);
  CHECK(standing_of(">= 95 kPa", 95.5, UnitId::kKilopascal) == Standing::kOnTheEdge);
  CHECK(standing_of(">= 95 kPa", 94.5, UnitId::kKilopascal, 0) == Standing::kLow);
  CHECK(standing_of(">= 95 kPa", 95, UnitId::kKilopascal, 0) == Standing::kInRange);
  CHECK(standing_of("> 95 kPa", 95, UnitId::kKilopascal, 0) == Standing::kLow);
  CHECK(standing_of("> 0 V", 0, UnitId::kVolt) == Standing::kLow);
  CHECK(standing_of("13.5 .. 14.8 V", 15.2, UnitId::kVolt) == Standing::kHigh);
  CHECK(standing_of("13.5 .. 14.8 V", 14.1, UnitId::kVolt) == Standing::kInRange);
  CHECK(standing_of("0 .. 0.2 V", 0, UnitId::kVolt) == Standing::kInRange);
  CHECK(standing_of("<= 0.2 V", 350, UnitId::kMillivolt) == Standing::kHigh);

  const Expectation expectation = expectation_of(">= 95 kPa");
  const auto verdict = taken(judge(expectation, Quantity{82, &unit(UnitId::kKilopascal)}));
  REQUIRE(verdict);
  CHECK(near(verdict->beyond, 13, 1e-12));
  CHECK(in_words(expectation, *verdict) == "13 kPa under the range");
  const auto good = taken(judge(expectation, Quantity{99, &unit(UnitId::kKilopascal)}));
  REQUIRE(good);
  CHECK(in_words(expectation, *good) == "within the range");
  const Expectation upper = expectation_of("<= 0.3 V");
  const auto over = taken(judge(upper, Quantity{0.9, &unit(UnitId::kVolt)}));
  REQUIRE(over);
  CHECK(in_words(upper, *over) == "0.6 V over the range");
  CHECK(!taken(judge(expectation, Quantity{12, &unit(UnitId::kVolt)})));
  CHECK(!taken(judge(expectation_of("no play"), Quantity{12, &unit(UnitId::kVolt)})));
  CHECK(!taken(judge(expectation, Quantity{NAN, &unit(UnitId::kKilopascal)})));
}

TEST_CASE("judging agrees with the ends for every reading") {
  const Expectation expectation = expectation_of("13.5 .. 14.8 V");
  for (double value = 10; value < 20; value += 0.01) {
    const auto verdict = taken(judge(expectation, Quantity{value, &unit(UnitId::kVolt)}, 0.005));
    REQUIRE(verdict);
    const bool inside = value >= 13.5 && value <= 14.8;
    CHECK(verdict->inside == inside);
    CHECK((verdict->beyond == 0) == inside);
    if (verdict->standing == Standing::kOnTheEdge) {
      CHECK(std::min(std::fabs(value - 13.5), std::fabs(value - 14.8)) <= 0.0741);
    } else {
      CHECK((verdict->standing == Standing::kInRange) == inside);
    }
  }
}

TEST_CASE("the second unit is rounded inward") {
  CHECK(in_words_as(expectation_of(">= 95 kPa"), unit(UnitId::kPsi)) == "13.8 psi or more");
  CHECK(in_words_as(expectation_of("20 .. 25 N·m"), unit(UnitId::kPoundForceFoot)) ==
        "14.8 to 18.4 lbf·ft");
  CHECK(in_words_as(expectation_of(">= 95 kPa"), unit(UnitId::kVolt)).empty());
}

TEST_CASE("a scale has 4 to 6 round numbers and gives the range a fifth to a half") {
  std::vector<Expectation> expectations;
  for (const UnitId id : {UnitId::kVolt, UnitId::kCelsius}) {
    for (double low = -50; low < 400; low = low < 0 ? low + 7.3 : low * 1.7 + 0.013) {
      for (const double width : {0.02, 0.3, 1.3, 7.0, 90.0, 1234.0}) {
        Expectation one;
        one.unit = &unit(id);
        one.low = low;
        one.high = low + width;
        expectations.push_back(one);
        one.high.reset();
        expectations.push_back(one);
        one.high = low + width;
        one.low.reset();
        expectations.push_back(one);
      }
    }
  }
  expectations.push_back(expectation_of(">= 0 V"));
  expectations.push_back(expectation_of("<= -5 kPa"));
  expectations.push_back(expectation_of("0.0000021 .. 0.0000043 mm"));
  expectations.push_back(expectation_of("2100000 .. 4300000 ohm"));
  REQUIRE(expectations.size() > 200);
  for (const Expectation& one : expectations) {
    CAPTURE(in_words(one));
    const std::optional<Scale> scale = scale_for(one);
    REQUIRE(scale);
    CHECK(scale->labels.size() >= 4);
    CHECK(scale->labels.size() <= 6);
    CHECK(scale->labels.front().at == doctest::Approx(scale->low));
    CHECK(scale->labels.back().at == doctest::Approx(scale->high));
    const double low = one.low.value_or(scale->low);
    const double high = one.high.value_or(scale->high);
    const double length = scale->high - scale->low;
    CHECK(low >= scale->low - 1e-6 * scale->step);
    CHECK(high <= scale->high + 1e-6 * scale->step);
    // A reading that is past a closed range has room to be drawn, below zero excepted.
    if (one.low && one.high) {
      CHECK(scale->high - high >= 0.04 * length);
      CHECK((scale->low == 0 || low - scale->low >= 0.04 * length));
    }
    const double share = (high - low) / length;
    CHECK(share >= 0.2 - 1e-6);
    CHECK(share <= 0.5 + 1e-6);
    const bool nowhere_negative = one.low ? *one.low > 0 : *one.high > 0;
    if (nowhere_negative) CHECK(scale->low >= 0);
    const double parts = scale->step / scale->minor_step;
    CHECK(near(parts, std::round(parts), 1e-9));
    for (const ScaleLabel& label : scale->labels) {
      const auto text = taken(parse_number(label.text));
      REQUIRE(text);
      CHECK(std::fabs(*text - label.at) <= 1e-6 * scale->step);
    }
  }
}

TEST_CASE("a hair below zero is not worth an axis of its own") {
  Expectation one;
  one.unit = &unit(UnitId::kOhm);
  one.low = -0.00006;
  one.high = 370000;
  const std::optional<Scale> scale = scale_for(one);
  REQUIRE(scale);
  CHECK(scale->low == 0);
}

TEST_CASE("noise never breaks the expectation reader") {
  survive_noise("0123456789.,-+<>= toandVkPa±%", 20000,
                [](std::string_view text) { return parse_expectation(text); });
}
