#include "shop/document.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <ctime>

using namespace baylore::shop;
using Lines = std::vector<std::string>;

namespace {

const char* const kTip = R"(---
id: 01JD2Z6W0V4T9K3M8Q5XBN7RCE
title: Heater: cold at idle
make: No
codes:
  - P0128
  - "P0125"
when: [cold start]
---

Some words before.

# A heading

More words.

## Symptom
Low tank each morning.

## Checks
First the fast ones.

### Pressure left, engine cold
- check: coolant-hold-cold
- minutes: 12

- expect: >= 95 kPa
- tools:
  - tester
  - gauge

Pump to 100 kPa.
- not: a field any more

### Feel the hose
Just text.

```
## not a heading
### nor this
```

## Background ##
<!--
## hidden
-->
Why it happens.
)";

bool has_problem(const Document& document, int line, const std::string& rule) {
  return std::any_of(document.problems().begin(), document.problems().end(),
                     [&](const Problem& p) { return p.line == line && p.rule == rule; });
}

}  // namespace

TEST_CASE("front matter is read line by line, the value as it stands") {
  const Document d = Document::parse(kTip);
  CHECK(d.problems().empty());
  CHECK(d.value("title") == "Heater: cold at idle");
  CHECK(d.value("make") == "No");
  CHECK(d.value("when") == "[cold start]");
  CHECK(d.list("codes") == Lines{"P0128", "P0125"});
  CHECK(d.list("title") == Lines{"Heater: cold at idle"});
  CHECK(d.list("absent").empty());
  const Field* title = d.field("title");
  REQUIRE(title != nullptr);
  CHECK(title->line == 3);
  CHECK(title->column == 8);
  CHECK(d.field("codes")->items[1].line == 7);
  CHECK(d.field("codes")->items[1].column == 5);
}

TEST_CASE("sections, entries, fields and what stands between") {
  const Document d = Document::parse(kTip);
  CHECK(d.heading() == "A heading");
  CHECK(d.preamble() == "Some words before.\n\nMore words.");
  CHECK(d.preamble_line() == 11);
  REQUIRE(d.sections().size() == 3);
  CHECK(d.section("symptom")->body == "Low tank each morning.");
  const Section* checks = d.section("checks");
  REQUIRE(checks != nullptr);
  CHECK(checks->text == "First the fast ones.");
  CHECK(checks->text_line == 21);
  REQUIRE(checks->entries.size() == 2);
  const Entry& first = checks->entries[0];
  CHECK(first.name == "Pressure left, engine cold");
  CHECK(first.line == 23);
  CHECK(first.value("check") == "coolant-hold-cold");
  CHECK(first.value("expect") == ">= 95 kPa");
  CHECK(first.field("expect")->line == 27);
  CHECK(first.field("expect")->column == 11);
  REQUIRE(first.field("tools") != nullptr);
  CHECK(first.field("tools")->items.size() == 2);
  CHECK(first.text == "Pump to 100 kPa.\n- not: a field any more");
  CHECK(first.text_line == 32);
  CHECK(checks->entries[1].text == "Just text.\n\n```\n## not a heading\n### nor this\n```");
  const Section* background = d.section("background");
  REQUIRE(background != nullptr);
  CHECK(background->heading == "Background");
  CHECK(background->body == "<!--\n## hidden\n-->\nWhy it happens.");
}

TEST_CASE("a YAML writer's quotes come off, other quotes stay") {
  const Document d = Document::parse(
      "---\n"
      "a: \"He said \\\"no\\\" \\\\ \\u00e9\"\n"
      "b: 'it''s'\n"
      "c: \"Pump\" and \"hose\"\n"
      "d: 'Pump' and 'hose'\n"
      "e: \"\n"
      "f: \"bad \\q\"\n"
      "g: ''\n"
      "---\n");
  CHECK(d.value("a") == "He said \"no\" \\ \u00e9");
  CHECK(d.value("b") == "it's");
  CHECK(d.value("c") == "\"Pump\" and \"hose\"");
  CHECK(d.value("d") == "'Pump' and 'hose'");
  CHECK(d.value("e") == "\"");
  CHECK(d.value("f") == "\"bad \\q\"");
  CHECK(d.value("g").empty());
}

