#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace baylore::trade {

// Volts, amperes, ohms, watts, °C. nullopt means: no such thing (a division by zero, a negative
// resistance).

std::optional<double> current(double volts, double ohms);
std::optional<double> power(double volts, double ohms);
// What a measured drop at a measured current says of a cable or contact.
std::optional<double> resistance_of_drop(double volts, double amperes);
// Of one or more resistances side by side, each more than 0.
std::optional<double> parallel_resistance(const std::vector<double>& ohms);

// The largest voltage drop shops accept; common practice, no source. The maker's value wins.
enum class DropPlace { kConnection, kGround, kCable, kSwitch, kStarterCircuit, kSensorGround };
double usual_drop_limit(DropPlace place);

// Copper: R2 = R1 (1 + a (T2 - 20)) / (1 + a (T1 - 20)), a = 0.00393/K (IEC 60028). Windings and
// wires of copper only, never resistance alloys or thermistors. R1 > 0, temperatures -100 .. 300
// °C.
inline constexpr double kCopperPerK = 0.00393;
std::optional<double> copper_resistance_at(double ohms, double measured_celsius, double at_celsius);
// The temperature of a winding from its cold and hot resistance.
std::optional<double> copper_temperature(double cold_ohms, double cold_celsius, double hot_ohms);
// A copper wire at 20 °C: length in m, cross-section in mm², 1/58 ohm mm²/m (IEC 60028).
std::optional<double> copper_wire_resistance(double length_m, double area_mm2);

// American wire gauge, 0000 as -3 to 40: diameter in mm 0.127 x 92^((36 - n) / 39).
std::optional<double> awg_diameter_mm(int gauge);
std::optional<double> awg_area_mm2(int gauge);

// A thermistor that falls with temperature: R = R25 exp(B (1/T - 1/298.15)), B in K (IEC 60539-1,
// from memory). One B fits near 25 °C and drifts away from it: where the maker prints a table, use
// the table.
std::optional<double> thermistor_resistance(double ohms_at_25, double b, double celsius);
std::optional<double> thermistor_temperature(double ohms_at_25, double b, double ohms);
std::optional<double> thermistor_b(double celsius_1, double ohms_1, double celsius_2,
                                   double ohms_2);
// Voltage over a sensor that a pull-up resistor feeds.
std::optional<double> pull_up_voltage(double supply_volts, double pull_up_ohms, double sensor_ohms);

// Duty in percent of a pulse of `on` in a period of `period`, one unit for both; 0 <= on <= period.
std::optional<double> duty_percent(double on, double period);
// Mean of a voltage switched at that duty.
double mean_voltage(double volts, double duty_percent);
// Hz of a period in ms.
std::optional<double> frequency_of_period(double period_ms);
// Duty in percent of an injector that opens once in two turns of a four-stroke engine.
std::optional<double> injector_duty_percent(double open_ms, double rpm);
// Dwell in degrees of the distributor for a duty in percent and a number of cylinders.
std::optional<double> dwell_degrees(double duty_percent, int cylinders);

}  // namespace baylore::trade
