#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tools/program.h"

using namespace baylore::tools::test;

TEST_CASE("show prints a tip as plain text, cautions before the first check") {
  Program program;
  program.put("tips/pump.md", kPump);
  const Ran ran = program.run("show pump");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  const std::string head =
      "Heater cold at idle, coolant lost\n"
      "pump | current | cooling | coolant pump | R. Okoro 2026-03-14\n"
      "Fits: Corvane Hauler 2014\xE2\x80\x93"
      "2018, 3.6 V6\n"
      "Codes: P0128\n"
      "\n"
      "CAUTION: ";
  CHECK(ran.out.substr(0, head.size()) == head);
  const std::string tail =
      "\nSymptom\n"
      "   Low tank each morning.\n"
      "\nChecks\n"
      "1. Pressure left after 10 minutes\n"
      "   expect 95 kPa or more | 12 min\n"
      "   outside suggests this cause\n"
      "   Pump to 100 kPa. Why: the seal leaks only while cold.\n"
      "\nFasteners\n"
      "Pump bolts: 5 x M6x1.0, 5 N\xC2\xB7m; 10 N\xC2\xB7m, in the order 1 4 2 5 3, reuse: yes\n"
      "\nTorque, fluid and clearance values are this shop's notes: the vehicle maker's service "
      "information decides.\n";
  REQUIRE(ran.out.size() > tail.size());
  CHECK(ran.out.substr(ran.out.size() - tail.size()) == tail);
}

TEST_CASE("show finds by id, slug and path, and says what it cannot find") {
  Program program;
  program.put("tips/cooling/low-tank.md", kPump);
  CHECK(program.run("show pump").code == 0);
  CHECK(program.run("show low-tank").code == 0);
  CHECK(program.run("show tips/cooling/low-tank.md").code == 0);
  const Ran ran = program.run("show nothing");
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK(ran.err ==
        "nothing: no tip has this id, slug or path: baylore search finds it by its words\n");
}

TEST_CASE("a broken tip is shown, with what is not understood, and exits 1") {
  Program program;
  program.put("tips/broken.md", kBroken);
  const Ran ran = program.run("show broken");
  CHECK(ran.code == 1);
  CHECK(ran.err.rfind("tips/broken.md:8:11: ", 0) == 0);
  CHECK(ran.out.find("Voltage at idle") != std::string::npos);
  CHECK(ran.out.find("14.8 .. 13.5 V") != std::string::npos);
}

TEST_CASE("show --json") {
  Program program;
  program.put("tips/pump.md", kPump);
  const Ran ran = program.run("show pump --json");
  CHECK(ran.code == 0);
  const auto json = nlohmann::json::parse(ran.out);
  CHECK(json["id"] == "pump");
  CHECK(json["fits"][0]["first_year"] == 2014);
  CHECK(json["codes"] == nlohmann::json::array({"P0128"}));
  CHECK(json["sections"][0]["key"] == "symptom");
  CHECK(json["sections"][0]["text"] == "Low tank each morning.");
  CHECK_FALSE(json["cautions"].empty());
  CHECK(json["broken"] == false);
}
