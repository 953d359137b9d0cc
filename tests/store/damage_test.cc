// A store whose bytes are not as they were written: an answer is right or it is not given, and the
// next update rebuilds. After the corruption test of leveldb and the "malformed files" tests of
// SQLite.
#include <doctest/doctest.h>
#include <sqlite3.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "store/support.h"

using namespace baylore;
using store::Location;
using store::Store;
using store::test::answers;
using store::test::Dice;
using store::test::read_file;
using store::test::TempFolder;
using store::test::write_file;

namespace {

// BAYLORE_FLIPS=10000 for a long run.
std::size_t flips() {
  const char* text = std::getenv("BAYLORE_FLIPS");
  return text == nullptr ? 200 : static_cast<std::size_t>(std::atoi(text));
}

// A shop with a store that was built, and updated once, so that both ways of writing pages are in
// it.
struct Pristine {
  TempFolder folder;
  Location location{folder / "shop", folder / "store"};
  std::string generation;
  std::string words;  // the file of the postings
  std::string right;

  Pristine() {
    Dice dice(7);
    write_file(location.shop + "/shop.md", "---\nname: Bay\n---\n");
    write_file(location.shop + "/vocabulary/words.md", "## Synonyms\n- heater = cabin heat\n");
    for (int i = 0; i < 60; ++i) {
      const std::string number = std::to_string(i);
      write_file(location.shop + "/tips/t" + number + ".md",
                 store::test::tip_text(dice, "tip-" + number, i % 10 == 0 ? 900 : 30));
    }
    REQUIRE(store::bring_up_to_date(files::real_disk(), location).ok());
    write_file(location.shop + "/tips/t3.md", store::test::tip_text(dice, "tip-3", 40));
    REQUIRE(store::bring_up_to_date(files::real_disk(), location).ok());
    const std::string pointer = read_file(location.folder + "/current");
    generation = pointer.substr(0, pointer.find('\n'));
    words = store::test::words_file(location);
    right = store::test::canonical_dump(*Store::open(location));
  }
};

// Changes one thing about a file's bytes; what, in words.
std::string hurt(Dice& dice, std::string& bytes) {
  switch (dice.below(5)) {
    case 0:
      bytes.resize(dice.below(bytes.size()));
      return "cut to " + std::to_string(bytes.size());
    case 1: {
      const std::size_t page = dice.below(bytes.size() / 4096);
      std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(page * 4096), 4096, '\0');
      return "page " + std::to_string(page) + " zeroed";
    }
    case 2: {
      const std::size_t to = dice.below(bytes.size() / 4096);
      const std::size_t from = dice.below(bytes.size() / 4096);
      bytes.replace(to * 4096, 4096, bytes.substr(from * 4096, 4096));
      return "page " + std::to_string(from) + " written over " + std::to_string(to);
    }
    default: {
      const std::size_t at = dice.below(bytes.size());
      bytes[at] = static_cast<char>(bytes[at] ^ (1 << dice.below(8)));
      return "bit flipped in byte " + std::to_string(at);
    }
  }
}

}  // namespace

