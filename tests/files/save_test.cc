#include "files/save.h"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <random>
#include <string>
#include <vector>

#include "support/failing_disk.h"
#include "support/forgetful_disk.h"
#include "support/forwarding_disk.h"
#include "support/scratch.h"

using namespace baylore;
using files::Failure;
using test::FailingDisk;

namespace {

// Runs `act` with a failure at every call in turn, both ways and of two kinds; `start` sets the
// scene, `look` judges what is left. Gives how many points were tried.
int fail_everywhere(const std::function<void(const test::Scratch&)>& start,
                    const std::function<bool(files::Disk&, const test::Scratch&)>& act,
                    const std::function<void(const test::Scratch&, bool ok)>& look) {
  int points = 0;
  {
    const test::Scratch scratch;
    start(scratch);
    FailingDisk disk(files::real_disk());
    REQUIRE(act(disk, scratch));
    points = disk.calls();
  }
  for (const auto how : {FailingDisk::How::once, FailingDisk::How::forever}) {
    for (const auto kind : {Failure::Kind::full, Failure::Kind::gone}) {
      for (int point = 1; point <= points; ++point) {
        const test::Scratch scratch;
        start(scratch);
        FailingDisk disk(files::real_disk());
        disk.fail_at(point, how, kind);
        const bool ok = act(disk, scratch);
        CAPTURE(point);
        CAPTURE(disk.log().back());
        look(scratch, ok);
        CHECK(scratch.left_behind().empty());
      }
    }
  }
  return points;
}

// Somebody else at the same files: does something right before a name is put in place, as often as
// there is something to be done.
class Meddled final : public test::ForwardingDisk {
 public:
  explicit Meddled(std::vector<std::function<void()>> acts, bool swaps = true)
      : acts_(std::move(acts)), swaps_(swaps) {}
  files::Result<void> exchange(const std::string& from, const std::string& to) override {
    if (!swaps_) return Disk::exchange(from, to);
    act();
    return ForwardingDisk::exchange(from, to);
  }
  files::Result<void> rename(const std::string& from, const std::string& to) override {
    act();
    return ForwardingDisk::rename(from, to);
  }
  files::Result<void> link(const std::string& from, const std::string& to) override {
    act();
    return ForwardingDisk::link(from, to);
  }
  [[nodiscard]] std::size_t acted() const { return done_; }

 private:
  void act() {
    if (done_ < acts_.size()) acts_[done_++]();
  }
  std::vector<std::function<void()>> acts_;
  bool swaps_;
  std::size_t done_ = 0;
};

// Bytes of all files there, hidden ones too, in the order of their names.
std::vector<std::string> contents(const test::Scratch& scratch) {
  std::vector<std::string> files = scratch.files();
  std::sort(files.begin(), files.end());
  for (std::string& file : files) file = scratch.get(file);
  return files;
}

}  // namespace

TEST_CASE("replace writes new files, makes their folders, and replaces old ones") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  CHECK(files::replace(disk, scratch.path("a/b/c.md"), "one"));
  CHECK(scratch.get("a/b/c.md") == "one");
  CHECK(files::replace(disk, scratch.path("a/b/c.md"), ""));
  CHECK(scratch.get("a/b/c.md").empty());
  CHECK(scratch.left_behind().empty());
}

TEST_CASE("whichever call fails, replace leaves the old file or the new one and nothing else") {
  const int points =
      fail_everywhere([](const test::Scratch& scratch) { scratch.put("tips/a.md", "old text"); },
                      [](files::Disk& disk, const test::Scratch& scratch) {
                        return files::replace(disk, scratch.path("tips/a.md"), "new text").ok();
                      },
                      [](const test::Scratch& scratch, bool ok) {
                        const std::string now = scratch.get("tips/a.md");
                        CHECK((now == "new text" || (!ok && now == "old text")));
                        CHECK(scratch.files().size() == 1);
                      });
  CHECK(points > 5);
}

