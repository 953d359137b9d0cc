// Faults planted in a copy of the demo shop: the check must find each at its line, and nothing
// else. The planter edits the files as plain text, as a person with an editor would; what is a
// fault is common sense of the trade, not taken from the checker.
#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "shop/check/check.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

struct Fault {
  const char* kind;
  const char* file;  // below tips/, unless it names its folder
  const char* from;  // the first one in the file is replaced
  const char* to;
  const char* shows;  // how the line begins that is wrong afterwards; nullptr: it is the new text
  const char* other_file = nullptr;   // the other side of a contradiction
  const char* other_shows = nullptr;  // ... and its line
};

const std::vector<Fault>& faults() {
  static const std::vector<Fault> kFaults = {
      {"torque in lbf·ft that was meant in lbf·in",
       "high-voltage/hybrid-cuts-power-clogged-battery-fan.md", "- torque: 70 lbf·in",
       "- torque: 70 lbf·ft", nullptr},
      {"torque in N·m that was meant in kgf·m", "starting/slow-crank-engine-ground-corroded.md",
       "- torque: 40 N·m", "- torque: 4.0 N·m", nullptr},
      {"two stated units that disagree", "brakes/one-wheel-hot-seized-slide-pin.md", "\n## Verify",
       "\nWheel bolts 110 N·m (60 lbf·ft).\n\n## Verify", "Wheel bolts 110"},
      {"one fastener with two torques on one car", "cooling/thermostat-stuck-open-warms-slowly.md",
       "- torque: 4 N·m; 9 N·m", "- torque: 4 N·m; 11 N·m", nullptr,
       "cooling/overheats-fast-thermostat-shut.md", "- torque: 4 N·m; 9 N·m"},
      {"one check with two expectations on one car", "charging/charge-fixed-13-volts-lin-open.md",
       "- expect: 14.2 .. 14.8 V", "- expect: 13.2 .. 14.8 V", nullptr,
       "engine-mechanical/battery-light-flickers-belt-tensioner-weak.md",
       "- expect: 14.2 .. 14.8 V"},
      {"one check with another expectation than in two other tips",
       "starting/single-click-hot-starter-heat-soak.md", "- expect: 12.5 .. 12.9 V",
       "- expect: 11.5 .. 12.9 V", nullptr},
      {"impossible code", "ignition/misfire-under-load-coil-breakdown.md", "  - P0303", "  - P4303",
       nullptr},
      {"code with a letter too many", "network-communication/gauges-drop-dead-can-terminator.md",
       "  - U0121", "  - U0G21", nullptr},
      {"code that no standard or maker uses",
       "network-communication/gauges-drop-dead-can-terminator.md", "  - U0140", "  - C3140",
       nullptr},
      {"impossible code in running text",
       "exhaust-and-emission-sensors/lean-code-ticks-cold-manifold-leak.md", "## Background\n",
       "## Background\nOften P7171 is stored with it.\n", "Often P7171"},
      {"year before there was such a car",
       "engine-mechanical/rattles-at-cold-start-stretched-chain.md", "2014-2019", "1914-2019",
       "  - Merrin | Kite | 1914"},
      {"years the wrong way round", "restraint/airbag-lamp-when-seat-moves-connector.md",
       "2010-2018", "2018-2010", "  - Tavik | Tern | 2018"},
      {"year to come", "high-voltage/hybrid-cuts-power-clogged-battery-fan.md", "2015-2022",
       "2015-2072", "  - Merrin | Lumen | 2015-2072"},
      {"date to come", "brakes/pedal-sinks-master-cylinder-bypass.md", "written: 20", "written: 21",
       "written: 21"},
      {"whole VIN", "steering-and-suspension/growls-on-left-bends-wheel-bearing.md",
       "## Background\n", "## Background\nSeen on 1M8GDM9AXKP042788 first.\n", "Seen on"},
      {"end of a VIN", "transmission-and-driveline/shudder-at-steady-speed-converter-clutch.md",
       "## Background\n", "## Background\nThe last eight were KP042788.\n", "The last eight"},
      {"unknown unit", "cooling/head-gasket-seep.md", "- expect: >= 95 kPa", "- expect: >= 95 kPq",
       nullptr},
      {"missing photo", "cooling/heater-cold-at-idle-coolant-lost-cold.md",
       "(coolant-pump-weep-hole.png)", "(coolant-pump.png)", "![Front of the engine"},
      {"mark outside the picture", "brakes/brake-drags-collapsed-hose.md", "- mark 1: 0.",
       "- mark 1: 1.", "- mark 1: 1."},
      {"link to no tip", "charging/charge-fixed-13-volts-lin-open.md", "  - battery-flat-charge",
       "  - batery-flat-charge", "  - batery-flat"},
      {"repeats a check that is not there", "brakes/pedal-sinks-master-cylinder-bypass.md",
       "- again: brake-pedal-holds-light", "- again: brake-pedal-holds", nullptr},
      {"replaced by nothing", "body-electrics/elevalunas-lento-se-para-guia-seca.md",
       "status: current", "status: withdrawn\nreplaced-by: 01JD2Z6W0V4T9K3M8Q5XBN7RZZ",
       "replaced-by"},
      {"superseded part", "body-electrics/lights-dim-at-idle-body-ground.md", "## Parts",
       "## Parts", "### Vantor G25-300"},
      {"empty section", "starting/slow-crank-engine-ground-corroded.md", "## Background",
       "## Notes\n\n## Background", "## Notes"},
      {"placeholder", "cooling/thermostat-stuck-open-warms-slowly.md", "## Background\n",
       "## Background\nTODO: say how it was found.\n", "TODO"},
      {"misspelt key of the head",
       "exhaust-and-emission-sensors/lean-code-ticks-cold-manifold-leak.md",
       "\nauthor:", "\nauthro:", "authro:"},
      {"misspelt key of an entry", "brakes/one-wheel-hot-seized-slide-pin.md",
       "\n- reuse: ", "\n- resue: ", "- resue:"},
      {"misspelt heading", "fuel-delivery/falls-flat-high-pressure-pump-follower.md", "## Finish",
       "## Finsih", "## Finsih"},
      {"misspelt system", "ignition/misfire-under-load-coil-breakdown.md", "system: ignition",
       "system: ignitoin", nullptr},
      {"order that leaves one out", "wheels-and-tyres/shakes-after-wheels-off-rust-on-hub.md",
       "- sequence: 1 4 2 5 3 6", "- sequence: 1 4 2 5 3 3", nullptr},
      {"no strength word", "brakes/pedal-sinks-master-cylinder-bypass.md", "- outside: proves",
       "- outside: prooves", nullptr},
      {"no colon", "wheels-and-tyres/shakes-after-wheels-off-rust-on-hub.md", "- class: 8.8\n",
       "- class 8.8\n", "- class 8.8"},
      {"no property class", "body-electrics/flat-overnight-wet-door-module.md", "- class: 8.8",
       "- class: 8.9", nullptr},
      {"character beyond the fonts", "restraint/airbag-lamp-when-seat-moves-connector.md",
       "## Background\n", "## Background\nGreat fix \xF0\x9F\x91\x8D\n", "Great fix"},
  };
  return kFaults;
}

