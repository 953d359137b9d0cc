#include "shop/shop.h"

#include <doctest/doctest.h>

#include <filesystem>

#include "files/names.h"
#include "files/save.h"
#include "shop/setting.h"
#include "shop/shop_disk.h"
#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;
using files::Failure;
using test::FailingDisk;

namespace {

const std::string kOld = "---\nid: tip-1\ntitle: Heater cold\n---\n\nOld text.\n";
const std::string kNew = "---\nid: tip-1\ntitle: Heater cold\n---\n\nNew text.\n";
const std::string kPath = "tips/cooling/heater-cold.md";
const std::string kKept = "history/tip-1/" + files::hash_hex(kOld) + ".md";

}  // namespace

TEST_CASE("settings are read, and faults in them found") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const auto none = read_settings(disk, scratch.folder());
  REQUIRE_FALSE(none.ok());
  CHECK(none.failure().kind == Failure::Kind::missing);

  scratch.put("shop.md",
              "---\nname: Alder Street\nlocation: Wendmoor\naltitude: 790 ft\nunits:\n  - torque: "
              "lbf·ft\n  - pressure: psi\n"
              "labour-rate: 96.50 an hour\ncomeback-months: 18\ndemo: yes\n---\n");
  const auto read = read_settings(disk, scratch.folder());
  REQUIRE(read.ok());
  CHECK(read->findings.empty());
  CHECK(read->name == "Alder Street");
  CHECK(read->location == "Wendmoor");
  CHECK(read->altitude_known);
  CHECK(read->altitude_m == doctest::Approx(240.792));  // 1 ft = 0.3048 m exactly, NIST SP 811
  CHECK(read->torque_unit == "lbf·ft");
  CHECK(read->labour_rate == 96.5);
  CHECK(read->comeback_months == 18);
  CHECK(read->demo);

  scratch.put("shop.md",
              "---\naltitude: 9000 m\nunits:\n  - torque: kPa\nlabour-rate: lots\ncomeback-window: "
              "0\nlabor-rate: 3\n---\n");
  const auto bad = read_settings(disk, scratch.folder());
  REQUIRE(bad.ok());
  CHECK_FALSE(bad->altitude_known);
  CHECK(bad->torque_unit == "N·m");
  CHECK(bad->labour_rate == 0);
  CHECK(bad->comeback_months == 12);
  std::vector<std::string> rules;
  for (const Finding& f : bad->findings) rules.push_back(f.rule);
  CHECK(rules == std::vector<std::string>{"unknown-key", "name", "altitude", "units", "labour-rate",
                                          "comeback-months"});
}

TEST_CASE("kinds of files") {
  CHECK(kind_of("shop.md") == Kind::shop);
  CHECK(kind_of("tips/a.md") == Kind::tip);
  CHECK(kind_of("tips/deep/er/a.md") == Kind::tip);
  CHECK(kind_of("parts/a.md") == Kind::part);
  CHECK(kind_of("vocabulary/a.md") == Kind::vocabulary);
  for (const char* other :
       {"", "README.md", "tips/a.txt", "tips/.new-1.md", ".tips/a.md", "tips/../a.md", "/tips/a.md",
        "history/x/1.md", "received/p/tips/a.md", "tips/a.sync-conflict-20260314-101500-BAY.md",
        "tips/a (conflicted copy 2026-03-14).md", "tips//a.md", "tips\\a.md"}) {
    CAPTURE(other);
    CHECK(kind_of(other) == Kind::other);
  }
  CHECK(is_conflict_copy("tips/a.sync-conflict-20260314-101500-BAY.md"));
  CHECK_FALSE(is_conflict_copy("tips/gear-conflicts-with-clutch.md"));
}

