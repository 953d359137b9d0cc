// The jobs of all bays: which version of a job is whose.
#include "job/board.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "job/jobs.h"
#include "support/scratch.h"

using namespace baylore;
using job::Board;
using job::board_of;
using job::Job;
using job::Version;

namespace {

// Times of one bay's clock; another's may be hours off.
std::string at(int second) {
  return "2026-03-14T10:00:" + std::string(second < 10 ? "0" : "") + std::to_string(second) +
         ".000+01:00";
}

Version version(const std::string& terminal, const std::string& id, int second) {
  Version v{terminal, {}};
  v.job.id = id;
  v.job.state = job::State::parked;
  v.job.bay = "the " + terminal;
  v.job.touched = at(second);
  return v;
}

// What `terminal` writes when it takes over `one`.
Version taking(const Version& one, const std::string& terminal, int second) {
  Version v = one;
  v.terminal = terminal;
  v.job.bay = "the " + terminal;
  v.job.taken_from = one.terminal;
  v.job.taken_touched = one.job.touched;
  v.job.touched = at(second);
  return v;
}

}  // namespace

TEST_CASE("a parked job of another bay is listed once, with who has it") {
  const std::vector<Version> all{version("A", "job", 1)};
  CHECK(board_of(all, "A").elsewhere.empty());
  const Board other = board_of(all, "B");
  REQUIRE(other.elsewhere.size() == 1);
  CHECK(job::bay_of(other.elsewhere[0].version) == "the A");
  CHECK(other.elsewhere[0].also.empty());
}

TEST_CASE("a finished job of another bay is not in hand") {
  Version done = version("A", "job", 1);
  done.job.state = job::State::finished;
  CHECK(board_of({done}, "B").elsewhere.empty());
}

TEST_CASE("taken over: the first bay sees by whom, every other bay lists it once") {
  const Version a = version("A", "job", 1);
  // Its clock is behind: that decides nothing.
  Version b = taking(a, "B", 0);
  b.job.initials = "LA";
  const std::vector<Version> all{a, b};
  const Board first = board_of(all, "A");
  REQUIRE(first.gone.contains("job"));
  CHECK(first.gone.at("job").bay == "the B");
  CHECK(first.gone.at("job").initials == "LA");
  CHECK(first.gone.at("job").touched == a.job.touched);
  REQUIRE(first.elsewhere.size() == 1);
  CHECK(first.elsewhere[0].version.terminal == "B");
  CHECK(board_of(all, "B").elsewhere.empty());
  CHECK(board_of(all, "B").gone.empty());
  const Board third = board_of(all, "C");
  REQUIRE(third.elsewhere.size() == 1);
  CHECK(third.elsewhere[0].version.terminal == "B");
  CHECK(third.elsewhere[0].also.empty());
}

TEST_CASE("a chain of bays and back again leaves one version") {
  const Version a = version("A", "job", 1);
  const Version b = taking(a, "B", 2);
  const Version c = taking(b, "C", 3);
  const Version a_again = taking(c, "A", 4);  // in place of its first file
  CHECK(board_of({a, b, c}, "A").gone.at("job").bay == "the C");
  CHECK(board_of({a, b, c}, "D").elsewhere.at(0).version.terminal == "C");
  const std::vector<Version> all{a_again, b, c};
  CHECK(board_of(all, "A").gone.empty());
  CHECK(board_of(all, "A").also.empty());
  CHECK(board_of(all, "B").gone.at("job").bay == "the A");
  CHECK(board_of(all, "C").gone.at("job").bay == "the A");
}

TEST_CASE("two bays at once: both versions live, and each is told of the other") {
  const Version a = version("A", "job", 1);
  const Version b = taking(a, "B", 2);
  const Version c = taking(a, "C", 3);
  const std::vector<Version> all{a, b, c};
  CHECK(board_of(all, "A").gone.contains("job"));
  CHECK(board_of(all, "B").also.at("job") == std::vector<std::string>{"the C"});
  CHECK(board_of(all, "C").also.at("job") == std::vector<std::string>{"the B"});
  CHECK(board_of(all, "B").elsewhere.empty());
  const Board fourth = board_of(all, "D");
  REQUIRE(fourth.elsewhere.size() == 1);
  CHECK(fourth.elsewhere[0].version.terminal == "C");  // written last
  CHECK(fourth.elsewhere[0].also == std::vector<std::string>{"the B"});
}

