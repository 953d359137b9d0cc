// Building, reading and updating one small shop.
#include "store/store.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "files/names.h"
#include "store/build.h"
#include "store/schema.h"
#include "store/support.h"
#include "store/words.h"

using namespace baylore;
using store::bring_up_to_date;
using store::Location;
using store::Store;
using store::test::read_file;
using store::test::TempFolder;
using store::test::write_file;

namespace {

constexpr char kPump[] =
    "---\nid: tip-pump\ntitle: Heater cold at idle, coolant lost only while cold\nfits:\n"
    "  - Corvane | Hauler | 2014-2018 | 3.6 V6\ncodes:\n  - P0128\n  - U0100-87\n"
    "component: coolant pump\nsystem: cooling\nwhen:\n  - cold start\n"
    "mistaken-for:\n  - seep | bubbles in the tank\nauthor: R. Okoro\nwritten: 2026-03-14\n---\n\n"
    "## Symptom\nThe pump leaks on the hot block, see ![the pump](left_side.png).\n\n"
    "## Parts\n### Halden 88-214\n- family: coolant-pump\n";
constexpr char kSeep[] =
    "---\nid: tip-seep\ntitle: Head gasket seep\nwritten: 2025-01-02\n---\n\nBubbles in the "
    "tank.\n";

// A shop with two tips, a vocabulary and a part, and where its store goes.
struct Shop {
  TempFolder folder;
  Location location{folder / "shop", folder / "cache/store"};

  Shop() {
    put("shop.md", "---\nname: North bay\naltitude: 1200 m\n---\n");
    put("tips/cooling/pump.md", kPump);
    put("tips/cooling/seep.md", kSeep);
    put("vocabulary/words.md", "## Synonyms\n- heater = cabin heat\n");
    put("parts/coolant-pump.md", "---\ntitle: Coolant pump\n---\n");
  }
  void put(const std::string& name, std::string_view bytes) const {
    write_file(location.shop + "/" + name, bytes);
  }
  [[nodiscard]] store::Report bring(const store::Options& options = {}) const {
    const auto report = bring_up_to_date(files::real_disk(), location, options);
    REQUIRE_MESSAGE(report.ok(), (report ? "" : report.failure().text()));
    return *report;
  }
  [[nodiscard]] Store open() const {
    auto opened = Store::open(location);
    REQUIRE_MESSAGE(opened.ok(), (opened ? "" : opened.failure().text()));
    return std::move(*opened);
  }
  [[nodiscard]] std::string current() const {
    const std::string pointer = read_file(location.folder + "/current");
    return location.folder + "/" + pointer.substr(0, pointer.find('\n'));
  }
  // Runs SQL on the current generation from outside, with the checksums kept.
  void tamper(const std::string& sql) const {
    sqlite3* raw = nullptr;
    REQUIRE(sqlite3_open_v2(current().c_str(), &raw, SQLITE_OPEN_READWRITE, "baylore-checked") ==
            SQLITE_OK);
    REQUIRE(sqlite3_exec(raw, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(raw);
  }
};

std::vector<std::string> matches(const Store& store, const std::string& query) {
  std::vector<std::string> paths;
  sqlite3_stmt* row = nullptr;
  REQUIRE(sqlite3_prepare_v2(store.connection(),
                             "SELECT path FROM tips_fts JOIN tips ON doc = tips_fts.rowid "
                             "WHERE tips_fts MATCH ?1 ORDER BY path",
                             -1, &row, nullptr) == SQLITE_OK);
  sqlite3_bind_text(row, 1, query.c_str(), -1, SQLITE_TRANSIENT);
  while (sqlite3_step(row) == SQLITE_ROW) {
    paths.emplace_back(reinterpret_cast<const char*>(sqlite3_column_text(row, 0)));
  }
  sqlite3_finalize(row);
  return paths;
}

}  // namespace

TEST_CASE("the first build says what it found") {
  const Shop shop;
  const auto nothing = Store::open(shop.location);
  REQUIRE_FALSE(nothing.ok());
  CHECK(nothing.failure().kind == files::Failure::Kind::missing);

  const store::Report report = shop.bring();
  CHECK(report.rebuilt);
  CHECK(report.why == "no store yet");
  CHECK(report.added == 5);
  CHECK(report.tips == 2);
  CHECK(report.broken == 0);
  CHECK(shop.open().counts().tips == 2);
}

TEST_CASE("a tip is found by id, slug and path, with all its rows") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  for (const char* name : {"tip-pump", "pump", "tips/cooling/pump.md"}) {
    const auto tip = store.find(name);
    REQUIRE(tip.has_value());
    CHECK(tip->id == "tip-pump");
  }
  CHECK_FALSE(store.find("nothing").has_value());
  CHECK_FALSE(store.find("").has_value());

