// A reading held against what its check expects, in the words that the panel shows.
#include "job/judge.h"

#include <doctest/doctest.h>

#include <string>
#include <string_view>

using namespace baylore;
using job::judge;
using job::Judged;
using job::Reading;
using Kind = job::Judged::Kind;

namespace {

shop::Check check(std::string_view expect) {
  shop::Check check;
  check.name = "Pressure left after 10 minutes";
  check.expect = trade::taken(trade::parse_expectation(expect));
  check.outside = "suggests";
  check.inside = "hints";
  return check;
}

Reading read(const std::string& value) {
  Reading reading;
  reading.result = "reading";
  reading.value = value;
  return reading;
}

Reading answered(const std::string& result) {
  Reading reading;
  reading.result = result;
  return reading;
}

}  // namespace

TEST_CASE("a number is judged against the range, and earns the strength word of its side") {
  const shop::Check held = check(">= 95 kPa");
  REQUIRE(held.expect);

  const Reading low = read("82 kPa");
  const Judged under = judge(held, &low);
  CHECK(under.kind == Kind::judged);
  REQUIRE(under.verdict);
  CHECK(under.verdict->standing == trade::Standing::kLow);
  CHECK(under.words == "13 kPa under the range");
  CHECK(under.means == "suggests this cause");
  CHECK(job::said(under) == job::kOutside);
  CHECK(job::word(under) == "low");

  const Reading good = read("99");  // a bare number has the range's unit
  const Judged inside = judge(held, &good);
  CHECK(inside.kind == Kind::judged);
  CHECK(inside.words == "within the range");
  CHECK(inside.means == "hints at this cause");
  CHECK(job::said(inside) == job::kInside);
  CHECK(job::word(inside) == "in range");

  const shop::Check upper = check("<= 0.3 V");
  const Reading high = read("0.9 V");
  CHECK(judge(upper, &high).words == "0.6 V over the range");
  CHECK(job::word(judge(upper, &high)) == "high");
}

TEST_CASE("what the meter cannot tell earns neither word") {
  const shop::Check held = check(">= 95 kPa");
  // 1 % of 95 kPa either way: 94.5 could be 95.4.
  const Reading near = read("94.5 kPa");
  const Judged edge = judge(held, &near);
  CHECK(edge.kind == Kind::judged);
  CHECK(job::word(edge) == "on the edge");
  CHECK(edge.means.empty());
  // A better meter can.
  const Judged told = judge(held, &near, 0.001);
  CHECK(job::word(told) == "low");
  CHECK(told.means == "suggests this cause");
}

TEST_CASE("plain answers") {
  const shop::Check held = check("yes");
  const Reading yes = answered("yes");
  const Judged seen = judge(held, &yes);
  CHECK(seen.kind == Kind::yes);
  CHECK(seen.means == "hints at this cause");
  CHECK(job::said(seen) == job::kInside);
  CHECK(job::word(seen) == "yes");
  const Reading no = answered("no");
  const Judged unseen = judge(held, &no);
  CHECK(unseen.kind == Kind::no);
  CHECK(unseen.means == "suggests this cause");
  CHECK(job::said(unseen) == job::kOutside);
  CHECK(job::word(unseen) == "no");
}

TEST_CASE("what was not read says neither inside nor outside, and why") {
  const shop::Check held = check(">= 95 kPa");
  const Judged nothing = judge(held, nullptr);
  CHECK(nothing.kind == Kind::none);
  REQUIRE(nothing.expect);
  CHECK(nothing.expect->low == held.expect->low);
  CHECK(job::word(nothing).empty());
  CHECK(job::said(nothing).empty());

  const Reading away = answered("not showing now");
  const Judged later = judge(held, &away);
  CHECK(later.kind == Kind::not_showing);
  CHECK(later.words.find("away just now") != std::string::npos);
  CHECK(later.means.empty());
  CHECK(job::word(later) == "not showing now");
  CHECK(job::said(later).empty());

  const Reading could_not = answered("could not check");
  CHECK(judge(held, &could_not).kind == Kind::could_not);
  CHECK(job::word(judge(held, &could_not)) == "could not check");
  CHECK(job::said(judge(held, &could_not)).empty());

  const Reading other = read("12 V");
  const Judged unread = judge(held, &other);
  CHECK(unread.kind == Kind::not_read);
  CHECK_FALSE(unread.words.empty());
  CHECK(unread.means.empty());
  CHECK(job::word(unread) == "not read");
  CHECK(job::said(unread).empty());

  const Reading number = read("12");
  CHECK(judge(check("yes"), &number).kind == Kind::not_read);
}

TEST_CASE("a winding that was measured warm is held against the warm range") {
  // Annealed copper gains 0.393 % of its resistance at 20 °C with each kelvin (IEC 60028): 2 Ω at
  // 20 °C are 2.31 Ω at 60 °C.
  shop::Check held = check("1 .. 2 ohm");
  held.correct = "copper 20 °C";
  Reading warm = read("2.2 ohm");
  CHECK(job::word(judge(held, &warm)) == "high");  // nobody said how warm it was
  warm.measured = "60 °C";
  const Judged corrected = judge(held, &warm);
  CHECK(job::word(corrected) == "in range");
  CHECK(corrected.reason == "for 60 °C instead of 20 °C");
  REQUIRE(corrected.expect);
  CHECK(*corrected.expect->high == doctest::Approx(2 * (1 + 0.00393 * 40)));
  // A temperature that is none costs the judging, not the reading.
  warm.measured = "warm";
  const Judged unread = judge(held, &warm);
  CHECK(unread.kind == Kind::not_read);
  CHECK(unread.quantity);
}

TEST_CASE("strength words as a sentence") {
  CHECK(job::strength_words("hints", "this cause") == "hints at this cause");
  CHECK(job::strength_words("says nothing", "this cause") == "says nothing about this cause");
  CHECK(job::strength_words("proves", "a leak") == "proves a leak");
  CHECK(job::strength_words("", "this cause").empty());
}
