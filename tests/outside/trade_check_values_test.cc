// The rows of data/check-values.tsv that concern the trade layer: numbers computed apart from this
// project with R 4.2, SciPy 1.10 and GNU units 2.22. The sources of the formulas stand in
// trade_*_test.cc beside this file.

#include <cstdlib>
#include <string>

#include "doctest/doctest.h"
#include "outside/table.h"
#include "trade/atmosphere.h"
#include "trade/code.h"
#include "trade/electrical.h"
#include "trade/fuel_trim.h"
#include "trade/near.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_window.h"
#include "trade/vin.h"

using namespace baylore::trade;

namespace {

// The number at the start of `text`; what follows (`m`, `mm2`, `MPa`) is the row's own unit.
double number_of(const std::string& text) { return std::strtod(text.c_str(), nullptr); }

void check_vin(const std::string& vin, const std::string& expected) {
  const auto want = named(expected);
  const auto check = check_digit(vin);
  REQUIRE(check);
  CHECK(check->sum == static_cast<int>(number_of(want.at("sum"))));
  CHECK(std::string(1, check->computed) == want.at("cd"));
  CHECK(check->agrees == (want.count("valid") == 1));
}

void check_code(const std::string& typed, const std::string& expected) {
  const auto read = taken(parse_code(typed));
  if (expected == "reject") {
    CHECK(!read);
    return;
  }
  REQUIRE(read);
  const auto want = split(expected, ';');
  REQUIRE(want.size() == 3);
  CHECK(text(read->code) == want[0]);
  CHECK(defined_by_name(defined_by(read->code)) == want[1]);
  CHECK("0x" + hex(read->code) == want[2]);
}

// `80 lbf.ft->N.m`
void check_conversion(const std::string& inputs, double expected) {
  const std::size_t arrow = inputs.find("->");
  REQUIRE(arrow != std::string::npos);
  const auto from = taken(parse_quantity(inputs.substr(0, arrow)));
  const Unit* to = find_unit(inputs.substr(arrow + 2));
  REQUIRE(from);
  REQUIRE(to != nullptr);
  // The file prints 12 digits: half a unit of the last one.
  CHECK(near(convert(from->value, *from->unit, *to), expected, 5e-12));
}

void check_adapter(const std::string& inputs, double expected) {
  const auto in = named(inputs);
  const auto setting = taken(wrench_setting(number_of(in.at("T")), number_of(in.at("L")),
                                            number_of(in.at("E")), number_of(in.at("deg"))));
  REQUIRE(setting);
  CHECK(near(*setting, expected, 1e-11));
}

// The rows name diameter, proof stress, nut factor and share of proof; the window names thread,
// class and which of its four values that is.
void check_bolt(const std::string& inputs, double expected) {
  const auto in = named(inputs);
  const auto thread = taken(parse_thread("M" + authored_number(number_of(in.at("D")) * 1000)));
  REQUIRE(thread);
  CHECK(near(stress_area(*thread), number_of(in.at("As")), 1e-12));
  const std::string proof = in.at("Sp");
  const auto strength = taken(parse_class(proof == "580MPa"   ? "8.8"
                                          : proof == "830MPa" ? "10.9"
                                                              : "12.9"));
  REQUIRE(strength);
  CHECK((*strength)->proof_mpa == number_of(proof));
  const auto window = taken(torque_window(*thread, **strength));
  REQUIRE(window);
  const std::string which = in.at("K") + " " + in.at("fr");
  const double got = which == "0.2 0.75"    ? window->dry
                     : which == "0.15 0.75" ? window->oiled
                     : which == "0.2 1.0"   ? window->high
                                            : -1;
  CHECK(near(got, expected, 1e-9));
}

void check_trim(const std::string& inputs, const std::string& expected) {
  const auto in = named(inputs);
  const auto want = named(expected);
  const double short_term = number_of(in.at("STFT"));
  const double long_term = number_of(in.at("LTFT"));
  CHECK(near(total_trim_added(short_term, long_term), number_of(want.at("additive")), 1e-12));
  CHECK(near(total_trim(short_term, long_term), number_of(want.at("multiplicative")), 1e-12));
}

}  // namespace

TEST_CASE("every check value of the trade layer") {
  const auto rows = table("check-values.tsv");
  REQUIRE(rows.size() == 84);
  int checked = 0;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    const auto& row = rows[i];
    REQUIRE(row.size() >= 4);
    const std::string& function = row[1];
    const std::string& inputs = row[2];
    const std::string& expected = row[3];
    CAPTURE(row[0]);
    ++checked;
    if (function == "vin_check") {
      check_vin(inputs, expected);
    } else if (function == "dtc_norm") {
      check_code(inputs, expected);
    } else if (function == "torque_conv") {
      check_conversion(inputs, number_of(expected));
    } else if (function == "crowfoot_setting") {
      check_adapter(inputs, number_of(expected));
    } else if (function == "T=K*D*fr*Sp*As") {
      check_bolt(inputs, number_of(expected));
    } else if (function == "isa_p_geopotential") {
      const auto pressure = standard_pressure(number_of(named(inputs).at("H")));
      REQUIRE(pressure);
      CHECK(near(*pressure, number_of(expected), 1e-8));
    } else if (function == "fuel_trim_total") {
      check_trim(inputs, expected);
    } else if (function == "copper_R") {
      const auto in = named(inputs);
      const auto ohms = copper_resistance_at(number_of(in.at("R")), number_of(in.at("T1")),
                                             number_of(in.at("T2")));
      REQUIRE(ohms);
      CHECK(near(*ohms, number_of(expected), 1e-11));
    } else if (function == "ntc_beta") {
      const auto in = named(inputs);
      const auto ohms = thermistor_resistance(number_of(in.at("R25")), number_of(in.at("B")),
                                              number_of(in.at("T")));
      REQUIRE(ohms);
      CHECK(near(*ohms, number_of(expected), 1e-10));
    } else {
      --checked;  // statistics: another layer's
    }
  }
  // 13 VINs, 17 codes, 8 conversions, 7 adapters, 5 bolts, 4 pressures, 4 trims, 3 copper, 4
  // thermistors.
  CHECK(checked == 65);
}
