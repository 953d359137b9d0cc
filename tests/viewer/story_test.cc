// A day at the bay, driven through the real recogniser, screens, desk, store and files; only the
// window is left out. window/story_test.cc does the main part again in a real one.
#include <doctest/doctest.h>

#include <chrono>

#include "files/names.h"
#include "support/terminals.h"
#include "trade/vin.h"

namespace {

using baylore::test::bytes_of;
using baylore::test::Headless;
using baylore::test::hit_of;
using baylore::test::search_and_open;
using baylore::test::Terminals;
using baylore::viewer::Screen;
namespace fs = std::filesystem;
namespace viewer = baylore::viewer;

constexpr const char* kHeater = "tips/cooling/heater-cold-at-idle-coolant-lost-cold.md";

std::string section_item(Headless& panel, const std::string& key) {
  return panel.has("rule:" + key) ? "rule:" + key : "rule";
}

// The one file under `folder` whose bytes hold `text`; empty when there is none.
std::string file_with(const std::string& folder, std::string_view text) {
  std::error_code error;
  for (const auto& one : fs::recursive_directory_iterator(folder, error)) {
    if (one.is_regular_file() && bytes_of(one.path()).find(text) != std::string::npos)
      return one.path().string();
  }
  return {};
}

}  // namespace

TEST_CASE("search, open, scroll, tick; after a restart the ticks are there") {
  Terminals at;
  at.use_demo();
  std::string key;
  std::string check_key;
  {
    const auto panel = at.start();
    search_and_open(*panel, "hauler heater", "Heater cold at idle");
    const baylore::shop::Tip& tip = panel->state().tip->tip;
    // The first view: a caution for hot coolant, the symptom, the first check.
    REQUIRE_FALSE(panel->state().tip->cautions.empty());
    CHECK(panel->shows(panel->state().tip->cautions.front().lead));
    CHECK(panel->shows("Low tank each morning"));
    CHECK(panel->shows(tip.checks.front().name));
    CHECK(panel->textures() > 0);

    const float before = panel->ui().scroll_state("tip").offset;
    panel->drag(60, 100, 60, 40);
    CHECK(panel->ui().scroll_state("tip").offset > before + 40);
    CHECK(panel->state().screen == Screen::tip);

    key = viewer::step_key(tip.steps.at(0));
    check_key = viewer::tick_key(tip.checks.at(0));
    CHECK(panel->tap("tick:" + check_key));
    CHECK(panel->state().ticked(check_key));
    CHECK(panel->tap(section_item(*panel, "repair")));
    CHECK(panel->shows("Repair"));
    CHECK(panel->state().here == "repair");
    CHECK(panel->tap("tick:" + key));
    CHECK(panel->state().ticked(key));
    // A second tap takes it back, a third sets it again.
    CHECK(panel->tap("tick:" + key));
    CHECK_FALSE(panel->state().ticked(key));
    CHECK(panel->tap("tick:" + key));
  }
  const auto again = at.start();
  REQUIRE(again->until([&] { return again->state().tip.has_value(); }, 10));
  again->settle();
  CHECK(again->state().screen == Screen::tip);
  CHECK(again->state().ticked(key));
  CHECK(again->state().ticked(check_key));
  CHECK(again->state().current()->line == "hauler heater");
  CHECK(again->state().current()->vehicle.model == "Hauler");
}

TEST_CASE("a reading is taken on the keypad, judged, kept and there after a restart") {
  Terminals at;
  at.use_demo();
  {
    const auto panel = at.start();
    search_and_open(*panel, "hauler heater", "Heater cold at idle");
    // The primary key asks for the first open check; answers lead on to the one with a number.
    for (int i = 0; i < 5 && panel->state().taking.check != "coolant-hold-cold"; ++i) {
      REQUIRE(panel->tap("primary"));
      REQUIRE(panel->state().screen == Screen::reading);
      if (panel->state().taking.check == "coolant-hold-cold") break;
      REQUIRE(panel->tap("answer:no"));
      REQUIRE(panel->tap("primary"));
    }
    REQUIRE(panel->state().taking.check == "coolant-hold-cold");
    CHECK(panel->tap("pad:8"));
    CHECK(panel->tap("pad:2"));
    CHECK(panel->shows("low"));  // expected are 95 kPa or more
    CHECK(panel->tap("primary"));
    CHECK(panel->state().screen == Screen::tip);
    CHECK(panel->state().ticked("check:coolant-hold-cold"));
  }
  const auto again = at.start();
  REQUIRE(again->until([&] { return again->state().tip.has_value(); }, 10));
  const baylore::job::Reading* kept = again->state().current()->reading("coolant-hold-cold");
  REQUIRE(kept != nullptr);
  CHECK(kept->value == "82 kPa");
  CHECK(again->state().current()->reading("coolant-level-cold")->result == "no");
}

