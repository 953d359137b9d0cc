// What a terminal learns of VINs, and what it must never keep. The VINs are published examples (49
// CFR 565.15 and others, as in tests/outside/trade_vin_test.cc) with serial numbers of our own and
// the check digit worked out anew.
#include "job/vin_patterns.h"

#include <doctest/doctest.h>

#include "support/failing_disk.h"
#include "support/scratch.h"
#include "trade/vin.h"

using namespace baylore;
using job::VinGuess;
using job::VinPatterns;
using search::Vehicle;

namespace {

// A VIN with its check digit put right.
std::string vin_of(std::string text) {
  const auto check = trade::check_digit(text);
  REQUIRE(check.has_value());
  text[8] = check->computed;
  REQUIRE(trade::check_digit(text)->agrees);
  return text;
}

const Vehicle kHauler{"Corvane", "Hauler", 2019, "3.6 V6", 0};
const Vehicle kHauler89{"Corvane", "Hauler", 1989, "5.3 V8", 0};
const Vehicle kPallet{"Corvane", "Pallet", 2019, "2.2 diesel", 0};

struct Bay {
  test::Scratch folder;
  [[nodiscard]] VinPatterns open() const { return {files::real_disk(), folder.folder()}; }
  [[nodiscard]] std::string file() const { return folder.get("vin-patterns.json"); }
};

}  // namespace

TEST_CASE("one choice is suggested for the next car of its kind") {
  const Bay bay;
  CHECK(bay.open().suggest("1M8GDM9AXKP042788").empty());
  VinPatterns patterns = bay.open();
  REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));

  // Another serial, another plant, after a restart.
  const VinPatterns again = bay.open();
  const auto guesses = again.suggest(vin_of("1M8GDM9A0KT999999"));
  REQUIRE(guesses.size() == 1);
  CHECK(guesses[0].vehicle == kHauler);
  CHECK(guesses[0].chosen == 1);
  CHECK(guesses[0].exact);
  // Typed in small letters, or only its beginning.
  CHECK(again.suggest("1m8gdm9a xk").size() == 1);
  CHECK(again.suggest("1M8GDM9A*K").size() == 1);
}

TEST_CASE("contradicting choices stand side by side, the more frequent first") {
  const Bay bay;
  VinPatterns patterns = bay.open();
  REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));
  REQUIRE(patterns.learn("1M8GDM9AXKP042788", kPallet));
  REQUIRE(patterns.learn(vin_of("1M8GDM9A0KP123456"), kPallet));
  auto guesses = patterns.suggest("1M8GDM9AXKP042788");
  REQUIRE(guesses.size() == 2);
  CHECK(guesses[0].vehicle == kPallet);
  CHECK(guesses[0].chosen == 2);
  CHECK(guesses[1].vehicle == kHauler);

  // Years of one answer are outvoted by a hundred of the other, never more.
  for (int i = 0; i < 1000; ++i) REQUIRE(patterns.learn("1M8GDM9AXKP042788", kPallet));
  int needed = 0;
  while (patterns.suggest("1M8GDM9AXKP042788")[0].vehicle == kPallet) {
    REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));
    ++needed;
  }
  CHECK(needed <= VinPatterns::kMostChosen);
  guesses = bay.open().suggest("1M8GDM9AXKP042788");
  REQUIRE(guesses.size() == 2);
  for (const VinGuess& guess : guesses) CHECK(guess.chosen < VinPatterns::kMostChosen);
}

TEST_CASE("a VIN that begins alike gets make and model, and the year of its own") {
  const Bay bay;
  VinPatterns patterns = bay.open();
  REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));
  REQUIRE(patterns.learn(vin_of("1M8GDM9AXLP042788"), kHauler));
  REQUIRE(patterns.learn(vin_of("1M8GDX9AXKP042788"), kPallet));

  // Place 10 `J`: 1988 or 2018; the kind was chosen as 2019.
  const auto guesses = patterns.suggest(vin_of("1M8GD11A0JP000001"));
  REQUIRE(guesses.size() == 2);
  CHECK(guesses[0].vehicle == Vehicle{"Corvane", "Hauler", 2018, "", 0});
  CHECK(guesses[0].chosen == 2);
  CHECK_FALSE(guesses[0].exact);
  CHECK(guesses[1].vehicle == Vehicle{"Corvane", "Pallet", 2018, "", 0});

  // The exact one comes first although it was chosen less often, and says the engine.
  const auto exact = patterns.suggest(vin_of("1M8GDX9A0KP777777"));
  REQUIRE(exact.size() == 2);
  CHECK(exact[0].vehicle == kPallet);
  CHECK(exact[0].exact);
  CHECK(exact[1].vehicle.model == "Hauler");

  REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler89));
  CHECK(patterns.suggest(vin_of("1M8GE11A0JP000001")).empty());  // place 5 differs
  CHECK(patterns.suggest("1M8G**9A*J").empty());
  CHECK(patterns.suggest("KP042788").empty());
  CHECK(patterns.suggest("not a vin").empty());
}

TEST_CASE("nothing of the serial, the plant or the check digit reaches the disk") {
  const Bay bay;
  VinPatterns patterns = bay.open();
  const std::string vin = "1M8GDM9AXKP042788";
  Vehicle careless = kHauler;
  careless.engine = "3.6 V6 " + vin;  // a scanner's line in the wrong field
  REQUIRE(patterns.learn(vin, kHauler));
  REQUIRE(patterns.learn(vin, careless));
  const std::string first = bay.file();
  CHECK(first.find("1M8GDM9AK") != std::string::npos);
  for (const char* part : {"042788", "P0427", "KP", "AXK", "1M8GDM9AX"}) {
    INFO(std::string(part));
    CHECK(first.find(part) == std::string::npos);
  }
  // Another car of the same pattern leaves the same bytes but for the count.
  const Bay other;
  VinPatterns beside = other.open();
  const std::string sister = vin_of("1M8GDM9A0KT999999");
  REQUIRE(sister[8] != vin[8]);
  REQUIRE(beside.learn(sister, kHauler));
  REQUIRE(beside.learn(sister, kHauler));
  CHECK(other.file() == first);
  for (const std::string& file : bay.folder.files()) CHECK(file == "vin-patterns.json");
}

