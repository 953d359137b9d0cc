// Several jobs and several bays: parked with the reason, the next step and initials, taken over by
// another bay, known again by the car. Driven by taps, with the real desk, store and files.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>

#include "job/jobs.h"
#include "shop/record_book.h"
#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::search_and_open;
using baylore::test::Terminals;
using baylore::viewer::Screen;
namespace job = baylore::job;
namespace viewer = baylore::viewer;

constexpr const char* kVin = "1M8GDM9AXKP042788";  // the worked example of 49 CFR 565.15

std::string menu_value(const Headless& panel, std::string_view id) {
  for (const viewer::MenuRow& row : const_cast<Headless&>(panel).state().menu.rows) {
    if (row.id == id) return row.value;
  }
  return {};
}

std::string folder_of(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '-');
  return name + "-TEST01";
}

std::unique_ptr<Headless> start(const Terminals& at, const std::string& name) {
  auto panel = at.start(folder_of(name));
  panel->state().terminal.name = name;
  return panel;
}

// A line typed, a reason given: the id of the parked job.
std::string park(Headless& panel, std::string_view line) {
  REQUIRE(panel.tap("line"));
  panel.type(line);
  const std::string id = panel.state().job;
  REQUIRE(panel.tap("strip:more"));
  REQUIRE(panel.tap("row:park"));
  REQUIRE(panel.tap("row:next step"));
  panel.type("fit the new hose\n");
  CHECK(menu_value(panel, "next step") == "fit the new hose");
  REQUIRE(panel.tap("row:initials"));
  panel.type("LA\n");
  REQUIRE(panel.tap("row:part ordered"));
  panel.settle();
  return id;
}

std::vector<job::Job> jobs_of(const Terminals& at, const std::string& name) {
  return job::load_jobs(baylore::files::real_disk(), at.shop(), folder_of(name)).jobs;
}

}  // namespace

TEST_CASE("any bay takes a parked job over, and the first sees by whom") {
  Terminals at;
  at.use_demo();
  const auto one = start(at, "bay 1");
  const auto two = start(at, "bay 2");
  const std::string id = park(*one, "hauler heater");
  CHECK(one->shows("part ordered, LA"));
  CHECK(one->shows("next: fit the new hose"));
  // The other bay lists it by itself, with whose it is.
  REQUIRE(two->until([&] { return two->has("bay:" + id); }, 10));
  CHECK(two->shows("At other bays"));
  CHECK(two->shows("bay 1"));
  CHECK(two->shows("next: fit the new hose"));
  REQUIRE(two->tap("bay:" + id));
  CHECK(menu_value(*two, "take_over:" + id).find("bay 1") != std::string::npos);
  REQUIRE(two->tap("row:take_over:" + id));
  two->settle();
  CHECK(two->state().job == id);
  CHECK(two->state().current()->line == "hauler heater");
  CHECK(two->shows("Taken over from bay 1, LA"));
  CHECK(two->shows("fit the new hose"));
  // Each wrote in its own folder only; the first no longer lists it as its own, and says why.
  REQUIRE(one->until([&] { return !one->has("job:" + id); }, 10));
  CHECK(one->shows("was taken over by bay 2"));
  CHECK(one->has("bay:" + id));
  REQUIRE(jobs_of(at, "bay 1").size() == 1);
  CHECK(jobs_of(at, "bay 1")[0].taken_from.empty());
  REQUIRE(jobs_of(at, "bay 2").size() == 1);
  CHECK(jobs_of(at, "bay 2")[0].taken_from == "bay-1-TEST01");
}

TEST_CASE("a restart of the first bay does not bring back what was taken") {
  Terminals at;
  at.use_demo();
  std::string id;
  {
    const auto one = start(at, "bay-1");
    id = park(*one, "hauler heater");
  }
  {
    const auto two = start(at, "bay-2");
    REQUIRE(two->until([&] { return two->has("bay:" + id); }, 10));
    two->app().apply({viewer::Do::take_over, id});
    two->settle();
  }
  const auto one = start(at, "bay-1");
  REQUIRE(one->until([&] { return one->has("bay:" + id); }, 10));
  CHECK_FALSE(one->has("job:" + id));
  CHECK(one->state().job != id);
  // And back again.
  one->app().apply({viewer::Do::take_over, id});
  one->settle();
  CHECK(one->state().job == id);
  CHECK(one->state().current()->taken_from == "bay-2-TEST01");
}

