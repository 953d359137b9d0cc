// Hostile packs, most of them signed by a location that is trusted here: nothing outside the shop
// is touched, nothing inside it changes but by the one good tip, and neither time nor memory runs
// away.
#include "pack/hostile.h"

#include <doctest/doctest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <set>
#include <string>

#include "pack/shops.h"

using namespace baylore;
using test::Location;

namespace {

long peak_kib() {
  struct rusage usage {};
  ::getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss;
}

}  // namespace

TEST_CASE("the pack they are made of is good") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  south.scratch().put("good.zip", test::good_pack(north.key()));
  CHECK(south.open(south.scratch().path("good.zip")).verdict() == "trusted");
  CHECK(south.accept(south.scratch().path("good.zip")).fresh == 1);
}

TEST_CASE("hostile packs are refused or neutralised") {
  Location north("north");
  const Location stranger("stranger");
  const auto packs = test::hostile_packs(north.key(), stranger.key());
  CHECK(packs.size() >= 60);
  int refused = 0;
  std::set<std::string> names;
  for (const test::Hostile& hostile : packs) {
    INFO(hostile.name);
    CHECK(names.insert(hostile.name).second);
    Location south("south");
    south.trusts(north);
    south.put("tips/ours.md", test::tip_text("ours", "Ours"));
    south.scratch().put("bad.zip", hostile.bytes);
    south.scratch().put("witness", "outside");
    const std::string path = south.scratch().path("bad.zip");
    const auto before = south.scratch().files();
    const auto ours = south.files();

    const auto begun = std::chrono::steady_clock::now();
    const auto opened = pack::open_pack(files::real_disk(), path, south.trusted());
    REQUIRE(opened.ok());
    if (hostile.refused) {
      CHECK_FALSE(opened->reasons.empty());
      CHECK(opened->texts.empty());
      CHECK(opened->photos.empty());
      const auto accepted = south.try_accept(path);
      REQUIRE_FALSE(accepted.ok());
      CHECK(accepted.failure().kind == files::Failure::Kind::denied);
      CHECK(south.scratch().files() == before);
      ++refused;
    } else {
      CHECK(opened->reasons.empty());
      REQUIRE(pack::preview(files::real_disk(), south.folder(), *opened).ok());
      static_cast<void>(south.accept(path));
      auto after = south.files();
      CHECK(after.erase("shop/tips/received/good/good.md") == 1);
      CHECK(after == ours);
    }
    const auto took = std::chrono::steady_clock::now() - begun;
    CHECK(took < std::chrono::seconds(10));
    CHECK(south.scratch().get("witness") == "outside");
    for (const std::string& file : south.scratch().files())
      CHECK((file == "bad.zip" || file == "witness" || file.starts_with("shop/")));
  }
  MESSAGE(packs.size(), " hostile packs, ", refused, " refused as a whole, peak ", peak_kib(),
          " KiB");
  CHECK(peak_kib() < 256 * 1024);
}

TEST_CASE("packs that are made to take time and memory take little of either") {
  Location north("north");
  const Location stranger("stranger");
  Location south("south");
  south.trusts(north);
  // Made by another process: what that takes is not what opening them takes.
  const pid_t maker = ::fork();
  REQUIRE(maker >= 0);
  if (maker == 0) {
    int number = 0;
    for (const test::Hostile& hostile : test::heavy_packs(north.key(), stranger.key()))
      south.scratch().put(std::to_string(number++) + " " + hostile.name, hostile.bytes);
    ::_exit(0);
  }
  int status = -1;
  REQUIRE(::waitpid(maker, &status, 0) == maker);
  REQUIRE(status == 0);
  int count = 0;
  for (const auto& file : std::filesystem::directory_iterator(south.scratch().folder())) {
    if (file.is_directory()) continue;
    INFO(file.path().filename().string());
    const auto begun = std::chrono::steady_clock::now();
    const auto opened = pack::open_pack(files::real_disk(), file.path().string(), south.trusted());
    REQUIRE(opened.ok());
    CHECK_FALSE(opened->reasons.empty());
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
    CHECK(took.count() < 10);
    CHECK(peak_kib() < 256 * 1024);
    MESSAGE(file.path().filename().string(), ": ", took.count(), " s, peak ", peak_kib(), " KiB");
    ++count;
  }
  CHECK(count == 5);
}

TEST_CASE("whatever byte of a signed pack is changed, it is refused or says the same") {
  Location north("north");
  Location south("south");
  south.trusts(north);
  const std::string good = test::good_pack(north.key());
  const auto trusted = south.trusted();
  const auto whole = pack::open_pack(*pack::open_bytes(good), trusted);
  REQUIRE(whole.ok());
  int harmless = 0;
  for (std::size_t at = 0; at < good.size(); ++at) {
    std::string changed = good;
    changed[at] = static_cast<char>(changed[at] ^ 0x20);
    const auto opened = pack::open_pack(*pack::open_bytes(changed), trusted);
    REQUIRE(opened.ok());
    if (!opened->reasons.empty()) continue;
    ++harmless;
    // Times in the container, and the one comment that nobody signs.
    REQUIRE(opened->verdict() == "trusted");
    REQUIRE(opened->texts.size() == 1);
    CHECK(opened->texts[0].bytes == whole->texts[0].bytes);
  }
  CHECK(harmless < 200);
}
