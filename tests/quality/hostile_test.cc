// Bad part numbers, barcodes, part files and records beside good ones: each is refused or told in
// words, at its place, and the totals of the good data stay what they were.
#include <doctest/doctest.h>

#include <array>
#include <filesystem>
#include <map>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "quality/history.h"
#include "shop/check/check.h"
#include "shop/records.h"
#include "support/scratch.h"
#include "trade/gtin.h"
#include "trade/part_number.h"

using namespace baylore;
using namespace std::string_literals;

namespace {

const std::int64_t kToday = shop::instant_of("2026-07-01T00:00:00Z").value_or(0);

constexpr const char* kPump =
    "---\ntitle: Coolant pumps\ncomponent: coolant pump\nsystem: cooling\n---\n## Numbers\n"
    "### Halden 88-214\n- grade: aftermarket\n- price: 40\n- gtin: 9520000000011\n"
    "- supersedes: 88-213\n### Brevik A12-7\n- grade: original\n- price: 90\n";
constexpr const char* kRotor =
    "---\ntitle: Rotors\ncomponent: brake rotor\nsystem: brakes\n---\n## Numbers\n"
    "### Halden 41-7\n- grade: aftermarket\n### Tollan R-900\n- grade: original\n";

constexpr std::string_view kColumns =
    "id,when,kind,tip,who,text,refers,corrects,job,result,reason,used,part,odometer,minutes,make,"
    "model,year,engine,codes,order,end";

// One line of a record file, the columns a case is about.
struct Line {
  std::string id = "BAD1";
  std::string when = "2026-02-01T10:00:00Z";
  std::string kind = "outcome";
  std::string refers{}, corrects{};
  std::string result = "fixed";
  std::string reason{};
  std::string part = "Zenner Z-1";
  std::string odometer = "90000 km";
  std::string end = ".";

  [[nodiscard]] std::string csv() const {
    return shop::csv_line({id,        when,     kind,     "",       "BO",
                           "",        refers,   corrects, "",       kind == "outcome" ? result : "",
                           reason,    "",       part,     odometer, "",
                           "Corvane", "Hauler", "2016",   "3.6 V6", "",
                           "",        end});
  }
};

Line back(std::string refers) {
  Line line;
  line.kind = "comeback";
  line.refers = std::move(refers);
  line.reason = "part failed";
  line.part = "";
  return line;
}

Line dead() {
  Line line;
  line.kind = "dead on arrival";
  line.odometer = "";
  return line;
}

// The good shop: two families, 120 parts fitted, some failed, some bad in the box.
std::string good_records() {
  std::string csv(kColumns);
  csv += '\n';
  const std::vector<std::string> parts = {"Halden 88-214", "A12-7", "Halden 41-7 lot 7",
                                          "Tollan R-900; Brevik A12-7", "Halden 88-213"};
  for (int i = 0; i < 120; ++i) {
    Line line;
    line.id = "G" + std::to_string(1000 + i);
    line.when = "2025-" + std::string(i % 12 < 9 ? "0" : "") + std::to_string(1 + i % 12) +
                "-10T10:00:00+01:00";
    line.part = parts[static_cast<std::size_t>(i) % parts.size()];
    csv += line.csv() + '\n';
    if (i % 7 == 0) {
      Line failed = back(line.id);
      failed.id = "H" + std::to_string(1000 + i);
      failed.when = "2026-04-01T10:00:00Z";
      failed.odometer = "99000 km";
      csv += failed.csv() + '\n';
    }
    if (i % 20 == 0) {
      Line bad = dead();
      bad.id = "I" + std::to_string(1000 + i);
      bad.part = "Halden 88-214";
      csv += bad.csv() + '\n';
    }
  }
  return csv;
}

// The shop on disk. What is bad goes into files of its own, which are read after the good ones and
// before them.
class Shop {
 public:
  Shop() {
    folder_.put("shop.md", "---\nname: Small\n---\n");
    folder_.put("parts/pump.md", kPump);
    folder_.put("parts/rotor.md", kRotor);
    folder_.put("records/bay-2/2026-03.csv", good_records());
    before_ = totals();
    REQUIRE(findings_.empty());
  }

