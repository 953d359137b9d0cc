#include "trade/quantity.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"
#include "trade/near.h"
#include "trade/scan.h"

using namespace baylore::trade;

namespace {

struct Typed {
  std::string_view text;
  double value;
  UnitId id;
};

std::vector<std::string_view> spellings_of(const Unit& one) {
  std::vector<std::string_view> out;
  std::string_view rest = one.spellings;
  while (true) {
    const std::size_t bar = rest.find('|');
    out.push_back(rest.substr(0, bar));
    if (bar == std::string_view::npos) return out;
    rest.remove_prefix(bar + 1);
  }
}

}  // namespace

TEST_CASE("what people type is read") {
  const std::array typed = {
      Typed{"80 ft-lb", 80, UnitId::kPoundForceFoot},
      Typed{"80 lb ft", 80, UnitId::kPoundForceFoot},
      Typed{"80 ft·lbf", 80, UnitId::kPoundForceFoot},
      Typed{"80-ft-lb", 80, UnitId::kPoundForceFoot},
      Typed{"80 foot-pounds", 80, UnitId::kPoundForceFoot},
      Typed{"89 in-lbs", 89, UnitId::kPoundForceInch},
      Typed{"89 in. lb.", 89, UnitId::kPoundForceInch},
      Typed{"9Nm", 9, UnitId::kNewtonMetre},
      Typed{"9 N.m", 9, UnitId::kNewtonMetre},
      Typed{"9 N·m", 9, UnitId::kNewtonMetre},
      Typed{"9 N⋅m", 9, UnitId::kNewtonMetre},
      Typed{"9 NM", 9, UnitId::kNewtonMetre},
      Typed{"2.5 kgf·m", 2.5, UnitId::kKilogramForceMetre},
      Typed{"2,5 mkg", 2.5, UnitId::kKilogramForceMetre},
      Typed{"18\"Hg", 18, UnitId::kInchMercury},
      Typed{"18 ”Hg", 18, UnitId::kInchMercury},
      Typed{"18 in. Hg", 18, UnitId::kInchMercury},
      Typed{"14 inH₂O", 14, UnitId::kInchWater},
      Typed{"3 KPA", 3, UnitId::kKilopascal},
      Typed{"100 kg/cm²", 100, UnitId::kKilogramForcePerSquareCentimetre},
      Typed{"200 mΩ", 200, UnitId::kMilliohm},
      Typed{"200 mohm", 200, UnitId::kMilliohm},
      Typed{"200 mOHM", 200, UnitId::kMilliohm},
      Typed{"2 Mohm", 2, UnitId::kMegohm},
      Typed{"2 MΩ", 2, UnitId::kMegohm},
      Typed{"10kΩ", 10, UnitId::kKilohm},
      Typed{"10k ohm", 10, UnitId::kKilohm},
      Typed{"4.7 ohms", 4.7, UnitId::kOhm},
      Typed{"4.7 Ω", 4.7, UnitId::kOhm},
      Typed{"1/2 in", 0.5, UnitId::kInch},
      Typed{"1 1/2 in", 1.5, UnitId::kInch},
      Typed{"1-1/2\"", 1.5, UnitId::kInch},
      Typed{"1½ in", 1.5, UnitId::kInch},
      Typed{"1/4 turn", 0.25, UnitId::kTurn},
      Typed{"13,5 V", 13.5, UnitId::kVolt},
      Typed{"0,125 V", 0.125, UnitId::kVolt},
      Typed{"1234,567 V", 1234.567, UnitId::kVolt},
      Typed{"13.5 volts", 13.5, UnitId::kVolt},
      Typed{"13.5 V DC", 13.5, UnitId::kVolt},
      Typed{"0.3 V AC", 0.3, UnitId::kVoltAc},
      Typed{"-40 °C", -40, UnitId::kCelsius},
      Typed{"−40 °C", -40, UnitId::kCelsius},
      Typed{"90 deg F", 90, UnitId::kFahrenheit},
      Typed{"90 ℃", 90, UnitId::kCelsius},
      Typed{"90°", 90, UnitId::kDegree},
      Typed{".5 V", 0.5, UnitId::kVolt},
      Typed{"5. V", 5, UnitId::kVolt},
      Typed{"1e3 ohm", 1000, UnitId::kOhm},
      Typed{"12.5%", 12.5, UnitId::kPercent},
      Typed{"750 r/min", 750, UnitId::kRevolutionPerMinute},
      Typed{"3.5 g/s", 3.5, UnitId::kGramPerSecond},
      Typed{"5 qt", 5, UnitId::kUsQuart},
      Typed{"5 imp. gal", 5, UnitId::kImperialGallon},
      Typed{"650 cc", 650, UnitId::kCubicCentimetre},
      Typed{"８０ Nm", 80, UnitId::kNewtonMetre},  // full-width digits
      Typed{"80\u00A0N\u00B7m", 80, UnitId::kNewtonMetre},
      Typed{"  80   N m  ", 80, UnitId::kNewtonMetre},
  };
  for (const Typed& one : typed) {
    CAPTURE(std::string(one.text));
    const Parsed<Quantity> read = parse_quantity(one.text);
    const Quantity* quantity = value_in(read);
    REQUIRE(quantity != nullptr);
    CHECK(quantity->value == one.value);
    CHECK(quantity->unit->id == one.id);
  }
}

