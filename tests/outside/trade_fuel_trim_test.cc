// Fuel trims against SAE J1979 PIDs 06 to 09 (from memory, the scaling seen in an archive). Adding
// the two trims is common practice, no source; the products and the flow were computed apart from
// this project.

#include <array>
#include <cmath>

#include "doctest/doctest.h"
#include "trade/fuel_trim.h"
#include "trade/near.h"

using namespace baylore::trade;

TEST_CASE("the byte of PIDs 06 to 09") {
  CHECK(fuel_trim_percent(0) == -100);
  CHECK(fuel_trim_percent(100) == -21.875);
  CHECK(fuel_trim_percent(128) == 0);
  CHECK(fuel_trim_percent(141) == 10.15625);
  CHECK(fuel_trim_percent(160) == 25);
  CHECK(fuel_trim_percent(255) == 99.21875);
}

TEST_CASE("short and long term together") {
  struct Row {
    double short_term, long_term, added, on_top;
  };
  for (const Row& row : {Row{5, 8, 13, 13.4}, Row{10, 15, 25, 26.5}, Row{-3, -12, -15, -14.64},
                         Row{25, 20, 45, 50}, Row{-4, 4, 0, -0.16}}) {
    CHECK(total_trim_added(row.short_term, row.long_term) == row.added);
    CHECK(near(total_trim(row.short_term, row.long_term), row.on_top, 1e-12));
  }
  CHECK(near(lambda_without_trim(total_trim(5, 8)), 1.134, 1e-12));
  CHECK(near(lambda_without_trim(total_trim(10, 15)), 1.265, 1e-12));
  CHECK(near(lambda_without_trim(total_trim(-3, -12)), 0.8536, 1e-12));
}

TEST_CASE("a leak shows at idle, a shortfall at every load") {
  struct Row {
    double at, trim;
  };
  for (const Row& row :
       {Row{3, 33.3333}, Row{4, 25}, Row{5, 20}, Row{12, 8.33333}, Row{20, 5}, Row{60, 1.66667}}) {
    CHECK(near(*trim_from_air_leak(1, row.at), row.trim, 3e-6));
  }
  for (const Row& row : {Row{5, 5.26316}, Row{10, 11.1111}, Row{20, 25}, Row{25, 33.3333}}) {
    CHECK(near(*trim_from_fuel_shortfall(row.at), row.trim, 3e-6));
  }
  CHECK(!trim_from_air_leak(1, 0));
  CHECK(!trim_from_air_leak(-1, 5));
  CHECK(!trim_from_fuel_shortfall(100));
  CHECK(!trim_from_fuel_shortfall(-1));
}

TEST_CASE("choked flow through a hole") {
  // These figures used 287.05 J/(kg K) for air, the program the atmosphere's 287.05287: 5 parts in
  // a million. Isentropic flow of air, computed apart at 101325 Pa and 293.15 K; 0.7 for a sharp
  // edge is common practice, no source.
  struct Row {
    double millimetres, grams;
  };
  for (const Row& row : {Row{1, 0.187846}, Row{2, 0.751386}, Row{3, 1.69062}, Row{4, 3.00554}}) {
    CAPTURE(row.millimetres);
    const auto flow = choked_air_flow(row.millimetres, 101325, 20, 1);
    REQUIRE(flow);
    CHECK(near(*flow, row.grams, 1.5e-5));
    CHECK(near(*choked_air_flow(row.millimetres, 101325, 20, 0.7), 0.7 * row.grams, 1.5e-5));
  }
  CHECK(choked_air_flow(0, 101325, 20, 1) == 0);
  CHECK(choked_air_flow(50, 101325, 20, 1));
  CHECK(!choked_air_flow(50.1, 101325, 20, 1));
  CHECK(!choked_air_flow(1, 101325, 20, 1.01));  // more than a perfect nozzle
  CHECK(!choked_air_flow(-1, 101325, 20, 1));
  CHECK(!choked_air_flow(1, 0, 20, 1));
  CHECK(!choked_air_flow(1, 101325, -300, 1));
  CHECK(!choked_air_flow(1, 101325, 20, 0));
}

TEST_CASE("what trims at two speeds point to: common practice, no source") {
  struct Row {
    TrimPair bank;
    TrimPattern pattern;
  };
  for (const Row& row : {
           Row{{3, -4}, TrimPattern::kWithin},
           Row{{10, 10}, TrimPattern::kWithin},
           Row{{-10, 0}, TrimPattern::kWithin},
           Row{{25, 6}, TrimPattern::kAir},
           Row{{22, 12}, TrimPattern::kAir},   // still out at speed, but falling
           Row{{12, 15}, TrimPattern::kFuel},  // grows with load
           Row{{14, 13}, TrimPattern::kFuel},  // flat
           Row{{4, 18}, TrimPattern::kFuel},   // at speed only
           Row{{-15, -12}, TrimPattern::kRich},
           Row{{-3, -14}, TrimPattern::kRich},
           Row{{20, -15}, TrimPattern::kMixed},
       }) {
    CAPTURE(row.bank.idle);
    CAPTURE(row.bank.fast);
    CHECK(pattern_of(row.bank) == row.pattern);
  }
}

TEST_CASE("the two causes as the formulas make them are told apart") {
  // A leak of so many g/s and a shortfall of so many percent, over idle and fast flows of small and
  // large engines: wherever the trim leaves the band at idle, the pattern is its own.
  for (const double idle : {3.0, 4.0, 6.0}) {
    for (const double times : {3.0, 4.0, 5.0}) {
      for (double leak = 0.1; leak < 4; leak += 0.1) {
        const TrimPair bank{*trim_from_air_leak(leak, idle),
                            *trim_from_air_leak(leak, idle * times)};
        CHECK(pattern_of(bank) ==
              (bank.idle > kTrimBand ? TrimPattern::kAir : TrimPattern::kWithin));
      }
    }
  }
  for (double missing = 0; missing < 60; missing += 0.5) {
    const double trim = *trim_from_fuel_shortfall(missing);
    CHECK(pattern_of({trim, trim}) ==
          (trim > kTrimBand ? TrimPattern::kFuel : TrimPattern::kWithin));
  }
}

TEST_CASE("one bank or both") {
  CHECK(read_trims({25, 6}, std::nullopt).together.empty());
  CHECK(!read_trims({25, 6}, std::nullopt).bank_2);
  CHECK(read_trims({2, 1}, TrimPair{3, 0}).together.empty());
  CHECK(read_trims({25, 6}, TrimPair{24, 7}).together.starts_with("both banks alike"));
  CHECK(read_trims({25, 6}, TrimPair{2, 1}).together.starts_with("bank 1 only"));
  CHECK(read_trims({1, 1}, TrimPair{14, 14}).together.starts_with("bank 2 only"));
  CHECK(read_trims({25, 6}, TrimPair{-15, -14}).together.starts_with("the banks differ"));
}