TEST_CASE("what was not found is written, saved and found") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("line"));
  REQUIRE(panel->tap_keys("hauler zubbing"));
  REQUIRE(panel->tap("key:Search"));
  CHECK(panel->state().answer.by_vehicle);
  CHECK(panel->shows("No tip has “zubbing”. Shown is what fits Corvane Hauler."));
  REQUIRE(panel->tap("write it"));
  REQUIRE(panel->state().screen == Screen::write);
  REQUIRE(panel->tap("field:symptom"));
  REQUIRE(panel->tap_keys("zubs at idle when wet, quiet after 5 minutes"));
  REQUIRE(panel->tap("key:Done"));
  REQUIRE(panel->tap("strip:preview"));
  CHECK(panel->state().tip->preview);
  CHECK(panel->shows("zubs at idle when wet, quiet after 5 minutes"));
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->until([&] { return panel->state().tip && !panel->state().tip->preview; }, 10));
  CHECK_FALSE(panel->state().write.active);
  const std::string id = panel->state().tip->tip.id;
  CHECK(baylore::files::is_id(id));
  // It is a plain file that says what was typed and what the line had understood.
  const std::string written = file_with(at.shop() + "/tips", "zubs at idle when wet");
  REQUIRE_FALSE(written.empty());
  const std::string bytes = bytes_of(written);
  CHECK(bytes.find("title: Zubbing") != std::string::npos);
  CHECK(bytes.find("Corvane | Hauler") != std::string::npos);
  CHECK(bytes.find("id: " + id) != std::string::npos);
  // And it is found, by words of its text too.
  REQUIRE(panel->tap("tag"));
  REQUIRE(panel->tap("clear"));
  REQUIRE(panel->tap_keys("zubs wet"));
  REQUIRE(panel->tap("key:Search"));
  REQUIRE(panel->until([&] { return !panel->state().answer.hits.empty(); }, 10));
  CHECK(panel->state().answer.hits.front().tip.id == id);
  // No draft is left.
  CHECK(file_with(at.scratch().path("bay-3-TEST01/state/drafts"), "").empty());
}

TEST_CASE("an edit keeps the earlier version and changes its own lines only") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  const std::string before = at.get(kHeater);
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string id = panel->state().tip->tip.id;
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:write_edit"));
  REQUIRE(panel->tap("field:component"));
  REQUIRE(panel->tap_keys(" and seal"));
  REQUIRE(panel->tap("key:Done"));
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->until([&] { return !panel->state().write.active; }, 10));
  panel->settle();
  const std::string after = at.get(kHeater);
  std::string expected = before;
  const std::string line = "component: coolant pump\n";
  REQUIRE(expected.find(line) != std::string::npos);
  expected.replace(expected.find(line), line.size(), "component: coolant pump and seal\n");
  CHECK(after == expected);
  const std::string kept = file_with(at.shop() + "/history/" + id, "component: coolant pump\n");
  REQUIRE_FALSE(kept.empty());
  CHECK(bytes_of(kept) == before);
  CHECK(panel->state().tip->tip.component == "coolant pump and seal");
}

