#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "tools/program.h"

using namespace baylore::tools::test;

TEST_CASE("rows for people, each with why") {
  Program program;
  program.put("tips/pump.md", kPump);
  program.put("tips/rattle.md", kRattle);
  Ran ran = program.run("search Heater idle Hauler 2016");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out ==
        "Heater + idle + Corvane Hauler 2016\n"
        "  1. Heater cold at idle, coolant lost\n"
        "     fits: title, vehicle  [pump]\n");

  ran = program.run("search rattle chirp");
  CHECK(ran.out ==
        "rattle + chirp\n"
        "No tip has “chirp”.\n"
        "  1. Rattle from the undertray\n"
        "     title  [rattle]\n");

  ran = program.run("search chirp");
  CHECK(ran.code == 0);
  CHECK(ran.out == "Nothing for chirp.\n");

  ran = program.run("search");
  CHECK(ran.code == 0);
  CHECK(ran.out == "Nothing for an empty line.\n");
}

TEST_CASE("search --json keeps its promises") {
  Program program;
  program.put("tips/pump.md", kPump);
  const Ran ran = program.run("search --json PO128 hauler heater 1M8GDM9AXKP042788");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("042788") == std::string::npos);
  const auto json = nlohmann::json::parse(ran.out);
  CHECK(json["understood"]["codes"] == nlohmann::json::array({"P0128"}));
  CHECK(json["understood"]["words"] == nlohmann::json::array({"heater"}));
  CHECK(json["understood"]["vehicle"]["model"] == "Hauler");
  CHECK(json["understood"]["vin_seen"] == true);
  CHECK(json["understood"]["tokens"].size() == 4);
  REQUIRE(json["results"].size() == 1);
  const auto& result = json["results"][0];
  CHECK(result["id"] == "pump");
  CHECK(result["title"] == "Heater cold at idle, coolant lost");
  CHECK(result["fit"] == "to 2018 only");  // the VIN says 1989 or 2019; the model began in 2012
  double sum = 0;
  for (const auto& why : result["why"]) sum += why["score"].get<double>();
  CHECK(sum == doctest::Approx(result["score"].get<double>()));
  CHECK(result["bold"] == nlohmann::json::array({nlohmann::json::array({0, 6})}));
}

TEST_CASE("a file of queries gives a TREC run") {
  Program program;
  program.put("tips/pump.md", kPump);
  program.put("tips/rattle.md", kRattle);
  program.put_beside("queries.tsv",
                     "# id, words, and whatever else\n"
                     "q1\tcoolant pump\tpump\tnote\n"
                     "\n"
                     "q2\tfrom the undertray idle\r\n"
                     "q3\tchirp\n");
  const std::string file = program.beside("queries.tsv");
  Ran ran = program.run("search --queries '" + file + "' --run");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  std::vector<std::string> lines;
  std::istringstream in(ran.out);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  REQUIRE(lines.size() == 3);
  CHECK(lines[0].rfind("q1 Q0 pump 1 ", 0) == 0);
  CHECK(lines[1].rfind("q2 Q0 rattle 1 ", 0) == 0);
  CHECK(lines[2].rfind("q2 Q0 pump 2 ", 0) == 0);
  for (const std::string& line : lines) {
    CHECK(line.substr(line.rfind(' ')) == " baylore");
  }

  ran = program.run("search --limit 1 --queries '" + file + "' --run");
  CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 2);

  CHECK(program.run("search --queries '" + file + "'").code == 2);
  CHECK(program.run("search --run").code == 2);
  program.put_beside("queries.tsv", "q1\tpump\nno tab here\n");
  ran = program.run("search --queries '" + file + "' --run");
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK(ran.err == file + ":2:1: not a query: write an id without blanks, a tab and the words\n");
  CHECK(program.run("search --run --queries nowhere.tsv").code == 2);
}
