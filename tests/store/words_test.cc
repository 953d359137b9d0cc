// The postings beside the word index: they say what FTS5 says, come back as they were put in, and a
// changed byte is noticed.
#include "store/words.h"

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>
#include <string>

#include "store/part_builder.h"
#include "store/support.h"

using namespace baylore;
using namespace baylore::store;
using store::test::Dice;
using store::test::read_file;
using store::test::TempFolder;
using store::test::write_file;

namespace {

// Of each word, the docs that hold it.
using Holders = std::map<std::string, std::set<std::int64_t>>;

// As FTS5's own vocabulary table has it: an index of another make over the same words.
Holders of_fts5(const Store& reader) {
  Holders holders;
  sqlite3* raw = nullptr;
  const char* file = sqlite3_db_filename(reader.connection(), "main");
  REQUIRE(sqlite3_open_v2(file, &raw, SQLITE_OPEN_READONLY, "baylore-checked") == SQLITE_OK);
  REQUIRE(sqlite3_exec(
              raw, "CREATE VIRTUAL TABLE temp.v USING fts5vocab('main', 'tips_fts', 'instance')",
              nullptr, nullptr, nullptr) == SQLITE_OK);
  sqlite3_stmt* row = nullptr;
  REQUIRE(sqlite3_prepare_v2(raw, "SELECT DISTINCT term, doc FROM v", -1, &row, nullptr) ==
          SQLITE_OK);
  while (sqlite3_step(row) == SQLITE_ROW) {
    holders[reinterpret_cast<const char*>(sqlite3_column_text(row, 0))].insert(
        sqlite3_column_int64(row, 1));
  }
  sqlite3_finalize(row);
  sqlite3_close(raw);
  return holders;
}

Holders of_postings(const Words& words) {
  Holders holders;
  for (const Words::Piece& piece : words.pieces()) {
    for (std::uint32_t number = 0; number < piece.part.words(); ++number) {
      if (piece.part.language(number) == Language::code) continue;
      for (Postings at = piece.part.postings(number); at.more(); at.next()) {
        if (piece.is_dead(at.tip())) continue;
        holders[std::string(piece.part.text(number))].insert(piece.part.doc(at.tip()));
      }
    }
  }
  return holders;
}

struct Shop {
  TempFolder folder;
  Location location{folder / "shop", folder / "store"};
  Dice dice{41};

  void tip(int number, std::size_t words = 60) {
    write_file(location.shop + "/tips/t" + std::to_string(number) + ".md",
               store::test::tip_text(dice, "tip-" + std::to_string(number), words));
  }
  [[nodiscard]] Store bring() const {
    write_file(location.shop + "/shop.md", "---\nname: Bay\n---\n");
    const auto report = bring_up_to_date(files::real_disk(), location);
    REQUIRE_MESSAGE(report.ok(), (report ? "" : report.failure().text()));
    auto opened = Store::open(location);
    REQUIRE(opened.ok());
    return std::move(*opened);
  }
};

// A part of a few tips, as bytes.
std::string part_bytes(const std::vector<std::string>& spreads) {
  PartBuilder builder;
  std::int64_t doc = 0;
  for (const std::string& bytes : spreads) {
    Spread spread;
    REQUIRE(read_spread(bytes, spread));
    builder.add(doc += 3, spread);
  }
  std::string out;
  REQUIRE(builder
              .write([&out](std::string_view more) {
                out += more;
                return files::Result<void>();
              })
              .ok());
  return out;
}

std::string spread_of(const std::string& text, const std::string& path = "tips/a.md") {
  const shop::Tip tip = shop::read_tip(shop::Document::parse(text), path);
  return spread_bytes(tip, areas_of_tip(tip));
}

}  // namespace

TEST_CASE("the postings hold what FTS5 holds, from the build on and through updates") {
  Shop shop;
  for (int i = 0; i < 120; ++i) shop.tip(i);
  Store reader = shop.bring();
  for (int round = 0; round < 6; ++round) {
    {
      const Snapshot snapshot = reader.snapshot();
      REQUIRE(snapshot.good());
      const Holders expected = of_fts5(reader);
      REQUIRE(of_postings(snapshot.words()) == expected);
      REQUIRE(expected.size() > 50);
      for (const auto& [word, docs] : expected) {
        CHECK(snapshot.words().tips_with(word) == docs.size());
      }
      CHECK(snapshot.words().tips_with("nosuchword") == 0);
      CHECK(snapshot.words().tips() == static_cast<std::uint32_t>(reader.counts().tips));
    }
    for (int i = 0; i < 3; ++i) shop.tip(static_cast<int>(shop.dice.below(140)));
    std::filesystem::remove(shop.location.shop + "/tips/t" + std::to_string(round * 7) + ".md");
    (void)shop.bring();
    REQUIRE(reader.refresh().ok());
  }
}

