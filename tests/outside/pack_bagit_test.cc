// The bags of the Library of Congress BagIt conformance suite (data/bagit/ORIGIN.md), judged as the
// folders they lie in say, and the rules of RFC 8493 that the suite has no bag for.
#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <string>

#include "files/disk.h"
#include "pack/bag.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

const std::filesystem::path kBags = BAYLORE_SOURCE_DIR "/tests/outside/data/bagit";

pack::Bag judged(const std::string& folder) {
  const auto content = pack::read_bag_folder(files::real_disk(), folder);
  REQUIRE(content.ok());
  return pack::judge_bag(content.value());
}

std::string reasons_of(const pack::Bag& bag) {
  std::string all;
  for (const pack::Reason& reason : bag.reasons) all += reason.rule + " ";
  return all;
}

std::string texts_of(const pack::Bag& bag) {
  std::string all;
  for (const pack::Reason& reason : bag.reasons) all += reason.text() + "\n";
  return all;
}

}  // namespace

TEST_CASE("every valid bag is valid") {
  int count = 0;
  for (const auto& one : std::filesystem::directory_iterator(kBags / "valid")) {
    const pack::Bag bag = judged(one.path().string());
    INFO(one.path().filename().string(), ": ", texts_of(bag));
    CHECK(bag.valid());
    CHECK(bag.version == "0.97");
    ++count;
  }
  CHECK(count == 12);
}

TEST_CASE("every invalid bag is refused for what is wrong with it") {
  const std::map<std::string, std::string> wrong = {
      {"baginfo-missing-encoding", "bagit.txt checksum "},
      {"bom-in-bagit.txt", "bagit.txt "},
      {"corrupt-data-file", "oxum checksum "},
      {"corrupt-tag-file", "checksum checksum checksum "},
      {"extra-file-in-bag", "oxum not-listed "},
      {"invalid-version-number", "version checksum checksum "},
      {"missing-baginfo", "missing "},
      {"missing-bagit.txt", "bagit.txt missing "},
      {"out-of-scope-file-paths-using-dot-notation", "path path "},
      {"out-of-scope-file-paths-using-dot-notation-for-fetch", "path "},
      {"same-filename-listed-twice-with-different-hashes", "manifest "},
  };
  std::size_t count = 0;
  for (const auto& one : std::filesystem::directory_iterator(kBags / "invalid")) {
    const std::string name = one.path().filename().string();
    const pack::Bag bag = judged(one.path().string());
    INFO(name, ": ", texts_of(bag));
    CHECK_FALSE(bag.valid());
    REQUIRE(wrong.count(name) == 1);
    CHECK(reasons_of(bag) == wrong.at(name));
    ++count;
  }
  CHECK(count == wrong.size());
}
