// What a text from elsewhere may cost before anybody has decided anything: as much of whatever as a
// pack may hold is looked at within moments, because a preview of a stranger's pack does it
// unasked.
#include <doctest/doctest.h>
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "pack/merge.h"
#include "pack/preview.h"
#include "pack/shops.h"

using namespace baylore;
using shop::Kind;
using test::Location;

namespace {

long peak_mib() {
  struct rusage usage {};
  ::getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss / 1024;
}

double seconds_of(const std::function<void()>& work) {
  const auto begun = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
}

const std::string kHead = "---\nid: x\ntitle: X\n---\n";

// `line` with numbers in place of its `#`, until it is as large as a text may be. In it `$` stands
// for `#`.
std::string many(const std::string& line, const std::string& head = kHead) {
  const auto lines = std::max<std::ptrdiff_t>(1, std::count(line.begin(), line.end(), '\n'));
  const int most = static_cast<int>(static_cast<std::ptrdiff_t>(pack::kLinesOfText) / lines) - 50;
  std::string text = head;
  for (int i = 0; text.size() + line.size() + 10 < pack::kTextInPack && i < most; ++i) {
    for (const char c : line) {
      if (c == '#') {
        text += std::to_string(i);
      } else {
        text += c == '$' ? '#' : c;
      }
    }
  }
  return text;
}

std::vector<std::pair<std::string, std::string>> heavy_texts() {
  return {{"blank lines", many("\n")},
          {"short lines", many("#\n")},
          {"sections", many("$$ a\n")},
          {"numbered sections", many("$$ #\nx\n")},
          {"entries", many("$$$ #\n", kHead + "## Checks\n")},
          {"values of an entry", many("- a#: 1\n", kHead + "## Checks\n### A\n")},
          {"checks that cannot be read", many("$$$ #\n- expect: q\n", kHead + "## Checks\n")},
          {"fields", many("k#: v\n", "---\nid: x\ntitle: X\n") + "---\n"},
          {"items", many("- #\n", "---\nid: x\ntitle: X\ncodes:\n") + "---\n"},
          {"rows", many("| # |\n", kHead + "## Checks\n| check |\n|---|\n")},
          {"pictures", many("![](#.png)\n")},
          {"one picture", many("![](x.png)\n")},
          {"one picture by many names", many("![](././x.png)\n")},
          {"open comments", many("<!--")},
          {"brackets", many("[")}};
}

}  // namespace

TEST_CASE("a heavy text that conflicts with a text of ours is looked at within moments") {
  Location south("south");
  south.put("tips/x.md", test::tip_text("x", "Ours", "\n![Pump](x.png)\n"));
  south.put("tips/x.png", test::png_of(std::string(4U << 20U, 'p')));
  for (const auto& heavy : heavy_texts()) {
    const std::string& text = heavy.second;
    INFO(heavy.first);
    pack::Pack pack;
    REQUIRE(pack::text_fault("tips/x.md", text).rule != "size");
    pack::PackText one;
    one.kind = Kind::tip;
    one.id = "x";
    one.path = "tips/x.md";
    one.bytes = text;
    one.hash = "0";
    for (const char* id : {"x", "fresh"}) {
      one.id = id;
      pack.texts.push_back(one);
    }
    pack.photos.push_back({"tips/x.png", 5U << 20U, "not ours"});
    for (int i = 0; i < 20000; ++i)
      pack.photos.push_back({"photos/" + std::to_string(i) + ".png", 10, "s"});
    const double took = seconds_of([&] {
      const auto seen = pack::preview(files::real_disk(), south.folder(), pack);
      REQUIRE(seen.ok());
      CHECK(seen->items.size() == 2);
      CHECK(seen->items[0].change == pack::Change::conflict);
    });
    CHECK(took < 10);
  }
  CHECK(peak_mib() < 128);
}

TEST_CASE("merging heavy texts that both sides changed takes moments") {
  for (const auto& heavy : heavy_texts()) {
    const std::string& text = heavy.second;
    INFO(heavy.first);
    std::string ours = text;
    std::string theirs = text;
    ours.insert(ours.find("title: X") + 8, " ours");
    theirs.insert(theirs.size() / 2, "theirs");
    const double took = seconds_of([&] {
      CHECK_FALSE(pack::merge_texts(text, ours, theirs).text.empty());
      // And where both wrote it anew.
      CHECK_FALSE(pack::merge_texts(kHead, ours, theirs).text.empty());
    });
    CHECK(took < 10);
  }
  CHECK(peak_mib() < 128);
}
