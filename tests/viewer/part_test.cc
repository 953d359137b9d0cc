// Part: opened by a number or a barcode, rivals and evidence, acceptance checks, the order list,
// what is recorded and what the records then say. Driven by taps and keys, with the real desk,
// store and files.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>

#include "shop/part_record.h"
#include "shop/record_book.h"
#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::Terminals;
using baylore::viewer::Do;
using baylore::viewer::PartView;
using baylore::viewer::RivalRow;
using baylore::viewer::Screen;
namespace shop = baylore::shop;
namespace quality = baylore::quality;
namespace viewer = baylore::viewer;

// The way a scanner and a keyboard do: characters and Enter, whatever screen is shown.
void scan(Headless& panel, const std::string& text) {
  panel.type(text + "\n");
  panel.settle();
}

// To the empty line, from wherever one is.
void to_line(Headless& panel) {
  if (panel.state().screen != Screen::job) REQUIRE(panel.tap("tag"));
  if (!panel.state().line.empty()) REQUIRE(panel.tap("clear"));
  panel.settle();
}

bool on_part(Headless& panel, const std::string& name) {
  return panel.until(
      [&] {
        return panel.state().screen == Screen::part && panel.state().part &&
               panel.state().part->number().name == name;
      },
      10);
}

bool has_row(Headless& panel, const std::string& label) {
  const auto& rows = panel.state().menu.rows;
  return std::any_of(rows.begin(), rows.end(),
                     [&](const viewer::MenuRow& row) { return row.label == label; });
}

std::string value_of(Headless& panel, const std::string& label) {
  for (const viewer::MenuRow& row : panel.state().menu.rows) {
    if (row.label == label) return row.value;
  }
  return "no such row";
}

}  // namespace

TEST_CASE("a number or a barcode opens its part from any screen") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->settle();
  for (const char* written : {"88-214", "88 214", "halden 88214", "9520040149343", "88-2I4"}) {
    CAPTURE(written);
    scan(*panel, written);
    CHECK(on_part(*panel, "Halden 88-214"));
    CHECK(panel->shows("Halden"));
    to_line(*panel);
  }
  // On a tip a scan goes to the line all the same.
  baylore::test::search_and_open(*panel, "hauler heater", "Heater cold at idle");
  scan(*panel, "WP-3361");
  CHECK(on_part(*panel, "Brevik WP-3361"));
  // The complaint is still the job's.
  CHECK(panel->state().current()->line == "hauler heater");
  CHECK(panel->state().line.text() == "hauler heater");
  // An older number leads to what took its place, and says so.
  to_line(*panel);
  scan(*panel, "3C-61279");
  CHECK(on_part(*panel, "Corvane 3C-61280"));
  CHECK(panel->shows("3C-61279 is superseded by this one"));
  // A barcode that no part file has is said to be one: 9520040149350 carries its check digit by the
  // GS1 General Specifications, 7.9.
  to_line(*panel);
  scan(*panel, "9520040149350");
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->shows("A barcode that no part file has."));
  // Another make's number is nobody's.
  to_line(*panel);
  scan(*panel, "brevik 88-214");
  CHECK(panel->state().screen != Screen::part);
}

TEST_CASE("one number of two makes is asked about") {
  Terminals at;
  at.use_demo();
  at.put("parts/cooling/other-pump.md",
         "---\nid: other-pump\ntitle: Washer pump\ncomponent: washer pump\n---\n\n## Numbers\n"
         "### Quillon 88-214\n- grade: aftermarket\n");
  const auto panel = at.start();
  panel->settle();
  scan(*panel, "88-214");
  // Nothing is opened by a guess; the tips that name it are there, and so is the question.
  CHECK(panel->state().screen != Screen::part);
  panel->app().apply({Do::open_part, "88-214"});
  REQUIRE(panel->until([&] { return panel->state().screen == Screen::menu; }, 10));
  CHECK(has_row(*panel, "Halden 88-214"));
  CHECK(has_row(*panel, "Quillon 88-214"));
  REQUIRE(panel->tap("row:open part:Quillon 88-214"));
  CHECK(on_part(*panel, "Quillon 88-214"));
  CHECK(panel->shows("none fitted yet"));
}