using Places = std::set<std::pair<std::string, int>>;

std::string below_tips(const std::string& file) { return "tips/" + file; }

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE_MESSAGE(at != std::string::npos, from);
  return text.replace(at, from.size(), to);
}

// The line that begins with `begin`.
int line_of(const std::string& text, const std::string& begin) {
  int line = 1;
  for (std::size_t at = 0; at < text.size(); ++line) {
    if (text.compare(at, begin.size(), begin) == 0) return line;
    const std::size_t end = text.find('\n', at);
    if (end == std::string::npos) break;
    at = end + 1;
  }
  FAIL("no such line: " << begin);
  return 0;
}

class Shop {
 public:
  Shop() {
    std::filesystem::copy(BAYLORE_SOURCE_DIR "/content", folder_.path("shop"),
                          std::filesystem::copy_options::recursive);
  }
  [[nodiscard]] std::string get(const std::string& file) const {
    return folder_.get("shop/" + file);
  }
  void put(const std::string& file, const std::string& text) const {
    folder_.put("shop/" + file, text);
  }
  [[nodiscard]] shop::Findings check() const {
    shop::CheckOptions options;
    options.today = "2026-06-01";
    const auto report = shop::check_shop(files::real_disk(), folder_.path("shop"), options);
    REQUIRE(report.ok());
    return report->findings;
  }

 private:
  test::Scratch folder_;
};

