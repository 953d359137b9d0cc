// The terminal itself, driven at the panel: the first questions, the tour, rest and waking, the
// panel's size, help, undoing, walking by Tab.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "files/disk.h"
#include "job/terminal.h"
#include "shop/document.h"
#include "support/terminals.h"
#include "viewer/screens/help_texts.h"
#include "viewer/screens/screens.h"

namespace {

using baylore::test::bytes_of;
using baylore::test::Headless;
using baylore::test::hit_of;
using baylore::test::search_and_open;
using baylore::test::Terminals;
using baylore::viewer::Do;
using baylore::viewer::Rest;
using baylore::viewer::Screen;
namespace fs = std::filesystem;

baylore::job::Terminal kept(const std::string& state_folder) {
  const auto loaded = baylore::job::load_terminal(baylore::files::real_disk(), state_folder);
  REQUIRE(loaded);
  return *loaded;
}

}  // namespace

TEST_CASE("a panel nobody touches dims; the touch that wakes it does nothing else") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->state().terminal.dim_minutes = 2;
  panel->state().terminal.hide_minutes = 0;
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string key = "tick:" + baylore::viewer::tick_key(panel->state().tip->tip.checks.at(0));
  REQUIRE(panel->tap(key));
  panel->later(110);
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->app().deadline() > panel->now());
  panel->later(15);
  CHECK(panel->state().rest == Rest::dim);
  // Where the tick stands: dimmed, the finger only wakes.
  const bool ticked = panel->state().ticked(key.substr(5));
  REQUIRE(panel->has(key));
  panel->tap(key);
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->state().ticked(key.substr(5)) == ticked);
  CHECK(panel->tap(key));
  CHECK(panel->state().ticked(key.substr(5)) != ticked);
}

TEST_CASE("keys and a scanner wake a panel and are taken") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->state().terminal.dim_minutes = 2;
  panel->state().terminal.hide_minutes = 10;
  panel->later(130);
  REQUIRE(panel->state().rest == Rest::dim);
  panel->type("P0301");
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->state().line.text() == "P0301");
  panel->later(610);
  REQUIRE(panel->state().rest == Rest::hidden);
  panel->type(" hauler");
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->state().line.text() == "P0301 hauler");
}

TEST_CASE("the job is hidden behind the bay's name, and initials lead each to their own") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  panel->state().terminal.dim_minutes = 0;
  panel->state().terminal.hide_minutes = 10;
  const auto begin_job = [&](const std::string& line, const std::string& initials) {
    REQUIRE(panel->tap("strip:more"));
    REQUIRE(panel->tap("row:new_job"));
    panel->type(line);
    panel->settle();
    REQUIRE(panel->tap("strip:more"));
    REQUIRE(panel->tap("row:initials"));
    panel->type(initials + "\n");
    panel->settle();
    return panel->state().job;
  };
  const std::string first = begin_job("kite rumbles", "RM");
  const std::string second = begin_job("hauler heater cold", "JT");
  REQUIRE(first != second);
  panel->later(620);
  REQUIRE(panel->state().rest == Rest::hidden);
  CHECK_FALSE(panel->shows("hauler"));
  CHECK_FALSE(panel->has("line"));
  CHECK(panel->shows(panel->state().terminal.name));
  CHECK(panel->shows("RM"));
  CHECK(panel->shows("JT"));
  REQUIRE(panel->tap("initials:" + first));
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->state().job == first);
  panel->later(620);
  REQUIRE(panel->state().rest == Rest::hidden);
  REQUIRE(panel->tap("cover"));
  CHECK(panel->state().rest == Rest::awake);
  CHECK(panel->state().job == first);
}

