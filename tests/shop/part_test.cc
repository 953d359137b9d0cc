#include "shop/part.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>

#include "files/disk.h"
#include "shop/check/check.h"
#include "shop/part_book.h"
#include "shop/part_record.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;

namespace {

constexpr const char* kPump =
    "---\n"
    "id: coolant-pump\n"
    "title: Coolant pump, 3.6 V6\n"
    "component: coolant pump\n"
    "system: cooling\n"
    "fits:\n"
    "  - Corvane | Hauler | 2014-2018 | 3.6 V6\n"
    "---\n"
    "\n"
    "## Numbers\n"
    "### Halden 88-214\n"
    "- grade: aftermarket\n"
    "- price: 42.50\n"
    "- gtin: 952 000 000 0011\n"
    "- core-charge: 20\n"
    "- warranty: 2 years; 40000 km\n"
    "- supersedes: 88-213; 88-212\n"
    "Fits without the spacer.\n"
    "### IC-207\n"
    "- brand: Brevik\n"
    "- grade: Supplier of the original\n"
    "- superseded-by: IC-208\n"
    "### Brevik IC-208\n"
    "\n"
    "## Acceptance checks\n"
    "### Winding\n"
    "- expect: 0.4 .. 0.8 ohm\n"
    "- correct: copper 20 °C\n"
    "\n"
    "## Look over\n"
    "### Casting mark\n"
    "- expect: H in a ring\n"
    "\n"
    "## Goes with\n"
    "### Pump gasket\n"
    "- kind: seal\n"
    "- number: Corvane 3C-61284\n"
    "### Coolant\n"
    "- kind: fluid\n"
    "- amount: 4.5 L\n";

PartFamily read(const std::string& text) {
  return read_part(Document::parse(text), "parts/cooling/pump.md");
}

PartBook book(const std::string& text = kPump) {
  PartBook made;
  made.add(read(text));
  return made;
}

std::string rules(const PartFamily& family) {
  std::string said;
  for (const Finding& f : family.findings) said += std::to_string(f.line) + ' ' + f.rule + "; ";
  return said;
}

// Names of what is found, and how.
std::string found(const PartBook& parts, const std::string& text) {
  const PartBook::Found result = parts.find(text);
  std::string said(1, "?=~b<"[static_cast<std::size_t>(result.how)]);
  for (const auto& place : result.places) said += " " + parts.number(place).name;
  return said;
}

}  // namespace

TEST_CASE("a part family is read with all it says") {
  const PartFamily family = read(kPump);
  CHECK(rules(family).empty());
  CHECK(family.id == "coolant-pump");
  CHECK(family.fits.size() == 1);
  CHECK_FALSE(family.safety_critical);
  REQUIRE(family.numbers.size() == 3);
  const PartNumber& halden = family.numbers[0];
  CHECK(halden.brand == "Halden");
  CHECK(halden.number == "88-214");
  CHECK(halden.key.plain == "88214");
  CHECK(halden.gtin == "09520000000011");
  CHECK(halden.grade == Grade::aftermarket);
  CHECK(halden.price == 42.5);
  CHECK(halden.core_charge == 20);
  CHECK(halden.keep_old);
  CHECK(halden.warranty.months == 24);
  CHECK(halden.warranty.km == 40000);
  CHECK(halden.supersedes == std::vector<std::string>{"88-213", "88-212"});
  CHECK(halden.text == "Fits without the spacer.");
  CHECK(family.numbers[1].brand == "Brevik");
  CHECK(family.numbers[1].number == "IC-207");
  CHECK(family.numbers[1].grade == Grade::original_supplier);
  CHECK(family.numbers[2].brand == "Brevik");
  REQUIRE(family.acceptance.size() == 1);
  CHECK(family.acceptance[0].expect->is_range());
  CHECK(family.look_over[0].expect == "H in a ring");
  REQUIRE(family.goes_with.size() == 2);
  CHECK(family.goes_with[1].amount == "4.5 L");

  const std::vector<OrderLine> order = order_list(family, halden);
  REQUIRE(order.size() == 3);
  CHECK(order[0].what == "Halden 88-214");
  CHECK(order[0].note == "core charge 20.00, keep the old part, warranty 2 years; 40000 km");
  CHECK(order[1].what == "Pump gasket, Corvane 3C-61284");
  CHECK(order[1].note == "used once");
  CHECK(order[2].note.empty());
}

