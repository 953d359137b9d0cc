#include "job/frame.h"

namespace baylore::job {

const std::array<FrameField, 10>& frame_fields() {
  using enum trade::UnitId;
  static constexpr std::array<FrameField, 10> kFields = {{
      {"coolant temperature", "Coolant", "coolant", kCelsius, kFahrenheit},
      {"engine speed", "Engine speed", "", kRevolutionPerMinute, kRevolutionPerMinute},
      {"vehicle speed", "Vehicle speed", "", kKilometrePerHour, kMilePerHour},
      {"load", "Load", "load", kPercent, kPercent},
      {"short trim 1", "Short trim, bank 1", "short trim", kPercent, kPercent},
      {"long trim 1", "Long trim, bank 1", "long trim", kPercent, kPercent},
      {"short trim 2", "Short trim, bank 2", "short trim 2", kPercent, kPercent},
      {"long trim 2", "Long trim, bank 2", "long trim 2", kPercent, kPercent},
      {"intake air temperature", "Intake air", "intake air", kCelsius, kFahrenheit},
      {"manifold pressure", "Manifold pressure", "manifold", kKilopascal, kInchMercury},
  }};
  return kFields;
}

std::string in_words(const Frame& frame) {
  std::string words;
  for (const FrameField& field : frame_fields()) {
    const auto at = frame.find(std::string(field.name));
    if (at == frame.end() || at->second.empty()) continue;
    if (!words.empty()) words += ", ";
    if (!field.brief.empty()) words += std::string(field.brief) + " ";
    words += at->second;
  }
  return words;
}

}  // namespace baylore::job