TEST_CASE("an empty terminal: named, a shop started with units and altitude, ready") {
  Terminals at;
  at.use_demo();
  auto options = at.options();
  options.first_run = true;
  options.demo = true;
  Headless panel(options);
  REQUIRE(panel.ready());
  CHECK(panel.shows("Ready in a minute"));
  REQUIRE(panel.tap("row:name"));
  panel.type("\b\b\b\b\b\b\b\b\b\b\b\bLift 2\n");
  panel.settle();
  CHECK(panel.state().terminal.name == "Lift 2");
  CHECK(panel.shows("Ready in a minute"));
  REQUIRE(panel.tap("row:hand"));
  CHECK(panel.state().terminal.hand == "thick glove");
  REQUIRE(panel.tap("row:hand"));
  REQUIRE(panel.tap("row:hand"));
  REQUIRE(panel.tap("row:which shop"));
  REQUIRE(panel.tap("row:start_shop"));
  panel.type("Fell Lane\n");
  REQUIRE(panel.until([&] { return !panel.state().demo; }, 20));
  REQUIRE(panel.until([&] { return panel.state().shop.name == "Fell Lane"; }, 20));
  panel.settle();
  // Back at the questions, which now ask about the shop too.
  CHECK(panel.shows("Ready in a minute"));
  REQUIRE(panel.tap("row:torque"));
  panel.settle();
  REQUIRE(panel.tap("row:altitude"));
  panel.type("tall\n");
  panel.settle();
  CHECK(panel.shows("is no height"));
  REQUIRE(panel.tap("row:altitude"));
  panel.type("790 ft\n");
  panel.settle();
  REQUIRE(panel.until([&] { return panel.state().shop.altitude_known; }, 20));
  panel.settle();
  const auto file =
      baylore::shop::Document::parse(bytes_of(panel.state().shop_folder + "/shop.md"));
  CHECK(file.value("altitude") == "790 ft");
  CHECK(file.list("units") == std::vector<std::string>{"torque: lbf·ft"});
  CHECK(file.value("name") == "Fell Lane");
  CHECK(panel.state().shop.altitude_m == doctest::Approx(790 * 0.3048));
  REQUIRE(panel.tap("primary"));
  CHECK(panel.state().screen == Screen::job);
  const auto terminal = kept(options.state_folder);
  CHECK(terminal.set_up);
  CHECK(terminal.name == "Lift 2");
  CHECK(terminal.shop == panel.state().shop_folder);
}

TEST_CASE("a shop that is there is found, and a folder without one is said to be none") {
  Terminals at;
  at.use_demo();
  at.scratch().put("state-of/shops/other/shop.md", "---\nname: Weir Road\n---\n");
  auto options = at.options();
  options.state_folder = at.scratch().path("state-of");
  options.first_run = true;
  Headless panel(options);
  REQUIRE(panel.ready());
  REQUIRE(panel.tap("row:which shop"));
  panel.settle();
  CHECK(panel.shows("Weir Road"));
  REQUIRE(panel.tap("row:type shop"));
  panel.type("/nowhere/at/all\n");
  panel.settle();
  CHECK(panel.shows("No shop in /nowhere/at/all"));
  panel.state().notice.reset();
  if (panel.state().screen != Screen::menu || panel.state().menu.what != "which shop")
    panel.app().apply({Do::menu, "which shop"});
  panel.settle();
  REQUIRE(panel.tap("row:open shop:" + options.state_folder + "/shops/other"));
  REQUIRE(panel.until([&] { return panel.state().shop.name == "Weir Road"; }, 20));
}

TEST_CASE(
    "the tour shows five screens of the demo with taps on Next, and can be left at any step") {
  Terminals at;
  at.use_demo();
  auto options = at.options();
  options.first_run = true;
  options.demo = true;
  Headless panel(options);
  REQUIRE(panel.ready());
  REQUIRE(panel.tap("row:tour"));
  const Screen kScreens[] = {Screen::job, Screen::job, Screen::tip, Screen::reading, Screen::next};
  for (int step = 1; step <= baylore::viewer::kTourSteps; ++step) {
    CAPTURE(step);
    panel.until([&] { return panel.app().busy().empty(); }, 10);
    panel.settle();
    CHECK(panel.state().tour == step);
    CHECK(panel.state().screen == kScreens[step - 1]);
    CHECK(panel.shows(baylore::viewer::tour_step(step).lead));
    // What it points at is there.
    const std::string shown = baylore::viewer::tour_step(step).shows;
    const auto& items = panel.ui().items();
    CHECK(std::any_of(items.begin(), items.end(), [&](const baylore::viewer::Item& item) {
      return item.id == shown || item.id.starts_with(shown + ":");
    }));
    REQUIRE(panel.tap("tour next"));
  }
  CHECK(panel.state().tour == 0);
  // The questions go on where they were.
  CHECK(panel.shows("Ready in a minute"));
  REQUIRE(panel.tap("row:tour"));
  panel.settle();
  REQUIRE(panel.tap("tour next"));
  panel.settle();
  REQUIRE(panel.tap("tour end"));
  CHECK(panel.state().tour == 0);
  CHECK(panel.shows("Ready in a minute"));
}