TEST_CASE("a broken front-matter line costs itself and says where and what to do") {
  const Document d = Document::parse(
      "---\n"
      "title: Heater\n"
      "no colon here\n"
      "  - orphan\n"
      "  - another\n"
      "  indented: x\n"
      "# a comment\n"
      "\n"
      "lang: en\n"
      "title: again\n"
      "---\n");
  CHECK(d.value("title") == "Heater");
  CHECK(d.value("lang") == "en");
  CHECK(d.list("title").size() == 1);
  REQUIRE(d.problems().size() == 3);
  CHECK(has_problem(d, 3, "front-matter"));
  CHECK(has_problem(d, 6, "front-matter"));
  CHECK(has_problem(d, 10, "repeated-key"));
  for (const Problem& p : d.problems()) {
    CHECK_FALSE(p.what.empty());
    CHECK_FALSE(p.remedy.empty());
  }
}

TEST_CASE("front matter without an end is its unbroken run of lines") {
  const Document d =
      Document::parse("---\ntitle: Heater\ncodes:\n  - P0128\n\nText.\n\n## Symptom\nCold.\n");
  CHECK(has_problem(d, 1, "front-matter"));
  CHECK(d.value("title") == "Heater");
  CHECK(d.list("codes") == Lines{"P0128"});
  CHECK(d.preamble() == "Text.");
  CHECK(d.section("symptom")->body == "Cold.");

  // A rule far below a section is a thematic break, not the end of front matter.
  const Document e = Document::parse("---\ntitle: Heater\n## Symptom\nCold.\n---\nMore.\n");
  CHECK(e.value("title") == "Heater");
  CHECK(e.section("symptom")->body == "Cold.\n---\nMore.");

  // And a thematic break at the top is no front matter at all.
  const Document f = Document::parse("---\n\nText.\n");
  CHECK(f.problems().empty());
  CHECK(f.front().empty());
  CHECK(f.preamble() == "---\n\nText.");
}

TEST_CASE("a file without front matter, an empty one, and only a mark") {
  CHECK(Document::parse("").sections().empty());
  CHECK(Document::parse("\xEF\xBB\xBF").preamble().empty());
  const Document d = Document::parse("# Title\n\nText.");
  CHECK(d.heading() == "Title");
  CHECK(d.preamble() == "Text.");
  CHECK(d.preamble_line() == 3);
}

TEST_CASE("carriage returns, a byte-order mark, trailing blanks and a missing end are accepted") {
  const Document d = Document::parse(
      "\xEF\xBB\xBF---  \r\ntitle: Heater  \r\ncodes:\r\n  - P0128 \r\n---\r\n## Checks  \r\n### "
      "One \r\n- minutes: 5 \r\nText.");
  CHECK(d.problems().empty());
  CHECK(d.value("title") == "Heater");
  CHECK(d.list("codes") == Lines{"P0128"});
  REQUIRE(d.section("checks") != nullptr);
  REQUIRE(d.section("checks")->entries.size() == 1);
  CHECK(d.section("checks")->entries[0].name == "One");
  CHECK(d.section("checks")->entries[0].value("minutes") == "5");
  CHECK(d.section("checks")->entries[0].text == "Text.");
  CHECK(d.section("checks")->body == "### One \n- minutes: 5 \nText.");
}

TEST_CASE("a table in a section of entries is read as entries and stays in the body") {
  const std::string text =
      "## Fasteners\n"
      "As measured.\n"
      "\n"
      "| fastener | count | torque |\n"
      "| --- | :-: | --- |\n"
      "| Pump bolts | 5 | 5 N·m; 10 N·m |\n"
      "| Pulley \\| bolt | | 60 N·m + 90° |\n"
      "\n"
      "After.\n"
      "### Cap\n"
      "- torque: 3 N·m\n"
      "\n"
      "| a | b |\n"
      "|---|---|\n"
      "| 1 | 2 |\n";
  const Document d = Document::parse(text);
  const Section* s = d.section("fasteners");
  REQUIRE(s != nullptr);
  REQUIRE(s->entries.size() == 3);
  CHECK(s->entries[0].name == "Pump bolts");
  CHECK(s->entries[0].line == 6);
  CHECK(s->entries[0].value("torque") == "5 N·m; 10 N·m");
  CHECK(s->entries[0].field("torque")->column == 20);
  CHECK(s->entries[1].name == "Pulley | bolt");
  CHECK(s->entries[1].field("count") == nullptr);
  CHECK(s->entries[2].name == "Cap");
  CHECK(s->entries[2].text == "| a | b |\n|---|---|\n| 1 | 2 |");
  CHECK(s->text == "As measured.\n\nAfter.");
  CHECK(s->body.find("| Pump bolts |") != std::string::npos);
  CHECK(d.bytes() == text);
}

