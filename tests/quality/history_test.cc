// From records to what became of each part.
#include "quality/history.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>

#include "files/disk.h"
#include "quality/standing.h"
#include "shop/outcome.h"
#include "shop/part_record.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::quality;

namespace {

const std::int64_t kToday = shop::instant_of("2026-07-01T00:00:00Z").value_or(0);

shop::PartBook book() {
  shop::PartBook parts;
  parts.add(shop::read_part(
      shop::Document::parse("---\ntitle: Pumps\ncomponent: coolant pump\nsystem: cooling\n---\n"
                            "## Numbers\n### Halden 88-214\n- grade: aftermarket\n- price: 40\n"
                            "### Brevik WP-1\n- grade: original\n- price: 90\n"
                            "- warranty: 24 months\n"),
      "parts/pump.md"));
  return parts;
}

struct Book {
  std::vector<shop::Record> records;
  int next = 0;
  std::string mark = "";  // of its ids

  std::string fit(const std::string& part, const std::string& when,
                  const std::string& odometer = "", shop::Result result = shop::Result::fixed) {
    shop::Outcome outcome;
    outcome.id = "O" + mark + std::to_string(++next);
    outcome.when = when + "T10:00:00Z";
    outcome.part = part;
    outcome.odometer = odometer;
    outcome.result = result;
    outcome.minutes = 60;
    outcome.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
    records.push_back(record_of(outcome));
    return outcome.id;
  }
  std::string back(const std::string& outcome, const std::string& when, const std::string& reason,
                   const std::string& odometer = "") {
    shop::Comeback comeback;
    comeback.id = "C" + mark + std::to_string(++next);
    comeback.when = when + "T10:00:00Z";
    comeback.outcome = outcome;
    comeback.reason = reason;
    comeback.odometer = odometer;
    records.push_back(record_of(comeback));
    return comeback.id;
  }
  [[nodiscard]] History history() const { return History(book(), {{"", &records}}, {kToday, 12}); }
};

}  // namespace

TEST_CASE("fitted, failed, still in service: what counts as what") {
  Book made;
  made.back(made.fit("Halden 88-214", "2026-01-01", "100000 km"), "2026-03-01", "part failed",
            "104000 km");
  made.back(made.fit("halden 88 214", "2026-01-01"), "2026-03-01", "workmanship");
  made.back(made.fit("Halden 88-214, new", "2026-01-01"), "2026-03-01", "not the cause");
  made.back(made.fit("Halden 88-214", "2026-01-01"), "2026-03-01", "");
  made.fit("Halden 88-214", "2026-01-01", "", shop::Result::not_fixed);
  made.fit("Halden 88-214", "2026-01-01", "", shop::Result::declined);
  made.fit("Halden 88-214", "2026-01-01", "", shop::Result::part_ordered);
  made.fit("", "2026-01-01");
  made.fit("Brevik WP-1; Halden 88-214 lot 7", "2026-06-01");
  made.fit("Nobody 5", "2026-06-01");
  const History history = made.history();
  CHECK(history.findings().empty());
  CHECK(history.count() == 8);
  CHECK(history.fitted(history.not_listed()).size() == 1);
  const Standing standing = standing_of(history, {0}, By::number);
  REQUIRE(standing.rivals.size() == 2);
  const Rival& halden = standing.rivals[0];
  CHECK(halden.name == "Halden 88-214");
  CHECK(halden.all.fitted == 6);
  CHECK(halden.all.failed == 2);
  CHECK(halden.all.unclear == 1);
  CHECK(halden.all.in_service == 4);
  CHECK(halden.own.fitted == 6);
  REQUIRE(halden.failures.size() == 2);
  CHECK(history.record_id(halden.failures[0]).substr(0, 1) == "O");
  // The first of January to the first of March: 59 days.
  CHECK(halden.months.steps[0].time == doctest::Approx(59 / 30.4375).epsilon(1e-5));
  CHECK(in_words(halden.all) == "6 fitted, 2 failed (1 without a stated reason)");
  CHECK(standing_of(history, {0}, By::grade).rivals.size() == 2);
  CHECK(standing_of(history, {0}, By::brand).rivals[0].name == "Halden");
  Among lots;
  lots.label = 0;
  CHECK(standing_of(history, {0}, By::lot, lots).rivals.size() == 2);
}

