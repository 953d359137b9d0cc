#include "pack/merge.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "pack/diff.h"
#include "shop/document.h"

using namespace baylore;

namespace {

const std::string kBase =
    "---\n"
    "id: heater\n"
    "title: Heater cold at idle\n"
    "fits:\n"
    "  - Corvane | Hauler | 2014-2018 | 3.6 V6\n"
    "codes:\n"
    "  - P0128\n"
    "repair-minutes: 95\n"
    "---\n"
    "\n"
    "## Symptom\n"
    "Low tank each morning.\n"
    "Heater goes cold.\n"
    "No puddle.\n"
    "\n"
    "## Fasteners\n"
    "### Pump bolts\n"
    "- thread: M6x1.0\n"
    "- torque: 10 N\xC2\xB7m\n"
    "### Crank pulley bolt\n"
    "- torque: 60 N\xC2\xB7m + 90\xC2\xB0\n"
    "\n"
    "## Finish\n"
    "Bleed at the heater hose.\n"
    "\n"
    "## Corrections\n"
    "- 2026-05-02 | first\n";

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE_MESSAGE(at != std::string::npos, from);
  return text.replace(at, from.size(), to);
}

std::string places(const pack::Merged& merged) {
  std::string all;
  for (const pack::Difference& one : merged.conflicts) all += one.where + "; ";
  return all;
}

// Merges both ways round; without conflict the sides must not matter.
std::string merged(const std::string& ours, const std::string& theirs) {
  const pack::Merged one = pack::merge_texts(kBase, ours, theirs);
  const pack::Merged other = pack::merge_texts(kBase, theirs, ours);
  CHECK(places(one) == "");
  CHECK(places(other) == "");
  CHECK(one.text == other.text);
  return one.text;
}

std::string conflicts(const std::string& ours, const std::string& theirs) {
  const pack::Merged one = pack::merge_texts(kBase, ours, theirs);
  const pack::Merged other = pack::merge_texts(kBase, theirs, ours);
  CHECK(places(one) == places(other));
  return places(one);
}

}  // namespace

TEST_CASE("a side that changed nothing gives the other side's very bytes") {
  const std::string crlf = with(kBase, "No puddle.\n", "No puddle.  \r\n\r\n\r\n");
  CHECK(pack::merge_texts(kBase, kBase, crlf).text == crlf);
  CHECK(pack::merge_texts(kBase, crlf, kBase).text == crlf);
  CHECK(pack::merge_texts(kBase, crlf, crlf).text == crlf);
}

TEST_CASE("changes at different places go together") {
  const std::string title = with(kBase, "Heater cold at idle", "Heater cold");
  const std::string finish = with(kBase, "Bleed at", "Fill, then bleed at");
  CHECK(merged(title, finish) == with(title, "Bleed at", "Fill, then bleed at"));
  // Two lines of one section.
  const std::string first = with(kBase, "Low tank", "Empty tank");
  const std::string third = with(kBase, "No puddle.", "No puddle: it dries.");
  CHECK(merged(first, third) == with(first, "No puddle.", "No puddle: it dries."));
  // Two entries of one section.
  const std::string bolts = with(kBase, "10 N", "9 N");
  const std::string pulley = with(kBase, "60 N", "65 N");
  CHECK(merged(bolts, pulley) == with(bolts, "60 N", "65 N"));
}

TEST_CASE("lists of the front matter are merged as sets") {
  const std::string one = with(kBase, "  - P0128\n", "  - P0128\n  - P0217\n");
  const std::string other = with(kBase, "  - P0128\n", "  - P2181\n");
  CHECK(merged(one, other) == with(kBase, "  - P0128\n", "  - P0217\n  - P2181\n"));
}

