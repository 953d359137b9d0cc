#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tools/program.h"

using namespace baylore::tools::test;

TEST_CASE("build says what it found and what changed") {
  Program program;
  program.put("tips/pump.md", kPump);
  Ran ran = program.run("build");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out ==
        "Built anew: no store yet.\n"
        "1 tip findable, 0 broken. Files: 3 added, 0 changed, 0 removed, 0 unchanged.\n");

  program.put("tips/rattle.md", kRattle);
  ran = program.run("build");
  CHECK(ran.code == 0);
  CHECK(ran.out ==
        "2 tips findable, 0 broken. Files: 1 added, 0 changed, 0 removed, 3 unchanged.\n");

  ran = program.run("build --from-scratch");
  CHECK(ran.out.rfind("Built anew: asked for.\n", 0) == 0);

  ran = program.run("build --json");
  CHECK(ran.code == 0);
  const auto json = nlohmann::json::parse(ran.out);
  CHECK(json["tips"] == 2);
  CHECK(json["rebuilt"] == false);
  CHECK(json["unchanged"] == 4);
}

TEST_CASE("where the shop is has to be said") {
  Program program;
  program.put("tips/pump.md", kPump);
  Ran ran = program.run_plain("build");
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK(ran.err.find("--shop is required") != std::string::npos);

  ran = program.run_plain("build --shop nowhere");
  CHECK(ran.code == 2);
  CHECK(ran.err == "nowhere: no shop folder here: name one with --shop or BAYLORE_SHOP\n");

  program.environment = "BAYLORE_SHOP='" + program.beside("shop") + "'";
  ran = program.run_plain("build --store '" + program.beside("store") + "'");
  CHECK(ran.code == 0);
}

TEST_CASE("what cannot be run exits 2, help exits 0") {
  const Program program;
  CHECK(program.run_plain("").code == 2);
  CHECK(program.run_plain("mend").code == 2);
  CHECK(program.run("build --quickly").code == 2);
  const Ran help = program.run_plain("--help");
  CHECK(help.code == 0);
  CHECK(help.out.find("search") != std::string::npos);
  CHECK(program.run_plain("search --help").code == 0);
}
