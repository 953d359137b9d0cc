#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tools/program.h"

using namespace baylore::tools::test;

namespace {

// Rows as the US EPA and DOE publish them, with invented names; see its README.
const std::string kFrom =
    "vehicles --from '" BAYLORE_SOURCE_DIR "/tests/tools/data/fuel_economy.csv'";
const char* const kInto = "vocabulary/makes-from-epa.md";

std::string makes_in(const Program& program) {
  const std::string text = program.get(kInto);
  const std::size_t at = text.find("## Makes\n");
  return at == std::string::npos ? std::string() : text.substr(at);
}

}  // namespace

TEST_CASE("vehicles gathers rows into models, years and engines") {
  const Program program;
  Ran ran = program.run(kFrom);
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out == "vocabulary/makes-from-epa.md: 8 lines of 4 makes from 24 rows, written.\n");
  CHECK(makes_in(program) ==
        "## Makes\n"
        "### Corvane\n"
        "- model: Grand Pallet | 1999 | 2.4; 3.0; 3.3; 3.8\n"
        "- model: Pallet | 1999 | 2.4; 3.0; 3.3; 3.8\n"
        "### Merrin\n"
        "- model: Kite | 2003 | 1.9 diesel; 2.0; 2.8\n"
        "- model: Lumen | 2014 | 1.4 hybrid\n"
        "- model: Lumen EV | 2012 | electric\n"
        "### Ostrel\n"
        "- model: 18 D/18 G | 1986 | 2.3\n"
        "### Tavik\n"
        "- model: Tern | 1996 | 3.0\n"
        "- model: Tern | 1998-1999 | 3.0; 3.2\n");
  const std::string first = program.get(kInto);
  CHECK(first.find("fueleconomy.gov") != std::string::npos);

  // Again: the same, and not written.
  ran = program.run(kFrom + " --json");
  CHECK(ran.code == 0);
  const auto json = nlohmann::json::parse(ran.out);
  CHECK(json["changed"] == false);
  CHECK(json["models"] == 8);
  CHECK(program.get(kInto) == first);

  // The shop understands it, and has nothing against it.
  CHECK(program.run("check").code == 0);
  const auto search = nlohmann::json::parse(program.run("search --json 1998 tern 3.2 rattle").out);
  const auto& vehicle = search["understood"]["vehicle"];
  CHECK(vehicle["make"] == "Tavik");
  CHECK(vehicle["model"] == "Tern");
  CHECK(vehicle["engine"] == "3.2");
}

TEST_CASE("what the shop wrote by hand wins and is never written over") {
  Program program;
  const std::string own = "## Makes\n### Merrin\n- model: KITE | 2003-2009 | 2.0 I4\n";
  program.put("vocabulary/own.md", own);
  CHECK(program.run(kFrom).code == 0);
  CHECK(program.get("vocabulary/own.md") == own);
  CHECK(makes_in(program).find("Kite") == std::string::npos);
  CHECK(makes_in(program).find("Lumen EV") != std::string::npos);

  const Ran ran = program.run(kFrom + " --into vocabulary/own.md");
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK(ran.err == "vocabulary/own.md: written by hand: give another name with --into\n");
  CHECK(program.get("vocabulary/own.md") == own);
  CHECK(program.run(kFrom + " --into tips/x.md").code == 2);
  CHECK(program.run(kFrom + " --into vocabulary/../tips/x.md").code == 2);
  CHECK(program.run(kFrom + " --into vocabulary/other.md").code == 0);
}

TEST_CASE("lines that are wrong are told by place and left out") {
  Program program;
  program.put_beside("cars.csv",
                     "year,displ,model,make,fuel\r\n"
                     "2004,2.4,\"Osier, \"\"long\"\"\",Tavik,Regular\r\n"
                     "\r\n"
                     "20x4,2.4,Osier,Tavik,Regular\r\n"
                     "2004,2.4,Osier,Tavik\r\n"
                     "2004,fast,Osier,Tavik,Regular\r\n"
                     "2004,2.4,Osier|2004,Tavik,Regular\r\n"
                     "2004,2.4,Osier,,Regular\r\n"
                     "2004,2.4,\"Osier,Tavik,Regular\r\n"
                     "2004,2.4,Os\xFFier,Tavik,Regular\r\n"
                     "2005,NA,OSIER 4WD,TAVIK,CNG\r\n"
                     "2006,2.5,Osier,Tavik,Diesel");
  const std::string file = program.beside("cars.csv");
  const Ran ran = program.run("vehicles --from '" + file + "'");
  CHECK(ran.code == 1);
  CHECK(makes_in(program) ==
        "## Makes\n### Tavik\n"
        "- model: OSIER | 2005-2006 | 2.5 diesel; CNG\n"
        "- model: Osier, \"long\" | 2004 | 2.4\n");
  for (const char* place :
       {":4:1: `20x4` is no model year", ":5:1: 4 fields where", ":6:6: `fast` are no litres",
        ":7:10: `Osier|2004` cannot be a model", ":8:16: `` cannot be a make",
        ":9:1: a quote has no end", ":10:1: this is not UTF-8"}) {
    INFO(std::string(place));
    CHECK(ran.err.find(file + place) != std::string::npos);
  }
}

TEST_CASE("a file that is something else writes nothing") {
  Program program;
  for (const char* bytes : {"", "a,b,c\n1,2,3\n", "make,model,year\n", "make,model,year\n,,\n"}) {
    INFO(std::string(bytes));
    program.put_beside("cars.csv", bytes);
    const Ran ran = program.run("vehicles --from '" + program.beside("cars.csv") + "'");
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK_FALSE(ran.err.empty());
    CHECK(program.get(kInto).empty());
  }
  CHECK(program.run("vehicles --from nowhere.csv").code == 2);
  CHECK(program.run("vehicles").code == 2);
}
