// A program killed while it saves a tip, again and again: the tip is always one whole version, the
// version before it is in history, and the next save works.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <string>
#include <thread>

#include "files/disk.h"
#include "shop/document.h"
#include "shop/shop.h"
#include "shop/tip.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

constexpr const char* kPath = "tips/cooling/heater.md";

// BAYLORE_KILLS=1000 for a long run.
int kills() {
  const char* text = std::getenv("BAYLORE_KILLS");
  return text == nullptr ? 20 : std::atoi(text);
}

// Version n says its number in the title and again in its last line, with enough between that a
// torn write would show.
std::string version(int n) {
  const std::string number = std::to_string(n);
  std::string text = "---\nid: kill-test\ntitle: Version " + number + "\n---\n\n## Symptom\n";
  for (int i = 0; i < 400; ++i)
    text += "Line " + std::to_string(i) + " of version " + number + ".\n";
  return text + "End of version " + number + "\n";
}

// The number of a whole version, or -1.
int number_of(const std::string& text) {
  const std::string title = shop::Document::parse(text).value("title");
  if (!title.starts_with("Version ")) return -1;
  const int n = std::atoi(title.c_str() + 8);
  return text == version(n) ? n : -1;
}

// Saves the next version without end.
[[noreturn]] void save_for_ever(const std::string& folder) {
  for (;;) {
    const auto now = shop::read_text(files::real_disk(), folder, kPath);
    if (!now) ::_exit(1);
    const int n = number_of(now.value());
    if (n < 0) ::_exit(2);
    if (!shop::save_tip(files::real_disk(), folder, kPath, now.value(), version(n + 1))) ::_exit(3);
  }
}

}  // namespace

TEST_CASE("a tip saved by a program that is killed at random moments is always whole") {
  const test::Scratch scratch;
  const std::string folder = scratch.folder();
  REQUIRE(shop::save_tip(files::real_disk(), folder, kPath, "", version(0)).ok());
  // The moments follow the machine's speed: from the first write to a few saves later.
  const auto begun = std::chrono::steady_clock::now();
  REQUIRE(shop::save_tip(files::real_disk(), folder, kPath, version(0), version(1)).ok());
  const auto one_save = std::chrono::duration_cast<std::chrono::microseconds>(
                            std::chrono::steady_clock::now() - begun)
                            .count();
  std::mt19937 dice(11);
  std::uniform_int_distribution<long> moment(0, 5 * one_save + 4000);
  int moved = 0;
  int last = 1;
  const int rounds = kills();
  for (int round = 0; round < rounds; ++round) {
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) save_for_ever(folder);
    std::this_thread::sleep_for(std::chrono::microseconds(moment(dice)));
    REQUIRE(::kill(child, SIGKILL) == 0);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    // It was the signal that ended it, not a save that failed.
    REQUIRE(WIFSIGNALED(status));

    const auto text = shop::read_text(files::real_disk(), folder, kPath);
    REQUIRE(text.ok());
    const int n = number_of(text.value());
    REQUIRE_MESSAGE(n >= last, "round ", round, ": the tip is not a whole version");
    if (n > last) ++moved;
    last = n;
    // Every file of the history is a whole version too.
    const std::string history = folder + "/history";
    if (!std::filesystem::exists(history)) continue;  // killed before the first save began
    for (const auto& entry : std::filesystem::recursive_directory_iterator(history)) {
      const std::string name = entry.path().filename().string();
      if (!entry.is_regular_file() || name.starts_with(".")) continue;
      const auto old = shop::read_text(files::real_disk(), folder,
                                       std::filesystem::relative(entry.path(), folder).string());
      REQUIRE(old.ok());
      CHECK(number_of(old.value()) >= 0);
    }
  }
  MESSAGE(rounds, " kills, ", last, " versions saved, ", moved, " rounds in which one ended");
  // Kills that all came before the first save ended would prove nothing.
  CHECK(moved * 4 >= rounds);
}