TEST_CASE("a setting is changed where it stands, however the shop wrote it") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  // Of two entries of one name the last would count. YAML takes the new one for a text when quoted.
  scratch.put(
      "shop.md",
      "---\nname: Alder Street\nunits:\n  - pressure: psi\n  - Torque : N·m\n---\n\n# Hours\n");
  REQUIRE(save_setting(disk, scratch.folder(), "units", "torque", "lbf·ft"));
  CHECK(read_settings(disk, scratch.folder())->torque_unit == "lbf·ft");
  REQUIRE(save_setting(disk, scratch.folder(), "altitude", {}, "240 m"));
  CHECK(scratch.get("shop.md") ==
        "---\nname: Alder Street\nunits:\n  - pressure: psi\n  - \"torque: lbf·ft\"\naltitude: "
        "240 m\n---\n\n# Hours\n");
  const auto none = save_setting(disk, scratch.path("nowhere"), "altitude", {}, "240 m");
  REQUIRE_FALSE(none.ok());
  CHECK(none.failure().kind == Failure::Kind::missing);
}

TEST_CASE("what a copy is a copy of, and which of two files counts") {
  // The first is Syncthing's documented form: name.sync-conflict-DATE-TIME-DEVICE.ending; the
  // others are common practice, no source.
  for (const char* copy :
       {"tips/a.sync-conflict-20260314-101500-7K2QF9A.md", "tips/a (conflicted copy 2026-03-14).md",
        "tips/a (Bay 2's conflicted copy).md", "tips/a(conflict 1).md", "tips/a.conflict2.md",
        "tips/a.md.conflict"}) {
    CAPTURE(copy);
    CHECK(original_of(copy) == "tips/a.md");
    CHECK(comes_first("tips/a.md", copy));
    CHECK_FALSE(comes_first(copy, "tips/a.md"));
    // However long the other's name is.
    CHECK(comes_first("tips/a-rather-long-name-of-a-file-that-nobody-would-want-to-type.md", copy));
  }
  CHECK(original_of("tips/a.md").empty());
  CHECK(original_of("tips/conflicted copy.md").empty());
  CHECK(comes_first("tips/z/heater.md", "tips/a/heater (1).md"));
  CHECK(comes_first("tips/z/heater.md", "tips/a/Copy of heater.md"));
  CHECK(comes_first("tips/a/heater.md", "tips/b/heater.md"));
  CHECK_FALSE(comes_first("tips/a.md", "tips/a.md"));
}

TEST_CASE("no path leads out of the shop, neither by its words nor by a link") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  scratch.put("outside/secret.md", "secret");
  scratch.put("shop/tips/a.md", "fine");
  std::filesystem::create_directory_symlink(scratch.path("outside"), scratch.path("shop/tips/out"));
  std::filesystem::create_symlink(scratch.path("outside/secret.md"),
                                  scratch.path("shop/tips/link.md"));
  const std::string shop = scratch.path("shop");
  CHECK(*read_text(disk, shop, "tips/a.md") == "fine");
  for (const std::string& bad :
       {std::string("../outside/secret.md"), scratch.path("outside/secret.md"),
        std::string("tips/../../outside/secret.md"), std::string("tips/out/secret.md"),
        std::string("tips/link.md"), std::string("tips\\a.md"), std::string("tips/./a.md"),
        std::string("tips/a.md\0", 10), std::string()}) {
    CAPTURE(bad);
    const auto read = read_text(disk, shop, bad);
    REQUIRE_FALSE(read.ok());
    CHECK(read.failure().kind == Failure::Kind::denied);
    CHECK_FALSE(save_tip(disk, shop, bad, "", "evil").ok());
    CHECK_FALSE(save_tip(disk, shop, bad, "secret", "evil").ok());
  }
  CHECK_FALSE(save_tip(disk, shop, "history/x/1.md", "", "evil").ok());
  CHECK(scratch.get("outside/secret.md") == "secret");
  CHECK(scratch.files().size() == 3);
}

TEST_CASE("saving keeps the earlier text in history and never overwrites another's edit") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  REQUIRE(save_tip(disk, scratch.folder(), kPath, "", kOld));
  CHECK(scratch.get(kPath) == kOld);
  REQUIRE(save_tip(disk, scratch.folder(), kPath, kOld, kNew));
  CHECK(scratch.get(kPath) == kNew);
  CHECK(scratch.get(kKept) == kOld);

  // Two people started from the old text.
  const auto late = save_tip(disk, scratch.folder(), kPath, kOld, "mine");
  REQUIRE_FALSE(late.ok());
  CHECK(late.failure().kind == Failure::Kind::exists);
  CHECK(scratch.get(kPath) == kNew);

  // A new file never lands on an old one.
  const auto taken = save_tip(disk, scratch.folder(), kPath, "", "mine");
  REQUIRE_FALSE(taken.ok());
  CHECK(taken.failure().kind == Failure::Kind::exists);

  // Removed meanwhile.
  std::filesystem::remove(scratch.path(kPath));
  const auto removed = save_tip(disk, scratch.folder(), kPath, kNew, "mine");
  REQUIRE_FALSE(removed.ok());
  CHECK(removed.failure().kind == Failure::Kind::missing);
  CHECK(scratch.get("history/tip-1/" + files::hash_hex(kNew) + ".md") == kNew);
}