TEST_CASE("rows that both added at one place are both kept, once, in one order") {
  const std::string one =
      with(kBase, "first\n", "first\n- 2026-06-01 | ours\n- 2026-06-09 | both\n");
  const std::string other =
      with(kBase, "first\n", "first\n- 2026-06-02 | theirs\n- 2026-06-09 | both\n");
  const std::string text = merged(one, other);
  for (const char* row : {"| first\n", "| ours\n", "| theirs\n", "| both\n"}) {
    const std::size_t at = text.find(row);
    REQUIRE(at != std::string::npos);
    CHECK(text.find(row, at + 1) == std::string::npos);
  }
}

TEST_CASE("sections and entries come and go") {
  const std::string more = with(kBase, "## Finish", "## Repair\n1. Drain.\n\n## Finish");
  const std::string other = with(kBase, "## Corrections", "## Verify\nAgain.\n\n## Corrections");
  CHECK(merged(more, other) == with(more, "## Corrections", "## Verify\nAgain.\n\n## Corrections"));
  const std::string less =
      with(kBase, "### Crank pulley bolt\n- torque: 60 N\xC2\xB7m + 90\xC2\xB0\n", "");
  CHECK(merged(less, with(kBase, "10 N", "9 N")) == with(less, "10 N", "9 N"));
  // Two new sections at one place.
  const std::string here = with(kBase, "## Finish", "## Repair\n1. Drain.\n\n## Finish");
  const std::string there = with(kBase, "## Finish", "## Parts\nThe old one.\n\n## Finish");
  const std::string both = merged(here, there);
  CHECK(both.find("## Repair\n1. Drain.\n\n") != std::string::npos);
  CHECK(both.find("## Parts\nThe old one.\n\n") != std::string::npos);
  // At the end of a file that has no last line ending.
  const std::string bare = kBase.substr(0, kBase.size() - 1);
  CHECK(merged(bare + "\n\n## Background\nOne.\n", with(kBase, "10 N", "9 N")) ==
        with(kBase, "10 N", "9 N") + "\n## Background\nOne.\n");
}

TEST_CASE("what both changed in different ways is a conflict, and both sides are told") {
  CHECK(conflicts(with(kBase, "at idle", "at rest"), with(kBase, "at idle", "when idling")) ==
        "title; ");
  CHECK(conflicts(with(kBase, "Low tank", "Empty tank"), with(kBase, "Low tank", "Half a tank")) ==
        "Symptom; ");
  // An entry is one statement: its thread and its torque belong together.
  const std::string thread = with(kBase, "M6x1.0", "M8x1.25");
  const std::string torque = with(kBase, "10 N", "9 N");
  CHECK(conflicts(thread, torque) == "Fasteners / Pump bolts; ");
  // Taken out here, changed there.
  const std::string less =
      with(kBase, "### Crank pulley bolt\n- torque: 60 N\xC2\xB7m + 90\xC2\xB0\n", "");
  CHECK(conflicts(less, with(kBase, "60 N", "65 N")) == "Fasteners / Crank pulley bolt; ");
  const pack::Merged kept = pack::merge_texts(kBase, less, with(kBase, "60 N", "65 N"));
  CHECK(kept.text.find("65 N") != std::string::npos);
  // The same with the whole section gone: the entry keeps its heading.
  const std::size_t from = kBase.find("## Fasteners");
  std::string gone = kBase;
  gone.erase(from, kBase.find("## Finish") - from);
  const pack::Merged heading = pack::merge_texts(kBase, gone, with(kBase, "60 N", "65 N"));
  CHECK(places(heading) == "Fasteners / Crank pulley bolt; ");
  CHECK(heading.text.find("## Fasteners\n### Crank pulley bolt\n") != std::string::npos);

  const pack::Merged told = pack::merge_texts(kBase, thread, torque);
  REQUIRE(told.conflicts.size() == 1);
  CHECK(told.conflicts[0].base.find("M6x1.0") != std::string::npos);
  CHECK(told.conflicts[0].ours.find("M8x1.25") != std::string::npos);
  CHECK(told.conflicts[0].theirs.find("9 N") != std::string::npos);
  CHECK(told.text == thread);
}

