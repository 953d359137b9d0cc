#include "shop/outcome.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;

namespace {

Outcome outcome(const std::string& id, const std::string& right = "tip-1",
                const std::string& when = "2026-03-14T10:00:00+01:00") {
  Outcome made;
  made.id = id;
  made.when = when;
  made.who = "L. Adeyemi";
  made.right = right;
  made.used = {"tip-1", "tip-2"};
  made.minutes = 95;
  made.car = {"Corvane", "Hauler", 2016, "3.6 V6"};
  return made;
}

Outcome correction(const std::string& id, const std::string& corrects, const std::string& right,
                   const std::string& when) {
  Outcome made = outcome(id, right, when);
  made.corrects = corrects;
  return made;
}

Record withdrawal(const std::string& id, const std::string& of, const std::string& when) {
  Record record = withdrawal_of(of, "R. Okoro", "typed on the wrong car");
  record.id = id;
  record.when = when;
  return record;
}

Comeback comeback(const std::string& id, const std::string& of,
                  const std::string& reason = "part failed") {
  Comeback made;
  made.id = id;
  made.when = "2026-05-02T09:30:00+02:00";
  made.outcome = of;
  made.reason = reason;
  made.odometer = "91000 km";
  return made;
}

}  // namespace

TEST_CASE("an outcome comes back from its file as it went in") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  Outcome full = outcome("o1");
  full.job = "j1";
  full.result = Result::part_ordered;
  full.part = "Halden 88-214, with the gasket";
  full.odometer = "84200 km";
  full.minutes = 42.5;
  full.codes = {"P0128", "P0420-11"};
  full.order = "RO \"7731\"";
  full.text = "seized tap";
  full.corrects = "o0";
  REQUIRE(append_record(disk, scratch.folder(), "bay-1", record_of(full)));
  REQUIRE(append_record(disk, scratch.folder(), "bay-1", record_of(comeback("c1", "o1"))));
  const Records records = read_records(disk, scratch.folder());
  CHECK(records.findings.empty());
  REQUIRE(records.records.size() == 2);
  const auto back = outcome_of(records.records[1]);
  REQUIRE(back);
  CHECK(record_of(*back) == record_of(full));
  CHECK(back->used == full.used);
  CHECK(back->codes == full.codes);
  CHECK(back->car == full.car);
  CHECK(back->minutes == 42.5);
  CHECK(back->order == "RO \"7731\"");
  const auto failed = comeback_of(records.records[0]);
  REQUIRE(failed);
  CHECK(failed->outcome == "o1");
  CHECK(failed->reason == "part failed");
  CHECK_FALSE(outcome_of(records.records[0]));
  CHECK_FALSE(comeback_of(records.records[1]));
}

TEST_CASE("every result has its word") {
  for (const Result result :
       {Result::fixed, Result::not_fixed, Result::part_ordered, Result::declined})
    CHECK(read_result(result_word(result)) == result);
  CHECK_FALSE(read_result("mended"));
}

TEST_CASE("a correction takes the place of what it corrects, whatever is read first") {
  std::vector<Record> records = {
      record_of(outcome("o1", "tip-1")),
      record_of(correction("o2", "o1", "tip-2", "2026-03-15T10:00:00+01:00")),
      record_of(correction("o3", "o2", "tip-3", "2026-03-16T10:00:00+01:00")),
      // Another terminal corrected the first one too, later by the clock of the wall though its
      // time of day is smaller.
      record_of(correction("o4", "o1", "tip-4", "2026-03-16T09:30:00+00:00")),
      record_of(outcome("p1", "tip-9")),
      record_of(comeback("c1", "o1")),  // names the first, holds for what it became
      record_of(outcome("w1", "tip-5")),
      withdrawal("w2", "w1", "2026-03-20T10:00:00+01:00"),
      record_of(comeback("c2", "w1")),
  };
  std::mt19937 random(5);
  for (int round = 0; round < 200; ++round) {
    std::shuffle(records.begin(), records.end(), random);
    const std::vector<Finished> jobs = finished_jobs(records);
    REQUIRE(jobs.size() == 2);
    CHECK(jobs[0].outcome.id == "o4");
    CHECK(jobs[0].outcome.right == "tip-4");
    REQUIRE(jobs[0].comebacks.size() == 1);
    CHECK(jobs[0].comebacks[0].id == "c1");
    CHECK(jobs[1].outcome.id == "p1");
    CHECK(jobs[1].comebacks.empty());
  }
}