TEST_CASE("two readings are a question, not a guess") {
  const auto remedy_of = [](std::string_view text) {
    return reason_in(parse_quantity(text)).remedy;
  };
  CHECK(remedy_of("5 MOHM") == "write mΩ or MΩ");
  CHECK(remedy_of("1,500 rpm") == "write 1500 or 1.500");
  CHECK(remedy_of("200 MV") == "write mV or V");
  CHECK(remedy_of("80 lb/ft") == "write lbf·ft for a torque");
  CHECK(reason_in(parse_number("1,500")).remedy == "write 1500 or 1.500");
}

TEST_CASE("an unknown unit names its neighbours") {
  const Refusal refusal = reason_in(parse_quantity("80 kPs"));
  CHECK(refusal.at == 3);
  CHECK(refusal.remedy.find("kPa") != std::string::npos);
}

TEST_CASE("a hundred malformed quantities") {
  using namespace std::string_view_literals;
  const std::vector<std::string_view> texts = {
      "",
      " ",
      "V",
      "N·m",
      "eighty N·m",
      "80",
      "80.",
      "1,500",
      "1,500 rpm",
      "12,000 km",
      "1,500,000 Pa",
      "1.500,5 V",
      "1,500.5 V",
      "1 500 rpm",
      "1'500 rpm",
      "5 MOHM",
      "5 MOHMS",
      "200 MV",
      "200 MA",
      "5 mpa",
      "5 mPa",
      "10k",
      "10K5",
      "4k7",
      "10 M",
      "10R",
      "10 O",
      "3 lb/ft",
      "3 ft/lb",
      "3 lbs/in",
      "14.7 psia",
      "1 bara",
      "5 mil",
      "10'",
      "5' 6\"",
      "5 ft 6 in",
      "13-14 V",
      "13.5 .. 14 V",
      "13..14 V",
      "13 to 14 V",
      "5 ± 1 V",
      "5 +/- 1 V",
      "5V5",
      "--5 V",
      "+-5 V",
      "+ 5 V",
      "- 5 V",
      "5 -V",
      "5 V-",
      "5 *V",
      "5 V*",
      "5,, V",
      "5,.5 V",
      "1.2.3 V",
      "1,2,3 V",
      "..5 V",
      "5.. V",
      "5² V",
      "5^2 V",
      "1/0 in",
      "0/4 in",
      "4/4 in",
      "5/4 in",
      "10/12 V",
      "1/2 V",
      "2/3 bar",
      "1/2/3 in",
      "1//2 in",
      "/2 in",
      "1/ in",
      "1/7 in",
      "12 12/5 in",
      "nan V",
      "inf V",
      "-inf V",
      "NaN",
      "OL",
      "0x10 V",
      "1e V",
      "1e400 V",
      "1e13 V",
      "9999999999999 V",
      "1e-400 V",
      "1e3e3 V",
      "1234567890123456789012345 V",
      "5 furlongs",
      "5 kPaa",
      "5 kap",
      "5 Nmm2",
      "5 V V",
      "5 kPa psi",
      "5 (V)",
      "5 [V]",
      "$5",
      "five",
      "5 \x01V",
      "5 \xFFV",
      "\xC3",
      "5 V\x80",
      "5 \xED\xA0\x80V",
      "\xF8\x88\x80\x80\x80",
      "5 V\0x"sv,
      "٥ V",
      "5 🔧",
      "5 G",
      "5 H",
      "= 5 V",
      "~5 V",
      ">5 V",
      "5 V?",
      "5 V!",
      "Ω 5",
      "V=5",
      "5 ohm-meter",
      "5 N/m",
      "5 oz/in",
      "5 mHz",
      "#5",
      "5 _V",
  };
  expect_refusals(texts, 100, [](std::string_view text) { return parse_quantity(text); });
  const std::string long_text(201, '1');
  CHECK(!taken(parse_quantity(long_text)));
}

