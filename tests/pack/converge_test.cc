// Locations that edit, seal, accept and settle at random: whoever has taken in the same packs has
// the same shop, in whatever order and by whatever way they came, and nothing that a person wrote
// is gone.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "files/names.h"
#include "pack/accept.h"
#include "pack/shops.h"

using namespace baylore;
using shop::Kind;
using test::Location;
using test::tip_text;

namespace {

// BAYLORE_ROUNDS=100 for a long run.
int rounds(int usual) {
  const char* text = std::getenv("BAYLORE_ROUNDS");
  return text == nullptr ? usual : std::atoi(text);
}

std::string body(const std::string& title, const std::string& finish) {
  return tip_text("x", title, "\n## Finish\n" + finish + "\n\n## Verify\nAgain.\n");
}

// Everything that is kept of a text in a shop: as it stands, in history/, and in packs.
std::string all_kept(const Location& shop) {
  std::string all;
  for (const std::string& path : shop.scratch().files()) {
    if (path.starts_with("shop/")) all += shop.scratch().get(path);
  }
  return all;
}

}  // namespace

TEST_CASE("the same packs in any order, and again, end in the same shop") {
  std::mt19937 dice(17);
  int merged = 0;
  int open = 0;
  for (int round = 0; round < rounds(4); ++round) {
    // Three authors start from one text and go their ways; each seals after each edit.
    std::vector<std::unique_ptr<Location>> authors;
    std::vector<std::string> packs;
    const std::string first = body("One", "Bleed.");
    for (int i = 0; i < 3; ++i) {
      authors.push_back(std::make_unique<Location>("author-" + std::to_string(i)));
      authors.back()->put("tips/x.md", first);
      packs.push_back(authors.back()->seal("r0"));
    }
    for (int step = 1; step <= 3; ++step) {
      Location& author = *authors[dice() % authors.size()];
      const std::string mark = std::to_string(dice() % 4);
      const std::string now = author.get("tips/x.md");
      std::string next = now;
      const std::string place = dice() % 2 == 0 ? "title: " : "## Finish\n";
      next.insert(next.find(place) + place.size(), mark + " ");
      author.edit("tips/x.md", next);
      packs.push_back(author.seal("r" + std::to_string(step)));
    }
    const bool has_own = dice() % 2 == 0;
    std::map<pack::TextKey, std::string> same;
    std::vector<std::string> beside;
    for (int order = 0; order < 3; ++order) {
      Location reader("reader");
      for (const auto& author : authors) reader.trusts(*author);
      if (has_own) {
        reader.put("tips/x.md", first);
        std::string own = first;
        own.insert(own.find("Again"), "Ours. ");
        reader.edit("tips/x.md", own);
      }
      std::vector<std::string> way = packs;
      std::shuffle(way.begin(), way.end(), dice);
      if (order > 1) way.push_back(way[dice() % way.size()]);
      for (const std::string& path : way) reader.accept(path);
      std::vector<std::string> kept;
      for (const pack::OpenConflict& one : reader.conflicts()) kept.push_back(one.hash);
      std::sort(kept.begin(), kept.end());
      if (order == 0) {
        same = reader.texts();
        beside = kept;
        if (!kept.empty()) ++open;
        const std::string text = same.begin()->second;
        bool known = false;
        for (const auto& author : authors) known = known || author->get("tips/x.md") == text;
        if (!known) ++merged;
        if (has_own) CHECK(text.find("Ours. ") != std::string::npos);
      } else {
        CHECK(reader.texts() == same);
        CHECK(kept == beside);
      }
      const std::string all = all_kept(reader);
      for (const auto& author : authors)
        CHECK(all.find(author->get("tips/x.md")) != std::string::npos);
    }
  }
  CHECK(merged > 0);
  CHECK(open > 0);
}

TEST_CASE("shops that hand packs round and settle what conflicts come to one text, by any way") {
  std::mt19937 dice(23);
  for (int round = 0; round < rounds(2); ++round) {
    std::vector<std::unique_ptr<Location>> shops;
    for (int i = 0; i < 3; ++i)
      shops.push_back(std::make_unique<Location>("shop-" + std::to_string(i)));
    for (const auto& one : shops) {
      for (const auto& other : shops) {
        if (one != other) one->trusts(*other);
      }
    }
    shops[0]->put("tips/x.md", body("One", "Bleed."));
    int number = 0;
    std::set<std::string> written;
    const auto place_of = [](const Location& shop) -> std::string {
      for (const char* path : {"tips/x.md", "tips/received/x/x.md"}) {
        if (shop.has(path)) return path;
      }
      return {};
    };
    const auto hand = [&](Location& from, Location& to) {
      if (place_of(from).empty()) return;
      to.accept(from.seal("p" + std::to_string(++number)));
    };
    for (int step = 0; step < 12; ++step) {
      Location& shop = *shops[dice() % 3];
      const std::string path = place_of(shop);
      if (dice() % 3 > 0 || path.empty()) {
        Location& from = *shops[dice() % 3];
        if (&from != &shop) hand(from, shop);
        continue;
      }
      const std::string mark = "m" + std::to_string(++number) + " ";
      std::string text = shop.get(path);
      const std::string place = dice() % 2 == 0 ? "title: " : "## Finish\n";
      text.insert(text.find(place) + place.size(), mark);
      shop.edit(path, text);
      written.insert(mark);
    }
    // Packs go round until nothing moves; a lead at the first shop settles.
    for (int lap = 0; lap < 6; ++lap) {
      for (const auto& from : shops) {
        for (const auto& to : shops) {
          if (from == to) continue;
          hand(*from, *to);
          if (to != shops[0] || to->conflicts().empty()) continue;
          const std::string now = to->get(place_of(*to));
          std::string settled = now;
          // The lead takes all words of both.
          for (const pack::OpenConflict& one : to->conflicts()) {
            for (const std::string& mark : written) {
              if (one.theirs.find(mark) != std::string::npos &&
                  settled.find(mark) == std::string::npos) {
                settled.insert(settled.find("Again"), mark);
              }
            }
          }
          REQUIRE(
              pack::settle(files::real_disk(), to->folder(), {Kind::tip, "x"}, now, settled).ok());
        }
      }
    }
    for (const auto& shop : shops) {
      CHECK(shop->texts() == shops[0]->texts());
      CHECK(shop->conflicts().empty());
      const std::string all = all_kept(*shop);
      for (const std::string& mark : written) {
        INFO(mark);
        CHECK(all.find(mark) != std::string::npos);
      }
    }
    for (const std::string& mark : written)
      CHECK(shops[0]->texts().begin()->second.find(mark) != std::string::npos);
  }
}
