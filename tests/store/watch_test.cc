// The watcher on a real folder. Limits in time are generous: they tell "noticed" from "waited for
// the rescan", which is set to an hour.
#include "store/watch.h"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <string>
#include <thread>

#include "files/save.h"
#include "store/support.h"

using namespace baylore;
using namespace std::chrono_literals;
using store::Changed;
using store::Watcher;
using store::test::TempFolder;
using store::test::write_file;

namespace {

using Clock = std::chrono::steady_clock;

// Counts calls and waits for the next one.
class Calls {
 public:
  void operator()(Changed what = std::nullopt) {
    const std::lock_guard lock(mutex_);
    ++count_;
    last_ = std::move(what);
    came_.notify_all();
  }
  [[nodiscard]] int count() {
    const std::lock_guard lock(mutex_);
    return count_;
  }
  [[nodiscard]] Changed last() {
    const std::lock_guard lock(mutex_);
    return last_;
  }
  // Whether the count rose above `seen` within the time.
  [[nodiscard]] bool more_than(int seen, std::chrono::milliseconds within = 10s) {
    std::unique_lock lock(mutex_);
    return came_.wait_for(lock, within, [&] { return count_ > seen; });
  }

 private:
  std::mutex mutex_;
  std::condition_variable came_;
  int count_ = 0;
  Changed last_;
};

// A watched folder, after the call that says the watches are in place.
struct Watched {
  TempFolder folder;
  std::string shop = folder / "shop";
  Calls calls;
  std::unique_ptr<Watcher> watcher;

  explicit Watched(std::chrono::milliseconds settle = 60ms, std::chrono::milliseconds rescan = 1h) {
    write_file(shop + "/tips/cooling/a.md", "a");
    std::filesystem::create_directories(shop + "/jobs");
    watcher = std::make_unique<Watcher>(
        shop, [this](Changed what) { calls(std::move(what)); }, settle, rescan);
    REQUIRE(calls.more_than(0));
  }
  ~Watched() { watcher.reset(); }
};

}  // namespace

TEST_CASE("an external save is noticed within a second") {
  Watched watched;
  const auto from = Clock::now();
  write_file(watched.shop + "/tips/cooling/a.md", "b");
  REQUIRE(watched.calls.more_than(1));
  // Usually 60 ms after the save; a busy machine gets its second.
  CHECK(Clock::now() - from < 5s);
}

TEST_CASE("a save by rename, a removal and an append are noticed") {
  Watched watched;
  REQUIRE(files::replace(files::real_disk(), watched.shop + "/tips/cooling/a.md", "c").ok());
  REQUIRE(watched.calls.more_than(1));
  int seen = watched.calls.count();
  std::filesystem::remove(watched.shop + "/tips/cooling/a.md");
  REQUIRE(watched.calls.more_than(seen));
  seen = watched.calls.count();
  REQUIRE(
      files::append_line(files::real_disk(), watched.shop + "/records/bay/2026-03.csv", "x").ok());
  REQUIRE(watched.calls.more_than(seen));
}

TEST_CASE("a save in a folder made later is noticed") {
  Watched watched;
  std::filesystem::create_directories(watched.shop + "/tips/new/deep");
  REQUIRE(watched.calls.more_than(1));
  int seen = watched.calls.count();
  write_file(watched.shop + "/tips/new/deep/b.md", "b");
  REQUIRE(watched.calls.more_than(seen));
  // And in one that was moved in whole.
  std::filesystem::create_directories(watched.folder / "outside/inner");
  seen = watched.calls.count();
  std::filesystem::rename(watched.folder / "outside", watched.shop + "/tips/moved");
  REQUIRE(watched.calls.more_than(seen));
  seen = watched.calls.count();
  write_file(watched.shop + "/tips/moved/inner/c.md", "c");
  REQUIRE(watched.calls.more_than(seen));
}

TEST_CASE("a folder that vanishes and returns is watched again") {
  Watched watched;
  std::filesystem::rename(watched.shop, watched.folder / "away");
  REQUIRE(watched.calls.more_than(1));
  int seen = watched.calls.count();
  std::filesystem::rename(watched.folder / "away", watched.shop);
  REQUIRE(watched.calls.more_than(seen));
  seen = watched.calls.count();
  write_file(watched.shop + "/tips/cooling/a.md", "d");
  REQUIRE(watched.calls.more_than(seen));

  seen = watched.calls.count();
  std::filesystem::remove_all(watched.shop);
  REQUIRE(watched.calls.more_than(seen));
  std::this_thread::sleep_for(200ms);
  seen = watched.calls.count();
  write_file(watched.shop + "/tips/a.md", "new");
  REQUIRE(watched.calls.more_than(seen));
}

