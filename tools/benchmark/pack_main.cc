// Measures packs; tools/bench pack runs it.
//   baylore-bench-pack pictures SHOP COUNT   gives a generated shop so many noise pictures, each
//   shown by a tip baylore-bench-pack seal SHOP FOLDER      seals all of it into FOLDER/p.bag.zip
//   baylore-bench-pack accept PACK SHOP      opens, previews and accepts it in another shop, made
//   for it
// Each prints its time, its peak memory, how progress was told, and how soon a cancel was obeyed.
// Exit 0 when the targets are met, 1 when not, 2 when it could not run.
#include <cairo.h>
#include <fmt/format.h>
#include <sys/resource.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <chrono>
#include <exception>
#include <filesystem>
#include <string>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "pack/accept.h"
#include "pack/confined.h"
#include "pack/preview.h"
#include "pack/seal.h"
#include "random.h"
#include "shop/shop.h"

namespace {

using namespace baylore;
using benchmark::Random;
using Clock = std::chrono::steady_clock;

constexpr double kMostSeconds = 60;
constexpr double kMostMebibytes = 256;
constexpr double kMostAfterCancel = 2;  // seconds; a guess at what feels obeyed

double since(Clock::time_point begin) {
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

double peak_mebibytes() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

int fail(const std::string& what) {
  fmt::print(stderr, "{}\n", what);
  return 2;
}

// What a caller is told, and when it says stop.
class Watched {
 public:
  // Stops at this share of the whole; above 1: never.
  explicit Watched(double stop_at = 2) : stop_at_(stop_at) {}
  pack::Progress progress() {
    last_ = Clock::now();
    return [this](std::uint64_t done, std::uint64_t all) {
      longest_ = std::max(longest_, since(last_));
      last_ = Clock::now();
      backwards_ = backwards_ || done < done_;
      done_ = done;
      share_ = all == 0 ? 1 : static_cast<double>(done) / static_cast<double>(all);
      ++calls_;
      return share_ < stop_at_;
    };
  }
  [[nodiscard]] double after_cancel() const { return since(last_); }
  [[nodiscard]] std::string text() {
    longest_ = std::max(longest_, since(last_));
    return fmt::format("progress told {} times, at most {:.1f} s apart, up to {:.0f} %{}", calls_,
                       longest_, share_ * 100, backwards_ ? ", BACKWARDS" : "");
  }
  [[nodiscard]] bool good() const { return !backwards_ && share_ > 0.95 && calls_ > 20; }

 private:
  double stop_at_;
  Clock::time_point last_ = Clock::now();
  double longest_ = 0;
  double share_ = 0;
  std::uint64_t done_ = 0;
  std::uint64_t calls_ = 0;
  bool backwards_ = false;
};

// About 200 kB, that no compression makes less of.
bool write_noise(const std::string& path, std::uint64_t number) {
  constexpr int kSide = 258;
  Random random(number);
  cairo_surface_t* picture = cairo_image_surface_create(CAIRO_FORMAT_RGB24, kSide, kSide);
  const int stride = cairo_image_surface_get_stride(picture);
  unsigned char* pixels = cairo_image_surface_get_data(picture);
  for (int i = 0; i < stride * kSide; ++i) pixels[i] = static_cast<unsigned char>(random.next());
  cairo_surface_mark_dirty(picture);
  const bool written = cairo_surface_write_to_png(picture, path.c_str()) == CAIRO_STATUS_SUCCESS;
  cairo_surface_destroy(picture);
  return written;
}

int pictures(const std::string& shop, int count) {
  files::Disk& disk = files::real_disk();
  std::filesystem::remove_all(shop + "/photos");
  std::filesystem::create_directories(shop + "/photos");
  const auto listed = disk.list(shop);
  if (!listed) return fail(listed.failure().text());
  int made = 0;
  // Those that the maker's tips show by themselves, then one more a tip.
  const auto make = [&](const std::string& name) {
    return write_noise(shop + "/photos/" + name, static_cast<std::uint64_t>(++made));
  };
  for (int i = 0; i < 200 && made < count; ++i) {
    if (!make(fmt::format("photo{}.png", i))) return fail("photos: cannot be written");
  }
  for (const files::Listed& one : *listed) {
    if (made == count) break;
    if (shop::kind_of(one.path) != shop::Kind::tip) continue;
    const auto text = shop::read_text(disk, shop, one.path);
    if (!text) return fail(text.failure().text());
    const std::string name = fmt::format("noise{}.png", made);
    if (!make(name)) return fail("photos: cannot be written");
    const auto saved = files::replace(disk, shop + "/" + one.path,
                                      *text + fmt::format("\n## Seen\n![Noise]({})\n", name));
    if (!saved) return fail(saved.failure().text());
  }
  return 0;
}

// The figures of one way; false when a target is missed.
bool report(const char* what, double seconds, Watched& watched) {
  const double memory = peak_mebibytes();
  fmt::print("{:<8} {:.1f} s (at most {:.0f}), {:.0f} MiB at most (at most {:.0f}); {}\n", what,
             seconds, kMostSeconds, memory, kMostMebibytes, watched.text());
  return seconds <= kMostSeconds && memory <= kMostMebibytes && watched.good();
}

bool report_cancel(const char* what, bool refused, bool untouched, const Watched& watched) {
  const double after = watched.after_cancel();
  fmt::print("{:<8} given up half way: {} after {:.2f} s, {}\n", what,
             refused ? "stopped" : "NOT STOPPED", after,
             untouched ? "nothing left behind" : "SOMETHING LEFT BEHIND");
  return refused && untouched && after <= kMostAfterCancel;
}

// Names and sizes of all files, hidden ones too: what a cancelled call must leave as it was.
std::string content_of(const std::string& folder) {
  std::vector<std::string> all;
  for (const auto& one : std::filesystem::recursive_directory_iterator(folder)) {
    if (one.is_regular_file())
      all.push_back(fmt::format("{} {}\n", one.path().string(), one.file_size()));
  }
  std::sort(all.begin(), all.end());
  std::string text;
  for (const std::string& line : all) text += line;
  return text;
}

int seal(const std::string& shop, const std::string& folder) {
  files::Disk& disk = files::real_disk();
  std::filesystem::create_directories(folder);
  const pack::SecretKey key = pack::SecretKey::make();
  const pack::SealOptions options{"p", "2026-03-20", "Many tips"};
  Watched stopped(0.5);
  const auto begin = Clock::now();
  const auto plan = pack::plan_seal(disk, shop, {});
  if (!plan) return fail(plan.failure().text());
  const double planned = since(begin);
  const bool refused = !pack::seal(disk, shop, *plan, options, key, folder, stopped.progress());
  bool good = report_cancel("seal", refused, content_of(folder).empty(), stopped);
  Watched watched;
  const auto again = Clock::now();
  const auto sealed = pack::seal(disk, shop, *plan, options, key, folder, watched.progress());
  const double seconds = planned + since(again);
  if (!sealed) return fail(sealed.failure().text());
  good &= report("seal", seconds, watched);
  const auto tips =
      std::count_if(plan->texts.begin(), plan->texts.end(),
                    [](const pack::SealText& text) { return text.kind == shop::Kind::tip; });
  fmt::print("{} tips, {} pictures, {} left out, {:.0f} MiB\n", tips, plan->photos.size(),
             plan->left_out.size(), static_cast<double>(sealed->bytes) / (1 << 20));
  return good ? 0 : 1;
}

int accept(const std::string& path, const std::string& shop) {
  files::Disk& disk = files::real_disk();
  std::filesystem::create_directories(shop);
  if (!files::write_once(disk, shop + "/shop.md", "---\nname: South\n---\n"))
    return fail(shop + ": cannot be written");
  const std::string before = content_of(shop);
  const pack::Accepting how{{}, "RO", "2026-03-21T08:00:00+01:00", "north"};
  const auto begin = Clock::now();
  const auto seen = pack::open_pack(disk, path, {});
  if (!seen) return fail(seen.failure().text());
  const auto preview = pack::preview(disk, shop, *seen);
  if (!preview) return fail(preview.failure().text());
  const double looked = since(begin);
  Watched stopped(0.5);
  const bool refused = !pack::accept(disk, shop, path, *seen, how, stopped.progress());
  bool good = report_cancel("accept", refused, content_of(shop) == before, stopped);
  Watched watched;
  const auto again = Clock::now();
  const auto outcome = pack::accept(disk, shop, path, *seen, how, watched.progress());
  const double seconds = looked + since(again);
  if (!outcome) return fail(outcome.failure().text());
  good &= report("accept", seconds, watched);
  fmt::print("{} new, {} pictures, {} left; opening and preview {:.1f} s of it\n", outcome->fresh,
             outcome->photos, outcome->left.size(), looked);
  return good && outcome->left.empty() ? 0 : 1;
}

int run(int argc, char** argv) {
  CLI::App app{"Measures packs"};
  app.require_subcommand(1);
  std::string from;
  std::string to;
  int count = 0;
  CLI::App* noise = app.add_subcommand("pictures", "noise pictures for a generated shop");
  noise->add_option("SHOP", from)->required();
  noise->add_option("COUNT", count)->required()->check(CLI::Range(1, 100000));
  CLI::App* out = app.add_subcommand("seal", "seal a shop");
  out->add_option("SHOP", from)->required();
  out->add_option("FOLDER", to)->required();
  CLI::App* in = app.add_subcommand("accept", "accept a pack");
  in->add_option("PACK", from)->required();
  in->add_option("SHOP", to)->required();
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  if (noise->parsed()) return pictures(from, count);
  return out->parsed() ? seal(from, to) : accept(from, to);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    baylore::pack::read_containers_with(
        baylore::files::with_program("baylore-container", BAYLORE_CONTAINER));
    return run(argc, argv);
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
  }
  return 2;
}
