// Several at once: processes that build, threads that update, readers that look.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <set>
#include <string>
#include <thread>
#include <vector>

#include "store/support.h"

using namespace baylore;
using store::Location;
using store::Store;
using store::test::Dice;
using store::test::TempFolder;
using store::test::write_file;

namespace {

void make_shop(const Location& location, std::size_t tips) {
  Dice dice(9);
  write_file(location.shop + "/shop.md", "---\nname: Bay\n---\n");
  for (std::size_t i = 0; i < tips; ++i) {
    write_file(location.shop + "/tips/t" + std::to_string(i) + ".md",
               store::test::tip_text(dice, "tip-" + std::to_string(i), 20));
  }
}

}  // namespace

TEST_CASE("two processes that build at once both end well") {
  const TempFolder folder;
  const Location location{folder / "shop", folder / "store"};
  make_shop(location, 200);
  std::array<pid_t, 3> children = {};
  for (pid_t& child : children) {
    child = ::fork();
    if (child == 0) {
      bool good = true;
      for (int round = 0; round < 6; ++round) {
        store::Options options;
        options.from_scratch = round % 3 == 1;
        good = good && store::bring_up_to_date(files::real_disk(), location, options).ok();
        const auto store = Store::open(location);
        good = good && store && store->counts().tips == 200;
      }
      ::_exit(good ? 0 : 1);
    }
  }
  for (const pid_t child : children) {
    int status = -1;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
  }
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  REQUIRE(report.ok());
  CHECK_FALSE(report->rebuilt);
  CHECK(store::test::canonical_dump(*Store::open(location)) ==
        store::test::dump_from_scratch(files::real_disk(), location.shop));
}

// Tips a and b carry the same word, and every save changes both before an update can see it half
// done: a reader that saw two words in one answer would have read two states.
TEST_CASE("a reader sees one state at a time while updates and builds go on") {
  const TempFolder folder;
  const Location location{folder / "shop", folder / "store"};
  make_shop(location, 50);
  const auto save = [&](int number) {
    for (const char* name : {"a", "b"}) {
      write_file(
          location.shop + "/tips/" + name + ".md",
          "---\nid: " + std::string(name) + "\ntitle: state " + std::to_string(number) + "\n---\n");
    }
  };
  save(0);
  REQUIRE(store::bring_up_to_date(files::real_disk(), location).ok());

  std::atomic<bool> over = false;
  std::atomic<int> mixed = 0;
  std::atomic<int> failed = 0;
  std::atomic<int> answers = 0;
  std::atomic<int> moves = 0;
  const auto look = [&] {
    auto store = Store::open(location);
    if (!store) {
      ++failed;
      return;
    }
    while (!over) {
      const auto moved = store->refresh();
      if (moved && *moved) ++moves;
      std::set<std::string> titles;
      store->each([&](const store::TipRow& tip, const std::string&) {
        if (tip.title.starts_with("state ")) titles.insert(tip.title);
      });
      if (titles.size() != 1) ++mixed;
      if (store->counts().tips != 52) ++failed;
      ++answers;
    }
    if (store->damaged()) ++failed;
  };
  std::vector<std::thread> readers;
  for (int i = 0; i < 2; ++i) readers.emplace_back(look);
  std::thread other([&] {
    // A second updater in the same process: the two must not tread on each other.
    for (int i = 0; i < 10; ++i) {
      store::Options options;
      options.check = false;
      options.from_scratch = i % 5 == 4;
      if (!store::bring_up_to_date(files::real_disk(), location, options)) ++failed;
    }
  });
  other.join();
  for (int i = 1; i <= 40; ++i) {
    save(i);
    store::Options options;
    options.check = false;
    options.from_scratch = i % 8 == 0;
    if (!store::bring_up_to_date(files::real_disk(), location, options)) ++failed;
  }
  over = true;
  for (std::thread& reader : readers) reader.join();
  CHECK(mixed == 0);
  CHECK(failed == 0);
  CHECK(answers > 20);
  CHECK(moves > 5);
  CHECK(Store::open(location)->find("a")->title == "state 40");
}