TEST_CASE("a shop that is not there yet is waited for") {
  const TempFolder folder;
  Calls calls;
  const Watcher watcher(
      folder / "later", [&](const Changed&) { calls(); }, 30ms, 1h);
  REQUIRE(calls.more_than(0));
  const int seen = calls.count();
  write_file(folder / "later/tips/a.md", "a");
  CHECK(calls.more_than(seen));
}

TEST_CASE("many saves in a row are one call, and no quiet is waited for without end") {
  Watched watched(200ms);
  const auto from = Clock::now();
  for (int i = 0; i < 20; ++i) {
    write_file(watched.shop + "/tips/cooling/a.md", std::to_string(i));
    std::this_thread::sleep_for(5ms);
  }
  REQUIRE(watched.calls.more_than(1));
  // The burst took `took`: one call for each settle x 5 that fitted in, and one after.
  const auto took = Clock::now() - from;
  CHECK(watched.calls.count() <= 2 + took / 1000ms);

  // Saves that never pause longer than the settling time.
  const int seen = watched.calls.count();
  const auto until = Clock::now() + 10s;
  while (watched.calls.count() == seen && Clock::now() < until) {
    write_file(watched.shop + "/tips/cooling/a.md", "x");
    std::this_thread::sleep_for(20ms);
  }
  CHECK(watched.calls.count() > seen);
}

TEST_CASE("jobs, history and temporary files are not reported") {
  Watched watched(20ms);
  write_file(watched.shop + "/jobs/bay/1.json", "{}");
  write_file(watched.shop + "/history/x/y.md", "y");
  std::this_thread::sleep_for(300ms);
  // The folder history/ itself is new, which is a change; what is written into the two is none.
  const int seen = watched.calls.count();
  CHECK(seen <= 2);
  write_file(watched.shop + "/jobs/bay/1.json", "{1}");
  write_file(watched.shop + "/history/x/z.md", "z");
  write_file(watched.shop + "/tips/.new-1", "half");
  CHECK_FALSE(watched.calls.more_than(seen, 300ms));
  write_file(watched.shop + "/tips/cooling/a.md", "b");
  CHECK(watched.calls.more_than(seen));
}

TEST_CASE("the rescan comes without any change") {
  Watched watched(20ms, 100ms);
  REQUIRE(watched.calls.more_than(1));
  REQUIRE(watched.calls.more_than(3));
}

TEST_CASE("the destructor does not wait for a timer, and waits for a running call") {
  const TempFolder folder;
  std::atomic<bool> inside = false;
  std::atomic<bool> ended = false;
  const auto from = Clock::now();
  {
    const Watcher watcher(
        folder.path(),
        [&](const Changed&) {
          inside = true;
          std::this_thread::sleep_for(100ms);
          ended = true;
        },
        1ms, 1h);
    while (!inside) std::this_thread::sleep_for(1ms);
  }
  CHECK(ended);
  CHECK(Clock::now() - from < 10s);
  {
    const Watcher idle(
        folder.path(), [](const Changed&) {}, 1h, 1h);
  }
  CHECK(Clock::now() - from < 20s);
}

TEST_CASE("a change made while the call runs is reported after it") {
  const TempFolder folder;
  write_file(folder / "shop/tips/a.md", "a");
  Calls calls;
  const Watcher watcher(
      folder / "shop",
      [&](const Changed&) {
        if (calls.count() == 0) write_file(folder / "shop/tips/a.md", "b");
        calls();
      },
      20ms, 1h);
  CHECK(calls.more_than(1));
}

TEST_CASE("files that changed are named; where folders changed, anything may have") {
  Watched watched;
  CHECK_FALSE(watched.calls.last().has_value());  // what happened before was seen by nobody
  int seen = watched.calls.count();
  write_file(watched.shop + "/tips/cooling/a.md", "b");
  write_file(watched.shop + "/shop.md", "---\nname: S\n---\n");
  REQUIRE(watched.calls.more_than(seen));
  REQUIRE(watched.calls.last().has_value());
  CHECK(*watched.calls.last() == std::vector<std::string>{"shop.md", "tips/cooling/a.md"});
  seen = watched.calls.count();
  write_file(watched.shop + "/tips/brakes/b.md", "b");
  REQUIRE(watched.calls.more_than(seen));
  CHECK_FALSE(watched.calls.last().has_value());
  seen = watched.calls.count();
  for (int i = 0; i < 300; ++i) {
    write_file(watched.shop + "/tips/brakes/" + std::to_string(i) + ".md", "b");
  }
  REQUIRE(watched.calls.more_than(seen));
}