// What the planter did that is no replacement: new files.
void plant_files(const Shop& shop, Places& expected) {
  // A part file that says one number is no longer made.
  shop.put("parts/ground-strap.md",
           "---\nid: ground-strap\ntitle: Ground straps\n---\n\n## Numbers\n### G25-300\n"
           "- brand: Vantor\n- superseded-by: G25-310\n### G25-310\n- brand: Vantor\n");

  // A tip copied under another name and id, a few words changed.
  const std::string link = "steering-and-suspension/clunk-over-small-bumps-stabiliser-link.md";
  std::string copy = shop.get(below_tips(link));
  copy = replaced(copy, "\nid: 01", "\nid: 02");
  copy = replaced(copy, "knock", "rap");
  shop.put("tips/steering-and-suspension/link-again.md", copy);
  expected.emplace(below_tips(link), line_of(copy, "title:"));
  expected.emplace("tips/steering-and-suspension/link-again.md", line_of(copy, "title:"));

  // Another with the same id.
  const std::string chain = "engine-mechanical/rattles-at-cold-start-stretched-chain.md";
  const std::string text = shop.get(below_tips(chain));
  const std::size_t id = text.find("\nid: ") + 1;
  shop.put("tips/engine-mechanical/second.md",
           "---\n" + text.substr(id, text.find('\n', id) - id) +
               "\ntitle: Whines at cold start\n---\n\n## Symptom\nA whine, gone when warm.\n");
  expected.emplace(below_tips(chain), line_of(text, "id:"));
  expected.emplace("tips/engine-mechanical/second.md", 2);

  // A translation with another torque and another number in its text.
  const std::string pump = "cooling/heater-cold-at-idle-coolant-lost-cold.md";
  const std::string original = shop.get(below_tips(pump));
  std::string german =
      "---\nid: 01JD2Z6W0V4T9K3M8Q5XBN7RDE\ntitle: Heizung kalt im Leerlauf\nlang: de\n"
      "translation-of: 01JD2Z6W0V4T9K3M8Q5XBN7RCE\nfits:\n"
      "  - Corvane | Hauler | 2014-2018 | 3.6 V6\ncodes:\n  - P0128\nsystem: cooling\n---\n\n"
      "## Symptom\nJeden Morgen fehlt Wasser. P0128 kann gespeichert sein.\n\n"
      "## Checks\n### Druck nach 10 Minuten, Motor kalt\n- check: coolant-hold-cold\n"
      "- expect: >= 95 kPa\nAuf 110 kPa pumpen, volle zehn Minuten warten.\n\n"
      "## Fasteners\n### Pumpenschrauben\n- count: 5\n- thread: M6x1.0\n- class: 8.8\n"
      "- torque: 5 N·m; 12 N·m\nIn Aluminium.\n### Scheibe\n- torque: 10 N·m\n"
      "### Halter\n- torque: 45 N·m\n### Kurbelwelle\n- torque: 60 N·m + 90°\n";
  shop.put("tips/cooling/heizung-kalt.md", german);
  expected.emplace("tips/cooling/heizung-kalt.md", line_of(german, "- torque: 5 N·m; 12"));
  expected.emplace("tips/cooling/heizung-kalt.md", line_of(german, "Auf 110 kPa"));
}

}  // namespace

TEST_CASE("the demo shop is clean") {
  const Shop shop;
  for (const shop::Finding& finding : shop.check()) FAIL_CHECK(finding.text());
}

TEST_CASE("each planted fault is found at its line, and nothing else") {
  const Shop shop;
  std::map<std::string, std::string> texts;
  std::set<std::string> kinds;
  for (const Fault& fault : faults()) {
    kinds.insert(fault.kind);
    const std::string file = below_tips(fault.file);
    const std::string text = texts.count(file) != 0 ? texts[file] : shop.get(file);
    texts[file] = replaced(text, fault.from, fault.to);
  }
  REQUIRE(kinds.size() >= 25);
  for (const auto& [file, text] : texts) shop.put(file, text);
  Places expected;
  for (const Fault& fault : faults()) {
    const std::string file = below_tips(fault.file);
    INFO(std::string(fault.kind));
    expected.emplace(file, line_of(texts[file], fault.shows == nullptr ? fault.to : fault.shows));
    if (fault.other_file == nullptr) continue;
    const std::string other = below_tips(fault.other_file);
    expected.emplace(other, line_of(shop.get(other), fault.other_shows));
  }
  plant_files(shop, expected);

  Places found;
  for (const shop::Finding& finding : shop.check()) {
    CAPTURE(finding.text());
    CHECK_MESSAGE(found.emplace(finding.file, finding.line).second, "told twice");
    CHECK_MESSAGE(expected.count({finding.file, finding.line}) == 1, "nothing was planted here");
    CHECK_FALSE(finding.message.empty());
    CHECK_FALSE(finding.remedy.empty());
  }
  for (const Places::value_type& place : expected) {
    INFO(place.first << ':' << place.second);
    CHECK_MESSAGE(found.count(place) == 1, "not found");
  }
}

// Each alone, so that no fault is found only because of another.
TEST_CASE("each planted fault is found alone") {
  for (const Fault& fault : faults()) {
    if (std::string(fault.kind) == "superseded part") continue;  // needs its file
    INFO(std::string(fault.kind));
    const Shop shop;
    const std::string file = below_tips(fault.file);
    const std::string text = replaced(shop.get(file), fault.from, fault.to);
    shop.put(file, text);
    Places expected = {{file, line_of(text, fault.shows == nullptr ? fault.to : fault.shows)}};
    if (fault.other_file != nullptr) {
      const std::string other = below_tips(fault.other_file);
      expected.emplace(other, line_of(shop.get(other), fault.other_shows));
    }
    Places found;
    for (const shop::Finding& finding : shop.check()) {
      CAPTURE(finding.text());
      CHECK(expected.count({finding.file, finding.line}) == 1);
      CHECK(found.emplace(finding.file, finding.line).second);
    }
    CHECK(found == expected);
  }
}
