#include "trade/electrical.h"

#include <cmath>
#include <numbers>

namespace baylore::trade {
namespace {

constexpr double kZeroCelsiusK = 273.15;
constexpr double kReferenceK = 298.15;
constexpr double kCopperOhmMm2PerM = 1.0 / 58.0;

bool usual_temperature(double celsius) { return celsius >= -100 && celsius <= 300; }

double copper_factor(double celsius) { return 1 + kCopperPerK * (celsius - 20); }

}  // namespace

std::optional<double> current(double volts, double ohms) {
  if (!(ohms > 0)) return std::nullopt;
  return volts / ohms;
}

std::optional<double> power(double volts, double ohms) {
  if (!(ohms > 0)) return std::nullopt;
  return volts * volts / ohms;
}

std::optional<double> resistance_of_drop(double volts, double amperes) {
  if (!(amperes > 0) || !(volts >= 0)) return std::nullopt;
  return volts / amperes;
}

std::optional<double> parallel_resistance(const std::vector<double>& ohms) {
  if (ohms.empty()) return std::nullopt;
  double siemens = 0;
  for (const double one : ohms) {
    if (!(one > 0)) return std::nullopt;
    siemens += 1 / one;
  }
  return 1 / siemens;
}

double usual_drop_limit(DropPlace place) {
  switch (place) {
    case DropPlace::kConnection:
    case DropPlace::kGround:
      return 0.1;
    case DropPlace::kCable:
    case DropPlace::kSwitch:
      return 0.2;
    case DropPlace::kStarterCircuit:
      return 0.5;
    case DropPlace::kSensorGround:
      return 0.05;
  }
  return 0.05;
}

std::optional<double> copper_resistance_at(double ohms, double measured_celsius,
                                           double at_celsius) {
  if (!(ohms > 0) || !usual_temperature(measured_celsius) || !usual_temperature(at_celsius)) {
    return std::nullopt;
  }
  return ohms * copper_factor(at_celsius) / copper_factor(measured_celsius);
}

std::optional<double> copper_temperature(double cold_ohms, double cold_celsius, double hot_ohms) {
  if (!(cold_ohms > 0) || !(hot_ohms > 0) || !usual_temperature(cold_celsius)) return std::nullopt;
  return (hot_ohms / cold_ohms * copper_factor(cold_celsius) - 1) / kCopperPerK + 20;
}

std::optional<double> copper_wire_resistance(double length_m, double area_mm2) {
  if (!(length_m >= 0) || !(area_mm2 > 0)) return std::nullopt;
  return kCopperOhmMm2PerM * length_m / area_mm2;
}

std::optional<double> awg_diameter_mm(int gauge) {
  if (gauge < -3 || gauge > 40) return std::nullopt;
  return 0.127 * std::pow(92.0, (36 - gauge) / 39.0);
}

std::optional<double> awg_area_mm2(int gauge) {
  const std::optional<double> diameter = awg_diameter_mm(gauge);
  if (!diameter) return std::nullopt;
  return std::numbers::pi / 4 * *diameter * *diameter;
}

std::optional<double> thermistor_resistance(double ohms_at_25, double b, double celsius) {
  const double kelvin = celsius + kZeroCelsiusK;
  if (!(ohms_at_25 > 0) || !(b > 0) || !usual_temperature(celsius)) return std::nullopt;
  return ohms_at_25 * std::exp(b * (1 / kelvin - 1 / kReferenceK));
}

std::optional<double> thermistor_temperature(double ohms_at_25, double b, double ohms) {
  if (!(ohms_at_25 > 0) || !(b > 0) || !(ohms > 0)) return std::nullopt;
  const double inverse_kelvin = 1 / kReferenceK + std::log(ohms / ohms_at_25) / b;
  if (!(inverse_kelvin > 0)) return std::nullopt;
  const double celsius = 1 / inverse_kelvin - kZeroCelsiusK;
  if (!usual_temperature(celsius)) return std::nullopt;
  return celsius;
}

std::optional<double> thermistor_b(double celsius_1, double ohms_1, double celsius_2,
                                   double ohms_2) {
  if (!(ohms_1 > 0) || !(ohms_2 > 0) || !usual_temperature(celsius_1) ||
      !usual_temperature(celsius_2) || celsius_1 == celsius_2) {
    return std::nullopt;
  }
  const double difference = 1 / (celsius_1 + kZeroCelsiusK) - 1 / (celsius_2 + kZeroCelsiusK);
  return std::log(ohms_1 / ohms_2) / difference;
}

std::optional<double> pull_up_voltage(double supply_volts, double pull_up_ohms,
                                      double sensor_ohms) {
  if (!(pull_up_ohms > 0) || !(sensor_ohms >= 0)) return std::nullopt;
  return supply_volts * sensor_ohms / (pull_up_ohms + sensor_ohms);
}

std::optional<double> duty_percent(double on, double period) {
  if (!(period > 0) || !(on >= 0 && on <= period)) return std::nullopt;
  return 100 * on / period;
}

double mean_voltage(double volts, double duty_percent) { return volts * duty_percent / 100; }

std::optional<double> frequency_of_period(double period_ms) {
  if (!(period_ms > 0)) return std::nullopt;
  return 1000 / period_ms;
}

std::optional<double> injector_duty_percent(double open_ms, double rpm) {
  if (!(rpm > 0)) return std::nullopt;
  return duty_percent(open_ms, 2 * 60000 / rpm);
}

std::optional<double> dwell_degrees(double duty_percent, int cylinders) {
  if (!(duty_percent >= 0 && duty_percent <= 100) || cylinders < 1 || cylinders > 16) {
    return std::nullopt;
  }
  return duty_percent / 100 * 360 / cylinders;
}

}  // namespace baylore::trade