TEST_CASE("a question asked at one bay is seen at another, settled there and gone at both") {
  Terminals at;
  at.use_demo();
  const auto one = at.start("bay-1-TEST01");
  const auto two = at.start("bay-2-TEST02");
  search_and_open(*one, "hauler heater", "Heater cold at idle");
  search_and_open(*two, "hauler heater", "Heater cold at idle");
  REQUIRE(one->tap("strip:more"));
  REQUIRE(one->tap("row:ask_question"));
  REQUIRE(one->tap_keys("pump bolts say 14"));
  REQUIRE(one->tap("key:Keep"));
  const auto asked = [](Headless& panel) {
    return [&panel] { return panel.state().tip && panel.state().tip->questions.size() == 1; };
  };
  const auto settled = [](Headless& panel) {
    return [&panel] { return panel.state().tip && panel.state().tip->questions.empty(); };
  };
  CHECK(one->until(asked(*one), 10));
  REQUIRE(two->until(asked(*two), 10));
  two->settle();
  CHECK(two->shows("pump bolts say 14"));
  CHECK(two->shows("bay-1, since"));
  const std::string question = two->state().tip->questions.front().id;
  REQUIRE(two->tap("strip:more"));
  REQUIRE(two->tap("row:settle:" + question));
  CHECK(two->until(settled(*two), 10));
  CHECK(one->until(settled(*one), 10));
  one->settle();
  CHECK_FALSE(one->shows("pump bolts say 14"));
  // Each bay wrote to its own file, and nothing was taken out of it.
  CHECK_FALSE(file_with(at.shop() + "/records/bay-1-TEST01", "pump bolts say 14").empty());
  CHECK_FALSE(file_with(at.shop() + "/records/bay-2-TEST02", question).empty());
}

TEST_CASE("a job is parked with its reason and resumed where it was left") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string job = panel->state().job;
  const std::string key = viewer::tick_key(panel->state().tip->tip.checks.at(0));
  REQUIRE(panel->tap("tick:" + key));
  REQUIRE(panel->tap("strip:back"));
  REQUIRE(panel->tap("strip:park"));
  REQUIRE(panel->tap("row:part ordered"));
  CHECK(panel->state().job != job);
  CHECK(panel->state().line.empty());
  CHECK_FALSE(panel->state().tip);
  CHECK(panel->shows("part ordered"));
  CHECK(panel->shows("Corvane Hauler"));
  // Another job comes between; its ticks are its own.
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  CHECK_FALSE(panel->state().ticked(key));
  REQUIRE(panel->tap("strip:back"));
  REQUIRE(panel->tap("job:" + job));
  REQUIRE(panel->until([&] { return panel->state().tip.has_value(); }, 10));
  panel->settle();
  CHECK(panel->state().job == job);
  CHECK(panel->state().screen == Screen::tip);
  CHECK(panel->state().ticked(key));
  CHECK(panel->state().line.text() == "hauler heater");
}

TEST_CASE("words typed and not yet searched through go with the job when it is left") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->type("vane brake drags");
  REQUIRE(panel->tap("strip:park"));
  REQUIRE(panel->tap("row:customer asked"));
  CHECK(panel->state().line.empty());
  CHECK(panel->shows("vane brake drags"));
  const std::string first = panel->state().jobs.front().id;
  panel->type("hauler heater");
  const std::string second = panel->state().job;
  REQUIRE(panel->tap("job:" + first));
  CHECK(panel->state().line.text() == "vane brake drags");
  CHECK(panel->state().current()->vehicle.model == "Vane");
  REQUIRE(panel->tap("job:" + second));
  CHECK(panel->state().line.text() == "hauler heater");
  REQUIRE(panel->tap("new job"));
  CHECK(panel->state().line.empty());
  CHECK(panel->shows("vane brake drags"));
  CHECK(panel->shows("hauler heater"));
}

TEST_CASE("a finished job names what is not marked tight, and leaves its bay's number free") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string job = panel->state().job;
  const int number = panel->state().current()->number;
  const baylore::shop::Tip tip = panel->state().tip->tip;
  REQUIRE(panel->tap("tick:" + viewer::step_key(tip.steps.at(0))));
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:finish_job"));
  CHECK(panel->state().screen == Screen::outcome);
  CHECK(panel->shows("Not marked tight:"));
  for (const baylore::shop::Fastener& f : tip.fasteners) CHECK(panel->shows(f.name));
  REQUIRE(panel->tap("result:fixed"));
  REQUIRE(panel->tap("primary"));
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->state().job != job);
  CHECK(panel->state().current()->number == number);
  panel->settle();
  CHECK_FALSE(file_with(at.shop() + "/jobs/bay-3-TEST01", "finished").empty());
}

