// Conversions against GNU units, a general converter with definitions of its own.
//
// GNU units 2.22 takes mercury and water as the trade's gauges do, by their conventional densities
// (inHg 3386.38864 Pa, inH2O 249.08891 Pa). Its columns at a temperature, such as `H2O20C` and
// `Hg20C`, are other units: the last test shows by how much. `hp` is the mechanical horsepower of
// 550 ft·lbf/s, `PS` its metrichorsepower. A step on a temperature scale is its degC and degF, a
// point its tempC() and tempF().
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <map>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "support/scratch.h"
#include "trade/quantity.h"
#include "trade/unit.h"

using namespace baylore::trade;

namespace {

struct Named {
  UnitId id;
  const char* gnu;
};
// Every unit that has another one to convert into.
const std::vector<Named> kNamed = {
    {UnitId::kNewtonMetre, "N m"},
    {UnitId::kPoundForceFoot, "lbf ft"},
    {UnitId::kPoundForceInch, "lbf in"},
    {UnitId::kKilogramForceMetre, "kgf m"},
    {UnitId::kKilogramForceCentimetre, "kgf cm"},
    {UnitId::kOunceForceInch, "oz force in"},
    {UnitId::kNewtonCentimetre, "N cm"},
    {UnitId::kKilopascal, "kPa"},
    {UnitId::kPsi, "psi"},
    {UnitId::kBar, "bar"},
    {UnitId::kMillibar, "mbar"},
    {UnitId::kPascal, "Pa"},
    {UnitId::kHectopascal, "hPa"},
    {UnitId::kMegapascal, "MPa"},
    {UnitId::kInchMercury, "inHg"},
    {UnitId::kMillimetreMercury, "mmHg"},
    {UnitId::kInchWater, "inH2O"},
    {UnitId::kMillimetreWater, "mmH2O"},
    {UnitId::kAtmosphere, "atm"},
    {UnitId::kKilogramForcePerSquareCentimetre, "kgf/cm^2"},
    {UnitId::kVolt, "V"},
    {UnitId::kMillivolt, "mV"},
    {UnitId::kKilovolt, "kV"},
    {UnitId::kVoltAc, "V"},
    {UnitId::kMillivoltAc, "mV"},
    {UnitId::kAmpere, "A"},
    {UnitId::kMilliampere, "mA"},
    {UnitId::kMicroampere, "uA"},
    {UnitId::kOhm, "ohm"},
    {UnitId::kMilliohm, "milliohm"},
    {UnitId::kKilohm, "kiloohm"},
    {UnitId::kMegohm, "megaohm"},
    {UnitId::kWatt, "W"},
    {UnitId::kKilowatt, "kW"},
    {UnitId::kHorsepower, "hp"},
    {UnitId::kMetricHorsepower, "metrichorsepower"},
    {UnitId::kCelsius, "tempC"},
    {UnitId::kFahrenheit, "tempF"},
    {UnitId::kKelvin, "K"},
    {UnitId::kCelsiusDifference, "degC"},
    {UnitId::kFahrenheitDifference, "degF"},
    {UnitId::kMillimetre, "mm"},
    {UnitId::kMicrometre, "um"},
    {UnitId::kCentimetre, "cm"},
    {UnitId::kMetre, "m"},
    {UnitId::kKilometre, "km"},
    {UnitId::kInch, "inch"},
    {UnitId::kThou, "mil"},
    {UnitId::kFoot, "ft"},
    {UnitId::kMile, "mile"},
    {UnitId::kPercent, "percent"},
    {UnitId::kPartsPerMillion, "ppm"},
    {UnitId::kSecond, "s"},
    {UnitId::kMillisecond, "ms"},
    {UnitId::kMicrosecond, "us"},
    {UnitId::kMinute, "min"},
    {UnitId::kHour, "hr"},
    {UnitId::kDay, "day"},
    {UnitId::kKilometrePerHour, "km/hr"},
    {UnitId::kMilePerHour, "mph"},
    {UnitId::kMetrePerSecond, "m/s"},
    {UnitId::kLitre, "liter"},
    {UnitId::kMillilitre, "ml"},
    {UnitId::kCubicCentimetre, "cm^3"},
    {UnitId::kUsGallon, "gallon"},
    {UnitId::kUsQuart, "quart"},
    {UnitId::kUsPint, "pint"},
    {UnitId::kUsFluidOunce, "floz"},
    {UnitId::kImperialGallon, "brgallon"},
    {UnitId::kImperialQuart, "brquart"},
    {UnitId::kImperialPint, "brpint"},
    {UnitId::kCubicInch, "in^3"},
    {UnitId::kLitrePerMinute, "liter/min"},
    {UnitId::kLitrePerHour, "liter/hr"},
    {UnitId::kMillilitrePerMinute, "ml/min"},
    {UnitId::kUsGallonPerMinute, "gallon/min"},
    {UnitId::kUsGallonPerHour, "gallon/hr"},
    {UnitId::kCubicFootPerMinute, "ft^3/min"},
    {UnitId::kCubicMetrePerHour, "m^3/hr"},
    {UnitId::kKilogram, "kg"},
    {UnitId::kGram, "g"},
    {UnitId::kMilligram, "mg"},
    {UnitId::kPound, "lb"},
    {UnitId::kOunce, "oz"},
    {UnitId::kGramPerSecond, "g/s"},
    {UnitId::kKilogramPerHour, "kg/hr"},
    {UnitId::kPoundPerMinute, "lb/min"},
    {UnitId::kNewton, "N"},
    {UnitId::kKilonewton, "kN"},
    {UnitId::kPoundForce, "lbf"},
    {UnitId::kKilogramForce, "kgf"},
    {UnitId::kHertz, "Hz"},
    {UnitId::kKilohertz, "kHz"},
    {UnitId::kMegahertz, "MHz"},
    {UnitId::kDegree, "degree"},
    {UnitId::kTurn, "turn"},
};
// The only unit of its dimension: nothing to convert into.
const std::set<UnitId> kAlone = {UnitId::kAmpereHour, UnitId::kRevolutionPerMinute,
                                 UnitId::kSpecificGravityUnit, UnitId::kLambdaUnit,
                                 UnitId::kCountUnit};

struct Asked {
  double value;
  Named from;
  Named to;
  [[nodiscard]] std::string text() const {
    char number[40];
    std::snprintf(number, sizeof number, "%.17g", value);
    const std::string unit_text = from.gnu;
    const bool scale = unit_text.rfind("temp", 0) == 0;
    return scale ? unit_text + "(" + number + ")" : std::string(number) + " " + unit_text;
  }
};

// One run of the program for all of them.
std::vector<double> answers(const std::vector<Asked>& asked) {
  const baylore::test::Scratch folder;
  std::string in;
  for (const Asked& one : asked) in += one.text() + "\n" + one.to.gnu + "\n";
  folder.put("in", in);
  const std::string command = std::string("env -i LC_ALL=C '") + BAYLORE_UNITS +
                              "' -q -t -o %.15g <'" + folder.path("in") + "' >'" +
                              folder.path("out") + "' 2>&1";
  REQUIRE(std::system(command.c_str()) == 0);
  std::istringstream out(folder.get("out"));
  std::vector<double> numbers;
  std::string line;
  while (std::getline(out, line)) {
    char* end = nullptr;
    numbers.push_back(std::strtod(line.c_str(), &end));
    INFO(line);
    CHECK(end == line.c_str() + line.size());
  }
  return numbers;
}

}  // namespace

