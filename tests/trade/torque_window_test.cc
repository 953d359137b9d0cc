#include "trade/torque_window.h"

#include <array>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"
#include "trade/near.h"

using namespace baylore::trade;

namespace {

TorqueWindow window_of(std::string_view thread_text, std::string_view class_text) {
  const auto thread = taken(parse_thread(thread_text));
  const auto strength = taken(parse_class(class_text));
  REQUIRE(thread);
  REQUIRE(strength);
  const auto window = taken(torque_window(*thread, **strength));
  REQUIRE(window);
  return *window;
}

TorqueSpec spec_of(std::string_view text) {
  const auto read = taken(parse_torque(text));
  REQUIRE(read);
  return *read;
}

}  // namespace

TEST_CASE("classes as people write them") {
  const auto name_of = [](std::string_view text) {
    const auto read = taken(parse_class(text));
    return read ? std::string((*read)->name) : std::string();
  };
  CHECK(name_of("8.8") == "8.8");
  CHECK(name_of("8,8") == "8.8");
  CHECK(name_of("class 10.9") == "10.9");
  CHECK(name_of("Grade 5") == "Grade 5");
  CHECK(name_of("gr. 8") == "Grade 8");
  CHECK(name_of("SAE 2") == "Grade 2");
  CHECK(name_of("8") == "Grade 8");
  const std::vector<std::string_view> texts = {"",          "5.8",     "4.6",   "A2-70",
                                               "stainless", "Grade 7", "88",    "8.8.8",
                                               "\xFF",      "class",   "grade", "10.8"};
  expect_refusals(texts, 12, [](std::string_view text) { return parse_class(text); });
}

TEST_CASE("windows are ordered and grow with size and class") {
  double before = 0;
  for (const std::string_view size : {"M5", "M6", "M8", "M10", "M12", "M14", "M16"}) {
    const TorqueWindow window = window_of(size, "8.8");
    CHECK(window.low > 0);
    CHECK(window.low < window.oiled);
    CHECK(window.oiled < window.dry);
    CHECK(window.dry < window.high);
    CHECK(window.dry > before);
    before = window.dry;
    CHECK(window_of(size, "10.9").dry > window.dry);
    CHECK(window_of(size, "12.9").dry > window_of(size, "10.9").dry);
  }
  CHECK(window_of("M10x1.25", "8.8").dry > window_of("M10x1.5", "8.8").dry);
}

TEST_CASE("no window outside the sizes and classes it is known for") {
  const auto refused = [](std::string_view thread_text, std::string_view class_text) {
    const auto thread = taken(parse_thread(thread_text));
    const auto strength = taken(parse_class(class_text));
    REQUIRE(thread);
    REQUIRE(strength);
    return !taken(torque_window(*thread, **strength));
  };
  CHECK(refused("M4", "8.8"));
  CHECK(refused("M18", "8.8"));
  CHECK(refused("3/4-10", "Grade 5"));
  CHECK(refused("#10-24", "Grade 5"));
  CHECK(refused("M8", "Grade 5"));
  CHECK(refused("1/4-20", "8.8"));
}

TEST_CASE("a slip of the unit gets a question, a plausible torque gets none") {
  const TorqueWindow window = window_of("M6x1.0", "8.8");
  const auto slip = judge_torque(spec_of("89 lbf·ft"), window);
  REQUIRE(slip);
  CHECK(slip->place == TorqueOpinion::Place::kAbove);
  REQUIRE(slip->did_you_mean != nullptr);
  CHECK(slip->did_you_mean->id == UnitId::kPoundForceInch);

  const auto fine = judge_torque(spec_of("5 N·m; 10 N·m"), window);
  REQUIRE(fine);
  CHECK(fine->place == TorqueOpinion::Place::kInside);
  CHECK(fine->did_you_mean == nullptr);

  const auto low = judge_torque(spec_of("1 N·m"), window);
  REQUIRE(low);
  CHECK(low->place == TorqueOpinion::Place::kBelow);
  REQUIRE(low->did_you_mean != nullptr);
  CHECK(low->did_you_mean->id == UnitId::kKilogramForceMetre);

  // A range that overlaps the window is left alone; one beyond every unit names none.
  CHECK(judge_torque(spec_of("12 .. 18 N·m"), window)->place == TorqueOpinion::Place::kInside);
  CHECK(judge_torque(spec_of("900 N·m"), window)->did_you_mean == nullptr);
  // Torque and angle, and no torque at all: the window says nothing.
  CHECK(!judge_torque(spec_of("60 N·m + 90°"), window));
  CHECK(!judge_torque(spec_of("90 N·m; 90°"), window));
  CHECK(!judge_torque(spec_of("hand tight"), window));
}

TEST_CASE("an adapter's setting and what it applies undo each other") {
  for (double degrees = -180; degrees <= 180; degrees += 7.5) {
    for (const double extension : {0.0, 12.0, 60.0, 250.0}) {
      const auto setting = taken(wrench_setting(100, 400, extension, degrees));
      REQUIRE(setting);
      const auto applied = taken(applied_torque(*setting, 400, extension, degrees));
      REQUIRE(applied);
      CHECK(near(*applied, 100, 1e-12));
    }
  }
  CHECK(!taken(wrench_setting(100, 0, 50, 0)));
  CHECK(!taken(wrench_setting(100, -1, 50, 0)));
  CHECK(!taken(wrench_setting(100, 400, -50, 0)));
  CHECK(!taken(wrench_setting(100, 400, 50, 200)));
  CHECK(!taken(wrench_setting(100, 400, 400, 180)));
  CHECK(!taken(wrench_setting(100, 400, 500, 180)));
}
