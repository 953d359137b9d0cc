// From complaint to outcome with the guide: what to check next, the ledger, the record, the
// comeback. Driven by taps on the panel, with the real desk, store and files.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>

#include "shop/record_book.h"
#include "support/terminals.h"

namespace {

using baylore::test::bytes_of;
using baylore::test::Headless;
using baylore::test::Terminals;
using baylore::viewer::Screen;
namespace viewer = baylore::viewer;
namespace diagnosis = baylore::diagnosis;

// Taps counted the way a first-time user makes them; keypad and keyboard entries apart.
struct Counted {
  Headless& panel;
  int taps = 0;
  void tap(const std::string& item) {
    CAPTURE(item);
    REQUIRE(panel.tap(item));
    panel.settle();
    ++taps;
  }
};

double sum(const diagnosis::Outlook& outlook) {
  double all = 0;
  for (const diagnosis::Standing& standing : outlook.causes) all += standing.weight;
  return all;
}

}  // namespace

TEST_CASE("three checks from complaint to outcome in twelve taps") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");  // the first record is this one
  const auto panel = at.start();
  Counted by{*panel};
  by.tap("line");
  panel->type("no crank");
  by.tap("primary");  // Next check
  REQUIRE(panel->until([&] { return panel->state().guide.has_value(); }, 20));
  panel->settle();
  CHECK(panel->state().screen == Screen::next);
  CHECK(panel->state().guide->a_case->causes.size() >= 4);
  int checks = 0;
  while (checks < 3 && panel->state().guide->outlook.next.kind == diagnosis::Next::Kind::check) {
    const std::string check = panel->state().guide->outlook.next.check;
    CHECK_FALSE(panel->state().guide->outlook.next.why.empty());
    CHECK(sum(panel->state().guide->outlook) == doctest::Approx(1));
    if (panel->has("answer:no")) {
      by.tap("answer:no");
    } else {
      by.tap("primary");
      REQUIRE(panel->until([&] { return panel->state().screen == Screen::reading; }, 10));
      panel->settle();
      for (const char* digit : {"pad:9"}) REQUIRE(panel->tap(digit));
      by.tap("primary");  // Keep
    }
    panel->settle();
    CHECK(panel->state().screen == Screen::next);
    REQUIRE(panel->state().current()->reading(check) != nullptr);
    // Answered once, not asked again.
    CHECK(panel->state().guide->outlook.next.check != check);
    ++checks;
  }
  CHECK(checks >= 1);
  by.tap("strip:outcome");
  by.tap("result:fixed");
  by.tap("primary");  // Record
  panel->settle();
  MESSAGE(checks << " checks, " << by.taps << " taps");
  CHECK(by.taps <= 12);
  CHECK(panel->state().screen == Screen::job);
  CHECK(panel->shows("Recorded: fixed"));
  // The record is on the disk, and More lists the job.
  REQUIRE(panel->until([&] { return panel->state().finished.size() == 1; }, 10));
  baylore::shop::RecordBook book;
  REQUIRE(book.update(baylore::files::real_disk(), at.shop()));
  REQUIRE(book.records().size() == 1);
  const auto outcome = baylore::shop::outcome_of(book.records().front());
  REQUIRE(outcome);
  CHECK(outcome->result == baylore::shop::Result::fixed);
}

TEST_CASE("answers stay through a restart; put off, taken back, missing tools") {
  Terminals at;
  at.use_demo();
  std::string first;
  {
    const auto panel = at.start();
    REQUIRE(panel->tap("line"));
    panel->type("overheats");
    REQUIRE(panel->tap("primary"));
    REQUIRE(panel->until([&] { return panel->state().guide.has_value(); }, 20));
    panel->settle();
    first = panel->state().guide->outlook.next.check;
    REQUIRE_FALSE(first.empty());
    REQUIRE(panel->tap("strip:skip"));
    panel->settle();
    CHECK(panel->state().guide->outlook.next.check != first);
    REQUIRE(panel->tap("strip:other"));
    const auto& rows = panel->state().menu.rows;
    CHECK(std::any_of(rows.begin(), rows.end(), [&](const viewer::MenuRow& row) {
      return row.id == "check:" + first && row.value == "put off";
    }));
    REQUIRE(panel->tap("row:unskip"));
    panel->settle();
    CHECK(panel->state().guide->outlook.next.check == first);
    panel->app().apply({viewer::Do::answer_check, first, 0});
    panel->settle();
    CHECK(panel->state().guide->outlook.next.check != first);
  }
  const auto again = at.start();
  REQUIRE(again->state().current() != nullptr);
  CHECK(again->state().current()->line == "overheats");
  REQUIRE(again->state().current()->reading(first) != nullptr);
  again->app().apply({viewer::Do::open_next, {}});
  REQUIRE(again->until([&] { return again->state().guide.has_value(); }, 20));
  again->settle();
  CHECK(again->state().guide->outlook.next.check != first);
  // The ledger of the heaviest cause names the answer.
  const std::size_t top = again->state().guide->outlook.causes.front().cause;
  REQUIRE(again->tap("cause:" + std::to_string(top)));
  CHECK(again->state().screen == Screen::ledger);
  CHECK(again->shows("independent"));
  REQUIRE(again->tap("strip:back"));
  again->app().apply({viewer::Do::take_back, {}});
  again->settle();
  CHECK(again->state().guide->outlook.next.check == first);
  // A tool the shop lacks sets its checks aside.
  const diagnosis::Check* check = again->state().guide->a_case->check(first);
  REQUIRE(check != nullptr);
  for (const std::string& tool : check->tools) {
    REQUIRE(again->tap("strip:other"));
    REQUIRE(again->tap("row:tools"));
    REQUIRE(again->tap("row:" + tool));
    again->settle();
    REQUIRE(again->tap("strip:back"));
    CHECK(again->state().guide->outlook.next.check != first);
    break;
  }
}

