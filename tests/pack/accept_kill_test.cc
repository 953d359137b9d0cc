// Accepting and undoing packs while the program is killed, and while every call to the disk fails
// in turn: afterwards, once what was cut off is taken up, the shop is the one before or the one
// after.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <random>
#include <string>
#include <thread>

#include "pack/accept.h"
#include "pack/shops.h"
#include "support/failing_disk.h"

using namespace baylore;
using test::Location;
using test::png_of;
using test::tip_text;

namespace {

using Files = std::map<std::string, std::string>;

// BAYLORE_KILLS=1000 for a long run.
int kills() {
  const char* text = std::getenv("BAYLORE_KILLS");
  return text == nullptr ? 15 : std::atoi(text);
}

// South has one of north's tips in an older version, one that conflicts, and lacks the rest.
struct Pair {
  Location north{"north"};
  Location south{"south"};
  std::string path;

  explicit Pair(int more) {
    south.trusts(north);
    const std::string first = tip_text("first", "First");
    south.put("tips/first.md", first);
    north.put("tips/first.md", first);
    north.edit("tips/first.md", tip_text("first", "First, and more"));
    south.put("tips/second.md", tip_text("second", "Ours"));
    north.put("tips/second.md", tip_text("second", "Theirs"));
    for (int i = 0; i < more; ++i) {
      const std::string id = "more-" + std::to_string(i);
      north.put("tips/" + id + ".md", tip_text(id, id, "\n![x](" + id + ".png)\n"));
      north.put("tips/" + id + ".png", png_of(id));
    }
    path = north.seal("p1");
  }
};

const pack::Accepting kHow{{}, "RO", "2026-03-21T08:00:00Z", ""};

// The shop as people see it: no temporary files, no folders of the program's own.
Files seen(const Location& shop) {
  Files all;
  for (const auto& [path, bytes] : shop.files()) {
    if (std::filesystem::path(path).filename().string().front() != '.') all[path] = bytes;
  }
  return all;
}

void copy(const Location& from, const std::string& to) {
  std::filesystem::remove_all(to);
  std::filesystem::copy(from.folder(), to, std::filesystem::copy_options::recursive);
}

void put_back(const std::string& from, const Location& to) {
  std::filesystem::remove_all(to.folder());
  std::filesystem::copy(from, to.folder(), std::filesystem::copy_options::recursive);
}

}  // namespace

TEST_CASE("whichever call fails, accepting and undoing are done whole or not at all") {
  Pair pair(1);
  Location& south = pair.south;
  const pack::Pack pack = south.open(pair.path);
  const std::string fresh = pair.north.scratch().path("fresh");
  copy(south, fresh);
  const Files before = seen(south);
  const std::string folder = south.accept(pair.path).folder;
  const Files after = seen(south);
  const std::string accepted = pair.north.scratch().path("accepted");
  copy(south, accepted);
  CHECK(before != after);

  const auto try_all = [&](const std::string& start, const Files& old, const Files& done,
                           const auto& act) {
    put_back(start, south);
    test::FailingDisk disk(files::real_disk());
    REQUIRE(act(disk));
    const int calls = disk.calls();
    int whole = 0;
    int points = 0;
    for (const auto how : {test::FailingDisk::How::once, test::FailingDisk::How::forever}) {
      // promises/disturbed tries every call, on a disk in memory; this is a real one.
      const int step = how == test::FailingDisk::How::once ? 4 : 7;
      for (int call = 1; call <= calls; call += step) {
        ++points;
        put_back(start, south);
        disk.fail_at(call, how, files::Failure::Kind::full);
        const bool ok = act(disk);
        CAPTURE(call);
        CAPTURE(disk.log().back());
        const auto finished = pack::finish_received(files::real_disk(), south.folder());
        REQUIRE(finished.ok());
        CHECK(finished->empty());
        const Files now = seen(south);
        CHECK((now == old || now == done));
        if (ok) CHECK(now == done);
        if (now == done) ++whole;
      }
    }
    // Some were cut off after the decision, some before.
    CHECK(whole > 0);
    CHECK(whole < points);
    return points;
  };
  const int accepting = try_all(fresh, before, after, [&](files::Disk& disk) {
    return pack::accept(disk, south.folder(), pair.path, pack, kHow).ok();
  });
  const int undoing = try_all(accepted, after, before, [&](files::Disk& disk) {
    return pack::undo(disk, south.folder(), folder, "RO", "2026-03-22T08:00:00Z").ok();
  });
  MESSAGE(accepting, " and ", undoing, " points of failure");
}

TEST_CASE("killed at random moments, accepting leaves the shop before or the shop after") {
  Pair pair(12);
  Location& south = pair.south;
  const pack::Pack pack = south.open(pair.path);
  const std::string fresh = pair.north.scratch().path("fresh");
  copy(south, fresh);
  const Files before = seen(south);
  const auto begun = std::chrono::steady_clock::now();
  south.accept(pair.path);
  const auto took = std::chrono::duration_cast<std::chrono::microseconds>(
                        std::chrono::steady_clock::now() - begun)
                        .count();
  const Files after = seen(south);
  std::mt19937 dice(5);
  std::uniform_int_distribution<long> moment(0, took);
  const int rounds = kills();
  int old = 0;
  int done = 0;
  int cut = 0;
  for (int round = 0; round < rounds; ++round) {
    put_back(fresh, south);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      const bool ok = pack::accept(files::real_disk(), south.folder(), pair.path, pack, kHow).ok();
      ::_exit(ok ? 0 : 1);
    }
    // Before the decision is a tenth of the time: one kill in three is meant for it.
    std::this_thread::sleep_for(
        std::chrono::microseconds(moment(dice) / (round % 3 == 0 ? 10 : 1)));
    ::kill(child, SIGKILL);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE_FALSE((WIFEXITED(status) && WEXITSTATUS(status) != 0));
    const Files torn = seen(south);
    if (torn != before && torn != after) ++cut;
    REQUIRE(pack::finish_received(files::real_disk(), south.folder()).ok());
    const Files now = seen(south);
    REQUIRE((now == before || now == after));
    (now == before ? old : done)++;
    // And it can be accepted, or is.
    CHECK(pack::accept(files::real_disk(), south.folder(), pair.path, pack, kHow).ok());
    CHECK(seen(south) == after);
  }
  MESSAGE(rounds, " kills: ", old, " before, ", done, " after, ", cut, " of them in between");
  // Kills that all came after the end would prove nothing.
  CHECK(old + cut > 0);
}
