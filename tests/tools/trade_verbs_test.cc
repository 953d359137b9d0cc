// Transcripts of the verbs that need no shop: vin, code, convert, torque, work-out.
#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "tools/program.h"

using namespace baylore::tools::test;
using Json = nlohmann::json;

namespace {

Json json_of(const Ran& ran) {
  CHECK(ran.code != 2);
  return Json::parse(ran.out, nullptr, false);
}

// The tables print six digits or more.
bool near(double a, double b) { return std::abs(a - b) <= 1e-5 * std::abs(b); }

}  // namespace

// VINs, sums and years: 49 CFR 565 and its printed examples, as in tests/outside/trade_vin_test.cc.
TEST_CASE("vin says what a check digit tells, and what it does not prove") {
  const Program program;
  const Ran ran = program.run_plain("vin 1m8gdm9axkp042788");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out ==
        "1M8GDM9AXKP042788\n"
        "  small letters read as capitals\n"
        "  the check digit agrees; that does not prove the VIN, as about 1 slip in 13 passes too.\n"
        "  Model year 1989 or 2019; 1989 if it is a light North American vehicle.\n");
}

TEST_CASE("vin --json, right, with a slip, and no VIN at all") {
  const Program program;
  Ran ran = program.run_plain("vin 1M8GDM9AXKP042788 --json");
  CHECK(ran.code == 0);
  Json json = json_of(ran);
  CHECK(json["vin"] == "1M8GDM9AXKP042788");
  CHECK(json["valid"] == true);
  CHECK(json["check_digit"] == "X");
  CHECK(json["model_years"] == Json::array({1989, 2019}));
  CHECK(json["reason"].get<std::string>().find("does not prove") != std::string::npos);

  ran = program.run_plain("vin 1M8GDM9A1KP042788 --json");
  CHECK(ran.code == 1);
  json = json_of(ran);
  CHECK(json["valid"] == false);
  CHECK(json["check_digit"] == "X");
  CHECK(json["stated"] == "1");

  ran = program.run_plain("vin 1M8GDM9AXKPO42788 --json");
  CHECK(ran.code == 1);
  json = json_of(ran);
  CHECK(json["valid"] == false);
  CHECK(json["check_digit"].is_null());
  CHECK(json["reason"] == "no VIN has the letter O at place 12: is it a 0?");

  CHECK(program.run_plain("vin 1M8GDM9AXKP04278").code == 1);  // 16 characters
  CHECK(program.run_plain("vin 00000000000000000").code == 1);
  CHECK(program.run_plain("vin").code == 2);
}

TEST_CASE("vin reads parts, and the year by place 7 only where the rule holds") {
  const Program program;
  const auto years = [&](const std::string& arguments) {
    return json_of(program.run_plain("vin --json " + arguments))["model_years"];
  };
  CHECK(years("1M8GDM9AXK --part") == Json::array({1989, 2019}));
  CHECK(years("1J9RP1A36A1644345 --light") == Json::array({2010}));
  // A motorcycle: place 7 says nothing.
  CHECK(years("LJCPCBLCX11000237 --other") == Json::array({2001, 2031}));
  CHECK(program.run_plain("vin 1M8GDM9AXKP042788 --light --other").code == 2);
}

TEST_CASE("code shows every repair and who defines the code") {
  const Program program;
  Ran ran = program.run_plain("code po420 u0100-87");
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out ==
        "P0420  powertrain, ISO/SAE, auxiliary emission controls  (0420)\n"
        "       small letters read as capitals\n"
        "       the letter O read as zero\n"
        "U0100-87  network, ISO/SAE; failure type 87  (C100)\n"
        "       small letters read as capitals\n");

  ran = program.run_plain("code 'P0301, P4420' --json");
  CHECK(ran.code == 1);
  CHECK(ran.err.find("P0301, P4420:9: ") == 0);
  const Json json = json_of(ran);
  REQUIRE(json.size() == 1);
  CHECK(json[0]["code"] == "P0301");
  CHECK(json[0]["base"] == "P0301");
  CHECK(json[0]["system"] == "powertrain");
  CHECK(json[0]["defined_by"] == "ISO/SAE");
  CHECK(json[0]["hex"] == "0301");
  CHECK(json[0]["repaired"] == false);

  const Json typed = json_of(program.run_plain("code P0420-11 --json"));
  CHECK(typed[0]["code"] == "P0420-11");
  CHECK(typed[0]["base"] == "P0420");
  CHECK(typed[0]["failure_type"].get<std::string>().find("ground") != std::string::npos);
  CHECK(program.run_plain("code ' '").code == 1);
}