TEST_CASE("distances: measured where both odometers are known, the car's average elsewhere") {
  Book made;
  made.back(made.fit("Halden 88-214", "2026-01-01", "62000 mi"), "2026-03-01", "part failed",
            "104000 km");
  made.fit("Halden 88-214", "2026-01-01", "120000 km");  // ten years old: 1000 km a month
  const History history = made.history();
  const auto& fitted = history.fitted(0);
  REQUIRE(fitted.size() == 2);
  const auto& failed = fitted[0].failed ? fitted[0] : fitted[1];
  const auto& running = fitted[0].failed ? fitted[1] : fitted[0];
  CHECK_FALSE(failed.estimated);
  CHECK(failed.km == doctest::Approx(104000 - 62000 * 1.609344));
  CHECK(running.estimated);
  CHECK(running.km == doctest::Approx(1000 * running.months).epsilon(0.01));
  CHECK(standing_of(history, {0}, By::number).all.km.count == 2);
}

TEST_CASE("a car that is younger than the part in it tells no average of its own") {
  Book made;
  made.fit("Halden 88-214", "2026-01-01", "120000 km");  // ten years old: 1000 km a month
  made.fit("Halden 88-214", "2015-12-01", "120000 km");  // a year's slip: the car is of 2016
  const History history = made.history();
  for (const FittedPart& part : history.fitted(0)) {
    CHECK(part.estimated);
    CHECK(part.km == doctest::Approx(1000 * part.months).epsilon(0.01));
  }
}

TEST_CASE("corrections and withdrawals count, whatever their order") {
  Book made;
  const std::string wrong = made.fit("Halden 88-214", "2026-01-01");
  const std::string right = made.fit("Brevik WP-1", "2026-01-02");
  shop::Record corrected = made.records[1];
  corrected.fields.set("corrects", wrong);
  made.records[1] = corrected;
  const std::string back = made.back(wrong, "2026-02-01", "part failed");
  const Standing standing = standing_of(made.history(), {0}, By::number);
  REQUIRE(standing.rivals.size() == 1);
  CHECK(standing.rivals[0].name == "Brevik WP-1");
  CHECK(standing.rivals[0].all.failed == 1);
  shop::Record withdrawn = shop::withdrawal_of(back, "LA", "");
  withdrawn.id = "W";
  withdrawn.when = "2026-02-02T10:00:00Z";
  made.records.insert(made.records.begin(), withdrawn);
  CHECK(standing_of(made.history(), {0}, By::number).rivals[0].all.failed == 0);
}

TEST_CASE("a correction says when it was written, not when the part was fitted") {
  Book made;
  const std::string first = made.fit("Halden 88-213", "2026-01-01");
  made.back(first, "2026-02-01", "part failed");
  made.fit("Halden 88-214", "2026-03-01");
  made.records.back().fields.set("corrects", first);
  const std::string bad = "D1";
  made.records.push_back(record_of(
      shop::DeadOnArrival{bad, "2026-01-05T10:00:00Z", "LA", "", "Halden 88-214", "", {}, "", ""}));
  shop::Record withdrawn = shop::withdrawal_of(bad, "LA", "");
  withdrawn.id = "W";
  withdrawn.when = "2026-06-02T10:00:00Z";
  made.records.push_back(withdrawn);
  const History history = made.history();
  CHECK(history.findings().empty());
  REQUIRE(history.fitted(0).size() == 1);
  CHECK(history.fitted(0)[0].failed);
  CHECK(history.fitted(0)[0].months == doctest::Approx(31 / 30.4375).epsilon(1e-5));
  CHECK(history.dead(0).empty());
  // Counted on an earlier day: what happened since does not count, what was put right does.
  const auto day = [](const char* when) { return shop::instant_of(when).value_or(0); };
  const History earlier(book(), {{"", &made.records}}, {day("2026-01-20T00:00:00Z"), 12, kToday});
  CHECK(earlier.findings().empty());
  REQUIRE(earlier.fitted(0).size() == 1);
  CHECK_FALSE(earlier.fitted(0)[0].failed);
  CHECK(earlier.labels()[earlier.fitted(0)[0].label].name == "Halden 88-214");
  CHECK(earlier.dead(0).empty());
  const History before(book(), {{"", &made.records}}, {day("2025-12-31T00:00:00Z"), 12, kToday});
  CHECK(before.count() == 0);
  CHECK(before.findings().empty());
}