TEST_CASE("whichever call fails, a new file in new folders is whole or not there") {
  const int points =
      fail_everywhere([](const test::Scratch&) {},
                      [](files::Disk& disk, const test::Scratch& scratch) {
                        return files::replace(disk, scratch.path("one/two/a.md"), "new text").ok();
                      },
                      [](const test::Scratch& scratch, bool ok) {
                        CHECK((scratch.has("one/two/a.md") || !ok));
                        if (scratch.has("one/two/a.md"))
                          CHECK(scratch.get("one/two/a.md") == "new text");
                      });
  CHECK(points > 10);
}

TEST_CASE("a failure names the file that was meant and tells what to do") {
  const test::Scratch scratch;
  FailingDisk disk(files::real_disk());
  disk.fail_at(3, FailingDisk::How::forever, Failure::Kind::full);
  const auto done = files::replace(disk, scratch.path("a.md"), "text");
  REQUIRE_FALSE(done.ok());
  CHECK(done.failure().kind == Failure::Kind::full);
  CHECK(done.failure().path == scratch.path("a.md"));
  CHECK(done.failure().text() == scratch.path("a.md") + ": failed by the test: try again");
}

TEST_CASE("write_once never touches a file that is there") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const auto first = files::write_once(disk, scratch.path("history/x/1.md"), "one");
  REQUIRE(first.ok());
  CHECK(*first);
  const auto second = files::write_once(disk, scratch.path("history/x/1.md"), "two");
  REQUIRE(second.ok());
  CHECK_FALSE(*second);
  CHECK(scratch.get("history/x/1.md") == "one");
  CHECK(scratch.files().size() == 1);
}

TEST_CASE("a secret is its owner's alone, whatever the umask, and is never written over") {
  const test::Scratch scratch;
  const mode_t before = ::umask(0);
  const auto written = files::write_once_private(files::real_disk(), scratch.path("keys/a"), "one");
  ::umask(before);
  REQUIRE(written.ok());
  CHECK(written.value());
  struct stat found {};
  REQUIRE(::stat(scratch.path("keys/a").c_str(), &found) == 0);
  CHECK((found.st_mode & 0777U) == 0600U);
  const auto again = files::write_once_private(files::real_disk(), scratch.path("keys/a"), "two");
  REQUIRE(again.ok());
  CHECK_FALSE(again.value());
  CHECK(scratch.get("keys/a") == "one");
}

TEST_CASE("whichever call fails, write_once leaves the whole file or none") {
  const int points =
      fail_everywhere([](const test::Scratch&) {},
                      [](files::Disk& disk, const test::Scratch& scratch) {
                        return files::write_once(disk, scratch.path("h/1.md"), "earlier text").ok();
                      },
                      [](const test::Scratch& scratch, bool ok) {
                        CHECK((scratch.has("h/1.md") || !ok));
                        if (scratch.has("h/1.md")) CHECK(scratch.get("h/1.md") == "earlier text");
                      });
  CHECK(points > 8);
}

TEST_CASE("append_line adds whole lines, and a fresh one after a torn one") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  CHECK(files::append_line(disk, scratch.path("r/bay/2026-03.csv"), "one"));
  CHECK(files::append_line(disk, scratch.path("r/bay/2026-03.csv"), "two"));
  CHECK(scratch.get("r/bay/2026-03.csv") == "one\ntwo\n");
  scratch.put("torn.csv", "one\ntw");
  CHECK(files::append_line(disk, scratch.path("torn.csv"), "three"));
  CHECK(scratch.get("torn.csv") == "one\ntw\nthree\n");
  CHECK_FALSE(files::append_line(disk, scratch.path("torn.csv"), "a\nb"));
  CHECK(scratch.get("torn.csv") == "one\ntw\nthree\n");
}

