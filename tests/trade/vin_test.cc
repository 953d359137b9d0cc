#include "trade/vin.h"

#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"

using namespace baylore::trade;

namespace {

constexpr std::string_view kVin = "1M8GDM9AXKP042788";

Vin vin_of(std::string_view text, VehicleClass vehicle = VehicleClass::kUnknown) {
  const auto read = taken(read_vin(text, vehicle));
  REQUIRE(read);
  return *read;
}

}  // namespace

TEST_CASE("a VIN as typed and as scanned") {
  for (const std::string_view text :
       {"1M8GDM9AXKP042788", "1m8gdm9axkp042788", " 1M8GDM9AXKP042788 ", "1M8GD M9AXK P042788",
        "1M8-GDM9AX-KP042788", "I1M8GDM9AXKP042788", "*1M8GDM9AXKP042788*",
        "*I1M8GDM9AXKP042788*"}) {
    CAPTURE(std::string(text));
    const Vin vin = vin_of(text);
    CHECK(vin.text == kVin);
    CHECK(vin.valid);
    CHECK(vin.repairs.empty() == (vin.text == text || text.front() == ' '));
  }
}

TEST_CASE("a passing check digit is never called right") {
  const Vin vin = vin_of(kVin);
  CHECK(vin.reason.find("does not prove") != std::string::npos);
  CHECK(vin.reason.find("right") == std::string::npos);
  CHECK(vin.reason.find("correct") == std::string::npos);
}

TEST_CASE("position 7 decides for light vehicles only") {
  CHECK(vin_of(kVin).model_years == std::vector<int>{1989, 2019});
  CHECK(vin_of(kVin).year_if_light == 1989);
  CHECK(vin_of(kVin, VehicleClass::kLight).model_years == std::vector<int>{1989});
  CHECK(vin_of(kVin, VehicleClass::kOther).model_years == std::vector<int>{1989, 2019});
  CHECK(!vin_of(kVin, VehicleClass::kOther).year_if_light);
  // Without the North American check digit the North American rule is not used either.
  const Vin elsewhere = vin_of("WP0ZZZ99ZTS392124", VehicleClass::kLight);
  CHECK(!elsewhere.valid);
  CHECK(elsewhere.model_years == std::vector<int>{1996, 2026});
}

TEST_CASE("a hundred malformed VINs") {
  std::vector<std::string> made = {
      "",
      " ",
      "1",
      "VIN",
      "1M8GDM9AXKP04278",
      "1M8GDM9AXKP0427888",
      "11M8GDM9AXKP042788x",
      "*1M8GDM9AXKP04278*",
      "**",
      "*",
      "1M8GDM9AXKP042788*",
      "1M8GDM9AXKP04278\xFF",
      "1M8GDM9AXKP04278é",
      "IIM8GDM9AXKP042788",
      "not a vin at all!",
      "00000000000000000000",
      "1M8GDM9AXKP042788 1M8GDM9AXKP042788",
      "----",
      "                 ",
      "1M8GDM9AXKP0427\n8\n",
      "１M8GDM9AXKP04278",
      "I1M8GDM9AXKP04278",
  };
  // Each illegal letter and sign in each place.
  for (std::size_t place = 0; place < kVin.size(); ++place) {
    for (const char c : {'I', 'O', 'Q', 'o', '#', '?'}) {
      std::string one(kVin);
      one[place] = c;
      made.push_back(one);
    }
  }
  const std::vector<std::string_view> texts(made.begin(), made.end());
  expect_refusals(texts, 100, [](std::string_view text) { return read_vin(text); });
  CHECK(reason_in(read_vin("1M8GDM9AXKPO42788")).what == "no VIN has the letter O at place 12");
  CHECK(reason_in(read_vin("1M8GDM9AXKPO42788")).at == 11);
  CHECK(reason_in(read_vin("1M8GDM9AXKP04278")).what == "a VIN has 17 characters, this has 16");
}

