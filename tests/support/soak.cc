// A long day of somebody who taps anything: `baylore-soak DEMO COUNT [SEED]` injects COUNT taps,
// drags and words into the real window, on a copy of the demo shop, and says what a frame's drawing
// code took on every screen and whether memory grew. Exit 1 when either is over its limit.
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "support/headless.h"
#include "support/scratch.h"

namespace {

using baylore::test::Headless;
using baylore::test::HeadlessOptions;
using baylore::viewer::Do;
using baylore::viewer::Screen;
namespace fs = std::filesystem;

constexpr double kMostFrame = 2;   // ms, median of a screen's frames: the 95th is the machine's too
constexpr double kMostGrowth = 5;  // MB, from the tenth part of the run to its end
constexpr double kResting = 0.1;   // of the run: caches fill, fonts bake
constexpr std::size_t kFewest = 50;  // frames of a screen that tell something

double resident_mb() {
  long pages = 0;
  long resident = 0;
  std::ifstream("/proc/self/statm") >> pages >> resident;
  return static_cast<double>(resident) * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

const char* name_of(Screen screen) {
  static constexpr const char* kNames[] = {
      "Job",        "Tip",        "Write",  "Asking", "Menu",    "Reading",      "Adapter",
      "Work out",   "Next check", "Causes", "Ledger", "Outcome", "Freeze frame", "Part",
      "Order list", "Packs",      "Pack",   "Seal",   "Settle",  "Ruler",        "Help"};
  const auto at = static_cast<std::size_t>(screen);
  return at < std::size(kNames) ? kNames[at] : "another";
}

// What would end the run or change what is measured: another shop, other sizes of text.
bool spared(const std::string& id) {
  static constexpr const char* kSpared[] = {"row:start_shop", "row:which shop", "row:type shop",
                                            "row:open shop",  "row:text",       "row:hand",
                                            "row:calibrate",  "row:hide",       "row:lang"};
  return std::any_of(std::begin(kSpared), std::end(kSpared),
                     [&](const char* one) { return id.starts_with(one); });
}

// What piles up by right is cleared away between the parts of the run, as a shop that has more jobs
// and tips takes more memory: the shop's folder is made again what it was.
void tidy(Headless& d, const std::string& demo, const std::string& shop) {
  d.app().apply({Do::new_job, {}});
  auto& state = d.app().state();
  std::erase_if(state.jobs, [&](const auto& job) { return job.id != state.job; });
  d.settle();
  std::vector<fs::path> added;
  for (const auto& one : fs::recursive_directory_iterator(shop)) {
    const fs::path inside = fs::relative(one.path(), shop);
    if (one.is_regular_file() && !fs::exists(fs::path(demo) / inside)) added.push_back(one.path());
  }
  for (const fs::path& path : added) fs::remove(path);
  fs::copy(demo, shop, fs::copy_options::recursive | fs::copy_options::overwrite_existing);
  d.until([&] { return d.app().busy().empty(); }, 10);
  d.pass(1);
  d.settle();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    std::fprintf(stderr, "usage: baylore-soak DEMO COUNT [SEED]\n");
    return 2;
  }
  const long count = std::atol(argv[2]);
  std::mt19937_64 random(argc > 3 ? std::strtoull(argv[3], nullptr, 10) : 1);
  const auto any = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
  const baylore::test::Scratch at;
  fs::copy(argv[1], at.path("shop"), fs::copy_options::recursive);
  HeadlessOptions o;
  o.shop = at.path("shop");
  o.store_folder = at.path("store");
  o.state_folder = at.path("state");
  o.photo_program = BAYLORE_PHOTO;
  std::map<Screen, std::vector<double>> spent;
  Headless d(o);
  d.on_drawn = [&](double seconds) { spent[d.app().state().screen].push_back(seconds * 1e3); };
  if (!d.ready()) return 2;
  d.settle();
  static constexpr const char* kWords[] = {
      "hauler heater cold", "kite 2020 pulls left", "p0301", "88-214",
      "no crank",           "battery flat",         "zz",    "12.5"};
  const auto began = std::chrono::steady_clock::now();
  double rested = 0;
  double most = 0;
  for (long i = 0; i < count; ++i) {
    const std::size_t what = any(20);
    if (what == 0) {
      d.type(kWords[any(std::size(kWords))]);
    } else if (what == 1) {
      d.type("\x1b");
    } else if (what < 5) {
      const auto all = d.app().ui().screen();
      const float x = all.w * 0.4F;
      const bool up = any(2) == 0;
      d.drag(x, all.h * (up ? 0.7F : 0.4F), x, all.h * (up ? 0.4F : 0.7F));
    } else {
      std::vector<std::string> ids;
      for (const auto& item : d.app().ui().items()) {
        if (item.visible.w > 1 && item.visible.h > 1 && !spared(item.id)) ids.push_back(item.id);
      }
      if (!ids.empty()) d.tap(ids[any(ids.size())]);
    }
    // Work that was begun goes on beside the next taps, as at a bay; now and then all of it ends.
    if (i % 200 == 199) d.settle();
    if (i % (count / 20 + 1) == 0 || i + 1 == count) {
      tidy(d, argv[1], at.path("shop"));
      const double now = resident_mb();
      if (static_cast<double>(i) >= kResting * static_cast<double>(count) && rested == 0)
        rested = now;
      if (rested > 0) most = std::max(most, now);
      std::printf("%6ld interactions  %.1f MB\n", i + 1, now);
      std::fflush(stdout);
    }
  }
  const double took =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
  std::printf("%ld interactions in %.0f s\n\n%-14s %8s %10s %10s\n", count, took, "screen",
              "frames", "median ms", "95 % ms");
  bool slow = false;
  for (auto& [screen, times] : spent) {
    std::sort(times.begin(), times.end());
    const double median = times[times.size() / 2];
    slow = slow || (times.size() >= kFewest && median > kMostFrame);
    std::printf("%-14s %8zu %10.3f %10.3f\n", name_of(screen), times.size(), median,
                times[times.size() * 95 / 100]);
  }
  std::printf("\na frame's drawing code: at most %.0f ms%s\n", kMostFrame, slow ? ": NOT MET" : "");
  const bool grew = most - rested > kMostGrowth;
  std::printf("memory grew by %.1f MB after the first tenth (at most %.0f)%s\n", most - rested,
              kMostGrowth, grew ? ": NOT MET" : "");
  return slow || grew ? 1 : 0;
}