  // Fitted, failed, in service and dead on arrival of the good families.
  std::string totals() {
    findings_.clear();
    const quality::History history =
        quality::read_history(files::real_disk(), folder_.folder(), {kToday, 12}, findings_);
    // By number and location; the places of the families change with what lies beside them.
    std::map<std::string, std::array<int, 4>> counts;
    for (std::size_t f = 0; f < history.parts().families().size(); ++f) {
      const std::string& slug = history.parts().families()[f].slug;
      if (slug != "pump" && slug != "rotor") continue;
      const auto of = [&](const quality::FittedPart& part) -> std::array<int, 4>& {
        return counts[history.labels()[part.label].name + " lot " + history.lots()[part.lot] +
                      (part.location == 0 ? " own" : " elsewhere")];
      };
      for (const quality::FittedPart& part : history.fitted(f)) {
        ++of(part)[0];
        ++of(part)[part.failed ? 1 : 2];
      }
      for (const quality::FittedPart& part : history.dead(f)) ++of(part)[3];
    }
    std::string said;
    for (const auto& [name, count] : counts) {
      said += name + ":";
      for (const int each : count) said += " " + std::to_string(each);
      said += "; ";
    }
    findings_.insert(findings_.end(), history.findings().begin(), history.findings().end());
    return said;
  }
  void put(const std::string& path, const std::string& bytes) const { folder_.put(path, bytes); }
  void remove(const std::string& path) const { std::filesystem::remove(folder_.path(path)); }
  [[nodiscard]] const std::string& folder() const { return folder_.folder(); }
  [[nodiscard]] const std::string& before() const { return before_; }

  // The findings as they are printed, each on a line.
  [[nodiscard]] std::string told() const { return text_of(findings_); }
  static std::string text_of(const shop::Findings& findings) {
    std::string said;
    for (const shop::Finding& finding : findings) {
      CHECK(finding.line >= 1);
      CHECK_FALSE(finding.message.empty());
      CHECK_FALSE(finding.remedy.empty());
      said += finding.text() + "\n";
    }
    return said;
  }

 private:
  test::Scratch folder_;
  std::string before_;
  shop::Findings findings_;
};

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

struct Count {
  int cases = 0;
  int told = 0;
  ~Count() {
    MESSAGE(cases << " times something bad was read, " << told
                  << " times refused or told in words");
  }
};

// A record file with these lines under the column line: they are told with `words` (the line, the
// id), and nothing changes.
void check_records(Shop& shop, Count& count, const std::string& lines, const std::string& words) {
  INFO(lines);
  ++count.cases;
  const char* path =
      count.cases % 2 == 0 ? "records/bay-1/2026-03.csv" : "records/bay-3/2026-03.csv";
  shop.put(path, std::string(kColumns) + "\n" + lines);
  CHECK(shop.totals() == shop.before());
  const std::string told = shop.told();
  INFO(told);
  CHECK(has(told, words));
  count.told += has(told, words) ? 1 : 0;
  shop.remove(path);
}

// A part file beside the good ones; `words` may be told while reading or by the check of the shop.
void check_part(Shop& shop, Count& count, const std::string& text, const std::string& words) {
  INFO(text.substr(0, 2000));
  ++count.cases;
  shop.put("parts/zz-bad.md", text);
  CHECK(shop.totals() == shop.before());
  const shop::PartFamily family = shop::read_part(shop::Document::parse(text), "parts/zz-bad.md");
  std::string told = Shop::text_of(family.findings);
  if (!has(told, words)) {
    const auto report = shop::check_shop(files::real_disk(), shop.folder(), {});
    REQUIRE(report.ok());
    told = Shop::text_of(report->findings);
  }
  INFO(told);
  CHECK(has(told, words));
  count.told += has(told, words) ? 1 : 0;
  shop.remove("parts/zz-bad.md");
  shop.put("parts/aa-bad.md", text);
  CHECK(shop.totals() == shop.before());
  shop.remove("parts/aa-bad.md");
}

std::string entry(const std::string& lines) { return "## Numbers\n### Zenner Z-1\n" + lines; }

}  // namespace

