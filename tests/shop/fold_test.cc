#include "shop/fold.h"

#include <doctest/doctest.h>

using baylore::shop::fold;
using baylore::shop::invalid_utf8_at;
using baylore::shop::words_of;
using Words = std::vector<std::string>;

TEST_CASE("case, accents and letters that stand for two fold away") {
  // The Unicode Character Database: CaseFolding.txt (full folding: ß to ss, ς to σ) and the
  // decompositions of UnicodeData.txt. æ, ø, ł and their like have no decomposition; what they fold
  // to is common practice, no source.
  struct Case {
    const char* text;
    const char* folded;
  };
  for (const Case& c : {
           Case{"Prüfen", "prufen"},
           Case{"STRASSE", "strasse"},
           Case{"Straße", "strasse"},
           Case{"STRAẞE", "strasse"},
           Case{"Kølevæske", "kolevaeske"},
           Case{"Œuvre", "oeuvre"},
           Case{"chłodnica", "chlodnica"},
           Case{"Ěščřžýáíé", "escrzyaie"},
           Case{"İIıi", "iiii"},
           Case{"ＡＢＣ１２", "abc12"},
           Case{"ΨΥΓΕΙΟ Ψυγείο", "ψυγειο ψυγειο"},
           Case{"σς", "σσ"},
           Case{"НАСОС насос", "насос насос"},
           Case{"ёлка", "елка"},
           Case{"ﬁlter", "filter"},
           Case{"5 µA", "5 μa"},
           Case{"Ω", "ω"},
           Case{"Ω", "ω"},
           Case{"25 mm²", "25 mm2"},
           Case{"1½ turns", "1 1/2 turns"},
           Case{"℃", "°c"},
           Case{"AS4–32", "as4-32"},
           Case{"−5", "-5"},
           Case{"ĳ", "ij"},
       }) {
    CHECK(fold(c.text) == c.folded);
  }
}

TEST_CASE("composed and decomposed letters fold to the same bytes") {
  // UAX 15, Unicode Normalization Forms: U+00E9 and U+0065 U+0301 are canonically equivalent.
  CHECK(fold("\u00E9") == fold("e\u0301"));
  CHECK(fold("\u1EC7") == fold("e\u0323\u0302"));
  CHECK(fold("\u00E9") == "e");
}

TEST_CASE("marks that are letters of their script stay") {
  CHECK(fold("ปั๊มน้ำ").size() > 9);
  CHECK(words_of("पंप").size() == 1);
}

TEST_CASE("a comma between digits is a point") {
  CHECK(fold("13,5 V") == "13.5 v");
  CHECK(fold("１３，５") == "13.5");
  CHECK(fold("check, then 5") == "check, then 5");
  CHECK(fold("5, 6") == "5, 6");
  CHECK(fold(",5") == ",5");
}

TEST_CASE("what is not UTF-8 becomes a blank, and folding twice changes nothing") {
  CHECK(fold("a\xFFz") == "a z");
  CHECK(fold("a\xC3") == "a ");
  CHECK(fold("\xED\xA0\x80") == "   ");  // a surrogate
  for (const char* text :
       {"Straße", "13,5 ½ ²", "Ψυγείο", "ＡＢＣ", "İ", "e\u0301", "x\u0345", "ﷺ"}) {
    CHECK(fold(fold(text)) == fold(text));
  }
}

TEST_CASE("folding every character there is stays UTF-8 and settles at once") {
  int folded = 0;
  for (char32_t point = 1; point < 0x110000; ++point) {
    if (point >= 0xD800 && point < 0xE000) continue;
    std::string text;
    if (point < 0x80) {
      text = {static_cast<char>(point)};
    } else if (point < 0x800) {
      text = {static_cast<char>(0xC0 | (point >> 6)), static_cast<char>(0x80 | (point & 63))};
    } else if (point < 0x10000) {
      text = {static_cast<char>(0xE0 | (point >> 12)),
              static_cast<char>(0x80 | ((point >> 6) & 63)),
              static_cast<char>(0x80 | (point & 63))};
    } else {
      text = {
          static_cast<char>(0xF0 | (point >> 18)), static_cast<char>(0x80 | ((point >> 12) & 63)),
          static_cast<char>(0x80 | ((point >> 6) & 63)), static_cast<char>(0x80 | (point & 63))};
    }
    const std::string once = fold(text);
    if (invalid_utf8_at(once) != std::string::npos || fold(once) != once) {
      CAPTURE(static_cast<unsigned>(point));
      CAPTURE(once);
      FAIL_CHECK("does not settle");
    }
    if (once != text) ++folded;
  }
  CHECK(folded > 5000);
}

TEST_CASE("words are runs of letters and digits") {
  CHECK(words_of("AS4-32: no crank, 12,6 V") == Words{"as4", "32", "no", "crank", "12", "6", "v"});
  CHECK(words_of("  ") == Words{});
  CHECK(words_of("won't") == Words{"won", "t"});
  CHECK(words_of("Kühler/насос") == Words{"kuhler", "насос"});
  CHECK(words_of("ปั๊มน้ำ").size() == 1);
}

TEST_CASE("well-formed UTF-8 after table 3-7 of the Unicode Standard") {
  // The table's rows: the first and last sequence of each, and one that is just outside.
  for (const char* good :
       {"\x7F", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xE0\xBF\xBF", "\xE1\x80\x80",
        "\xEC\xBF\xBF", "\xED\x80\x80", "\xED\x9F\xBF", "\xEE\x80\x80", "\xEF\xBF\xBF",
        "\xF0\x90\x80\x80", "\xF0\xBF\xBF\xBF", "\xF1\x80\x80\x80", "\xF3\xBF\xBF\xBF",
        "\xF4\x80\x80\x80", "\xF4\x8F\xBF\xBF"}) {
    CHECK(invalid_utf8_at(good) == std::string::npos);
  }
  for (const char* bad : {"\x80", "\xC0\x80", "\xC1\xBF", "\xC2\x7F", "\xC2", "\xE0\x9F\xBF",
                          "\xE1\x80", "\xED\xA0\x80", "\xEF\xBF", "\xF0\x8F\xBF\xBF",
                          "\xF0\x90\x80", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF"}) {
    CHECK(invalid_utf8_at(bad) == 0);
    CHECK(invalid_utf8_at(std::string("ab") + bad) == 2);
  }
  CHECK(invalid_utf8_at(std::string("a\0b", 3)) == std::string::npos);
}
