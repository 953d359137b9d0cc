// Codes against SAE J2012 / ISO 15031-6: the structure and the division by owner from memory, the
// letter and digit scheme from secondary texts. How typed text is repaired is this project's own
// policy.

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "doctest/doctest.h"
#include "trade/code.h"

using namespace baylore::trade;

namespace {

Code code_of(std::string_view typed) {
  const auto read = taken(parse_code(typed));
  REQUIRE(read);
  return read->code;
}

DefinedBy owner_of(std::string_view typed) { return defined_by(code_of(typed)); }

}  // namespace

TEST_CASE("the two-byte form") {
  // Layout of the standard, from memory; examples computed apart from this project.
  CHECK(code_of("P0143").value == 0x0143);
  CHECK(code_of("C0035").value == 0x4035);
  CHECK(code_of("B1342").value == 0x9342);
  CHECK(code_of("U0100").value == 0xC100);
  CHECK(code_of("U3003").value == 0xF003);
  CHECK(code_of("P0420-00").value == 0x0420);
  CHECK(code_of("P0420-00").failure_type == 0x00);
  CHECK(code_of("U0100-87").value == 0xC100);
  CHECK(code_of("U0100-87").failure_type == 0x87);
}

TEST_CASE("who defines a code") {
  // From memory of the standard.
  for (const std::string_view standard :
       {"P0420", "P2A00", "P3400", "P3F00", "C0035", "B0001", "U0100"}) {
    CAPTURE(std::string(standard));
    CHECK(owner_of(standard) == DefinedBy::kStandard);
  }
  for (const std::string_view maker :
       {"P1456", "P3000", "P3399", "C1234", "C2345", "B1342", "B2345", "U1000", "U2000"}) {
    CAPTURE(std::string(maker));
    CHECK(owner_of(maker) == DefinedBy::kMaker);
  }
  CHECK(owner_of("C3000") == DefinedBy::kReserved);
  CHECK(owner_of("B3000") == DefinedBy::kReserved);
  CHECK(owner_of("U3000") == DefinedBy::kStandardOrReserved);  // the editions differ
  CHECK(defined_by_name(owner_of("P0420")) == "ISO/SAE");
  CHECK(defined_by_name(owner_of("P1456")) == "manufacturer");
  CHECK(defined_by_name(owner_of("C3000")) == "reserved");
  CHECK(defined_by_name(owner_of("U3000")) == "standard/reserved");
}

TEST_CASE("the letter names the system") {
  // From memory: powertrain, chassis, body and network are 0 to 3 of the two highest bits.
  CHECK(system_name(code_system(code_of("P0420"))) == "powertrain");
  CHECK(system_name(code_system(code_of("C0035"))) == "chassis");
  CHECK(system_name(code_system(code_of("B1342"))) == "body");
  CHECK(system_name(code_system(code_of("U0100"))) == "network");
}

TEST_CASE("subsystems of standard powertrain codes") {
  // Standard titles, from memory: P0171 lean, P0300 random misfire, P0420 catalyst.
  CHECK(subsystem(code_of("P0010")) == "fuel and air metering, auxiliary emission controls");
  CHECK(subsystem(code_of("P0171")) == "fuel and air metering");
  CHECK(subsystem(code_of("P2263")) == "fuel and air metering");
  CHECK(subsystem(code_of("P0300")) == "ignition system or misfire");
  CHECK(subsystem(code_of("P0420")) == "auxiliary emission controls");
  CHECK(subsystem(code_of("P0500")) == "vehicle speed, idle control, auxiliary inputs");
  CHECK(subsystem(code_of("P0605")) == "computer and output circuits");
  CHECK(subsystem(code_of("P0700")) == "transmission");
  CHECK(subsystem(code_of("P0A80")) == "hybrid propulsion");
  CHECK(subsystem(code_of("P0B00")) == "hybrid propulsion");
  CHECK(subsystem(code_of("P0C00")) == "hybrid propulsion");
  // As titled in published service information: P2A00 and P2A01 are the range and performance of an
  // oxygen sensor's circuit. Of P2B and P2C nothing is known here.
  CHECK(subsystem(code_of("P2A00")) == "fuel and air metering, auxiliary emission controls");
  CHECK(!subsystem(code_of("P2B00")));
  CHECK(!subsystem(code_of("P2C00")));
  for (const std::string_view none : {"P1171", "P3000", "P3400", "C0035", "U0100", "P0F00"}) {
    CAPTURE(std::string(none));
    CHECK(!subsystem(code_of(none)));
  }
}

TEST_CASE("failure types") {
  // Numbers seen in a public vehicle database, names from memory.
  struct Row {
    std::uint8_t number;
    std::string_view name;
  };
  const std::array rows = {
      Row{0x00, "no failure type given"},
      Row{0x11, "circuit short to ground"},
      Row{0x12, "circuit short to battery"},
      Row{0x13, "circuit open"},
      Row{0x14, "circuit short to ground or open"},
      Row{0x15, "circuit short to battery or open"},
      Row{0x16, "circuit voltage below threshold"},
      Row{0x17, "circuit voltage above threshold"},
      Row{0x1A, "circuit resistance below threshold"},
      Row{0x1B, "circuit resistance above threshold"},
      Row{0x1C, "circuit voltage out of range"},
      Row{0x1D, "circuit current out of range"},
      Row{0x1E, "circuit resistance out of range"},
      Row{0x1F, "circuit intermittent"},
      Row{0x31, "no signal"},
  };
  std::size_t named = 0;
  for (int number = 0; number < 256; ++number) {
    named += failure_type_name(static_cast<std::uint8_t>(number)) ? 1U : 0U;
  }
  CHECK(named == rows.size());
  for (const Row& row : rows) {
    CAPTURE(int{row.number});
    CHECK(failure_type_name(row.number) == row.name);
  }
  CHECK(!failure_type_name(0xEE));
}

TEST_CASE("the forms people type") {
  struct Form {
    std::string_view typed, code;
  };
  const std::array forms = {
      Form{"p0420", "P0420"},        Form{"P 0420", "P0420"},      Form{"P-0420", "P0420"},
      Form{"PO420", "P0420"},        Form{"P0420-00", "P0420-00"}, Form{"p0420–00", "P0420-00"},
      Form{" P0420 00", "P0420-00"}, Form{"P042000", "P0420-00"},  Form{"U0100-87", "U0100-87"},
      Form{"u o1oo", "U0100"},       Form{"P0A80", "P0A80"},       Form{"P2A00", "P2A00"},
      Form{"P3400", "P3400"},        Form{"C0035", "C0035"},       Form{"B1342", "B1342"},
      Form{"P1456", "P1456"},
  };
  for (const Form& form : forms) {
    CAPTURE(std::string(form.typed));
    CHECK(text(code_of(form.typed)) == form.code);
  }
  for (const std::string_view refused :
       {"0420", "P4420", "PD420", "PO4S0", "P04206", "P0301, P0302"}) {
    CAPTURE(std::string(refused));
    CHECK(!taken(parse_code(refused)));
  }
}
