#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tools/program.h"

using namespace baylore::tools::test;

namespace {

// Two causes of one complaint, told apart by one voltage; and another complaint.
void fill(Program& program) {
  const auto tip = [&](const std::string& slug, const std::string& title, const std::string& code,
                       const std::string& checks) {
    program.put("tips/" + slug + ".md",
                "---\nid: " + slug + "\ntitle: " + title +
                    "\nfits:\n  - Corvane | Hauler | 2014-2018 |\ncodes:\n  - " + code +
                    "\nrepair-minutes: 60\n---\n\n## Symptom\nIt is so.\n\n"
                    "## Checks\n" +
                    checks);
  };
  const std::string volts =
      "### Voltage at the battery, loaded\n- check: volts\n- minutes: 3\n- tools: multimeter\n"
      "- expect: 13.5 .. 14.8 V\n";
  tip("alternator", "Battery light, slow alternator", "P0622",
      volts + "- outside: suggests\n- inside: suggests against\n");
  tip("cable", "Battery light, corroded cable", "P0620",
      volts +
          "- outside: suggests against\n- inside: hints\n\n### Drop along the cable\n"
          "- check: drop\n- minutes: 6\n- access: engine cover 2\n- tools: multimeter, clamp\n"
          "- expect: <= 0.3 V\n- outside: proves\n- inside: rules out\n");
  tip("brakes", "Brake drags", "C0040", "");
}

}  // namespace

TEST_CASE("diagnose ranks the causes and proposes the next check with its reason") {
  Program program;
  fill(program);
  const Ran ran =
      program.run("diagnose --vehicle 'Corvane Hauler 2016' --complaint 'battery light'");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out ==
        " 48 %  likely       Battery light, slow alternator  [alternator]\n"
        " 47 %  likely       Battery light, corroded cable  [cable]\n"
        "  5 %  possible     Something not in the book\n"
        "\n"
        "Next: Drop along the cable  [drop]\n"
        "  splits the two likeliest, 8 minutes with engine cover, multimeter, clamp\n"
        "  expect 0.3 V or less\n"
        "  otherwise (47 %): 99 % Battery light, corroded cable\n"
        "  as expected (53 %): 90 % Battery light, slow alternator\n");
}

TEST_CASE("results move the weights, and the ledger says by what") {
  Program program;
  fill(program);
  const Ran ran = program.run(
      "diagnose --vehicle 'Corvane Hauler 2016' --complaint 'battery light' --codes P0620 "
      "--result drop='0.9 V' --result volts=yes --ledger");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("for  x7      code P0620: read, and the tip lists it") != std::string::npos);
  CHECK(ran.out.find("Drop along the cable: 0.9 V, 0.6 V over the range; proves this cause") !=
        std::string::npos);
  CHECK(ran.out.find("Voltage at the battery, loaded: yes, 13.5 to 14.8 V; hints at this cause") !=
        std::string::npos);
  CHECK(ran.out.find("Next: repair Battery light, corroded cable\n") != std::string::npos);
  CHECK(ran.out.find("sure, repair 60 minutes") != std::string::npos);
}

TEST_CASE("diagnose --json holds the ranking, the next check, the ledger and every check") {
  Program program;
  fill(program);
  const Ran ran = program.run(
      "diagnose --vehicle 'Corvane Hauler 2016' --complaint 'battery light' --json --without "
      "clamp");
  REQUIRE(ran.code == 0);
  const auto out = nlohmann::json::parse(ran.out);
  double sum = 0;
  for (const auto& cause : out["causes"]) sum += cause["weight"].get<double>();
  CHECK(sum == doctest::Approx(1));
  CHECK(out["causes"].size() == 3);
  CHECK(out["next"]["kind"] == "check");
  CHECK(out["next"]["check"] == "volts");
  CHECK(out["next"]["why"] == "splits the two likeliest, 3 minutes, multimeter");
  CHECK(out["next"]["outside"]["cause"] == "alternator");
  CHECK(out["next"]["inside"]["cause"] == "cable");
  REQUIRE(out["checks"].size() == 2);
  CHECK(out["checks"][0]["check"] == "volts");
  CHECK(out["checks"][0]["tips"].size() == 2);
  CHECK(out["checks"][1]["aside"] == "tool missing");
  CHECK(out["checks"][1]["minutes"] == 8);
  CHECK(out["troubles"].empty());

  const Ran repaired = program.run(
      "diagnose --vehicle 'Corvane Hauler 2016' --complaint 'battery light' --json "
      "--result volts='not showing now' --repaired cable");
  REQUIRE(repaired.code == 0);
  const auto after = nlohmann::json::parse(repaired.out);
  for (const auto& cause : after["causes"]) CHECK(cause["tried"] == (cause["tip"] == "cable"));
}

TEST_CASE("what diagnose cannot use is said: exit 1 for a result, 2 for what names the job") {
  Program program;
  fill(program);
  const std::string job = "diagnose --complaint 'battery light' ";
  const Ran unread = program.run(job + "--result volts='3 kPa' --result gone=yes");
  CHECK(unread.code == 1);
  CHECK(unread.err.find("gone: no tip of this case has this check") != std::string::npos);
  CHECK(unread.err.find("volts “3 kPa”: ") != std::string::npos);
  CHECK_FALSE(unread.out.empty());
  for (const char* bad : {"--result volts", "--codes Q1", "--codes P0620:old", "--repaired gone",
                          "--vehicle 'Corvane Wobble'"}) {
    const Ran ran = program.run(job + bad);
    CAPTURE(bad);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK_FALSE(ran.err.empty());
  }
}

TEST_CASE("a complaint that nothing fits is not in the book") {
  Program program;
  fill(program);
  const Ran ran = program.run("diagnose --complaint 'sunroof'");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("100 %  very likely  Something not in the book\n") != std::string::npos);
  CHECK(ran.out.find("Next: look further than the book\n") != std::string::npos);
}