TEST_CASE("the ruler: longer by taps, kept, and every size follows") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:settings"));
  REQUIRE(panel->tap("row:calibrate"));
  const double before = panel->state().calibrating;
  CHECK(before == doctest::Approx(149).epsilon(0.01));
  for (int i = 0; i < 10; ++i) REQUIRE(panel->tap("strip:longer"));
  CHECK(panel->state().calibrating == doctest::Approx(before * std::pow(1.01, 10)));
  REQUIRE(panel->tap("primary"));
  panel->frames(3);
  CHECK(panel->ui().metrics().px_per_mm * 25.4 ==
        doctest::Approx(before * std::pow(1.01, 10)).epsilon(0.001));
  CHECK(panel->state().menu.what == "settings");
  REQUIRE(panel->tap("row:calibrate"));
  REQUIRE(panel->tap("strip:panel"));
  panel->frames(3);
  CHECK(panel->ui().metrics().px_per_mm * 25.4 == doctest::Approx(149).epsilon(0.01));
}

TEST_CASE("every screen has help with words of its own; F1 and the key show it, and lead back") {
  for (int i = 0; i <= static_cast<int>(Screen::help); ++i) {
    CAPTURE(i);
    const auto& help = baylore::viewer::help_text(static_cast<Screen>(i));
    CHECK_FALSE(help.title.empty());
    REQUIRE_FALSE(help.lines.empty());
    for (const auto& line : help.lines) {
      CHECK_FALSE(line.word.empty());
      CHECK(line.text.size() > 20);
    }
  }
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  REQUIRE(panel->tap("help"));
  CHECK(panel->state().screen == Screen::help);
  CHECK(panel->shows("First view"));
  REQUIRE(panel->tap("strip:back"));
  CHECK(panel->state().screen == Screen::tip);
  REQUIRE(panel->tap("strip:back"));
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:help"));
  CHECK(panel->shows("Tokens"));
}

TEST_CASE("a dropped draft comes back with Undo, on the disk too") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:write"));
  REQUIRE(panel->tap("field:title"));
  panel->type("Belt chirps when wet");
  panel->settle();
  panel->app().apply({Do::write_fields, {}});
  panel->later(1);
  REQUIRE(panel->tap("drop draft"));
  CHECK_FALSE(panel->state().write.active);
  CHECK(panel->shows("Draft dropped"));
  panel->settle();
  REQUIRE(panel->tap("undo"));
  CHECK(panel->state().write.active);
  CHECK(panel->state().screen == Screen::write);
  CHECK(panel->state().write.document.value("title") == "Belt chirps when wet");
  panel->pass(2);
  panel->settle();
  bool on_disk = false;
  for (const auto& one : fs::directory_iterator(at.options().state_folder + "/drafts"))
    on_disk = on_disk || bytes_of(one.path()).find("Belt chirps when wet") != std::string::npos;
  CHECK(on_disk);
}

TEST_CASE("the second tap of a hasty pair drops nothing") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:write"));
  panel->frames(1);
  const auto* drop = panel->ui().item("drop draft");
  REQUIRE(drop != nullptr);
  panel->ui().scroll_state("write fields").offset = 1e6F;
  panel->frames(2);
  drop = panel->ui().item("drop draft");
  REQUIRE(drop != nullptr);
  panel->tap_at(drop->visible.x + 5, drop->visible.y + 5);
  CHECK(panel->state().write.active);
  panel->pass(1);
  CHECK(panel->tap("drop draft"));
  CHECK_FALSE(panel->state().write.active);
}

TEST_CASE("Tab brings what it comes to into view") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:settings"));
  panel->frames(2);
  int off_view = 0;
  for (int i = 0; i < 40; ++i) {
    panel->type("\t");
    panel->frames(3);
    const auto* item = panel->ui().item(panel->ui().focus());
    REQUIRE(item != nullptr);
    if (item->visible.h < item->rect.h - 0.5F) ++off_view;
  }
  CHECK(off_view == 0);
}

TEST_CASE("without motion a thrown page stops where the finger left it") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  panel->state().terminal.motion = false;
  panel->frames(2);
  panel->down(60, 100);
  for (int i = 1; i <= 6; ++i) panel->move(60, 100 - 8.0F * static_cast<float>(i));
  panel->up();
  const float offset = panel->ui().scroll_state("tip").offset;
  CHECK(offset > 20);
  panel->pass(1);
  CHECK(panel->ui().scroll_state("tip").offset == doctest::Approx(offset));
}