  const auto tip = store.find("pump");
  CHECK(tip->title == "Heater cold at idle, coolant lost only while cold");
  CHECK(tip->system == "cooling");
  CHECK(tip->component == "coolant pump");
  CHECK(tip->author == "R. Okoro");
  CHECK(tip->written == "2026-03-14");
  CHECK(tip->status == "current");
  CHECK(tip->codes == std::vector<std::string>{"P0128", "U0100-87"});
  REQUIRE(tip->fits.size() == 1);
  CHECK(tip->fits[0].model == "Hauler");
  CHECK(tip->fits[0].last_year == 2018);
  CHECK(store.bytes(tip->doc) == std::string(kPump));
  CHECK(store.tip(tip->doc)->path == tip->path);
  CHECK_FALSE(store.tip(999).has_value());
  CHECK_FALSE(store.bytes(999).has_value());
}

TEST_CASE("a tip can be read when the shop folder is gone") {
  const Shop shop;
  (void)shop.bring();
  std::filesystem::remove_all(shop.location.shop);
  const Store store = shop.open();
  CHECK(store.bytes(store.find("seep")->doc) == std::string(kSeep));
  const auto report = bring_up_to_date(files::real_disk(), shop.location);
  CHECK_FALSE(report.ok());
  CHECK(store.counts().tips == 2);
}

TEST_CASE("settings and vocabulary come from the store") {
  const Shop shop;
  (void)shop.bring();
  Store store = shop.open();
  CHECK(store.settings().name == "North bay");
  CHECK(store.settings().altitude_m == doctest::Approx(1200));
  REQUIRE(store.vocabulary().synonyms.size() == 1);

  shop.put("vocabulary/words.md", "## Synonyms\n- heater = cabin heat\n- pull = drift\n");
  shop.put("shop.md", "---\nname: South bay\n---\n");
  (void)shop.bring();
  CHECK(*store.refresh());
  CHECK(store.vocabulary().synonyms.size() == 2);
  CHECK(store.settings().name == "South bay");
  CHECK_FALSE(*store.refresh());
}

TEST_CASE("the tips that name this one are listed with their note") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  const auto by = store.mistaken_by(*store.find("seep"));
  REQUIRE(by.size() == 1);
  CHECK(by[0].first.id == "tip-pump");
  CHECK(by[0].second == "bubbles in the tank");
  CHECK(store.mistaken_by(*store.find("pump")).empty());
}

TEST_CASE("newest first") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  const auto tips = store.newest(10);
  REQUIRE(tips.size() == 2);
  CHECK(tips[0].id == "tip-pump");
  CHECK(store.newest(1).size() == 1);
}

TEST_CASE("words are found as they stand, codes and part numbers with and without separators") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  const std::vector<std::string> pump = {"tips/cooling/pump.md"};
  CHECK(matches(store, "leaks") == pump);
  CHECK(matches(store, "leaking").empty());  // endings are the ranking's business
  CHECK(matches(store, "\"88-214\"") == pump);
  CHECK(matches(store, "88214") == pump);
  CHECK(matches(store, "names : p0128") == pump);
  CHECK(matches(store, "names : u0100") == pump);
  CHECK(matches(store, "hau*") == pump);
  CHECK(matches(store, "symptom : bubbles") == std::vector<std::string>{"tips/cooling/seep.md"});
  CHECK(matches(store, "png").empty());  // a picture's file name is not what the author said
}

