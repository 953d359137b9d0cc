// What a working sheet says, and its essential text cut for codes.
#include <doctest/doctest.h>

#include "sheet/codes.h"
#include "sheet/essential.h"
#include "sheet/shop_tips.h"

using namespace baylore;
using namespace baylore::sheet;
using baylore::sheet::test::tip_of;

namespace {

constexpr const char* kTip =
    "---\n"
    "id: pump\n"
    "title: Heater cold at idle\n"
    "fits:\n"
    "  - Corvane | Hauler | 2014-2018 | 3.6 V6\n"
    "codes:\n"
    "  - P0128\n"
    "system: cooling\n"
    "component: coolant pump\n"
    "author: R. Okoro\n"
    "written: 2026-03-14\n"
    "---\n\n"
    "## Checks\n"
    "### Pressure left after 10 minutes\n"
    "- check: hold\n"
    "- minutes: 12\n"
    "- access: undertray 6\n"
    "- valid: engine below 30 \u00B0C\n"
    "- expect: >= 95 kPa\n"
    "Pump to 100 kPa. Why: the seal leaks only while cold.\n"
    "### Hose\n"
    "- expect: soft\n\n"
    "## Cautions\n- Never open it **hot**.\n\n"
    "## Fasteners\n"
    "### Pump bolts\n"
    "- count: 5\n"
    "- thread: M6x1.0\n"
    "- class: 8.8\n"
    "- torque: 5 N\u00B7m; 10 N\u00B7m\n"
    "- sequence: 1 4 2 5 3\n"
    "- reuse: no\n\n"
    "## Parts\n### Halden 88-214\nFits without the spacer.\n\n"
    "## Verify\n### Pressure again\n- again: hold\n";

// The codes' texts put together as codes.h says.
std::string together(const std::vector<std::string>& parts) {
  if (parts.size() == 1) return parts.front();
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::string head = std::to_string(i + 1) + "/" + std::to_string(parts.size()) + "\n";
    REQUIRE(parts[i].starts_with(head));
    const std::string body = parts[i].substr(head.size());
    out += (i == 0 ? "" : "\n") + body;
  }
  for (std::size_t at = 0; (at = out.find("\n... ", at)) != std::string::npos;) out.erase(at, 5);
  return out;
}

}  // namespace

TEST_CASE("the essential text says all that must not be missed, cautions first and in full") {
  const shop::Tip tip = tip_of(kTip);
  const std::string text = essential_text(sheet_of({tip}));
  CHECK(text ==
        "Heater cold at idle\n"
        "Corvane Hauler 2014\u20132018, 3.6 V6\n"
        "P0128\n"
        "== Cautions ==\n"
        "! Hot coolant under pressure: open below 40 \u00B0C. The fan can start with the engine "
        "off.\n"
        "! Never open it hot.\n"
        "== Checks ==\n"
        "1. Pressure left after 10 minutes: 95 kPa or more (13.8 psi or more) [engine below 30 "
        "\u00B0C]\n"
        "2. Hose: soft\n"
        "== Fasteners ==\n"
        "- Pump bolts (5 \u00D7 M6x1.0, 8.8): 5 N\u00B7m; 10 N\u00B7m = 44.3 lbf\u00B7in; 88.5 "
        "lbf\u00B7in; order 1 4 2 5 3; new every time\n"
        "== Parts ==\n"
        "- Halden 88-214\n"
        "== After the repair ==\n"
        "1. Pressure again: 95 kPa or more (13.8 psi or more) [engine below 30 \u00B0C]\n"
        "These are the shop's notes: the vehicle maker's service information, local codes and "
        "licensed practice decide.\n"
        "R. Okoro, 2026-03-14");
}

TEST_CASE("a tip without anything still says what it is, whom it fits and who decides") {
  const shop::Tip tip = tip_of("---\ntitle: Rattle\n---\n");
  CHECK(essential_text(sheet_of({tip})) == "Rattle\nFor all vehicles\n" + who_decides());
}

TEST_CASE("what was withdrawn, doubted or invented says so before its first caution") {
  shop::Tip tip = tip_of(kTip);
  tip.status = "withdrawn";
  tip.replaced_by = "better";
  shop::Settings settings;
  settings.demo = true;
  const std::vector<shop::Question> doubts{
      {"q1", "pump", "LA", "2026-05-02T10:00:00.000+00:00", "bolts said 14"},
      {"q2", "other", "RO", "2026-05-02T10:00:00.000+00:00", "not this tip"}};
  const Sheet sheet = sheet_of({tip, &settings, nullptr, nullptr, &doubts});
  REQUIRE(sheet.warnings.size() == 3);
  CHECK(sheet.warnings[0].find("Never use it on a vehicle") != std::string::npos);
  CHECK(sheet.warnings[1] == "Withdrawn: do not work by this tip. In its place: better");
  CHECK(sheet.warnings[2] == "Questioned by LA, 2026-05-02: bolts said 14");
  const std::string text = essential_text(sheet);
  CHECK(text.find("!! Withdrawn") < text.find("== Cautions =="));
}

