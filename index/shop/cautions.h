// Cautions by vehicle system, shown before the first step even where the author wrote none. They
// come from one table with its public sources; nothing switches them off. They are reminders, not
// instructions: the vehicle maker's service information, local codes and licensed practice decide.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::shop {

struct Caution {
  std::string_view key;  // "coolant"
  std::string_view
      lead;  // the sentence that must be read: "Hot coolant under pressure: open below 40 °C."
  std::string_view more;    // a second sentence
  std::string_view source;  // where the trade has it from
};

// The cautions of a system, and of the words in `system` and `component` that concern another
// hazard (a fuel line on an engine tip). Most serious first; empty for systems with no hazard of
// their own beyond the ordinary.
std::vector<Caution> cautions_for(std::string_view system, std::string_view component);

// Whether a wrong value on this system can hurt someone on the road: brakes, steering, suspension,
// wheels, restraint, seats.
bool safety_critical(std::string_view system);

}  // namespace baylore::shop
