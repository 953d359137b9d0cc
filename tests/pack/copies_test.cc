#include "pack/copies.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <set>
#include <string>

#include "files/names.h"
#include "shop/records.h"
#include "shop/shop.h"
#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;
using pack::Copy;
using shop::Kind;

namespace {

constexpr const char* kPath = "tips/cooling/heater.md";
// The form of name that Syncthing's documentation gives.
constexpr const char* kCopy = "tips/cooling/heater.sync-conflict-20260314-101500-7K2QF9A.md";

std::string text(const std::string& title, const std::string& symptom, const std::string& finish) {
  return "---\nid: heater\ntitle: " + title + "\n---\n\n## Symptom\n" + symptom +
         "\n\n## Finish\n" + finish + "\n";
}

const std::string kBase = text("Heater cold", "Low tank.", "Bleed it.");
const std::string kOurs = text("Heater cold at idle", "Low tank.", "Bleed it.");
const std::string kTheirs = text("Heater cold", "Low tank.", "Bleed it, nose up.");
const std::string kBoth = text("Heater cold at idle", "Low tank.", "Bleed it, nose up.");

class Shop {
 public:
  Shop() { put("shop.md", "---\nname: Small\n---\n"); }
  void put(const std::string& path, const std::string& bytes) const {
    scratch_.put("shop/" + path, bytes);
  }
  // An earlier version, as every save leaves it.
  void was(const std::string& id, const std::string& bytes) const {
    put("history/" + id + "/" + files::hash_hex(bytes) + ".md", bytes);
  }
  [[nodiscard]] bool knows(const std::string& id, const std::string& bytes) const {
    return get("history/" + id + "/" + files::hash_hex(bytes) + ".md") == bytes;
  }
  [[nodiscard]] std::string get(const std::string& path) const {
    return scratch_.get("shop/" + path);
  }
  [[nodiscard]] bool has(const std::string& path) const { return scratch_.has("shop/" + path); }
  [[nodiscard]] std::string folder() const { return scratch_.path("shop"); }
  [[nodiscard]] const test::Scratch& scratch() const { return scratch_; }

  [[nodiscard]] std::vector<Copy> copies() const {
    auto found = pack::find_copies(files::real_disk(), folder());
    REQUIRE_MESSAGE(found.ok(), found.failure().text());
    return *found;
  }
  [[nodiscard]] Copy only() const {
    const auto found = copies();
    REQUIRE(found.size() == 1);
    return found.front();
  }
  [[nodiscard]] files::Result<void> settle(const Copy& copy, const std::string& with) const {
    return pack::settle_copy(files::real_disk(), folder(), copy, with);
  }
  // Every text that lies in the shop, under whatever name.
  [[nodiscard]] std::set<std::string> all() const {
    std::set<std::string> found;
    for (const std::string& path : scratch_.files()) {
      if (path.find("/.new-") == std::string::npos) found.insert(scratch_.get(path));
    }
    return found;
  }

 private:
  test::Scratch scratch_;
};

}  // namespace

TEST_CASE("the copy of a text is found by its id, under any name, and merged") {
  for (const char* name :
       {kCopy, "tips/cooling/heater (1).md", "tips/cooling/heater-bay-2.md",
        "tips/Heater, theirs.md", "tips/cooling/heater (conflicted copy 2026-03-14).md"}) {
    CAPTURE(name);
    const Shop shop;
    shop.put(kPath, kOurs);
    shop.put(name, kTheirs);
    shop.put("tips/other.md", "---\nid: other\ntitle: Other\n---\n");
    shop.was("heater", kBase);
    const Copy copy = shop.only();
    CHECK(copy.key == pack::TextKey{Kind::tip, "heater"});
    CHECK(copy.title == "Heater cold at idle");
    CHECK(copy.path == kPath);
    CHECK(copy.copy == name);
    CHECK_FALSE(copy.alone);
    CHECK(copy.base == kBase);
    CHECK(copy.merged.text == kBoth);
    CHECK(copy.merged.conflicts.empty());
    REQUIRE(shop.settle(copy, copy.merged.text).ok());
    CHECK(shop.get(kPath) == kBoth);
    CHECK_FALSE(shop.has(name));
    CHECK(shop.knows("heater", kOurs));
    CHECK(shop.knows("heater", kTheirs));
    CHECK(shop.copies().empty());
  }
}

TEST_CASE("what both changed, or without a common ancestor all that differs, is a conflict") {
  const Shop shop;
  shop.put(kPath, kOurs);
  shop.put(kCopy, kTheirs);
  Copy copy = shop.only();
  CHECK_FALSE(copy.base.has_value());
  CHECK(copy.merged.text == kOurs);
  REQUIRE(copy.merged.conflicts.size() == 2);
  CHECK(copy.merged.conflicts[0].where == "title");
  CHECK(copy.merged.conflicts[1].where == "Finish");
  shop.was("heater", kBase);
  shop.put(kCopy, text("Heater cold, tank low", "Low tank.", "Bleed it, nose up."));
  copy = shop.only();
  CHECK(copy.merged.text == kBoth);
  REQUIRE(copy.merged.conflicts.size() == 1);
  CHECK(copy.merged.conflicts[0].ours == "title: Heater cold at idle\n");
  CHECK(copy.merged.conflicts[0].theirs == "title: Heater cold, tank low\n");
  // A file in history/ that is not what its name says is no version.
  shop.put("history/heater/" + files::hash_hex(kBase) + ".md", "rubbish");
  CHECK_FALSE(shop.only().base.has_value());
}