TEST_CASE("what cannot be right is told at its line, and the rest is kept") {
  const PartFamily family = read(
      "---\ntitle: T\nsystem: brakes\ncomponnet: x\n---\n## Numbers\n### Halden 88-214\n"
      "- gtin: 9520000000016\n- grade: new\n- price: cheap\n- warranty: for ever\n- supercedes: 1\n"
      "### Brevik ***\n- price: 9\n");
  CHECK(rules(family) ==
        "4 unknown-key; 8 gtin; 9 grade; 10 price; 11 warranty; 12 unknown-key; 13 part-number; ");
  CHECK(family.broken);
  CHECK(family.safety_critical);
  REQUIRE(family.numbers.size() == 2);
  CHECK(family.numbers[1].price == 9);
  CHECK(family.numbers[1].key.plain.empty());
  // The author may add to what the system says.
  CHECK(read("---\ntitle: T\nsystem: cooling\nsafety-critical: yes\n---\n").safety_critical);
  CHECK(read("---\ntitle: T\nsystem: brakes\nsafety-critical: no\n---\n").safety_critical);
}

TEST_CASE("a table serves as well") {
  const PartFamily family = read(
      "## Numbers\n| number | brand | superseded by |\n| --- | --- | --- |\n"
      "| 88-214 | Halden | 88-215 |\n");
  REQUIRE(family.numbers.size() == 1);
  CHECK(family.numbers[0].number == "88-214");
  CHECK(family.numbers[0].superseded_by == "88-215");
}

TEST_CASE("a number is found however it is written, and never across brands") {
  PartBook parts = book();
  parts.add(read("## Numbers\n### Tollan 88-214\n### Quillon 55-1\n### Quillon S5-1\n"));
  CHECK(found(parts, "Halden 88-214") == "= Halden 88-214");
  CHECK(found(parts, "halden 88214") == "= Halden 88-214");
  CHECK(found(parts, "HALDEN 88.214, new") == "= Halden 88-214");
  CHECK(found(parts, "Brevik IC-207") == "= IC-207");
  CHECK(found(parts, "IC 207") == "= IC-207");
  CHECK(found(parts, "Brevik 1C-2O7") == "~ IC-207");
  CHECK(found(parts, "1C2O7") == "~ IC-207");
  // One number of two brands: both, for a person to say which.
  CHECK(found(parts, "88-214") == "= Halden 88-214 Tollan 88-214");
  // A brand is binding.
  CHECK(found(parts, "Brevik 88-214") == "?");
  CHECK(parts.find("Brevik 88-214").elsewhere.size() == 2);
  CHECK(found(parts, "Nobody 88-214") == "?");
  CHECK(found(parts, "Tollan IC-207") == "?");
  // Exactly as written comes before what it may be mistaken for.
  CHECK(found(parts, "Quillon 55-1") == "= Quillon 55-1");
  CHECK(found(parts, "Quillon S5-1") == "= Quillon S5-1");
  CHECK(found(parts, "Quillon 5S-1") == "~ Quillon 55-1 Quillon S5-1");
  // Barcodes, and the older numbers.
  CHECK(found(parts, "9520000000011") == "b Halden 88-214");
  CHECK(found(parts, "(01)09520000000011(10)ab7") == "b Halden 88-214");
  CHECK(parts.find("(01)09520000000011(10)ab7").lot == "ab7");
  CHECK(found(parts, "9520000000016") == "?");
  CHECK(found(parts, "Halden 88-213") == "< Halden 88-214");
  CHECK(found(parts, "88-212") == "< Halden 88-214");
  CHECK(found(parts, "") == "?");
  CHECK(parts.find("Halden 88-214 lot 24k").lot == "24K");
  CHECK(parts.family("coolant-pump") != nullptr);
  CHECK(parts.family("nothing") == nullptr);
}

TEST_CASE("a brand ends where the text has a gap, and a number that is none leads nowhere") {
  PartBook parts = book();
  parts.add(read("## Numbers\n### A 9\n- supersedes: ***\n### Brevik A12-7\n"));
  CHECK(found(parts, "A12-7") == "= Brevik A12-7");
  CHECK(found(parts, "A 12-7") == "?");
  CHECK(found(parts, "A9") == "= A 9");
  CHECK(found(parts, "A") == "?");
}