TEST_CASE("with both sides shown, the marks of version control stand around them") {
  const pack::Merged both = pack::merge_texts(
      kBase, with(kBase, "at idle", "at rest"),
      with(with(kBase, "at idle", "when idling"), "Bleed at", "Fill at"), pack::InConflict::both);
  CHECK(both.text.find("<<<<<<< ours\ntitle: Heater cold at rest\n=======\n"
                       "title: Heater cold when idling\n>>>>>>> theirs\n") != std::string::npos);
  CHECK(both.text.find("Fill at the heater hose.") != std::string::npos);
}

TEST_CASE("differences are told section by section, blank lines are none") {
  const std::string other =
      with(with(with(kBase, "10 N", "9 N"), "\n## Finish\nBleed at the heater hose.\n", ""),
           "- 2026-05-02 | first\n", "- 2026-05-02 | first\n\n\n## Verify\nAgain.\n");
  const auto found = pack::differences(kBase, other);
  std::string all;
  for (const pack::Difference& one : found)
    all += one.where + (one.ours.empty() ? "+" : one.theirs.empty() ? "-" : "~") + " ";
  CHECK(all == "Fasteners / Pump bolts~ Finish- Verify+ ");
  CHECK(pack::differences(kBase, kBase).empty());
  CHECK(pack::differences("", "").empty());
}

TEST_CASE("records are joined line by line, and none is lost") {
  const std::string ours = "id,when,kind,end\n1,a,outcome,.\n2,b,outcome,.\n";
  const std::string theirs = "id,when,kind,end\n1,a,outcome,.\n3,c,outcome,.";
  CHECK(pack::merge_records(ours, theirs) ==
        "id,when,kind,end\n1,a,outcome,.\n2,b,outcome,.\n3,c,outcome,.\n");
  CHECK(pack::merge_records("", theirs) == theirs + "\n");
  CHECK(pack::merge_records(ours, "") == ours);
}

TEST_CASE("pairs of equal lines are a longest common subsequence") {
  std::mt19937 dice(7);
  const auto draw = [&] {
    std::vector<std::string> lines;
    const std::size_t count = dice() % 12;
    for (std::size_t i = 0; i < count; ++i)
      lines.emplace_back(1, static_cast<char>('a' + dice() % 3));
    return lines;
  };
  for (int round = 0; round < 2000; ++round) {
    const auto a = draw();
    const auto b = draw();
    const auto found = pack::matches(a, b);
    // The textbook table, as a second opinion.
    std::vector<std::vector<std::size_t>> table(a.size() + 1,
                                                std::vector<std::size_t>(b.size() + 1, 0));
    for (std::size_t i = a.size(); i-- > 0;) {
      for (std::size_t j = b.size(); j-- > 0;) {
        table[i][j] =
            a[i] == b[j] ? table[i + 1][j + 1] + 1 : std::max(table[i + 1][j], table[i][j + 1]);
      }
    }
    REQUIRE(found.size() == table[0][0]);
    for (std::size_t i = 0; i < found.size(); ++i) {
      REQUIRE(a[found[i].first] == b[found[i].second]);
      if (i > 0) {
        REQUIRE(found[i].first > found[i - 1].first);
        REQUIRE(found[i].second > found[i - 1].second);
      }
    }
  }
}

