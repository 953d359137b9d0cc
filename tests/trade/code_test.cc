#include "trade/code.h"

#include <algorithm>
#include <string>
#include <vector>

#include "doctest/doctest.h"
#include "trade/malformed.h"

using namespace baylore::trade;

namespace {

Code code_of(std::string_view typed) {
  const auto read = taken(parse_code(typed));
  REQUIRE(read);
  return read->code;
}

}  // namespace

TEST_CASE("every code reads back from its own text") {
  for (unsigned value = 0; value <= 0xFFFF; ++value) {
    const Code code{static_cast<std::uint16_t>(value), std::nullopt};
    const Parsed<ReadCode> read = parse_code(text(code));
    const ReadCode* got = value_in(read);
    REQUIRE(got != nullptr);
    REQUIRE(got->code == code);
    REQUIRE(got->repairs.empty());
  }
  for (unsigned type = 0; type <= 0xFF; ++type) {
    const Code code{0xC100, static_cast<std::uint8_t>(type)};
    CHECK(code_of(text(code)) == code);
  }
}

TEST_CASE("every repair is told") {
  const auto repairs = [](std::string_view typed) {
    const auto read = taken(parse_code(typed));
    REQUIRE(read);
    return read->repairs;
  };
  using List = std::vector<std::string>;
  CHECK(repairs("P0420").empty());
  CHECK(repairs("p0420") == List{"small letters read as capitals"});
  CHECK(repairs("P 0420") == List{"blanks left out"});
  CHECK(repairs("P-0420") == List{"the dash after the letter left out"});
  CHECK(repairs("PO420") == List{"the letter O read as zero"});
  CHECK(repairs("P042000") == List{"a dash put before the failure type"});
  CHECK(repairs("P0420–00") == List{"another dash read as -"});
  CHECK(repairs("PO42I") == List{"the letter O read as zero", "the letter I read as one"});
}

TEST_CASE("a hundred malformed codes") {
  const std::vector<std::string_view> texts = {
      "",
      " ",
      "P",
      "P0",
      "P04",
      "P042",
      "0420",
      "4",
      "P04206",
      "P042",
      "P04200000",
      "P4420",
      "P5000",
      "P9000",
      "PA420",
      "PD420",
      "PF123",
      "PB123",
      "PS420",
      "PO4S0",
      "P04S0",
      "P0G20",
      "P04Z0",
      "P042X",
      "X0420",
      "A0420",
      "E0420",
      "F0420",
      "D0420",
      "Q0420",
      "00420",
      "10420",
      "PP0420",
      "P0420P",
      "P0420-",
      "P0420-0",
      "P0420-000",
      "P0420--00",
      "P04-20",
      "P0-420",
      "P--0420",
      "-P0420",
      "P0420-0G",
      "P0420-S0",
      "P0420-ZZ",
      "P0301, P0302",
      "P0301 P0302",
      "P0301/P0302",
      "P0301;P0302",
      "P0420.00",
      "P0420:00",
      "P0420_00",
      "P0420/00",
      "P.0420",
      "P0420.",
      "P0420!",
      "P0420?",
      "(P0420)",
      "[P0420]",
      "\"P0420\"",
      "P0420\x01",
      "\xFF",
      "P0420\xFF",
      "P０42",
      "Р0420",
      "Ρ0420",
      "P０420０",
      "piece",
      "blade",
      "cocoa",
      "coil",
      "cable",
      "belle",
      "bill",
      "belief",
      "Ubolo",
      "check",
      "code",
      "none",
      "pump",
      "brake",
      "P-code",
      "PCODE",
      "P0X20",
      "P0 42",
      "P 0 4 2",
      "P0O",
      "P~0420",
      "P0420~",
      "#P0420",
      "P#0420",
      "P0420+P0171",
      "P0420 and P0171",
      "0x0420",
      "0x4035",
      "C4035",
      "B9342",
      "U8100",
      "UC100",
      "P-",
      "----",
      "P0420 - - 00",
      "P١٢٣٤",
      "P0420🔧",
  };
  expect_refusals(texts, 100, [](std::string_view typed) { return parse_code(typed); });
}