TEST_CASE("a draft outlives a killed program: typing older than two seconds is there") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:write"));
  REQUIRE(panel->tap("field:symptom"));
  panel->type("squeals when the belt is wet");
  panel->pass(2);
  panel->settle();
  // Typing goes on to the very end without a pause, which must not put the keeping off for ever.
  for (int i = 0; i < 30; ++i) {
    panel->type("x");
    panel->pass(0.1);
  }
  panel->settle();
  fs::create_directories(at.scratch().path("killed"));
  // Killed here: what a new program finds is what lies on the disk now, nothing is flushed first.
  fs::copy(at.scratch().path("bay-3-TEST01/state"), at.scratch().path("killed/state"),
           fs::copy_options::recursive);
  baylore::test::HeadlessOptions o = at.options();
  o.state_folder = at.scratch().path("killed/state");
  Headless next(o);
  REQUIRE(next.ready());
  REQUIRE(next.state().write.active);
  const std::string text = next.state().write.document.bytes();
  CHECK(text.find("squeals when the belt is wet") != std::string::npos);
  // Of the last three seconds' letters at most two seconds' are missing.
  CHECK(std::count(text.begin(), text.end(), 'x') >= 10);
  CHECK(next.shows("A draft is waiting"));
}

TEST_CASE("a VIN typed or scanned on the line is in no file") {
  Terminals at;
  at.use_demo();
  {
    const auto panel = at.start();
    // Two with right check digits (ISO 3779 / 49 CFR 565), one of them in small letters.
    panel->type("1m8gdm9axkp042788 heater\n");  // Enter opens the best tip
    REQUIRE(panel->until([&] { return panel->state().tip.has_value(); }, 10));
    REQUIRE(panel->tap("tag"));
    REQUIRE(panel->tap("clear"));
    panel->type("11111111111111111 brake drags");
    CHECK(panel->tap("token:vin"));
    CHECK(panel->tap("key:Search"));
    REQUIRE(panel->tap("strip:park"));
    REQUIRE(panel->tap("row:cooling down"));
    panel->type("11111111111111111 chirp");
    panel->app().apply({viewer::Do::write_new, {}});
    panel->pass(2);
    panel->settle();
    panel->app().apply({viewer::Do::write_field, "symptom"});
    panel->type("chirps");
    panel->pass(2);
    panel->settle();
  }
  for (const auto& one : fs::recursive_directory_iterator(at.scratch().folder())) {
    if (!one.is_regular_file()) continue;
    std::string bytes = bytes_of(one.path());
    std::transform(bytes.begin(), bytes.end(), bytes.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    CAPTURE(one.path().string());
    CHECK(bytes.find("1m8gdm9axkp042788") == std::string::npos);
    CHECK(bytes.find("11111111111111111") == std::string::npos);
  }
  // What stood beside it was kept.
  CHECK_FALSE(file_with(at.shop() + "/jobs/bay-3-TEST01", "brake drags").empty());
}

TEST_CASE("a vehicle chosen for a VIN is offered for the next one like it") {
  Terminals at;
  at.use_demo();
  // Two cars of one kind: only the serial and the check digit differ (49 CFR 565.15).
  const auto vin = [](std::string text) {
    const auto digit = baylore::trade::check_digit(text);
    REQUIRE(digit);
    text[8] = digit->computed;
    return text;
  };
  const std::string first = vin("9ZZAB3CD0GA000101");
  const std::string second = vin("9ZZAB3CD0GA004242");
  {
    const auto panel = at.start();
    panel->type(first);
    panel->settle();
    CHECK(panel->shows("Which car is it?"));
    REQUIRE(panel->tap("pick vehicle"));
    for (const char* row :
         {"row:make:Corvane", "row:model:Corvane|Hauler", "row:year:Corvane|Hauler|2016",
          "row:engine:Corvane|Hauler|2016|3.6 V6"})
      REQUIRE(panel->tap(row));
    CHECK(panel->state().current()->vehicle.text() == "Corvane Hauler 2016, 3.6 V6");
    panel->settle();
    CHECK_FALSE(panel->has("pick vehicle"));
  }
  const auto again = at.start();
  again->app().apply({viewer::Do::new_job, {}});
  again->type(second);
  again->settle();
  CHECK(again->shows("Corvane Hauler 2016, 3.6 V6"));
  REQUIRE(again->tap("guess:0"));
  again->settle();
  CHECK(again->state().current()->vehicle.text() == "Corvane Hauler 2016, 3.6 V6");
  CHECK(again->state().line.text().empty());
  for (const std::string& serial : {first.substr(11), second.substr(11)}) {
    CAPTURE(serial);
    CHECK(file_with(at.scratch().path("bay-3-TEST01/state"), serial).empty());
    CHECK(file_with(at.shop() + "/jobs", serial).empty());
  }
}

TEST_CASE("what the check finds stands on the tip and in Write while typing") {
  Terminals at;
  at.use_demo();
  // M8 of class 8.8 is tightened with some 25 N·m (common practice; outside/trade_torque_test).
  at.put("tips/cooling/thermostat-cover.md",
         "---\nid: 01JTESTFOUND\ntitle: Thermostat cover weeps\nsystem: cooling\n"
         "component: thermostat\n---\n\n## Symptom\nDrips on the pulley.\n\n"
         "## Fasteners\n### Cover bolts\n- thread: M8x1.25\n- class: 8.8\n- torque: 95 N·m\n\n"
         "## Background\nSee [the twin](nowhere.md).\n");
  auto options = at.options();
  options.height = 1280;
  Headless tall(options);
  Headless* panel = &tall;
  REQUIRE(panel->ready());
  search_and_open(*panel, "thermostat cover weeps", "Thermostat cover weeps");
  // The dead link is known once the whole shop was compared.
  REQUIRE(panel->until(
      [&] { return panel->state().tip && panel->state().tip->findings.size() >= 2; }, 20));
  panel->settle();
  CHECK(panel->state().tip->findings.front().rule == "torque");
  CHECK(panel->state().tip->findings.back().rule == "dead-link");
  CHECK(panel->shows("Check this tip: 2 things do not add up"));
  REQUIRE(panel->tap("found"));
  panel->frames(2);
  CHECK(panel->shows("The check says"));
  CHECK(panel->shows("line 15:"));
  REQUIRE(panel->tap(section_item(*panel, "repair")));
  CHECK(panel->shows(panel->state().tip->findings.front().message));

  // In Write the field says so, and says no more once it is mended.
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:write_edit"));
  panel->frames(2);
  CHECK(panel->shows("1 to look at"));
  REQUIRE(panel->tap("first finding"));
  CHECK(panel->state().write.field == "fasteners");
  CHECK(panel->shows(panel->state().tip->findings.front().message));
  for (int i = 0; i < 5; ++i) panel->type("\b");
  panel->type("5 N·m");
  panel->frames(2);
  CHECK(panel->state().write.buffer.text().ends_with("- torque: 95 N·m"));
  CHECK(panel->shows(panel->state().tip->findings.front().message));
  for (int i = 0; i < 6; ++i) panel->type("\b");
  panel->type("25 N·m");
  panel->frames(2);
  CHECK(panel->state().write.buffer.text().ends_with("- torque: 25 N·m"));
  CHECK_FALSE(panel->shows(panel->state().tip->findings.front().message));
}

TEST_CASE("a formula is worked out on the keypad") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:work_out"));
  REQUIRE(panel->tap("row:formula:drop"));
  CHECK(panel->state().screen == Screen::work_out);
  // 0.2 V at 150 A is 1.33 mohm (Ohm's law).
  for (const char* key : {"pad:0", "pad:.", "pad:2"}) REQUIRE(panel->tap(key));
  CHECK(panel->shows("Type the numbers above."));
  REQUIRE(panel->tap("work field:1"));
  for (const char* key : {"pad:1", "pad:5", "pad:0"}) REQUIRE(panel->tap(key));
  panel->frames(2);
  CHECK(panel->shows("0.00133 Ω"));
  REQUIRE(panel->tap("strip:erase"));
  REQUIRE(panel->tap("strip:back"));
  CHECK(panel->state().screen == Screen::job);
  // Trims below zero, by a hardware keyboard.
  panel->app().apply({viewer::Do::open_formula, "trim-pattern"});
  panel->settle();
  for (const char* number : {"24", "6", "-3", "2"}) {
    panel->type(number);
    if (panel->state().working.field < 3)
      panel->app().apply({viewer::Do::work_field, {}, panel->state().working.field + 1});
  }
  panel->frames(2);
  CHECK(panel->state().working.typed[2] == "-3");
  CHECK(panel->shows("bank 1 only"));
}