TEST_CASE("one brand however it is spelled, one lot however it is scanned") {
  shop::PartBook parts = book();
  parts.add(shop::read_part(
      shop::Document::parse("---\ntitle: T\n---\n## Numbers\n### HALDEN 9-1\n- gtin: "
                            "9520000000011\n"),
      "parts/t.md"));
  Book made;
  made.fit("Halden 88-214", "2026-01-01");
  made.fit("Halden 9-1 lot ab7", "2026-01-01");
  made.fit("(01)09520000000011(10)ab7", "2026-01-01");
  made.fit("Halden 9-1 lot", "2026-01-01");
  made.fit("Nobody 5", "2026-01-01");
  made.fit("NOBODY-5", "2026-01-01");
  const History history(parts, {{"", &made.records}}, {kToday, 12});
  CHECK(history.findings().empty());
  CHECK(history.lots() == std::vector<std::string>{"", "AB7"});
  CHECK(history.fitted(1).size() == 3);
  CHECK(standing_of(history, {0, 1}, By::brand).rivals.size() == 1);
  CHECK(standing_of(history, {history.not_listed()}, By::number).rivals.size() == 1);
}

TEST_CASE("other locations are pooled, and this shop's own shown apart") {
  Book here, there;
  there.mark = "N";
  for (int i = 0; i < 20; ++i) here.fit("Halden 88-214", "2025-01-01");
  for (int i = 0; i < 20; ++i)
    there.back(there.fit("Halden 88-214", "2025-01-01"), "2025-02-01",
               i < 5 ? "part failed" : "workmanship");
  shop::DeadOnArrival dead;
  dead.id = "D";
  dead.when = "2025-01-01T10:00:00Z";
  dead.part = "Halden 88-214";
  there.records.push_back(record_of(dead));
  const History history(book(), {{"", &here.records}, {"hexley", &there.records}}, {kToday, 12});
  const Standing standing = standing_of(history, {0}, By::number);
  CHECK(standing.rivals[0].all.fitted == 40);
  CHECK(standing.rivals[0].own.fitted == 20);
  CHECK(standing.rivals[0].all.dead_on_arrival == 1);
  CHECK(standing.rivals[0].own.dead_on_arrival == 0);
  CHECK(standing.rivals[0].own_share.low == 0);
  CHECK(standing.rivals[0].judged.share.low > 0.05);
  Among own;
  own.own_only = true;
  CHECK(standing_of(history, {0}, By::number, own).rivals[0].all.failed == 0);
}

TEST_CASE("often dead on arrival needs three of them, and a share that stands out") {
  // Fisher's exact probability that all d dead are among the first f + d of n parts in all is
  // C(f + d, d) / C(n, d): 0.0026, 0.0030 and 0.12 against an alarm of 0.025 / 2.
  struct Row {
    int fitted, dead;
    bool often;
  };
  for (const Row& row : {Row{30, 3, true}, Row{10, 2, false}, Row{190, 3, false}}) {
    CAPTURE(row.fitted);
    Book made;
    for (int i = 0; i < row.fitted; ++i) made.fit("Halden 88-214", "2026-01-01");
    for (int i = 0; i < 200; ++i) made.fit("Brevik WP-1", "2026-01-01");
    for (int i = 0; i < row.dead; ++i) {
      shop::DeadOnArrival dead;
      dead.id = "D" + std::to_string(i);
      dead.when = "2026-01-01T10:00:00Z";
      dead.part = "Halden 88-214";
      made.records.push_back(record_of(dead));
    }
    const Standing standing = standing_of(made.history(), {0}, By::number);
    REQUIRE(standing.rivals.size() == 2);
    for (const Rival& rival : standing.rivals) {
      const bool ours = rival.all.fitted == row.fitted;
      CHECK(rival.all.dead_on_arrival == (ours ? row.dead : 0));
      CHECK(rival.often_dead == (ours && row.often));
    }
  }
}

TEST_CASE("a brand that fails where the others never did is no equal") {
  Book made;
  for (int i = 0; i < 30; ++i) {
    const std::string fitted = made.fit("Halden 88-214", "2025-01-01");
    if (i < 8) made.back(fitted, "2025-06-01", "part failed");
    made.fit("Brevik WP-1", "2025-01-01");
  }
  const auto brands = brands_of(made.history(), {{0}});
  REQUIRE(brands.size() == 2);
  const BrandLine& halden = brands[0].name == "Halden" ? brands[0] : brands[1];
  CHECK(std::isinf(halden.times));
  CHECK(halden.verdict == Verdict::clearly_worse);
  // As its one component says it.
  for (const Rival& rival : standing_of(made.history(), {0}, By::brand).rivals) {
    if (rival.name == "Halden") CHECK(rival.judged.verdict == Verdict::clearly_worse);
  }
}

