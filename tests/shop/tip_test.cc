#include "shop/tip.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "files/names.h"
#include "shop/fit.h"

using namespace baylore;
using namespace baylore::shop;
using Texts = std::vector<std::string>;

namespace {

const char* const kTip = R"(---
id: 01JD2Z6W0V4T9K3M8Q5XBN7RCE
title: Heater cold at idle, coolant lost only while cold
status: current
lang: en
fits:
  - Corvane | Hauler | 2014-2018 | 3.6 V6
  - Corvane | Pallet
codes:
  - p0128
  - P0301, P0302
component: coolant pump
system: cooling
when:
  - cold start
often: every morning
mistaken-for:
  - head-gasket-seep | bubbles in the tank
repair-minutes: 95
author: R. Okoro
written: 2026-03-14
---

## Symptom
Low tank each morning.

## Cautions
- Cap off only when cold.
- Fan may start by itself.

## Checks
### Pressure left after 10 minutes, engine cold
- check: coolant-hold-cold
- fact: cold-coolant-leak
- minutes: 12
- access: undertray 6; engine cover 2
- tools: cooling-system pressure tester
- valid: engine below 30 °C
- expect: >= 95 kPa
- outside: suggests
- inside: suggests against
- correct: measured barometer
- helper: one
Pump to 100 kPa. Why: the seal leaks only
before it warms and swells.

Then let it stand.

### Look for crust
- expect: no crust

## Location
![Pump, right of the crank pulley](pump%20right.png)
- mark 1: 0.42 0.61 weep hole
- mark 2: 0,55 0,30

See ![the other side](<other side.png>) too.

## Repair
Drain first.
1. Drain at the radiator tap; the block tap
   is seized on most of these.
2. Undertray off.
   - four clips
   - two screws

   Mind the left one.
![Tray](tray.png)
3. Pump off.
Not a step.

## Fasteners
### Pump bolts
- count: 5
- thread: M6x1.0
- class: 8.8
- torque: 5 N·m; 10 N·m
- sequence: 1 4 2 5 3
- reuse: yes
### Crank pulley bolt
- grade: 10.9
- torque: 60 N·m + 90°
- reuse: no

## Parts
### Halden 88-214
- family: coolant-pump
Fits without the spacer.

## Finish
Bleed at the heater hose with the nose up. Use approx. 2 L. Road
test to full heat! Top up.

## Verify
### Pressure left after 10 minutes, engine cold
- again: coolant-hold-cold
### Cabin heat
- check: cabin-heat
- expect: 55 .. 70 °C
- valid: 10 minutes driven

## Own section
Kept.
)";

Tip tip_of(const std::string& text) {
  return read_tip(Document::parse(text), "tips/cooling/heater-cold.md");
}

// "line:column rule" of each finding, in order, as one text that a failing check can print.
std::string places(const Tip& tip) {
  std::string out;
  for (const Finding& f : tip.findings) {
    out += std::to_string(f.line) + ":" + std::to_string(f.column) + " " + f.rule + "; ";
  }
  return out;
}