// Factors: NIST SP 811, as in tests/outside/trade_check_values_test.cc.
TEST_CASE("convert keeps what was typed and rounds only what it shows") {
  const Program program;
  Ran ran = program.run_plain(
      "convert '80 lbf\xC2\xB7"
      "ft' 'N\xC2\xB7m'");
  CHECK(ran.code == 0);
  CHECK(ran.out ==
        "80 lbf\xC2\xB7"
        "ft = 108 N\xC2\xB7m\n");
  const Json json = json_of(program.run_plain("convert 80 ft-lb to Nm --json"));
  CHECK(near(json["value"].get<double>(), 108.465436));
  CHECK(json["unit"] == "N\xC2\xB7m");
  CHECK(json["shown"] == "108 N\xC2\xB7m");
  CHECK(program.run_plain("convert -40 degC degF").out ==
        "-40 \xC2\xB0"
        "C = -40 \xC2\xB0"
        "F\n");
  // A range is rounded inward: 14.75 .. 18.44.
  const Json range = json_of(program.run_plain("convert '20-25 Nm' ft-lb --json"));
  CHECK(range["low"] == 14.8);
  CHECK(range["high"] == 18.4);

  for (const char* wrong : {"convert '5 V' kPa", "convert 80 Nm", "convert '80 foo' Nm",
                            "convert '1,500 rpm' rpm", "convert '2 MOHM' ohm", "convert 5"}) {
    INFO(std::string(wrong));
    ran = program.run_plain(wrong);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK_FALSE(ran.err.empty());
  }
}

// Window: T = K D F with the proof stress of ISO 898-1, as in tests/outside/trade_torque_test.cc.
TEST_CASE("torque gives a window as advice, and never calls a torque right") {
  const Program program;
  const Json json = json_of(program.run_plain("torque --thread M10x1.5 --class 8.8 --json"));
  CHECK(near(json["low"].get<double>(), 25.23));
  CHECK(near(json["oiled"].get<double>(), 37.845));
  CHECK(near(json["dry"].get<double>(), 50.46));
  CHECK(near(json["high"].get<double>(), 67.28));
  CHECK(json["unit"] == "N\xC2\xB7m");
  CHECK(json["advice"].get<std::string>().find("the vehicle maker's value always wins") !=
        std::string::npos);
  const Json inch =
      json_of(program.run_plain("torque --thread 3/8-16 --class 'Grade 5' --unit ft-lb --json"));
  CHECK(std::abs(inch["dry"].get<double>() - 30.8789) < 0.05);

  Ran ran = program.run_plain("torque --thread M10 --class 8.8 --check '45 Nm'");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("45 N\xC2\xB7m is inside. That proves nothing") != std::string::npos);

  ran = program.run_plain("torque --thread M6 --class 8.8 --check '89 ft-lb' --json");
  CHECK(ran.code == 1);
  const Json slip = json_of(ran)["checked"];
  CHECK(slip["place"] == "above");
  CHECK(slip["did_you_mean"] == "lbf\xC2\xB7in");

  // An angle stretches the bolt by geometry: silence.
  ran = program.run_plain("torque --thread M6 --class 8.8 --check '60 Nm + 90 deg' --json");
  CHECK(ran.code == 0);
  CHECK(json_of(ran)["checked"]["place"].is_null());
}

// Adapter: TM 1-1500-204-23-9 and TM 9-254.
TEST_CASE("torque works out an adapter both ways") {
  const Program program;
  const std::string wrench = " --length 400 --reach 50 ";
  Json json = json_of(program.run_plain("torque --set-for '100 Nm' --angle 45 --json" + wrench));
  CHECK(near(json["set"].get<double>(), 91.8789697));
  CHECK(json["applied"] == 100);
  json = json_of(program.run_plain("torque --set-for 100 --angle 0 --json" + wrench));
  CHECK(near(json["set"].get<double>(), 88.8888889));
  json = json_of(program.run_plain("torque --set-to 100 --json" + wrench));
  CHECK(near(json["applied"].get<double>(), 112.5));
  json =
      json_of(program.run_plain("torque --set-for '300 in-lb' --length 10in --reach 4in --json"));
  CHECK(near(json["set"].get<double>(), 214.285714));
  CHECK(json["unit"] == "lbf\xC2\xB7in");

  for (const char* wrong :
       {"torque", "torque --thread M6", "torque --thread M6x9 --class 8.8",
        "torque --thread M6 --class 5.6", "torque --thread M30 --class 8.8",
        "torque --thread 1/4-20 --class 8.8", "torque --set-for 100",
        "torque --set-for 100 --length 40 --reach 50 --angle 180",
        "torque --set-for '100 kPa' --length 400", "torque --thread M6 --class 8.8 --unit kPa"}) {
    INFO(std::string(wrong));
    const Ran ran = program.run_plain(wrong);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err.find(": ") != std::string::npos);
  }
}