TEST_CASE("a brand is judged by what it has rivals for") {
  Book made;
  for (int i = 0; i < 60; ++i) {
    made.fit("Brevik WP-1", "2025-01-01");
    if (i < 20) made.fit("Halden 9-1", "2025-01-01");
    if (i < 4) made.back(made.fit("Halden 88-214", "2025-01-01"), "2025-06-01", "part failed");
  }
  shop::PartBook parts = book();
  parts.add(shop::read_part(shop::Document::parse("## Numbers\n### Halden 9-1\n"), "parts/t.md"));
  const History history(parts, {{"", &made.records}}, {kToday, 12});
  for (const BrandLine& line : brands_of(history, {{0}, {1}})) {
    if (line.name != "Halden") continue;
    CHECK(line.all.fitted == 24);
    CHECK(line.components == 2);
    CHECK(line.verdict == Verdict::too_few);  // four among rivals
  }
}

TEST_CASE("money is told for what nobody's safety hangs on") {
  Book made;
  for (int i = 0; i < 20; ++i) {
    made.fit("Halden 88-214", "2025-01-01");
    made.fit("Brevik WP-1", "2025-01-01");
  }
  const History history = made.history();
  const Standing standing = standing_of(history, {0}, By::number);
  const auto cost = [&](std::size_t i) {
    return choice_of(history, standing, standing.rivals[i], {90, 35});
  };
  REQUIRE(cost(0).has_value());
  CHECK(standing.rivals[0].name == "Brevik WP-1");
  CHECK(cost(0)->comeback.part == 0);  // its warranty outlasts the window
  CHECK(cost(0)->comeback.sum() == 125);
  CHECK(cost(1)->comeback.part == 40);
  shop::PartBook brakes;
  brakes.add(
      shop::read_part(shop::Document::parse(
                          "---\nsystem: brakes\n---\n## Numbers\n### Halden 88-214\n- price: 40\n"),
                      "parts/b.md"));
  const History critical(brakes, {{"", &made.records}}, {kToday, 12});
  const Standing there = standing_of(critical, {0}, By::number);
  CHECK_FALSE(choice_of(critical, there, there.rivals[0], {90, 35}).has_value());
}

TEST_CASE("records that cannot be are left aside and told; totals do not change") {
  Book made;
  for (int i = 0; i < 30; ++i) made.fit("Halden 88-214", "2026-01-01", "100000 km");
  const Standing before = standing_of(made.history(), {0}, By::number);
  std::mt19937 dice(4);
  const std::string first = made.records.front().id;
  constexpr int kBad = 200;
  for (int i = 0; i < kBad; ++i) {
    switch (i % 5) {
      case 0:
        made.fit("Halden 88-214", "2026-13-01");
        break;
      case 1:
        made.fit("Halden 88-214", "2999-01-01");
        break;
      case 2:
        made.back(first, "2020-01-01", "part failed");
        break;
      case 3:
        made.back(first, "soon", "part failed");
        break;
      default: {
        std::string rubbish;
        for (int c = 0; c < 20; ++c) rubbish += static_cast<char>('!' + dice() % 90);
        made.records.push_back(
            {"R" + std::to_string(i), rubbish, "comeback", {{"refers", rubbish}}});
      }
    }
  }
  const History history = made.history();
  const Standing after = standing_of(history, {0}, By::number);
  CHECK(after.all.all.fitted == before.all.all.fitted);
  CHECK(after.all.all.failed == before.all.all.failed);
  CHECK(history.findings().size() == kBad);
  for (const shop::Finding& finding : history.findings()) CHECK_FALSE(finding.message.empty());
  // Odometers that say nothing: distances are estimated, nothing is lost.
  Book odd;
  for (const char* odometer : {"", "x", "-5 km", "12 kPa", "1e99 km", "100 000", "NaN km"})
    odd.fit("Halden 88-214", "2026-01-01", odometer);
  const History odd_ones = odd.history();
  CHECK(odd_ones.fitted(0).size() == 7);
  for (const FittedPart& part : odd_ones.fitted(0)) CHECK(std::isfinite(part.km));
}

TEST_CASE("a shop's folder with records from elsewhere") {
  const test::Scratch folder;
  folder.put("parts/pump.md", "## Numbers\n### Halden 88-214\n");
  Book made;
  made.fit("Halden 88-214", "2026-01-01");
  const auto write = [&](const std::string& to) {
    CHECK(shop::append_record(files::real_disk(), folder.path(to), "bay", made.records[0]).ok());
    made.records[0].id += "x";
  };
  write("");
  write("received/north");
  write("received/south");
  shop::Findings findings;
  const History history = read_history(files::real_disk(), folder.folder(), {kToday, 12}, findings);
  CHECK(findings.empty());
  CHECK(history.locations() == std::vector<std::string>{"", "north", "south"});
  CHECK(history.count() == 3);
  CHECK(read_history(files::real_disk(), folder.path("nothing"), {kToday, 12}, findings).count() ==
        0);
}
