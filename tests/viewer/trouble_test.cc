// What goes wrong at a bay and must cost little: damaged tips and pictures, somebody else's edits,
// odd typing, a shop folder that goes away.
#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>

#include "support/terminals.h"

namespace {

using baylore::test::bytes_of;
using baylore::test::Headless;
using baylore::test::hit_of;
using baylore::test::search_and_open;
using baylore::test::Terminals;
using baylore::viewer::Do;
using baylore::viewer::PictureView;
using baylore::viewer::Screen;
namespace fs = std::filesystem;

constexpr const char* kShop = "---\nname: Test shop\n---\n";

std::string tip(const std::string& title, const std::string& rest) {
  return "---\ntitle: " + title + "\nsystem: cooling\n---\n\n## Symptom\n" + rest;
}

void open_first(Headless& panel, const std::string& line) {
  panel.type(line + "\n");  // Enter opens the best tip
  REQUIRE(panel.until([&] { return panel.state().tip.has_value(); }, 10));
  panel.settle();
}

std::size_t count_of(const std::string& folder) {
  std::error_code error;
  std::size_t n = 0;
  for (const auto& one : fs::recursive_directory_iterator(folder, error)) {
    if (one.is_regular_file()) ++n;
  }
  return n;
}

// A PNG's beginning that claims `side` x `side` pixels and holds none of them.
std::string claiming_png(unsigned side) {
  std::string out("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16);
  for (int i = 0; i < 2; ++i) {
    for (const unsigned shift : {24U, 16U, 8U, 0U})
      out.push_back(static_cast<char>((side >> shift) & 0xFFU));
  }
  out += std::string("\x08\x06\0\0\0\0\0\0\0", 9);
  return out;
}

}  // namespace

TEST_CASE("missing, broken and hostile pictures leave their tip readable") {
  Terminals at;
  at.put("shop.md", kShop);
  at.put("photos/broken.png", "this is no picture");
  at.put("photos/huge.png", claiming_png(60000));
  at.put("secret.png", "outside");
  fs::create_symlink(at.scratch().path("outside.png"), at.shop() + "/photos/link.png");
  at.scratch().put("outside.png", "outside");
  const char* const kNames[] = {"missing.png", "broken.png", "huge.png", "link.png",
                                "../../outside.png"};
  std::string text =
      tip("Gauge reads low", "It reads low.\n\n## Location\nLeft of the bulkhead.\n\n");
  for (const char* name : kNames)
    text += "![Left of the bulkhead](" + std::string(name) + ")\n- mark 1: 0.5 0.5 plug\n\n";
  text += "## Repair\n1. Clean the plug.\n";
  at.put("tips/cooling/gauge.md", text);
  const auto panel = at.start();
  open_first(*panel, "gauge");
  REQUIRE(panel->until(
      [&] {
        const auto& all = panel->state().pictures;
        return !all.empty() && std::all_of(all.begin(), all.end(), [](const auto& p) {
          return p.second.state != PictureView::State::loading;
        });
      },
      30));
  CHECK(panel->state().pictures.size() == panel->state().tip->tip.pictures.size());
  CHECK(panel->state().pictures.size() >= 4);
  for (const auto& one : panel->state().pictures) {
    CAPTURE(one.first);
    CHECK(one.second.state == PictureView::State::failed);
    CHECK_FALSE(one.second.why.empty());
  }
  CHECK(panel->textures() == 0);
  panel->settle();
  CHECK(panel->shows("It reads low."));
  panel->ui().scroll_state("tip").offset = 1e6F;
  panel->frames(3);
  CHECK(panel->shows("Clean the plug."));
}

TEST_CASE("a broken tip says which line is not understood and shows the rest") {
  Terminals at;
  at.put("shop.md", kShop);
  at.put("tips/cooling/broken.md",
         "---\ntitle: Fan runs on\nsystem: cooling\nthis line is neither\ncodes:\n  - P9999999\n"
         "---\n\n## Symptom\nFan runs on for minutes.\n\n## Repair\n1. Replace the relay.\n");
  const auto panel = at.start();
  open_first(*panel, "fan");
  CHECK(panel->shows("line 4 is not understood"));
  CHECK(panel->shows("line 6 is not understood"));
  CHECK(panel->shows("Fan runs on for minutes."));
  panel->ui().scroll_state("tip").offset = 1e6F;
  panel->frames(3);
  CHECK(panel->shows("Replace the relay."));
}

TEST_CASE("search engines' own punctuation on the line is only typing") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  for (const char* line : {"\"",
                           "\"\"\"",
                           "'",
                           "*",
                           "heater*",
                           "^heater",
                           "-heater",
                           "NOT heater",
                           "heater AND",
                           "heater OR (",
                           "NEAR(heater cold, 3)",
                           "{title body}: heater",
                           "title:heater",
                           "heater +",
                           "col : - \" unclosed",
                           "%_%",
                           "\\",
                           "; drop table tips;",
                           "--",
                           "/* heater",
                           "\xEF\xBF\xBD",
                           "Ω µ °",
                           "                    ",
                           "heater\" OR \"1\"=\"1"}) {
    CAPTURE(line);
    panel->app().apply({Do::clear_line, {}});
    panel->settle();
    panel->type(line);
    CHECK(panel->settle(5));
    CHECK(panel->state().screen == Screen::job);
    CHECK_FALSE(panel->state().notice);
  }
  panel->app().apply({Do::clear_line, {}});
  panel->type("\"heater* (cold");
  CHECK_FALSE(hit_of(panel->state(), "Heater cold at idle").empty());
}