TEST_CASE("of two files with one id one is found, and the other is told") {
  const Shop shop;
  shop.put("tips/other/copy.md", kSeep);
  (void)shop.bring();
  Store store = shop.open();
  CHECK(store.counts().tips == 2);
  CHECK(store.newest(10).size() == 2);
  CHECK(store.snapshot().words().tips() == 2);
  CHECK(store.find("tips/other/copy.md")->path == "tips/other/copy.md");
  CHECK(store.find("tip-seep")->path == "tips/cooling/seep.md");
  REQUIRE(store.findings("tips/other/copy.md").size() == 1);
  const shop::Finding finding = store.findings("tips/other/copy.md")[0];
  CHECK(finding.rule == "duplicate-id");
  CHECK(finding.line == 2);
  CHECK(finding.column == 5);
  CHECK(finding.message.find("tips/cooling/seep.md") != std::string::npos);
  CHECK(store.findings("tips/cooling/seep.md").empty());

  SUBCASE("until one of them goes") {
    std::filesystem::remove(shop.location.shop + "/tips/cooling/seep.md");
    (void)shop.bring();
    CHECK(store.findings("tips/other/copy.md").empty());
    CHECK(store.find("tip-seep")->path == "tips/other/copy.md");
    CHECK(store.counts().tips == 2);
    CHECK(store.snapshot().words().tips() == 2);
  }
  SUBCASE("and again when a third comes first") {
    shop.put("tips/a.md", kSeep);
    (void)shop.bring();
    CHECK(store.counts().tips == 2);
    CHECK(store.snapshot().words().tips() == 2);
    REQUIRE(store.findings("tips/cooling/seep.md").size() == 1);
    CHECK(store.findings("tips/other/copy.md")[0].message.find("tips/a.md") != std::string::npos);
  }
}

TEST_CASE("findings come in order of file and line, and count") {
  const Shop shop;
  shop.put("tips/b.md", "---\nid: b\ntitle: B\nnot a field\n---\n");
  shop.put("tips/a.md", "---\nid: a\ntitle: A\n\nnot a field\nnor this\n---\n");
  const store::Report report = shop.bring();
  const Store store = shop.open();
  const auto findings = store.findings();
  REQUIRE(findings.size() >= 3);
  CHECK(static_cast<std::size_t>(store.counts().findings) == findings.size());
  CHECK(std::is_sorted(findings.begin(), findings.end(), [](const auto& one, const auto& other) {
    return std::pair(one.file, one.line) < std::pair(other.file, other.line);
  }));
  CHECK(report.broken == store.counts().broken);
}

TEST_CASE("an update reports what it did and moves the stamp only when an answer changed") {
  const Shop shop;
  (void)shop.bring();
  Store store = shop.open();
  const std::uint64_t first = store.stamp();
  store::Report report = shop.bring();
  CHECK_FALSE(report.rebuilt);
  CHECK(report.unchanged == 5);
  CHECK(store.stamp() == first);

  shop.put("tips/new.md", "---\nid: new\ntitle: New\n---\n");
  shop.put("tips/cooling/seep.md", std::string(kSeep) + "More.\n");
  std::filesystem::remove(shop.location.shop + "/parts/coolant-pump.md");
  report = shop.bring();
  CHECK(report.added == 1);
  CHECK(report.changed == 1);
  CHECK(report.removed == 1);
  CHECK(report.unchanged == 3);
  CHECK(report.tips == 3);
  CHECK(store.stamp() > first);
  CHECK(store.find("new").has_value());  // without refresh: the same generation
}