TEST_CASE("a table anywhere else is prose, unless its first column is headed name") {
  const Document d = Document::parse(
      "## Background\n| year | rate |\n|---|---|\n| 1 | 2 |\n\n## Own\n| Name | rate "
      "|\n|---|---|\n| x | 2 |\n");
  CHECK(d.section("background")->entries.empty());
  CHECK(d.section("background")->text == "| year | rate |\n|---|---|\n| 1 | 2 |");
  REQUIRE(d.section("own")->entries.size() == 1);
  CHECK(d.section("own")->entries[0].value("rate") == "2");
}

TEST_CASE("marks without a blank, an open code block and a second section are noticed") {
  const Document d = Document::parse("##Checks\ntext\n## Symptom\n## Symptom\n```\n## lost\n");
  CHECK(has_problem(d, 1, "heading"));
  CHECK(has_problem(d, 4, "repeated-section"));
  CHECK(has_problem(d, 5, "open-block"));
  CHECK(d.sections().size() == 2);
}

TEST_CASE("what is not UTF-8 is kept and located") {
  const Document d = Document::parse("---\ntitle: \xC3\xA9 caf\xE9\n---\n");
  REQUIRE(d.problems().size() == 1);
  CHECK(d.problems()[0].rule == "utf-8");
  CHECK(d.problems()[0].line == 2);
  CHECK(d.problems()[0].column == 13);
  CHECK(d.value("title") == "\xC3\xA9 caf\xE9");
}

// --- edits

TEST_CASE("a value is set on its own line, with its key, its ending and nothing else touched") {
  Document d = Document::parse("\xEF\xBB\xBF---\r\nTitle:  Old\r\nlang: en\n---\r\n\r\nText.\r\n");
  d.set_value("title", "New");
  CHECK(d.bytes() == "\xEF\xBB\xBF---\r\nTitle: New\r\nlang: en\n---\r\n\r\nText.\r\n");
  CHECK(d.value("title") == "New");
  const std::string before = d.bytes();
  d.set_value("lang", "en");
  CHECK(d.bytes() == before);
}

TEST_CASE("a new value goes after the keys that usually stand before it") {
  Document d = Document::parse("---\nid: x\ntitle: T\ncodes:\n  - P0128\nmine: 1\n---\nText.\n");
  d.set_value("status", "draft");
  d.set_value("component", "pump");
  d.set_value("own", "2");
  CHECK(d.bytes() ==
        "---\nid: x\ntitle: T\nstatus: draft\ncodes:\n  - P0128\ncomponent: pump\nmine: 1\nown: "
        "2\n---\nText.\n");
}

TEST_CASE("front matter is made when it is missing") {
  Document d = Document::parse("# Title\nText.");
  d.set_value("id", "x");
  CHECK(d.bytes() == "---\nid: x\n---\n\n# Title\nText.");
  CHECK(d.heading() == "Title");
  Document bom = Document::parse("\xEF\xBB\xBFText.\r\n");
  bom.set_value("id", "x");
  CHECK(bom.bytes() == "\xEF\xBB\xBF---\r\nid: x\r\n---\r\n\r\nText.\r\n");
  Document empty = Document::parse("");
  empty.set_value("id", "x");
  CHECK(empty.bytes() == "---\nid: x\n---\n");
}

TEST_CASE("an id is written into front matter that has no end") {
  Document d = Document::parse("---\ntitle: T\n\nText.\n");
  d.set_value("id", "x");
  CHECK(d.bytes() == "---\nid: x\ntitle: T\n\nText.\n");
  CHECK(d.value("id") == "x");
}

