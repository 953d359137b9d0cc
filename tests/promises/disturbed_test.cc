// Each operation of each deed on the disk failed in turn, and the power cut at each in turn:
// nothing that was acknowledged is lost, nothing half-written is read, and the next try works.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <random>
#include <string>

#include "promises/deeds.h"
#include "support/failing_disk.h"
#include "support/forgetful_disk.h"

using namespace baylore;
using files::Failure;
using test::Deed;
using test::FailingDisk;
using test::ForgetfulDisk;
using test::Found;
using test::Place;

namespace {

const Place kPlace = test::place_in("/bay");

// BAYLORE_POINTS=20: every call of every deed, and at each so many ways in which what was not
// flushed may have been written. Otherwise one in so many calls of the long deeds, and one way.
int asked_ways() {
  const char* text = std::getenv("BAYLORE_POINTS");
  return text == nullptr ? 0 : std::atoi(text);
}
int ways() { return std::max(1, asked_ways()); }
int step_of(int calls) { return asked_ways() > 0 || calls <= 40 ? 1 : 5; }

void set(ForgetfulDisk& disk, const Deed& deed) {
  disk.put("/bay/.here", "");
  for (const auto& [path, bytes] : deed.scene) disk.put("/bay/" + path, bytes);
}

// A deed's find before and after, and the calls it takes.
struct Course {
  Found before;
  Found done;
  int calls = 0;
};
Course course_of(const Deed& deed) {
  Course course;
  ForgetfulDisk disk;
  set(disk, deed);
  course.before = test::found_at_start(disk, kPlace);
  disk.cut_at(0);
  REQUIRE_MESSAGE(deed.act(disk, kPlace), deed.name);
  course.calls = disk.calls();
  course.done = test::found_at_start(disk, kPlace);
  CHECK(course.before.broken.empty());
  CHECK(course.done.broken.empty());
  CHECK_MESSAGE(course.before.kinds != course.done.kinds, deed.name, " changes nothing");
  return course;
}

// After a deed was disturbed and did not get through, it is asked for once more.
void try_again(const Deed& deed, const Course& course, files::Disk& disk, const Found& now) {
  const bool not_done = now.kinds != course.done.kinds;
  if (!deed.repeats && !not_done) return;
  const bool acknowledged = deed.act(disk, kPlace);
  if (not_done) CHECK_MESSAGE(acknowledged, "the next try does not work");
  const std::string wrong =
      test::judge(deed, test::found_at_start(disk, kPlace), course.before, course.done, true);
  CHECK_MESSAGE(wrong.empty(), wrong);
}

}  // namespace

TEST_CASE("whichever call to the disk fails, a deed is whole or not done, and can be done again") {
  int points = 0;
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    const Course course = course_of(deed);
    for (const auto how : {FailingDisk::How::once, FailingDisk::How::forever}) {
      for (const auto kind : {Failure::Kind::full, Failure::Kind::gone, Failure::Kind::denied}) {
        for (int call = 1; call <= course.calls; call += step_of(course.calls)) {
          ForgetfulDisk memory;
          set(memory, deed);
          FailingDisk disk(memory);
          if (kind == Failure::Kind::denied) disk.let_remove_fail();
          disk.fail_at(call, how, kind);
          const bool acknowledged = deed.act(disk, kPlace);
          CAPTURE(call);
          const Found now = test::found_at_start(memory, kPlace);
          const std::string wrong =
              test::judge(deed, now, course.before, course.done, acknowledged);
          CHECK_MESSAGE(wrong.empty(), wrong);
          ++points;
          try_again(deed, course, memory, now);
        }
      }
    }
  }
  MESSAGE(points, " points of failure");
  CHECK(points > 1000);
}

TEST_CASE("whenever the power goes, what was acknowledged is there and nothing is half there") {
  std::mt19937 random(3);
  int points = 0;
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    const Course course = course_of(deed);
    // The last one is after all of it was acknowledged.
    for (int call = 1; call <= course.calls + 1;
         call += call > course.calls - 5 ? 1 : step_of(course.calls)) {
      for (int way = 0; way < ways(); ++way) {
        ForgetfulDisk disk;
        set(disk, deed);
        disk.cut_at(call);
        const bool acknowledged = deed.act(disk, kPlace);
        CAPTURE(call);
        disk.power_on(random);
        const Found now = test::found_at_start(disk, kPlace);
        const std::string wrong = test::judge(deed, now, course.before, course.done, acknowledged);
        CHECK_MESSAGE(wrong.empty(), wrong);
        ++points;
        try_again(deed, course, disk, now);
      }
    }
  }
  MESSAGE(points, " power cuts");
  CHECK(points > 300);
}

// The one before must not have left something that only looks done.
TEST_CASE("a second try that is acknowledged after a failed one outlives a power cut") {
  std::mt19937 random(5);
  int points = 0;
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    const Course course = course_of(deed);
    for (int call = 1; call <= course.calls; call += step_of(course.calls)) {
      for (int way = 0; way < ways(); ++way) {
        ForgetfulDisk memory;
        set(memory, deed);
        FailingDisk disk(memory);
        disk.fail_at(call, FailingDisk::How::once, Failure::Kind::gone);
        CAPTURE(call);
        bool acknowledged = deed.act(disk, kPlace);
        if (!acknowledged) acknowledged = deed.act(memory, kPlace);
        memory.power_on(random);
        const std::string wrong = test::judge(deed, test::found_at_start(memory, kPlace),
                                              course.before, course.done, acknowledged);
        CHECK_MESSAGE(wrong.empty(), wrong);
        ++points;
      }
    }
  }
  MESSAGE(points, " second tries");
  CHECK(points > 200);
}

// What a start takes up is cut off as well, and the start after it takes it up again.
TEST_CASE("a start that is cut off while it takes up what was cut off is taken up by the next") {
  std::mt19937 random(7);
  int points = 0;
  for (const Deed& deed : test::deeds()) {
    if (!deed.name.ends_with("a pack")) continue;
    CAPTURE(deed.name);
    const Course course = course_of(deed);
    for (int call = course.calls / 3; call <= course.calls; call += 3 * step_of(course.calls)) {
      for (int again = 1;; again += 1 + step_of(course.calls)) {
        ForgetfulDisk disk;
        set(disk, deed);
        disk.cut_at(call);
        static_cast<void>(deed.act(disk, kPlace));
        disk.power_on(random);
        disk.cut_at(again);
        static_cast<void>(test::found_at_start(disk, kPlace));
        const bool through = !disk.off();
        disk.power_on(random);
        CAPTURE(call);
        CAPTURE(again);
        const std::string wrong = test::judge(deed, test::found_at_start(disk, kPlace),
                                              course.before, course.done, false);
        CHECK_MESSAGE(wrong.empty(), wrong);
        ++points;
        if (through || again > 40) break;
      }
    }
  }
  MESSAGE(points, " starts cut off");
  CHECK(points > 50);
}