TEST_CASE("whatever two people do to a tip, no line that one of them wrote is lost unsaid") {
  std::mt19937 dice(11);
  int clean = 0;
  int torn = 0;
  int written = 0;
  const auto edited = [&](const std::string& who, std::vector<std::string>& added) {
    auto lines = pack::lines_with_ends(kBase);
    const std::size_t edits = 1 + dice() % 4;
    for (std::size_t i = 0; i < edits; ++i) {
      const std::size_t at = dice() % lines.size();
      const std::string mark = who + std::to_string(++written);
      const std::string plain(pack::bare(lines[at]));
      switch (dice() % 5) {
        case 0:
          if (plain == "---" || plain.starts_with("#") || plain.ends_with(':')) break;
          lines[at] = plain + " " + mark + "\n";
          added.push_back(mark);
          break;
        case 1:
          lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at) + 1, "- row " + mark + "\n");
          added.push_back(mark);
          break;
        case 2:
          lines.insert(lines.end(), "\n## Section " + mark + "\nWords " + mark + "\n");
          added.push_back(mark);
          break;
        case 3:
          lines.insert(lines.end(), "### Entry " + mark + "\n- torque: 5\n");
          added.push_back(mark);
          break;
        default:
          if (plain == "---" || plain.ends_with(':')) break;
          lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
          break;
      }
    }
    std::string text;
    for (const std::string& line : lines) text += line;
    return text;
  };
  for (int round = 0; round < 3000; ++round) {
    std::vector<std::string> added;
    std::vector<std::string> theirs_added;
    const std::string ours = edited("o", added);
    const std::string theirs = edited("t", theirs_added);
    const pack::Merged one = pack::merge_texts(kBase, ours, theirs);
    // A mark that a later edit of the same person took out again is not looked for.
    std::string told = one.text;
    for (const pack::Difference& conflict : one.conflicts) told += conflict.ours + conflict.theirs;
    for (const std::string& mark : added) {
      if (ours.find(mark) != std::string::npos) REQUIRE(told.find(mark) != std::string::npos);
    }
    for (const std::string& mark : theirs_added) {
      if (theirs.find(mark) != std::string::npos) REQUIRE(told.find(mark) != std::string::npos);
    }
    if (one.conflicts.empty()) {
      ++clean;
      const pack::Merged other = pack::merge_texts(kBase, theirs, ours);
      REQUIRE_MESSAGE(other.conflicts.empty(), "OURS\n", ours, "\nTHEIRS\n", theirs, "\nAT ",
                      places(other));
      CHECK(other.text == one.text);
      // Merging what is merged already changes nothing.
      CHECK(pack::merge_texts(ours, one.text, ours).text == one.text);
      CHECK(pack::merge_texts(theirs, one.text, theirs).text == one.text);
    } else {
      ++torn;
    }
  }
  CHECK(clean > 500);
  CHECK(torn > 200);
}

TEST_CASE("a person takes their side place by place") {
  std::string theirs = with(kBase, "10 N\xC2\xB7m", "12 N\xC2\xB7m");
  theirs = with(theirs, "Bleed at the heater hose.", "Bleed with the nose up.");
  theirs = with(theirs, "## Corrections\n",
                "## Verify\n### No bubbles\n- expect: no bubbles\n\n## Corrections\n");
  const std::vector<pack::Difference> places = pack::differences(kBase, theirs);
  REQUIRE(places.size() == 4);  // bolts, Finish, the heading of Verify, its entry
  CHECK(pack::combine(kBase, theirs, {}) == kBase);
  CHECK(pack::combine(kBase, theirs, {0, 1, 2, 3}) == theirs);
  const auto at = [&](const std::string& where) {
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (places[i].where == where) return i;
    }
    FAIL(where);
    return std::size_t{0};
  };
  CHECK(pack::combine(kBase, theirs, {at("Finish")}) ==
        with(kBase, "Bleed at the heater hose.", "Bleed with the nose up."));
  CHECK(pack::combine(kBase, theirs, {at("Fasteners / Pump bolts")}) ==
        with(kBase, "10 N\xC2\xB7m", "12 N\xC2\xB7m"));
  // An entry that is taken brings its section's heading along.
  const std::string verified = pack::combine(kBase, theirs, {at("Verify / No bubbles")});
  CHECK(verified.find("## Verify\n### No bubbles\n") != std::string::npos);
  CHECK(verified.find("12 N") == std::string::npos);
  // The other way round each place is left or taken out.
  CHECK(pack::combine(theirs, kBase, {}) == theirs);
  CHECK(pack::combine(theirs, kBase, {0, 1, 2, 3}) == kBase);
}
