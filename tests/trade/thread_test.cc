#include "trade/thread.h"

#include <array>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"
#include "trade/near.h"

using namespace baylore::trade;

namespace {

Thread thread_of(std::string_view text) {
  const auto read = taken(parse_thread(text));
  REQUIRE(read);
  return *read;
}

struct Case {
  std::string_view typed, text;
  double diameter_mm, pitch_mm;
  bool coarse;
};

}  // namespace

TEST_CASE("threads as people write them") {
  const std::array cases = {
      Case{"M6x1.0", "M6x1", 6, 1, true},
      Case{"m6 x 1", "M6x1", 6, 1, true},
      Case{"M6", "M6x1", 6, 1, true},
      Case{"M8×1.25", "M8x1.25", 8, 1.25, true},
      Case{"M8-1.25", "M8x1.25", 8, 1.25, true},
      Case{"M8*1,25", "M8x1.25", 8, 1.25, true},
      Case{"M10x1.25", "M10x1.25", 10, 1.25, false},
      Case{"M14 x 1.5 LH", "M14x1.5 LH", 14, 1.5, false},
      Case{"1/4-20", "1/4-20 UNC", 6.35, 1.27, true},
      Case{"1/4\"-20 UNC", "1/4-20 UNC", 6.35, 1.27, true},
      Case{"1/4 - 20", "1/4-20 UNC", 6.35, 1.27, true},
      Case{"3/8 UNF", "3/8-24 UNF", 9.525, 25.4 / 24, false},
      Case{"7/16-20 unf", "7/16-20 UNF", 11.1125, 1.27, false},
      Case{"#10-24", "#10-24 UNC", 4.826, 25.4 / 24, true},
      Case{"No. 10-32", "#10-32 UNF", 4.826, 25.4 / 32, false},
      Case{"½-13", "1/2-13 UNC", 12.7, 25.4 / 13, true},
  };
  for (const Case& one : cases) {
    CAPTURE(std::string(one.typed));
    const Thread thread = thread_of(one.typed);
    CHECK(thread.text == one.text);
    CHECK(near(thread.diameter_mm, one.diameter_mm, 1e-12));
    CHECK(near(thread.pitch_mm, one.pitch_mm, 1e-12));
    CHECK(thread.coarse == one.coarse);
    CHECK(thread.standard);
    CHECK(thread_of(thread.text).text == thread.text);
  }
  CHECK(!thread_of("M6").pitch_given);
  CHECK(thread_of("M14x1.5 LH").left_hand);
  CHECK(!thread_of("M6x1.25").standard);
  CHECK(!thread_of("1/4-24").standard);
}

TEST_CASE("a hundred malformed threads") {
  const std::vector<std::string_view> texts = {
      "",         " ",          "M",          "Mx1",        "M x 1",      "Mx",         "M0",
      "M0x1",     "M0.5",       "M65",        "M100x6",     "M-6",        "M6x",        "M6x0",
      "M6x0.1",   "M6x2.5",     "M6x-1",      "M6xx1",      "M6x1x20",    "M8x1.25x25", "M8x25",
      "M6x20",    "M10x30",     "M8x1.25-6g", "M8-1.25-20", "M8x1.25 6H", "M8 1.25",    "M13",
      "M19",      "M6.3",       "M6,5",       "M1,000",     "Mabc",       "M6xabc",     "M6x1/2",
      "M1/4",     "M6 mm",      "M6x1 mm",    "6x1",        "6",          "8 mm",       "8",
      "1/4",      "5/16",       "3/8",        "1/2",        "1",          "1/4-",       "-20",
      "1/4-0",    "1/4-3",      "1/4-200",    "1/4-20.5",   "1/4-x",      "1/4x20",     "1/4-20-1",
      "1/4-20x1", "1/4-20 UNX", "1/4-28 UNC", "1/4-20 UNF", "3/8-16 UNF", "1/5-20",     "1/3-20",
      "2/4-13",   "4/8-13",     "5/8",        "1-8",        "2-4.5",      "#3-48",      "#10",
      "#0-80",    "10-24",      "#-20",       "# 10",       "No-10",      "No. 7-20",   "1/8 NPT",
      "1/4 NPTF", "G1/4 BSP",   "1/4-18 npt", "pipe",       "UNC",        "UNF",        "LH",
      "M LH",     "1/4-20,5",   "1//4-20",    "1/4/20",     "1/4--20",    "\xFF",       "M6\x01",
      "M6x1\xC3", "М6x1",       "Ｍ",         "bolt",       "wood screw", "W8",         "Tr16x4",
      "ISO M6",   "class 8.8",  "M6 8.8",     "M6/M8",      "M6, M8",     "M6;M8",      "M6x1.0.0",
      "M6x1,0,0", "1/4 20",     "0.25-20",    "M6x١",       "6.35",
  };
  expect_refusals(texts, 100, [](std::string_view text) { return parse_thread(text); });
  CHECK(reason_in(parse_thread("M8x25")).remedy == "usual pitches are 1.25, 1, 0.75 mm");
  CHECK(reason_in(parse_thread("1/4")).remedy == "write 1/4-20 or 1/4-28");
}

TEST_CASE("printed stress areas stay near the formula") {
  for (const std::string_view text :
       {"M5", "M6", "M7", "M8", "M10", "M12", "M14", "M16", "1/4-20", "5/16-18", "3/8-16",
        "7/16-14", "1/2-13", "9/16-12", "5/8-11"}) {
    CAPTURE(std::string(text));
    const Thread thread = thread_of(text);
    CHECK(near(stress_area(thread), stress_area_by_formula(thread), 0.005));
    CHECK(stress_area(thread) != stress_area_by_formula(thread));
  }
}

TEST_CASE("an inch thread that would be cut deeper than a third of its diameter is refused") {
  for (const std::string_view text : {"#10-5", "1/4-5", "1/4-11", "#4-26"}) {
    CAPTURE(std::string(text));
    CHECK(reason_in(parse_thread(text)).what == "too few threads per inch for this size");
  }
  // The coarsest pitch of the header is 6 mm.
  CHECK(reason_in(parse_thread("3/4-4")).what == "the threads per inch are not understood");
  CHECK(reason_in(parse_thread("#10-5")).remedy == "#10 is 24 coarse and 32 fine");
  CHECK(thread_of("1/4-13").pitch_mm < thread_of("1/4-13").diameter_mm / 3);
}

TEST_CASE("noise never breaks the thread reader") {
  survive_noise("Mm0123456789x.,-/\" #UNCFLH", 20000,
                [](std::string_view text) { return parse_thread(text); });
}