TEST_CASE("a renamed file loses nothing and keeps its id") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  std::filesystem::rename(shop.location.shop + "/tips/cooling", shop.location.shop + "/tips/cold");
  (void)shop.bring();
  CHECK(store.counts().tips == 2);
  CHECK(store.find("tip-pump")->path == "tips/cold/pump.md");
  CHECK(store.counts().findings == 0);
}

TEST_CASE("an edit that leaves name, size and modification time alone is seen") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  const std::string path = shop.location.shop + "/tips/cooling/seep.md";
  const auto before = std::filesystem::last_write_time(path);
  std::string bytes = kSeep;
  bytes.replace(bytes.find("Head gasket"), 11, "Hand gasket");
  write_file(path, bytes);
  std::filesystem::last_write_time(path, before);
  (void)shop.bring();
  CHECK(store.find("seep")->title == "Hand gasket seep");
}

TEST_CASE("a shop that is empty all at once looks unmounted, and its tips stay") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  std::filesystem::remove_all(shop.location.shop);
  std::filesystem::create_directories(shop.location.shop);
  const auto report = bring_up_to_date(files::real_disk(), shop.location);
  REQUIRE_FALSE(report.ok());
  CHECK(report.failure().kind == files::Failure::Kind::gone);
  CHECK(store.counts().tips == 2);

  store::Options options;
  options.from_scratch = true;
  CHECK(shop.bring(options).tips == 0);
}

TEST_CASE("what is not the store of this shop and this version is rebuilt without question") {
  const Shop shop;
  (void)shop.bring();
  std::string why;
  SUBCASE("no pointer") {
    std::filesystem::remove(shop.location.folder + "/current");
    why = "no store yet";
  }
  SUBCASE("a pointer to nothing") {
    write_file(shop.location.folder + "/current", "01JD2Z6W0V4T9K3M8Q5XBN7RCE.db\n\n");
    why = "no store yet";
  }
  SUBCASE("a pointer that climbs out") {
    write_file(shop.location.folder + "/current", "../../x.db\n\n");
    why = "is no store pointer";
  }
  SUBCASE("another program's number") {
    shop.tamper("PRAGMA application_id = 7");
    why = "another version";
  }
  SUBCASE("another schema") {
    shop.tamper("PRAGMA user_version = 999");
    why = "another version";
  }
  SUBCASE("another parser") {
    shop.tamper("UPDATE meta SET value = 999 WHERE key = 'epoch'");
    why = "another version";
  }
  SUBCASE("another shop") {
    shop.tamper("UPDATE meta SET value = '/elsewhere' WHERE key = 'shop'");
    why = "another shop";
  }
  SUBCASE("a store copied over this one's name") {
    shop.tamper("UPDATE meta SET value = 'other.db' WHERE key = 'generation'");
    why = "a copied store";
  }
  SUBCASE("a table is missing") {
    shop.tamper("DROP TABLE files");
    why = "the store is damaged";
  }
  SUBCASE("not a database") {
    write_file(shop.current(), std::string(9000, 'x'));
    why = "the store is damaged";
  }
  SUBCASE("empty") {
    write_file(shop.current(), "");
    why = "another version";  // an empty file is an empty database to SQLite
  }
  SUBCASE("asked for") {
    store::Options options;
    options.from_scratch = true;
    CHECK(shop.bring(options).why == "asked for");
    CHECK(shop.open().counts().tips == 2);
    return;
  }
  const store::Report report = shop.bring();
  CHECK(report.rebuilt);
  CHECK(report.why == why);
  CHECK(shop.open().counts().tips == 2);
  CHECK_FALSE(shop.bring().rebuilt);
}

TEST_CASE("a reader follows a new generation, and the one before stays for those who are late") {
  const Shop shop;
  store::Options again;
  again.from_scratch = true;
  (void)shop.bring();
  const std::string first = shop.current();
  Store store = shop.open();
  const std::uint64_t stamp = store.stamp();
  (void)shop.bring(again);
  CHECK(std::filesystem::exists(first));
  CHECK(store.counts().tips == 2);  // still the first
  CHECK(*store.refresh());
  CHECK(store.stamp() > stamp);
  CHECK(store.counts().tips == 2);

  (void)shop.bring(again);
  CHECK_FALSE(std::filesystem::exists(first));
  std::size_t generations = 0;
  for (const auto& file : std::filesystem::directory_iterator(shop.location.folder)) {
    if (file.path().extension() == ".db") ++generations;
  }
  CHECK(generations == 2);
}

