#include "search/title.h"

#include <doctest/doctest.h>

#include <string>

using baylore::search::Span;
using baylore::search::spans_of;

namespace {

// The stretches with brackets around them.
std::string marked(const std::string& title, std::vector<int> positions) {
  std::string text = title;
  const std::vector<Span> spans = spans_of(title, std::move(positions));
  for (auto span = spans.rbegin(); span != spans.rend(); ++span) {
    text.insert(span->to, "]");
    text.insert(span->from, "[");
  }
  return text;
}

}  // namespace

TEST_CASE("words of a title by their number, as they were authored") {
  CHECK(marked("Heater cold at idle", {0, 3}) == "[Heater] cold at [idle]");
  CHECK(marked("Seal-kit: P0128, leaks", {1, 2}) == "Seal-[kit]: [P0128], leaks");
  CHECK(marked("Stra\xC3\x9F"
               "e K\xC3\xBChlmittel 3,6",
               {0, 1, 3}) ==
        "[Stra\xC3\x9F"
        "e] [K\xC3\xBChlmittel] 3,[6]");
  // A letter with an accent of its own code point is one word; full-width forms are letters.
  CHECK(marked("Cafe\xCC\x81 noir", {0}) == "[Cafe\xCC\x81] noir");
  CHECK(marked("\xEF\xBC\xA1"
               "C warm",
               {0, 1}) ==
        "[\xEF\xBC\xA1"
        "C] [warm]");
  CHECK(marked("turn 1\xC2\xBD turns", {2, 3, 4}) == "turn 1[\xC2\xBD] [turns]");
  CHECK(marked("cold cold", {1, 1, 0}) == "[cold] [cold]");
  CHECK(marked("short", {4, -1}) == "short");
  CHECK(marked("", {0}).empty());
  CHECK(marked("bad \xFF byte", {1}) == "bad \xFF [byte]");
}
