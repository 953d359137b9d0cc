// The main part of a day once more in the real window: every tap, drag and key goes through the X
// server, GLFW and OpenGL the way a panel's do. Needs an X display with XTEST. Without one it says
// so and passes, unless BAYLORE_NEEDS_X is set, as it is wherever a display is meant to be there.
#include "window/driver.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "support/scratch.h"

namespace {

using baylore::test::Driver;
using baylore::test::DriverOptions;
using baylore::test::Scratch;
using baylore::viewer::PictureView;
using baylore::viewer::Screen;
namespace fs = std::filesystem;

DriverOptions options(const Scratch& at, int width, int height) {
  fs::copy(std::string(BAYLORE_SOURCE_DIR) + "/content", at.path("shop"),
           fs::copy_options::recursive);
  DriverOptions o;
  o.width = width;
  o.height = height;
  o.shop = at.path("shop");
  o.store_folder = at.path("store");
  o.state_folder = at.path("state");
  o.photo_program = BAYLORE_PHOTO;
  return o;
}

// False, said once, where there is no display and none is asked for.
bool has_window(const Driver& driver) {
  if (driver.ok()) return true;
  const bool needed = std::getenv("BAYLORE_NEEDS_X") != nullptr;
  MESSAGE("skipped: " << driver.why() << "; run it under xvfb-run");
  CHECK_FALSE_MESSAGE(needed, "BAYLORE_NEEDS_X is set, and " << driver.why());
  return false;
}

std::string hit_of(const baylore::viewer::State& state, std::string_view title) {
  for (const auto& hit : state.answer.hits) {
    if (hit.tip.title.starts_with(title)) return "hit:" + hit.tip.id;
  }
  return "no hit";
}

bool written_with(const std::string& folder, std::string_view text) {
  for (const auto& one : fs::recursive_directory_iterator(folder)) {
    if (!one.is_regular_file()) continue;
    std::ostringstream bytes;
    bytes << std::ifstream(one.path()).rdbuf();
    if (bytes.str().find(text) != std::string::npos) return true;
  }
  return false;
}

void by_taps(int width, int height) {
  const Scratch at;
  Driver d(options(at, width, height));
  if (!has_window(d)) return;
  REQUIRE(d.until([&] { return d.app().state().counts.tips > 20; }, 60));
  d.settle();

  REQUIRE(d.tap("line"));
  REQUIRE(d.tap_keys("hauler heater"));
  REQUIRE(d.tap("key:Search"));
  REQUIRE(d.tap(hit_of(d.app().state(), "Heater cold at idle")));
  REQUIRE(d.until([&] { return d.app().state().tip.has_value(); }, 10));
  d.settle();
  CHECK(d.app().state().screen == Screen::tip);
  // Its pictures are real textures now.
  CHECK_FALSE(d.app().state().pictures.empty());
  for (const auto& one : d.app().state().pictures) {
    CAPTURE(one.second.why);
    CHECK(one.second.state == PictureView::State::ready);
    CHECK(one.second.texture != nullptr);
  }

  const float x = d.app().ui().screen().w * 0.4F;
  const float mid = d.app().ui().screen().h * 0.5F;
  d.drag(x, mid + 15, x, mid - 15);
  CHECK(d.app().ui().scroll_state("tip").offset > 15);
  CHECK(d.app().state().screen == Screen::tip);

  const std::string key = baylore::viewer::tick_key(d.app().state().tip->tip.checks.at(0));
  REQUIRE(d.tap("tick:" + key));
  CHECK(d.app().state().ticked(key));

  REQUIRE(d.tap("tag"));
  REQUIRE(d.tap("clear"));
  REQUIRE(d.tap_keys("hauler zubbing"));
  REQUIRE(d.tap("key:Search"));
  CHECK(d.app().state().answer.by_vehicle);
  REQUIRE(d.tap("write it"));
  REQUIRE(d.tap("field:symptom"));
  REQUIRE(d.tap_keys("zubs at idle when wet"));
  REQUIRE(d.tap("key:Done"));
  REQUIRE(d.tap("primary"));
  REQUIRE(d.until([&] { return d.app().state().tip && !d.app().state().write.active; }, 20));
  d.settle();
  const std::string id = d.app().state().tip->tip.id;
  CHECK(written_with(at.path("shop/tips"), "zubs at idle when wet"));

  REQUIRE(d.tap("tag"));
  REQUIRE(d.tap("clear"));
  REQUIRE(d.tap_keys("zubs wet"));
  REQUIRE(d.tap("key:Search"));
  REQUIRE(d.until([&] { return !d.app().state().answer.hits.empty(); }, 10));
  CHECK(d.app().state().answer.hits.front().tip.id == id);
}

}  // namespace

TEST_CASE("by taps on 1280x800: search, open, scroll, write, find the new tip") {
  by_taps(1280, 800);
}

TEST_CASE("by taps on a phone's size") { by_taps(390, 844); }

TEST_CASE("by the keys of a hardware keyboard: search, open, back, write, save, find") {
  const Scratch at;
  Driver d(options(at, 1280, 800));
  if (!has_window(d)) return;
  REQUIRE(d.until([&] { return d.app().state().counts.tips > 20; }, 60));
  d.settle();
  // No field is touched first; Enter opens the best tip.
  d.type("hauler heater\n");
  REQUIRE(d.until([&] { return d.app().state().tip.has_value(); }, 10));
  CHECK(d.app().state().tip->tip.title.starts_with("Heater cold at idle"));
  CHECK(d.app().ui().item("key:q") == nullptr);
  d.type("\x1b");
  CHECK(d.app().state().screen == Screen::job);
  const auto tab_to = [&](std::string_view item) {
    for (int i = 0; i < 80; ++i) {
      d.type("\t");
      if (d.app().ui().focus() == item) return true;
    }
    return false;
  };
  REQUIRE(tab_to("clear"));
  d.type("\n");
  CHECK(d.app().state().line.empty());
  d.type("Zubbing noise");
  REQUIRE(tab_to("strip:write"));
  d.type("\n");
  REQUIRE(d.app().state().screen == Screen::write);
  REQUIRE(tab_to("field:symptom"));
  d.type("\n");
  REQUIRE(d.app().state().write.field == "symptom");
  // The complaint as typed is there already.
  d.type(" Zubs (left side), 2 to 3 times: \"zub\".");
  CHECK(d.app().state().write.buffer.text() ==
        "Zubbing noise Zubs (left side), 2 to 3 times: \"zub\".");
  REQUIRE(tab_to("primary"));
  d.type("\n");
  REQUIRE(d.until([&] { return d.app().state().tip && !d.app().state().write.active; }, 20));
  const std::string id = d.app().state().tip->tip.id;
  CHECK(written_with(at.path("shop/tips"), "Zubs (left side), 2 to 3 times: \"zub\"."));
  d.type("zub");
  REQUIRE(d.until(
      [&] { return d.app().state().screen == Screen::job && !d.app().state().answer.hits.empty(); },
      10));
  CHECK(d.app().state().answer.hits.front().tip.id == id);
}