TEST_CASE("values a YAML reader would take for something else are quoted") {
  // YAML 1.2.2, chapters 7.3.3 (plain scalars) and 10.3 (core schema); YAML 1.1's yes and no as
  // well.
  struct Case {
    const char* value;
    const char* line;
  };
  for (const Case& c : {Case{"Heater: cold", "k: \"Heater: cold\""},
                        Case{"No", "k: \"No\""},
                        Case{"yes", "k: \"yes\""},
                        Case{"0420", "k: \"0420\""},
                        Case{"1.50", "k: \"1.50\""},
                        Case{"1e3", "k: \"1e3\""},
                        Case{"12:30", "k: \"12:30\""},
                        Case{"~", "k: \"~\""},
                        Case{"", "k: \"\""},
                        Case{"# 3", "k: \"# 3\""},
                        Case{"a #b", "k: \"a #b\""},
                        Case{"- x", "k: \"- x\""},
                        Case{"[x]", "k: \"[x]\""},
                        Case{"say \"no\"", "k: say \"no\""},
                        Case{"\"no\"", "k: \"\\\"no\\\"\""},
                        Case{"a\\b", "k: a\\b"},
                        Case{"*x", "k: \"*x\""},
                        Case{" x", "k: \" x\""},
                        Case{"95", "k: 95"},
                        Case{"0.42", "k: 0.42"},
                        Case{"2026-03-14", "k: 2026-03-14"},
                        Case{"-5 V", "k: -5 V"},
                        Case{"P0128", "k: P0128"},
                        Case{"a|b", "k: a|b"},
                        Case{"| b", "k: \"| b\""},
                        Case{"null", "k: \"null\""},
                        Case{"=", "k: \"=\""},
                        Case{"<<", "k: \"<<\""},
                        Case{"-0", "k: \"-0\""},
                        Case{"a\tb", "k: \"a\tb\""}}) {
    Document d = Document::parse("");
    d.set_value("k", c.value);
    CHECK(d.bytes() == std::string("---\n") + c.line + "\n---\n");
    CHECK(d.value("k") == c.value);
  }
}

TEST_CASE(
    "a key no front matter could hold changes nothing, a line break in a value becomes a blank") {
  Document d = Document::parse("---\ntitle: T\n---\n");
  const std::string before = d.bytes();
  for (const char* key : {"", "a:b", "a\nb", "-x", " a"}) d.set_value(key, "v");
  CHECK(d.bytes() == before);
  d.set_value("title", "one\r\ntwo");
  CHECK(d.bytes() == "---\ntitle: one  two\n---\n");
}

TEST_CASE("a list keeps the lines of the items that stay") {
  Document d = Document::parse(
      "---\ncodes:\n    - P0128 \r\n    # why\n    - \"P0125\"\n    - P0300\n---\n");
  d.set_list("codes", {"P0128", "P0420", "P0300"});
  CHECK(d.bytes() == "---\ncodes:\n    - P0128 \r\n    - P0420\n    # why\n    - P0300\n---\n");
  d.set_list("codes", {"P0128", "P0420", "P0300", "P0171"});
  CHECK(d.list("codes") == Lines{"P0128", "P0420", "P0300", "P0171"});
  d.set_list("codes", {});
  CHECK(d.bytes() == "---\n    # why\n---\n");
}

TEST_CASE("a value becomes a list, a list a value, and a new list is added") {
  Document d = Document::parse("---\ncodes: P0128\n---\n");
  d.set_list("codes", {"P0128"});
  CHECK(d.bytes() == "---\ncodes: P0128\n---\n");
  d.set_list("codes", {"P0128", "P0125"});
  CHECK(d.bytes() == "---\ncodes:\n  - P0128\n  - P0125\n---\n");
  d.set_value("codes", "P0300");
  CHECK(d.bytes() == "---\ncodes: P0300\n---\n");
  d.set_list("when", {"cold start", "No"});
  CHECK(d.bytes() == "---\ncodes: P0300\nwhen:\n  - cold start\n  - \"No\"\n---\n");
}

TEST_CASE("removing takes a key, its items and its repetitions") {
  Document d = Document::parse("---\na: 1\ncodes:\n  - P0128\nb: 2\na: 3\n---\nText.\n");
  d.remove("codes");
  d.remove("A");
  CHECK(d.bytes() == "---\nb: 2\n---\nText.\n");
}

TEST_CASE("a section's body changes where it changes") {
  Document d = Document::parse("## Symptom\r\n\r\nOne.\r\nTwo.\nThree.\r\n\r\n## Checks\r\nC.");
  d.set_section("symptom", "One.\nZwei.\nThree.\n");
  CHECK(d.bytes() == "## Symptom\r\n\r\nOne.\r\nZwei.\nThree.\r\n\r\n## Checks\r\nC.");
  d.set_section("Checks", "C.\nD.");
  CHECK(d.section("checks")->body == "C.\nD.");
  d.set_section("symptom", "");
  CHECK(d.bytes().substr(0, 10) == "## Checks\r");
}

