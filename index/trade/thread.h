#pragma once

#include <string>
#include <string_view>

#include "trade/parsed.h"

namespace baylore::trade {

inline constexpr double kInchMm = 25.4;  // exact by definition

// A screw thread: ISO metric, or unified inch.
struct Thread {
  bool metric = true;
  double diameter_mm = 0;       // nominal; 1 .. 64
  double pitch_mm = 0;          // 0.2 .. 6
  double threads_per_inch = 0;  // 0 for metric
  bool coarse = false;          // the coarse pitch of this diameter
  bool pitch_given = true;      // false: the text had none, the coarse one stands in
  bool standard = true;         // diameter and pitch are a usual pair; false deserves a second look
  bool left_hand = false;
  std::string text;  // `M6x1`, `M10x1.25 LH`, `1/4-20 UNC`
};

// Reads `M6x1.0`, `M6`, `M8 x 1.25`, `M10×1`, `M10x1,25`, `M8-1.25`, `M14x1.5 LH`, `1/4-20`,
// `1/4"-20 UNC`, `5/16 UNF`, `#10-24`. A metric thread without a pitch is coarse by ISO 261.
// Refused: an inch size without pitch or series, a second number that can only be a length
// (`M8x25`), pipe threads, anything left over. Any bytes are accepted; texts above 64 bytes are
// refused. Usual pairs: ISO 261 and ASME B1.1 (from memory).
Parsed<Thread> parse_thread(std::string_view text);

// Tensile stress area in mm². Metric pi/4 (d - 0.9382 P)^2 (ISO 898-1), inch 0.7854 (D -
// 0.9743/n)^2 in² (ASME B1.1); both from memory.
double stress_area_by_formula(const Thread& thread);

// The same as handbooks print it, for the coarse threads M5 to M16 and 1/4 to 5/8 (ISO 898-1, SAE
// J429, from memory); by the formula for all others. The two differ by less than 0.5 %.
double stress_area(const Thread& thread);

}  // namespace baylore::trade
