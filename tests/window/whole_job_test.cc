// The whole job in the real window, three times: by taps only, by the keys of a hardware keyboard
// only, and with a scanner where a scanner can do it. Vehicle, search, tip, three readings, part,
// outcome, a new tip: every press goes through the X server, GLFW and the recogniser. Needs an X
// display with XTEST; see story_test.cc.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sstream>

#include "files/disk.h"
#include "shop/outcome.h"
#include "shop/record_book.h"
#include "support/scratch.h"
#include "window/driver.h"

namespace {

using baylore::test::Driver;
using baylore::test::DriverOptions;
using baylore::test::Scratch;
using baylore::viewer::Screen;
namespace fs = std::filesystem;

// How a person gets at what is on the panel.
struct Hand {
  Driver& d;
  std::function<bool(const std::string&)> press;   // a target, by name
  std::function<bool(const std::string&)> write;   // into what has the caret, or the line
  std::function<bool(const std::string&)> code;    // a code, a part's number, a VIN: to the line
  std::function<bool(const std::string&)> number;  // on a keypad
};

bool has(Driver& d, std::string_view item) { return d.app().ui().item(item) != nullptr; }

std::string first_like(Driver& d, std::string_view prefix) {
  for (const auto& item : d.app().ui().items()) {
    if (item.id.starts_with(prefix)) return item.id;
  }
  return "nothing like " + std::string(prefix);
}

// More, then a row; the phone and the wide panel have the same key.
void from_more(Hand& hand, const std::string& row) {
  REQUIRE(hand.press("strip:more"));
  REQUIRE(hand.press("row:" + row));
}

void take_reading(Hand& hand) {
  Driver& d = hand.d;
  REQUIRE(hand.press("primary"));
  REQUIRE(d.until([&] { return d.app().state().screen == Screen::reading; }, 10));
  d.settle();
  if (has(d, "pad:9")) {
    REQUIRE(hand.number("91"));
  } else {
    REQUIRE(hand.press("answer:no"));
  }
  REQUIRE(hand.press("primary"));
  CHECK(d.app().state().screen == Screen::tip);
}

void whole_job(Hand& hand, const std::string& shop) {
  Driver& d = hand.d;
  REQUIRE(d.until([&] { return d.app().state().counts.tips > 20; }, 60));
  d.settle();
  const auto state = [&]() -> const baylore::viewer::State& { return d.app().state(); };

  // --- the vehicle, as a person picks it
  REQUIRE(hand.press("tag"));
  for (const char* row :
       {"row:make:Corvane", "row:model:Corvane|Hauler", "row:year:Corvane|Hauler|2016"})
    REQUIRE(hand.press(row));
  REQUIRE(hand.press(first_like(d, "row:engine:Corvane|Hauler|2016|3.6")));
  REQUIRE(state().current() != nullptr);
  CHECK(state().current()->vehicle.year == 2016);

  // --- search and open
  REQUIRE(hand.code("p0128"));
  CHECK(state().screen == Screen::job);  // looked at, not opened
  REQUIRE(hand.write(" heater"));
  REQUIRE(d.until([&] { return d.app().busy().empty(); }, 10));
  d.settle();
  if (has(d, "key:Search")) REQUIRE(hand.press("key:Search"));
  std::string hit;
  for (const auto& one : state().answer.hits) {
    if (one.tip.title.starts_with("Heater cold at idle")) hit = "hit:" + one.tip.id;
  }
  REQUIRE(hand.press(hit));
  REQUIRE(d.until([&] { return state().tip.has_value(); }, 10));
  d.settle();

  // --- three readings
  for (int i = 0; i < 3; ++i) take_reading(hand);
  REQUIRE(state().current() != nullptr);
  CHECK(state().current()->reading_count() == 3);

  // --- the part, onto the order list
  REQUIRE(hand.code("88-214"));
  if (has(d, "key:Search")) REQUIRE(hand.press("key:Search"));
  if (state().screen == Screen::job) REQUIRE(hand.press("part found"));
  REQUIRE(d.until([&] { return state().screen == Screen::part && state().part; }, 10));
  d.settle();
  const std::string part = state().part->number().name;
  REQUIRE(hand.press("strip:order"));
  CHECK(state().screen == Screen::order);
  REQUIRE(state().current() != nullptr);
  CHECK(state().current()->to_order == std::vector<std::string>{part});
  while (state().screen != Screen::job) REQUIRE(hand.press("strip:back"));

  // --- what it came to
  from_more(hand, "finish_job");
  REQUIRE(hand.press("result:fixed"));
  REQUIRE(hand.press("part fitted"));
  REQUIRE(hand.press("row:part:" + part));
  REQUIRE(hand.press("primary"));
  REQUIRE(d.until([&] { return state().finished.size() == 1; }, 20));
  baylore::shop::RecordBook book;
  REQUIRE(book.update(baylore::files::real_disk(), shop));
  REQUIRE(book.records().size() == 1);
  const auto outcome = baylore::shop::outcome_of(book.records().front());
  REQUIRE(outcome);
  CHECK(outcome->result == baylore::shop::Result::fixed);
  CHECK(outcome->part == part);

  // --- what was learned
  d.settle();
  from_more(hand, "write_new");
  CHECK(state().screen == Screen::write);
  REQUIRE(hand.press("field:title"));
  REQUIRE(hand.write("zubs when wet"));
  if (has(d, "key:Done")) REQUIRE(hand.press("key:Done"));
  REQUIRE(hand.press("field:symptom"));
  REQUIRE(hand.write("zubs at idle after rain"));
  if (has(d, "key:Done")) REQUIRE(hand.press("key:Done"));
  REQUIRE(hand.press("primary"));
  REQUIRE(d.until([&] { return state().tip && !state().write.active; }, 20));
  d.settle();
  CHECK(state().tip->tip.title == "zubs when wet");
  const std::string id = state().tip->tip.id;
  REQUIRE(hand.press("strip:back"));
  if (has(d, "clear")) REQUIRE(hand.press("clear"));
  REQUIRE(hand.write("zubs wet"));
  REQUIRE(d.until([&] { return !state().answer.hits.empty(); }, 10));
  CHECK(state().answer.hits.front().tip.id == id);
}

// Runs `job` on a fresh shop without records; nothing where there is no display and none is asked
// for.
void run(int width, int height, const std::function<void(Driver&, const std::string&)>& job) {
  const Scratch at;
  fs::copy(std::string(BAYLORE_SOURCE_DIR) + "/content", at.path("shop"),
           fs::copy_options::recursive);
  fs::remove_all(at.path("shop/records"));
  DriverOptions o;
  o.width = width;
  o.height = height;
  o.shop = at.path("shop");
  o.store_folder = at.path("store");
  o.state_folder = at.path("state");
  o.photo_program = BAYLORE_PHOTO;
  Driver d(o);
  if (!d.ok()) {
    MESSAGE("skipped: " << d.why() << "; run it under xvfb-run");
    CHECK_FALSE(std::getenv("BAYLORE_NEEDS_X") != nullptr);
    return;
  }
  job(d, at.path("shop"));
}

Hand by_taps(Driver& d) {
  const auto press = [&d](const std::string& item) { return d.tap(item); };
  const auto write = [&d](const std::string& text) {
    const auto& state = d.app().state();
    if (state.screen != Screen::write && state.screen != Screen::ask &&
        !(state.screen == Screen::job && state.typing) &&
        !d.tap(state.screen == Screen::job ? "line" : "tag"))
      return false;
    return d.tap_keys(text);
  };
  const auto code = [&d, write](const std::string& text) {
    if (!write("")) return false;
    if (d.app().ui().item("clear") != nullptr && !d.tap("clear")) return false;
    return write(text);
  };
  const auto number = [&d](const std::string& text) {
    return std::all_of(text.begin(), text.end(),
                       [&](char c) { return d.tap("pad:" + std::string(1, c)); });
  };
  return {d, press, write, code, number};
}

// Tab to it, Enter on it. Enter alone is the primary's.
bool by_tab(Driver& d, const std::string& item) {
  const auto& state = d.app().state();
  const bool types = state.screen == Screen::write && !state.write.field.empty();
  if (item == "primary" && d.app().ui().focus().empty() && !types) {
    d.type("\n");
    return true;
  }
  for (int i = 0; i < 400; ++i) {
    if (d.app().ui().focus() == item) {
      d.type("\n");
      return true;
    }
    d.type("\t");
  }
  return false;
}

Hand by_keys(Driver& d) {
  const auto type = [&d](const std::string& text) {
    d.type(text);
    return true;
  };
  // On any screen without a field what is typed goes to the line; on Job the line is emptied first.
  const auto code = [&d](const std::string& text) {
    if (d.app().state().screen == Screen::job && !d.app().state().line.empty() &&
        !by_tab(d, "clear"))
      return false;
    d.type(text);
    return true;
  };
  return {d, [&d](const std::string& item) { return by_tab(d, item); }, type, code, type};
}

}  // namespace

TEST_CASE("the whole job by taps only, on the wall's panel") {
  run(1280, 800, [](Driver& d, const std::string& shop) {
    Hand hand = by_taps(d);
    whole_job(hand, shop);
  });
}

TEST_CASE("the whole job by keys only") {
  run(1280, 800, [](Driver& d, const std::string& shop) {
    Hand hand = by_keys(d);
    whole_job(hand, shop);
    CHECK(d.app().state().hard_keyboard);
  });
}

TEST_CASE("the whole job with a scanner's stream for codes and parts, taps for the rest") {
  run(800, 480, [](Driver& d, const std::string& shop) {
    Hand hand = by_taps(d);
    // Its prefix is set as a person sets it.
    d.app().apply({baylore::viewer::Do::menu, "settings"});
    REQUIRE(d.tap("row:scanner"));
    d.type("~\n");
    d.settle();
    CHECK(d.app().state().terminal.scanner_prefix == "~");
    d.type("\x1b");
    hand.code = [&d](const std::string& text) {
      d.type("~" + text + "\n");
      return true;
    };
    whole_job(hand, shop);
  });
}