// One value of each formula, from the sources of tests/outside/trade_*_test.cc.
TEST_CASE("work-out reaches every formula by its name") {
  const Program program;
  struct Case {
    const char* arguments;
    std::size_t result;
    double value;
  };
  const Case cases[] = {
      {"current volts=12.6 ohms=4.2", 0, 3},
      {"current volts=12.6 ohms=4.2", 1, 37.8},
      {"drop volts=200mV amps=150", 0, 0.00133333333},
      {"drop-limits", 4, 0.5},
      {"parallel 'ohms=4.7;10;22'", 0, 2.79157667},
      {"copper ohms=10 measured-at=20 at=100", 0, 13.144},
      {"winding cold=12 cold-at=20 hot=14.2", 0, 66.6497031},
      {"wire length=5 area=2.5", 0, 0.0344827586},
      {"wire-gauge gauge=16", 0, 1.29084591},
      {"wire-gauge gauge=16", 2, 0.0131744751},
      {"thermistor ohms-at-25=2000 b=3500 at=80", 0, 321.38755},
      {"thermistor-temperature ohms-at-25=2000 b=3500 ohms=5000", 0, 3.41291474},
      {"thermistor-b at-1=0 ohms-1=5896 at-2=80 ohms-2=323", 0, 3502.05880},
      {"pull-up supply=5 pull-up=2.2kohm sensor=2443.3496", 0, 2.63102051},
      {"duty on=2.5 period=20 volts=13.8", 0, 12.5},
      {"duty on=2.5 period=20 volts=13.8", 2, 1.725},
      {"duty on=2.5 period=20", 1, 50},
      {"injector-duty open=3.2 rpm=3000", 0, 8},
      {"dwell duty=50 cylinders=4", 0, 45},
      {"trims short=5 long=8", 0, 13},
      {"trims short=5 long=8", 1, 13.4},
      {"trims short=-3 long=-12", 2, 0.8536},
      {"trim-byte byte=141", 0, 10.15625},
      {"air-leak leak=1 flow=4", 0, 25},
      {"fuel-shortfall missing=10", 0, 11.1111111},
      {"leak-hole diameter=2", 0, 0.751386},
      {"altitude height=1000", 0, 89.8762776},
      {"altitude height=1000ft 'vacuum=17 inHg'", 2, 15.93448},
      {"barometer 'pressure=90 kPa'", 0, 988.500},
      {"manifold barometer=98 'vacuum=18 inHg'", 0, 37.0450045},
  };
  std::set<std::string> tried;
  for (const Case& one : cases) {
    INFO(std::string(one.arguments));
    const Json json = json_of(program.run_plain("work-out --json " + std::string(one.arguments)));
    REQUIRE(json["results"].size() > one.result);
    CHECK(near(json["results"][one.result]["value"].get<double>(), one.value));
    tried.insert(json["name"].get<std::string>());
  }
  // Words in place of a number.
  const Json trims = json_of(
      program.run_plain("work-out --json trim-pattern idle-1=24 fast-1=6 idle-2=3 fast-2=2"));
  REQUIRE(trims["results"].size() == 3);
  CHECK(trims["results"][2]["shown"].get<std::string>().rfind("bank 1 only", 0) == 0);
  tried.insert("trim-pattern");
  const Json all = json_of(program.run_plain("work-out --json"));
  CHECK(all.size() >= 24);
  for (const Json& formula : all) CHECK(tried.count(formula["name"].get<std::string>()) == 1);

  for (const char* wrong :
       {"work-out nothing", "work-out drop volts=1", "work-out drop volts=1 amps=0",
        "work-out drop volts=1 amps=2 ohms=3", "work-out drop volts=1 volts=2 amps=3",
        "work-out drop volts=1kPa amps=2", "work-out drop 1 2",
        "work-out dwell duty=50 cylinders=4.5", "work-out trim-pattern idle-1=5 fast-1=5 idle-2=5",
        "work-out trim-byte byte=256", "work-out wire-gauge gauge=41",
        "work-out wire-gauge gauge=16.5"}) {
    INFO(std::string(wrong));
    const Ran ran = program.run_plain(wrong);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err.find(": ") != std::string::npos);
  }
}

TEST_CASE("--shop is taken everywhere, and nothing is written for a verb that needs none") {
  const Program program;
  CHECK(program.run("vin 1M8GDM9AXKP042788").code == 0);
  CHECK(program.run("work-out drop-limits").code == 0);
  CHECK(program.run_plain("check").code == 2);
}
