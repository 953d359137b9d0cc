// Deeds on the real file system, killed at random moments: what was acknowledged is there, nothing
// is half there, and the next try works.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "promises/deeds.h"
#include "support/scratch.h"

using namespace baylore;
using Clock = std::chrono::steady_clock;
using test::Deed;
using test::Found;
using test::Scratch;

namespace {

// BAYLORE_KILLS=2000 for a long run.
int kills() {
  const char* text = std::getenv("BAYLORE_KILLS");
  return text == nullptr ? 40 : std::atoi(text);
}

void set(const Scratch& scratch, const Deed& deed) {
  for (const auto& [path, bytes] : deed.scene) scratch.put(path, bytes);
}

struct Course {
  Found before;
  Found done;
  long took_us = 0;
};
Course course_of(const Deed& deed) {
  Course course;
  const Scratch scratch;
  const test::Place place = test::place_in(scratch.folder());
  set(scratch, deed);
  course.before = test::found_at_start(files::real_disk(), place);
  const auto begun = Clock::now();
  REQUIRE_MESSAGE(deed.act(files::real_disk(), place), deed.name);
  course.took_us =
      std::chrono::duration_cast<std::chrono::microseconds>(Clock::now() - begun).count();
  course.done = test::found_at_start(files::real_disk(), place);
  return course;
}

// Whether the child, killed after so long, said before that it was done.
bool killed_after(const Deed& deed, const test::Place& place, long microseconds, bool& signalled) {
  int pipe[2] = {-1, -1};
  REQUIRE(::pipe(pipe) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const char begun = 'b';
    if (::write(pipe[1], &begun, 1) != 1) ::_exit(2);
    if (!deed.act(files::real_disk(), place)) ::_exit(1);
    const char done = 'd';
    if (::write(pipe[1], &done, 1) != 1) ::_exit(2);
    for (;;) ::pause();
  }
  ::close(pipe[1]);
  char said = 0;
  REQUIRE(::read(pipe[0], &said, 1) == 1);
  std::this_thread::sleep_for(std::chrono::microseconds(microseconds));
  REQUIRE(::kill(child, SIGKILL) == 0);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  signalled = WIFSIGNALED(status);
  const bool acknowledged = ::read(pipe[0], &said, 1) == 1 && said == 'd';
  ::close(pipe[0]);
  return acknowledged;
}

}  // namespace

TEST_CASE("killed at random moments, no deed is half done and none that was acknowledged is lost") {
  std::mt19937 random(17);
  std::vector<Course> courses;
  for (const Deed& deed : test::deeds()) {
    // The first of all is the slowest; moments beyond a deed's end would prove little.
    courses.push_back(course_of(deed));
    courses.back().took_us = std::min(courses.back().took_us, course_of(deed).took_us);
  }
  int acknowledged_then_killed = 0;
  int not_begun = 0;
  int taken_up = 0;
  int rounds = 0;
  for (; rounds < kills(); ++rounds) {
    const std::size_t which = static_cast<std::size_t>(rounds) % courses.size();
    const Deed& deed = test::deeds()[which];
    const Course& course = courses[which];
    CAPTURE(deed.name);
    CAPTURE(rounds);
    const Scratch scratch;
    const test::Place place = test::place_in(scratch.folder());
    set(scratch, deed);
    bool signalled = false;
    const long moment = static_cast<long>(random() % 1000) * course.took_us * 11 / 10000;
    const bool acknowledged = killed_after(deed, place, moment, signalled);
    REQUIRE(signalled);
    const Found now = test::found_at_start(files::real_disk(), place);
    const std::string wrong = test::judge(deed, now, course.before, course.done, acknowledged);
    REQUIRE_MESSAGE(wrong.empty(), wrong);
    if (acknowledged) {
      ++acknowledged_then_killed;
    } else {
      ++(now.kinds == course.done.kinds ? taken_up : not_begun);
    }
    if (!deed.repeats && now.kinds == course.done.kinds) continue;
    CHECK(deed.act(files::real_disk(), place));
    const std::string after = test::judge(deed, test::found_at_start(files::real_disk(), place),
                                          course.before, course.done, true);
    CHECK_MESSAGE(after.empty(), after);
  }
  MESSAGE(rounds, " kills: ", acknowledged_then_killed, " after the acknowledgement, ", taken_up,
          " before it with the deed done, ", not_begun, " with nothing done");
  // Kills that all came too late would prove nothing.
  CHECK(acknowledged_then_killed * 4 < rounds * 3);
}