TEST_CASE("a side that saved several times loses nothing by it") {
  const Shop shop;
  // Theirs went from the base over a version that ours never saw; history has both.
  const std::string between = text("Heater cold", "Low tank.\nCold at idle.", "Bleed it.");
  const std::string theirs = text("Heater cold", "Low tank.\nCold at idle.", "Bleed it, nose up.");
  shop.put(kPath, kOurs);
  shop.put(kCopy, theirs);
  shop.was("heater", kBase);
  shop.was("heater", between);
  const Copy copy = shop.only();
  CHECK(copy.merged.text ==
        text("Heater cold at idle", "Low tank.\nCold at idle.", "Bleed it, nose up."));

  SUBCASE("and where nobody can tell, it is for a person to say") {
    // Either they put the pressure in and ours is older, or ours put it back.
    shop.was("heater", text("Heater cold", "Tank at 90 kPa.", "Bleed it."));
    shop.put("history/heater/" + files::hash_hex(between) + ".md", "");
    const std::string changed = text("Heater cold", "Tank at 90 kPa.", "Bleed it, nose up.");
    shop.put(kCopy, changed);
    const Copy unclear = shop.only();
    REQUIRE(unclear.merged.conflicts.size() == 1);
    CHECK(unclear.merged.conflicts[0].where == "Symptom");
  }
}

TEST_CASE(
    "copies of vocabulary, of the shop's own page and of texts without an id go by the name") {
  const Shop shop;
  const std::string words = "## Synonyms\n- heater = cabin heat\n";
  shop.put("vocabulary/words.md", words + "- lift = hoist\n");
  shop.put("vocabulary/words.sync-conflict-20260314-101500-7K2QF9A.md", words + "- tow = haul\n");
  shop.put("shop.sync-conflict-20260314-101500-7K2QF9A.md", "---\nname: Small shop\n---\n");
  shop.put("tips/a.md", "---\ntitle: A\n---\n");
  shop.put("tips/a (conflicted copy).md", "---\ntitle: A, theirs\n---\n");
  shop.put("tips/a.sync-conflict-20260314-101500-7K2QF9A.txt", "no text of the shop");
  shop.put("records/bay-1/2026-03.sync-conflict-20260314-101500-7K2QF9A.csv", "no text either");
  shop.was(shop::history_id({}, "vocabulary/words.md"), words);
  const auto found = shop.copies();
  REQUIRE(found.size() == 3);
  CHECK(found[0].path == "shop.md");
  CHECK(found[1].path == "tips/a.md");
  CHECK(found[1].title == "A");
  CHECK(found[2].path == "vocabulary/words.md");
  CHECK(found[2].merged.conflicts.empty());
  CHECK(found[2].merged.text == words + "- lift = hoist\n- tow = haul\n");
  for (const Copy& copy : found) CHECK(shop.settle(copy, copy.merged.text).ok());
  CHECK(shop.copies().empty());
  CHECK(shop.get("tips/a.md") == "---\ntitle: A\n---\n");
}

TEST_CASE("two terminals that gave one name to two tips both have theirs") {
  const Shop shop;
  const std::string other = "---\nid: another\ntitle: Heater cold after bleeding\n---\n";
  shop.put(kPath, kOurs);
  shop.put(kCopy, other);
  const Copy copy = shop.only();
  CHECK(copy.alone);
  CHECK(copy.path == "tips/cooling/heater-2.md");
  CHECK(copy.key.second == "another");
  REQUIRE(shop.settle(copy, other).ok());
  CHECK(shop.get("tips/cooling/heater-2.md") == other);
  CHECK(shop.get(kPath) == kOurs);
  CHECK(shop.copies().empty());
  // The original was taken away meanwhile.
  shop.put("tips/gone.sync-conflict-20260314-101500-7K2QF9A.md", "---\nid: gone\ntitle: G\n---\n");
  CHECK(shop.only().path == "tips/gone.md");
  CHECK(shop.only().alone);
  // A tip and a part family with one id are no copies of each other.
  REQUIRE(shop.settle(shop.only(), shop.only().theirs).ok());
  shop.put("parts/gone.md", "---\nid: gone\ntitle: G\n---\n");
  CHECK(shop.copies().empty());
}

