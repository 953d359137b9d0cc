#include "trade/fuel_trim.h"

#include <cmath>
#include <numbers>

namespace baylore::trade {

double fuel_trim_percent(std::uint8_t a) { return (a - 128) * 100.0 / 128.0; }

double total_trim_added(double short_term, double long_term) { return short_term + long_term; }

double total_trim(double short_term, double long_term) {
  return short_term + long_term + short_term * long_term / 100;
}

double lambda_without_trim(double total_percent) { return 1 + total_percent / 100; }

std::optional<double> trim_from_air_leak(double leak_g_per_s, double metered_g_per_s) {
  if (!(metered_g_per_s > 0) || !(leak_g_per_s >= 0)) return std::nullopt;
  return 100 * leak_g_per_s / metered_g_per_s;
}

std::optional<double> trim_from_fuel_shortfall(double shortfall_percent) {
  if (!(shortfall_percent >= 0 && shortfall_percent < 100)) return std::nullopt;
  return 100 * (1 / (1 - shortfall_percent / 100) - 1);
}

// Isentropic choked flow of a perfect gas: m = C A p sqrt(k / (R T)) (2 / (k + 1))^((k + 1) / (2 (k
// - 1))).
std::optional<double> choked_air_flow(double diameter_mm, double ambient_pa, double celsius,
                                      double discharge) {
  constexpr double kHeatRatio = 1.4;
  constexpr double kAirGasConstant = 287.05287;
  const double kelvin = celsius + 273.15;
  if (!(diameter_mm >= 0 && diameter_mm <= 50) || !(ambient_pa > 0) || !(kelvin > 0) ||
      !(discharge > 0 && discharge <= 1)) {
    return std::nullopt;
  }
  const double area = std::numbers::pi / 4 * diameter_mm * diameter_mm * 1e-6;
  const double choked = std::pow(2 / (kHeatRatio + 1), (kHeatRatio + 1) / (2 * (kHeatRatio - 1)));
  const double kg_per_s =
      discharge * area * ambient_pa * std::sqrt(kHeatRatio / (kAirGasConstant * kelvin)) * choked;
  return kg_per_s * 1000;
}

}  // namespace baylore::trade