TEST_CASE("what cannot be learned from leaves no file") {
  const Bay bay;
  VinPatterns patterns = bay.open();
  CHECK(patterns.learn("1M8GDM9A1KP042788", kHauler));  // a slip: the check digit does not agree
  CHECK(patterns.learn("1M8GDM9AXKPO42788", kHauler));  // an O
  CHECK(patterns.learn("KP042788", kHauler));           // the maker is not in it
  CHECK(patterns.learn("1M8G?M9A?K", kHauler));
  CHECK(patterns.learn("", kHauler));
  CHECK(patterns.learn("1M8GDM9AXKP042788", {"Corvane", "", 2019, "", 0}));
  CHECK(patterns.learn("1M8GDM9AXKP042788", {"", "Hauler", 2019, "", 0}));
  CHECK(bay.folder.files().empty());
  // From Europe, where no check digit is asked for.
  CHECK(patterns.learn("WP0ZZZ99ZTS392124", kPallet));
  CHECK(patterns.suggest("WP0ZZZ99ZTS000001").size() == 1);
}

TEST_CASE("a damaged file is set aside") {
  for (const char* bytes :
       {"", "{", "[]", "{\"format\":\"baylore-vin-patterns 2\",\"patterns\":{}}",
        "{\"format\":\"baylore-vin-patterns 1\"}",
        "{\"format\":\"baylore-vin-patterns 1\",\"patterns\":{\"1M8GDM9AXKP042788\":[]}}",
        "{\"format\":\"baylore-vin-patterns 1\",\"patterns\":{\"1M8GDM9AK\":[{\"make\":\"a\","
        "\"model\":\"b\",\"chosen\":1000}]}}",
        "{\"format\":\"baylore-vin-patterns 1\",\"patterns\":{\"1M8GDM9AK\":[{\"make\":\"a\","
        "\"model\":\"b\",\"chosen\":1},7]}}",
        "{\"format\":\"baylore-vin-patterns 1\",\"patterns\":{\"1M8GDM9AK\":{}}}"}) {
    INFO(std::string(bytes));
    const Bay bay;
    bay.folder.put("vin-patterns.json", bytes);
    VinPatterns patterns = bay.open();
    CHECK(patterns.suggest("1M8GDM9AXKP042788").empty());
    CHECK(bay.folder.get("vin-patterns.json.damaged") == bytes);
    REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));
    CHECK(bay.open().suggest("1M8GDM9AXKP042788").size() == 1);
  }
}

TEST_CASE("the file has a limit, and the rarest goes first") {
  const Bay bay;
  std::string patterns;
  const char* const kLetters = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789";
  for (std::size_t i = 0; i < VinPatterns::kMostPatterns; ++i) {
    const std::string key = {
        'W', 'A', 'A', 'Z', kLetters[i / 961], kLetters[i / 31 % 31], kLetters[i % 31], '9', 'K'};
    patterns += (i == 0 ? "" : ",") + ("\"" + key) +
                "\":[{\"make\":\"Tavik\",\"model\":\"Tern\",\"chosen\":" + (i == 7 ? "1" : "2") +
                "}]";
  }
  bay.folder.put("vin-patterns.json",
                 "{\"format\":\"baylore-vin-patterns 1\",\"patterns\":{" + patterns + "}}");
  VinPatterns full = bay.open();
  const std::string rarest = "WAAZAAH9*K";
  REQUIRE(full.suggest(rarest).at(0).exact);
  REQUIRE(full.learn("1M8GDM9AXKP042788", kHauler));
  CHECK(full.suggest("1M8GDM9AXKP042788").size() == 1);
  CHECK_FALSE(full.suggest(rarest).at(0).exact);  // only its like are left
  CHECK(full.suggest("WAAZAAJ9*K").at(0).exact);
  CHECK(bay.open().suggest("1M8GDM9AXKP042788").size() == 1);
  CHECK(bay.file().size() < 2U << 20U);
}

TEST_CASE("a disk that fails keeps the old file, or is told") {
  const Bay bay;
  {
    VinPatterns patterns = bay.open();
    REQUIRE(patterns.learn("1M8GDM9AXKP042788", kHauler));
  }
  const std::string before = bay.file();
  test::FailingDisk disk(files::real_disk());
  int tried = 0;
  for (int call = 1;; ++call) {
    disk.fail_at(1000000, test::FailingDisk::How::once, files::Failure::Kind::full);
    VinPatterns patterns(disk, bay.folder.folder());
    disk.fail_at(call, test::FailingDisk::How::once, files::Failure::Kind::full);
    if (patterns.learn("1M8GDM9AXKP042788", kPallet)) break;
    ++tried;
    CHECK((bay.file() == before || bay.open().suggest("1M8GDM9AXKP042788").size() == 2));
    bay.folder.put("vin-patterns.json", before);
  }
  CHECK(tried >= 3);

  // There, but out of reach: what it holds is not written over.
  disk.fail_at(1, test::FailingDisk::How::once, files::Failure::Kind::denied);
  VinPatterns blind(disk, bay.folder.folder());
  const std::string now = bay.file();
  CHECK_FALSE(blind.learn("1M8GDM9AXKP042788", kHauler));
  CHECK(bay.file() == now);
}