TEST_CASE("an edit with another program shows in the open tip within two seconds") {
  Terminals at;
  at.put("shop.md", kShop);
  at.put("tips/cooling/gauge.md", tip("Gauge reads low", "It reads low when cold."));
  const auto panel = at.start();
  open_first(*panel, "gauge");
  CHECK(panel->shows("when cold"));
  // The watcher's first look is over: what comes now is noticed, not swept up.
  panel->until([] { return false; }, 0.5);
  const auto begin = std::chrono::steady_clock::now();
  at.put("tips/cooling/gauge.md", tip("Gauge reads low", "It reads low when wet."));
  CHECK(panel->until([&] { return panel->shows("when wet"); }, 10));
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
  MESSAGE("shown after " << took.count() << " s");
  CHECK(took.count() < 2.0);
  CHECK(panel->state().screen == Screen::tip);
}

TEST_CASE("a tip changed meanwhile is not written over: nothing is lost and both are offered") {
  Terminals at;
  at.put("shop.md", kShop);
  const std::string path = "tips/cooling/gauge.md";
  at.put(path,
         "---\nid: 01JTEST0GAVGE\ntitle: Gauge reads low\nsystem: cooling\n---\n\n"
         "## Symptom\nIt reads low when cold.\n");
  const auto panel = at.start();
  open_first(*panel, "gauge");
  REQUIRE(panel->tap("strip:more"));
  REQUIRE(panel->tap("row:write_edit"));
  REQUIRE(panel->tap("field:symptom"));
  panel->type(" Mine: the plug is green.");
  panel->pass(2);
  panel->settle();
  const std::string theirs =
      "---\nid: 01JTEST0GAVGE\ntitle: Gauge reads low\nsystem: cooling\n---\n\n"
      "## Symptom\nIt reads low when cold. Theirs: the wire is chafed.\n";
  at.put(path, theirs);
  panel->app().apply({Do::save_tip, {}});
  REQUIRE(panel->until([&] { return panel->state().write.conflict; }, 10));
  panel->settle();
  CHECK(at.get(path) == theirs);
  CHECK(panel->state().write.active);
  CHECK(panel->state().write.document.bytes().find("the plug is green") != std::string::npos);
  CHECK(panel->shows("Someone else changed this tip meanwhile"));
  // Saving once more without a choice is no way round.
  panel->app().apply({Do::save_tip, {}});
  panel->settle();
  REQUIRE(panel->until([&] { return panel->state().write.conflict; }, 10));
  CHECK(at.get(path) == theirs);
  REQUIRE(panel->tap("save as new"));
  REQUIRE(panel->until([&] { return !panel->state().write.active; }, 10));
  panel->settle();
  CHECK(at.get(path) == theirs);
  panel->app().apply({Do::focus_line, {}});
  panel->app().apply({Do::clear_line, {}});
  panel->type("gauge");
  REQUIRE(panel->until([&] { return panel->state().answer.hits.size() == 2; }, 10));
  std::string both;
  for (const auto& one : fs::recursive_directory_iterator(at.shop() + "/tips")) {
    if (one.is_regular_file()) both += bytes_of(one.path());
  }
  CHECK(both.find("Mine: the plug is green") != std::string::npos);
  CHECK(both.find("Theirs: the wire is chafed") != std::string::npos);
  CHECK(panel->state().answer.hits[0].tip.id != panel->state().answer.hits[1].tip.id);
}

