#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"
#include "trade/quantity.h"
#include "trade/thread.h"
#include "trade/torque_spec.h"

namespace baylore::trade {

// The strength of a fastener's steel.
struct StrengthClass {
  std::string_view name;  // `8.8`, `Grade 5`
  bool metric = true;
  double proof_mpa = 0;   // proof stress
  double largest_mm = 0;  // largest diameter the value holds for
};

// Reads `8.8`, `10.9`, `12.9` (ISO 898-1) and `Grade 2`, `gr 5`, `SAE 8`, `8` (SAE J429); a comma
// for the point is accepted. Refused: every other class, because no proof stress is kept for it.
Parsed<const StrengthClass*> parse_class(std::string_view text);

// What bolt mechanics make plausible for a thread and class, in N·m: T = K d F with F = u Sp As. It
// is advice for spotting a slip, never a specification: the maker's value always wins, and it says
// nothing about aluminium threads, studs, plugs, banjo bolts, wheel fasteners or a bolt tightened
// by angle.
struct TorqueWindow {
  double low = 0;    // oiled and at half of proof: K 0.15, u 0.5
  double oiled = 0;  // K 0.15, u 0.75
  double dry = 0;    // K 0.20, u 0.75
  double high = 0;   // dry and at proof: K 0.20, u 1
};

// Valid for M5 to M16 in 8.8, 10.9 and 12.9 and for 1/4 to 5/8 in Grade 2, 5 and 8; refused
// outside. The nut factors 0.15 and 0.20 are common practice, no source, with a scatter of 25 to 30
// %.
Parsed<TorqueWindow> torque_window(const Thread& thread, const StrengthClass& strength);

// How a torque stands against the window.
struct TorqueOpinion {
  enum class Place { kBelow, kInside, kAbove };
  Place place = Place::kInside;
  // The one other unit in which the same number would be plausible; nullptr when none or several.
  const Unit* did_you_mean = nullptr;
};

// Advice on one torque. A mix-up of lbf·in and lbf·ft, of lbf·in and N·m, or of kgf·m and N·m is
// found always; one of lbf·ft and N·m only in about one case of five, because the window is wider
// than the two units lie apart: callers must not claim to catch that one. Torque must be of the
// torque dimension.
TorqueOpinion judge_torque(const Quantity& torque, const TorqueWindow& window);

// The same for what an author wrote: the last tightening stage. nullopt when no window applies: a
// stage turns by an angle, or there is no torque at all.
std::optional<TorqueOpinion> judge_torque(const TorqueSpec& spec, const TorqueWindow& window);

// What to set on a torque wrench that drives through an adapter, T L / (L + E cos a). `length` from
// the middle of the grip to the drive, `extension` from the drive to the fastener, both in one unit
// and more than 0 (extension may be 0); `degrees` 0 in line outward, 90 no change, 180 pointing
// back; -180 .. 180. Result in the unit of `torque`. Refused when the adapter reaches back past the
// grip. Source: Army TM 1-1500-204-23-9, TM 9-254.
Parsed<double> wrench_setting(double torque, double length, double extension, double degrees);

// What such a wrench applies when set to `setting`: the inverse. Same ranges.
Parsed<double> applied_torque(double setting, double length, double extension, double degrees);

}  // namespace baylore::trade
