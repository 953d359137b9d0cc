#include "trade/correction.h"

#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"
#include "trade/near.h"

using namespace baylore::trade;

namespace {

Expectation expectation_of(std::string_view text) {
  const auto read = taken(parse_expectation(text));
  REQUIRE(read);
  return *read;
}

Correction correction_of(std::string_view text) {
  const auto read = taken(parse_correction(text));
  REQUIRE(read);
  return *read;
}

Quantity quantity_of(std::string_view text) {
  const auto read = taken(parse_quantity(text));
  REQUIRE(read);
  return *read;
}

}  // namespace

TEST_CASE("a vacuum range falls with the barometer") {
  const Correction correction = correction_of("measured barometer");
  CHECK(asks_for(correction) == "barometer");
  const Expectation range = expectation_of("17 .. 22 inHg");
  const auto same = taken(corrected(range, correction, quantity_of("101.325 kPa")));
  REQUIRE(same);
  CHECK(near(*same->low, 17, 1e-12));
  // 3 inHg less on the barometer, 3 inHg less on the gauge.
  const auto high =
      taken(corrected(range, correction, Quantity{29.921255647 - 3, &unit(UnitId::kInchMercury)}));
  REQUIRE(high);
  CHECK(near(*high->low, 14, 1e-8));
  CHECK(near(*high->high, 19, 1e-8));
  CHECK(!taken(corrected(range, correction, quantity_of("30 °C"))));
  CHECK(!taken(corrected(range, correction, quantity_of("20 kPa"))));
  CHECK(!taken(corrected(expectation_of("5 .. 6 V"), correction, quantity_of("98 kPa"))));
  CHECK(!taken(corrected(expectation_of("steady needle"), correction, quantity_of("98 kPa"))));
}

TEST_CASE("a copper winding reads higher when hot") {
  const Correction correction = correction_of("copper 20 °C");
  CHECK(asks_for(correction) == "temperature of the winding");
  const Expectation range = expectation_of("10 .. 20 Ω");
  const auto hot = taken(corrected(range, correction, quantity_of("100 °C")));
  REQUIRE(hot);
  CHECK(near(*hot->low, 13.144, 1e-9));
  CHECK(near(*hot->high, 26.288, 1e-9));
  CHECK(near(*taken(corrected(range, correction, quantity_of("212 °F")))->low, 13.144, 1e-9));
  CHECK(!taken(corrected(range, correction, quantity_of("98 kPa"))));
  CHECK(!taken(corrected(range, correction, quantity_of("900 °C"))));
  CHECK(!taken(corrected(expectation_of("5 .. 6 V"), correction, quantity_of("90 °C"))));
}

TEST_CASE("malformed corrections") {
  const std::vector<std::string_view> texts = {"",
                                               "barometer",
                                               "copper",
                                               "copper 20",
                                               "copper 20 kPa",
                                               "copper 20 .. 30 °C",
                                               "copper 900 °C",
                                               "iron 20 °C",
                                               "measured barometer 98 kPa",
                                               "\xFF"};
  expect_refusals(texts, 10, [](std::string_view text) { return parse_correction(text); });
}