TEST_CASE("rivals stand on one axis with words, and lead to the jobs behind them") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  scan(*panel, "WP-3361");
  REQUIRE(on_part(*panel, "Brevik WP-3361"));
  CHECK(panel->shows("Came back in 12 months"));
  CHECK(panel->shows("bar: 9 in 10 sure"));
  CHECK(panel->state().part->rows.size() == panel->state().part->family.numbers.size());
  CHECK(panel->state().part->rows.front().name == "Brevik WP-3361");
  const quality::Tally all = panel->state().part->rows.front().rival.all;
  REQUIRE(all.failed > 3);
  REQUIRE(panel->tap("behind:0"));
  REQUIRE(panel->until([&] { return panel->state().screen == Screen::menu; }, 10));
  const auto& rows = panel->state().menu.rows;
  const auto came_back = std::count_if(rows.begin(), rows.end(), [](const viewer::MenuRow& row) {
    return row.value.starts_with("came back after");
  });
  CHECK(came_back == all.failed);
  REQUIRE(panel->tap("strip:back"));
  // Another row is another number.
  REQUIRE(panel->tap("rival:1"));
  CHECK(on_part(*panel, panel->state().part->rows[0].name));
  CHECK(panel->state().part->number().name != "Brevik WP-3361");

  // The bad lot stands out among its number's lots, and the number does not carry its word.
  scan(*panel, "WP-3361");
  REQUIRE(on_part(*panel, "Brevik WP-3361"));
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:by:3"));
  REQUIRE(panel->until([&] { return panel->state().part->asked.by == quality::By::lot; }, 10));
  panel->settle();
  const auto& lots = panel->state().part->rows;
  const auto worse = std::count_if(lots.begin(), lots.end(), [](const RivalRow& row) {
    return row.rival.judged.verdict == quality::Verdict::clearly_worse;
  });
  CHECK(worse == 1);
  CHECK(panel->shows("clearly worse"));
  const auto bad = std::find_if(lots.begin(), lots.end(), [](const RivalRow& row) {
    return row.rival.judged.verdict == quality::Verdict::clearly_worse;
  });
  const int bad_failed = bad->rival.all.failed;
  REQUIRE(panel->tap("behind:" + std::to_string(bad - lots.begin())));
  REQUIRE(panel->until([&] { return panel->state().screen == Screen::menu; }, 10));
  const auto& of_lot = panel->state().menu.rows;
  CHECK(std::count_if(of_lot.begin(), of_lot.end(), [](const viewer::MenuRow& row) {
          return row.value.starts_with("came back after");
        }) == bad_failed);
  REQUIRE(panel->tap("strip:back"));

  // Curves answer to a tap with the jobs behind the nearest line.
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:view:1"));
  panel->settle();
  CHECK(panel->shows("% still in service, by months"));
  panel->tap_at(70, 70);
  REQUIRE(panel->until([&] { return panel->state().screen == Screen::menu; }, 10));
  CHECK(panel->state().menu.what == "part records");
}

TEST_CASE("a bad part in the hand is recorded against its number") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  scan(*panel, "88-214");
  REQUIRE(on_part(*panel, "Halden 88-214"));
  const int dead_before = panel->state().part->rows.front().rival.all.dead_on_arrival;
  const int fitted_before = panel->state().part->rows.front().rival.all.fitted;
  REQUIRE(panel->tap("accept:accept-pump-turn"));
  CHECK(panel->shows("1 of 6"));
  // Tapped again it is open again.
  REQUIRE(panel->tap("accept:accept-pump-turn"));
  CHECK(panel->shows("0 of 6"));
  REQUIRE(panel->tap("accept:accept-pump-turn"));
  REQUIRE(panel->tap("accept:accept-pump-play"));
  REQUIRE(panel->state().screen == Screen::reading);
  for (const char* key : {"pad:0", "pad:.", "pad:2"}) REQUIRE(panel->tap(key));
  CHECK(panel->shows("high"));
  REQUIRE(panel->tap("primary"));
  panel->settle();
  CHECK(panel->state().screen == Screen::part);
  CHECK(panel->shows("Not as expected: Play at the pulley flange"));
  CHECK(panel->shows("2 of 6"));

  // The job keeps what was seen of this number, and the next number starts open.
  REQUIRE(panel->tap("notice"));
  REQUIRE(panel->tap("rival:1"));
  panel->settle();
  CHECK(panel->shows("0 of 6"));
  panel->app().apply({Do::open_part, "Halden 88-214"});
  REQUIRE(on_part(*panel, "Halden 88-214"));
  panel->settle();
  CHECK(panel->shows("2 of 6"));

  REQUIRE(panel->tap("primary"));  // Record
  CHECK(value_of(*panel, "Bad in the box, not fitted") ==
        "Play at the pulley flange: 0.2 mm, expected <= 0.05 mm");
  REQUIRE(panel->tap("row:lot"));
  panel->type("2433\n");
  panel->settle();
  REQUIRE(panel->tap("row:dead"));
  REQUIRE(panel->until(
      [&] {
        return panel->state().part &&
               panel->state().part->rows.front().rival.all.dead_on_arrival == dead_before + 1;
      },
      10));
  panel->settle();
  CHECK(panel->state().part->rows.front().rival.all.fitted == fitted_before);
  CHECK(panel->shows("0 of 6"));  // the next box
  shop::RecordBook book;
  REQUIRE(book.update(baylore::files::real_disk(), at.shop()));
  const auto dead = shop::dead_on_arrival(book.records());
  REQUIRE_FALSE(dead.empty());
  CHECK(dead.back().part == "Halden 88-214 lot 2433");
  CHECK(dead.back().text == "Play at the pulley flange: 0.2 mm, expected <= 0.05 mm");
  CHECK(dead.back().job == panel->state().job);
}

