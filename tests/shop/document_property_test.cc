// What must hold for every document: random ones, drawn from the pieces people write and the pieces
// that hurt, with endings and marks mixed.
#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "shop/document.h"
#include "shop/tip.h"

using namespace baylore::shop;

namespace {

using Lines = std::vector<std::string>;

class Drawer {
 public:
  explicit Drawer(unsigned seed) : random_(seed) {}
  std::size_t below(std::size_t n) { return random_() % n; }

  std::string document() {
    static const Lines kFront = {"title: Heater: cold",
                                 "codes:",
                                 "  - P0128",
                                 "- P0125",
                                 "id: \"x\"",
                                 "lang: 'en'",
                                 "Title: twice",
                                 "# comment",
                                 "",
                                 "no colon",
                                 "  deep: x",
                                 "when:   ",
                                 "fits:",
                                 "  - Corvane | Hauler | 2014-2018",
                                 "key:glued",
                                 "\xFF: x",
                                 "a b: c",
                                 "---x"};
    static const Lines kBody = {"## Symptom",
                                "## Checks",
                                "### One",
                                "- check: one",
                                "- expect: >= 95 kPa",
                                "text",
                                "",
                                "  ",
                                "```",
                                "~~~~",
                                "~~~",
                                "<!--",
                                "-->",
                                "# Title",
                                "#### deep",
                                "##Glued",
                                "   ## Indented ##",
                                "    ## code",
                                "| a | b |",
                                "|---|---|",
                                "| 1 | 2 |",
                                "![p](p.png)",
                                "- mark 1: 0.4 0.6 x",
                                "1. step",
                                "   more",
                                "---",
                                "...",
                                "\xFF\xFE",
                                "a\tb\v",
                                "## Corrections",
                                "- 2026-05-02 | x",
                                "## Own",
                                "tail  ",
                                "## Fasteners",
                                "> quote"};
    std::string out;
    if (below(3) == 0) out += "\xEF\xBB\xBF";
    if (below(4) != 0) {
      out += "---" + ending();
      for (std::size_t n = below(8); n > 0; --n) out += kFront[below(kFront.size())] + ending();
      if (below(6) != 0) out += "---" + ending();
    }
    for (std::size_t n = below(16); n > 0; --n) out += kBody[below(kBody.size())] + ending();
    if (below(3) == 0 && !out.empty() && out.back() == '\n') out.pop_back();
    return out;
  }

  std::string words() {
    static const Lines kWords = {"",      "Heater", "No",   "0420",     "a: b",        " x ",
                                 "\"q\"", "'q'",    "- x",  "#",        "1.50",        "é",
                                 "a\nb",  "x # y",  "[a]",  "~",        "back\\slash", "12:30",
                                 "...",   "---",    "\xFF", "a \"b\" c"};
    return kWords[below(kWords.size())];
  }

 private:
  std::string ending() { return below(3) == 0 ? "\r\n" : "\n"; }
  std::mt19937 random_;
};

// With their endings, without the byte-order mark.
Lines lines_of(const std::string& bytes) {
  Lines out;
  for (std::size_t at = bytes.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0; at < bytes.size();) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size() - 1);
    out.push_back(bytes.substr(at, end - at + 1));
    at = end + 1;
  }
  return out;
}

// How many lines of `before` are no longer there, in order: what the longest common subsequence
// leaves. A last line that only got its missing ending is not lost.
std::size_t lines_lost(const std::string& before, const std::string& after) {
  const Lines a = lines_of(before);
  const Lines b = lines_of(after);
  std::vector<std::vector<std::size_t>> common(a.size() + 1,
                                               std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = a.size(); i-- > 0;) {
    for (std::size_t j = b.size(); j-- > 0;) {
      const bool same =
          b[j] == a[i] || (i + 1 == a.size() && (b[j] == a[i] + "\n" || b[j] == a[i] + "\r\n"));
      common[i][j] = same ? common[i + 1][j + 1] + 1 : std::max(common[i + 1][j], common[i][j + 1]);
    }
  }
  return a.size() - common[0][0];
}

std::string without_breaks(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  std::replace(text.begin(), text.end(), '\r', ' ');
  return text;
}

constexpr int kRounds = 20000;

}  // namespace

TEST_CASE("reading never fails, and an untouched document is byte for byte the file") {
  Drawer draw(1);
  for (int round = 0; round < kRounds; ++round) {
    const std::string bytes = draw.document();
    const Document d = Document::parse(bytes);
    REQUIRE(d.bytes() == bytes);
    const int count = static_cast<int>(lines_of(bytes).size()) + 1;
    for (const Problem& p : d.problems()) {
      REQUIRE(p.line >= 1);
      REQUIRE(p.line <= count);
      REQUIRE(p.column >= 1);
    }
    const Tip tip = read_tip(d, "tips/x.md");
    for (const Finding& f : tip.findings) {
      REQUIRE(f.line >= 1);
      REQUIRE(f.line <= count);
    }
  }
}

