// A tip from what a job left behind.
#include "job/trace.h"

#include <doctest/doctest.h>

#include <string>

#include "job/judge.h"
#include "shop/check/check.h"
#include "shop/tip.h"

using namespace baylore;
using job::Job;

namespace {

Job a_job() {
  Job job;
  job.id = "01JD2Z6W0V4T9K3M8Q5XBN7RCE";
  job.vehicle = {"Corvane", "Hauler", 2016, "3.6 V6"};
  job.line = "hauler heater cold at idle P0128";
  job.when = "cold start";
  job.often = "every time";
  job.code_state = {{"P0128", "stored"}, {"P0117", "pending"}};
  job.frames = {{"P0128", {{"coolant temperature", "41 °C"}, {"engine speed", "1840 rpm"}}}};
  job.initials = "LA";
  job.order = "RO 20417";
  job.bay = "bay 3";
  job.tried = {"thermostat-stuck"};
  job.readings = {
      {"coolant-hold-cold", false, "reading", "82 kPa", "", "", "Pressure left, cold", ">= 95 kPa",
       "outside"},
      {"hoses-dry", false, "yes", "", "", "", "Hoses dry", "no wet edge", "inside"},
      {"fan-runs", false, "could not check", "", "", "", "Fan runs", "runs at 100 °C", ""},
      {"coolant-hold-cold", true, "reading", "99 kPa", "", "", "Pressure left, cold", ">= 95 kPa",
       "inside"}};
  return job;
}

search::Understood a_line() {
  search::Understood line;
  line.words_typed = "heater cold at idle";
  line.codes = {"P0128"};
  return line;
}

}  // namespace

TEST_CASE("symptom, codes, vehicle, deciding readings and the part are there") {
  shop::Outcome outcome;
  outcome.part = "Halden 88-214";
  const shop::Document document = job::tip_from(a_job(), a_line(), &outcome);
  // Read back the way every bay reads it.
  const shop::Document again = shop::Document::parse(document.bytes());
  const shop::Tip tip = shop::read_tip(again, "tips/new.md");
  CHECK(tip.title == "Heater cold at idle");
  REQUIRE(tip.fits.size() == 1);
  CHECK(again.list("fits").at(0) == "Corvane | Hauler | 2016 | 3.6 V6");
  CHECK(again.list("codes") == std::vector<std::string>{"P0128", "P0117"});
  CHECK(again.list("when") == std::vector<std::string>{"cold start"});
  REQUIRE(again.section("symptom") != nullptr);
  CHECK(again.section("symptom")->body.find("hauler heater cold at idle P0128") !=
        std::string::npos);
  CHECK(again.section("symptom")->body.find("every time") != std::string::npos);
  REQUIRE(tip.checks.size() == 2);  // what could not be checked decided nothing
  CHECK(tip.checks[0].id == "coolant-hold-cold");
  CHECK(tip.checks[0].name == "Pressure left, cold");
  CHECK(tip.checks[0].expect_text == ">= 95 kPa");
  CHECK(tip.checks[0].outside == "suggests");
  CHECK(tip.checks[0].text.find("82 kPa") != std::string::npos);
  CHECK(tip.checks[1].inside == "hints");
  REQUIRE(tip.parts.size() == 1);
  CHECK(tip.parts[0].name == "Halden 88-214");
  REQUIRE(tip.verify.size() == 1);
  CHECK(tip.verify[0].again == "coolant-hold-cold");
  REQUIRE(tip.mistaken_for.size() == 1);
  CHECK(tip.mistaken_for[0].tip == "thermostat-stuck");
  REQUIRE(again.section("background") != nullptr);
  CHECK(again.section("background")->body.find("coolant 41 °C, 1840 rpm") != std::string::npos);
  // A draft that says nothing wrong to begin with.
  for (const shop::Finding& finding : shop::check_tip(again, tip))
    CHECK_MESSAGE(finding.level != shop::Level::error, finding.text());
}

TEST_CASE("what stays at home is not in it") {
  shop::Outcome outcome;
  outcome.order = "RO 20417";
  const std::string bytes = job::tip_from(a_job(), a_line(), &outcome).bytes();
  CHECK(bytes.find("20417") == std::string::npos);
  CHECK(bytes.find("bay 3") == std::string::npos);
  CHECK(bytes.find("LA") == std::string::npos);
}

TEST_CASE("an empty job is an empty tip with a title") {
  const shop::Document document = job::tip_from(Job{}, {}, nullptr);
  CHECK(document.value("title") == "New tip");
  CHECK(document.list("fits").empty());
  CHECK(document.section("checks") == nullptr);
  CHECK(document.section("parts") == nullptr);
}

TEST_CASE("what a result says of its check") {
  shop::Check check;
  check.expect = std::nullopt;
  job::Reading reading;
  CHECK(job::said(job::judge(check, nullptr)).empty());
  for (const auto& [result, said] :
       {std::pair{"yes", "inside"}, std::pair{"no", "outside"}, std::pair{"not showing now", ""},
        std::pair{"could not check", ""}}) {
    reading.result = result;
    CHECK(job::said(job::judge(check, &reading)) == said);
  }
}
