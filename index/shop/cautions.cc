#include "shop/cautions.h"

#include <array>

#include "shop/fold.h"
#include "words/words.h"

namespace baylore::shop {
namespace {

struct Row {
  std::string_view words;  // folded words of system or component that call for it, '|' between
  Caution caution;
};

// Sources are named as the shop's check values name them; "common practice" has no authoritative
// text.
constexpr std::array<Row, 14> kTable{{
    {"high voltage|hybrid|traction battery|inverter",
     {"high-voltage",
      marked("High voltage can kill: qualified people only, isolate, wait, prove dead."),
      marked("Orange cables are high voltage; a cable of another colour is not proved safe by it."),
      "49 CFR 571.305 (orange covering); 29 CFR 1910.333; 29 CFR 1910.137 (gloves)"}},
    {"restraint|airbag|seat belt|pretensioner",
     {"restraint",
      marked("Restraint: battery off and the maker's waiting time before any plug is touched."),
      marked("Never put an ohmmeter on an igniter. Carry a module with its face away from you."),
      "maker's service information; 49 CFR 173.166 (transport); common practice, no source"}},
    {"fuel|injector|injection|lift pump|rail",
     {"fuel",
      marked("Fuel and vapour: no spark or flame, relieve the pressure, catch what runs out."),
      marked("Ventilate; a class B extinguisher within reach."),
      "29 CFR 1910.106; 1910.157; NFPA 30A (from memory)"}},
    {"brake|brakes|caliper|abs",
     {"brakes",
      marked("Brakes: a mistake is felt on the road. Maker's values only; test before the road."),
      marked("No dry brushing or blowing of dust: wet or filtered."),
      "29 CFR 1910.1001(f)(3); common practice, no source"}},
    {"steering|suspension|wheel bearing|ball joint|strut",
     {"chassis",
      marked("Steering and suspension: one-time fasteners are replaced, torque from the maker."),
      marked("Support the vehicle on stands before going under; a spring under load can kill."),
      "29 CFR 1910.244(a)(2) (jacks: block or crib); common practice, no source"}},
    {"wheels|tyres|tires|wheel|tyre",
     {"wheels",
      marked("On the lift: rated points only; wheel nuts by hand first, torque on the ground."),
      marked("Check the torque again after the first drive."),
      "ANSI/ALI ALOIM (lift points, from memory); common practice, no source"}},
    {"cooling|coolant|radiator|thermostat|heater",
     {"coolant", marked("Hot coolant under pressure: open below 40 °C."),
      marked("The fan can start with the engine off."),
      "29 CFR 1910.132, 1910.133; common practice, no source"}},
    {"air conditioning|refrigerant|compressor|condenser",
     {"refrigerant",
      marked("Refrigerant: never vent it; recovery by certified people and machines."),
      marked("Liquid refrigerant freezes skin and eyes: goggles and gloves."),
      "40 CFR 82 subpart B"}},
    {"charging|starting|battery|alternator|starter",
     {"battery", marked("Battery: gas and acid. No spark near it; negative off first, on last."),
      marked("Take rings and watches off: a short through metal burns to the bone."),
      "29 CFR 1910.132; common practice, no source"}},
    {"ignition|coil|spark",
     {"ignition",
      marked("Ignition voltage jumps and can hurt: key off before a coil or lead is touched."),
      marked("Keep off with a pacemaker."), "common practice, no source"}},
    {"exhaust|emission|catalyst|oxygen sensor|lambda",
     {"exhaust",
      marked("Hot exhaust and carbon monoxide: let it cool, run the engine only with extraction."),
      marked("Emission parts are not to be defeated."),
      "29 CFR 1910.1000 table Z-1; 42 USC 7522(a)(3)"}},
    {"transmission|driveline|axle|clutch|gearbox",
     {"driveline",
      marked(
          "Under the vehicle: stands or lift locks set, wheels chocked, driveline clear of hands."),
      marked("Hot fluid burns; clutch dust is not blown out dry."),
      "29 CFR 1910.244(a)(2); 1910.1001(f)(3)"}},
    {"engine|timing|mechanical|belt",
     {"engine",
      marked("Running engine: belts, fans and hot metal. Park brake, chocks, extraction."),
      marked("Key out before hands go near a belt or chain."),
      "29 CFR 1910.1000 table Z-1; common practice, no source"}},
    {"body|network|communication|lighting|electrics",
     {"electrics",
      marked("Before a plug near an airbag, seat or orange cable is opened, stop and look it up."),
      marked("Negative off before power cables are touched."),
      "maker's service information; common practice, no source"}},
}};

// Whole words only: "gearbox" must not match "ear", "rail" not "trailer".
bool has_words(const std::string& padded, std::string_view list) {
  while (!list.empty()) {
    const std::size_t bar = list.find('|');
    const std::string word = " " + std::string(list.substr(0, bar)) + " ";
    if (padded.find(word) != std::string::npos) return true;
    if (bar == std::string_view::npos) break;
    list.remove_prefix(bar + 1);
  }
  return false;
}

std::string padded(std::string_view text) {
  std::string out = " ";
  for (const std::string& word : words_of(text)) out += word + " ";
  return out;
}

}  // namespace

std::vector<Caution> cautions_for(std::string_view system, std::string_view component) {
  const std::string by_system = padded(system);
  const std::string by_component = padded(component);
  std::vector<Caution> out;
  for (const Row& row : kTable) {
    const bool here = has_words(by_system, row.words);
    // The component may name a second hazard, but the mild ones only repeat what the system's own
    // says.
    const bool serious = row.caution.key == "high-voltage" || row.caution.key == "restraint" ||
                         row.caution.key == "fuel" || row.caution.key == "refrigerant" ||
                         row.caution.key == "coolant" || row.caution.key == "brakes";
    if (here || (serious && has_words(by_component, row.words))) out.push_back(row.caution);
  }
  return out;
}

bool safety_critical(std::string_view system) {
  return has_words(
      padded(system),
      "brake|brakes|steering|suspension|wheels|wheel|tyres|tires|restraint|seat|seats");
}

}  // namespace baylore::shop