TEST_CASE("what a record names") {
  CHECK(named_part("Halden 88-214, new").name == "Halden 88-214");
  CHECK(named_part(" Halden 88-214 Batch 24k ").name == "Halden 88-214");
  CHECK(named_part(" Halden 88-214 Batch 24k ").lot == "24K");
  CHECK(named_part("Halden 88-214 lot").name == "Halden 88-214");
  CHECK(named_part("Halden 88-214 lot").lot.empty());
  const auto two = named_parts("Halden 88-214 lot 7; Ardmoor CP-12; ;");
  REQUIRE(two.size() == 2);
  CHECK(two[0].lot == "7");
  CHECK(two[1].name == "Ardmoor CP-12");
}

TEST_CASE("supersession is followed, and a ring is told") {
  const auto chain = [](const std::string& text, std::size_t from) {
    const PartBook parts = book(text);
    const PartBook::Chain way = parts.superseded({0, from});
    std::string said;
    for (const auto& place : way.later) said += parts.number(place).number + " ";
    return said + (way.ring ? "ring" : way.not_listed);
  };
  CHECK(chain(kPump, 1) == "IC-208 ");
  CHECK(chain("## Numbers\n### A 1\n- superseded-by: 2\n### A 2\n- superseded-by: A 3\n### A 3\n",
              0) == "2 3 ");
  CHECK(chain("## Numbers\n### A 1\n- superseded-by: 9\n", 0) == "9");
  CHECK(chain("## Numbers\n### A 1\n- superseded-by: 2\n### A 2\n- superseded-by: 1\n", 0) ==
        "2 ring");
  CHECK(chain("## Numbers\n### A 1\n- superseded-by: 1\n", 0) == "ring");
  CHECK(chain("## Numbers\n### A 1\n### A 2\n- supersedes: 1\n### A 3\n- supersedes: A 2\n", 0) ==
        "2 3 ");
  CHECK(chain("## Numbers\n### A 1\n- supersedes: 2\n### A 2\n- supersedes: 1\n", 0) == "2 ring");
  // A number that ends in a ring of others.
  CHECK(chain("## Numbers\n### A 1\n- superseded-by: 2\n### A 2\n- superseded-by: 3\n### A 3\n"
              "- superseded-by: 2\n",
              0) == "2 3 ring");
}

TEST_CASE("the check of a shop tells what only all part files show") {
  const test::Scratch folder;
  folder.put("shop.md", "---\nname: Small\n---\n");
  folder.put("vocabulary/c.md",
             "## Components\n### coolant pump\n- system: cooling\n- also: water pump\n");
  folder.put(
      "parts/a.md",
      "---\ncomponent: water pump\n---\n## Numbers\n### Halden 88-214\n- gtin: 9520000000011\n"
      "### Halden IC-207\n- superseded-by: IC-208\n### Halden IC-208\n"
      "- superseded-by: IC-207\n");
  folder.put("parts/b.md",
             "---\ncomponent: pumpe\nsuperseded-by: c\n---\n## Numbers\n### HALDEN 88 214\n"
             "- gtin: 9520000000011\n### Halden 1C-208\n");
  folder.put("parts/c.md", "---\ntitle: C\nsuperseded-by: b\n---\n");
  CheckOptions options;
  options.today = "2026-06-01";
  const auto report = check_shop(files::real_disk(), folder.folder(), options);
  REQUIRE(report.ok());
  std::string said;
  for (const Finding& f : report->findings)
    said += f.file.substr(6) + ':' + std::to_string(f.line) + ' ' + f.rule + "; ";
  CHECK(said ==
        "a.md:7 supersession; a.md:9 supersession; b.md:1 supersession; b.md:1 component; "
        "b.md:6 duplicate-number; b.md:6 duplicate-gtin; b.md:8 alike-number; "
        "c.md:1 supersession; ");
}

