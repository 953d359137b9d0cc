#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <string>

#include "tools/program.h"

using namespace baylore::tools::test;
using nlohmann::json;

namespace {

constexpr const char* kPumps =
    "---\ntitle: Coolant pump\ncomponent: coolant pump\nsystem: cooling\n---\n## Numbers\n"
    "### Halden 88-214\n- grade: aftermarket\n- price: 40\n- superseded-by: 88-215\n"
    "### Halden 88-215\n- price: 44\n### Brevik WP-1\n- grade: original\n- price: 90\n"
    "## Goes with\n### Gasket\n- kind: seal\n";

constexpr const char* kColumns =
    "id,when,kind,tip,who,text,refers,corrects,job,result,reason,used,part,odometer,minutes,make,"
    "model,year,engine,codes,order,end\n";

std::string outcome(const std::string& id, const std::string& part) {
  return id + ",2025-01-10T10:00:00+01:00,outcome,,LA,,,,,fixed,,," + part +
         ",90000 km,60,Corvane,Hauler,2016,3.6 V6,,,.\n";
}

std::string comeback(const std::string& of) {
  return "C" + of + ",2025-04-10T10:00:00+01:00,comeback,,LA,,O" + of +
         ",,,,part failed,,,94000 km,,,,,,,,.\n";
}

// Thirty of each; nine of the Halden came back, one of the Brevik.
std::string records() {
  std::string text = kColumns;
  for (int i = 0; i < 30; ++i) {
    text += outcome("Oh" + std::to_string(i), "Halden 88-214");
    text += outcome("Ob" + std::to_string(i), "Brevik WP-1");
    if (i < 9) text += comeback("h" + std::to_string(i));
  }
  return text + comeback("b0");
}

struct Shop : Program {
  Shop() {
    put("parts/pump.md", kPumps);
    put("records/bay-1/2025-01.csv", records());
  }
};

const std::string kDay = " --as-of 2026-06-30";

}  // namespace

TEST_CASE("a number and its rivals: table, costs, order") {
  const Shop shop;
  const Ran ran = shop.run("stats --part 'halden 88214'" + kDay);
  CHECK(ran.err.empty());
  REQUIRE(ran.code == 0);
  CHECK(ran.out.find("Halden 88-214: Coolant pump, aftermarket\n") == 0);
  CHECK(ran.out.find("Superseded by Halden 88-215.") != std::string::npos);
  CHECK(ran.out.find("1 x Gasket: used once") != std::string::npos);
  CHECK(ran.out.find("Halden 88-214               30       9     0  18 to 45 %") !=
        std::string::npos);
  CHECK(ran.out.find("clearly worse") != std::string::npos);
  CHECK(ran.out.find("What it really costs") != std::string::npos);
}

TEST_CASE("JSON and CSV say the same") {
  const Shop shop;
  const Ran ran = shop.run("stats --part 88-214 --json" + kDay);
  REQUIRE(ran.code == 0);
  const json out = json::parse(ran.out);
  CHECK(out["part"]["superseded_by"] == json({"Halden 88-215"}));
  const json& rivals = out["tables"][0]["rivals"];
  REQUIRE(rivals.size() == 2);
  const json& halden = rivals[0]["name"] == "Halden 88-214" ? rivals[0] : rivals[1];
  CHECK(halden["all"]["failed"] == 9);
  CHECK(halden["verdict"] == "clearly worse");
  CHECK(halden["failures"].size() == 9);
  CHECK(halden["months"]["steps"].size() == 1);
  CHECK(halden["km"]["steps"][0]["time"].get<double>() == doctest::Approx(4000));
  // All on one day: no curve, and why.
  CHECK(halden["wear"]["why_not"].get<std::string>().find("at one time") != std::string::npos);
  const Ran csv = shop.run("stats --component 'Coolant pump' --csv" + kDay);
  REQUIRE(csv.code == 0);
  CHECK(csv.out.find("table,by,name,brand") == 0);
  CHECK(csv.out.find("coolant pump,brand,Halden,Halden,,30,21,9,0,0,30,9,9,30,") !=
        std::string::npos);
}

TEST_CASE("a brand, and the whole shop") {
  const Shop shop;
  const Ran brand = shop.run("stats --brand halden" + kDay);
  CHECK(brand.out.find("Halden in all: 30 fitted, 9 failed; ") != std::string::npos);
  CHECK(
      shop.run("stats" + kDay).out.find("Coolant pump: 60 fitted, 10 failed\n  Halden 88-214: ") ==
      0);
}

