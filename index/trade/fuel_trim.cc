#include "trade/fuel_trim.h"

#include "trade/marked.h"

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

TrimPattern pattern_of(TrimPair bank) {
  const bool high_idle = bank.idle > kTrimBand;
  const bool high_fast = bank.fast > kTrimBand;
  const bool low_idle = bank.idle < -kTrimBand;
  const bool low_fast = bank.fast < -kTrimBand;
  if ((high_idle && low_fast) || (low_idle && high_fast)) return TrimPattern::kMixed;
  if (low_idle || low_fast) return TrimPattern::kRich;
  if (high_idle && bank.fast < kTrimFalls * bank.idle) return TrimPattern::kAir;
  if (high_idle || high_fast) return TrimPattern::kFuel;
  return TrimPattern::kWithin;
}

std::string_view words_of(TrimPattern pattern) {
  switch (pattern) {
    case TrimPattern::kWithin:
      return marked("within 10 % at both speeds");
    case TrimPattern::kAir:
      return marked("lean at idle, less so with speed: air past the meter, a vacuum leak");
    case TrimPattern::kFuel:
      return marked(
          "lean and not less so with speed: too little fuel, or an air meter that reads low");
    case TrimPattern::kRich:
      return marked("rich: fuel gets in that was not metered, or the air meter reads high");
    case TrimPattern::kMixed:
      return marked(
          "lean at one speed and rich at the other: check the air meter and the readings first");
  }
  return {};
}

TrimReading read_trims(TrimPair bank_1, std::optional<TrimPair> bank_2) {
  TrimReading reading{pattern_of(bank_1), std::nullopt, {}};
  if (!bank_2) return reading;
  reading.bank_2 = pattern_of(*bank_2);
  const bool one = reading.bank_1 != TrimPattern::kWithin;
  const bool two = *reading.bank_2 != TrimPattern::kWithin;
  if (one && two) {
    reading.together = reading.bank_1 == *reading.bank_2
                           ? marked("both banks alike: look for one cause they share")
                           : marked("the banks differ: a cause on each, or a sensor that misleads");
  } else if (one || two) {
    reading.together =
        one ? marked(
                  "bank 1 only: its gasket, injectors or sensor, or its exhaust leaking before it")
            : marked(
                  "bank 2 only: its gasket, injectors or sensor, or its exhaust leaking before it");
  }
  return reading;
}

}  // namespace baylore::trade
