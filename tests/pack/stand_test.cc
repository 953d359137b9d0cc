#include "pack/stand.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>
#include <string>

#include "files/names.h"

using namespace baylore;
using pack::Version;

namespace {

std::string text(const std::string& title, const std::string& finish) {
  return "---\nid: a\ntitle: " + title + "\n---\n\n## Symptom\nCold.\n\n## Finish\n" + finish +
         "\n";
}

class Known {
 public:
  Version add(const std::string& bytes, const std::vector<Version>& from = {}) {
    Version version{files::hash_hex(bytes), bytes, {}};
    for (const Version& one : from) {
      version.ancestry.insert(one.hash);
      version.ancestry.insert(one.ancestry.begin(), one.ancestry.end());
    }
    bytes_[version.hash] = bytes;
    return version;
  }
  void forget(const Version& version) { bytes_.erase(version.hash); }
  [[nodiscard]] pack::Standing stand(const std::optional<Version>& own,
                                     const std::vector<Version>& received) const {
    return pack::stand(own, received, [&](const std::string& hash) {
      const auto found = bytes_.find(hash);
      return found == bytes_.end() ? nullptr : &found->second;
    });
  }

 private:
  std::map<std::string, std::string> bytes_;
};

}  // namespace

TEST_CASE("theirs unchanged is nothing, ours unchanged is theirs, both changed are merged") {
  Known known;
  const Version first = known.add(text("One", "Bleed."));
  const Version title = known.add(text("Two", "Bleed."), {first});
  const Version finish = known.add(text("One", "Bleed it."), {first});
  CHECK(known.stand(title, {first}).bytes == title.bytes);
  CHECK(known.stand(first, {title}).bytes == title.bytes);
  const auto both = known.stand(title, {finish});
  CHECK(both.bytes == text("Two", "Bleed it."));
  CHECK(both.merged);
  CHECK(both.open.empty());
  CHECK_FALSE(known.stand(std::nullopt, {}).there);
  CHECK(known.stand(std::nullopt, {title}).bytes == title.bytes);
}

TEST_CASE("a conflict, or no common ancestor, keeps both; the own one stands") {
  Known known;
  const Version first = known.add(text("One", "Bleed."));
  const Version ours = known.add(text("Two", "Bleed."), {first});
  const Version theirs = known.add(text("Three", "Bleed."), {first});
  auto both = known.stand(ours, {theirs});
  CHECK(both.bytes == ours.bytes);
  CHECK(both.open == std::vector<std::string>{theirs.hash});
  // Another tip under the same id.
  const Version stranger = known.add(text("Something else", "Paint."));
  both = known.stand(ours, {stranger});
  CHECK(both.bytes == ours.bytes);
  CHECK(both.open == std::vector<std::string>{stranger.hash});
  // The ancestor is named by both and nobody has it.
  const Version finish = known.add(text("One", "Bleed it."), {first});
  known.forget(first);
  CHECK(known.stand(ours, {finish}).open.size() == 1);
  // Someone settled it: what came of it takes the place of all.
  const Version settled = known.add(text("Two or three", "Bleed it."), {ours, theirs, finish});
  both = known.stand(ours, {settled, theirs, finish});
  CHECK(both.bytes == settled.bytes);
  CHECK(both.open.empty());
}

TEST_CASE("two versions that name each other as ancestors are both kept") {
  Known known;
  Version one = known.add(text("One", "Bleed."));
  Version two = known.add(text("Two", "Bleed."), {one});
  one.ancestry.insert(two.hash);
  const auto both = known.stand(one, {two});
  CHECK(both.bytes == one.bytes);
  CHECK(both.open == std::vector<std::string>{two.hash});
}

TEST_CASE("what was made from ours stands before another tip that only has its id") {
  for (const char* title : {"Zebra", "Paint", "Polish", "Sand", "Wax", "Grind"}) {
    Known known;
    const Version ours = known.add(text("One", "Bleed."));
    const Version theirs = known.add(text("Two", "Bleed."), {ours});
    const Version stranger = known.add(text(title, title));
    const auto both = known.stand(ours, {stranger, theirs});
    CHECK(both.bytes == theirs.bytes);
    CHECK(both.open == std::vector<std::string>{stranger.hash});
  }
}

TEST_CASE("what a version beside the text was made from is no part of the text") {
  Known known;
  const Version ours = known.add(text("One", "Bleed."));
  const Version old = known.add(text("Paint", "Sand."));
  const Version stranger = known.add(text("Paint well", "Sand."), {old});
  const auto both = known.stand(ours, {old, stranger});
  CHECK(both.open == std::vector<std::string>{stranger.hash});
  CHECK(both.taken == std::set<std::string>{ours.hash});
}

TEST_CASE("a ring of false ancestry takes nothing away") {
  Known known;
  const Version old = known.add(text("Zero", "Bleed."));
  const Version own = known.add(text("One", "Bleed."), {old});
  // A stranger's versions: one says it comes from ours, the old one that it comes from that.
  Version false_one = known.add(text("Taken over", "Paint."), {own});
  Version false_old = old;
  false_old.ancestry = {false_one.hash};
  const Version other = known.add(text("Another", "Polish."));
  const auto standing = known.stand(own, {false_one, false_old, other});
  CHECK(standing.there);
  CHECK(standing.hash == own.hash);
}

TEST_CASE("in whatever order and however often versions come, they come to the same") {
  std::mt19937 dice(3);
  int merged = 0;
  int open = 0;
  for (int round = 0; round < 400; ++round) {
    Known known;
    std::vector<Version> all = {known.add(text("One", "Bleed."))};
    const std::size_t count = 2 + dice() % 6;
    for (std::size_t i = 0; i < count; ++i) {
      // Any version, edited at one of two places; or two of them brought together by a person.
      const Version& from = all[dice() % all.size()];
      std::vector<Version> parents = {from};
      if (dice() % 4 == 0) parents.push_back(all[dice() % all.size()]);
      const std::string mark = std::to_string(dice() % 3);
      all.push_back(known.add(
          dice() % 2 == 0 ? text("Title " + mark, "Bleed.") : text("One", "Bleed " + mark),
          parents));
    }
    std::optional<Version> own;
    if (dice() % 2 == 0) own = all[dice() % all.size()];
    const auto first = known.stand(own, all);
    if (first.merged) ++merged;
    if (!first.open.empty()) ++open;
    for (int again = 0; again < 5; ++again) {
      std::vector<Version> mixed = all;
      mixed.push_back(all[dice() % all.size()]);
      std::shuffle(mixed.begin(), mixed.end(), dice);
      const auto other = known.stand(own, mixed);
      REQUIRE(other.bytes == first.bytes);
      REQUIRE(other.open == first.open);
      REQUIRE(other.taken == first.taken);
    }
    // Every version is in the text, kept beside it, or what one of those was made from.
    std::set<std::string> kept = first.taken;
    kept.insert(first.open.begin(), first.open.end());
    for (bool more = true; more;) {
      more = false;
      for (const Version& version : all) {
        if (kept.count(version.hash) == 0) continue;
        for (const std::string& hash : version.ancestry) more = kept.insert(hash).second || more;
      }
    }
    for (const Version& version : all) REQUIRE(kept.count(version.hash) > 0);
  }
  CHECK(merged > 20);
  CHECK(open > 20);
}