TEST_CASE("what a killed builder left behind is swept away") {
  const Shop shop;
  (void)shop.bring();
  write_file(shop.location.folder + "/01JD2Z6W0V4T9K3M8Q5XBN7RCE.db", "half");
  write_file(shop.location.folder + "/01JD2Z6W0V4T9K3M8Q5XBN7RCE.db-wal", "half");
  write_file(shop.location.folder + "/notes.txt", "not ours");
  (void)shop.bring();
  CHECK_FALSE(std::filesystem::exists(shop.location.folder + "/01JD2Z6W0V4T9K3M8Q5XBN7RCE.db"));
  CHECK_FALSE(std::filesystem::exists(shop.location.folder + "/01JD2Z6W0V4T9K3M8Q5XBN7RCE.db-wal"));
  CHECK(std::filesystem::exists(shop.location.folder + "/notes.txt"));
}

TEST_CASE("stopping leaves the store as it was") {
  const Shop shop;
  (void)shop.bring();
  const std::string before = shop.current();
  shop.put("tips/new.md", "---\ntitle: New\n---\n");
  const std::atomic<bool> stop = true;
  store::Options options;
  options.stop = &stop;
  CHECK_FALSE(bring_up_to_date(files::real_disk(), shop.location, options).ok());
  options.from_scratch = true;
  CHECK_FALSE(bring_up_to_date(files::real_disk(), shop.location, options).ok());
  CHECK(shop.current() == before);
  CHECK(shop.open().counts().tips == 2);
}

TEST_CASE("progress ends at the whole") {
  const Shop shop;
  for (int i = 0; i < 200; ++i) {
    shop.put("tips/many/t" + std::to_string(i) + ".md", "---\ntitle: T\n---\n");
  }
  store::Progress last;
  int calls = 0;
  store::Options options;
  options.progress = [&](const store::Progress& progress) {
    CHECK(progress.done > last.done);
    last = progress;
    ++calls;
  };
  (void)shop.bring(options);
  CHECK(last.done == 205);
  CHECK(last.total == 205);
  CHECK(calls >= 3);
}

namespace {

// Refuses to read paths that end with `ending`.
class RefusingDisk : public store::test::ForwardingDisk {
 public:
  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (!ending.empty() && path.ends_with(ending))
      return files::Failure{kind, path, "refused", "wait"};
    return ForwardingDisk::read(path, limit);
  }
  std::string ending;
  files::Failure::Kind kind = files::Failure::Kind::denied;
};

}  // namespace

TEST_CASE("a file that cannot be read is a finding, and read when it can be") {
  const Shop shop;
  RefusingDisk disk;
  disk.ending = "seep.md";
  auto report = bring_up_to_date(disk, shop.location);
  REQUIRE(report.ok());
  CHECK(report->tips == 1);
  const Store store = shop.open();
  REQUIRE(store.findings("tips/cooling/seep.md").size() == 1);
  CHECK(store.findings("tips/cooling/seep.md")[0].rule == "unreadable");
  const std::uint64_t stamp = store.stamp();
  report = bring_up_to_date(disk, shop.location);
  REQUIRE(report.ok());
  CHECK(report->changed == 0);
  CHECK(store.stamp() == stamp);

  disk.ending.clear();
  report = bring_up_to_date(disk, shop.location);
  REQUIRE(report.ok());
  CHECK(report->tips == 2);
  CHECK(store.findings("tips/cooling/seep.md").empty());
}

