// The shop's folder goes away at each operation of each deed, as a network folder or a stick does,
// and comes back: nothing that was acknowledged is elsewhere, and no second shop was started in its
// place.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <utility>

#include "files/disk_over.h"
#include "promises/deeds.h"
#include "shop/shop_disk.h"
#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;
using test::Deed;
using test::Found;
using test::Scratch;

namespace {

// A disk on which something happens before the `call`-th call and, when `back` is not 0,
// again so many calls later.
class Happening final : public files::DiskOver {
 public:
  Happening(files::Disk& disk, int call, int back, std::function<void(bool away)> happens)
      : DiskOver(disk), call_(call), back_(back), happens_(std::move(happens)) {}

 private:
  files::Result<void> may(std::string_view /*call*/, const std::string& /*path*/) override {
    ++calls_;
    if (calls_ == call_) happens_(true);
    if (back_ > 0 && calls_ == call_ + back_) happens_(false);
    return {};
  }
  int call_;
  int back_;
  int calls_ = 0;
  std::function<void(bool)> happens_;
};

// BAYLORE_POINTS: before every call and not only at a few of each deed.
bool every_point() { return std::getenv("BAYLORE_POINTS") != nullptr; }

// The mount point under a folder that went away: there, and bare, or not there at all.
enum class Left { bare_folder, nothing };

void go_away(const test::Place& place, Left left) {
  std::filesystem::rename(place.shop, place.shop + ".away");
  if (left == Left::bare_folder) std::filesystem::create_directory(place.shop);
}
void come_back(const test::Place& place) {
  if (!std::filesystem::exists(place.shop + ".away")) return;
  std::filesystem::remove_all(place.shop);
  std::filesystem::rename(place.shop + ".away", place.shop);
}

}  // namespace

TEST_CASE("wherever the shop's folder goes away in a deed, all is well when it is back") {
  int points = 0;
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    Found before;
    Found done;
    int calls = 0;
    {
      const Scratch scratch;
      for (const auto& [path, bytes] : deed.scene) scratch.put(path, bytes);
      const test::Place place = test::place_in(scratch.folder());
      before = test::found_at_start(files::real_disk(), place);
      test::FailingDisk counting(files::real_disk());
      REQUIRE(deed.act(counting, place));
      calls = counting.calls();
      done = test::found_at_start(files::real_disk(), place);
    }
    for (const Left left : {Left::bare_folder, Left::nothing}) {
      for (const int back : {0, 3}) {
        if (!every_point() && (left == Left::nothing) != (back == 0)) continue;
        for (int call = 1; call <= calls; call += every_point() ? 1 : 1 + calls / 4) {
          const Scratch scratch;
          for (const auto& [path, bytes] : deed.scene) scratch.put(path, bytes);
          const test::Place place = test::place_in(scratch.folder());
          bool stray = false;
          shop::ShopDisk guarded(files::real_disk(), place.shop);
          Happening disk(guarded, call, back, [&](bool away) {
            if (away) {
              go_away(place, left);
            } else {
              come_back(place);
            }
          });
          const bool acknowledged = deed.act(disk, place);
          if (std::filesystem::exists(place.shop + ".away")) {
            stray = std::filesystem::exists(place.shop) && !std::filesystem::is_empty(place.shop);
            come_back(place);
          }
          CAPTURE(call);
          CAPTURE(back);
          CAPTURE(left == Left::nothing);
          CHECK_FALSE(stray);
          const Found now = test::found_at_start(files::real_disk(), place);
          const std::string wrong = test::judge(deed, now, before, done, acknowledged);
          CHECK_MESSAGE(wrong.empty(), wrong);
          ++points;
        }
      }
    }
  }
  MESSAGE(points, " points");
  CHECK(points > 100);
}
