// Time left, from what is done and when.
#include "viewer/state/progress.h"

#include <doctest/doctest.h>

using baylore::viewer::Progress;

TEST_CASE("time left is told when there is something to tell, and no finer than it is known") {
  Progress p(100);
  CHECK(p.left().empty());
  p.at(0, 0, 101);
  CHECK(p.part() == 0);
  p.at(1, 1000, 110);
  CHECK(p.left().empty());  // a thousandth says little
  p.at(100, 1000, 101);
  CHECK(p.left().empty());  // so does a second
  p.at(100, 1000, 112);
  CHECK(p.left() == "2 min left");
  p.at(500, 1000, 130);
  CHECK(p.left() == "30 s left");
  p.at(950, 1000, 160);
  CHECK(p.left() == "a few seconds left");
  p.at(2000, 1000, 161);
  CHECK(p.part() == 1);
}