TEST_CASE("any bytes at all are survived") {
  std::mt19937 random(2);
  for (int round = 0; round < 5000; ++round) {
    std::string bytes = round % 2 == 0 ? "---\n" : "";
    for (std::size_t n = random() % 200; n > 0; --n) {
      bytes += random() % 3 == 0 ? "\n-#`|: "[random() % 7] : static_cast<char>(random());
    }
    const Document d = Document::parse(bytes);
    REQUIRE(d.bytes() == bytes);
    static_cast<void>(read_tip(d, "tips/x.md"));
  }
}

TEST_CASE(
    "a value that was set is read back, costs only its own lines, and setting it again changes "
    "nothing") {
  Drawer draw(3);
  for (int round = 0; round < kRounds; ++round) {
    const std::string bytes = draw.document();
    Document d = Document::parse(bytes);
    static const Lines kKeys = {"title", "id", "lang", "own", "when", "codes"};
    const std::string key = kKeys[draw.below(kKeys.size())];
    const std::string value = draw.words();
    const Field* old = d.field(key);
    const std::size_t own = old == nullptr ? 0 : 1 + old->items.size();
    d.set_value(key, value);
    CAPTURE(bytes);
    CAPTURE(key);
    CAPTURE(value);
    REQUIRE(d.value(key) == without_breaks(value));
    REQUIRE(d.field(key)->items.empty());
    REQUIRE(lines_lost(bytes, d.bytes()) <= own);
    const std::string once = d.bytes();
    d.set_value(key, value);
    REQUIRE(d.bytes() == once);
  }
}

TEST_CASE("a list that was set is read back and costs only its own lines") {
  Drawer draw(4);
  for (int round = 0; round < kRounds; ++round) {
    const std::string bytes = draw.document();
    Document d = Document::parse(bytes);
    const std::string key = draw.below(2) == 0 ? "codes" : "fits";
    Lines items;
    for (std::size_t n = draw.below(4); n > 0; --n) items.push_back(draw.words());
    std::size_t own = 0;
    for (const Field& field : d.front()) {
      if (field.key == key && (own == 0 || items.empty())) own += 1 + field.items.size();
    }
    d.set_list(key, items);
    CAPTURE(bytes);
    Lines expected = items;
    std::transform(expected.begin(), expected.end(), expected.begin(), without_breaks);
    REQUIRE(d.list(key) == expected);
    REQUIRE(lines_lost(bytes, d.bytes()) <= own);
    const std::string once = d.bytes();
    d.set_list(key, items);
    REQUIRE(d.bytes() == once);
  }
}

TEST_CASE("a section that was set is read back, and every other section stays as it was") {
  Drawer draw(5);
  static const Lines kBodies = {"One line.", "One.\n\nTwo.", "- a\n- b",   "### E\n- k: v\ntext",
                                "",          "x  \ny",       "\n\n z \n\n"};
  for (int round = 0; round < kRounds; ++round) {
    const std::string bytes = draw.document();
    const Document before = Document::parse(bytes);
    Document d = before;
    static const Lines kHeadings = {"Symptom", "Checks", "Repair", "Own", "Corrections", "Another"};
    const std::string heading = kHeadings[draw.below(kHeadings.size())];
    std::string key = heading;
    key[0] = static_cast<char>(key[0] - 'A' + 'a');
    const std::string body = kBodies[draw.below(kBodies.size())];
    d.set_section(heading, body);
    CAPTURE(bytes);
    CAPTURE(heading);
    CAPTURE(body);
    const auto first = [&](const Section& section) { return &section == before.section(key); };
    Lines others;
    for (const Section& s : before.sections()) {
      if (!first(s)) others.push_back(s.heading + "\n" + s.body);
    }
    Lines now;
    for (const Section& s : d.sections()) {
      if (body.empty() || &s != d.section(key)) now.push_back(s.heading + "\n" + s.body);
    }
    if (!body.empty()) REQUIRE(d.section(key)->body == (body == "\n\n z \n\n" ? " z " : body));
    if (!body.empty() && before.section(key) == nullptr) {
      // A new section may have to close a code block that ran to the end of the file.
      REQUIRE(now.size() == others.size());
    } else {
      REQUIRE(now == others);
    }
    REQUIRE(d.front().size() == before.front().size());
    const std::string once = d.bytes();
    d.set_section(heading, body);
    if (!body.empty()) REQUIRE(d.bytes() == once);
  }
}

TEST_CASE("an appended line ends its section and no line is lost") {
  Drawer draw(6);
  for (int round = 0; round < kRounds; ++round) {
    const std::string bytes = draw.document();
    Document d = Document::parse(bytes);
    d.append_to_section("Corrections", "- 2026-05-02 | y | Z");
    CAPTURE(bytes);
    const Section* s = d.section("corrections");
    REQUIRE(s != nullptr);
    REQUIRE(s->body.size() >= 20);
    REQUIRE(s->body.substr(s->body.size() - 20) == "- 2026-05-02 | y | Z");
    REQUIRE(lines_lost(bytes, d.bytes()) == 0);
  }
}