TEST_CASE("work done after it was taken is a version of its own") {
  const Version a = version("A", "job", 1);
  const Version b = taking(a, "B", 2);
  const Version a_later = version("A", "job", 5);
  const std::vector<Version> all{a_later, b};
  CHECK(board_of(all, "A").gone.empty());
  CHECK(board_of(all, "A").also.at("job") == std::vector<std::string>{"the B"});
  CHECK(board_of(all, "B").also.at("job") == std::vector<std::string>{"the A"});
}

TEST_CASE("files that each claim to be made of the other hide nothing") {
  Version a = version("A", "job", 1);
  Version b = version("B", "job", 2);
  a.job.taken_from = "B";
  a.job.taken_touched = b.job.touched;
  b.job.taken_from = "A";
  b.job.taken_touched = a.job.touched;
  CHECK(board_of({a, b}, "C").elsewhere.size() == 1);
  CHECK(board_of({a, b}, "A").gone.empty());
}

// Bays that take over, write on and finish in any order, with views of each other of any age: no
// version that holds work is ever without a bay that lists it.
TEST_CASE("whatever bays do, no work is hidden") {
  std::mt19937 dice(7);
  const auto below = [&](int n) { return static_cast<int>(dice() % static_cast<unsigned>(n)); };
  const std::vector<std::string> bays{"A", "B", "C", "D"};
  for (int round = 0; round < 300; ++round) {
    std::vector<Version> now{version("A", "job", 0)};
    std::vector<Version> seen = now;  // an older view
    int clock = 1;
    for (int step = 0; step < 12; ++step) {
      const std::string& bay = bays[static_cast<std::size_t>(below(4))];
      const auto own =
          std::find_if(now.begin(), now.end(), [&](const Version& v) { return v.terminal == bay; });
      const Board board = board_of(below(2) == 0 ? seen : now, bay);
      if (!board.elsewhere.empty()) {
        const Version copy = taking(board.elsewhere[0].version, bay, clock);
        if (own == now.end()) {
          now.push_back(copy);
        } else if (board_of(now, bay).gone.contains("job")) {
          *own = copy;
        }
      } else if (own != now.end() && !board.gone.contains("job")) {
        own->job.touched = at(clock);
      }
      clock = std::min(clock + 1, 59);
      if (below(3) == 0) seen = now;
      int listing = 0;
      for (const std::string& each : bays) {
        const Board of = board_of(now, each);
        CHECK(of.elsewhere.size() <= 1);
        const bool has = std::any_of(now.begin(), now.end(),
                                     [&](const Version& v) { return v.terminal == each; });
        listing += has && !of.gone.contains("job") ? 1 : 0;
      }
      CHECK(listing >= 1);
    }
  }
}

TEST_CASE("the book follows the files of all bays") {
  const test::Scratch scratch;
  const std::string shop = scratch.folder();
  job::JobBook book;
  CHECK_FALSE(book.update(files::real_disk(), shop));
  const auto save = [&](const Version& v) {
    REQUIRE(job::save_job(files::real_disk(), shop, v.terminal, v.job).ok());
  };
  const Version a = version("A", "job", 1);
  save(a);
  CHECK(book.update(files::real_disk(), shop));
  CHECK_FALSE(book.update(files::real_disk(), shop));
  REQUIRE(book.versions().size() == 1);
  Version b = taking(a, "B", 2);
  b.job.keep({"check", false, "yes", "", "", at(2), "", "", ""});
  save(b);
  CHECK(book.update(files::real_disk(), shop));
  CHECK(board_of(book.versions(), "A").gone.contains("job"));
  CHECK(board_of(book.versions(), "A").elsewhere.at(0).version.job.readings.size() == 1);
  // What is no job, a sync's copy, and a file outside a terminal's folder say nothing.
  scratch.put("jobs/A/bad.json", "{");
  scratch.put("jobs/A/job.sync-conflict-1.json", job::to_json(a.job));
  scratch.put("jobs/loose.json", job::to_json(a.job));
  book.update(files::real_disk(), shop);
  CHECK(book.versions().size() == 2);
  std::filesystem::remove(shop + "/jobs/B/job.json");
  CHECK(book.update(files::real_disk(), shop));
  CHECK(book.versions().size() == 1);
}
