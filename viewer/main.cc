// baylore-viewer: the bay terminal. Reads from top to bottom: options, who and where, window, app,
// loop.
#include <sys/resource.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <memory>

#include "files/names.h"
#include "job/terminal.h"
#include "pack/confined.h"
#include "viewer/platform/window.h"
#include "viewer/state/app.h"

namespace {

using namespace baylore;

double processor_seconds() {
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  return static_cast<double>(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
         static_cast<double>(use.ru_utime.tv_usec + use.ru_stime.tv_usec) * 1e-6;
}

// The clock on the wall against one that runs on through sleep and that nobody sets.
double wall_ahead() {
  const auto seconds = [](clockid_t clock) {
    timespec t{};
    clock_gettime(clock, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
  };
  return seconds(CLOCK_REALTIME) - seconds(CLOCK_BOOTTIME);
}

}  // namespace

int main(int argc, char** argv) {
  // --- options
  CLI::App cli{"The bay terminal: find the tip, work through it, write the next one."};
  std::string shop;
  std::string store;
  std::string state_folder;
  std::vector<std::string> packs;
  std::vector<std::string> photos;
  std::string theme;
  std::string hand;
  std::string language;
  std::string size = "1280x800";
  double ppi = 0;
  double quit_after = 0;
  bool full_screen = false;
  bool report = false;
  cli.add_option("--shop", shop, "Folder of the shop; without one the demo shop opens")
      ->envname("BAYLORE_SHOP");
  cli.add_option("--store", store, "Folder for the store instead of the user's cache");
  cli.add_option("--state", state_folder,
                 "Folder for this terminal's own files instead of the user's state folder");
  cli.add_option("--packs", packs, "A folder for packs, besides what is mounted; may be repeated")
      ->allow_extra_args(false);
  cli.add_option("--photos", photos, "A camera's folder, besides what is mounted; may be repeated")
      ->allow_extra_args(false);
  cli.add_option("--theme", theme, "light, dark or sun");
  cli.add_option("--hand", hand, "bare, glove or 'thick glove'");
  cli.add_option("--language", language, "en (English) or es (Spanish)");
  cli.add_option("--ppi", ppi, "Pixels per inch of the panel");
  cli.add_option("--size", size, "Window size, such as 1280x800");
  cli.add_flag("--full-screen", full_screen, "Take the whole panel");
  cli.add_option("--quit-after", quit_after, "End by itself after so many seconds");
  cli.add_flag("--report", report, "Print frames, start time and processor time at the end");
  cli.set_version_flag("--version",
                       std::string("baylore-viewer ") + BAYLORE_VERSION + " (GLFW on X11)");
  CLI11_PARSE(cli, argc, argv);

  // --- who and where
  files::Disk& disk = files::real_disk();
  if (state_folder.empty()) {
    const std::string home = files::state_home();
    if (home.empty()) {
      std::fprintf(
          stderr,
          "baylore-viewer: no folder for this terminal's files: HOME is not set: set it, or "
          "name one with --state\n");
      return 2;
    }
    state_folder = files::join(home, "baylore");
  }
  auto loaded = job::load_terminal(disk, state_folder);
  job::Terminal terminal;
  if (loaded) {
    terminal = loaded.value();
  } else {
    std::fprintf(stderr, "baylore-viewer: %s\n", loaded.failure().text().c_str());
    terminal.folder = "bay-unsaved";
  }
  if (!theme.empty()) terminal.theme = theme;
  if (!hand.empty()) terminal.hand = hand;
  if (!language.empty()) terminal.language = language;
  if (ppi > 0) terminal.ppi = ppi;
  viewer::AppOptions options;
  options.shop = !shop.empty() ? shop : terminal.shop;
  if (options.shop.empty()) {
    // The demo is copied to the terminal's own folder, so that working on it changes nothing that
    // was installed.
    options.demo = true;
    options.demo_source = files::with_program(BAYLORE_DEMO_INSTALLED, BAYLORE_DEMO);
    options.shop = files::join(state_folder, "demo");
  }
  options.store_folder = store;
  options.state_folder = state_folder;
  if (const char* home = std::getenv("HOME")) options.home = home;
  options.wall_ahead = wall_ahead;
  options.pack_places = packs;
  options.photo_places = photos;
  options.mounts = "/proc/self/mountinfo";
  pack::read_containers_with(files::with_program(BAYLORE_CONTAINER_INSTALLED, BAYLORE_CONTAINER));
  options.words_folder = files::with_program(BAYLORE_WORDS_INSTALLED, BAYLORE_WORDS);
  options.photo_program = files::with_program(BAYLORE_PHOTO_INSTALLED, BAYLORE_PHOTO);

  // --- window
  viewer::WindowOptions panel;
  panel.full_screen = full_screen;
  if (std::sscanf(size.c_str(), "%dx%d", &panel.width, &panel.height) != 2 || panel.width < 200 ||
      panel.height < 200) {
    std::fprintf(stderr, "baylore-viewer: --size %s: not a size: write it as 1280x800\n",
                 size.c_str());
    return 2;
  }
  std::string why;
  const std::unique_ptr<viewer::Window> window(viewer::Window::open(panel, why));
  if (window == nullptr) {
    std::fprintf(stderr, "baylore-viewer: no window: %s: start it under X11\n", why.c_str());
    return 2;
  }
  if (terminal.ppi == 0 && full_screen) terminal.ppi = window->panel_ppi();
  options.wake = viewer::Window::wake;
  options.make_texture = viewer::Window::make_texture;
  options.drop_texture = viewer::Window::drop_texture;

  // --- app and loop. A sleeping loop draws nothing: an event, a result or a deadline wakes it,
  // then three frames are drawn, because what the first one changes shows in the second.
  constexpr int kFramesAfterEvent = 3;
  constexpr double kFramePace = 1.0 / 60;
  long frames = 0;
  double first_frame = 0;
  double first_with_shop = 0;
  {
    viewer::App app(std::move(options), std::move(terminal));
    int due = kFramesAfterEvent;
    double last = 0;
    while (!window->closing()) {
      const double now = viewer::clock_seconds();
      if (quit_after > 0 && now >= quit_after) break;
      double sleep = -1;
      if (due > 0 || app.restless()) {
        sleep = std::max(0.0, last + kFramePace - now);
      } else {
        const double deadline = app.deadline();
        if (deadline > 0) sleep = std::max(0.001, deadline - now);
        if (quit_after > 0)
          sleep = sleep < 0 ? quit_after - now : std::min(sleep, quit_after - now);
      }
      const bool asleep = due == 0 && !app.restless();
      window->wait(sleep);
      if (quit_after > 0 && viewer::clock_seconds() >= quit_after) break;
      if (asleep) due = kFramesAfterEvent;
      last = viewer::clock_seconds();
      if (app.set_panel(window->width(), window->height())) window->remake_font_texture();
      window->begin_frame();
      app.frame(last);
      window->end_frame();
      if (++frames == 1) first_frame = viewer::clock_seconds();
      if (first_with_shop == 0 && app.state().counts.tips > 0)
        first_with_shop = viewer::clock_seconds();
      if (app.wants_fonts() && due < 2) due = 2;
      if (due > 0) --due;
    }
  }
  if (report) {
    std::printf(
        "frames %ld\nfirst frame %.1f ms\nfirst frame with the shop %.1f ms\nprocessor %.3f s\n",
        frames, first_frame * 1e3, first_with_shop * 1e3, processor_seconds());
  }
  return 0;
}