TEST_CASE("a damaged store gives right answers or none, and is rebuilt") {
  const Pristine pristine;
  const std::string whole = read_file(pristine.location.folder + "/" + pristine.generation);
  REQUIRE(whole.size() > 40 * 4096);
  const std::string whole_words = read_file(pristine.location.folder + "/" + pristine.words);
  REQUIRE(whole_words.size() > 4096);
  const std::string right_answers = answers(*Store::open(pristine.location));
  Dice dice(11);
  std::size_t rebuilt = 0;
  std::size_t refused = 0;
  std::size_t untouched = 0;
  for (std::size_t i = 0; i < flips(); ++i) {
    const TempFolder folder;
    const Location location{pristine.location.shop, folder / "store"};
    std::string bytes = whole;
    std::string words = whole_words;
    const bool in_words = dice.one_in(3);
    const std::string what = hurt(dice, in_words ? words : bytes) + (in_words ? " of words" : "");
    CAPTURE(what);
    write_file(location.folder + "/current", pristine.generation + "\n\n");
    write_file(location.folder + "/" + pristine.generation, bytes);
    write_file(location.folder + "/" + pristine.words, words);

    // A reader that was there first: what it says is right, or it knows that it is not.
    bool met = false;
    if (const auto reader = Store::open(location)) {
      const std::string given = answers(*reader);
      met = reader->damaged();
      REQUIRE((given == right_answers || met));
    } else {
      met = true;
    }
    refused += met ? 1U : 0U;

    // A reader's mark alone is enough; without one every page is looked at.
    store::Options options;
    options.check = !met || dice.one_in(2);
    const auto report = store::bring_up_to_date(files::real_disk(), location, options);
    REQUIRE_MESSAGE(report.ok(), (report ? "" : report.failure().text()));
    rebuilt += report->rebuilt ? 1U : 0U;
    if (bytes == whole && words == whole_words) ++untouched;
    CHECK((report->rebuilt || !met));
    const auto store = Store::open(location);
    REQUIRE(store.ok());
    REQUIRE(store::test::canonical_dump(*store) == pristine.right);
    CHECK_FALSE(store->damaged());
  }
  // Nearly every change is noticed: what is not lies on pages that hold nothing.
  CHECK(rebuilt + untouched > flips() * 9 / 10);
  CHECK(refused > flips() / 4);  // the reader looks at rows, not at the word index
  MESSAGE(flips(), " damaged stores: ", rebuilt, " rebuilt, ", refused,
          " noticed by a reader first");
}

TEST_CASE("every bit of a page counts") {
  const Pristine pristine;
  const std::string path = pristine.location.folder + "/" + pristine.generation;
  const std::string whole = read_file(path);
  // The page that holds a text known to be read back.
  const std::size_t at = whole.find("coolant");
  REQUIRE(at != std::string::npos);
  const std::size_t page = at / 4096 * 4096;
  Dice dice(3);
  for (int i = 0; i < 64; ++i) {
    const TempFolder folder;
    const Location location{pristine.location.shop, folder / "store"};
    std::string bytes = whole;
    const std::size_t byte = page + dice.below(4096);
    bytes[byte] = static_cast<char>(bytes[byte] ^ (1 << dice.below(8)));
    write_file(location.folder + "/current", pristine.generation + "\n\n");
    write_file(location.folder + "/" + pristine.generation, bytes);
    write_file(location.folder + "/" + pristine.words,
               read_file(pristine.location.folder + "/" + pristine.words));
    const auto report = store::bring_up_to_date(files::real_disk(), location);
    REQUIRE(report.ok());
    CHECK(report->rebuilt);
    CHECK(report->why == "the store is damaged");
  }
}

TEST_CASE("damage met by the layer above is marked too") {
  const Pristine pristine;
  const auto store = Store::open(pristine.location);
  REQUIRE(store.ok());
  store->failed(SQLITE_BUSY);
  CHECK_FALSE(store->damaged());
  store->failed(SQLITE_CORRUPT_VTAB);
  CHECK(store->damaged());
  store::Options options;
  options.check = false;
  const auto report = store::bring_up_to_date(files::real_disk(), pristine.location, options);
  REQUIRE(report.ok());
  CHECK(report->rebuilt);
  CHECK_FALSE(std::filesystem::exists(pristine.location.folder + "/damaged"));
  const auto again = store::bring_up_to_date(files::real_disk(), pristine.location, options);
  REQUIRE(again.ok());
  CHECK_FALSE(again->rebuilt);
}

TEST_CASE("a damaged pointer is no store") {
  const Pristine pristine;
  const std::string pointer = read_file(pristine.location.folder + "/current");
  for (std::size_t at = 0; at < pointer.size(); ++at) {
    std::string bytes = pointer;
    bytes[at] = static_cast<char>(bytes[at] ^ 4);
    write_file(pristine.location.folder + "/current", bytes);
    const auto report = store::bring_up_to_date(files::real_disk(), pristine.location);
    REQUIRE(report.ok());
    const auto store = Store::open(pristine.location);
    REQUIRE(store.ok());
    CHECK(store->counts().tips == 60);
  }
}