TEST_CASE(
    "part numbers that are none: refused, told in a part file, and counted apart in records") {
  Shop shop;
  Count count;
  std::vector<std::string> bad = {"",
                                  " ",
                                  "-",
                                  "--- ...",
                                  "***",
                                  "88*214",
                                  "88-214!",
                                  "88-214?",
                                  "\"88-214\"",
                                  "'88-214'",
                                  "88-214\x01",
                                  "88-214\x7f",
                                  "88\x1b[31m214",
                                  "88-214\xff",
                                  "\xc3\x28"
                                  "88",
                                  "88-\xd0\x90"
                                  "2",
                                  "88-\xce\x91-2",
                                  "\xe2\x82\xac 42",
                                  "88=214",
                                  "88+214",
                                  "<b>88</b>",
                                  "88&214",
                                  "88%20214",
                                  "88\\214",
                                  "88@214",
                                  "#88-214",
                                  "$88214",
                                  "88^214",
                                  "{88214}",
                                  "[88-214]",
                                  "88`214",
                                  "88~214",
                                  "\xef\xbc\x98\xef\xbc\x98-214",
                                  "\xf0\x9f\x94\xa7 88",

                                  "88(214)",
                                  "88:214",
                                  std::string(65, '8'),
                                  std::string(70, '-') + "8",
                                  std::string(5000, 'A')};
  bad.push_back("88\0214"s);
  std::mt19937 dice(31);
  const std::string wrong = "!\"#$%&'()*+:<=>?@[\\]^`{|}~\x01\x02\x1b\x7f\x80\xfe";
  while (bad.size() < 60) {
    std::string text = "Halden 88-214";
    text.insert(dice() % text.size(), 1, wrong[dice() % wrong.size()]);
    bad.push_back(text);
  }
  for (const std::string& text : bad) {
    INFO(text.substr(0, 100));
    const trade::Parsed<trade::PartKey> read = trade::part_key(text);
    const trade::Refusal* refusal = trade::refusal_in(read);
    REQUIRE(refusal != nullptr);
    CHECK(refusal->at <= text.size());
    CHECK_FALSE(refusal->what.empty());
    CHECK_FALSE(refusal->remedy.empty());
    ++count.told;
    ++count.cases;
    if (text.find_first_not_of(" -.") == std::string::npos || text[0] == '#' ||
        text.find_first_of("'\"") == 0) {
      continue;
    }
    check_part(shop, count, "## Numbers\n### A name\n- number: " + text + "\n",
               "is no part number");
    Line line;
    line.part = text;
    check_records(shop, count, line.csv() + "\n", "BAD1 names `");
  }
}

TEST_CASE("barcodes that are none") {
  Shop shop;
  Count count;
  std::vector<std::string> bad = {"",
                                  "0",
                                  "1234567",
                                  "123456789",
                                  "12345678901",
                                  "123456789012345",
                                  "00000000",
                                  "00000000000000",
                                  "952000000001l",
                                  "95200000000 1O",
                                  "9520000000011\x1d",
                                  "(01)",
                                  "(01)9520000000011",
                                  "(01)0952000000001",
                                  "(01)09520000000011x",
                                  "(01)09520000000011(",
                                  "(01)09520000000011(10)",
                                  "(01)09520000000011(10)" + std::string(21, 'L'),
                                  "(01)09520000000011(10)a\x01",
                                  "0109520000000011L7",
                                  "]C10109520000000011\x1d\x1d",
                                  "]C101",
                                  "]C1",
                                  "]E0952000000001",
                                  "(02)09520000000011",
                                  "\xd9\xa1\xd9\xa2\xd9\xa3",
                                  std::string(97, '9'),
                                  std::string(4000, '9')};
  // A single wrong digit never passes (GS1 General Specifications 7.9: weights 3 and 1).
  std::mt19937 dice(7);
  const std::vector<std::string> good = {"9520000000011", "96385074", "012345678905",
                                         "(01)09520000000011"};
  while (bad.size() < 70) {
    std::string text = good[dice() % good.size()];
    const std::size_t from = text[0] == '(' ? 4 : 0;
    char& c = text[from + dice() % (text.size() - from)];
    c = static_cast<char>('0' + (c - '0' + 1 + static_cast<int>(dice() % 9)) % 10);
    bad.push_back(text);
  }
  for (const std::string& text : bad) {
    INFO(text.substr(0, 100));
    const trade::Parsed<trade::Gtin> read = trade::read_gtin(text);
    const trade::Refusal* refusal = trade::refusal_in(read);
    REQUIRE(refusal != nullptr);
    CHECK(refusal->at <= text.size());
    CHECK_FALSE(refusal->what.empty());
    CHECK_FALSE(refusal->remedy.empty());
    ++count.cases;
    ++count.told;
    if (text.empty()) continue;
    check_part(shop, count, entry("- gtin: " + text + "\n"), "bad.md:3:");
  }
  // In a record it is words that no part file lists.
  Line line;
  line.part = "(01)09520000000011(10)" + std::string(21, 'L');
  check_records(shop, count, line.csv() + "\n", "BAD1 names `");
}