TEST_CASE("the copy of a part file counts for nothing, and is told once") {
  const test::Scratch folder;
  folder.put("shop.md", "---\nname: Small\n---\n");
  const std::string numbers = "## Numbers\n### Halden 88-214\n### Halden 88-215\n";
  folder.put("parts/pump.md", "---\nid: pump\ntitle: Pump\n---\n" + numbers);
  folder.put("parts/pump (1).md", "---\nid: pump\ntitle: Pump, copied\n---\n" + numbers);
  // Without an id nobody can tell: these are two.
  folder.put("parts/a/seal.md", "---\ntitle: Seal\n---\n");
  folder.put("parts/b/seal.md", "---\ntitle: Seal\n---\n");
  Findings findings;
  const PartBook book = read_parts(files::real_disk(), folder.folder(), findings);
  CHECK(book.families().size() == 3);
  REQUIRE(book.family("pump") != nullptr);
  CHECK(book.family("pump")->path == "parts/pump.md");
  CHECK(book.find("Halden 88-214").places.size() == 1);
  const auto report = check_shop(files::real_disk(), folder.folder());
  REQUIRE(report.ok());
  const auto rule = [&](const char* name) {
    return std::count_if(report->findings.begin(), report->findings.end(), [&](const Finding& f) {
      return f.rule == name && f.file.find("pump") != std::string::npos;
    });
  };
  CHECK(rule("duplicate-id") == 2);
  CHECK(rule("duplicate-number") == 0);
}

TEST_CASE("dead on arrival: written, corrected, withdrawn") {
  DeadOnArrival dead;
  dead.id = "A";
  dead.when = "2026-03-14T10:00:00+01:00";
  dead.part = "Halden 88-214 lot 7";
  dead.text = "failed: Winding, 3 ohm";
  dead.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
  const Record record = record_of(dead);
  const auto read_back = dead_on_arrival_of(record);
  REQUIRE(read_back);
  CHECK(record_of(*read_back) == record);
  CHECK_FALSE(outcome_of(record).has_value());

  DeadOnArrival better = dead;
  better.id = "B";
  better.corrects = "A";
  Record withdrawn = withdrawal_of("B", "LA", "");
  withdrawn.id = "C";
  withdrawn.when = "2026-03-15T10:00:00+01:00";
  CHECK(dead_on_arrival({record}).size() == 1);
  const auto corrected = dead_on_arrival({record, record_of(better)});
  REQUIRE(corrected.size() == 1);
  CHECK(corrected[0].id == "B");
  CHECK(dead_on_arrival({record, record_of(better), withdrawn}).empty());

  const test::Scratch folder;
  CHECK(append_record(files::real_disk(), folder.folder(), "bay-1", record).ok());
  CHECK(dead_on_arrival(read_records(files::real_disk(), folder.folder()).records).size() == 1);
}

TEST_CASE("a claim sheet says what the supplier asks") {
  Finished job;
  job.outcome.when = "2026-01-10T10:00:00+01:00";
  job.outcome.part = "Halden 88-214";
  job.outcome.odometer = "80000 mi";
  job.outcome.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
  Comeback back;
  back.when = "2026-05-02T09:00:00+02:00";
  back.odometer = "136794 km";
  back.reason = "part failed";
  CHECK(claim_sheet(job, back, "24 months") ==
        "Part: Halden 88-214\nWarranty: 24 months\nVehicle: Corvane Hauler 2016 3.6 V6\n"
        "Fitted: 2026-01-10\nOdometer when fitted: 80000 mi\nFailed: 2026-05-02\n"
        "Odometer when failed: 136794 km\nDistance: 8046 km\nReason: part failed\nReadings:\n"
        "Repair order:\n");
  back.odometer = "10 km";
  CHECK(claim_sheet(job, back, "").find("Distance:\n") != std::string::npos);
}

TEST_CASE("two hundred part files of rubbish: nothing falls over, what is good stays") {
  std::mt19937 dice(6);
  const std::string good = kPump;
  for (int i = 0; i < 200; ++i) {
    std::string text = good;
    for (int change = 0; change < 12; ++change) {
      const std::size_t at = dice() % text.size();
      const auto kind = dice() % 3;
      if (kind == 0) text[at] = static_cast<char>(dice() % 256);
      if (kind == 1) text.erase(at, dice() % 9);
      if (kind == 2) text.insert(at, std::string(dice() % 5, static_cast<char>(dice() % 256)));
      if (text.empty()) text = " ";
    }
    PartBook parts = book(text);
    for (const Finding& finding : parts.families()[0].findings) {
      CHECK(finding.line >= 1);
      CHECK_FALSE(finding.message.empty());
    }
    for (std::size_t n = 0; n < parts.families()[0].numbers.size(); ++n)
      static_cast<void>(parts.superseded({0, n}));
    parts.add(read("## Numbers\n### Zenner 1\n"));
    CHECK(found(parts, "Zenner 1") == "= Zenner 1");
  }
}
