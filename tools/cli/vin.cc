#include "trade/vin.h"

#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"

namespace baylore::cli {
namespace {

struct VinAsked {
  std::string text;
  bool part = false;
  bool light = false;
  bool other = false;
};

int vin(const VinAsked& asked, bool json) {
  const trade::VehicleClass vehicle = asked.light   ? trade::VehicleClass::kLight
                                      : asked.other ? trade::VehicleClass::kOther
                                                    : trade::VehicleClass::kUnknown;
  const auto read = asked.part ? trade::read_partial_vin(asked.text, vehicle)
                               : trade::read_vin(asked.text, vehicle);
  // What cannot be read is an answer too: this is no VIN.
  trade::Vin vin;
  if (const trade::Vin* known = trade::value_in(read)) {
    vin = *known;
  } else {
    const trade::Refusal refusal = trade::reason_in(read);
    vin.text = asked.text;
    vin.reason = refusal.what + ": " + refusal.remedy;
  }
  const bool understood = trade::value_in(read) != nullptr;
  if (json) {
    nlohmann::json out = {{"vin", vin.text},
                          {"valid", vin.valid},
                          {"check_digit", nullptr},
                          {"stated", nullptr},
                          {"model_years", vin.model_years},
                          {"year_if_light", nullptr},
                          {"reason", vin.reason},
                          {"repairs", vin.repairs}};
    if (vin.check) {
      out["check_digit"] = std::string(1, vin.check->computed);
      out["stated"] = std::string(1, vin.check->stated);
    }
    if (vin.year_if_light) out["year_if_light"] = *vin.year_if_light;
    print(out);
  } else {
    fmt::print("{}\n", vin.text);
    for (const std::string& repair : vin.repairs) fmt::print("  {}\n", repair);
    fmt::print("  {}.\n", vin.reason);
    if (!vin.model_years.empty()) {
      fmt::print("  Model year {}", fmt::join(vin.model_years, " or "));
      if (vin.year_if_light && vin.model_years.size() > 1) {
        fmt::print("; {} if it is a light North American vehicle", *vin.year_if_light);
      }
      fmt::print(".\n");
    }
  }
  return understood && (vin.valid || asked.part) ? kDone : kFindings;
}

}  // namespace

void add_vin(Arguments& arguments) {
  Verb verb = arguments.verb("vin", "What a VIN tells, and whether it has a slip");
  const auto asked = std::make_shared<VinAsked>();
  verb.text("VIN", asked->text, "As typed or scanned; nothing of it is kept").required();
  verb.flag("--part", asked->part,
            "It is a part: the first 10 or more, the last 8, or * for each unknown place");
  const Option light =
      verb.flag("--light", asked->light,
                "A passenger car, or a light truck of at most 4536 kg: place 7 tells the year");
  verb.flag("--other", asked->other, "A motorcycle, bus, trailer or heavier truck").excludes(light);
  verb.runs([asked](const Common& common) { return vin(*asked, common.json); });
}

}  // namespace baylore::cli
