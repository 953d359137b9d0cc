#include "trade/part_number.h"

#include "doctest/doctest.h"

#include <random>
#include <string>

#include "trade/gtin.h"

using namespace baylore::trade;

namespace {

PartKey key(const std::string& text) {
  const auto read = taken(part_key(text));
  return read ? *read : PartKey{"refused", "refused"};
}

}  // namespace

TEST_CASE("dashes, blanks, dots and case say nothing") {
  for (const char* same : {"88-214", "88 214", "88.214", "88/214", "88_214", " 88214 ",
                           "88\u2013214", "88\u2011214", "88\u00a0214", "88\u2212214"}) {
    CHECK(key(same).plain == "88214");
  }
  CHECK(key("os-4490-r") == key("OS 4490 R"));
  CHECK(key("88-214").plain != key("88-215").plain);
}

TEST_CASE("letters and digits that are mistaken fold, and only in the folded form") {
  CHECK(key("IC-2O7").folded == key("IC-207").folded);
  CHECK(key("1C-207").folded == key("IC-207").folded);
  CHECK(key("8R-220").folded == key("BR-220").folded);
  CHECK(key("5P712").folded == key("SP-712").folded);
  CHECK(key("Z6").folded == key("2G").folded);
  CHECK(key("lC-207").folded == key("IC-207").folded);
  CHECK(key("IC-2O7").plain != key("IC-207").plain);
  // Letters nobody mistakes for a digit stay apart.
  CHECK(key("A1").folded != key("41").folded);
  CHECK(key("T7").folded != key("77").folded);
}

TEST_CASE("what is no number is refused in words") {
  CHECK(reason_in(part_key("")).what == "no letter and no digit");
  CHECK(reason_in(part_key(" - ")).what == "no letter and no digit");
  CHECK(reason_in(part_key("88-214\n")).what == "a character that no part number has");
  // A Cyrillic letter that looks like a Latin one.
  CHECK(reason_in(part_key("88-\u04102")).at == 3);
  CHECK(reason_in(part_key(std::string(65, '8'))).what == "too long for a part number");
}

TEST_CASE("any bytes are accepted, by numbers and by barcodes") {
  std::mt19937 dice(20261125);
  int refused = 0;
  for (int i = 0; i < 2000; ++i) {
    std::string text(dice() % 40, ' ');
    for (char& c : text) c = static_cast<char>(dice() % 256);
    const auto read = part_key(text);
    if (const PartKey* found = value_in(read)) {
      CHECK(found->plain.size() == found->folded.size());
    } else {
      CHECK_FALSE(reason_in(read).what.empty());
      ++refused;
    }
    const auto code = read_gtin(text);
    if (value_in(code) == nullptr) {
      CHECK(refusal_in(code)->at <= text.size());
      ++refused;
    }
  }
  CHECK(refused > 3000);
}