TEST_CASE("a tip without an id keeps its history under the provisional one") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  scratch.put(kPath, "# Heater\n");
  REQUIRE(save_tip(disk, scratch.folder(), kPath, "# Heater\n", "# Heater cold\n"));
  const Tip tip = read_tip(Document::parse("# Heater\n"), kPath);
  CHECK(scratch.get("history/" + tip.id + "/" + files::hash_hex("# Heater\n") + ".md") ==
        "# Heater\n");
}

TEST_CASE(
    "whichever call fails while saving, the tip is old or new, and the old text is never lost") {
  int points = 0;
  {
    const test::Scratch scratch;
    scratch.put(kPath, kOld);
    FailingDisk disk(files::real_disk());
    REQUIRE(save_tip(disk, scratch.folder(), kPath, kOld, kNew));
    points = disk.calls();
  }
  CHECK(points > 20);
  for (const auto how : {FailingDisk::How::once, FailingDisk::How::forever}) {
    for (int point = 1; point <= points; ++point) {
      const test::Scratch scratch;
      scratch.put(kPath, kOld);
      FailingDisk disk(files::real_disk());
      disk.fail_at(point, how, Failure::Kind::full);
      const bool ok = save_tip(disk, scratch.folder(), kPath, kOld, kNew).ok();
      CAPTURE(point);
      CAPTURE(disk.log().back());
      const std::string now = scratch.get(kPath);
      CHECK((now == kNew || (!ok && now == kOld)));
      if (now == kNew) CHECK(scratch.get(kKept) == kOld);
      // What came out of the swap stays when the disk dies before anybody has looked at it.
      for (const std::string& left : scratch.left_behind()) {
        CHECK(how == FailingDisk::How::forever);
        CHECK(scratch.get(left) == kOld);
      }
      // And trying again gets there.
      if (!ok && now == kOld)
        CHECK(save_tip(files::real_disk(), scratch.folder(), kPath, kOld, kNew).ok());
    }
  }
}

TEST_CASE("slugs and new paths") {
  CHECK(slug_of("Heater cold at idle") == "heater-cold-at-idle");
  CHECK(slug_of("  Kühler – STRASSE (2.0 l) ") == "kuhler-strasse-2-0-l");
  CHECK(slug_of("насос").empty());
  CHECK(slug_of(std::string(100, 'a')).size() == 60);
  CHECK(slug_of("aaaaaaaaaaaaaaaaaaaaaaaaaaaaa bbbbbbbbbbbbbbbbbbbbbbbbbbbbbb cc") ==
        "aaaaaaaaaaaaaaaaaaaaaaaaaaaaa-bbbbbbbbbbbbbbbbbbbbbbbbbbbbbb");

  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  CHECK(new_tip_path(disk, scratch.folder(), "Fuel delivery", "Long crank") ==
        "tips/fuel-delivery/long-crank.md");
  scratch.put("tips/fuel-delivery/long-crank.md", "x");
  CHECK(new_tip_path(disk, scratch.folder(), "Fuel delivery", "Long crank") ==
        "tips/fuel-delivery/long-crank-2.md");
  CHECK(new_tip_path(disk, scratch.folder(), "", "насос") == "tips/tip.md");
}

