#pragma once

#include <cstdint>
#include <optional>

namespace baylore::trade {

// Fuel trims in percent; positive means the control unit adds fuel, because it sees a lean mixture.
// They mean something only in closed loop, warm, without misfire.

// What the byte of PIDs 06 to 09 stands for: (A - 128) 100 / 128, -100 .. 99.21875 (SAE J1979, from
// memory).
double fuel_trim_percent(std::uint8_t a);

// Short and long term together as shops add them; common practice, no source.
double total_trim_added(double short_term, double long_term);

// The same as the control unit applies them, one on top of the other: (1 + S)(1 + L) - 1.
double total_trim(double short_term, double long_term);

// The lambda the engine would run at without any trim, while closed loop holds lambda 1.
double lambda_without_trim(double total_percent);

// Trim that a fixed leak of unmetered air causes at a metered flow, both in g/s; nullopt unless the
// flow is more than 0 and the leak not negative. It falls as the flow rises: that is how a vacuum
// leak shows.
std::optional<double> trim_from_air_leak(double leak_g_per_s, double metered_g_per_s);

// Trim that a shortfall of fuel causes, both in percent; nullopt outside 0 <= shortfall < 100. It
// is the same at every load, or grows.
std::optional<double> trim_from_fuel_shortfall(double shortfall_percent);

// Air in g/s through a round hole into a manifold below 0.528 of the ambient pressure, where the
// flow is choked. Diameter in mm (0 .. 50), pressure in Pa, temperature in °C; `discharge` is 1 for
// a perfect nozzle, about 0.7 for a sharp edge (common practice, no source). nullopt outside.
std::optional<double> choked_air_flow(double diameter_mm, double ambient_pa, double celsius,
                                      double discharge);

}  // namespace baylore::trade