TEST_CASE("a hand laid on the panel does nothing; a drag on a row scrolls and opens nothing") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("line"));
  REQUIRE(panel->tap_keys("cold"));
  REQUIRE(panel->tap("key:Search"));
  REQUIRE(panel->state().answer.hits.size() > 5);
  const viewer::Item row = *panel->ui().item("hit:" + panel->state().answer.hits[2].tip.id);
  const float x = row.visible.x + row.visible.w / 2;
  const float y = row.visible.y + row.visible.h / 2;
  panel->down(x, y);
  panel->pass(1.2);
  panel->up();
  panel->settle();
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->state().opening.empty());

  panel->drag(x, y, x, y - 30);
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->ui().scroll_state("results").offset == doctest::Approx(25).epsilon(0.05));

  // A throw runs on after the finger is up, and a finger on the panel stops it without opening.
  panel->ui().scroll_state("results").offset = 0;
  panel->down(x, y);
  for (int i = 1; i <= 4; ++i) panel->move(x, y - 6.0F * static_cast<float>(i));
  panel->up();
  const float thrown = panel->ui().scroll_state("results").offset;
  panel->frames(6);
  CHECK(panel->ui().scroll_state("results").offset > thrown);
  panel->down(x, y);
  const float stopped = panel->ui().scroll_state("results").offset;
  panel->frames(6);
  CHECK(panel->ui().scroll_state("results").offset == stopped);
  panel->pass(1.2);
  panel->up();
  CHECK(panel->state().screen == Screen::job);
}