TEST_CASE("a reading takes the check's unit when it has none") {
  const Unit& kpa = unit(UnitId::kKilopascal);
  const auto bare = taken(parse_reading("82", kpa));
  REQUIRE(bare);
  CHECK(bare->unit == &kpa);
  CHECK(bare->value == 82);
  const auto psi = taken(parse_reading("11.9 psi", kpa));
  REQUIRE(psi);
  CHECK(psi->unit->id == UnitId::kPsi);
  CHECK(reason_in(parse_reading("12 V", kpa)).remedy == "write the reading in kPa");
  CHECK(!taken(parse_reading("1,500", kpa)));
  CHECK(!taken(parse_reading("1/2", kpa)));
}

TEST_CASE("every spelling and every symbol leads to its unit") {
  for (std::size_t i = 0; i < unit_count(); ++i) {
    const Unit& one = unit_at(i);
    CAPTURE(std::string(one.symbol));
    CHECK(find_unit(one.symbol) == &one);
    for (const std::string_view spelling : spellings_of(one)) {
      CAPTURE(std::string(spelling));
      CHECK(find_unit(spelling) == &one);
    }
  }
}

TEST_CASE("an authored quantity reads back to itself") {
  for (std::size_t i = 0; i < unit_count(); ++i) {
    for (const double value :
         {0.0, 1.0, -1.0, 0.1, 13.5, 1e-6, 123456.789, 2.0 / 3.0, 9.87e11, -40.25}) {
      const Quantity quantity{value, &unit_at(i)};
      const std::string text = authored(quantity);
      CAPTURE(text);
      const auto read = taken(parse_quantity(text));
      REQUIRE(read);
      CHECK(read->value == value);
      CHECK(read->unit == quantity.unit);
    }
  }
}

TEST_CASE("conversion goes there and back, keeps order, and knows its dimensions") {
  for (std::size_t i = 0; i < unit_count(); ++i) {
    for (std::size_t k = 0; k < unit_count(); ++k) {
      const Unit& from = unit_at(i);
      const Unit& to = unit_at(k);
      if (from.dimension != to.dimension) {
        CHECK(std::isnan(convert(1, from, to)));
        CHECK(!converted(Quantity{1, &from}, to));
        continue;
      }
      double before = -1e300;
      for (const double value : {-40.0, 0.0, 0.5, 1.0, 99.9, 1e6}) {
        const double there = convert(value, from, to);
        CHECK(there > before);
        before = there;
        CHECK(std::fabs(convert(there, to, from) - value) <= 1e-12 * (std::fabs(value) + 500));
      }
    }
  }
  CHECK(convert(120, unit(UnitId::kPoundForceInch), unit(UnitId::kPoundForceFoot)) == 10);
  CHECK(convert(-40, unit(UnitId::kCelsius), unit(UnitId::kFahrenheit)) == doctest::Approx(-40));
  CHECK(near(convert(30, unit(UnitId::kCelsiusDifference), unit(UnitId::kFahrenheitDifference)), 54,
             1e-14));
}

TEST_CASE("numbers are shown with three digits, halves away from zero") {
  CHECK(shown_number(108.465436) == "108");
  CHECK(shown_number(10.0556) == "10.1");
  CHECK(shown_number(86.0) == "86");
  CHECK(shown_number(43511) == "43500");
  CHECK(shown_number(12.25) == "12.3");
  CHECK(shown_number(-12.25) == "-12.3");
  CHECK(shown_number(1.005) == "1.01");
  CHECK(shown_number(999.5) == "1000");
  CHECK(shown_number(0.00012345) == "0.000123");
  CHECK(shown_number(0) == "0");
  CHECK(shown_number(-0.0) == "0");
  CHECK(shown_number(1.0 / 3.0, 6) == "0.333333");
  CHECK(authored_number(0.1) == "0.1");
  CHECK(authored_number(1e11) == "100000000000");
}