TEST_CASE("two bays at once keep both versions and say so") {
  Terminals at;
  at.use_demo();
  const auto one = start(at, "bay-1");
  const std::string id = park(*one, "hauler heater");
  const auto two = start(at, "bay-2");
  const auto three = start(at, "bay-3");
  REQUIRE(two->until([&] { return two->has("bay:" + id); }, 10));
  REQUIRE(three->until([&] { return three->has("bay:" + id); }, 10));
  // Neither has seen the other's file when it takes the job.
  two->app().apply({viewer::Do::take_over, id});
  three->app().apply({viewer::Do::take_over, id});
  REQUIRE(two->until([&] { return two->state().board.also.contains(id); }, 10));
  REQUIRE(three->until([&] { return three->state().board.also.contains(id); }, 10));
  CHECK(two->shows("bay-3 has job"));
  CHECK(three->shows("bay-2 has job"));
  two->app().apply({viewer::Do::dismiss, {}});
  REQUIRE(two->tap("strip:back"));
  REQUIRE(two->tap("strip:more"));
  REQUIRE(two->tap("row:leave_to"));
  two->settle();
  CHECK(two->state().job != id);
  REQUIRE(three->until(
      [&] {
        return !jobs_of(at, "bay-2").empty() &&
               jobs_of(at, "bay-2")[0].state == job::State::finished;
      },
      10));
  CHECK(three->state().current()->id == id);
}

TEST_CASE("the car is known again by its VIN, and the VIN is in no file") {
  Terminals at;
  at.use_demo();
  const auto one = start(at, "bay-1");
  REQUIRE(one->tap("line"));
  one->type(std::string(kVin) + " hauler heater");
  REQUIRE(one->until([&] { return !one->state().current()->cars.empty(); }, 10));
  one->app().apply({viewer::Do::open_outcome, {}});
  REQUIRE(one->tap("result:fixed"));
  REQUIRE(one->tap("primary"));
  one->settle();
  // At another bay, months later as far as it knows.
  const auto two = start(at, "bay-2");
  REQUIRE(two->tap("line"));
  two->type(std::string(kVin) + " hauler ");
  REQUIRE(two->until([&] { return two->has("earlier"); }, 10));
  CHECK(two->shows("This car was here before"));
  CHECK(two->shows("heater"));
  REQUIRE(two->tap("earlier"));
  REQUIRE(two->state().menu.rows.size() == 1);
  CHECK(two->state().menu.rows[0].value.find("fixed") != std::string::npos);
  for (const auto& file : std::filesystem::recursive_directory_iterator(at.scratch().folder())) {
    if (file.is_regular_file())
      CHECK(baylore::test::bytes_of(file.path()).find("XKP042788") == std::string::npos);
  }
}

TEST_CASE("freeze frame and repair order are kept, and stay through a restart") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");  // the first record is this one
  {
    const auto panel = start(at, "bay-1");
    REQUIRE(panel->tap("line"));
    panel->type("hauler heater P0128");
    REQUIRE(panel->until([&] { return !panel->state().answer.understood.codes.empty(); }, 10));
    panel->settle();
    REQUIRE(panel->tap("rule:code"));
    REQUIRE(panel->tap("row:frame:P0128"));
    REQUIRE(panel->state().screen == Screen::frame);
    for (const char* key : {"pad:4", "pad:1"}) REQUIRE(panel->tap(key));
    REQUIRE(panel->tap("frame field:4"));
    for (const char* key : {"pad:7", "pad:.", "pad:5", "pad:–"}) REQUIRE(panel->tap(key));
    REQUIRE(panel->tap("primary"));
    // Shown where the codes are.
    REQUIRE(panel->state().menu.what == "code");
    CHECK(menu_value(*panel, "frame:P0128") == "coolant 41 °C, short trim -7.5 %");
    REQUIRE(panel->tap("strip:back"));
    REQUIRE(panel->tap("strip:more"));
    REQUIRE(panel->tap("row:order"));
    panel->type("20417\n");
    panel->settle();
  }
  const auto again = start(at, "bay-1");
  REQUIRE(again->state().current() != nullptr);
  const job::Job& job = *again->state().current();
  CHECK(job.frames.at("P0128").at("coolant temperature") == "41 °C");
  CHECK(job.frames.at("P0128").at("short trim 1") == "-7.5 %");
  CHECK(job.order == "20417");
  again->app().apply({viewer::Do::open_outcome, {}});
  REQUIRE(again->tap("result:fixed"));
  REQUIRE(again->tap("primary"));
  REQUIRE(again->until([&] { return again->state().finished.size() == 1; }, 10));
  const std::string outcome = again->state().finished.front().outcome.id;
  CHECK(again->state().finished.front().outcome.order == "20417");
  // Found again by its order, its car and its day, and not by another's.
  const std::string day = again->state().finished.front().outcome.when.substr(0, 10);
  for (const auto& asked : {std::pair<std::string, bool>{"20417", true},
                            {"hauler", true},
                            {day, true},
                            {"hauler 20418", false},
                            {"", true}}) {
    const std::string& typed = asked.first;
    CAPTURE(typed);
    again->app().apply({viewer::Do::menu, "finished"});
    again->settle();
    REQUIRE(again->tap("row:find finished"));
    again->state().ask.buffer = viewer::TextBuffer{typed};
    again->type("\n");
    again->settle();
    CHECK(again->state().menu.what == "finished");
    CHECK(again->has("row:finished:" + outcome) == asked.second);
    again->app().apply({viewer::Do::back, {}});
  }
}