TEST_CASE("a torque that does not fit its bolt is doubted on the sheet too") {
  const std::string text =
      "---\ntitle: Cover\n---\n\n## Fasteners\n### Cover bolts\n- thread: M8x1.25\n- class: 8.8\n"
      "- torque: 95 N\u00B7m\n### Clip\n- thread: M6x1.0\n- class: 8.8\n- torque: 9 N\u00B7m\n";
  const shop::Document document = shop::Document::parse(text);
  const shop::Tip tip = shop::read_tip(document, "tips/x.md");
  const shop::Findings findings = shop::check_tip(document, tip);
  const Sheet sheet = sheet_of({tip, nullptr, nullptr, &findings});
  REQUIRE(sheet.fasteners.size() == 2);
  CHECK(!sheet.fasteners[0].doubt.empty());
  CHECK(sheet.fasteners[1].doubt.empty());
  CHECK(essential_text(sheet).find("95 N\u00B7m = 70.1 lbf\u00B7ft; IN DOUBT: ") !=
        std::string::npos);
}

TEST_CASE("acceptance checks of a part's family stand with its last number") {
  const shop::Tip tip = tip_of(
      "---\ntitle: Cap\n---\n\n## Parts\n### Merrin MR-16401\n- family: cap\n### Ardmoor CP-12\n"
      "- family: cap\n### Halden 1\n");
  shop::PartBook book;
  book.add(shop::read_part(
      shop::Document::parse("---\nid: cap\ntitle: Cap\n---\n\n## Numbers\n### Merrin MR-16401\n\n"
                            "## Acceptance checks\n### Opens at\n- expect: 110 .. 130 kPa\n\n"
                            "## Look over\n### Seal\n- expect: soft\n"),
      "parts/cap.md"));
  const Sheet sheet = sheet_of({tip, nullptr, &book});
  REQUIRE(sheet.parts.size() == 3);
  CHECK(sheet.parts[0].acceptance.empty());
  REQUIRE(sheet.parts[1].acceptance.size() == 2);
  CHECK(sheet.parts[1].acceptance[0].expected.text() == "110 to 130 kPa (16 to 18.8 psi)");
  CHECK(sheet.parts[1].acceptance[1].expected.text() == "soft");
  CHECK(sheet.parts[2].acceptance.empty());
}

// U+202E turns what follows round: "01 m" behind it is read as "m 10".
TEST_CASE("nothing that turns, hides or breaks text comes through") {
  CHECK(clean("a\x01\x7F"
              "b\tc\nd") == "a  b c\nd");
  CHECK(clean("10\u202E N\u00B7m\u2066x\u2069") == "10 N\u00B7mx");
  CHECK(clean("\xC3(\xFF\xED\xA0\x80"
              "end") ==
        "\uFFFD(\uFFFD\uFFFD"
        "end");
  CHECK(clean("\u05E9\u05DC\u05D5\u05DD") == "\u05E9\u05DC\u05D5\u05DD");
  CHECK(clean_line("  a \n\n b\u2028c ") == "a b c");
  const auto paragraphs = paragraphs_of(
      "One **two**\nthree.\n\n![pump](pump.png)\n- mark 1: 0.4 0.6 hole\n\n1. first\n2. second\n");
  REQUIRE(paragraphs.size() == 3);
  CHECK(paragraphs[0].text == "One two three.");
  CHECK(paragraphs[1].marker == "1.");
  CHECK(paragraphs[2].text == "second");
}

TEST_CASE("a long text is cut at ends of lines into few codes of one size") {
  std::string text;
  for (int i = 0; i < 60; ++i)
    text += (i > 0 ? "\n" : "") + std::to_string(i) + std::string(40, 'x');
  const auto parts = cut_for_codes(text);
  REQUIRE(parts.size() == 4);
  CHECK(together(parts) == text);
  for (const std::string& part : parts) {
    CHECK(part.size() <= kCodeBytes);
    CHECK(part.size() > 560);
    const Code code = code_of(part, Spare::fifteen_percent);
    CHECK(code.side > 0);
    CHECK(code.side <= kDensestSide);
  }
  CHECK(cut_for_codes("short") == std::vector<std::string>{"short"});
  CHECK(cut_for_codes(std::string(kCodeBytes, 'a')).size() == 1);
  CHECK(cut_for_codes(std::string(kCodeBytes + 1, 'a')).size() == 2);
}

TEST_CASE("a line that no code holds is cut between words, or between characters") {
  std::string words = "first line\n! ";
  while (words.size() < 3000) words += "caution ";
  std::string unbroken;
  while (unbroken.size() < 3000) unbroken += "\u00B0";
  for (const std::string& text : {words + "end\nlast line", unbroken}) {
    const auto parts = cut_for_codes(text);
    CHECK(parts.size() >= 5);
    CHECK(together(parts) == text);
    for (const std::string& part : parts) {
      CHECK(part.size() <= kCodeBytes);
      CHECK(clean(part) == part);  // no character is torn
    }
  }
}

// ISO/IEC 18004 table 7: version 20 at level M holds 666 bytes; with 12 bits for ECI 26 (UTF-8)
// 664.
TEST_CASE("the densest code is version 20") {
  std::string full;
  while (full.size() + 2 <= kCodeBytes) full += "\u00B0";
  CHECK(code_of(full, Spare::fifteen_percent).side == kDensestSide);
  CHECK(code_of(std::string(666, 'a'), Spare::fifteen_percent).side == kDensestSide);
  CHECK(code_of(std::string(667, 'a'), Spare::fifteen_percent).side == kDensestSide + 4);
  CHECK(code_of(std::string(4000, 'a'), Spare::fifteen_percent).side == 0);
}
