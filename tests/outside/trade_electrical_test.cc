// Electrical: copper against IEC 60028 (resistivity seen quoted; the temperature coefficient from a
// power handbook), thermistors against the definition of B in IEC 60539-1 (from memory). Figures
// computed apart from this project.

#include <array>

#include "doctest/doctest.h"
#include "trade/electrical.h"
#include "trade/near.h"

using namespace baylore::trade;

TEST_CASE("Ohm's law") {
  CHECK(near(*current(12.6, 4.2), 3, 1e-14));
  CHECK(near(*power(12.6, 4.2), 37.8, 1e-14));
  CHECK(near(*resistance_of_drop(0.2, 150), 0.00133333, 3e-6));
  CHECK(near(*parallel_resistance({4.7, 10, 22}), 2.79157667, 1e-8));
  CHECK(near(*current(12, 2.61818), 4.58333, 1e-5));  // a 55 W lamp at 12 V, hot
  CHECK(near(*power(12, 2.61818), 55, 1e-5));
  CHECK(!current(12, 0));
  CHECK(!power(12, 0));
  CHECK(!resistance_of_drop(0.2, 0));
  CHECK(!parallel_resistance({}));
  CHECK(!parallel_resistance({4.7, 0}));
}

TEST_CASE("usual voltage drops") {
  // Common practice, no source.
  CHECK(usual_drop_limit(DropPlace::kConnection) == 0.1);
  CHECK(usual_drop_limit(DropPlace::kGround) == 0.1);
  CHECK(usual_drop_limit(DropPlace::kCable) == 0.2);
  CHECK(usual_drop_limit(DropPlace::kSwitch) == 0.2);
  CHECK(usual_drop_limit(DropPlace::kStarterCircuit) == 0.5);
  CHECK(usual_drop_limit(DropPlace::kSensorGround) == 0.05);
}

TEST_CASE("copper and temperature") {
  struct Row {
    double ohms, measured, at, expected;
  };
  for (const Row& row :
       {Row{10, 20, 100, 13.144}, Row{12, 25, 85, 14.7750699}, Row{14.5, 80, 20, 11.7332902},
        Row{0.7, 20, 90, 0.89257}, Row{1, 20, -20, 0.8428}, Row{2.5, 0, 20, 2.71326243}}) {
    const auto ohms = copper_resistance_at(row.ohms, row.measured, row.at);
    REQUIRE(ohms);
    CHECK(near(*ohms, row.expected, 1e-8));
    CHECK(near(*copper_resistance_at(*ohms, row.at, row.measured), row.ohms, 1e-13));
  }
  CHECK(near(*copper_temperature(12, 20, 14.2), 66.6497031, 1e-8));
  // The older 234.5 °C rule differs in the fifth digit (13.1434185): they are not the same formula.
  CHECK(!near(*copper_resistance_at(10, 20, 100), 13.1434185, 1e-5));
  CHECK(!copper_resistance_at(0, 20, 100));
  CHECK(!copper_resistance_at(10, 20, 400));
  CHECK(!copper_temperature(0, 20, 14.2));
}

TEST_CASE("wires") {
  // IEC 60028: 1/58 ohm mm²/m at 20 °C. Gauge: ASTM B258's formula, from memory.
  CHECK(near(*copper_wire_resistance(5, 2.5), 0.0344827586, 1e-8));
  CHECK(near(*awg_diameter_mm(16), 1.29084591, 1e-8));
  CHECK(near(*awg_area_mm2(16), 1.30869573, 1e-8));
  CHECK(near(*copper_wire_resistance(1, *awg_area_mm2(16)), 0.0131744751, 1e-8));
  CHECK(!awg_diameter_mm(41));
  CHECK(!awg_area_mm2(-4));
  CHECK(!copper_wire_resistance(1, 0));
}

TEST_CASE("thermistors") {
  struct Row {
    double at_25, b, celsius, ohms;
  };
  for (const Row& row : {Row{2000, 3500, -40, 52766.929}, Row{2000, 3500, 0, 5856.5583},
                         Row{2000, 3500, 20, 2443.3496}, Row{2000, 3500, 40, 1139.7877},
                         Row{2000, 3500, 80, 321.38755}, Row{2000, 3500, 100, 188.94406},
                         Row{2000, 3500, 120, 117.24895}, Row{10000, 3950, 0, 33620.604},
                         Row{10000, 3950, 20, 12535.326}, Row{10000, 3950, 40, 5301.4669},
                         Row{10000, 3950, 80, 1270.3202}, Row{10000, 3950, 100, 697.51977}}) {
    CAPTURE(row.celsius);
    // The resistances are printed with 8 digits.
    CHECK(near(*thermistor_resistance(row.at_25, row.b, row.celsius), row.ohms, 5e-8));
    CHECK(near(*thermistor_temperature(row.at_25, row.b, row.ohms) + 273.15, row.celsius + 273.15,
               5e-9));
  }
  CHECK(near(*thermistor_temperature(2000, 3500, 5000), 3.41291474, 1e-8));
  CHECK(near(*thermistor_temperature(2000, 3500, 200), 97.7513115, 1e-8));
  CHECK(near(*thermistor_b(0, 5896, 80, 323), 3502.05880, 1e-8));
  CHECK(near(*pull_up_voltage(5, 2200, *thermistor_resistance(2000, 3500, 20)), 2.63102051, 1e-8));
  CHECK(near(*pull_up_voltage(5, 2200, *thermistor_resistance(2000, 3500, 80)), 0.637322789, 1e-8));
  CHECK(
      near(*pull_up_voltage(5, 2200, *thermistor_resistance(2000, 3500, 100)), 0.395455179, 1e-8));
  CHECK(!thermistor_resistance(2000, 3500, -300));
  CHECK(!thermistor_temperature(2000, 3500, 0));
  CHECK(!thermistor_b(20, 2000, 20, 2000));
  CHECK(!pull_up_voltage(5, 0, 100));
}

TEST_CASE("duty") {
  CHECK(near(*duty_percent(2.5, 20), 12.5, 1e-14));
  CHECK(near(mean_voltage(13.8, 12.5), 1.725, 1e-14));
  CHECK(near(*frequency_of_period(20), 50, 1e-14));
  CHECK(near(*injector_duty_percent(3.2, 3000), 8, 1e-14));
  CHECK(near(*dwell_degrees(50, 4), 45, 1e-14));
  CHECK(!duty_percent(21, 20));
  CHECK(!duty_percent(1, 0));
  CHECK(!duty_percent(0, 0));  // no period, no share of it
  CHECK(!frequency_of_period(0));
  CHECK(!injector_duty_percent(3, 0));
  CHECK(dwell_degrees(0, 4) == 0);
  CHECK(near(*dwell_degrees(100, 16), 22.5, 1e-14));
  CHECK(near(*dwell_degrees(100, 1), 360, 1e-14));
  CHECK(!dwell_degrees(101, 4));
  CHECK(!dwell_degrees(-0.1, 4));
  CHECK(!dwell_degrees(50, 17));
  CHECK(!dwell_degrees(50, 0));
}
