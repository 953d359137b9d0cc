#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tools/program.h"

using namespace baylore::tools::test;

TEST_CASE("check prints findings where a compiler would and exits 1") {
  Program program;
  program.put("tips/pump.md", kPump);
  Ran ran = program.run("check");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out == "1 tip read: 0 errors, 0 warnings, 0 notes.\n");

  program.put("tips/broken.md", kBroken);
  ran = program.run("check");
  CHECK(ran.code == 1);
  CHECK(ran.err.rfind("tips/broken.md:8:11: ", 0) == 0);
  // where: what is wrong: what to do
  const std::string said = ran.err.substr(std::string("tips/broken.md:8:11: ").size());
  CHECK(said.find(": ") != std::string::npos);
  CHECK(ran.out.find("2 tips read: ") == 0);
}

TEST_CASE("check --json holds the same findings") {
  Program program;
  program.put("tips/broken.md", kBroken);
  const Ran ran = program.run("check --json");
  CHECK(ran.code == 1);
  CHECK(ran.err.empty());
  const auto json = nlohmann::json::parse(ran.out);
  REQUIRE(json["findings"].size() == 1);
  const auto& finding = json["findings"][0];
  CHECK(finding["file"] == "tips/broken.md");
  CHECK(finding["line"] == 8);
  CHECK(finding["column"] == 11);
  CHECK_FALSE(finding["level"].get<std::string>().empty());
  CHECK_FALSE(finding["rule"].get<std::string>().empty());
  CHECK_FALSE(finding["message"].get<std::string>().empty());
  CHECK_FALSE(finding["remedy"].get<std::string>().empty());
}

TEST_CASE("check compares the files of a shop, and notes alone are no failure") {
  Program program;
  program.put("tips/pump.md", kPump);
  std::string other = kPump;
  other.replace(other.find("id: pump"), 8, "id: cover");
  other.insert(other.find("component:"), "mistaken-for:\n  - pmp | x\n");
  program.put("tips/cover.md", other);
  const Ran ran = program.run("check");
  CHECK(ran.code == 1);
  CHECK(ran.err.find("tips/cover.md:9:5: `pmp` is no tip of this shop: did you mean `pump`?\n") !=
        std::string::npos);

  Program notes;
  notes.put("tips/a.md", "---\ntitle: T\nauthro: A. Lund\n---\n");
  const Ran noted = notes.run("check");
  CHECK(noted.code == 0);
  CHECK(noted.err == "tips/a.md:3:1: `authro` means nothing here: did you mean `author`?\n");
  CHECK(noted.out == "1 tip read: 0 errors, 0 warnings, 1 note.\n");
}

TEST_CASE("check could not run") {
  const Program program;
  const Ran ran = program.run_plain("check --json --shop '" + program.beside("nowhere") + "'");
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK_FALSE(ran.err.empty());
}
