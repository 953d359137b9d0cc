#include "trade/formulas.h"

#include <optional>

#include "trade/atmosphere.h"
#include "trade/electrical.h"
#include "trade/fuel_trim.h"
#include "trade/marked.h"
#include "trade/quantity.h"

namespace baylore::trade {
namespace {

using Need = Input::Need;

const Unit* in(UnitId id) { return &unit(id); }

std::vector<Result> one(std::string name, std::optional<double> value, const Unit* unit) {
  if (!value) return {};
  return {{std::move(name), *value, unit}};
}

std::vector<Result> ohms_law(const Values& v) {
  const auto amperes = current(v[0][0], v[1][0]);
  const auto watts = power(v[0][0], v[1][0]);
  if (!amperes || !watts) return {};
  return {{marked("current"), *amperes, in(UnitId::kAmpere)},
          {marked("power"), *watts, in(UnitId::kWatt)}};
}

std::vector<Result> drop(const Values& v) {
  return one(marked("resistance"), resistance_of_drop(v[0][0], v[1][0]), in(UnitId::kOhm));
}

std::vector<Result> drop_limits(const Values& /*none*/) {
  const Unit* volt = in(UnitId::kVolt);
  return {{marked("connection"), usual_drop_limit(DropPlace::kConnection), volt},
          {marked("ground"), usual_drop_limit(DropPlace::kGround), volt},
          {marked("cable"), usual_drop_limit(DropPlace::kCable), volt},
          {marked("switch"), usual_drop_limit(DropPlace::kSwitch), volt},
          {marked("starter circuit"), usual_drop_limit(DropPlace::kStarterCircuit), volt},
          {marked("sensor ground"), usual_drop_limit(DropPlace::kSensorGround), volt}};
}

std::vector<Result> parallel(const Values& v) {
  return one(marked("resistance"), parallel_resistance(v[0]), in(UnitId::kOhm));
}

std::vector<Result> copper(const Values& v) {
  return one(marked("resistance"), copper_resistance_at(v[0][0], v[1][0], v[2][0]),
             in(UnitId::kOhm));
}

std::vector<Result> winding(const Values& v) {
  return one(marked("temperature"), copper_temperature(v[0][0], v[1][0], v[2][0]),
             in(UnitId::kCelsius));
}

std::vector<Result> wire(const Values& v) {
  return one(marked("resistance"), copper_wire_resistance(v[0][0], v[1][0]), in(UnitId::kOhm));
}

std::vector<Result> wire_gauge(const Values& v) {
  const double number = v[0][0];
  const int gauge = number >= -3 && number <= 40 ? static_cast<int>(number) : 99;
  const auto diameter = awg_diameter_mm(gauge);
  const auto area = awg_area_mm2(gauge);
  if (!diameter || !area || gauge != number) return {};
  const auto ohms = copper_wire_resistance(1, *area);
  return {{marked("diameter"), *diameter, in(UnitId::kMillimetre)},
          {marked("area in mm²"), *area, nullptr},
          {marked("resistance of a metre"), ohms.value_or(0), in(UnitId::kOhm)}};
}

std::vector<Result> thermistor(const Values& v) {
  return one(marked("resistance"), thermistor_resistance(v[0][0], v[1][0], v[2][0]),
             in(UnitId::kOhm));
}

std::vector<Result> warmth(const Values& v) {
  return one(marked("temperature"), thermistor_temperature(v[0][0], v[1][0], v[2][0]),
             in(UnitId::kCelsius));
}

std::vector<Result> two_readings(const Values& v) {
  return one("b", thermistor_b(v[0][0], v[1][0], v[2][0], v[3][0]), nullptr);
}

std::vector<Result> pull_up(const Values& v) {
  return one(marked("voltage"), pull_up_voltage(v[0][0], v[1][0], v[2][0]), in(UnitId::kVolt));
}

std::vector<Result> duty(const Values& v) {
  const auto percent = duty_percent(v[0][0], v[1][0]);
  const auto hertz = frequency_of_period(v[1][0]);
  if (!percent || !hertz) return {};
  std::vector<Result> results = {{marked("duty"), *percent, in(UnitId::kPercent)},
                                 {marked("frequency"), *hertz, in(UnitId::kHertz)}};
  if (!v[2].empty()) {
    results.push_back({marked("mean voltage"), mean_voltage(v[2][0], *percent), in(UnitId::kVolt)});
  }
  return results;
}

std::vector<Result> injector(const Values& v) {
  return one(marked("duty"), injector_duty_percent(v[0][0], v[1][0]), in(UnitId::kPercent));
}

std::vector<Result> dwell(const Values& v) {
  const double cylinders = v[1][0];
  if (!(cylinders >= 1 && cylinders <= 16) || cylinders != static_cast<int>(cylinders)) return {};
  return one(marked("dwell"), dwell_degrees(v[0][0], static_cast<int>(cylinders)),
             in(UnitId::kDegree));
}

std::vector<Result> trims(const Values& v) {
  const double applied = total_trim(v[0][0], v[1][0]);
  return {{marked("added up"), total_trim_added(v[0][0], v[1][0]), in(UnitId::kPercent)},
          {marked("as applied"), applied, in(UnitId::kPercent)},
          {marked("lambda without trim"), lambda_without_trim(applied), nullptr}};
}

std::vector<Result> trim_pattern(const Values& v) {
  std::optional<TrimPair> second;
  if (v[2].empty() != v[3].empty()) return {};  // half of a bank says nothing
  if (!v[2].empty()) second = TrimPair{v[2][0], v[3][0]};
  const TrimReading reading = read_trims({v[0][0], v[1][0]}, second);
  std::vector<Result> results = {
      {marked("bank 1"), 0, nullptr, std::string(words_of(reading.bank_1))}};
  if (reading.bank_2)
    results.push_back({marked("bank 2"), 0, nullptr, std::string(words_of(*reading.bank_2))});
  if (!reading.together.empty())
    results.push_back({marked("together"), 0, nullptr, std::string(reading.together)});
  return results;
}

std::vector<Result> trim_byte(const Values& v) {
  const double byte = v[0][0];
  if (!(byte >= 0 && byte <= 255) || byte != static_cast<int>(byte)) return {};
  return one(marked("trim"), fuel_trim_percent(static_cast<std::uint8_t>(byte)),
             in(UnitId::kPercent));
}

std::vector<Result> air_leak(const Values& v) {
  return one(marked("trim"), trim_from_air_leak(v[0][0], v[1][0]), in(UnitId::kPercent));
}

std::vector<Result> fuel_shortfall(const Values& v) {
  return one(marked("trim"), trim_from_fuel_shortfall(v[0][0]), in(UnitId::kPercent));
}

std::vector<Result> leak_hole(const Values& v) {
  return one(marked("air"), choked_air_flow(v[0][0], v[1][0], v[2][0], v[3][0]),
             in(UnitId::kGramPerSecond));
}

std::vector<Result> altitude(const Values& v) {
  const double height = geopotential_altitude(v[0][0]);
  const auto pascal = standard_pressure(height);
  if (!pascal) return {};
  const Unit& pa = unit(UnitId::kPascal);
  const Unit* inhg = in(UnitId::kInchMercury);
  std::vector<Result> results = {
      {marked("standard pressure"), *pascal / 1000, in(UnitId::kKilopascal)},
      {marked("the same"), convert(*pascal, pa, *inhg), inhg}};
  if (v[1].empty()) return results;
  const auto vacuum = idle_vacuum_at(v[1][0], height);
  if (!vacuum) return {};
  results.push_back({marked("idle vacuum, same manifold pressure"), vacuum->same_manifold, inhg});
  results.push_back({marked("idle vacuum, 1 inHg each 1000 ft"), vacuum->by_rule, inhg});
  results.push_back({marked("idle vacuum, same share"), vacuum->proportional, inhg});
  return results;
}

std::vector<Result> barometer(const Values& v) {
  return one(marked("altitude"), altitude_of_pressure(v[0][0]), in(UnitId::kMetre));
}

std::vector<Result> manifold(const Values& v) {
  return one(marked("manifold pressure"), manifold_pressure(v[0][0], v[1][0]),
             in(UnitId::kKilopascal));
}

}  // namespace

const std::vector<Formula>& formulas() {
  constexpr std::string_view kOneB =
      marked("One B fits near 25 °C and drifts away from it: the maker's table comes first.");
  constexpr std::string_view kCopper =
      marked("Copper windings and wires only, never resistance alloys or thermistors.");
  constexpr std::string_view kLoop =
      marked("Trims mean something only in closed loop, warm, no misfire.");
  constexpr std::string_view kHint = marked(
      "A hint, never a verdict: weather moves the barometer by 1 inHg either way, and the three "
      "ways to carry an idle vacuum up have no source. A measured barometer is better.");
  static const std::vector<Formula> kFormulas = {
      {"current",
       marked("Current and power of a resistance"),
       {{"volts", in(UnitId::kVolt), marked("across it")},
        {"ohms", in(UnitId::kOhm), marked("its resistance")}},
       ohms_law},
      {"drop",
       marked("Resistance of a cable or contact from its voltage drop"),
       {{"volts", in(UnitId::kVolt), marked("the drop")},
        {"amps", in(UnitId::kAmpere), marked("while it flows")}},
       drop},
      {"drop-limits",
       marked("The largest voltage drops shops accept"),
       {},
       drop_limits,
       marked("Common practice, no source: the maker's value wins.")},
      {"parallel",
       marked("Resistances side by side"),
       {{"ohms", in(UnitId::kOhm), marked("all of them, as in 4.7;10;22"), Need::list}},
       parallel},
      {"copper",
       marked("Resistance of copper at another temperature"),
       {{"ohms", in(UnitId::kOhm), marked("measured")},
        {"measured-at", in(UnitId::kCelsius), marked("temperature it was measured at")},
        {"at", in(UnitId::kCelsius), marked("temperature wanted")}},
       copper,
       kCopper},
      {"winding",
       marked("Temperature of a copper winding from its resistance"),
       {{"cold", in(UnitId::kOhm), marked("resistance cold")},
        {"cold-at", in(UnitId::kCelsius), marked("temperature of that")},
        {"hot", in(UnitId::kOhm), marked("resistance hot")}},
       winding,
       kCopper},
      {"wire",
       marked("Resistance of a copper wire at 20 °C"),
       {{"length", in(UnitId::kMetre), marked("of the wire, there and back")},
        {"area", nullptr, marked("cross-section in mm²")}},
       wire},
      {"wire-gauge",
       marked("American wire gauge in millimetres"),
       {{"gauge", nullptr, marked("0000 is -3, 000 is -2, 00 is -1")}},
       wire_gauge},
      {"thermistor",
       marked("Resistance of a thermistor"),
       {{"ohms-at-25", in(UnitId::kOhm), marked("at 25 °C")},
        {"b", nullptr, marked("B in kelvin")},
        {"at", in(UnitId::kCelsius), marked("temperature wanted")}},
       thermistor,
       kOneB},
      {"thermistor-temperature",
       marked("Temperature of a thermistor"),
       {{"ohms-at-25", in(UnitId::kOhm), marked("at 25 °C")},
        {"b", nullptr, marked("B in kelvin")},
        {"ohms", in(UnitId::kOhm), marked("measured")}},
       warmth,
       kOneB},
      {"thermistor-b",
       marked("B of a thermistor from two readings"),
       {{"at-1", in(UnitId::kCelsius), marked("first temperature")},
        {"ohms-1", in(UnitId::kOhm), marked("first resistance")},
        {"at-2", in(UnitId::kCelsius), marked("second temperature")},
        {"ohms-2", in(UnitId::kOhm), marked("second resistance")}},
       two_readings,
       kOneB},
      {"pull-up",
       marked("Voltage over a sensor that a pull-up resistor feeds"),
       {{"supply", in(UnitId::kVolt), marked("in front of the resistor")},
        {"pull-up", in(UnitId::kOhm), marked("the resistor")},
        {"sensor", in(UnitId::kOhm), marked("the sensor")}},
       pull_up},
      {"duty",
       marked("Duty and frequency of a pulse"),
       {{"on", in(UnitId::kMillisecond), marked("switched on")},
        {"period", in(UnitId::kMillisecond), marked("from one pulse to the next")},
        {"volts", in(UnitId::kVolt), marked("when on"), Need::optional}},
       duty},
      {"injector-duty",
       marked("Duty of an injector that opens once in two turns"),
       {{"open", in(UnitId::kMillisecond), marked("open time")},
        {"rpm", in(UnitId::kRevolutionPerMinute), marked("engine speed")}},
       injector},
      {"dwell",
       marked("Dwell angle from the duty"),
       {{"duty", in(UnitId::kPercent), marked("share of the time on")},
        {"cylinders", nullptr, marked("of the engine")}},
       dwell},
      {"trims",
       marked("Short and long term fuel trim together"),
       {{"short", in(UnitId::kPercent), marked("short term")},
        {"long", in(UnitId::kPercent), marked("long term")}},
       trims,
       kLoop},
      {"trim-pattern",
       marked("What total trims at idle and at 2500 rpm point to"),
       {{"idle-1", in(UnitId::kPercent), marked("bank 1 at idle, short and long term together")},
        {"fast-1", in(UnitId::kPercent), marked("bank 1 at 2500 rpm")},
        {"idle-2", in(UnitId::kPercent), marked("bank 2 at idle"), Need::optional},
        {"fast-2", in(UnitId::kPercent), marked("bank 2 at 2500 rpm"), Need::optional}},
       trim_pattern,
       marked(
           "Common practice, no source; makers' bands differ. Only in closed loop, warm, no "
           "misfire. "
           "An "
           "engine without an air meter hardly shows a leak in its trims: it idles faster. After a "
           "repair the same points again, once the long term has learned.")},
      {"trim-byte",
       marked("Fuel trim from the byte on the wire"),
       {{"byte", nullptr, marked("0 to 255")}},
       trim_byte,
       kLoop},
      {"air-leak",
       marked("Trim that air past the meter causes"),
       {{"leak", in(UnitId::kGramPerSecond), marked("air past the meter")},
        {"flow", in(UnitId::kGramPerSecond), marked("air through the meter")}},
       air_leak,
       marked("It falls as the flow rises: that is how a leak shows.")},
      {"fuel-shortfall",
       marked("Trim that missing fuel causes"),
       {{"missing", in(UnitId::kPercent), marked("share of the fuel that does not arrive")}},
       fuel_shortfall,
       marked("It stays or grows with load.")},
      {"leak-hole",
       marked("Air through a hole into a manifold at idle"),
       {{"diameter", in(UnitId::kMillimetre), marked("of a round hole")},
        {"ambient", in(UnitId::kPascal), marked("barometer"), Need::optional, marked("101325 Pa")},
        {"temperature", in(UnitId::kCelsius), marked("of the air"), Need::optional, "20"},
        {"discharge", nullptr, marked("1 for a smooth nozzle, 0.7 for a sharp edge"),
         Need::optional, "1"}},
       leak_hole,
       marked("While the manifold is below 0.528 of the barometer.")},
      {"altitude",
       marked("Standard pressure at a height, and an idle vacuum carried there"),
       {{"height", in(UnitId::kMetre), marked("above the sea, as on a map")},
        {"vacuum", in(UnitId::kInchMercury), marked("idle vacuum expected at the sea"),
         Need::optional}},
       altitude,
       kHint},
      {"barometer",
       marked("Height whose standard pressure this is"),
       {{"pressure", in(UnitId::kPascal), marked("as in 90 kPa")}},
       barometer,
       kHint},
      {"manifold",
       marked("Manifold pressure from barometer and vacuum gauge"),
       {{"barometer", in(UnitId::kKilopascal), marked("measured")},
        {"vacuum", in(UnitId::kKilopascal), marked("as in 18 inHg")}},
       manifold},
  };
  return kFormulas;
}

}  // namespace baylore::trade
