#include "trade/torque_window.h"

#include <array>
#include <cmath>
#include <numbers>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

constexpr double kKsiMpa = 6.894757293168361;

// Proof stresses: ISO 898-1 through printed proof loads; SAE J429. The 8.8 value holds to 16 mm.
constexpr std::array kClasses = {
    StrengthClass{"8.8", true, 580, 16},
    StrengthClass{"10.9", true, 830, 39},
    StrengthClass{"12.9", true, 970, 39},
    StrengthClass{"Grade 2", false, 55 * kKsiMpa, 0.75 * kInchMm},
    StrengthClass{"Grade 5", false, 85 * kKsiMpa, 1.0 * kInchMm},
    StrengthClass{"Grade 8", false, 120 * kKsiMpa, 1.5 * kInchMm},
};

constexpr std::array kUnitsPeopleMix = {UnitId::kNewtonMetre, UnitId::kPoundForceFoot,
                                        UnitId::kPoundForceInch, UnitId::kKilogramForceMetre};

bool both_inside(double low, double high, const Unit& from, const TorqueWindow& window) {
  const Unit& newton_metre = unit(UnitId::kNewtonMetre);
  return convert(low, from, newton_metre) >= window.low &&
         convert(high, from, newton_metre) <= window.high;
}

TorqueOpinion opinion(double low, double high, const Unit& typed, const TorqueWindow& window) {
  const Unit& newton_metre = unit(UnitId::kNewtonMetre);
  TorqueOpinion out;
  // A range that overlaps the window is plausible as far as anyone can tell.
  if (convert(high, typed, newton_metre) < window.low) out.place = TorqueOpinion::Place::kBelow;
  if (convert(low, typed, newton_metre) > window.high) out.place = TorqueOpinion::Place::kAbove;
  if (out.place == TorqueOpinion::Place::kInside) return out;
  int fitting = 0;
  for (const UnitId id : kUnitsPeopleMix) {
    const Unit& other = unit(id);
    if (&other == &typed || !both_inside(low, high, other, window)) continue;
    ++fitting;
    out.did_you_mean = &other;
  }
  if (fitting != 1) out.did_you_mean = nullptr;
  return out;
}

// L + E cos a, or why there is none.
Parsed<double> reach(double length, double extension, double degrees) {
  if (!std::isfinite(length) || !(length > 0)) {
    return Refusal{0, "the length of the wrench must be more than zero",
                   "measure from the middle of the grip to the drive"};
  }
  if (!std::isfinite(extension) || extension < 0) {
    return Refusal{0, "the length of the adapter must not be negative",
                   "measure from the drive to the fastener"};
  }
  if (!(degrees >= -180 && degrees <= 180)) {
    return Refusal{0, "the angle must be between -180 and 180 degrees",
                   "0 is in line outward, 90 square, 180 pointing back"};
  }
  const double whole = length + extension * std::cos(degrees * std::numbers::pi / 180);
  // Half a percent of the wrench: nearer than that no setting means anything.
  if (!(whole > 0.005 * length)) {
    return Refusal{0, "the adapter reaches back past the grip", "use a shorter adapter"};
  }
  return whole;
}

}  // namespace

Parsed<const StrengthClass*> parse_class(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 32);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  std::string key;
  for (const char c : scan::lowered(plain.view())) {
    if (c != ' ') key += c == ',' ? '.' : c;
  }
  for (const std::string_view word : {"propertyclass", "class", "cl."}) {
    if (key.starts_with(word)) key.erase(0, word.size());
  }
  std::string grade = key;
  for (const std::string_view word : {"saegrade", "grade", "saegr", "gr.", "gr", "sae"}) {
    if (grade.starts_with(word)) {
      grade.erase(0, word.size());
      break;
    }
  }
  for (const StrengthClass& one : kClasses) {
    if (one.metric ? key == one.name : grade == one.name.substr(6)) return &one;
  }
  return scan::refuse(plain, 0, "no proof stress is kept for class " + scan::quoted(plain.view()),
                      "known are 8.8, 10.9, 12.9 and Grade 2, 5, 8");
}

Parsed<TorqueWindow> torque_window(const Thread& thread, const StrengthClass& strength) {
  if (thread.metric != strength.metric) {
    return Refusal{0, "a metric thread with an inch grade, or the other way round",
                   "check the thread and the class"};
  }
  const double smallest = thread.metric ? 5 : 0.25 * kInchMm;
  const double largest = thread.metric ? 16 : 0.625 * kInchMm;
  constexpr double kSlack = 1e-9;
  if (thread.diameter_mm < smallest - kSlack || thread.diameter_mm > largest + kSlack ||
      thread.diameter_mm > strength.largest_mm + kSlack) {
    return Refusal{0, "no window for this size", "windows are kept for M5 to M16 and 1/4 to 5/8"};
  }
  const double proof_load = strength.proof_mpa * stress_area(thread);  // N
  const auto torque = [&](double nut_factor, double share_of_proof) {
    return nut_factor * thread.diameter_mm / 1000 * share_of_proof * proof_load;
  };
  TorqueWindow window;
  window.low = torque(0.15, 0.5);
  window.oiled = torque(0.15, 0.75);
  window.dry = torque(0.20, 0.75);
  window.high = torque(0.20, 1.0);
  return window;
}

TorqueOpinion judge_torque(const Quantity& torque, const TorqueWindow& window) {
  return opinion(torque.value, torque.value, *torque.unit, window);
}

std::optional<TorqueOpinion> judge_torque(const TorqueSpec& spec, const TorqueWindow& window) {
  if (spec.has_angle()) return std::nullopt;
  for (auto stage = spec.stages.rbegin(); stage != spec.stages.rend(); ++stage) {
    if (stage->unit != nullptr && stage->low && stage->high) {
      return opinion(*stage->low, *stage->high, *stage->unit, window);
    }
  }
  return std::nullopt;
}

Parsed<double> wrench_setting(double torque, double length, double extension, double degrees) {
  const Parsed<double> whole = reach(length, extension, degrees);
  const double* reached = value_in(whole);
  if (reached == nullptr) return reason_in(whole);
  return torque * length / *reached;
}

Parsed<double> applied_torque(double setting, double length, double extension, double degrees) {
  const Parsed<double> whole = reach(length, extension, degrees);
  const double* reached = value_in(whole);
  if (reached == nullptr) return reason_in(whole);
  return setting * *reached / length;
}

}  // namespace baylore::trade