TEST_CASE("a device that stops answering in the middle changes nothing") {
  const Shop shop;
  (void)shop.bring();
  const Store store = shop.open();
  shop.put("tips/a.md", "---\ntitle: A\n---\n");
  shop.put("tips/cooling/seep.md", std::string(kSeep) + "More.\n");
  RefusingDisk disk;
  disk.ending = "seep.md";
  disk.kind = files::Failure::Kind::gone;
  const auto report = bring_up_to_date(disk, shop.location);
  REQUIRE_FALSE(report.ok());
  CHECK(report.failure().kind == files::Failure::Kind::gone);
  CHECK(store.counts().tips == 2);
  CHECK(store.bytes(store.find("seep")->doc) == std::string(kSeep));
  CHECK(shop.bring().tips == 3);
}

TEST_CASE("a folder that may not be looked into keeps the tips known of it") {
  class ClosedDisk : public store::test::ForwardingDisk {
   public:
    files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
      auto listed = ForwardingDisk::list(folder);
      if (!listed || !folder.ends_with("/shop")) return listed;
      std::erase_if(*listed, [](const files::Listed& file) {
        return file.path.starts_with("tips/cooling/");
      });
      for (files::Listed& file : *listed) file.status.unreadable = file.path == "tips/cooling";
      return listed;
    }
  };
  const Shop shop;
  (void)shop.bring();
  ClosedDisk disk;
  const auto report = bring_up_to_date(disk, shop.location);
  REQUIRE(report.ok());
  CHECK(report->removed == 0);
  CHECK(report->tips == 2);
  CHECK(report->closed_folders == std::vector<std::string>{"tips/cooling"});
}

TEST_CASE("what has not changed for a while is not read again") {
  class CountingDisk : public store::test::ForwardingDisk {
   public:
    files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
      if (path.ends_with(".md")) ++reads;
      return ForwardingDisk::read(path, limit);
    }
    files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
      auto listed = ForwardingDisk::list(folder);
      if (!listed) return listed;
      for (files::Listed& file : *listed) {
        file.status.modified_ns -= age_ns;
        file.status.changed_ns -= age_ns;
      }
      return listed;
    }
    std::atomic<int> reads = 0;
    std::int64_t age_ns = 0;
  };
  const Shop shop;
  CountingDisk disk;
  REQUIRE(bring_up_to_date(disk, shop.location).ok());
  CHECK(disk.reads == 5);
  // Written this moment: a second edit could leave no trace, so every file is read again.
  disk.reads = 0;
  REQUIRE(bring_up_to_date(disk, shop.location).ok());
  CHECK(disk.reads == 5);
  // An hour old: read once for the other times, then trusted.
  disk.age_ns = 3'600'000'000'000;
  disk.reads = 0;
  REQUIRE(bring_up_to_date(disk, shop.location).ok());
  CHECK(disk.reads == 5);
  disk.reads = 0;
  const auto report = bring_up_to_date(disk, shop.location);
  REQUIRE(report.ok());
  CHECK(disk.reads == 0);
  CHECK(report->unchanged == 5);
}

TEST_CASE("where the store lies depends on the shop alone") {
  const TempFolder folder;
  ::setenv("XDG_CACHE_HOME", folder.path().c_str(), 1);
  std::filesystem::create_directories(folder / "shop");
  const Location plain = store::locate(folder / "shop");
  CHECK(plain.folder.starts_with(folder / "baylore/"));
  CHECK(store::locate(folder / "shop/").folder == plain.folder);
  CHECK(store::locate(folder / "./shop/../shop").folder == plain.folder);
  CHECK(store::locate(folder / "other").folder != plain.folder);
  CHECK(store::locate(folder / "shop", "here.db").folder == "here.db");
  CHECK(store::locate(folder / "shop", "here.db").shop == plain.shop);
}

TEST_CASE("without a place for the cache the failure says what to set") {
  const Shop shop;
  const auto report = bring_up_to_date(files::real_disk(), {shop.location.shop, ""});
  REQUIRE_FALSE(report.ok());
  CHECK(report.failure().remedy.find("--store") != std::string::npos);
}