TEST_CASE("a bad part that could not be recorded is as it was") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  scan(*panel, "88-214");
  REQUIRE(on_part(*panel, "Halden 88-214"));
  REQUIRE(panel->tap("accept:accept-pump-play"));
  for (const char* key : {"pad:0", "pad:.", "pad:2"}) REQUIRE(panel->tap(key));
  REQUIRE(panel->tap("primary"));
  panel->settle();
  std::filesystem::rename(at.shop(), at.scratch().path("away"));
  REQUIRE(panel->tap("primary"));  // Record
  REQUIRE(panel->tap("row:dead"));
  REQUIRE(panel->until([&] { return panel->shows("Not recorded"); }, 10));
  CHECK(panel->state().screen == Screen::part);
  CHECK(panel->shows("1 of 6"));
  std::filesystem::rename(at.scratch().path("away"), at.shop());
  panel->until([&] { return !panel->state().shop_gone; }, 10);
  panel->settle();
  REQUIRE(panel->tap("primary"));
  CHECK(value_of(*panel, "Bad in the box, not fitted") ==
        "Play at the pulley flange: 0.2 mm, expected <= 0.05 mm");
}

TEST_CASE("a copper winding is judged for its temperature before the part goes in") {
  // R = R20 (1 + 0.00393 (t - 20)), temperature coefficient of annealed copper at 20 °C:
  // IEC 60028:1925. 0.5 ohm at 20 °C is 0.618 ohm at 80 °C: over 0.6 as written, in range as
  // corrected.
  Terminals at;
  at.use_demo();
  at.put("parts/fuel/shutoff.md",
         "---\nid: shutoff\ntitle: Shut-off solenoid\ncomponent: shut-off solenoid\n---\n\n"
         "## Numbers\n### Quillon SV-77\n- grade: aftermarket\n\n## Acceptance checks\n"
         "### Winding\n- check: accept-winding\n- expect: 0.4 .. 0.6 ohm\n"
         "- correct: copper 20 °C\n");
  const auto panel = at.start();
  scan(*panel, "SV-77");
  REQUIRE(on_part(*panel, "Quillon SV-77"));
  REQUIRE(panel->tap("accept:accept-winding"));
  panel->type("0.618");
  CHECK(panel->shows("high"));
  panel->app().apply({Do::reading_second, {}});
  panel->type("80");
  panel->settle();
  panel->app().apply({Do::reading_second, {}});
  panel->frames(2);
  CHECK(panel->shows("in range"));
  REQUIRE(panel->tap("primary"));
  panel->settle();
  CHECK(panel->shows("0.618 Ω, in range"));
}