TEST_CASE("a part of a VIN tells the year and no more") {
  const auto part = [](std::string_view text) { return taken(read_partial_vin(text)); };
  REQUIRE(part("1M8GDM9AXK"));
  CHECK(part("1M8GDM9AXK")->model_years == std::vector<int>{1989, 2019});
  CHECK(part("1M8GDM9AXK")->year_if_light == 1989);
  CHECK(!part("1M8GDM9AXK")->valid);
  CHECK(!part("1M8GDM9AXK")->complete);
  CHECK(!part("1M8GDM9AXK")->check);
  REQUIRE(part("KP042788"));
  CHECK(part("KP042788")->text == "*********KP042788");
  CHECK(part("KP042788")->model_years == std::vector<int>{1989, 2019});
  CHECK(!part("KP042788")->year_if_light);
  REQUIRE(part("1M8GDM?AXKP_42788"));
  CHECK(part("1M8GDM?AXKP_42788")->text == "1M8GDM*AXKP*42788");
  CHECK(!part("1M8GDM9AXKP042788"));  // a whole one
  CHECK(!part("1M8GDM9A"));
  CHECK(!part("042788"));
  CHECK(!part("1M8GDMOAXK"));
  CHECK(!part(""));
}

TEST_CASE("a VIN in a line is found and taken out") {
  const std::string_view line = "heater cold 1M8GDM9AXKP042788 at idle";
  const auto found = find_vin(line);
  REQUIRE(found);
  CHECK(found->exact);
  CHECK(line.substr(found->at, found->length) == kVin);
  CHECK(without_vins(line) == "heater cold at idle");
  CHECK(without_vins("1m8gdm9axkp042788 heater cold") == "heater cold");
  CHECK(without_vins("heater I1M8GDM9AXKP042788") == "heater");
  CHECK(without_vins("heater,1M8GD M9AXK P042788, cold") == "heater,, cold");
  CHECK(without_vins("heater 1M8GD  M9AXK - P042788 cold") == "heater cold");
  CHECK(without_vins("1M8GD -M9AXK\t P042788") == "");
  const auto groups = find_vin("heater 1M8GD M9AXK P042788 cold");
  REQUIRE(groups);
  CHECK(groups->exact);  // in groups, but without a slip
  CHECK(groups->at == 7);
  CHECK(groups->length == 19);
  CHECK(without_vins("1M8GDM9AXKP042788 1G4AH59H45G118341") == "");
  // One character short, one wrong letter: still somebody's car.
  CHECK(without_vins("heater 1M8GDM9AXKPO42788 cold") == "heater cold");
  CHECK(without_vins("heater 1M8GDM9AXKP04278 cold") == "heater cold");
  CHECK(!find_vin("1M8GDM9AXKP04278")->exact);
}

TEST_CASE("ordinary lines hold no VIN") {
  for (const std::string_view line :
       {"heater cold at idle, coolant lost only while cold", "P0420 P0171 hauler 2014-2018 3.6 V6",
        "part 88-214 torque 10 N·m", "01JD2Z6W0V4T9K3M8Q5XBN7RCE",
        "characteristically misunderstand", "12345678901234567890",
        "bay 3, bay 4, bay 5, bay 6 and bay 7", "", "counterclockwise",
        // Each comes to 17 characters in groups, with an agreeing check digit.
        "heat u0100-87 heat v6 seal-kit seal-kit", "heater u0100-87 rpm 3.6 seal-kit P0128",
        "f heater v6 9 u0100-87 hauler", "hauler l 3.6 vane 2016 12-16"}) {
    CAPTURE(std::string(line));
    CHECK(!find_vin(line));
    CHECK(without_vins(line) == line);
  }
}

TEST_CASE("noise never breaks the VIN readers") {
  survive_noise("ABCDEFGHJKLMNPRSTUVWXYZ0123456789*-", 20000,
                [](std::string_view text) { return read_vin(text); });
  survive_noise("ABCDEFGHJKLMNPRSTUVWXYZ0123456789*?_", 20000,
                [](std::string_view text) { return read_partial_vin(text); });
  survive_noise("AB0123456789 -", 20000, [](std::string_view text) {
    const std::string without = without_vins(text);
    return without.size() <= text.size() && !find_vin(without) ? Parsed<int>(0)
                                                               : Parsed<int>(Refusal{999, "", ""});
  });
}
