#include "viewer/ui/prose.h"

#include <doctest/doctest.h>

namespace {

using baylore::viewer::plain_of;
using baylore::viewer::prose_of;
using baylore::viewer::ProseBlock;
using baylore::viewer::Run;
using baylore::viewer::runs_of;

std::string text_of(const ProseBlock& block) {
  std::string out;
  for (const Run& run : block.runs) out += run.bold ? "[" + run.text + "]" : run.text;
  return out;
}

}  // namespace

TEST_CASE("paragraphs, strong words and line breaks") {
  const auto blocks =
      prose_of("Low tank **each** morning,\nheater _cold_.\n\nNo puddle.\\\nIt dries.");
  REQUIRE(blocks.size() == 2);
  CHECK(blocks[0].kind == ProseBlock::Kind::paragraph);
  CHECK(text_of(blocks[0]) == "Low tank [each] morning, heater [cold].");
  CHECK(text_of(blocks[1]) == "No puddle.\nIt dries.");
  CHECK(blocks[0].depth == 0);
  CHECK(blocks[0].marker.empty());
}

TEST_CASE("lists keep their marks, numbers and depth") {
  const auto blocks =
      prose_of("3. Drain.\n4. Lift:\n   - jack\n   - stands\n5. Pull.\n\n- one\n- two\n");
  REQUIRE(blocks.size() == 7);
  const std::string kMarks[] = {"3.", "4.", "•", "•", "5.", "•", "•"};
  const int kDepths[] = {1, 1, 2, 2, 1, 1, 1};
  const std::string kTexts[] = {"Drain.", "Lift:", "jack", "stands", "Pull.", "one", "two"};
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    CAPTURE(i);
    CHECK(blocks[i].kind == ProseBlock::Kind::item);
    CHECK(blocks[i].marker == kMarks[i]);
    CHECK(blocks[i].depth == kDepths[i]);
    CHECK(text_of(blocks[i]) == kTexts[i]);
  }
}

TEST_CASE("an item's second paragraph has no mark of its own") {
  const auto blocks = prose_of("1. First.\n\n   More of it.\n\n2. Second.\n");
  REQUIRE(blocks.size() == 3);
  CHECK(blocks[0].marker == "1.");
  CHECK(blocks[1].marker.empty());
  CHECK(blocks[1].depth == 1);
  CHECK(text_of(blocks[1]) == "More of it.");
  CHECK(blocks[2].marker == "2.");
}

TEST_CASE("tables become rows, the heads bold") {
  const auto blocks =
      prose_of("| gap | shim |\n| --- | --- |\n| 0.2 mm | 2.1 |\n| 0.3 mm | 2.2 |\n");
  REQUIRE(blocks.size() == 3);
  for (const ProseBlock& block : blocks) CHECK(block.kind == ProseBlock::Kind::row);
  CHECK(text_of(blocks[0]) == "[gap   shim   ]");
  CHECK(text_of(blocks[1]) == "0.2 mm   2.1   ");
}

TEST_CASE("pictures and their marks stand elsewhere") {
  const std::string text =
      "Behind the pulley.\n\n![Pump from **below**](pump.png)\n- mark 1: 0.42 0.61 weep "
      "hole\n\nMirror.";
  const auto blocks = prose_of(text);
  REQUIRE(blocks.size() == 2);
  CHECK(text_of(blocks[0]) == "Behind the pulley.");
  CHECK(text_of(blocks[1]) == "Mirror.");
  CHECK(plain_of(text).find("Pump") == std::string::npos);
  CHECK(plain_of(text).find("0.42") == std::string::npos);
  // A picture within a sentence leaves the sentence.
  CHECK(plain_of("See ![x](x.png)here.") == "See here.");
}

TEST_CASE("HTML, entities and code are shown as they stand") {
  CHECK(plain_of("a <b>c</b> <!-- d --> &amp; &#65;") == "a <b>c</b> <!-- d --> &amp; &#65;");
  const auto blocks = prose_of("```\nkey  = 1\n```\n");
  REQUIRE(blocks.size() == 1);
  CHECK(blocks[0].kind == ProseBlock::Kind::code);
  CHECK(text_of(blocks[0]).find("key  = 1") != std::string::npos);
}

TEST_CASE("headings are bold blocks") {
  const auto blocks = prose_of("#### Trap\nThe foot breaks.");
  REQUIRE(blocks.size() == 2);
  CHECK(blocks[0].kind == ProseBlock::Kind::heading);
  CHECK(text_of(blocks[0]) == "[Trap]");
}

TEST_CASE("one line of it has no line ends and keeps its numbers") {
  CHECK(plain_of("One.\nTwo.\n\nThree.") == "One. Two. Three.");
  CHECK(plain_of("1. Drain.\n2. Fill.\n- bolt") == "1. Drain. 2. Fill. bolt");
  CHECK(plain_of("").empty());
  CHECK(prose_of("\n\n").empty());
  CHECK(prose_of("![only](a.png)").empty());
}

TEST_CASE("whatever is typed is taken: nothing is lost of a plain word") {
  for (const char* odd : {"**", "|", "| a |\n|--|", "1.", "- ", "> > >", "[x](", "![", "***a**b*",
                          "\t\tword", "a\\", "~~~", "<", "&", "\xFF\xFE", "- - - -", "# #"}) {
    CAPTURE(odd);
    const std::string text = std::string("before\n\n") + odd + "\n\nafter\n";
    const std::string plain = plain_of(text);
    CHECK(plain.starts_with("before"));
    CHECK(plain.find("after") != std::string::npos);
  }
}