TEST_CASE("a new tip that is saved once more is the same tip, another of its title is not") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const std::string text = "---\nid: one\ntitle: Long crank\n---\n";
  const auto first = save_new_tip(disk, scratch.folder(), "fuel", "Long crank", text);
  REQUIRE(first.ok());
  CHECK(*first == "tips/fuel/long-crank.md");
  const auto again = save_new_tip(disk, scratch.folder(), "fuel", "Long crank", text + "more\n");
  REQUIRE(again.ok());
  CHECK(*again == *first);
  CHECK(scratch.get(*first) == text + "more\n");
  CHECK(scratch.get("history/one/" + files::hash_hex(text) + ".md") == text);
  const auto other = save_new_tip(disk, scratch.folder(), "fuel", "Long crank",
                                  "---\nid: two\ntitle: Long crank\n---\n");
  REQUIRE(other.ok());
  CHECK(*other == "tips/fuel/long-crank-2.md");
}

TEST_CASE("a setting of the shop is changed with all else left as it is, and earlier bytes kept") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const std::string text =
      "---\nname: South\n# a remark\nmakes:\n  - Corvane: 90 80 70\n---\nWords.\n";
  scratch.put("shop.md", text);
  REQUIRE(save_setting(disk, scratch.folder(), "altitude", "", "240 m").ok());
  const std::string now = scratch.get("shop.md");
  CHECK(now.find("altitude: 240 m") != std::string::npos);
  CHECK(now.find("# a remark") != std::string::npos);
  CHECK(now.ends_with("---\nWords.\n"));
  CHECK(scratch.get("history/" + history_id(text, "shop.md") + "/" + files::hash_hex(text) +
                    ".md") == text);
  REQUIRE(save_setting(disk, scratch.folder(), "makes", "Orrin", "10 20 30").ok());
  const Document document = Document::parse(scratch.get("shop.md"));
  CHECK(document.list("makes") == std::vector<std::string>{"Corvane: 90 80 70", "Orrin: 10 20 30"});
  CHECK(document.value("altitude") == "240 m");
}

TEST_CASE("where shop.md is not, nothing is written, and nothing counts as not there") {
  const test::Scratch scratch;
  scratch.put("shop/tips/a.md", "a");
  ShopDisk disk(files::real_disk(), scratch.path("shop"));
  using Kind = files::Failure::Kind;
  CHECK(disk.read(scratch.path("shop/tips/a.md"), 100).ok());
  CHECK(disk.read(scratch.path("shop/tips/b.md"), 100).failure().kind == Kind::gone);
  CHECK(disk.list(scratch.path("shop")).failure().kind == Kind::gone);
  CHECK(files::replace(disk, scratch.path("shop/tips/b.md"), "b").failure().kind == Kind::gone);
  CHECK(files::append_line(disk, scratch.path("shop/records/r.csv"), "b").failure().kind ==
        Kind::gone);
  CHECK(scratch.files() == std::vector<std::string>{"shop/tips/a.md"});
  scratch.put("shop/shop.md", "---\nname: South\n---\n");
  CHECK(files::replace(disk, scratch.path("shop/tips/b.md"), "b").ok());
  CHECK(disk.read(scratch.path("shop/tips/c.md"), 100).failure().kind == Kind::missing);
  // Elsewhere it hinders nobody.
  CHECK(files::replace(disk, scratch.path("state/drafts/d.json"), "{}").ok());
  std::filesystem::remove_all(scratch.path("shop"));
  CHECK(files::replace(disk, scratch.path("shop/tips/b.md"), "b").failure().kind == Kind::gone);
  CHECK_FALSE(scratch.has("shop"));
}

TEST_CASE("pictures are found beside the tip, then in photos, never outside") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  for (const char* name :
       {"shop/tips/cooling/a.png", "shop/photos/a.png", "shop/photos/b.png", "outside.png"}) {
    scratch.put(name, "x");
  }
  std::filesystem::create_symlink(scratch.path("outside.png"),
                                  scratch.path("shop/photos/link.png"));
  const std::string shop = scratch.path("shop");
  const auto path = [&](const char* name) { return picture_path(disk, shop, kPath, name); };
  CHECK(path("a.png") == "tips/cooling/a.png");
  CHECK(path("b.png") == "photos/b.png");
  CHECK(path("../../photos/b.png") == "photos/b.png");
  CHECK(path("./a.png") == "tips/cooling/a.png");
  for (const char* none : {"", "c.png", "../../../outside.png", "/etc/passwd", "link.png",
                           "https://x/a.png", "..", "../.."}) {
    CAPTURE(none);
    CHECK(path(none).empty());
  }
}
