#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>

#include "tools/program.h"

using namespace baylore::tools::test;

namespace {

std::string without_line_end(std::string text) {
  if (!text.empty() && text.back() == '\n') text.pop_back();
  return text;
}

std::size_t lines(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

}  // namespace

TEST_CASE("an outcome, its correction and a comeback, listed and told of the tip") {
  Program program;
  program.put("tips/pump.md", kPump);
  const std::string common = " --terminal office-1";
  const Ran first = program.run(
      "record --result fixed --tip none --used pump --part 'Halden 88-214, new' --odometer '84200 "
      "km' "
      "--minutes 95 --vehicle 'Corvane Hauler 2016 3.6 V6' --codes P0128 --order 7731 --who LA "
      "--when 2026-03-14T10:00:00+01:00" +
      common);
  REQUIRE(first.code == 0);
  CHECK(first.err.empty());
  const std::string id = without_line_end(first.out);
  CHECK(id.size() == 26);
  CHECK(
      program.get("records/office-1/2026-03.csv") ==
      "id,when,kind,tip,who,text,refers,corrects,job,result,reason,used,part,odometer,minutes,make,"
      "model,year,engine,codes,order,end\n" +
          id +
          ",2026-03-14T10:00:00+01:00,outcome,none,LA,,,,,fixed,,pump,\"Halden 88-214, new\",84200 "
          "km,95,Corvane,Hauler,2016,3.6 V6,P0128,7731,.\n");

  const Ran right =
      program.run("record --result fixed --tip pump --minutes 95 --corrects " + id +
                  " --vehicle 'Corvane Hauler 2016' --when 2026-03-15T10:00:00+01:00" + common);
  REQUIRE(right.code == 0);
  // The comeback names the first record and holds for what it became.
  const Ran back = program.run("record --comeback " + id +
                               " --reason 'part failed' --when 2026-05-02T09:00:00+02:00" + common);
  REQUIRE(back.code == 0);

  const Ran listed = program.run("record --list --json");
  REQUIRE(listed.code == 0);
  const auto out = nlohmann::json::parse(listed.out);
  REQUIRE(out["jobs"].size() == 1);
  CHECK(out["jobs"][0]["tip"] == "pump");
  CHECK(out["jobs"][0]["id"] == without_line_end(right.out));
  CHECK(out["jobs"][0]["comebacks"][0]["reason"] == "part failed");
  CHECK(out["findings"].empty());

  const Ran proved = program.run("record --proved pump");
  CHECK(proved.out ==
        "used 1, right 1 (too few to judge: 21 to 100 %), came back 1, median 95 minutes\n");
  const auto told = nlohmann::json::parse(program.run("record --proved pump --json").out);
  CHECK(told["used"] == 1);
  CHECK(told["came_back"] == 1);
  CHECK(told["median_minutes"] == 95);
  CHECK(told["minutes"].is_null());

  REQUIRE(program.run("record --withdraw " + without_line_end(right.out) + common).code == 0);
  CHECK(program.run("record --list").out.empty());
}

TEST_CASE("finished jobs are found by vehicle, day and repair-order number") {
  Program program;
  const auto add = [&](const std::string& more) {
    REQUIRE(program.run("record --result 'not fixed' --terminal office-1 " + more).code == 0);
  };
  add("--vehicle 'Corvane Hauler 2016' --when 2026-03-14T10:00:00Z --order A1");
  add("--vehicle 'Corvane Hauler 2013' --when 2026-04-14T10:00:00Z");
  add("--when 2026-05-14T10:00:00Z");
  const auto found = [&](const std::string& by) {
    return lines(program.run("record --list " + by).out);
  };
  CHECK(found("") == 3);
  CHECK(found("--vehicle 'Corvane Hauler'") == 2);
  CHECK(found("--vehicle 'Hauler 2016'") == 1);
  CHECK(found("--order a1") == 1);
  CHECK(found("--since 2026-04-14") == 2);
  CHECK(found("--since 2026-04-01 --until 2026-04-30") == 1);
}

TEST_CASE("without a terminal the command line writes to a folder of its own") {
  Program program;
  program.environment = "XDG_STATE_HOME='" + program.beside("state") + "'";
  REQUIRE(program.run("record --result declined").code == 0);
  const auto second = nlohmann::json::parse(program.run("record --result declined --json").out);
  CHECK(second["kind"] == "outcome");
  const std::string month = second["when"].get<std::string>().substr(0, 7);
  const std::string file =
      program.get("records/" + second["terminal"].get<std::string>() + "/" + month + ".csv");
  CHECK(lines(file) == 3);
}

TEST_CASE("what cannot be a record is refused, and nothing is written") {
  Program program;
  program.put("tips/pump.md", kPump);
  program.put("tips/nameless.md", "---\ntitle: Without an id\n---\n");
  for (const char* bad :
       {"--result mended", "--result fixed --tip gone", "--result fixed --tip nameless",
        "--result fixed --odometer 84200", "--result fixed --odometer '3 V'",
        "--result fixed --minutes -5", "--result fixed --codes XYZ",
        "--result fixed --vehicle 'Nosuch Car'", "--result fixed --when yesterday",
        "--result fixed --corrects gone", "--comeback gone", "--withdraw gone", "--proved gone",
        "--result fixed --list", ""}) {
    const Ran ran = program.run(std::string("record --terminal office-1 ") + bad);
    CAPTURE(bad);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK_FALSE(ran.err.empty());
  }
  CHECK(program.get("records/office-1/2026-03.csv").empty());
  CHECK(program.run("record --list").out.empty());
}

TEST_CASE("a torn line of a record file is told and does no harm") {
  Program program;
  program.put("records/bay-1/2026-03.csv",
              "id,when,kind,tip,who,text,refers,end\nq1,2026-03-14T10:00:00Z,outco");
  const Ran ran = program.run("record --list");
  CHECK(ran.code == 1);
  CHECK(ran.err.find("records/bay-1/2026-03.csv:2:1: ") == 0);
}