TEST_CASE("part files with what cannot be") {
  struct Case {
    std::string text;
    std::string words;
  };
  const std::vector<Case> cases = {
      {entry("- price: cheap\n"), "bad.md:3:10: `cheap` is no price"},
      {entry("- price: -5\n"), "is no price"},
      {entry("- price: 1e99\n"), "is no price"},
      {entry("- price: nan\n"), "is no price"},
      {entry("- price: inf\n"), "is no price"},
      {entry("- price: 1,500\n"), "is no price"},
      {entry("- price: 10 .. 20\n- price: 30\n"), "`price` is given twice"},
      {entry("- price: 42.50.1\n"), "is no price"},
      {entry("- price: $42\n"), "is no price"},
      {entry("- price: 10000001\n"), "is no price"},
      {entry("- price: 0x2A\n"), "is no price"},
      {entry("- price: " + std::string(5000, '9') + "\n"), "is no price"},
      {entry("- core-charge: some\n"), "is no price"},
      {entry("- core-charge: -1\n"), "is no price"},
      {entry("- grade: new\n"), "is no grade"},
      {entry("- grade: originall\n"), "is no grade"},
      {entry("- grade: original aftermarket\n"), "is no grade"},
      {entry("- grade: \xff\xfe\n"), "is no grade"},
      {entry("- grade: \x1b[2J\n"), "is no grade"},
      {entry("- warranty: for ever\n"), "is no term"},
      {entry("- warranty: -24 months\n"), "is no term"},
      {entry("- warranty: 900 months\n"), "is no term"},
      {entry("- warranty: 24\n"), "is no term"},
      {entry("- warranty: 24 kPa\n"), "is no term"},
      {entry("- warranty: months\n"), "is no term"},
      {entry("- warranty: nan months\n"), "is no term"},
      {entry("- warranty: 24 months; -3 km\n"), "is no term"},
      {entry("- warranty: 1e300 km\n"), "is no term"},
      {entry("- warranty: ;;;x;;;\n"), "is no term"},
      {entry("- keep-old: perhaps\n"), "neither yes nor no"},
      {"---\nsafety-critical: yess\n---\n" + entry(""), "neither yes nor no"},
      {"---\nsafety-critical: 1\n---\n" + entry(""), "neither yes nor no"},
      {entry("- supersedes: ***\n"), "is no part number"},
      {entry("- supersedes: 5; (6); 7\n"), "is no part number"},
      {entry("- supersedes: " + std::string(80, '7') + "\n"), "is no part number"},
      {entry("- superseded-by: ?\n"), "is no part number"},
      {entry("- superseded-by: \xd0\x90-1\n"), "is no part number"},
      {entry("- superseded-by: Z-1\n"), "lead in a ring"},
      {entry("- supersedes: Z-1\n"), "lead in a ring"},
      {entry("- superseded-by: Z-2\n### Zenner Z-2\n- superseded-by: Z-1\n"), "lead in a ring"},
      {entry("- superseded-by: Z-2\n### Zenner Z-2\n- superseded-by: Z-3\n### Zenner Z-3\n"
             "- superseded-by: Z-1\n"),
       "lead in a ring"},
      {entry("- supersedes: Z-2\n### Zenner Z-2\n- supersedes: Z-1\n"), "lead in a ring"},
      {"---\nsuperseded-by: zz-bad\n---\n" + entry(""), "lead back to it"},
      {"---\nsuperseded-by: nothing-here\n---\n" + entry(""), "no part family"},
      {"---\nid: ../../etc\n---\n" + entry(""), "cannot be an id"},
      {"---\nid: a b\n---\n" + entry(""), "cannot be an id"},
      {"---\nid: ..\n---\n" + entry(""), "cannot be an id"},
      {"---\nid: " + std::string(65, 'x') + "\n---\n" + entry(""), "cannot be an id"},
      {"---\nid: \xff\n---\n" + entry(""), "cannot be an id"},
      {"---\nid: pump\n---\n" + entry(""), "`pump` names"},
      {"---\nid: rotor\n---\n" + entry("- gtin: 9520000000011\n"), "9520000000011"},
      {"---\ncomponnent: coolant pump\n---\n" + entry(""), "did you mean `component`?"},
      {"---\ntitle: T\n" + entry(""), "the front matter has no end"},
      {"---\ntitle T\n---\n" + entry(""), "neither `key: value`"},
      {"---\n- lost\n---\n" + entry(""), "belongs to no key"},
      {"---\ntitle: A\ntitle: B\n---\n" + entry(""), "zz-bad.md"},
      {"---\nfits:\n  - Corvane | Hauler | 2018-2014\n---\n" + entry(""), "zz-bad.md"},
      {"---\nfits:\n  - Corvane | Hauler | long ago\n---\n" + entry(""), "zz-bad.md"},
      {"---\nfits:\n  - ||||||\n---\n" + entry(""), "zz-bad.md"},
      {entry("- pricce: 5\n"), "did you mean `price`?"},
      {entry("- supercedes: 5\n"), "did you mean `supersedes`?"},
      {entry("- gtin: 9520000000011\n"), "the barcode 09520000000011 is that of"},
      {"## Numbers\n### \n- price: 4\n", "zz-bad.md"},
      {"## Numbers\n### !!!\n", "is no part number"},
      {"## Nummbers\n### Zenner Z-1\n", "did you mean `numbers`?"},
      {"## Numbers\n### Zenner Z-1\n## Numbers\n### Zenner Z-2\n", "zz-bad.md"},
      {"## Numbers\n| number | brand |\n| --- | --- |\n| *** | Zenner |\n", "is no part number"},
      {"## Numbers\n| number | brand | price |\n| --- | --- | --- |\n| 5 | Zenner | dear |\n",
       "is no price"},
      {"## Numbers\n| number | gtin |\n| --- | --- |\n| 5 | 9520000000012 |\n",
       "the check digit should be"},
      {"## Numbers\n| number | grade |\n| --- | --- |\n| 5 | new | 7 | 8 |\n", "is no grade"},
      {"## Numbers\n| number | superseded by |\n| --- | --- |\n| 5 | 5 |\n", "lead in a ring"},
      {entry("") + "## Acceptance checks\n### Winding\n- expect: 0.4 ohm .. 5 V\n", "zz-bad.md"},
      {entry("") + "## Acceptance checks\n### Winding\n- expect: 5 bananas\n", "zz-bad.md"},
      {entry("") + "![x](../../../etc/passwd)\n- mark 1: 7 9 far\n", "zz-bad.md"},
      {entry("Fits \xff badly.\n"), "not UTF-8"},
      {entry("- price: 4\xc0\x80\n"), "not UTF-8"},
      {"\xff\xfe#\0#\0 \0N\0"s, "not UTF-8"},
      {entry("```\n- price: 4\n"), "zz-bad.md"},
      {"# " + std::string(200000, 'x') + "\n" + entry("- price: x\n"), "is no price"},
      // The number of another family, and one that reads like it.
      {"## Numbers\n### HALDEN 88 214\n", "is listed at parts/pump.md:7 already"},
      {"## Numbers\n### Halden B8-2I4\n", "reads like"},
      // A brand that other numbers begin with.
      {"## Numbers\n### A 9\n- price: x\n", "is no price"},
      {"## Numbers\n### A12 7\n- brand: A1\n- number: 2-7!\n", "is no part number"},
  };
  Shop shop;
  Count count;
  for (const Case& one : cases) {
    // What is listed twice counts where it is read first: only the later file can be the bad one.
    if (has(one.words, "already")) {
      shop.put("parts/zz-bad.md", one.text);
      CHECK(shop.totals() == shop.before());
      CHECK(has(shop.told(), "names `Halden 88-214`, which may be"));
      shop.remove("parts/zz-bad.md");
      ++count.cases;
      ++count.told;
      continue;
    }
    check_part(shop, count, one.text, one.words);
  }
}