TEST_CASE("a correction that cannot be leaves standing what it names") {
  Record no_result = record_of(correction("o2", "o1", "tip-2", "2026-03-15T10:00:00Z"));
  no_result.fields.set("result", "mended");
  Comeback stray = comeback("c1", "o1");
  stray.corrects = "o1";
  Comeback lost = comeback("c3", "nothing");
  lost.corrects = "c2";
  std::vector<Record> records = {record_of(outcome("o1", "tip-1")), no_result, record_of(stray),
                                 record_of(comeback("c2", "o1")), record_of(lost)};
  std::mt19937 random(5);
  for (int round = 0; round < 50; ++round) {
    std::shuffle(records.begin(), records.end(), random);
    const std::vector<Finished> jobs = finished_jobs(records);
    REQUIRE(jobs.size() == 1);
    CHECK(jobs[0].outcome.id == "o1");
    REQUIRE(jobs[0].comebacks.size() == 1);
    CHECK(jobs[0].comebacks[0].id == "c2");
  }
}

TEST_CASE("thirty thousand corrections of each other are soon followed") {
  std::vector<Record> records;
  constexpr int kMany = 30000;
  for (int i = 0; i < kMany; ++i) {
    Record record{std::to_string(i), "2026-03-14T10:00:00Z", "outcome", {}};
    record.fields.set("result", "fixed");
    record.fields.set("corrects", std::to_string(i + 1));
    records.push_back(std::move(record));
  }
  for (int i = 0; i < kMany; ++i)
    records.push_back(
        {"c" + std::to_string(i), "2026-04-14T10:00:00Z", "comeback", {{"refers", "0"}}});
  const std::vector<Finished> jobs = finished_jobs(records);
  REQUIRE(jobs.size() == 1);
  CHECK(jobs[0].comebacks.size() == kMany);
}

TEST_CASE("records that correct each other in a ring still give one job") {
  const std::vector<Finished> jobs =
      finished_jobs({record_of(correction("a", "b", "tip-1", "2026-03-14T10:00:00Z")),
                     record_of(correction("b", "a", "tip-2", "2026-03-15T10:00:00Z")),
                     record_of(correction("c", "c", "tip-3", "2026-03-13T10:00:00Z"))});
  REQUIRE(jobs.size() == 2);
  CHECK(jobs[0].outcome.right == "tip-2");
  CHECK(jobs[1].outcome.right == "tip-3");
}

TEST_CASE("a finished job is found by vehicle, day or repair-order number") {
  Finished job;
  job.outcome = outcome("o1");
  job.outcome.order = "7731";
  CHECK(wanted(job, {}));
  CHECK(wanted(job, {"corvane", "HAULER", 2016, "2026-03-14", "2026-03-14", "7731"}));
  CHECK_FALSE(wanted(job, {"Ostrel", "", 0, "", "", ""}));
  CHECK_FALSE(wanted(job, {"", "Pallet", 0, "", "", ""}));
  CHECK_FALSE(wanted(job, {"", "", 2015, "", "", ""}));
  CHECK_FALSE(wanted(job, {"", "", 0, "2026-03-15", "", ""}));
  CHECK_FALSE(wanted(job, {"", "", 0, "", "2026-03-13", ""}));
  CHECK_FALSE(wanted(job, {"", "", 0, "", "", "7732"}));
}
