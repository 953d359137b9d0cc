#include "viewer/state/state.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "shop/document.h"
#include "viewer/screens/screens.h"

namespace {

using namespace baylore;
using viewer::State;
using viewer::Todo;

const std::string kTip =
    "---\nid: 01JTESTSTATE\ntitle: Heater cold\nsystem: cooling\n---\n\n"
    "## Symptom\nCold at idle.\n\n"
    "## Checks\n"
    "### Level\n- check: level\n- expect: between the marks\n"
    "### Pressure\n- check: hold\n- expect: >= 95 kPa\n\n"
    "## Repair\n1. Drain.\n2. Pump out.\n3. Pump in.\n\n"
    "## Fasteners\n### Pump bolts\n- torque: 10 N·m\n### Pulley bolt\n- torque: 60 N·m\n\n"
    "## Finish\nBleed with the nose up. Road test.\n\n"
    "## Verify\n### Pressure again\n- again: hold\n### Idle\n- expect: 650 .. 750 kPa\n";

shop::Tip read(const std::string& text) {
  return shop::read_tip(shop::Document::parse(text), "tips/cooling/a.md");
}

std::vector<std::string> keys(const shop::Tip& tip) {
  std::vector<std::string> out;
  for (const Todo& t : viewer::todo_of(tip)) out.push_back(t.key);
  return out;
}

State working_on(const shop::Tip& tip) {
  State state;
  job::Job job;
  job.id = "01JTESTJOB";
  state.jobs.push_back(job);
  state.job = job.id;
  state.tip.emplace();
  state.tip->tip = tip;
  return state;
}

void tick(State& state, const std::string& key) {
  state.current()->ticks[state.tip->tip.id].insert(key);
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("what is to be done comes in working order") {
  const shop::Tip tip = read(kTip);
  std::vector<std::string> anchors;
  for (const Todo& t : viewer::todo_of(tip)) anchors.push_back(t.anchor);
  CHECK(anchors == std::vector<std::string>{"checks:0", "checks:1", "repair:0", "repair:1",
                                            "repair:2", "fasteners:0", "fasteners:1", "finish:0",
                                            "finish:1", "verify:0", "verify:1"});
  const std::vector<std::string> all = keys(tip);
  CHECK(std::set<std::string>(all.begin(), all.end()).size() == all.size());
  CHECK(viewer::todo_of(read("---\ntitle: T\n---\n")).empty());
}

TEST_CASE("a tick stays with what was ticked when the tip is edited elsewhere") {
  const std::vector<std::string> before = keys(read(kTip));
  const auto lost = [&](const std::string& text) {
    const std::vector<std::string> after = keys(read(text));
    std::vector<std::string> gone;
    for (const std::string& key : before) {
      if (std::find(after.begin(), after.end(), key) == after.end()) gone.push_back(key);
    }
    return gone;
  };
  CHECK(lost(replaced(kTip, "title: Heater cold", "title: Heater cold at idle")).empty());
  CHECK(lost(replaced(kTip, "Cold at idle.", "Cold at idle, warm on the road.")).empty());
  // A step put in before, a check put in before, a value mended, a check's name bettered.
  CHECK(lost(replaced(kTip, "1. Drain.\n2. Pump out.\n3.",
                      "1. Undertray off.\n2. Drain.\n3. Pump out.\n4."))
            .empty());
  CHECK(lost(replaced(kTip, "### Level\n", "### Look\n- check: look\n- expect: dry\n### Level\n"))
            .empty());
  CHECK(lost(replaced(kTip, "- torque: 10 N·m", "- torque: 9 N·m")).empty());
  CHECK(lost(replaced(kTip, "### Pressure\n", "### Pressure after 10 minutes\n")).empty());
  CHECK(lost(replaced(kTip, "\n## Repair", "\n## Location\nLeft.\n\n## Repair")).empty());
  // A step that says something else is another step: its own tick goes, no other does.
  CHECK(lost(replaced(kTip, "Pump out.", "Pump out, gasket too.")).size() == 1);
}

TEST_CASE("the next thing is the first open one from the section in view on") {
  State state = working_on(read(kTip));
  const auto all = viewer::todo_of(state.tip->tip);
  const auto next = [&](const char* here) {
    state.here = here;
    const Todo* t = viewer::next_todo(all, state);
    return t == nullptr ? std::string("none") : t->anchor;
  };
  CHECK(next("symptom") == "checks:0");
  CHECK(next("repair") == "repair:0");
  CHECK(next("parts") == "finish:0");
  tick(state, all[2].key);
  tick(state, all[0].key);
  CHECK(next("symptom") == "checks:1");
  CHECK(next("repair") == "repair:1");
  for (std::size_t i = 3; i < all.size(); ++i) tick(state, all[i].key);
  // Below everything is done: what was left out above is next.
  CHECK(next("finish") == "checks:1");
  tick(state, all[1].key);
  CHECK(next("symptom") == "none");
}

TEST_CASE("ticks belong to the job and the tip") {
  State state = working_on(read(kTip));
  const std::string key = keys(state.tip->tip).front();
  CHECK_FALSE(state.ticked(key));
  tick(state, key);
  CHECK(state.ticked(key));
  state.tip->tip.id = "another";
  CHECK_FALSE(state.ticked(key));
  state.job = "no such job";
  CHECK_FALSE(state.ticked(key));
  CHECK(state.current() == nullptr);
}

TEST_CASE("what is not marked tight is named once the repair has begun") {
  State state = working_on(read(kTip));
  CHECK(viewer::not_tight(state).empty());
  tick(state, viewer::tick_key(state.tip->tip.checks[0]));
  CHECK(viewer::not_tight(state).empty());  // looking loosens no bolt
  tick(state, viewer::step_key(state.tip->tip.steps[0]));
  CHECK(viewer::not_tight(state) == std::vector<std::string>{"Pump bolts", "Pulley bolt"});
  tick(state, viewer::tick_key(state.tip->tip.fasteners[0]));
  CHECK(viewer::not_tight(state) == std::vector<std::string>{"Pulley bolt"});
  state.tip->preview = true;
  CHECK(viewer::not_tight(state).empty());
}

TEST_CASE("a verification repeats its check or has its own") {
  const shop::Tip tip = read(kTip);
  REQUIRE(tip.verify.size() == 2);
  CHECK(viewer::check_of(tip, tip.verify[0]).id == "hold");
  const shop::Check own = viewer::check_of(tip, tip.verify[1]);
  CHECK(own.name == "Idle");
  CHECK(own.id != "hold");
  REQUIRE(viewer::check_named(tip, own.id));
  CHECK(viewer::check_named(tip, own.id)->expect_text == "650 .. 750 kPa");
  CHECK(viewer::check_named(tip, "level")->name == "Level");
  CHECK_FALSE(viewer::check_named(tip, "no such"));
}

TEST_CASE("what the keypad has typed is a reading with its unit") {
  State state;
  CHECK(viewer::reading_of(state).result.empty());
  state.taking.check = "hold";
  state.taking.typed = "82";
  state.taking.unit = trade::UnitId::kKilopascal;
  job::Reading reading = viewer::reading_of(state);
  CHECK(reading.result == "reading");
  CHECK(reading.value == "82 kPa");
  CHECK(reading.check == "hold");
  CHECK(reading.measured.empty());
  state.taking.measured = "97.2";
  state.taking.measured_unit = trade::UnitId::kKilopascal;
  CHECK(viewer::reading_of(state).measured == "97.2 kPa");
  state.taking.result = "could not check";
  reading = viewer::reading_of(state);
  CHECK(reading.result == "could not check");
  CHECK(reading.value.empty());
}

TEST_CASE("units beside the written one are of its kind, and never more than three") {
  for (const trade::UnitId id : {trade::UnitId::kKilopascal, trade::UnitId::kPoundForceInch,
                                 trade::UnitId::kVolt, trade::UnitId::kCelsius, trade::UnitId::kOhm,
                                 trade::UnitId::kMillimetre, trade::UnitId::kInchMercury}) {
    const auto units = viewer::units_beside(id);
    REQUIRE_FALSE(units.empty());
    CHECK(units.front()->id == id);
    CHECK(units.size() <= 3);
    std::set<trade::UnitId> seen;
    for (const trade::Unit* unit : units) {
      CHECK(unit->dimension == units.front()->dimension);
      CHECK(seen.insert(unit->id).second);
    }
  }
}

TEST_CASE("a field goes into the document and comes out of it, and touches nothing else") {
  for (const viewer::WriteField& field : viewer::write_fields()) {
    CAPTURE(field.key);
    shop::Document document = shop::Document::parse(kTip);
    const std::string before = document.bytes();
    viewer::put_field(document, field.key, viewer::get_field(document, field.key));
    CHECK(document.bytes() == before);
    const std::string typed = field.section ? "Some text.\n" : "one";
    viewer::put_field(document, field.key, typed);
    const std::string read_back = viewer::get_field(document, field.key);
    CHECK(read_back.find(field.section ? "Some text." : "one") != std::string::npos);
    for (const viewer::WriteField& other : viewer::write_fields()) {
      if (other.key == field.key) continue;
      CAPTURE(other.key);
      CHECK(viewer::get_field(document, other.key) ==
            viewer::get_field(shop::Document::parse(kTip), other.key));
    }
  }
}

TEST_CASE("days are said in words") {
  CHECK(viewer::day_words("2026-03-14") == "14 Mar 2026");
  CHECK(viewer::day_words("2026-12-01T10:00:00.000+01:00") == "1 Dec 2026");
  CHECK(viewer::day_words("spring") == "spring");
  CHECK(viewer::day_words("2026-13-01") == "2026-13-01");
  CHECK(viewer::day_words("").empty());
}