TEST_CASE("a tap on a row while a hardware keyboard types opens that row") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->type("cold");
  REQUIRE(panel->state().answer.hits.size() > 3);
  CHECK_FALSE(panel->has("key:q"));  // the keyboard on the panel stays away
  const std::string third = panel->state().answer.hits[2].tip.id;
  REQUIRE(panel->tap("hit:" + third));
  REQUIRE(panel->until([&] { return panel->state().tip.has_value(); }, 10));
  CHECK(panel->state().tip->row.id == third);
}

TEST_CASE("results do not jump under a finger that is already down") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->type("cold");
  const std::string first = panel->state().answer.hits.front().tip.id;
  panel->down(150, 70);
  panel->app().apply({viewer::Do::type, " brake"});
  panel->until([&] { return false; }, 0.3);
  CHECK(panel->state().answer.hits.front().tip.id == first);
  panel->move(150, 75);
  panel->up();
  CHECK(panel->until([&] { return panel->state().answered; }, 5));
}

TEST_CASE("the Enter that ends a scan opens what was scanned, never an older line's tip") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->type("brake drags");
  const std::string older = panel->state().answer.hits.front().tip.id;
  panel->app().apply({viewer::Do::clear_line, {}});
  panel->settle();
  // All in one go: no answer comes between the letters and Enter.
  panel->app().apply({viewer::Do::type, "hauler heater"});
  panel->app().apply({viewer::Do::open_best, {}});
  CHECK(panel->state().screen == Screen::job);
  REQUIRE(panel->until([&] { return panel->state().tip.has_value(); }, 10));
  CHECK(panel->state().tip->tip.title.starts_with("Heater cold at idle"));
  CHECK(panel->state().tip->row.id != older);
}

TEST_CASE("what is typed or scanned on any screen goes to the line") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  panel->type("P0562");
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->state().line.text() == "P0562");
  REQUIRE(panel->state().answer.understood.codes.size() == 1);
  CHECK(panel->state().answer.understood.codes.front() == "P0562");
  // Tab walks the targets, Enter does what a tap would.
  panel->type("\t");
  CHECK_FALSE(panel->ui().focus().empty());
  while (panel->ui().focus() != "strip:more") {
    const std::string before = panel->ui().focus();
    panel->type("\t");
    REQUIRE(panel->ui().focus() != before);
  }
  panel->type("\n");
  CHECK(panel->state().screen == Screen::menu);
  panel->type("\x1b");
  CHECK(panel->state().screen == Screen::job);
}
