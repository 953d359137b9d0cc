#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

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

// --- what total trims at two speeds point to. Common practice, no source; a pointer to where to
// look, never a verdict.

// Total trims of one bank in percent, warm and in closed loop: at idle, and held at about 2500 rpm
// without load.
struct TrimPair {
  double idle = 0;
  double fast = 0;
};

// Trims within this of zero are let be; makers' limits differ.
inline constexpr double kTrimBand = 10;
// A leak of air lets in the same grams at both speeds, and the engine draws three to four times as
// much at 2500 rpm as at idle: its trim falls to a third. Missing fuel is missing at both. Halfway
// between the two:
inline constexpr double kTrimFalls = 0.6;

enum class TrimPattern {
  kWithin,  // within the band at both speeds
  kAir,     // high at idle, falling with speed
  kFuel,    // high and not falling, or high at speed only
  kRich,    // below the band
  kMixed,   // above the band at one speed and below it at the other
};
TrimPattern pattern_of(TrimPair bank);
std::string_view words_of(TrimPattern pattern);

struct TrimReading {
  TrimPattern bank_1 = TrimPattern::kWithin;
  std::optional<TrimPattern> bank_2;
  std::string_view together;  // what the two banks say together; empty for an engine of one bank
};
TrimReading read_trims(TrimPair bank_1, std::optional<TrimPair> bank_2);

}  // namespace baylore::trade