TEST_CASE("many small changes make few parts, and a new main part in time") {
  Shop shop;
  for (int i = 0; i < 400; ++i) shop.tip(i, 10);
  Store reader = shop.bring();
  const std::string first = store::test::words_file(shop.location);
  std::size_t most = 0;
  for (int i = 0; i < 24; ++i) {
    shop.tip(i, 10);
    (void)shop.bring();
    const Snapshot snapshot = reader.snapshot();
    REQUIRE(snapshot.good());
    most = std::max(most, snapshot.words().pieces().size());
    CHECK(snapshot.words().tips() == 400);
  }
  CHECK(most > 1);
  CHECK(most <= 6);
  // The old main part went when the new one came.
  const std::string last = store::test::words_file(shop.location);
  CHECK_FALSE(last.empty());
  CHECK(last != first);
}

TEST_CASE("a tip comes back from a part as it was put in") {
  const std::string pump = spread_of(
      "---\nid: pump\ntitle: Heater cold\nstatus: withdrawn\nlang: es\nfits:\n"
      "  - Corvane | Hauler | 2014-2018 | 3.6 V6\n  - Ostrel |  | -2009 |\ncodes:\n  - P0128\n"
      "  - U0100-87\nwhen:\n  - cold start\n  - rain\n---\n\n## Symptom\nLow tank, low tank.\n");
  const std::string bare = spread_of("---\ntitle: Noise\n---\n", "tips/b.md");
  auto part = Part::hold(part_bytes({pump, bare}));
  REQUIRE(part.ok());
  CHECK(part->tips() == 2);
  CHECK(part->doc(0) == 3);
  CHECK(part->tip_of(6) == 1U);
  CHECK_FALSE(part->tip_of(4).has_value());
  const auto spread = part->spread(0);
  REQUIRE(spread.has_value());
  CHECK(spread->id == "pump");
  CHECK(spread->path == "tips/a.md");
  CHECK(spread->withdrawn);
  CHECK(spread->language == Language::spanish);
  REQUIRE(spread->fits.size() == 2);
  CHECK(spread->fits[0].engine == "3.6 V6");
  CHECK(spread->fits[1].model.empty());
  CHECK(spread->fits[1].last_year == 2009);
  CHECK(spread->codes == std::vector<std::string_view>{"P0128", "U0100-87"});
  CHECK(spread->whens == std::vector<std::uint16_t>{2, 1});
  CHECK(spread->words[static_cast<std::size_t>(Area::symptom)] ==
        std::vector<std::string_view>{"low", "tank", "low", "tank"});
  CHECK(part->spread(1)->fits.empty());
  CHECK(part->whole());

  CHECK(part->find("tank", Language::spanish).has_value());
  CHECK_FALSE(part->find("tank", Language::english).has_value());
  CHECK(part->find("U0100-87", Language::code).has_value());
  CHECK(part->find("U0100*", Language::code).has_value());
  CHECK(part->find("noise", Language::english).has_value());
  CHECK(part->beginning("ta").size() == 1);
  CHECK(part->beginning("zz").empty());
}

TEST_CASE("words of one stem, by language") {
  const auto with = [](const std::string& lang, const std::string& words) {
    return spread_of("---\ntitle: " + words + "\nlang: " + lang + "\n---\n");
  };
  auto part = Part::hold(part_bytes({with("en", "leak leaks leaking leaked lake"),
                                     with("es", "motor motores"), with("fi", "vuoto vuodot")}));
  REQUIRE(part.ok());
  // Snowball's published algorithms: english takes s, ing and ed off, spanish es; none is known for
  // Finnish here, so every word is its own stem.
  CHECK(part->of_stem("leak", Language::english).size() == 4);
  CHECK(part->of_stem("motor", Language::spanish).size() == 2);
  CHECK(part->of_stem("motor", Language::english).empty());
  CHECK(part->of_stem("vuoto", Language::other).size() == 1);
}

