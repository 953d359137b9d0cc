// Pressure units against NIST SP 811 (from memory, GNU units agrees), the standard atmosphere
// against ISO 2533 / US Standard Atmosphere 1976 (from memory), idle vacuum against rules of thumb.

#include <array>

#include "doctest/doctest.h"
#include "trade/atmosphere.h"
#include "trade/near.h"
#include "trade/quantity.h"

using namespace baylore::trade;

namespace {

double in(double value, UnitId from, UnitId to) { return convert(value, unit(from), unit(to)); }

}  // namespace

TEST_CASE("pressure units") {
  using enum UnitId;
  CHECK(near(in(1, kPsi, kPascal), 6894.75729317, 1e-11));
  CHECK(near(in(1, kInchMercury, kPascal), 3386.38864034, 1e-11));
  CHECK(near(in(1, kMillimetreMercury, kPascal), 133.322387415, 1e-12));
  CHECK(near(in(1, kInchWater, kPascal), 249.08891, 1e-8));
  CHECK(in(1, kBar, kPascal) == 1e5);
  CHECK(in(1, kAtmosphere, kPascal) == 101325);
  CHECK(near(in(1, kInchMercury, kMillimetreMercury), 25.4, 1e-14));
  CHECK(near(in(1, kInchMercury, kInchWater), 13.5951, 1e-6));
  CHECK(near(in(1, kPsi, kInchMercury), 2.03602068, 1e-8));
  CHECK(near(in(1, kPsi, kInchWater), 27.6799047, 1e-8));
  CHECK(near(in(18, kInchMercury, kKilopascal), 60.9549955, 1e-8));
  CHECK(near(in(20, kInchMercury, kKilopascal), 67.7277728, 1e-8));
  CHECK(near(in(58, kPsi, kKilopascal), 399.895923, 1e-8));
  CHECK(near(in(3, kBar, kPsi), 43.5113213, 1e-8));
  CHECK(near(in(14, kInchWater, kKilopascal), 3.48724474, 1e-8));
  CHECK(near(in(101.325, kKilopascal, kInchMercury), 29.9212556, 1e-8));
}

TEST_CASE("vacuum is gauge: manifold pressure is the barometer less the vacuum") {
  const double vacuum_kpa = in(18, UnitId::kInchMercury, UnitId::kKilopascal);
  CHECK(near(manifold_pressure(98, vacuum_kpa), 37.0450045, 1e-8));
}

TEST_CASE("standard atmosphere") {
  struct Row {
    double metres, pascal, inhg, geometric_pascal;
  };
  for (const Row& row : {
           Row{0, 101325.000, 29.921256, 101325.000},
           Row{304.8, 97716.5671, 28.855686, 97716.7376},
           Row{1000, 89874.5629, 26.539943, 89876.2776},
           Row{2000, 79495.2019, 23.474920, 79501.4111},
           Row{3000, 70108.5265, 20.703036, 70121.1441},
       }) {
    CAPTURE(row.metres);
    const auto pressure = standard_pressure(row.metres);
    REQUIRE(pressure);
    CHECK(near(*pressure, row.pascal, 1e-9));
    CHECK(near(in(*pressure, UnitId::kPascal, UnitId::kInchMercury), row.inhg, 3e-8));
    const auto geometric = standard_pressure(geopotential_altitude(row.metres));
    REQUIRE(geometric);
    CHECK(near(*geometric, row.geometric_pascal, 1e-9));
    const auto back = altitude_of_pressure(row.pascal);
    REQUIRE(back);
    CHECK(near(*back, row.metres, 1e-5));
  }
  CHECK(near(*altitude_of_pressure(90000), 988.500, 1e-6));
  CHECK(near(*altitude_of_pressure(84300), 1524.70, 1e-5));
}

TEST_CASE("the atmosphere is asked only where the model holds") {
  CHECK(!standard_pressure(11001));
  CHECK(!standard_pressure(-601));
  CHECK(standard_pressure(-400));  // there are workshops below the sea
  CHECK(!altitude_of_pressure(0));
  CHECK(!altitude_of_pressure(-5));
  CHECK(!altitude_of_pressure(20000));
  double before = 2e5;
  for (double metres = -600; metres <= 11000; metres += 100) {
    const auto pressure = standard_pressure(metres);
    REQUIRE(pressure);
    CHECK(*pressure < before);
    before = *pressure;
    CHECK(near(*altitude_of_pressure(*pressure) + 1000, metres + 1000, 1e-9));
  }
}

TEST_CASE("three models of idle vacuum") {
  // The band of 17 to 22 inHg at sea level and 1 inHg for 1000 ft are common practice, no source.
  struct Row {
    double metres, drop, by_rule;
  };
  for (const Row& row : {Row{304.8, 1.065570, 1.0}, Row{1000, 3.381312, 3.280840},
                         Row{2000, 6.446336, 6.561680}, Row{3000, 9.218219, 9.842520}}) {
    CAPTURE(row.metres);
    const auto low = idle_vacuum_at(17, row.metres);
    REQUIRE(low);
    CHECK(near(low->same_manifold, 17 - row.drop, 2e-6));
    CHECK(near(low->by_rule, 17 - row.by_rule, 2e-6));
  }
  CHECK(near(idle_vacuum_at(22, 1000)->same_manifold, 18.6187, 1e-5));
  CHECK(near(idle_vacuum_at(22, 3000)->by_rule, 12.1575, 1e-5));
  CHECK(near(idle_vacuum_at(19.9213, 1000)->proportional, 17.6700, 2e-5));
  CHECK(near(idle_vacuum_at(19.9213, 2000)->proportional, 15.6294, 2e-5));
  CHECK(near(idle_vacuum_at(19.9213, 3000)->proportional, 13.7839, 2e-5));
  const auto high_up = idle_vacuum_at(19.9213, 3000);
  CHECK(high_up->proportional - high_up->by_rule > 3);
  CHECK(!idle_vacuum_at(18, 20000));
}
