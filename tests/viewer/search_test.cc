// What a line at the bay does beside finding tips: slips put right and refused, letters asked for,
// what gave way said, other vehicles below a rule. Driven by taps and keys on the panel.
#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <string>

#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::Terminals;

void type_line(Headless& panel, const std::string& line) {
  REQUIRE(panel.tap("line"));
  panel.type(line);
  REQUIRE(panel.until([&] { return panel.state().answered; }, 10));
  panel.settle();
}

bool lists(Headless& panel, const std::string& title) {
  const auto& hits = panel.state().answer.hits;
  return std::any_of(hits.begin(), hits.end(),
                     [&](const auto& hit) { return hit.tip.title.starts_with(title); });
}

}  // namespace

TEST_CASE("a slip is put right, said, and left as typed at a tap") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  type_line(*panel, "haulr heater colld ");
  // The name of a car is understood through its slip.
  CHECK(panel->state().answer.understood.vehicle.model == "Hauler");
  CHECK(lists(*panel, "Heater cold at idle"));
  CHECK(panel->shows("Showing "));
  REQUIRE(panel->tap("refuse:slip:haulr"));
  panel->settle();
  CHECK(panel->state().answer.understood.vehicle.model.empty());
  CHECK(panel->shows("No tip has “haulr”."));
  CHECK_FALSE(panel->has("refuse:slip:haulr"));
  CHECK(panel->has("refuse:slip:colld"));
  // The word as it is can be taken away too.
  REQUIRE(panel->tap("token:word:haulr"));
  panel->settle();
  CHECK_FALSE(panel->shows("No tip has “haulr”."));
}

TEST_CASE("a code without its letter asks which") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  type_line(*panel, "0128 ");
  CHECK(panel->shows("which letter?"));
  CHECK_FALSE(panel->state().answer.hits.empty());
  REQUIRE(panel->tap("choice:P0128"));
  panel->settle();
  CHECK(panel->state().line.text() == "P0128 ");
  CHECK(panel->state().answer.understood.codes == std::vector<std::string>{"P0128"});
  CHECK_FALSE(panel->has("choice:P0128"));
}

TEST_CASE("no line is a dead end") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  type_line(*panel, "zylophone qwrtz ");
  CHECK(panel->state().answer.hits.empty());
  CHECK(panel->shows("zylophone + qwrtz"));
  CHECK(panel->has("write it"));
  CHECK(panel->shows("Used often here"));
  REQUIRE(panel->tap("clear"));
  type_line(*panel, "zylophone hauler ");
  CHECK(panel->shows("Shown is what fits Corvane Hauler."));
  CHECK_FALSE(panel->state().answer.hits.empty());
  CHECK(panel->has("write it"));
}

TEST_CASE("tips for other vehicles stand below a rule") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  type_line(*panel, "hauler heater ");
  const auto& answer = panel->state().answer;
  REQUIRE(answer.above > 0);
  REQUIRE(answer.above < answer.hits.size());
  for (std::size_t i = 0; i < answer.above; ++i) {
    CHECK(answer.hits[i].fit.verdict <= baylore::search::FitVerdict::fits_all);
  }
}
