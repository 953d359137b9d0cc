// When a panel dims and hides, from times alone.
#include "viewer/input/rest.h"

#include <doctest/doctest.h>

using baylore::viewer::Rest;
using baylore::viewer::RestWatch;

TEST_CASE("a panel dims, then hides, and a touch wakes it") {
  RestWatch watch;
  watch.set(10, 30);
  CHECK(watch.touch(1000) == Rest::dim);  // nobody had touched it since it started, at 0
  CHECK(watch.at(1000) == Rest::awake);
  CHECK(watch.deadline(1000) == doctest::Approx(1600));
  CHECK(watch.at(1599) == Rest::awake);
  CHECK(watch.at(1600) == Rest::dim);
  CHECK(watch.deadline(1600) == doctest::Approx(2800));
  CHECK(watch.at(2800) == Rest::hidden);
  CHECK(watch.deadline(2800) == 0);
  CHECK(watch.touch(3000) == Rest::hidden);
  CHECK(watch.at(3000) == Rest::awake);
}

TEST_CASE("it can be hidden at once") {
  RestWatch watch;
  watch.set(0, 0);
  watch.touch(5);
  watch.hide();
  CHECK(watch.at(5) == Rest::hidden);
  CHECK(watch.touch(6) == Rest::hidden);
  CHECK(watch.at(6) == Rest::awake);
}

TEST_CASE("either can be turned off, and hiding may come first") {
  RestWatch never;
  never.set(0, 0);
  CHECK(never.at(1e9) == Rest::awake);
  CHECK(never.deadline(5) == 0);
  RestWatch hides;
  hides.set(0, 5);
  CHECK(hides.at(299) == Rest::awake);
  CHECK(hides.at(300) == Rest::hidden);
  RestWatch first;
  first.set(30, 5);
  CHECK(first.at(300) == Rest::hidden);
  CHECK(first.at(1800) == Rest::hidden);
}