TEST_CASE("records that cannot be") {
  struct Case {
    std::string lines;
    std::string words;
  };
  std::vector<Case> cases;
  const auto with = [](Line line, const auto& change) {
    change(line);
    return line.csv() + "\n";
  };
  const auto bad = [&](Line line, const auto& change, const std::string& words) {
    cases.push_back({with(line, change), words});
  };
  const std::string whole = Line().csv();
  // Times.
  for (const char* when :
       {"", "soon", "2026-02-30T10:00:00Z", "2026-13-01T10:00:00Z", "2026-02-01", "10:00",
        "2026-02-01T25:00:00Z", "2026-02-01T10:61:00Z", "2026-02-01T10:00:00",
        "2026-02-01T10:00:00+99:00", "2026-02-01 10:00:00Z", "1.2.2026", "0000-00-00T00:00:00Z",
        "2026-02-01T10:00:00Zx", "\xff", "-2026-02-01T10:00:00Z"}) {
    bad(
        Line(), [&](Line& l) { l.when = when; }, "BAD1 does not count: its time");
    bad(
        dead(), [&](Line& l) { l.when = when; }, "BAD1 does not count: its time");
    bad(
        back("G1001"), [&](Line& l) { l.when = when; }, "BAD1 does not count: its time");
  }
  for (const char* when :
       {"2026-07-01T00:00:01Z", "2999-01-01T00:00:00Z", "9999-12-31T23:59:59Z"}) {
    bad(
        Line(), [&](Line& l) { l.when = when; }, "lies in the future");
    bad(
        dead(),
        [&](Line& l) {
          l.when = when;
          l.part = "Halden 88-214";
        },
        "lies in the future");
    bad(
        back("G1001"), [&](Line& l) { l.when = when; }, "lies in the future");
    // Neither does a correction or a withdrawal from there take anything's place.
    bad(
        Line(),
        [&](Line& l) {
          l.when = when;
          l.corrects = "G1001";
        },
        "lies in the future");
    bad(
        Line(),
        [&](Line& l) {
          l.when = when;
          l.corrects = "G1001";
          l.kind = "withdrawn";
        },
        "lies in the future");
    bad(
        dead(),
        [&](Line& l) {
          l.when = when;
          l.corrects = "I1000";
        },
        "lies in the future");
  }
  for (const char* when :
       {"1970-01-01T00:00:12Z", "1980-01-04T10:00:00Z", "0001-01-01T00:00:00Z"}) {
    bad(
        Line(),
        [&](Line& l) {
          l.when = when;
          l.part = "Halden 88-214";
        },
        "too long ago");
    bad(
        dead(),
        [&](Line& l) {
          l.when = when;
          l.part = "Halden 88-214";
        },
        "too long ago");
  }
  // Comebacks.
  bad(
      back("G1001"), [](Line& l) { l.when = "2024-01-01T10:00:00Z"; }, "before G1001 was fitted");
  for (const char* refers : {"", "NOBODY", "g1001", "G1001 ", "H1000", "I1000", "BAD1"})
    bad(
        back(refers), [](Line&) {}, "BAD1 does not count: it refers to `");
  // Corrections of another kind, and of what is broken itself.
  bad(
      back("G1001"), [](Line& l) { l.corrects = "G1001"; }, "of another kind: outcome");
  bad(
      back("G1001"), [](Line& l) { l.corrects = "I1000"; }, "of another kind: dead on arrival");
  bad(
      Line(), [](Line& l) { l.corrects = "H1000"; }, "of another kind: comeback");
  bad(
      Line(), [](Line& l) { l.corrects = "I1000"; }, "of another kind: dead on arrival");
  bad(
      dead(), [](Line& l) { l.corrects = "G1001"; }, "of another kind: outcome");
  bad(
      Line(),
      [](Line& l) {
        l.corrects = "G1001";
        l.result = "mended";
      },
      "`mended` is no result");
  bad(
      Line(),
      [](Line& l) {
        l.corrects = "G1001";
        l.when = "?";
      },
      "its time `?`");
  bad(
      dead(),
      [](Line& l) {
        l.corrects = "I1000";
        l.part = "";
      },
      "names no part");
  bad(
      back("NOBODY"), [](Line& l) { l.corrects = "H1000"; }, "no outcome that counts");
  bad(
      Line(), [](Line& l) { l.kind = "withdrawn"; }, "which is not here");
  bad(
      Line(),
      [](Line& l) {
        l.kind = "withdrawn";
        l.corrects = "NOBODY";
      },
      "which is not here");
  cases.push_back({with(dead(),
                        [](Line& l) {
                          l.corrects = "BAD2";
                          l.when = "x";
                        }) +
                       with(dead(),
                            [](Line& l) {
                              l.id = "BAD2";
                              l.corrects = "BAD1";
                              l.when = "y";
                            }),
                   "BAD2 does not count"});
  // Results, kinds, parts.
  for (const char* result : {"", "Fixed", "fixd", "mended", "fixed ", "\xff", "0"})
    bad(
        Line(),
        [&](Line& l) {
          l.result = result;
          l.part = "Halden 88-214";
        },
        "is no result");
  for (const char* kind : {"outcom", "Outcome", "comebak", "dead on arival", "withdrawm"})
    bad(
        Line(),
        [&](Line& l) {
          l.kind = kind;
          l.part = "Halden 88-214";
        },
        "is no kind of record");
  for (const char* part : {";", ";;;", ",", ", new", " ; , ", " "}) {
    bad(
        Line(), [&](Line& l) { l.part = part; }, "names no part");
    bad(
        dead(), [&](Line& l) { l.part = part; }, "names no part");
  }
  bad(
      dead(), [](Line& l) { l.part = ""; }, "names no part");
  bad(
      Line(), [](Line& l) { l.part = "Zenner \"Z\"-1"; }, "which is no part number");
  bad(
      Line(),
      [](Line& l) {
        l.part =
            "Zenner\x01"
            "1";
      },
      "which is no part number");
  bad(
      Line(), [](Line& l) { l.part = "Z\0001"s; }, "which is no part number");
  // Odometers: the part counts, of a number that no file lists here, without the distance.
  for (const char* odometer : {"x", "-5 km", "12 kPa", "1e99 km", "90000", "NaN km", "km",
                               "9000000 km", "1e11 mi", "90000 km 91000 km", "\xff"}) {
    bad(
        Line(), [&](Line& l) { l.odometer = odometer; }, "is no odometer reading");
    cases.push_back({whole + "\n" +
                         with(back("BAD1"),
                              [&](Line& l) {
                                l.id = "BAD2";
                                l.odometer = odometer;
                              }),
                     "BAD2 counts without its distance"});
  }
  cases.push_back({whole + "\n" +
                       with(back("BAD1"),
                            [](Line& l) {
                              l.id = "BAD2";
                              l.when = "2026-04-01T10:00:00Z";
                              l.odometer = "8000 km";
                            }),
                   "82000 km backwards in"});
  cases.push_back({whole + "\n" +
                       with(back("BAD1"),
                            [](Line& l) {
                              l.id = "BAD2";
                              l.odometer = "990000 km";
                            }),
                   "900000 km in 0.0 months"});
  // Ids.
  for (const char* id : {"", "..", "a b", "a/b", "\xff", "<x>", "BAD\x01"})
    bad(
        Line(), [&](Line& l) { l.id = id; }, "csv:2:1: `");
  bad(
      Line(), [](Line& l) { l.id = std::string(65, 'x'); }, "2026-03.csv:2:1: ");
  // Two of one id: the one that is smaller in byte order stays, here the good one.
  bad(
      Line(),
      [](Line& l) {
        l.id = "G1001";
        l.when = "2026-01-01T10:00:00Z";
      },
      "two records that differ have the id G1001");
  bad(
      dead(),
      [](Line& l) {
        l.id = "I1000";
        l.when = "2026-03-01T10:00:00Z";
      },
      "two records that differ have the id I1000");
  // Lines.
  for (std::size_t at = 1; at < whole.size(); at += 9)
    cases.push_back({whole.substr(0, at), "2026-03.csv:2:1: "});
  for (std::size_t at = 4; at < whole.size(); at += 17)
    cases.push_back({whole.substr(0, at) + "\n", "2026-03.csv:2:1: "});
  cases.push_back({whole + ",\n", "2026-03.csv:2:1: "});
  cases.push_back({"," + whole + "\n", "2026-03.csv:2:1: "});
  cases.push_back({"\"" + whole + "\n", "2026-03.csv:2:1: "});
  cases.push_back({"\"BAD1\"x" + whole.substr(4) + "\n", "2026-03.csv:2:1: "});
  cases.push_back({"\"BAD1\n" + whole.substr(4) + "\n", "2026-03.csv:2:1: "});
  cases.push_back({std::string(300000, 'x') + "\n", "2026-03.csv:2:1: "});
  cases.push_back({std::string(300000, ',') + "\n", "2026-03.csv:2:1: "});
  cases.push_back({std::string(3000, '\0') + "\n", "2026-03.csv:2:1: "});
  cases.push_back({std::string(3000, '"') + "\n", "2026-03.csv:2:1: "});
  bad(
      Line(), [](Line& l) { l.end = ""; }, "2026-03.csv:2:1: ");
  bad(
      Line(), [](Line& l) { l.end = ".."; }, "2026-03.csv:2:1: ");
  bad(
      Line(), [](Line& l) { l.kind = ""; }, "2026-03.csv:2:1: ");

  Shop shop;
  Count count;
  for (const Case& one : cases) check_records(shop, count, one.lines, one.words);
}