TEST_CASE("three digits err by at most half a percent") {
  for (double value = 0.0101; value < 1e5; value *= 1.0137) {
    const auto shown_value = taken(parse_number(shown_number(value)));
    REQUIRE(shown_value);
    CHECK(std::fabs(*shown_value - value) <= 0.00501 * value);
  }
}

TEST_CASE("a shown range lies inside the authored one") {
  const std::array units = {UnitId::kNewtonMetre, UnitId::kPoundForceFoot, UnitId::kPoundForceInch};
  int rounded_ends = 0;
  for (const UnitId from_id : units) {
    for (const UnitId to_id : units) {
      const Unit& from = unit(from_id);
      const Unit& to = unit(to_id);
      for (double low = -7.3; low < 300; low += 3.17) {
        for (const double width : {0.001, 0.4, 5.0, 60.0}) {
          const ShownRange range = shown_range(low, low + width, from, to);
          REQUIRE(range.low);
          REQUIRE(range.high);
          CAPTURE(low);
          CAPTURE(width);
          CHECK(*range.low < *range.high);
          const double exact_low = convert(low, from, to);
          const double exact_high = convert(low + width, from, to);
          const double slack = 1e-9 * (std::fabs(exact_high) + std::fabs(exact_low));
          CHECK(*range.low >= exact_low - slack);
          CHECK(*range.high <= exact_high + slack);
          if (&from != &to && *range.low > exact_low + slack) ++rounded_ends;
        }
      }
    }
  }
  CHECK(rounded_ends > 100);
}

TEST_CASE("the companion measures the same") {
  for (std::size_t i = 0; i < unit_count(); ++i) {
    const Quantity quantity{5, &unit_at(i)};
    if (const Unit* other = companion_unit(quantity)) {
      CHECK(other->dimension == quantity.unit->dimension);
      CHECK(other != quantity.unit);
    }
  }
  const Unit& newton_metre = unit(UnitId::kNewtonMetre);
  CHECK(companion_unit({10, &newton_metre})->id == UnitId::kPoundForceInch);
  CHECK(companion_unit({25, &newton_metre})->id == UnitId::kPoundForceFoot);
}

TEST_CASE("a unit with one slip is asked about, one with more is not") {
  const auto remedy = [](std::string_view text) { return reason_in(parse_quantity(text)).remedy; };
  CHECK(remedy("30 psii") == "did you mean psi?");
  CHECK(remedy("30 pis") == "did you mean psi or PS or US pt?");
  CHECK(remedy("12 vlot") == "did you mean V?");
  CHECK(remedy("12 vollt") == "did you mean V?");
  CHECK(remedy("12 vot") == "did you mean V?");
  CHECK(remedy("12 vplts") == "did you mean V?");
  for (const std::string_view far : {"30 pssii", "12 voltage", "12 vlto"}) {
    CAPTURE(std::string(far));
    CHECK(remedy(far).find("did you mean") == std::string::npos);
  }
}

TEST_CASE("a refusal points into the text, and behind it at the most") {
  const auto folded = taken(scan::fold("  5 V ", 32));
  REQUIRE(folded);
  CHECK(folded->view() == "5 V");
  CHECK(scan::refuse(*folded, 0, "what", "remedy").at == 2);
  CHECK(scan::refuse(*folded, 2, "what", "remedy").at == 4);
  for (const std::size_t behind : {3U, 4U, 5U, 99U}) {
    CAPTURE(behind);
    CHECK(scan::refuse(*folded, behind, "what", "remedy").at == 5);
  }
}

TEST_CASE("noise never breaks the reader") {
  survive_noise("0123456789.,-+/ eENmVklbftipsaΩ°\"'%±", 20000,
                [](std::string_view text) { return parse_quantity(text); });
  survive_noise("0123456789.,-+/ eE", 20000,
                [](std::string_view text) { return parse_number(text); });
}
