// Freeze-frame values: what a scan tool reads of the moment a code was set. The values are those
// that service 02 of SAE J1979 / ISO 15031-5 gives most often.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "job/job.h"
#include "trade/quantity.h"

namespace baylore::job {

struct FrameField {
  std::string_view name;   // as it is kept: "coolant temperature"
  std::string_view label;  // as it stands over its value
  std::string_view brief;  // before the value in a line; empty where the unit says enough
  trade::UnitId unit;      // metric
  trade::UnitId other;     // the same where the shop measures otherwise
};
const std::array<FrameField, 10>& frame_fields();

// One line of what is known: "coolant 92 °C, 750 rpm"; empty when nothing is.
std::string in_words(const Frame& frame);

}  // namespace baylore::job
