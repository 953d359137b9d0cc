#include "trade/atmosphere.h"

#include <cmath>

#include "trade/quantity.h"

namespace baylore::trade {
namespace {

constexpr double kLapseKPerM = 0.0065;
constexpr double kSeaLevelK = 288.15;
constexpr double kStandardGravity = 9.80665;
constexpr double kAirGasConstant = 287.05287;  // J/(kg K)
constexpr double kExponent = kStandardGravity / (kLapseKPerM * kAirGasConstant);
constexpr double kEarthRadiusM = 6356766;
constexpr double kLowestM = -600;
constexpr double kHighestM = 11000;
constexpr double kMetresPerThousandFeet = 304.8;

}  // namespace

std::optional<double> standard_pressure(double altitude_m) {
  if (!(altitude_m >= kLowestM && altitude_m <= kHighestM)) return std::nullopt;
  return kSeaLevelPa * std::pow(1 - kLapseKPerM * altitude_m / kSeaLevelK, kExponent);
}

std::optional<double> altitude_of_pressure(double pressure_pa) {
  if (!(pressure_pa > 0)) return std::nullopt;
  const double altitude =
      kSeaLevelK / kLapseKPerM * (1 - std::pow(pressure_pa / kSeaLevelPa, 1 / kExponent));
  if (!(altitude >= kLowestM && altitude <= kHighestM)) return std::nullopt;
  return altitude;
}

double geopotential_altitude(double geometric_m) {
  return kEarthRadiusM * geometric_m / (kEarthRadiusM + geometric_m);
}

double manifold_pressure(double barometer, double vacuum) { return barometer - vacuum; }

std::optional<IdleVacuum> idle_vacuum_at(double sea_level_inhg, double altitude_m) {
  const std::optional<double> pressure = standard_pressure(altitude_m);
  if (!pressure) return std::nullopt;
  const double drop_inhg =
      convert(kSeaLevelPa - *pressure, unit(UnitId::kPascal), unit(UnitId::kInchMercury));
  IdleVacuum out;
  out.same_manifold = sea_level_inhg - drop_inhg;
  out.by_rule = sea_level_inhg - altitude_m / kMetresPerThousandFeet;
  out.proportional = sea_level_inhg * *pressure / kSeaLevelPa;
  return out;
}

}  // namespace baylore::trade