TEST_CASE(
    "whichever call fails, append_line keeps every earlier line, and the next line is whole") {
  const int points = fail_everywhere(
      [](const test::Scratch& scratch) { scratch.put("r.csv", "one\ntwo\n"); },
      [](files::Disk& disk, const test::Scratch& scratch) {
        return files::append_line(disk, scratch.path("r.csv"), "three").ok();
      },
      [](const test::Scratch& scratch, bool ok) {
        const std::string now = scratch.get("r.csv");
        CHECK(now.substr(0, 8) == "one\ntwo\n");
        if (ok) CHECK(now == "one\ntwo\nthree\n");
        CHECK(files::append_line(files::real_disk(), scratch.path("r.csv"), "four"));
        const std::string then = scratch.get("r.csv");
        CHECK(then.size() >= 6);
        CHECK(then.substr(then.size() - 6) == "\nfour\n");
      });
  CHECK(points > 5);
}

TEST_CASE(
    "a power cut at any call loses nothing that was said to be saved, and leaves nothing half") {
  std::mt19937 random(20260314);
  int points = 0;
  int cuts = 0;
  for (int point = 1; point < 60; ++point) {
    for (int round = 0; round < 10; ++round) {
      test::ForgetfulDisk disk;
      REQUIRE(files::replace(disk, "/shop/tips/a.md", "the old text"));
      REQUIRE(files::append_line(disk, "/shop/r.csv", "first line"));
      disk.cut_at(point);
      const bool replaced = files::replace(disk, "/shop/tips/a.md", "the new text, longer").ok();
      const bool appended = files::append_line(disk, "/shop/r.csv", "second line").ok();
      const bool once = files::write_once(disk, "/shop/history/x/1.md", "an earlier text").ok();
      if (disk.off()) ++cuts;
      points = std::max(points, std::min(point, disk.calls()));
      disk.power_on(random);

      CAPTURE(point);
      const auto tip = disk.read("/shop/tips/a.md", files::kTextLimit);
      REQUIRE(tip.ok());
      CHECK((*tip == "the new text, longer" || (!replaced && *tip == "the old text")));
      const auto records = disk.read("/shop/r.csv", files::kTextLimit);
      REQUIRE(records.ok());
      CHECK(records->substr(0, 11) == "first line\n");
      if (appended) CHECK(*records == "first line\nsecond line\n");
      const auto kept = disk.read("/shop/history/x/1.md", files::kTextLimit);
      if (once) CHECK(kept.ok());
      if (kept) CHECK(*kept == "an earlier text");
    }
  }
  CHECK(points > 20);
  CHECK(cuts > 200);
}

TEST_CASE("replace_same replaces what it expects and nothing else") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const std::string path = scratch.path("a.md");
  scratch.put("a.md", "one");
  for (const bool swaps : {true, false}) {
    Meddled either({}, swaps);
    const auto done = files::replace_same(either, path, swaps ? "one" : "two", swaps ? "two" : "3");
    REQUIRE(done.ok());
    CHECK(*done);
  }
  CHECK(contents(scratch) == std::vector<std::string>{"3"});
  const auto again = files::replace_same(disk, path, "two", "3");
  REQUIRE(again.ok());
  CHECK(*again);
  const auto other = files::replace_same(disk, path, "one", "four");
  REQUIRE(other.ok());
  CHECK_FALSE(*other);
  CHECK(contents(scratch) == std::vector<std::string>{"3"});
  const auto missing = files::replace_same(disk, scratch.path("b.md"), "one", "two");
  REQUIRE_FALSE(missing.ok());
  CHECK(missing.failure().kind == Failure::Kind::missing);
  CHECK(missing.failure().path == scratch.path("b.md"));
  CHECK(contents(scratch) == std::vector<std::string>{"3"});
}