TEST_CASE("GNU units knows every unit of ours that converts") {
  std::set<UnitId> named;
  for (const Named& one : kNamed) named.insert(one.id);
  CHECK(named.size() == kNamed.size());
  for (std::size_t i = 0; i < unit_count(); ++i) {
    INFO(std::string(unit_at(i).symbol));
    CHECK(named.count(unit_at(i).id) + kAlone.count(unit_at(i).id) == 1);
  }
}

TEST_CASE("300 random conversions agree with GNU units") {
  std::mt19937 random(20260314);
  std::map<Dimension, std::vector<Named>> by_dimension;
  for (const Named& one : kNamed) by_dimension[unit(one.id).dimension].push_back(one);
  std::vector<std::vector<Named>> dimensions;
  for (auto& [dimension, units] : by_dimension) {
    REQUIRE(units.size() > 1);
    dimensions.push_back(units);
  }
  CHECK(dimensions.size() == 20);

  std::vector<Asked> asked;
  for (int i = 0; i < 300; ++i) {
    // Each dimension in turn, so that none is left to chance.
    const std::vector<Named>& units = dimensions[static_cast<std::size_t>(i) % dimensions.size()];
    const std::size_t from = random() % units.size();
    const std::size_t to = (from + 1 + random() % (units.size() - 1)) % units.size();
    const double magnitude = std::pow(10.0, static_cast<double>(random() % 7000) / 1000 - 3);
    asked.push_back({magnitude, units[from], units[to]});
  }
  const std::vector<double> gnu = answers(asked);
  REQUIRE(gnu.size() == asked.size());
  int compared = 0;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    const double ours = convert(asked[i].value, unit(asked[i].from.id), unit(asked[i].to.id));
    INFO(asked[i].text(), " in ", asked[i].to.gnu);
    // 15 digits are printed; a temperature near 0 loses some of them to the offset of its scale.
    const bool point = unit(asked[i].from.id).dimension == Dimension::kTemperature;
    CHECK(std::abs(ours - gnu[i]) <= 1e-12 * std::abs(gnu[i]) + (point ? 1e-10 : 0));
    ++compared;
  }
  CHECK(compared >= 200);
}

TEST_CASE("inches of water and mercury are the conventional ones, not columns at 20 °C") {
  const Named pascal{UnitId::kPascal, "Pa"};
  const std::vector<double> gnu = answers({{1, {UnitId::kInchWater, "inH2O"}, pascal},
                                           {1, {UnitId::kInchWater, "inch H2O20C"}, pascal},
                                           {1, {UnitId::kInchMercury, "inHg"}, pascal},
                                           {1, {UnitId::kInchMercury, "inch Hg20C"}, pascal}});
  REQUIRE(gnu.size() == 4);
  const double water = convert(1, unit(UnitId::kInchWater), unit(UnitId::kPascal));
  const double mercury = convert(1, unit(UnitId::kInchMercury), unit(UnitId::kPascal));
  CHECK(std::abs(water / gnu[0] - 1) < 1e-12);
  CHECK(std::abs(water / gnu[1] - 1) > 0.001);
  CHECK(std::abs(mercury / gnu[2] - 1) < 1e-12);
  CHECK(std::abs(mercury / gnu[3] - 1) > 0.001);
}