TEST_CASE("the order list takes what goes with the part, and the outcome takes the part") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  baylore::test::search_and_open(*panel, "hauler heater", "Heater cold at idle");
  REQUIRE(panel->until([&] { return !panel->state().tip->evidence.empty(); }, 10));
  panel->app().apply({Do::go_section, "parts"});
  panel->settle();
  REQUIRE(panel->tap("part:Halden 88-214"));
  REQUIRE(on_part(*panel, "Halden 88-214"));
  // The rule leads back to the tip.
  REQUIRE(panel->tap("rule:repair"));
  CHECK(panel->state().screen == Screen::tip);
  panel->settle();
  panel->app().apply({Do::open_part, "Halden 88-214"});
  REQUIRE(on_part(*panel, "Halden 88-214"));
  REQUIRE(panel->tap("strip:order"));
  CHECK(panel->state().screen == Screen::order);
  CHECK(panel->shows("Crank pulley bolt, Corvane 3C-61290"));
  CHECK(panel->shows("Pump gasket, Corvane 3C-61284"));
  CHECK(panel->shows("86.00"));
  CHECK(panel->shows("0 of 4 at hand"));
  REQUIRE(panel->tap("have:Halden 88-214|Pump gasket, Corvane 3C-61284"));
  CHECK(panel->shows("1 of 4 at hand"));
  const std::string job = panel->state().job;
  REQUIRE(panel->tap("primary"));  // Park: ordered
  panel->settle();
  CHECK(panel->state().screen == Screen::job);

  // It is there when the job is taken up again, after the terminal was off.
  const auto again = at.start();
  again->app().apply({Do::open_job, job});
  again->settle();
  CHECK(again->state().current()->to_order == std::vector<std::string>{"Halden 88-214"});
  again->app().apply({Do::open_order, {}});
  again->settle();
  CHECK(again->shows("1 of 4 at hand"));
  again->app().apply({Do::open_outcome, {}});
  CHECK(again->state().coming.part == "Halden 88-214");
  REQUIRE(again->tap("result:fixed"));
  const int before = [&] {
    again->app().apply({Do::open_part, "88-214"});
    REQUIRE(on_part(*again, "Halden 88-214"));
    again->settle();
    const int fitted = again->state().part->rows.front().rival.all.fitted;
    REQUIRE(again->tap("strip:back"));
    return fitted;
  }();
  REQUIRE(again->tap("primary"));
  again->settle();
  again->app().apply({Do::open_part, "88-214"});
  REQUIRE(on_part(*again, "Halden 88-214"));
  CHECK(again->until(
      [&] { return again->state().part->rows.front().rival.all.fitted == before + 1; }, 10));
}

TEST_CASE("a comeback of a part gives its claim sheet") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");
  const auto panel = at.start();
  REQUIRE(panel->tap("line"));
  panel->type("hauler 2016 heater");
  panel->settle();
  scan(*panel, "");
  scan(*panel, "88-214");
  panel->app().apply({Do::open_part, "88-214"});
  REQUIRE(on_part(*panel, "Halden 88-214"));
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->tap("row:part fitted"));
  CHECK(panel->state().coming.part == "Halden 88-214");
  REQUIRE(panel->tap("result:fixed"));
  for (const char* digit : {"8", "4", "2", "0", "0"})
    REQUIRE(panel->tap(std::string("pad:") + digit));
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->until([&] { return panel->state().finished.size() == 1; }, 10));
  panel->settle();
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:finished"));
  REQUIRE(panel->tap("row:finished:" + panel->state().finished.front().outcome.id));
  REQUIRE(panel->tap("row:came back odometer"));
  panel->type("60000 mi\n");
  REQUIRE(panel->tap("row:came back readings"));
  panel->type("Play at the flange 0.4 mm\n");
  panel->settle();
  REQUIRE(panel->tap("row:reason:part failed"));
  panel->settle();
  CHECK(panel->state().menu.what == "claim");
  CHECK(value_of(*panel, "Part") == "Halden 88-214");
  CHECK(value_of(*panel, "Warranty") == "12 months; 20000 km");
  CHECK(value_of(*panel, "Odometer when fitted") == "84200 km");
  CHECK(value_of(*panel, "Odometer when failed") == "60000 mi");
  // 84,200 km are 52,319.45 mi (international mile, 1.609344 km exactly: NIST SP 811, B.8).
  CHECK(value_of(*panel, "Distance") == "7681 mi");
  CHECK(value_of(*panel, "Reason") == "part failed");
  CHECK(value_of(*panel, "Readings") == "Play at the flange 0.4 mm");
  // It can be had again from the list.
  REQUIRE(panel->until([&] { return !panel->state().finished.front().comebacks.empty(); }, 10));
  REQUIRE(panel->tap("strip:back"));
  panel->app().apply({Do::menu, "finished"});
  panel->frames(2);
  REQUIRE(panel->tap("row:finished:" + panel->state().finished.front().outcome.id));
  REQUIRE(panel->tap("row:claim"));
  CHECK(value_of(*panel, "Odometer when failed") == "60000 mi");
}