TEST_CASE("with the shop folder gone the copy is used, and what is done is kept until it returns") {
  Terminals at;
  at.use_demo();
  const auto panel = at.start();
  search_and_open(*panel, "hauler heater", "Heater cold at idle");
  const std::string key = baylore::viewer::tick_key(panel->state().tip->tip.checks.at(0));
  panel->settle();
  fs::rename(at.shop(), at.scratch().path("away"));
  CHECK(panel->until([&] { return panel->state().shop_gone; }, 30));
  CHECK(panel->tap("tick:" + key));
  panel->settle();
  CHECK(panel->state().ticked(key));
  CHECK(count_of(at.scratch().path("bay-3-TEST01/state/waiting")) == 1);
  CHECK_FALSE(fs::exists(at.shop()));  // no second, empty shop grows in its place
  REQUIRE(panel->tap("strip:back"));
  REQUIRE(panel->tap("clear"));
  panel->type("brake drags");
  CHECK_FALSE(panel->state().answer.hits.empty());
  // A tip is read from the copy.
  REQUIRE(panel->tap("primary"));
  CHECK(panel->until([&] { return panel->state().tip.has_value(); }, 10));
  REQUIRE(panel->tap("strip:back"));
  CHECK(panel->shows("Working from the"));
  CHECK_FALSE(fs::exists(at.shop()));
  {
    // Started anew meanwhile, the terminal still knows what was done.
    const auto again = at.start();
    CHECK(again->until([&] { return again->state().shop_gone; }, 30));
    bool there = false;
    for (const baylore::job::Job& job : again->state().jobs) {
      for (const auto& [tip_id, ticks] : job.ticks) there = there || ticks.count(key) != 0;
    }
    CHECK(there);
  }

  fs::rename(at.scratch().path("away"), at.shop());
  CHECK(panel->until([&] { return !panel->state().shop_gone; }, 30));
  CHECK(panel->until([&] { return count_of(at.scratch().path("bay-3-TEST01/state/waiting")) == 0; },
                     10));
  std::string jobs;
  for (const auto& one : fs::recursive_directory_iterator(at.shop() + "/jobs")) {
    if (one.is_regular_file()) jobs += bytes_of(one.path());
  }
  CHECK(jobs.find(key) != std::string::npos);
}

TEST_CASE("without a shop the demo opens and says so, and a shop of one's own is started") {
  Terminals at;
  baylore::test::HeadlessOptions o = at.options();
  o.demo = true;
  o.demo_source = std::string(BAYLORE_SOURCE_DIR) + "/content";
  Headless panel(o);
  REQUIRE(panel.ready());
  CHECK(panel.shows("Demo shop: never use these values on a vehicle"));
  CHECK(panel.state().counts.tips > 20);
  REQUIRE(panel.tap("strip:more"));
  REQUIRE(panel.tap("row:settings"));
  REQUIRE(panel.tap("row:which shop"));
  REQUIRE(panel.tap("row:start_shop"));
  REQUIRE(panel.tap_keys("north yard"));
  REQUIRE(panel.tap("key:Keep"));
  REQUIRE(panel.until([&] { return !panel.state().demo; }, 10));
  panel.settle();
  CHECK(fs::exists(o.state_folder + "/shops/north-yard/shop.md"));
  CHECK(fs::exists(o.state_folder + "/shops/north-yard/.gitattributes"));
  CHECK(panel.until([&] { return panel.state().shop.name == "north yard"; }, 10));
  CHECK_FALSE(panel.shows("Demo shop"));
  // The first tip of the new shop can be written and found at once.
  panel.type("belt squeals");
  REQUIRE(panel.tap("write it"));
  REQUIRE(panel.tap("primary"));
  CHECK(panel.until([&] { return panel.state().counts.tips == 1; }, 10));
}