const Finding* found(const Tip& tip, const std::string& rule) {
  const auto at = std::find_if(tip.findings.begin(), tip.findings.end(),
                               [&](const Finding& f) { return f.rule == rule; });
  return at == tip.findings.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("a full tip is read") {
  const Tip tip = tip_of(kTip);
  CHECK(places(tip) == "");
  CHECK(tip.slug == "heater-cold");
  CHECK(tip.id == "01JD2Z6W0V4T9K3M8Q5XBN7RCE");
  CHECK_FALSE(tip.provisional_id);
  CHECK(tip.status == "current");
  REQUIRE(tip.fits.size() == 2);
  CHECK(tip.fits[0].make == "Corvane");
  CHECK(tip.fits[0].model == "Hauler");
  CHECK(tip.fits[0].first_year == 2014);
  CHECK(tip.fits[0].last_year == 2018);
  CHECK(tip.fits[0].engine == "3.6 V6");
  CHECK(tip.fits[1].first_year == 0);
  CHECK(tip.codes == Texts{"P0128", "P0301", "P0302"});
  CHECK(tip.when == Texts{"cold start"});
  CHECK(tip.often == Texts{"every morning"});
  REQUIRE(tip.mistaken_for.size() == 1);
  CHECK(tip.mistaken_for[0].tip == "head-gasket-seep");
  CHECK(tip.mistaken_for[0].note == "bubbles in the tank");
  CHECK(tip.repair_minutes == 95);
  CHECK(tip.cautions == Texts{"Cap off only when cold.", "Fan may start by itself."});
  CHECK(tip.section("symptom")->text == "Low tank each morning.");
  CHECK(tip.section("own section")->body == "Kept.");
  CHECK(tip.sections.size() == 10);
}

TEST_CASE(
    "checks: expectation, access, strength, reason, and a key of the author's own stays in sight") {
  const Tip tip = tip_of(kTip);
  REQUIRE(tip.checks.size() == 2);
  const Check& check = tip.checks[0];
  CHECK(check.id == "coolant-hold-cold");
  CHECK(check.fact == "cold-coolant-leak");
  CHECK(check.minutes == 12);
  REQUIRE(check.access.size() == 2);
  CHECK(check.access[0].name == "undertray");
  CHECK(check.access[0].minutes == 6);
  CHECK(check.access[1].name == "engine cover");
  REQUIRE(check.expect.has_value());
  CHECK(check.expect->low.value() == 95);
  CHECK(check.expect->unit->symbol == "kPa");
  CHECK(check.outside == "suggests");
  CHECK(check.inside == "suggests against");
  CHECK(check.correct == "measured barometer");
  CHECK(check.why == "the seal leaks only before it warms and swells.");
  CHECK(check.text.substr(0, 13) == "- helper: one");
  CHECK(check.text.find("Then let it stand.") != std::string::npos);
  CHECK(tip.checks[1].id == "look-for-crust");
  REQUIRE(tip.checks[1].expect.has_value());
  CHECK(tip.checks[1].expect->plain == "no crust");
}

TEST_CASE("checks whose names have no Latin letter have ids of their own") {
  const Tip tip = tip_of(
      "---\ntitle: T\n---\n## Checks\n### \xD0\x9D\xD0\xB0\xD1\x81\xD0\xBE\xD1\x81\n"
      "### \xD0\xA8\xD0\xBB\xD0\xB0\xD0\xBD\xD0\xB3\n### ?\n- check: !\n");
  REQUIRE(tip.checks.size() == 3);
  CHECK(tip.checks[0].id.substr(0, 2) == "c-");
  CHECK(tip.checks[0].id != tip.checks[1].id);
  CHECK(tip.checks[2].id.substr(0, 2) == "c-");
  for (const Check& check : tip.checks) CHECK(baylore::files::is_id(check.id));
}

TEST_CASE("fasteners, parts and verification") {
  const Tip tip = tip_of(kTip);
  REQUIRE(tip.fasteners.size() == 2);
  CHECK(tip.fasteners[0].count == 5);
  CHECK(tip.fasteners[0].thread == "M6x1.0");
  CHECK(tip.fasteners[0].property_class == "8.8");
  REQUIRE(tip.fasteners[0].torque.has_value());
  CHECK(tip.fasteners[0].torque->stages.size() == 2);
  CHECK(tip.fasteners[0].torque_text == "5 N·m; 10 N·m");
  CHECK(tip.fasteners[0].sequence == "1 4 2 5 3");
  CHECK(tip.fasteners[1].property_class == "10.9");
  CHECK(tip.fasteners[1].torque->has_angle());
  CHECK(tip.fasteners[1].reuse == "no");
  REQUIRE(tip.parts.size() == 1);
  CHECK(tip.parts[0].name == "Halden 88-214");
  CHECK(tip.parts[0].family == "coolant-pump");
  CHECK(tip.parts[0].text == "Fits without the spacer.");
  REQUIRE(tip.verify.size() == 2);
  CHECK(tip.verify[0].again == "coolant-hold-cold");
  CHECK(tip.verify[1].check == "cabin-heat");
  CHECK(tip.verify[1].expect->high.value() == 70);
  CHECK(tip.verify[1].valid == "10 minutes driven");
}

TEST_CASE("steps keep their continuation lines, and pictures are no steps") {
  const Tip tip = tip_of(kTip);
  REQUIRE(tip.steps.size() == 3);
  CHECK(tip.steps[0] == "Drain at the radiator tap; the block tap\nis seized on most of these.");
  CHECK(tip.steps[1] == "Undertray off.\n- four clips\n- two screws\n\nMind the left one.");
  CHECK(tip.steps[2] == "Pump off.\nNot a step.");  // CommonMark's lazy continuation
  CHECK(tip.finish == Texts{"Bleed at the heater hose with the nose up.", "Use approx. 2 L.",
                            "Road test to full heat!", "Top up."});
  CHECK(tip_of("---\ntitle: T\n---\n## Finish\nAsk R. Okoro. Read 12.6 V. Then stop? Yes.\n")
            .finish == Texts{"Ask R. Okoro.", "Read 12.6 V.", "Then stop?", "Yes."});
  const Tip listed = tip_of(
      "---\ntitle: T\n---\n## Finish\n- Bleed it. Twice.\n- Drive it.\n## Repair\n* one\n* two\n");
  CHECK(listed.finish == Texts{"Bleed it. Twice.", "Drive it."});
  CHECK(listed.steps == Texts{"one", "two"});
}

TEST_CASE("pictures and their marks") {
  const Tip tip = tip_of(kTip);
  REQUIRE(tip.pictures.size() == 3);
  CHECK(tip.pictures[0].file == "pump right.png");
  CHECK(tip.pictures[0].caption == "Pump, right of the crank pulley");
  REQUIRE(tip.pictures[0].marks.size() == 2);
  CHECK(tip.pictures[0].marks[0].label == "1");
  CHECK(tip.pictures[0].marks[0].x == doctest::Approx(0.42));
  CHECK(tip.pictures[0].marks[0].y == doctest::Approx(0.61));
  CHECK(tip.pictures[0].marks[0].text == "weep hole");
  CHECK(tip.pictures[0].marks[1].y == doctest::Approx(0.30));
  CHECK(tip.pictures[1].file == "other side.png");
  CHECK(tip.pictures[2].file == "tray.png");
}

TEST_CASE("each broken line is found at its character, with a remedy, and costs only itself") {
  const Tip tip = tip_of(
      "---\n"                                    // 1
      "id: no/slash\n"                           // 2
      "title: Heater cold\n"                     // 3
      "statsu: current\n"                        // 4
      "status: finished\n"                       // 5
      "fits:\n"                                  // 6
      "  - Corvane | Häuler | 14-18 | 3.6 V6\n"  // 7
      "codes:\n"                                 // 8
      "  - P4420\n"                              // 9
      "  - P0128\n"                              // 10
      "repair-minutes: long\n"                   // 11
      "---\n"                                    // 12
      "## Symptons\n"                            // 13
      "## Checks\n"                              // 14
      "### One\n"                                // 15
      "- expct: 5 V\n"                           // 16
      "- expect: 14.8 .. 13.5 V\n"               // 17
      "- outside: sugests\n"                     // 18
      "## Location\n"                            // 19
      "- mark 1: 0.5 0.5\n"                      // 20
      "![a](a.png)\n"                            // 21
      "- mark 2: 0.5 1.5 x\n"                    // 22
      "## Fasteners\n"                           // 23
      "### Bolt\n"                               // 24
      "- count: 4\n"                             // 25
      "- torque: 80 lb\n"                        // 26
      "- sequence: 1 4 2 2\n"                    // 27
      "## Verify\n"                              // 28
      "### Two\n"                                // 29
      "- again: nowhere\n");                     // 30
  CHECK(places(tip) ==
        "2:5 id; "
        "4:1 unknown-key; "
        "5:9 status; "
        "7:24 years; "
        "9:6 code; "
        "11:17 minutes; "
        "13:1 unknown-section; "
        "16:1 unknown-key; "
        "17:11 expect; "
        "18:12 strength; "
        "20:1 mark; "
        "22:15 mark; "
        "26:11 torque; "
        "27:13 sequence; "
        "30:10 again; ");
  for (const Finding& f : tip.findings) {
    CAPTURE(f.text());
    CHECK(f.file == "tips/cooling/heater-cold.md");
    CHECK_FALSE(f.message.empty());
    CHECK_FALSE(f.remedy.empty());
  }
  CHECK(tip.broken);
  CHECK(tip.provisional_id);
  CHECK(tip.title == "Heater cold");
  CHECK(tip.codes == Texts{"P0128"});
  REQUIRE(tip.fits.size() == 1);
  CHECK(tip.fits[0].engine == "3.6 V6");
  REQUIRE(tip.checks.size() == 1);
  CHECK_FALSE(tip.checks[0].expect.has_value());
  CHECK(tip.checks[0].expect_text == "14.8 .. 13.5 V");
  REQUIRE(tip.fasteners.size() == 1);
  CHECK(tip.fasteners[0].torque_text == "80 lb");
  CHECK(tip.fasteners[0].count == 4);
  CHECK(found(tip, "unknown-key")->remedy == "did you mean `status`?");
  CHECK(found(tip, "unknown-section")->remedy == "did you mean `symptom`?");
  CHECK(found(tip, "strength")->remedy == "did you mean `suggests`?");
  CHECK(found(tip, "unknown-key")->level == Level::note);
}

TEST_CASE("a title and some text make a good tip") {
  for (const char* text : {"---\ntitle: Heater cold\n---\n\nThe tank was low.\n",
                           "# Heater cold\n\nThe tank was low.\n"}) {
    const Tip tip = tip_of(text);
    CHECK(tip.findings.empty());
    CHECK_FALSE(tip.broken);
    CHECK(tip.title == "Heater cold");
    CHECK(tip.status == "current");
    CHECK(tip.lang == "en");
    REQUIRE(tip.section("symptom") != nullptr);
    CHECK(tip.section("symptom")->text == "The tank was low.");
    CHECK(tip.section("symptom")->heading == "Symptom");
  }
}

TEST_CASE("the provisional id belongs to the path, and is no id to refer to") {
  const Tip a = read_tip(Document::parse("# A\n"), "tips/a.md");
  const Tip b = read_tip(Document::parse("# A\n"), "tips/b.md");
  CHECK(a.provisional_id);
  CHECK(a.id.substr(0, 2) == "p-");
  CHECK(a.id == read_tip(Document::parse("# Other\n"), "tips/a.md").id);
  CHECK(a.id != b.id);
}

TEST_CASE("text before the first section stays beside a symptom") {
  const Tip tip = tip_of("---\ntitle: T\n---\nBefore.\n\n## Symptom\nS.\n");
  REQUIRE(tip.sections.size() == 2);
  CHECK(tip.sections[0].key == "preamble");
  CHECK(tip.sections[0].text == "Before.");
  CHECK(tip.section("symptom")->text == "S.");
}

TEST_CASE("a file without a title takes it from its name, and says so") {
  const Tip tip = tip_of("Text.\n");
  CHECK(tip.title == "heater cold");
  REQUIRE(found(tip, "title") != nullptr);
  CHECK(found(tip, "title")->level == Level::error);
}

TEST_CASE("checks and fasteners in a table") {
  const Tip tip = tip_of(
      "---\ntitle: T\n---\n"
      "## Fasteners\n"
      "| fastener | count | torque |\n"
      "| --- | --- | --- |\n"
      "| Pump bolts | 5 | 10 N·m |\n"
      "| Cap | 1 | 3 lb |\n");
  REQUIRE(tip.fasteners.size() == 2);
  CHECK(tip.fasteners[0].name == "Pump bolts");
  CHECK(tip.fasteners[0].torque.has_value());
  CHECK(places(tip) == "8:13 torque; ");
}

TEST_CASE("a letter read as a digit in a code is said") {
  const Tip tip = tip_of("---\ntitle: T\ncodes:\n  - PO420\n  - P0420\n---\n");
  CHECK(tip.codes == Texts{"P0420"});
  REQUIRE(tip.findings.size() == 1);
  CHECK(tip.findings[0].level == Level::note);
  CHECK_FALSE(tip.broken);
}

TEST_CASE("model years in every written form") {
  struct Case {
    const char* text;
    bool good;
    int first;
    int last;
    const char* shown;
  };
  for (const Case& c :
       {Case{"2014-2018", true, 2014, 2018, "2014–2018"},
        Case{"2014 – 2018", true, 2014, 2018, "2014–2018"}, Case{"2014", true, 2014, 2014, "2014"},
        Case{"2014-", true, 2014, 0, "2014 on"}, Case{"-2018", true, 0, 2018, "to 2018"},
        Case{"", true, 0, 0, ""}, Case{"2018-2014", false, 0, 0, ""},
        Case{"14-18", false, 0, 0, ""}, Case{"2014-18", false, 0, 0, ""},
        Case{"-", false, 0, 0, ""}, Case{"2014 2018", false, 0, 0, ""},
        Case{"20145", false, 0, 0, ""}, Case{"1899", false, 0, 0, ""},
        Case{"1900", true, 1900, 1900, "1900"}, Case{"2100", true, 2100, 2100, "2100"},
        Case{"2101", false, 0, 0, ""}}) {
    CAPTURE(c.text);
    int first = -1;
    int last = -1;
    CHECK(read_years(c.text, first, last) == c.good);
    CHECK(first == c.first);
    CHECK(last == c.last);
    CHECK(years_text(first, last) == c.shown);
  }
}

TEST_CASE("a fit is written as it is read") {
  for (const char* line : {"Corvane | Hauler | 2014-2018 | 3.6 V6", "Corvane | Hauler | 2014",
                           "Corvane | Hauler | -2018", "Corvane | Hauler | 2014- | 3.6 V6",
                           "Corvane", "Corvane |  |  | 3.6 V6"}) {
    CHECK(fit_line(read_fit(line)) == line);
  }
  CHECK(fit_text(read_fit("Corvane | Hauler | 2014-2018 | 3.6 V6")) ==
        "Corvane Hauler 2014–2018, 3.6 V6");
  CHECK(fit_text(read_fit("Corvane | Hauler | 2014-")) == "Corvane Hauler 2014 on");
  CHECK(fit_text(read_fit("")) == "any vehicle");
  CHECK(fit_text(read_fit(" | | | 3.6 V6")) == "3.6 V6");
}

TEST_CASE("of several hundred tips with one broken line in each, every other line loads") {
  const std::string whole = kTip;
  Texts lines;
  for (std::size_t at = 0; at < whole.size();) {
    const std::size_t end = whole.find('\n', at);
    lines.push_back(whole.substr(at, end - at));
    at = end + 1;
  }
  int tips = 0;
  int broken = 0;
  for (std::size_t bad = 1; bad < lines.size(); ++bad) {
    for (const char* rubbish :
         {"\xFF\xFE broken", "- torque: lots", "key value", "- mark x: y", "| |"}) {
      std::string text;
      for (std::size_t i = 0; i < lines.size(); ++i) text += (i == bad ? rubbish : lines[i]) + "\n";
      const Tip tip = tip_of(text);
      ++tips;
      if (tip.broken) ++broken;
      CAPTURE(bad);
      CAPTURE(rubbish);
      // What stands far from the broken line is as it was.
      if (bad > 30) {
        CHECK(tip.title == "Heater cold at idle, coolant lost only while cold");
        CHECK(tip.codes.size() == 3);
        CHECK(tip.fits.size() == 2);
      }
      if (bad < 50) {
        CHECK(tip.fasteners.size() == 2);
        CHECK(tip.parts.size() == 1);
        CHECK(tip.steps.size() == 3);
        CHECK(tip.section("own section") != nullptr);
      }
    }
  }
  CHECK(tips > 500);
  CHECK(broken > 100);
}
