// Packs on the panel: looked at, taken in, settled, taken out, sealed. Driven by taps and keys,
// with the real desk, store and files; the packs are real ones, sealed by another location's key.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "pack/confined.h"
#include "pack/keys.h"
#include "pack/pack.h"
#include "shop/shop.h"
#include "support/pack_scene.h"
#include "support/terminals.h"
#include "viewer/services/sticks.h"
#include "viewer/ui/qr.h"

namespace {

using baylore::test::Headless;
using baylore::test::HeadlessOptions;
using baylore::test::PackScene;
using baylore::test::Terminals;
using baylore::viewer::Screen;
namespace files = baylore::files;
namespace fs = std::filesystem;
namespace pack = baylore::pack;
namespace test = baylore::test;
namespace viewer = baylore::viewer;

constexpr const char* kHeater = "tips/cooling/heater-cold-at-idle-coolant-lost-cold.md";
constexpr const char* kCap = "tips/cooling/boils-over-tank-cap-leaks.md";
constexpr const char* kGasket = "tips/cooling/head-gasket-seep.md";

class Bay {
 public:
  explicit Bay(int width = 1280, int height = 800) {
    at_.use_demo();
    scene_ = test::make_pack_scene(BAYLORE_SOURCE_DIR, at_.shop(), at_.scratch().path("others"));
    REQUIRE_MESSAGE(scene_.trouble.empty(), scene_.trouble);
    HeadlessOptions options = at_.options();
    options.width = width;
    options.height = height;
    options.pack_places = {scene_.stick};
    panel_ = std::make_unique<Headless>(options);
    REQUIRE(panel_->ready());
  }
  Headless& panel() { return *panel_; }
  [[nodiscard]] const Terminals& at() const { return at_; }
  [[nodiscard]] const PackScene& scene() const { return scene_; }
  const viewer::PacksView& view() { return panel_->state().packs; }

  void to_packs() {
    if (panel_->state().screen != Screen::job) REQUIRE(panel_->tap("tag"));
    if (panel_->has("key:Search")) REQUIRE(panel_->tap("key:Search"));
    REQUIRE(panel_->tap("strip:more"));
    REQUIRE(panel_->tap("row:packs"));
    panel_->settle();
    REQUIRE(panel_->state().screen == Screen::packs);
    REQUIRE(view().shelf);
  }
  void open(const std::string& path) {
    REQUIRE(panel_->tap("found:" + path));
    REQUIRE(panel_->until([&] { return view().opened && view().opened->path == path; }, 10));
    panel_->settle();
  }
  std::string change_of(const std::string& id) {
    for (const pack::PreviewItem& item : view().opened->preview.items) {
      if (item.key.second == id) return std::string(pack::change_word(item.change));
    }
    return "not in it";
  }
  void tap_item(const std::string& id) {
    const auto& items = view().opened->preview.items;
    const auto at = std::find_if(items.begin(), items.end(), [&](const pack::PreviewItem& item) {
      return item.key.second == id;
    });
    REQUIRE(at != items.end());
    REQUIRE(panel_->tap("item:" + std::to_string(at - items.begin())));
    panel_->settle();
  }
  // Every file of the shop, by path, but for this terminal's own jobs.
  std::map<std::string, std::string> files_now() {
    std::map<std::string, std::string> all;
    for (const auto& one : fs::recursive_directory_iterator(at_.shop())) {
      const std::string path = fs::relative(one.path(), at_.shop()).string();
      if (one.is_regular_file() && !path.starts_with("jobs/")) all[path] = at_.get(path);
    }
    return all;
  }

 private:
  Terminals at_;
  PackScene scene_;
  std::unique_ptr<Headless> panel_;
};

}  // namespace

