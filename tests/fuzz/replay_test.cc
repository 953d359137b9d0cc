// The kept inputs of tests/fuzz/corpus, seeds and former findings alike, through the same promises
// as under the fuzzer.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "fuzz/targets.h"

using namespace baylore::fuzz;

namespace {

const std::filesystem::path kCorpus = BAYLORE_SOURCE_DIR "/tests/fuzz/corpus";

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

}  // namespace

TEST_CASE("every kept input keeps every promise") {
  for (const Target& target : kTargets) {
    INFO(target.name);
    int count = 0;
    for (const auto& one : std::filesystem::directory_iterator(kCorpus / target.name)) {
      INFO(one.path().filename().string());
      const std::string bytes = bytes_of(one.path());
      CHECK(target.promise(bytes) == "");
      // Cut short anywhere, as a torn file or a line still being typed.
      for (std::size_t length = 0; target.cut != 0 && length < bytes.size(); length += target.cut) {
        CHECK(target.promise(std::string_view(bytes).substr(0, length)) == "");
      }
      ++count;
    }
    CHECK(count >= 3);
  }
}

TEST_CASE("a folder of the corpus belongs to a target") {
  for (const auto& one : std::filesystem::directory_iterator(kCorpus)) {
    const std::string name = one.path().filename().string();
    bool known =
        name == "photo";  // which viewer/photo_hostile_test.cc gives the decoder, locked in
    for (const Target& target : kTargets) known = known || name == target.name;
    INFO(name);
    CHECK(known);
  }
}