TEST_CASE("a comeback counts against the tip it was") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");  // the first record is this one
  const auto panel = at.start();
  baylore::test::search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string tip = panel->state().tip->row.id;
  CHECK(panel->state().tip->proved.find("not used yet") != std::string::npos);
  panel->app().apply({viewer::Do::open_outcome, {}});
  REQUIRE(panel->tap("result:fixed"));
  for (const char* digit : {"8", "4", "2", "0", "0"})
    REQUIRE(panel->tap(std::string("pad:") + digit));
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->until([&] { return panel->state().finished.size() == 1; }, 10));
  panel->settle();
  CHECK(panel->state().finished.front().outcome.right == tip);
  CHECK(panel->state().finished.front().outcome.odometer == "84200 km");
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:finished"));
  REQUIRE(panel->tap("row:finished:" + panel->state().finished.front().outcome.id));
  const std::string reason(baylore::shop::comeback_reasons().front());
  REQUIRE(panel->tap("row:reason:" + reason));
  REQUIRE(panel->until([&] { return !panel->state().finished.front().comebacks.empty(); }, 10));
  panel->settle();
  baylore::test::search_and_open(*panel, "hauler heater", "Heater cold at idle");
  CHECK(panel->state().tip->proved.find("used 1") != std::string::npos);
  CHECK(panel->state().tip->proved.find("came back 1") != std::string::npos);
}

TEST_CASE("a fix is recorded and written down, filled in from its job") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");  // the first record is this one
  const auto panel = at.start();
  baylore::test::search_and_open(*panel, "hauler heater", "Heater cold at idle");
  panel->app().apply({viewer::Do::take_reading, "coolant-hold-cold"});
  panel->frames(2);
  for (const char* digit : {"pad:8", "pad:2"}) REQUIRE(panel->tap(digit));
  REQUIRE(panel->tap("primary"));  // Keep
  panel->settle();
  panel->app().apply({viewer::Do::open_outcome, {}});
  REQUIRE(panel->tap("result:fixed"));
  REQUIRE(panel->tap("part fitted"));
  REQUIRE(panel->tap("row:type part"));
  panel->type("Halden 88-299\n");
  REQUIRE(panel->tap("strip:write"));
  panel->settle();
  REQUIRE(panel->state().screen == Screen::write);
  CHECK(panel->state().write.active);
  const std::string bytes = panel->state().write.document.bytes();
  CHECK(bytes.find("Corvane | Hauler") != std::string::npos);
  CHECK(bytes.find("hauler heater") != std::string::npos);  // as typed
  CHECK(bytes.find("- check: coolant-hold-cold") != std::string::npos);
  CHECK(bytes.find("Found: 82 kPa") != std::string::npos);
  CHECK(bytes.find("### Halden 88-299") != std::string::npos);
  // The record is there too, and the tip can be saved as it stands.
  REQUIRE(panel->until([&] { return panel->state().finished.size() == 1; }, 10));
  CHECK(panel->state().finished.front().outcome.part == "Halden 88-299");
  REQUIRE(panel->tap("primary"));
  REQUIRE(panel->until([&] { return !panel->state().write.active; }, 10));
  panel->settle();
  CHECK(panel->state().tip->tip.checks.size() == 1);
  // Later, from the list of finished jobs: the same trace.
  REQUIRE(panel->tap("tag"));
  panel->app().apply({viewer::Do::back, {}});
  panel->app().apply({viewer::Do::menu, "finished"});
  REQUIRE(panel->tap("row:finished:" + panel->state().finished.front().outcome.id));
  REQUIRE(panel->tap("row:write_finished"));
  CHECK(panel->state().screen == Screen::write);
  CHECK(panel->state().write.document.bytes().find("Found: 82 kPa") != std::string::npos);
}