TEST_CASE("a trusted pack is looked at, taken in, settled and taken out again") {
  Bay bay;
  Headless& panel = bay.panel();
  bay.to_packs();
  CHECK(bay.view().shelf->found.size() == 4);
  CHECK(panel.shows("BLUE STICK"));
  const auto before = bay.files_now();
  bay.open(bay.scene().trusted);
  CHECK(panel.shows("From Hexley Road"));
  CHECK(bay.change_of(test::kHeaterTip) == "conflict");
  CHECK(bay.change_of(test::kCapTip) == "changed");
  CHECK(bay.change_of(test::kGasketTip) == "merged");
  CHECK(bay.change_of(test::kNewTip) == "new");
  CHECK(bay.files_now() == before);  // looking changes nothing

  // The torque stands side by side, as it is here and as they have it.
  bay.tap_item(test::kHeaterTip);
  CHECK(panel.shows("Fasteners / Pump bolts"));
  CHECK(panel.shows("- torque: 6 N·m; 10 N·m"));
  CHECK(panel.shows("- torque: 5 N·m; 9 N·m"));
  // What the check finds in a tip is told before it is taken.
  bay.tap_item(test::kFaultyTip);
  CHECK(panel.shows("What the check says of it"));

  // All but the faulty one.
  const auto& items = bay.view().opened->preview.items;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (items[i].key.second == test::kFaultyTip) REQUIRE(panel.tap("take:" + std::to_string(i)));
  }
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().screen == Screen::packs; }, 20));
  panel.settle();
  REQUIRE(bay.view().shelf->taken.size() == 1);
  CHECK(bay.view().shelf->taken.front().there);
  CHECK(panel.shows("From Hexley Road"));
  CHECK(bay.at().get(kCap).find("Look again after a week.") != std::string::npos);
  CHECK(bay.at().get(kGasket).find("Steam at the tail pipe") != std::string::npos);
  CHECK(bay.at().get(kGasket).find("Bleed at the heater hose, nose up.") != std::string::npos);
  CHECK(bay.at().get(kHeater).find("6 N·m; 10 N·m") != std::string::npos);
  CHECK_FALSE(fs::exists(bay.at().shop() + "/tips/received/" + test::kFaultyTip));

  // The new one is found at once, and says where it is from and what is known of it there.
  REQUIRE(panel.tap(std::string("text:") + test::kNewTip));
  REQUIRE(panel.until(
      [&] {
        const auto& tip = panel.state().tip;
        return tip && tip->row.id == test::kNewTip && tip->source && !tip->source->told.empty();
      },
      20));
  panel.settle();
  CHECK(panel.shows("From Hexley Road."));
  CHECK(panel.shows("Not proved here yet."));
  const auto& source = *panel.state().tip->source;
  REQUIRE(source.told.size() == 1);
  CHECK(source.told.front().second.used == 7);
  CHECK(source.told.front().second.failed == 1);

  // A part that they fitted says what it came to there, beside our own figures.
  panel.app().apply({viewer::Do::open_part, "Halden BT-77"});
  REQUIRE(
      panel.until([&] { return panel.state().part && panel.state().part->told.size() == 1; }, 20));
  CHECK(panel.state().part->told.front().second.used == 7);
  panel.app().apply({viewer::Do::part_view, {}, static_cast<int>(viewer::PartView::about)});
  panel.settle();
  CHECK(panel.shows("At Hexley Road"));

  // The conflict waits on the tip and on the list; a lead takes their torque.
  bay.to_packs();
  REQUIRE(bay.view().shelf->open.size() == 1);
  REQUIRE(panel.tap("open:0"));
  REQUIRE(panel.state().screen == Screen::settle);
  REQUIRE(bay.view().settling->places.size() == 1);
  REQUIRE(panel.tap("theirs:0"));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().screen == Screen::packs; }, 20));
  panel.settle();
  CHECK(bay.view().shelf->open.empty());
  CHECK(bay.at().get(kHeater).find("5 N·m; 9 N·m") != std::string::npos);

  // Taken out as one step; what was decided here since stays.
  REQUIRE(panel.tap("notice"));  // it lies over the foot of the list
  REQUIRE(panel.tap("taken:" + bay.view().shelf->taken.front().folder));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.tap("row:undo now"));
  REQUIRE(panel.until(
      [&] {
        return bay.view().shelf && bay.view().shelf->taken.size() == 1 &&
               !bay.view().shelf->taken.front().there;
      },
      20));
  panel.settle();
  CHECK(bay.at().get(kCap) == before.at(kCap));
  CHECK(bay.at().get(kGasket) == before.at(kGasket));
  CHECK(bay.at().get(kHeater).find("5 N·m; 9 N·m") != std::string::npos);
  for (const auto& [path, bytes] : bay.files_now())
    CHECK_MESSAGE(!path.starts_with(std::string("tips/received/") + test::kNewTip), path);
}

