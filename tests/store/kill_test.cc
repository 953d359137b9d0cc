// A builder killed at any moment leaves the old state or the new one, and the next run ends where
// an undisturbed one would.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>

#include "store/support.h"

using namespace baylore;
using store::Location;
using store::Store;
using store::test::Dice;
using store::test::TempFolder;
using store::test::write_file;

namespace {

// BAYLORE_KILLS=1000 for a long run.
std::size_t kills() {
  const char* text = std::getenv("BAYLORE_KILLS");
  return text == nullptr ? 20 : static_cast<std::size_t>(std::atoi(text));
}

constexpr int kTips = 400;

void save_tip(Dice& dice, const Location& location, std::size_t number) {
  write_file(location.shop + "/tips/t" + std::to_string(number) + ".md",
             store::test::tip_text(dice, "tip-" + std::to_string(number), 20));
}

// Builds from scratch and updates in turn, without end, and says through the pipe when one of them
// ends.
[[noreturn]] void build_for_ever(const Location& location, int pipe) {
  for (bool from_scratch = false;; from_scratch = !from_scratch) {
    store::Options options;
    options.from_scratch = from_scratch;
    const auto report = store::bring_up_to_date(files::real_disk(), location, options);
    const char outcome = report ? 'd' : 'f';
    if (::write(pipe, &outcome, 1) != 1) ::_exit(1);
  }
}

}  // namespace

TEST_CASE("a builder killed at random moments loses nothing") {
  const TempFolder folder;
  const Location location{folder / "shop", folder / "store"};
  Dice dice(5);
  write_file(location.shop + "/shop.md", "---\nname: Bay\n---\n");
  for (std::size_t i = 0; i < kTips; ++i) save_tip(dice, location, i);
  REQUIRE(store::bring_up_to_date(files::real_disk(), location).ok());

  // How long the child gets at most, in microseconds. It follows the machine, so that some kills
  // come in the middle and some after the first build or update had ended.
  std::size_t longest = 100'000;
  std::size_t finished = 0;  // builds and updates that ended before the kill
  std::size_t before_any = 0;
  for (std::size_t kill = 0; kill < kills(); ++kill) {
    // Something to do: edits, a new file, a removal.
    for (int i = 0; i < 5; ++i) save_tip(dice, location, dice.below(kTips + 20));
    std::filesystem::remove(location.shop + "/tips/t" + std::to_string(dice.below(kTips)) + ".md");
    int pipe[2] = {-1, -1};
    REQUIRE(::pipe(pipe) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
      ::close(pipe[0]);
      build_for_ever(location, pipe[1]);
    }
    ::close(pipe[1]);
    std::this_thread::sleep_for(std::chrono::microseconds(dice.below(longest)));
    REQUIRE(::kill(child, SIGKILL) == 0);
    REQUIRE(::waitpid(child, nullptr, 0) == child);
    std::size_t done = 0;
    for (char outcome = 0; ::read(pipe[0], &outcome, 1) == 1; ++done) REQUIRE(outcome == 'd');
    ::close(pipe[0]);
    finished += done;
    before_any += done == 0 ? 1U : 0U;
    longest = done == 0 ? longest * 3 / 2 : std::max<std::size_t>(longest * 3 / 4, 1000);

    // Whatever was half done, there is a store, and it is whole.
    {
      const auto store = Store::open(location);
      REQUIRE_MESSAGE(store.ok(), (store ? "" : store.failure().text()));
      std::int64_t tips = 0;
      store->each(
          [&](const store::TipRow&, const std::string& bytes) { tips += bytes.empty() ? 0 : 1; });
      CHECK(tips == store->counts().tips);
      CHECK(tips > kTips / 2);
      CHECK_FALSE(store->damaged());
    }
    const auto report = store::bring_up_to_date(files::real_disk(), location);
    REQUIRE_MESSAGE(report.ok(), (report ? "" : report.failure().text()));
    CHECK_FALSE(report->rebuilt);  // a kill is no damage
    const auto store = Store::open(location);
    REQUIRE(store.ok());
    REQUIRE(store::test::canonical_dump(*store) ==
            store::test::dump_from_scratch(files::real_disk(), location.shop));
  }
  // Kills that all came before the first byte, or all after the last, would prove nothing.
  CHECK(finished > 0);
  CHECK(before_any > 0);
  std::size_t left = 0;
  for (const auto& file : std::filesystem::directory_iterator(location.folder)) {
    left += file.path().extension() == ".db" ? 1U : 0U;
  }
  CHECK(left <= 2);
  MESSAGE(kills(), " kills, ", finished, " builds and updates had ended before them, in ",
          before_any, " runs none");
}
