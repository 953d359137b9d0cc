#include "viewer/input/gesture.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace {

using baylore::viewer::Gesture;
using baylore::viewer::GestureRecogniser;
using Kind = Gesture::Kind;

std::vector<Kind> kinds(const std::vector<Gesture>& all) {
  std::vector<Kind> out;
  for (const Gesture& g : all) out.push_back(g.kind);
  return out;
}

}  // namespace

TEST_CASE("press and release in neighbouring samples are a tap where the finger came down") {
  GestureRecogniser r(5);
  CHECK(r.feed(0, 10, 20, false).empty());
  CHECK(kinds(r.feed(0.01, 10, 20, true)) == std::vector{Kind::press});
  CHECK(r.down());
  const auto tap = r.feed(0.02, 13, 20, false);  // a wobble within the slop
  REQUIRE(kinds(tap) == std::vector{Kind::tap});
  CHECK(tap[0].x == 10);
  CHECK(tap[0].y == 20);
  CHECK_FALSE(r.down());
}

TEST_CASE("within the slop it is a tap, beyond it a drag that starts without a jump") {
  for (const float slop : {2.5F, 5.0F}) {
    CAPTURE(slop);
    GestureRecogniser r(slop);
    r.feed(0, 50, 50, true);
    CHECK(r.feed(0.05, 50 + slop, 50, true).empty());
    CHECK(kinds(r.feed(0.06, 50 + slop, 50, false)) == std::vector{Kind::tap});

    r.feed(1, 50, 50, true);
    const auto first = r.feed(1.05, 50, 50 + slop + 0.25F, true);
    REQUIRE(kinds(first) == std::vector{Kind::drag});
    // The slop itself is not scrolled through.
    CHECK(first[0].dy == doctest::Approx(0.25));
    CHECK(first[0].dx == doctest::Approx(0));
    CHECK(first[0].y == 50);
    const auto second = r.feed(1.06, 50, 50 + slop + 3.25F, true);
    REQUIRE(kinds(second) == std::vector{Kind::drag});
    CHECK(second[0].dy == doctest::Approx(3));
    // Back over where it began it stays a drag.
    r.feed(1.07, 50, 50, true);
    r.feed(1.3, 50, 50, true);
    CHECK(r.feed(1.31, 50, 50, false).empty());
  }
}

TEST_CASE("a drag adds up to the way of the finger less the slop") {
  GestureRecogniser r(5);
  r.feed(0, 10, 100, true);
  float sum = 0;
  for (int i = 1; i <= 40; ++i) {
    for (const Gesture& g : r.feed(i * 0.01, 10, 100 - static_cast<float>(i), true)) sum += g.dy;
  }
  CHECK(sum == doctest::Approx(-35));
}

TEST_CASE("a finger that lifts while moving throws with its speed of the last tenth of a second") {
  GestureRecogniser r(5);
  r.feed(0, 50, 100, true);
  // Slow at first, then 200 mm/s upwards.
  for (int i = 1; i <= 20; ++i) r.feed(i * 0.02, 50, 100 - static_cast<float>(i) * 0.5F, true);
  std::vector<Gesture> last;
  for (int i = 1; i <= 20; ++i)
    last = r.feed(0.4 + i * 0.01, 50, 90 - static_cast<float>(i) * 2.0F, true);
  const auto up = r.feed(0.61, 50, 48, false);
  REQUIRE(kinds(up) == std::vector{Kind::drag, Kind::fling});
  CHECK(up[1].dy == doctest::Approx(-200).epsilon(0.02));
  CHECK(up[1].dx == doctest::Approx(0));
}

TEST_CASE("a finger that rests before it lifts puts the page down") {
  GestureRecogniser r(5);
  r.feed(0, 50, 100, true);
  for (int i = 1; i <= 10; ++i) r.feed(i * 0.01, 50, 100 - static_cast<float>(i) * 3, true);
  SUBCASE("with samples while it rests") {
    for (int i = 1; i <= 12; ++i) CHECK(r.feed(0.1 + i * 0.01, 50, 70, true).empty());
    CHECK(r.feed(0.23, 50, 70, false).empty());
  }
  SUBCASE("asleep while it rests") { CHECK(r.feed(0.5, 50, 70, false).empty()); }
}