TEST_CASE("an unknown signer's pack needs a decision, which is kept") {
  Bay bay(390, 844);
  Headless& panel = bay.panel();
  bay.to_packs();
  const auto before = bay.files_now();
  bay.open(bay.scene().unknown);
  CHECK(panel.shows("Signed by a key that is not known here"));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.state().screen == Screen::ask);
  // Going back decides nothing.
  panel.type("\x1b");
  panel.settle();
  CHECK(panel.state().screen == Screen::pack);
  CHECK(bay.files_now() == before);
  // A name that another key has already is refused.
  REQUIRE(panel.tap("primary"));
  panel.type("hexley-road\n");
  REQUIRE(panel.until([&] { return bay.view().work == viewer::PackWork::none; }, 20));
  panel.settle();
  REQUIRE(panel.state().notice);
  CHECK(panel.state().notice->bad);
  CHECK(bay.files_now() == before);
  REQUIRE(panel.tap("primary"));
  panel.type("quay-lane\n");
  REQUIRE(panel.until([&] { return panel.state().screen == Screen::packs; }, 20));
  panel.settle();
  const auto trusted = pack::read_trusted(files::real_disk(), bay.at().shop());
  REQUIRE(trusted.ok());
  REQUIRE(trusted->keys.size() == 2);
  CHECK(trusted->keys[1].location == "quay-lane");
  CHECK(trusted->keys[1].key.line() == bay.scene().key_line);
  REQUIRE(bay.view().shelf->taken.size() == 1);
  CHECK(bay.view().shelf->taken.front().newly_trusted);
  CHECK(fs::exists(bay.at().shop() + "/tips/received/01JQUAYCABLE"));
}

TEST_CASE(
    "what nobody signed is looked at, what was altered is refused; neither changes anything") {
  Bay bay;
  Headless& panel = bay.panel();
  bay.to_packs();
  const auto before = bay.files_now();
  bay.open(bay.scene().unsigned_pack);
  CHECK(panel.shows("Not signed"));
  CHECK(panel.shows("Handbrake needs one more notch"));
  CHECK(panel.shows("Cannot be taken in"));
  CHECK_FALSE(panel.has("primary"));
  CHECK_FALSE(panel.has("take:0"));
  panel.app().apply({viewer::Do::accept_pack, {}});
  panel.settle();
  REQUIRE(panel.tap("strip:back"));
  bay.open(bay.scene().altered);
  CHECK(panel.shows("refused"));
  CHECK_FALSE(panel.has("primary"));
  CHECK(bay.view().opened->preview.items.empty());
  panel.app().apply({viewer::Do::accept_pack, {}});
  panel.settle();
  CHECK(bay.files_now() == before);
}