TEST_CASE("a new section takes its usual place") {
  Document d =
      Document::parse("---\ntitle: T\n---\n\n## Symptom\nS.\n\n## Own\nO.\n\n## Repair\nR.\n");
  d.set_section("Checks", "C.");
  CHECK(d.bytes() ==
        "---\ntitle: T\n---\n\n## Symptom\nS.\n\n## Own\nO.\n\n## Checks\nC.\n\n## Repair\nR.\n");
  d.set_section("Corrections", "- x");
  d.set_section("Another", "A.");
  CHECK(d.bytes().substr(d.bytes().find("## Repair")) ==
        "## Repair\nR.\n\n## Corrections\n- x\n\n## Another\nA.\n");
  Document bare = Document::parse("Text");
  bare.set_section("Symptom", "Cold.");
  CHECK(bare.bytes() == "Text\n\n## Symptom\nCold.\n");
}

TEST_CASE("a line is appended to a section, which is made when it is missing") {
  Document d = Document::parse("## Corrections\n- one\n\n## Own\nO.\n");
  d.append_to_section("Corrections", "- two");
  CHECK(d.bytes() == "## Corrections\n- one\n- two\n\n## Own\nO.\n");
  d.append_to_section("Background", "Why.");
  CHECK(d.bytes() == "## Background\nWhy.\n\n## Corrections\n- one\n- two\n\n## Own\nO.\n");
  Document empty = Document::parse("## Corrections\n\n## Own\n");
  empty.append_to_section("Corrections", "- one");
  CHECK(empty.bytes() == "## Corrections\n- one\n\n## Own\n");
}

TEST_CASE("an open code block swallows no section that an edit writes") {
  Document d = Document::parse("## Symptom\nS.\n\n## Own\nO.\n");
  d.set_section("symptom", "```\nopen");
  CHECK(d.section("own") != nullptr);
  CHECK(d.section("symptom")->body == "```\nopen\n```");
  Document e = Document::parse("## Symptom\n<!-- open\n");
  e.set_section("Corrections", "- x");
  CHECK(e.section("corrections") != nullptr);
  Document f = Document::parse("## Corrections\n~~~~\ncode");
  f.append_to_section("Corrections", "- x");
  CHECK(f.bytes() == "## Corrections\n~~~~\ncode\n~~~~\n- x\n");
}

TEST_CASE("the limit on headings and fields is kept, and said") {
  const auto with = [](int entries) {
    std::string text = "## Checks\n";
    for (int i = 0; i < entries; ++i) text += "### x\n";
    return Document::parse(text);
  };
  const Document at = with(kMostParts - 1);
  CHECK(at.sections()[0].entries.size() == static_cast<std::size_t>(kMostParts) - 1);
  CHECK(at.problems().empty());
  const Document past = with(kMostParts);
  CHECK(past.sections()[0].entries.size() == static_cast<std::size_t>(kMostParts) - 1);
  CHECK(has_problem(past, kMostParts + 1, "size"));
}

TEST_CASE("16 MB of any one thing is read in linear time") {
  const auto seconds_for = [](std::string_view piece, std::size_t size) {
    std::string text = piece.front() == 'a' ? "---\n" : "## Checks\n";
    while (text.size() < size) text += piece;
    const std::clock_t start = std::clock();  // processor time: what else runs does not count
    const Document d = Document::parse(text);
    const std::clock_t took = std::clock() - start;
    CHECK(d.bytes() == text);
    return static_cast<double>(took) / CLOCKS_PER_SEC;
  };
  // Measured at about 0.1 s for 2 MB and 1 s for 16 MB; quadratic work would take minutes to hours.
  for (const std::string_view piece : {"#", "-", "\n", "| a | b |\n|---|---|\n"}) {
    CAPTURE(piece);
    CHECK(seconds_for(piece, 16U << 20U) < 20.0);
  }
  for (const std::string_view piece :
       {"## \n", "### x\n", "- ", "- a: b\n", "|", "```\n", "`", "<!--", "![](", "![", "a: b\n",
        "\xFF", ":", "---\n", "1. \n", "\r"}) {
    CAPTURE(piece);
    CHECK(seconds_for(piece, 2U << 20U) < 5.0);
  }
}
