#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "trade/parsed.h"
#include "trade/quantity.h"

namespace baylore::trade {

// One step of tightening. The parts are kept as authored and never worked into one number: an angle
// stretches the bolt by geometry, and no torque stands for it.
struct TorqueStage {
  enum class Kind { kTighten, kLoosen, kHandTight };
  Kind kind = Kind::kTighten;
  // Torque, when the stage has one: a single value has low == high; a range low < high. > 0.
  std::optional<double> low, high;
  const Unit* unit = nullptr;   // of low and high; nullptr when the stage has no torque
  std::vector<double> degrees;  // turned after the torque, in order; each 0 < a <= 720
};

// What the author wrote for a fastener: one or more stages.
struct TorqueSpec {
  std::vector<TorqueStage> stages;  // 1 to 12

  bool has_angle() const;           // any stage turns by an angle: no torque window applies
  const TorqueStage& last() const;  // the last stage
};

// Reads `10 N·m`, `5 N·m; 10 N·m`, `20 .. 25 N·m`, `20-25 N·m`, `22 ± 2 N·m`, `60 N·m + 90°`,
// `60 N·m + 90° + 90°`, `20 N·m; 90°; 90°`, `40 N·m; loosen 180°; 25 N·m + 1/4 turn`, `hand tight;
// 1/2 turn`, `80 lbf·ft (108 N·m)`. Stages are parted by `;` or `then`. In the last form the two
// figures must agree within 3 %, else it is refused: two stated units that disagree are the best
// sign of a slip. Refused too: no unit, a unit that is no torque (with the likely meaning: `80
// lb`), zero or negative, ends the wrong way round, more than 12 stages, texts above 200 bytes.
Parsed<TorqueSpec> parse_torque(std::string_view text);

// The spec in canonical authored form: `5 N·m; 10 N·m`, `60 N·m + 90°`. Reads back to the same
// spec.
std::string authored(const TorqueSpec& spec);

// The spec in one other unit, the angles unchanged: `44.3 lbf·ft + 90°`. Three significant digits,
// ranges rounded inward. The unit is other_torque_unit() unless given.
std::string converted_text(const TorqueSpec& spec, const Unit& to);

// The unit the second figure is shown in: N·m for anything else than N·m; for N·m lbf·ft, or lbf·in
// when the last torque is under 15 lbf·ft (wrenches under that are marked in lbf·in; common
// practice, no source). N·m when the spec has no torque at all.
const Unit& other_torque_unit(const TorqueSpec& spec);

// What stands big beside the drawing: the last stage that has a torque, as number and unit apart.
struct TorqueFigure {
  std::string number;  // `10`, `20–25`; empty when no stage has a torque
  std::string unit;    // `N·m`
  std::string after;   // angles of that stage and all later stages: `+ 90°`; may be empty
};
TorqueFigure final_figure(const TorqueSpec& spec);                     // as authored
TorqueFigure final_figure_in(const TorqueSpec& spec, const Unit& to);  // converted

// For several stages `first 5 (44.3), then 10 (88.5)`, the second unit in brackets; empty for one
// stage.
std::string stages_in_words(const TorqueSpec& spec);

}  // namespace baylore::trade
