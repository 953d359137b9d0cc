#include "trade/gtin.h"

#include "doctest/doctest.h"

#include <string>
#include <vector>

using namespace baylore::trade;

namespace {

std::string remedy(const std::string& text) { return reason_in(read_gtin(text)).what; }

}  // namespace

TEST_CASE("check digits as the GS1 member organisations publish them") {
  // Worked examples: GS1 "check digit calculator" 629104150021 -> 3; GS1 India 890400021003 -> 7;
  // GS1 Sweden 730001100001 -> 7.
  CHECK(gtin_check_digit("629104150021") == '3');
  CHECK(gtin_check_digit("890400021003") == '7');
  CHECK(gtin_check_digit("730001100001") == '7');
  // GS1 General Specifications' own example article, prefix 952 (demonstrations), from memory.
  CHECK(gtin_check_digit("0952123456789") == gtin_check_digit("952123456789"));
  CHECK_FALSE(gtin_check_digit(""));
  CHECK_FALSE(gtin_check_digit("12a"));
}

TEST_CASE("every single wrong digit is found, and most neighbours swapped") {
  const std::string good = "6291041500213";
  for (std::size_t at = 0; at < good.size(); ++at) {
    for (char c = '0'; c <= '9'; ++c) {
      std::string text = good;
      text[at] = c;
      CHECK(taken(read_gtin(text)).has_value() == (text == good));
    }
    if (at + 1 == good.size()) continue;
    std::string swapped = good;
    std::swap(swapped[at], swapped[at + 1]);
    const int difference = std::abs(good[at] - good[at + 1]);
    // Weights 3 and 1: a swap changes the sum by twice the difference.
    CHECK(taken(read_gtin(swapped)).has_value() == (difference % 5 == 0));
  }
}

TEST_CASE("the four lengths, and one article in one text") {
  const std::vector<std::pair<std::string, int>> written = {
      {"96385074", 8}, {"012345678905", 12}, {"6291041500213", 13}, {"06291041500213", 14}};
  for (const auto& [text, length] : written) {
    const auto read = taken(read_gtin(text));
    REQUIRE(read);
    CHECK(read->length == length);
    CHECK(read->digits.size() == 14);
  }
  CHECK(taken(read_gtin("6291041500213"))->digits == taken(read_gtin("06291041500213"))->digits);
  CHECK(taken(read_gtin("6 291041 500213"))->digits == "06291041500213");
  CHECK(taken(read_gtin("629-1041-500213"))->digits == "06291041500213");
}

TEST_CASE("element strings, with a lot") {
  CHECK(taken(read_gtin("(01)06291041500213(10)LOT7"))->lot == "LOT7");
  CHECK(taken(read_gtin("]C1010629104150021310AB-1\x1d"
                        "17270101"))
            ->lot == "AB-1");
  CHECK(taken(read_gtin("]d20106291041500213"))->digits == "06291041500213");
  CHECK(taken(read_gtin("]E06291041500213"))->digits == "06291041500213");
  CHECK(taken(read_gtin("(01)06291041500213(17)270101"))->lot.empty());
}

TEST_CASE("what is no barcode's number is refused in words") {
  CHECK(remedy("6291041500214") == "the check digit should be 3 and is 4");
  CHECK(remedy("123456789") == "9 digits");
  CHECK(remedy("") == "0 digits");
  CHECK(remedy("88-214A") == "a barcode's number has digits only");
  CHECK(remedy(std::string(200, '1')) == "too long for a barcode's number");
  CHECK(remedy("(01)0629104150021") == "a barcode's number has digits only");
  CHECK(remedy("00000000") == "only zeros, which is no article");
  CHECK(remedy("(01)06291041500213x") ==
        "what follows the article number is no application identifier");
  CHECK(remedy("(01)06291041500213(10)") == "the lot has 1 to 20 letters, digits and marks");
  CHECK(remedy("(01)06291041500213(10)" + std::string(21, 'L')) ==
        "the lot has 1 to 20 letters, digits and marks");
  // The characters of a lot are those of GS1's set 82, which has no blank (GS1 General
  // Specifications, from memory).
  CHECK(remedy("(01)06291041500213(10)LOT 7") == "the lot has 1 to 20 letters, digits and marks");
  CHECK(remedy("(01)06291041500213(10)LOT\x7F") == "the lot has 1 to 20 letters, digits and marks");
  CHECK(taken(read_gtin("(01)06291041500213(10)" + std::string(20, 'L')))->lot.size() == 20);
  CHECK(remedy("(01)06291041500214") == "the check digit should be 3 and is 4");
}