TEST_CASE("what is bad elsewhere, or twice, changes nothing here") {
  Shop shop;
  // The same records back from another location, under two names.
  shop.put("received/north/records/bay-2/2026-03.csv", good_records());
  shop.put("received/south/records/bay-2/2026-03.csv", good_records());
  CHECK(shop.totals() == shop.before());
  CHECK(shop.told().empty());
  // A torn one is told with the folder it lies in.
  shop.put("received/north/records/bay-9/2026-03.csv", std::string(kColumns) + "\nBAD1,2026");
  CHECK(shop.totals() == shop.before());
  CHECK(has(shop.told(), "received/north/records/bay-9/2026-03.csv:2:1"));
  // A file as a spreadsheet saves it.
  shop.put("records/bay-1/2026-03.csv",
           "\xef\xbb\xbf" + std::string(kColumns) + "\r\n" + Line().csv() + "\r\n");
  CHECK(shop.totals() == shop.before());
  shop.put("records/bay-1/2026-03.csv", std::string(kColumns) + "\n" + good_records());
  CHECK(shop.totals() == shop.before());
}

TEST_CASE("a bad record that has been put right is no longer told") {
  Shop shop;
  Line wrong, right;
  wrong.when = "2999-01-01T10:00:00Z";
  right.id = "BAD2";
  right.corrects = "BAD1";
  shop.put("records/bay-1/2026-03.csv",
           std::string(kColumns) + "\n" + wrong.csv() + "\n" + right.csv() + "\n");
  CHECK(shop.totals() == shop.before());
  CHECK(shop.told().empty());
}

TEST_CASE("ten thousand bad records are told by the first thousand and a number") {
  std::vector<shop::Record> records;
  for (int i = 0; i < 10000; ++i)
    records.push_back({"B" + std::to_string(i), "never", "comeback", {{"refers", "X"}}});
  const quality::History history({}, {{"", &records}}, {kToday, 12});
  REQUIRE(history.findings().size() == quality::History::kMostTold + 1);
  CHECK(history.findings().back().message == "9000 more are not told");
  CHECK(history.count() == 0);
}
