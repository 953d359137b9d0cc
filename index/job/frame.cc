#include "job/frame.h"
#include "words/words.h"

namespace baylore::job {

const std::array<FrameField, 10>& frame_fields() {
  using enum trade::UnitId;
  static constexpr std::array<FrameField, 10> kFields = {{
      {"coolant temperature", marked("Coolant"), marked("coolant"), kCelsius, kFahrenheit},
      {"engine speed", marked("Engine speed"), "", kRevolutionPerMinute, kRevolutionPerMinute},
      {"vehicle speed", marked("Vehicle speed"), "", kKilometrePerHour, kMilePerHour},
      {"load", marked("Load"), marked("load"), kPercent, kPercent},
      {"short trim 1", marked("Short trim, bank 1"), marked("short trim"), kPercent, kPercent},
      {"long trim 1", marked("Long trim, bank 1"), marked("long trim"), kPercent, kPercent},
      {"short trim 2", marked("Short trim, bank 2"), marked("short trim 2"), kPercent, kPercent},
      {"long trim 2", marked("Long trim, bank 2"), marked("long trim 2"), kPercent, kPercent},
      {"intake air temperature", marked("Intake air"), marked("intake air"), kCelsius, kFahrenheit},
      {"manifold pressure", marked("Manifold pressure"), marked("manifold"), kKilopascal,
       kInchMercury},
  }};
  return kFields;
}

std::string in_words(const Frame& frame) {
  std::string words;
  for (const FrameField& field : frame_fields()) {
    const auto at = frame.find(std::string(field.name));
    if (at == frame.end() || at->second.empty()) continue;
    if (!words.empty()) words += ", ";
    if (!field.brief.empty()) words += tr(field.brief) + " ";
    words += at->second;
  }
  return words;
}

}  // namespace baylore::job