TEST_CASE("a note that the records contradict is marked, a safety-critical part has no cost") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  // Planted: the note says avoid, and none of 44 came back (content/parts/belt-tensioner.md).
  scan(*panel, "T-831");
  REQUIRE(on_part(*panel, "Vantor T-831"));
  CHECK(panel->shows("note says avoid; 0 of 44 came back: for the lead to settle"));
  panel->app().apply({Do::part_view, {}, static_cast<int>(PartView::cost)});
  panel->settle();
  CHECK(panel->shows("Price, and comebacks as often as they come"));
  for (const RivalRow& row : panel->state().part->rows) CHECK(row.choice.has_value());
  to_line(*panel);
  scan(*panel, "3C-44090");
  REQUIRE(on_part(*panel, "Corvane 3C-44090"));
  CHECK(panel->shows("Safety-critical: choose on grade and the maker's word."));
  panel->app().apply({Do::part_view, {}, static_cast<int>(PartView::cost)});
  panel->settle();
  CHECK(panel->shows("No cost is worked out"));
  CHECK(panel->shows("Came back in 12 months"));
  for (const RivalRow& row : panel->state().part->rows) CHECK_FALSE(row.choice.has_value());
}

TEST_CASE("a tip's parts carry their evidence") {
  Terminals at;
  at.use_demo();
  at.put("tips/engine/belt-chirps.md",
         "---\nid: 01JPARTNOTES\ntitle: Belt chirps at the tensioner\nsystem: engine "
         "mechanical\n---\n\n"
         "## Symptom\nChirps when cold.\n\n## Parts\n### Vantor T-831\nAvoid this one.\n"
         "### Halden BT-77\nFits at once.\n### Nobody X-1\nFrom the market.\n");
  const auto panel = at.start();
  panel->app().apply({Do::open_tip, "01JPARTNOTES"});
  REQUIRE(panel->until(
      [&] { return panel->state().tip && panel->state().tip->evidence.size() == 3; }, 10));
  panel->app().apply({Do::go_section, "parts"});
  panel->settle();
  const auto& evidence = panel->state().tip->evidence;
  CHECK(evidence[0].listed);
  CHECK(evidence[0].against == "note says avoid; 0 of 44 came back");
  CHECK(panel->shows("note says avoid; 0 of 44 came back: for the lead to settle"));
  CHECK(evidence[1].listed);
  CHECK(evidence[1].against.empty());
  CHECK_FALSE(evidence[2].listed);
  CHECK(panel->has("part:Halden BT-77"));
  CHECK_FALSE(panel->has("part:Nobody X-1"));
  // And back: the part names the tip.
  REQUIRE(panel->tap("part:Vantor T-831"));
  REQUIRE(on_part(*panel, "Vantor T-831"));
  const auto& tips = panel->state().part->tips;
  CHECK(std::any_of(tips.begin(), tips.end(),
                    [](const auto& tip) { return tip.id == "01JPARTNOTES"; }));
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:tip:01JPARTNOTES"));
  CHECK(panel->state().screen == Screen::tip);
}

TEST_CASE("a scan on a keypad opens the part and leaves the keypad as it was") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->settle();
  panel->app().apply({Do::open_outcome, {}});
  panel->app().apply({Do::outcome_field, {}, 0});
  panel->settle();
  // A hand: a key every tenth of a second. It is the odometer's.
  for (const char digit : std::string("842")) {
    panel->type(std::string(1, digit));
    panel->pass(0.2);
  }
  REQUIRE(panel->state().coming.typed[0] == "842");
  panel->pass(0.5);
  scan(*panel, "9520040149343");
  CHECK(on_part(*panel, "Halden 88-214"));
  CHECK(panel->state().coming.typed[0] == "842");
  // Back leads to the outcome again.
  REQUIRE(panel->tap("strip:back"));
  panel->settle();
  REQUIRE(panel->tap("strip:back"));
  panel->settle();
  CHECK(panel->state().screen == Screen::outcome);
}
