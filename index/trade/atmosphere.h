#pragma once

#include <optional>

namespace baylore::trade {

// The standard atmosphere below 11 km (ISO 2533 / US Standard Atmosphere 1976, from memory):
// p = 101325 (1 - 0.0065 H / 288.15)^5.25588 Pa. Weather moves the real barometer by about 3.4 kPa
// (1 inHg) either way, so a measured barometer always beats an altitude.

inline constexpr double kSeaLevelPa = 101325;

// Pressure in Pa at the geopotential altitude in metres; nullopt outside -600 .. 11000.
std::optional<double> standard_pressure(double altitude_m);

// The altitude in metres whose standard pressure this is; nullopt outside the same range.
std::optional<double> altitude_of_pressure(double pressure_pa);

// Geopotential altitude of a geometric one (a map's), both in metres; radius 6356766 m. The
// difference is under 4 m below 5000 m.
double geopotential_altitude(double geometric_m);

// Absolute manifold pressure from the barometer and a vacuum gauge's reading, one unit for all
// three.
double manifold_pressure(double barometer, double vacuum);

// An idle vacuum in inHg that is expected at sea level, carried to another altitude. Three models,
// none with an authoritative source, more than 3 inHg apart at 3000 m: a hint beside the reading,
// never a verdict.
struct IdleVacuum {
  double same_manifold = 0;  // the manifold pressure stays: vacuum falls with the barometer
  double by_rule = 0;        // 1 inHg for each 1000 ft; common practice, no source
  double proportional = 0;   // vacuum keeps its share of the barometer
};
// nullopt outside -600 .. 11000 m.
std::optional<IdleVacuum> idle_vacuum_at(double sea_level_inhg, double altitude_m);

}  // namespace baylore::trade