TEST_CASE("nothing is settled that is not as it was looked at") {
  const Shop shop;
  shop.put(kPath, kOurs);
  shop.put(kCopy, kTheirs);
  const Copy copy = shop.only();
  SUBCASE("the text") { shop.put(kPath, kBase); }
  SUBCASE("the copy") { shop.put(kCopy, kBase); }
  SUBCASE("the text is gone") { std::filesystem::remove(shop.folder() + "/" + kPath); }
  SUBCASE("the copy is gone") { std::filesystem::remove(shop.folder() + "/" + kCopy); }
  const auto before = shop.all();
  const auto done = shop.settle(copy, kBoth);
  REQUIRE_FALSE(done.ok());
  CHECK(done.failure().kind == files::Failure::Kind::exists);
  CHECK(shop.all() == before);
}

TEST_CASE("settling stopped at any moment loses no text, and can be done again") {
  int stopped = 0;
  for (const auto how : {test::FailingDisk::How::forever, test::FailingDisk::How::once}) {
    for (int call = 1;; ++call) {
      const Shop shop;
      shop.put(kPath, kOurs);
      shop.put(kCopy, kTheirs);
      shop.was("heater", kBase);
      const Copy copy = shop.only();
      test::FailingDisk disk(files::real_disk());
      disk.let_remove_fail();
      disk.fail_at(call, how, files::Failure::Kind::gone);
      const bool done = pack::settle_copy(disk, shop.folder(), copy, kBoth).ok();
      const bool met = disk.calls() >= call;
      CAPTURE(call);
      const auto all = shop.all();
      CHECK(all.count(kOurs) == 1);
      CHECK(all.count(kTheirs) == 1);
      CHECK((shop.get(kPath) == kOurs || shop.get(kPath) == kBoth));
      if (done) CHECK(shop.get(kPath) == kBoth);
      for (const Copy& again : shop.copies()) CHECK(shop.settle(again, kBoth).ok());
      CHECK(shop.get(kPath) == kBoth);
      CHECK_FALSE(shop.has(kCopy));
      if (!met) break;
      ++stopped;
    }
  }
  CHECK(stopped > 30);
}

// Two terminals edit their own copies of the folder, out of each other's sight, several times each;
// then a sync tool lays one's file beside the other's. Whoever takes the offer as it is, has every
// line in the text, in a conflict, or in history.
TEST_CASE("whatever two terminals did, no line that a person wrote gets lost") {
  std::mt19937 dice(20260314);
  const auto roll = [&](int below) {
    return static_cast<int>(dice() % static_cast<unsigned>(below));
  };
  int merged = 0;
  for (int round = 0; round < 60; ++round) {
    const Shop shop;
    std::string base = "---\nid: heater\ntitle: Heater\n---\n\n## Symptom\n";
    for (int i = 0; i < 20; ++i) base += "Line " + std::to_string(i) + ".\n\n";
    std::set<std::string> written;
    const auto edited = [&](const std::string& who, int times) {
      std::string at = base;
      for (int i = 0; i < times; ++i) {
        shop.was("heater", at);
        const std::string line = "Line " + std::to_string(roll(20)) + ".\n";
        const std::string mine = "By " + who + ", edit " + std::to_string(i) + ".\n";
        const std::size_t place = at.find(line);
        at.insert(place == std::string::npos ? at.size() : place + line.size(), mine);
        written.insert(mine);
      }
      return at;
    };
    shop.put(kPath, edited("bay 1", 1 + roll(4)));
    shop.put(kCopy, edited("bay 2", 1 + roll(4)));
    const Copy copy = shop.only();
    REQUIRE(copy.base.has_value());
    std::string shown = copy.merged.text;
    for (const auto& one : copy.merged.conflicts) shown += one.ours + one.theirs;
    for (const std::string& line : written) {
      CAPTURE(line);
      CHECK(shown.find(line) != std::string::npos);
    }
    if (copy.merged.conflicts.empty()) ++merged;
    REQUIRE(shop.settle(copy, copy.merged.text).ok());
    CHECK(shop.knows("heater", copy.ours));
    CHECK(shop.knows("heater", copy.theirs));
  }
  MESSAGE(merged, " of 60 merged without a conflict");
  CHECK(merged >= 30);
}

TEST_CASE("a records file that a file sync doubled counts once, whatever it is called") {
  const Shop shop;
  const auto record = [](const std::string& id) {
    return shop::Record{id, "2026-03-14T10:00:00+01:00", "question", {{"tip", "heater"}}};
  };
  for (const char* id : {"q1", "q2"}) {
    REQUIRE(shop::append_record(files::real_disk(), shop.folder(), "bay-1", record(id)).ok());
  }
  const std::string both = shop.get("records/bay-1/2026-03.csv");
  REQUIRE(shop::append_record(files::real_disk(), shop.folder(), "bay-1", record("q3")).ok());
  for (const char* name : {"2026-03.sync-conflict-20260314-101500-7K2QF9A.csv", "2026-03 (1).csv",
                           "2026-03 (conflicted copy).csv"}) {
    const std::string path = std::string("records/bay-1/") + name;
    CAPTURE(name);
    shop.put(path, both + shop::record_line(record("q4")) + "\n");
    CHECK(shop::read_records(files::real_disk(), shop.folder()).records.size() == 4);
    std::filesystem::remove(shop.folder() + "/" + path);
  }
}