TEST_CASE("a pack that crashes its reader is a plain note, and the next one opens") {
  Bay bay;
  Headless& panel = bay.panel();
  bay.to_packs();
  const auto before = bay.files_now();
  bay.at().scratch().put("reader", "#!/bin/sh\nkill -SEGV $$\n");
  const std::string reader = bay.at().scratch().path("reader");
  fs::permissions(reader, fs::perms::owner_all);
  pack::read_containers_with(reader);
  bay.open(bay.scene().trusted);
  pack::read_containers_with(BAYLORE_CONTAINER);
  CHECK(panel.shows("The file could not be read: it broke its reader"));
  CHECK_FALSE(panel.has("primary"));
  CHECK(bay.view().opened->preview.items.empty());
  REQUIRE(panel.tap("strip:back"));
  bay.open(bay.scene().unknown);
  CHECK_FALSE(bay.view().opened->preview.items.empty());
  CHECK(bay.files_now() == before);
}

TEST_CASE("tips are chosen and sealed onto a stick, signed with the key that is shown") {
  Bay bay;
  Headless& panel = bay.panel();
  bay.to_packs();
  REQUIRE(panel.tap("strip:key"));
  REQUIRE(panel.until([&] { return bay.view().key.has_value(); }, 10));
  panel.settle();
  CHECK(panel.shows(bay.view().key->id));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return bay.view().offer != nullptr; }, 20));
  panel.settle();
  const std::size_t all = viewer::tips_that_go(bay.view()).size();
  REQUIRE(panel.tap("wish:system"));
  REQUIRE(panel.tap("row:one:cooling"));
  REQUIRE(panel.tap("strip:back"));
  REQUIRE(panel.until(
      [&] { return bay.view().offer && viewer::tips_that_go(bay.view()).size() < all; }, 20));
  REQUIRE(panel.tap("wish:words"));
  panel.type("heater\n");
  REQUIRE(panel.until([&] { return bay.view().work == viewer::PackWork::none && bay.view().offer; },
                      20));
  panel.settle();
  const std::vector<std::string> ids = viewer::tips_that_go(bay.view());
  REQUIRE(ids.size() >= 3);
  REQUIRE(ids.size() < 12);
  CHECK(std::find(ids.begin(), ids.end(), test::kHeaterTip) != ids.end());
  REQUIRE(panel.tap("go:" + ids.back()));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return bay.view().work == viewer::PackWork::none; }, 20));
  panel.settle();
  REQUIRE(panel.state().notice);
  CAPTURE(panel.state().notice->more);
  CHECK(panel.state().screen == Screen::packs);
  CHECK_FALSE(panel.state().notice->bad);
  // It is on the stick, sound, ours, and holds what was chosen.
  REQUIRE(bay.view().shelf->found.size() == 5);
  std::string path;
  for (const viewer::FoundPack& found : bay.view().shelf->found) {
    if (found.name.starts_with("alder-street-shop-")) path = found.path;
  }
  REQUIRE_FALSE(path.empty());
  pack::TrustedKeys keys;
  keys.keys.push_back({"alder", {}, *pack::read_public_key(bay.view().key->line)});
  const auto opened = pack::open_pack(files::real_disk(), path, keys);
  REQUIRE(opened.ok());
  CHECK(opened->verdict() == "trusted");
  std::vector<std::string> tips;
  for (const pack::PackText& text : opened->texts) {
    if (text.kind == baylore::shop::Kind::tip) tips.push_back(text.id);
  }
  std::vector<std::string> chosen(ids.begin(), ids.end() - 1);
  std::sort(tips.begin(), tips.end());
  std::sort(chosen.begin(), chosen.end());
  CHECK(tips == chosen);
  // A second one the same day has a name of its own.
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return bay.view().offer && bay.view().work == viewer::PackWork::none; },
                      20));
  REQUIRE(panel.tap("primary"));
  REQUIRE(panel.until([&] { return panel.state().screen == Screen::packs; }, 30));
  panel.settle();
  CHECK(bay.view().shelf->found.size() == 6);
}

