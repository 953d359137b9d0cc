#include "trade/torque_spec.h"

#include <array>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"

using namespace baylore::trade;

namespace {

TorqueSpec spec_of(std::string_view text) {
  const auto read = taken(parse_torque(text));
  REQUIRE(read);
  return *read;
}

struct Case {
  std::string_view text, authored, other;
};

}  // namespace

TEST_CASE("torque as authors write it, and in the other unit") {
  const std::array cases = {
      Case{"10 N·m", "10 N·m", "88.5 lbf·in"},
      Case{"5 N·m; 10 N·m", "5 N·m; 10 N·m", "44.3 lbf·in; 88.5 lbf·in"},
      Case{"5 Nm then 10 Nm", "5 N·m; 10 N·m", "44.3 lbf·in; 88.5 lbf·in"},
      Case{"60 N·m + 90°", "60 N·m + 90°", "44.3 lbf·ft + 90°"},
      Case{"60 N·m plus 90 degrees", "60 N·m + 90°", "44.3 lbf·ft + 90°"},
      Case{"60 N·m + 90° + 90°", "60 N·m + 90° + 90°", "44.3 lbf·ft + 90° + 90°"},
      Case{"20-25 N·m", "20 .. 25 N·m", "14.8 .. 18.4 lbf·ft"},
      Case{"98 .. 120 N·m", "98 .. 120 N·m", "72.3 .. 88.5 lbf·ft"},
      Case{"22 ± 2 N·m", "20 .. 24 N·m", "14.8 .. 17.7 lbf·ft"},
      Case{"80 ft-lb", "80 lbf·ft", "108 N·m"},
      Case{"89 in-lb", "89 lbf·in", "10.1 N·m"},
      Case{"80 lbf·ft (108 N·m)", "80 lbf·ft", "108 N·m"},
      Case{"108 N·m (80 lbf·ft) + 90°", "108 N·m + 90°", "79.7 lbf·ft + 90°"},
      Case{"20 N·m; 90°; 90°", "20 N·m; 90°; 90°", "177 lbf·in; 90°; 90°"},
      Case{"40 N·m; loosen 180°; 25 N·m + 1/4 turn", "40 N·m; loosen 180°; 25 N·m + 90°",
           "29.5 lbf·ft; loosen 180°; 18.4 lbf·ft + 90°"},
      Case{"hand tight; 1/2 turn", "hand tight; 180°", "hand tight; 180°"},
      Case{"+ 90°", "90°", "90°"},
      Case{"2.5 kgf·m", "2.5 kgf·m", "24.5 N·m"},
  };
  for (const Case& one : cases) {
    CAPTURE(std::string(one.text));
    const TorqueSpec spec = spec_of(one.text);
    CHECK(authored(spec) == one.authored);
    CHECK(converted_text(spec, other_torque_unit(spec)) == one.other);
    // What is printed reads back to the same.
    CHECK(authored(spec_of(authored(spec))) == authored(spec));
  }
}

TEST_CASE("the figure beside the drawing") {
  const TorqueSpec two = spec_of("5 N·m; 10 N·m");
  CHECK(final_figure(two).number == "10");
  CHECK(final_figure(two).unit == "N·m");
  CHECK(final_figure(two).after.empty());
  CHECK(final_figure_in(two, other_torque_unit(two)).number == "88.5");
  CHECK(stages_in_words(two) == "first 5 (44.3), then 10");

  const TorqueSpec angle = spec_of("20 N·m; 60 N·m + 90°; 90°");
  CHECK(final_figure(angle).number == "60");
  CHECK(final_figure(angle).after == "+ 90°; 90°");
  CHECK(angle.has_angle());
  CHECK(stages_in_words(angle) == "first 20 (14.8), then 60 + 90°, then 90°");

  CHECK(final_figure(spec_of("20 .. 25 N·m")).number == "20–25");
  CHECK(final_figure(spec_of("hand tight")).number.empty());
  CHECK(stages_in_words(spec_of("10 N·m")).empty());
  CHECK(!spec_of("40 N·m; loosen 180°; 25 N·m").has_angle());
}

TEST_CASE("two stated units that disagree are refused") {
  CHECK(reason_in(parse_torque("80 lbf·ft (180 N·m)")).what == "the two units disagree");
  CHECK(reason_in(parse_torque("10 N·m (89 lbf·ft)")).what == "the two units disagree");
  CHECK(taken(parse_torque("10 N·m (89 lbf·in)")));
  CHECK(taken(parse_torque("20-25 N·m (15-18 lbf·ft)")));
}

TEST_CASE("malformed torque") {
  const std::vector<std::string_view> texts = {
      "",
      "10",
      "N·m",
      "5; 10 N·m",
      "80 lb",
      "80 lbs",
      "8 kg",
      "50 N",
      "30 psi",
      "0 N·m",
      "-5 N·m",
      "25-20 N·m",
      "60 + 90°",
      "60 N·m +",
      "60 N·m + + 90°",
      "60 N·m; ; 90°",
      "60 N·m;",
      "60 N·m + 0°",
      "60 N·m + 900°",
      "60 N·m + 20 N·m",
      "90° + 60 N·m",
      "99999 N·m",
      "1,500 N·m",
      "10 N·m (",
      "10 N·m ()",
      "10 N·m (5 V)",
      "10 N·m (89 lbf·in) x",
      "loosen 20 N·m",
      "hand tight 20 N·m",
      "10 N·m / 89 lbf·in",
      "10 MN·m",
      "very tight",
      "10 N·m dry",
      "\xFF",
      "1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m;1 N·m",
      "1 N·m + 9° + 9° + 9° + 9° + 9°",
      "60 N·m + 80-90°",
  };
  expect_refusals(texts, 36, [](std::string_view text) { return parse_torque(text); });
  // `then` parts stages only where it is a word.
  CHECK(taken(parse_torque("10 N·m then 20 N·m"))->stages.size() == 2);
  CHECK(!taken(parse_torque("10 N·mthen 20 N·m")));
  CHECK(!taken(parse_torque("10 N·m thenceforth 20 N·m")));
  CHECK(reason_in(parse_torque("10 N·m then20 N·m then")).what == "a stage is empty");
  CHECK(reason_in(parse_torque("60 N·m; ; 90°")).what == "a stage is empty");
  CHECK(reason_in(parse_torque("60 N·m;")).what == "a stage is empty");
  CHECK(reason_in(parse_torque("80 lb")).remedy == "is it lbf·ft or lbf·in?");
}

TEST_CASE("noise never breaks the torque reader") {
  survive_noise("0123456789.;+-() Nmlbftturnthen°", 20000,
                [](std::string_view text) { return parse_torque(text); });
}