TEST_CASE("a note against the records") {
  Shop shop;
  CHECK(shop.run("stats --notes" + kDay).code == 0);
  shop.put("tips/a.md", "---\ntitle: T\n---\n## Parts\n### Halden 88-214\nCheap, and it lasts.\n");
  const Ran ran = shop.run("stats --notes" + kDay);
  CHECK(ran.code == 1);
  CHECK(ran.out ==
        "tips/a.md:5: Halden 88-214: note praises it; 9 of 30 came back, clearly worse\n");
}

TEST_CASE("pictures are written, and refused with the reason") {
  const Shop shop;
  REQUIRE(shop.run("stats --part WP-1 --plot '" + shop.beside("p.svg") + "'" + kDay).code == 0);
  const std::string svg = shop.get("../p.svg");
  CHECK(svg.find("<svg ") != std::string::npos);
  CHECK(svg.find("Halden 88-214") != std::string::npos);
  CHECK(svg.find("9 in 10 sure") != std::string::npos);
  REQUIRE(shop.run("stats --part WP-1 --plot '" + shop.beside("p.png") + "'" + kDay).code == 0);
  CHECK(shop.get("../p.png").substr(1, 3) == "PNG");
  const Ran other = shop.run("stats --part WP-1 --plot '" + shop.beside("p.jpg") + "'" + kDay);
  CHECK(other.code == 2);
  CHECK(other.err.find("is neither .svg nor .png") != std::string::npos);
  CHECK(shop.run("stats --plot p.svg").code == 2);
}

TEST_CASE("what is not listed, or may be several, is told") {
  Shop shop;
  CHECK(
      shop.run("stats --part 'Brevik 88-214'").err ==
      "--part Brevik 88-214: no part file lists it; Halden has this number: name that brand if it "
      "is meant\n");
  CHECK(shop.run("stats --component wheel").code == 2);
  CHECK(shop.run("stats --brand Nobody").code == 2);
  CHECK(shop.run("stats --as-of yesterday").err == "--as-of yesterday: no day: write 2026-10-31\n");
  shop.put("parts/b.md", "## Numbers\n### Tollan 88-214\n");
  CHECK(shop.run("stats --part 88-214").err ==
        "--part 88-214: may be any of Tollan 88-214, Halden 88-214: name the brand\n");
  // A comeback before its outcome is left aside, and told.
  shop.put("records/bay-1/2024-01.csv",
           std::string(kColumns) +
               "X,2024-01-01T10:00:00Z,comeback,,,,Oh20,,,,part failed,,,,,,,,,,,.\n");
  const Ran ran = shop.run("stats" + kDay);
  CHECK(ran.code == 1);
  CHECK(ran.err.find("X does not count: it came back before Oh20 was fitted") != std::string::npos);
}

TEST_CASE("a record that cannot be right is told until it is withdrawn") {
  Shop shop;
  shop.put("records/bay-1/2024-01.csv",
           std::string(kColumns) +
               "X,2024-01-01T10:00:00Z,outcome,,,,,,,mended,,,Halden 88-214,,,,,,,,,.\n");
  CHECK(shop.run("stats" + kDay).err ==
        "records:1:1: X does not count: `mended` is no result: correct it: fixed, not fixed, part "
        "ordered or declined\n");
  CHECK(shop.run("record --withdraw X --terminal bay-2").code == 0);
  CHECK(shop.run("stats" + kDay).err.empty());
}

TEST_CASE("a part bad in the box, and a claim sheet") {
  Shop shop;
  const Ran dead = shop.run(
      "record --dead 'Brevik WP-1' --text 'failed: winding, 3 ohm' --vehicle 'Corvane Hauler 2016' "
      "--when 2026-03-14T10:00:00+01:00 --terminal bay-2 --who LA");
  REQUIRE(dead.code == 0);
  CHECK(shop.get("records/bay-2/2026-03.csv")
            .find(",dead on arrival,,LA,\"failed: winding, 3 ohm\",") != std::string::npos);
  const Ran stats = shop.run("stats --part WP-1 --json" + kDay);
  CHECK(json::parse(stats.out)["tables"][0]["all"]["all"]["dead_on_arrival"] == 1);
  const std::string id = dead.out.substr(0, 26);
  CHECK(shop.run("record --withdraw " + id + " --terminal bay-2").code == 0);
  const Ran after = shop.run("stats --part WP-1 --json" + kDay);
  CHECK(json::parse(after.out)["tables"][0]["all"]["all"]["dead_on_arrival"] == 0);

  const Ran claim = shop.run("record --claim Ch0");
  REQUIRE(claim.code == 0);
  CHECK(claim.out.find("Part: Halden 88-214\n") == 0);
  CHECK(claim.out.find("Distance: 4000 km\n") != std::string::npos);
  CHECK(shop.run("record --claim nothing").code == 2);
}
