// The ten commonest tasks at the wall's panel, counted in taps the way a person makes them; keys of
// the keyboard and the keypad are counted apart. DEVELOPERS.md lists the figures; a task that comes
// to need one tap more fails here.
#include <doctest/doctest.h>

#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::hit_of;
using baylore::test::Terminals;
using baylore::viewer::Screen;

struct Counted {
  Headless& panel;
  int taps = 0;
  int keys = 0;

  void tap(const std::string& item) {
    CAPTURE(item);
    REQUIRE(panel.tap(item));
    panel.settle();
    ++taps;
  }
  void type(const std::string& text) {
    REQUIRE(panel.tap_keys(text));
    panel.settle();
    keys += static_cast<int>(text.size());
  }
  void pad(const std::string& digits) {
    for (const char c : digits) REQUIRE(panel.tap("pad:" + std::string(1, c)));
    keys += static_cast<int>(digits.size());
  }
  // The taps since the last task; says them.
  int done(const std::string& task) {
    const int t = taps;
    MESSAGE(task << ": " << taps << " taps, " << keys << " keys");
    taps = keys = 0;
    return t;
  }
};

}  // namespace

TEST_CASE("ten tasks and their taps") {
  Terminals at;
  at.use_demo();
  std::filesystem::remove_all(at.shop() + "/records");
  const auto panel = at.start();
  Counted by{*panel};
  const auto& state = panel->state();

  by.tap("line");
  by.type("hauler heater");
  by.tap("hit:" + hit_of(state, "Heater cold at idle"));
  REQUIRE(panel->until([&] { return state.tip.has_value(); }, 10));
  panel->settle();
  CHECK(by.done("find a tip and open it") <= 2);

  by.tap("primary");
  REQUIRE(panel->until([&] { return state.screen == Screen::reading; }, 10));
  panel->settle();
  if (panel->has("pad:9")) {
    by.pad("96");
  } else {
    by.tap("answer:no");
  }
  by.tap("primary");
  CHECK(state.current()->reading_count() == 1);
  CHECK(by.done("take the next check's reading") <= 3);

  by.tap("rule:repair");
  const std::string step = "tick:" + baylore::viewer::step_key(state.tip->tip.steps.at(0));
  by.tap(step);
  CHECK(state.ticked(step.substr(5)));
  CHECK(by.done("go to the repair and tick a step") <= 2);

  const int fastener = state.fastener;
  by.tap("next fastener");
  CHECK(state.fastener != fastener);
  CHECK(by.done("the next fastener's torque") <= 1);

  by.tap("tag");
  by.tap("clear");
  by.type("88-214");
  by.tap("part found");
  REQUIRE(panel->until([&] { return state.part.has_value(); }, 10));
  panel->settle();
  CHECK(state.screen == Screen::part);
  const std::string part = state.part->number().name;
  CHECK(by.done("look up a part by its number") <= 3);

  by.tap("strip:order");
  CHECK(state.current()->to_order.size() == 1);
  CHECK(by.done("put it on the order list") <= 1);

  while (state.screen != Screen::job) REQUIRE(panel->tap("strip:back"));
  by.tap("strip:park");
  by.tap("row:part ordered");
  std::string parked;
  for (const auto& job : state.jobs) {
    if (job.state == baylore::job::State::parked) parked = job.id;
  }
  by.tap("job:" + parked);
  CHECK(state.job == parked);
  CHECK(by.done("park the job and take it up again") <= 3);

  REQUIRE(panel->until([&] { return state.tip.has_value(); }, 10));
  panel->settle();
  by.tap("strip:more");
  by.tap("row:ask_question");
  by.type("which belt");
  by.tap("key:Keep");
  // On a text of several lines Keep is the keyboard's own key.
  CHECK(by.done("question a tip") <= 3);

  by.tap("strip:more");
  by.tap("row:finish_job");
  by.tap("result:fixed");
  by.tap("part fitted");
  by.tap("row:part:" + part);
  by.tap("primary");
  REQUIRE(panel->until([&] { return state.finished.size() == 1; }, 10));
  CHECK(state.finished.front().outcome.part == part);
  CHECK(by.done("record what the job came to, with the part") <= 6);

  REQUIRE(panel->until([&] { return state.screen == Screen::job; }, 5));
  by.tap("strip:write");
  by.tap("field:title");
  by.type("belt chirps wet");
  by.tap("field:symptom");
  by.type("chirps after rain");
  by.tap("key:Done");
  by.tap("primary");
  REQUIRE(panel->until([&] { return state.tip && !state.write.active; }, 20));
  CHECK(by.done("write a short tip") <= 5);
}