TEST_CASE("more words than sixteen bits count, and words longer than any") {
  std::vector<std::string> spreads;
  int next = 0;
  for (int tip = 0; tip < 40; ++tip) {
    std::string text = "---\ntitle: common\n---\n\n## Symptom\n";
    for (int i = 0; i < 1'800; ++i) text += "w" + std::to_string(next++) + " ";
    spreads.push_back(spread_of(text, "tips/t" + std::to_string(tip) + ".md"));
  }
  spreads.push_back(spread_of("---\ntitle: " + std::string(500, 'x') + "\n---\n"));
  auto part = Part::hold(part_bytes(spreads));
  REQUIRE(part.ok());
  REQUIRE(part->words() > 70'000);
  for (const std::uint32_t tip : {0U, 39U}) {
    const auto spread = part->spread(tip);
    REQUIRE(spread.has_value());
    const auto& symptom = spread->words[static_cast<std::size_t>(Area::symptom)];
    REQUIRE(symptom.size() == 1'800);
    CHECK(symptom.back() == "w" + std::to_string((tip + 1) * 1'800 - 1));
  }
  CHECK(part->find(std::string(kLongestWord, 'x'), Language::english).has_value());
}

TEST_CASE("bytes that are no spread are refused, and none of them does harm") {
  const std::string right = spread_of("---\nid: a\ntitle: Heater cold\ncodes:\n  - P0128\n---\n");
  Spread spread;
  REQUIRE(read_spread(right, spread));
  for (std::size_t size = 0; size < right.size(); ++size) {
    CHECK_FALSE(read_spread(std::string_view(right).substr(0, size), spread));
  }
  CHECK_FALSE(read_spread(right + "x", spread));
  Dice dice(2);
  for (int i = 0; i < 5'000; ++i) {
    std::string bytes = right;
    for (int k = 0; k < 3; ++k) {
      bytes[dice.below(bytes.size())] = static_cast<char>(dice.below(256));
    }
    (void)read_spread(bytes, spread);
  }
}

TEST_CASE("every changed byte of a part is noticed before it is an answer") {
  std::vector<std::string> spreads;
  Dice dice(8);
  for (int i = 0; i < 40; ++i) {
    spreads.push_back(spread_of(store::test::tip_text(dice, "tip-" + std::to_string(i)),
                                "tips/t" + std::to_string(i) + ".md"));
  }
  const std::string right = part_bytes(spreads);
  std::size_t noticed = 0;
  constexpr int kTries = 400;
  for (int i = 0; i < kTries; ++i) {
    std::string bytes = right;
    if (i % 8 == 0) {
      bytes.resize(dice.below(bytes.size()));
    } else {
      const std::size_t at = dice.below(bytes.size());
      bytes[at] = static_cast<char>(bytes[at] ^ (1 << dice.below(8)));
    }
    auto part = Part::hold(std::move(bytes));
    if (!part) {
      ++noticed;
      continue;
    }
    // Everything is asked for; what is given is right.
    for (std::uint32_t word = 0; word < part->words(); ++word) {
      (void)part->text(word);
      for (Postings posting = part->postings(word); posting.more(); posting.next()) {
      }
    }
    for (std::uint32_t tip = 0; tip < part->tips(); ++tip) {
      const auto spread = part->spread(tip);
      if (!spread) continue;
      Spread expected;
      REQUIRE(read_spread(spreads[tip], expected));
      CHECK((spread->id == expected.id && spread->words == expected.words));
    }
    noticed += part->damaged() || !part->whole() ? 1U : 0U;
  }
  CHECK(noticed == kTries);
}

TEST_CASE("a store whose postings are damaged or gone is built again") {
  Shop shop;
  for (int i = 0; i < 30; ++i) shop.tip(i);
  (void)shop.bring();
  const std::string path = shop.location.folder + "/" + store::test::words_file(shop.location);
  const std::string whole = read_file(path);
  REQUIRE(whole.size() > 1000);
  std::string bytes = whole;
  bool checked = true;
  SUBCASE("gone") { bytes.clear(); }
  SUBCASE("cut short") {
    bytes.resize(whole.size() / 2);
    checked = false;  // the end is missing: seen at once
  }
  SUBCASE("a changed byte") { bytes[whole.size() / 3] ^= 1; }
  if (bytes.empty()) {
    std::filesystem::remove(path);
  } else {
    write_file(path, bytes);
  }
  Options options;
  options.check = checked;
  const auto report = bring_up_to_date(files::real_disk(), shop.location, options);
  REQUIRE(report.ok());
  CHECK(report->rebuilt);
  CHECK(report->why == "the store is damaged");
  auto reader = Store::open(shop.location);
  REQUIRE(reader.ok());
  CHECK(reader->snapshot().words().tips() == 30);
}