TEST_CASE("a press over one second never activates") {
  SUBCASE("seen while it is held") {
    GestureRecogniser r(5);
    r.feed(0, 10, 10, true);
    CHECK(r.deadline() == doctest::Approx(1));
    CHECK(r.feed(1.0, 10, 10, true).empty());
    CHECK(kinds(r.feed(1.01, 10, 10, true)) == std::vector{Kind::cancel});
    CHECK(r.deadline() == 0);
    CHECK(r.feed(1.02, 40, 40, true).empty());  // a palm that slides scrolls nothing
    CHECK(r.feed(1.03, 40, 40, false).empty());
  }
  SUBCASE("seen only when it ends") {
    GestureRecogniser r(5);
    r.feed(0, 10, 10, true);
    CHECK(kinds(r.feed(1.01, 10, 10, false)) == std::vector{Kind::cancel});
    CHECK_FALSE(r.down());
  }
  // The next press is a press like any other.
  GestureRecogniser r(5);
  r.feed(0, 10, 10, true);
  r.feed(2, 10, 10, false);
  r.feed(3, 10, 10, true);
  CHECK(kinds(r.feed(3.1, 10, 10, false)) == std::vector{Kind::tap});
}

TEST_CASE("what is taken away ends without effect") {
  GestureRecogniser r(5);
  CHECK(r.cancel().empty());
  r.feed(0, 10, 10, true);
  CHECK(kinds(r.cancel()) == std::vector{Kind::cancel});
  CHECK_FALSE(r.down());
  CHECK(r.feed(0.1, 10, 10, false).empty());
  r.feed(1, 10, 10, true);
  r.feed(1.1, 10, 40, true);
  CHECK(kinds(r.cancel()) == std::vector{Kind::cancel});
  CHECK(r.feed(1.2, 10, 60, false).empty());
}

TEST_CASE("random fingers: one press is one thing, and a long one is never a tap") {
  std::mt19937 random(20260314);
  const auto pick = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  int taps = 0;
  int drags = 0;
  int cancels = 0;
  for (int round = 0; round < 20000; ++round) {
    const auto slop = static_cast<float>(pick(1, 8));
    GestureRecogniser r(slop);
    double now = pick(0, 1000);
    double x = pick(0, 200);
    double y = pick(0, 200);
    const double began = now;
    const auto from_x = static_cast<float>(x);
    const auto from_y = static_cast<float>(y);
    std::vector<Gesture> all = r.feed(now, from_x, from_y, true);
    const double wander = pick(0, 6);
    const int samples = static_cast<int>(pick(0, 12));
    float farthest = 0;
    for (int i = 0; i <= samples; ++i) {
      now += pick(0.001, 0.25);
      x += pick(-wander, wander);
      y += pick(-wander, wander);
      const auto fx = static_cast<float>(x);
      const auto fy = static_cast<float>(y);
      if (now - began <= 1) farthest = std::max(farthest, std::hypot(fx - from_x, fy - from_y));
      const auto more = r.feed(now, fx, fy, i < samples);
      all.insert(all.end(), more.begin(), more.end());
    }
    const auto count = [&](Kind kind) {
      return std::count_if(all.begin(), all.end(),
                           [&](const Gesture& g) { return g.kind == kind; });
    };
    REQUIRE(count(Kind::press) == 1);
    const bool tap = count(Kind::tap) > 0;
    const bool drag = count(Kind::drag) > 0 || count(Kind::fling) > 0;
    const bool cancel = count(Kind::cancel) > 0;
    REQUIRE(static_cast<int>(tap) + static_cast<int>(drag) + static_cast<int>(cancel) <= 1);
    REQUIRE(count(Kind::tap) + count(Kind::cancel) + count(Kind::fling) <= 1);
    if (tap) {
      REQUIRE(now - began <= 1);
      REQUIRE(farthest <= slop);
    }
    if (!drag && now - began > 1) REQUIRE(cancel);
    REQUIRE_FALSE(r.down());
    for (const Gesture& g : all) {
      REQUIRE(g.x == from_x);
      REQUIRE(g.y == from_y);
      REQUIRE(std::isfinite(g.dx));
      REQUIRE(std::isfinite(g.dy));
    }
    taps += tap ? 1 : 0;
    drags += drag ? 1 : 0;
    cancels += cancel ? 1 : 0;
  }
  // All three came up often enough for this to mean something.
  CHECK(taps > 1000);
  CHECK(drags > 1000);
  CHECK(cancels > 500);
}