TEST_CASE("a list is parted at separators, and at blanks where they part codes") {
  const CodeList list = read_codes("P0301, P0302; p0171 P0420 00 and U 0100\nB1342");
  std::vector<std::string> got;
  for (const ReadCode& read : list.codes) got.push_back(text(read.code));
  CHECK(got == std::vector<std::string>{"P0301", "P0302", "P0171", "P0420-00", "U0100", "B1342"});
  CHECK(list.refused.empty());

  const CodeList bad = read_codes("P0301, xyz, 0420");
  CHECK(bad.codes.size() == 1);
  REQUIRE(bad.refused.size() == 2);
  CHECK(bad.refused[0].at == 7);
  CHECK(bad.refused[1].at == 12);
  CHECK(read_codes("").codes.empty());
  CHECK(read_codes(" ,; \n").refused.empty());
}

TEST_CASE("codes are sorted by letter of the standard, then number, then failure type") {
  std::vector<Code> codes = {code_of("U0100"), code_of("P0420-11"), code_of("B1342"),
                             code_of("P0420"), code_of("C0035"),    code_of("P0171")};
  std::sort(codes.begin(), codes.end());
  std::string all;
  for (const Code& code : codes) all += text(code) + " ";
  CHECK(all == "P0171 P0420 P0420-11 C0035 B1342 U0100 ");
}

TEST_CASE("words of a line stay words, codes are found") {
  const std::string_view line = "cruise blade p0171, piece PO420 P0420-00 then (b1342) P0420 11";
  std::vector<std::string> got;
  for (const FoundCode& found : find_codes(line)) {
    got.push_back(text(found.read.code));
    CHECK(found.length >= 5);
    CHECK(found.at + found.length <= line.size());
  }
  CHECK(got == std::vector<std::string>{"P0171", "P0420", "P0420-00", "B1342", "P0420"});
  for (const std::string_view words :
       {"blade piece cocoa belle", "coolant boils cold", "3.6 V6 2014-2018", "P 0420", "88-214 B6",
        "", "c10 u2 p3"}) {
    CAPTURE(std::string(words));
    CHECK(find_codes(words).empty());
  }
}

TEST_CASE("a tip on the base code answers to a code with no failure type given") {
  CHECK(matches(code_of("P0420"), code_of("P0420-00")));
  CHECK(matches(code_of("P0420"), code_of("P0420-11")));
  CHECK(matches(code_of("P0420-11"), code_of("P0420")));
  CHECK(matches(code_of("P0420-11"), code_of("P0420-11")));
  CHECK(!matches(code_of("P0420-11"), code_of("P0420-12")));
  CHECK(!matches(code_of("P0420"), code_of("P0421")));
}

TEST_CASE("only standard powertrain codes have a subsystem") {
  for (unsigned value = 0; value <= 0xFFFF; ++value) {
    const Code code{static_cast<std::uint16_t>(value), std::nullopt};
    if (subsystem(code)) {
      REQUIRE(system_letter(code) == 'P');
      REQUIRE(defined_by(code) == DefinedBy::kStandard);
    }
  }
  CHECK(subsystem(code_of("P0301")) == "ignition system or misfire");
  CHECK(!subsystem(code_of("P1301")));
}

TEST_CASE("noise never breaks the code readers") {
  survive_noise("PCBUpcbu0123456789ABCDEFOIL -–", 20000,
                [](std::string_view typed) { return parse_code(typed); });
  survive_noise("PCBUpcbu0123456789ABCDEFOIL -,;", 5000, [](std::string_view typed) {
    find_codes(typed);
    for (const Refusal& refusal : read_codes(typed).refused) {
      if (refusal.at > typed.size()) return Parsed<int>(refusal);
    }
    return Parsed<int>(0);
  });
}