// A tip from elsewhere stands behind an equal one that was proved here, until it is proved itself.
TEST_CASE("a received tip's trust grows with what is recorded here") {
  Terminals at;
  const auto squeal = [](const std::string& id, const std::string& author) {
    return "---\nid: " + id + "\ntitle: Squeal at walking pace\nsystem: brakes\nauthor: " + author +
           "\nwritten: 2026-03-01\n---\n\n## Symptom\nSqueal at walking pace.\n";
  };
  const auto fixed = [](const std::string& from, const std::string& tip, int count) {
    std::string lines;
    for (int i = 0; i < count; ++i)
      lines += from + std::to_string(i) + ",2026-04-0" + std::to_string(i + 1) +
               "T09:00:00.000+00:00,outcome," + tip + ",fixed,.\n";
    return lines;
  };
  const std::string head = "id,when,kind,tip,result,end\n";
  at.put("shop.md", "---\nname: Test shop\n---\n");
  at.put("tips/brakes/ours.md", squeal("z-ours", "R. Okoro"));
  at.put("tips/received/a-theirs/theirs.md", squeal("a-theirs", "L. Adeyemi"));
  at.put("records/bay-9-OTHERS/2026-04.csv", head + fixed("OURS", "z-ours", 3));
  const auto first = [&](Headless& panel) {
    REQUIRE(panel.tap("line"));
    panel.type("squeal walking pace\n");
    panel.settle();
    return panel.state().answer.hits.empty() ? std::string()
                                             : panel.state().answer.hits.front().tip.id;
  };
  {
    const auto panel = at.start();
    CHECK(first(*panel) == "z-ours");
  }
  at.put("records/bay-9-OTHERS/2026-05.csv", head + fixed("THEIRS", "a-theirs", 8));
  const auto panel = at.start("bay-4-TEST02");
  CHECK(first(*panel) == "a-theirs");
}

// The format is that of proc(5), /proc/pid/mountinfo.
TEST_CASE("sticks and cards are found among the mounts, blanks in their names and all") {
  const std::string mounts =
      "21 1 8:1 / / rw,relatime shared:1 - ext4 /dev/sda1 rw\n"
      "36 21 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue\n"
      "40 21 8:17 / /media/bay/BLUE\\040STICK rw,nosuid - vfat /dev/sdb1 rw\n"
      "41 21 8:33 / /run/media/bay/CARD ro,nosuid - exfat /dev/sdc1 ro\n"
      "42 21 0:50 / /mnt/share rw - cifs //office/share rw\n"
      "43 21 8:49 / /mnt rw - ext4 /dev/sdd1 rw\n"
      "44 21 8:17 / /media/bay/BLUE\\040STICK rw - vfat /dev/sdb1 rw\n"
      "short line\n";
  const std::vector<viewer::Mount> found = viewer::mounted_folders(mounts);
  const std::vector<viewer::Mount> expected{{"/media/bay/BLUE STICK", true},
                                            {"/run/media/bay/CARD", false},
                                            {"/mnt/share", true},
                                            {"/mnt", true}};
  CHECK(found == expected);
  CHECK(viewer::mounted_folders("").empty());
}

// ISO/IEC 18004: 17 + 4 x version modules a side; a finder pattern, seven wide, in three corners.
TEST_CASE("a key fits a code that a camera reads") {
  const viewer::QrCode code =
      viewer::qr_of("RWQf6LRCGA9i53mlYecO4IzT51TGPpvWucNSCh1CBM0QTaLn73Y7GFO3");
  REQUIRE(code.side > 0);
  CHECK((code.side - 17) % 4 == 0);
  CHECK(code.dark.size() == static_cast<std::size_t>(code.side * code.side));
  const auto dark = [&](int x, int y) {
    return code.dark[static_cast<std::size_t>(y * code.side + x)] == 1;
  };
  const int last = code.side - 7;
  for (const auto& [left, top] : {std::pair(0, 0), std::pair(last, 0), std::pair(0, last)}) {
    for (int y = 0; y < 7; ++y) {
      for (int x = 0; x < 7; ++x) {
        const int ring = std::max(std::abs(x - 3), std::abs(y - 3));
        CHECK(dark(left + x, top + y) == (ring != 2));
      }
    }
  }
}