TEST_CASE("what another saves between the look and the swap is given back") {
  const test::Scratch scratch;
  const std::string path = scratch.path("a.md");
  const auto other = [&](const char* text) {
    return [&scratch, &path, text] {
      REQUIRE(files::replace(files::real_disk(), scratch.path("a.md"), text));
    };
  };
  scratch.put("a.md", "one");
  Meddled once({other("theirs")});
  const auto done = files::replace_same(once, path, "one", "ours");
  REQUIRE(done.ok());
  CHECK_FALSE(*done);
  CHECK(once.acted() == 1);
  CHECK(contents(scratch) == std::vector<std::string>{"theirs"});

  // A third one who saw ours in that moment, and saved upon it.
  Meddled twice({other("more of theirs"), other("upon ours")});
  const auto again = files::replace_same(twice, path, "theirs", "ours");
  REQUIRE(again.ok());
  CHECK_FALSE(*again);
  CHECK(twice.acted() == 2);
  CHECK(contents(scratch) == std::vector<std::string>{"upon ours", "more of theirs"});
  CHECK(scratch.left_behind().empty());
  CHECK(scratch.files().size() == 2);

  // Taken away in that moment: it does not come back.
  const test::Scratch empty;
  empty.put("a.md", "one");
  Meddled away({[&] { std::filesystem::remove(empty.path("a.md")); }});
  const auto gone = files::replace_same(away, empty.path("a.md"), "one", "ours");
  REQUIRE_FALSE(gone.ok());
  CHECK(gone.failure().kind == Failure::Kind::missing);
  CHECK(empty.files().empty());
}

TEST_CASE("remove_same removes what it expects, and gives back what another saved meanwhile") {
  const test::Scratch scratch;
  const std::string path = scratch.path("a.md");
  const auto other = [&](const char* text) {
    return [&scratch, text] {
      REQUIRE(files::replace(files::real_disk(), scratch.path("a.md"), text));
    };
  };
  scratch.put("a.md", "one");
  const auto not_this = files::remove_same(files::real_disk(), path, "two");
  REQUIRE(not_this.ok());
  CHECK_FALSE(*not_this);
  Meddled saved({other("theirs")});
  const auto kept = files::remove_same(saved, path, "one");
  REQUIRE(kept.ok());
  CHECK_FALSE(*kept);
  CHECK(contents(scratch) == std::vector<std::string>{"theirs"});
  // And a third one writes a new file while theirs is on its way back.
  Meddled twice({other("more of theirs"), other("anew")});
  const auto both = files::remove_same(twice, path, "theirs");
  REQUIRE(both.ok());
  CHECK_FALSE(*both);
  CHECK(contents(scratch) == std::vector<std::string>{"more of theirs", "anew"});
  CHECK(scratch.left_behind().empty());
  const auto gone = files::remove_same(files::real_disk(), path, "anew");
  REQUIRE(gone.ok());
  CHECK(*gone);
  CHECK(contents(scratch) == std::vector<std::string>{"more of theirs"});
}

TEST_CASE("whichever call fails, replace_same and remove_same leave the old or the new") {
  const auto start = [](const test::Scratch& scratch) { scratch.put("a.md", "old"); };
  for (const bool remove : {false, true}) {
    int points = 0;
    {
      const test::Scratch scratch;
      start(scratch);
      FailingDisk disk(files::real_disk());
      REQUIRE((remove ? files::remove_same(disk, scratch.path("a.md"), "old")
                      : files::replace_same(disk, scratch.path("a.md"), "old", "new"))
                  .ok());
      points = disk.calls();
    }
    CHECK(points > 3);
    for (const auto how : {FailingDisk::How::once, FailingDisk::How::forever}) {
      for (int point = 1; point <= points; ++point) {
        const test::Scratch scratch;
        start(scratch);
        FailingDisk disk(files::real_disk());
        disk.fail_at(point, how, Failure::Kind::full);
        const auto done = remove ? files::remove_same(disk, scratch.path("a.md"), "old")
                                 : files::replace_same(disk, scratch.path("a.md"), "old", "new");
        CAPTURE(point);
        CAPTURE(disk.log().back());
        const std::string now = scratch.get("a.md");
        CHECK((!done || now == (remove ? "" : "new")));
        CHECK((now == "old" || now == (remove ? "" : "new")));
        // A disk that died between the swap and the look at what came out: nobody can tell what it
        // was, and it stays.
        for (const std::string& left : scratch.left_behind()) {
          CHECK(how == FailingDisk::How::forever);
          CHECK(scratch.get(left) == "old");
        }
      }
    }
  }
}
