#include "viewer/input/text_buffer.h"

#include <doctest/doctest.h>

#include <random>

namespace {

using baylore::viewer::append_utf8;
using baylore::viewer::next_code_point;
using baylore::viewer::TextBuffer;
using baylore::viewer::wrap;
using baylore::viewer::WrappedLine;

// One letter each of one, two, three and four bytes.
const std::string kMixed = "a\u00e9\u2265\U0001F527z";

float width_of(char32_t c) { return c == 'i' ? 0.5F : c == 'W' ? 2.0F : c > 0xFFF ? 3.0F : 1.0F; }

float width(std::string_view text) {
  float sum = 0;
  for (std::size_t at = 0; at < text.size();) sum += width_of(next_code_point(text, at));
  return sum;
}

std::string without_last_blanks(std::string text) {
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

}  // namespace

TEST_CASE("the caret steps over whole code points") {
  TextBuffer b(kMixed);
  CHECK(b.caret() == 11);
  std::vector<std::size_t> stops;
  for (int i = 0; i < 6; ++i) {
    b.left();
    stops.push_back(b.caret());
  }
  CHECK(stops == std::vector<std::size_t>{10, 6, 3, 1, 0, 0});
  stops.clear();
  for (int i = 0; i < 6; ++i) {
    b.right();
    stops.push_back(b.caret());
  }
  CHECK(stops == std::vector<std::size_t>{1, 3, 6, 10, 11, 11});
  for (std::size_t byte = 6; byte < 10; ++byte) {
    b.place_caret(byte);
    CHECK(b.caret() == 6);
  }
  b.place_caret(99);
  CHECK(b.caret() == 11);
}

TEST_CASE("erasing takes one code point, before and after the caret") {
  TextBuffer b(kMixed);
  b.left();
  b.erase_back();
  CHECK(b.text() == "a\u00e9\u2265z");
  b.left();
  b.erase_forward();
  CHECK(b.text() == "a\u00e9z");
  b.place_caret(0);
  b.erase_back();
  CHECK(b.text() == "a\u00e9z");
  b.end();
  b.erase_forward();
  CHECK(b.text() == "a\u00e9z");
}

TEST_CASE("typing goes in at the caret; control characters do not") {
  TextBuffer b("ac");
  b.left();
  b.insert("b\r\n\t\x01\x7F");
  CHECK(b.text() == "abc");
  CHECK(b.caret() == 2);
  TextBuffer text("a", true);
  text.insert("\nb\r");
  CHECK(text.text() == "a\nb");
}

TEST_CASE("home and end stay in the line") {
  TextBuffer b("one\ntwo\n\nfour", true);
  b.place_caret(5);
  b.home();
  CHECK(b.caret() == 4);
  b.home();
  CHECK(b.caret() == 4);
  b.end();
  CHECK(b.caret() == 7);
  b.place_caret(8);
  b.home();
  CHECK(b.caret() == 8);
  b.end();
  CHECK(b.caret() == 8);
}

TEST_CASE("a suggested word takes the place of the one being typed") {
  TextBuffer b("hauler hea");
  CHECK(b.word_at_caret() == "hea");
  b.replace_word("heater");
  CHECK(b.text() == "hauler heater ");
  CHECK(b.word_at_caret().empty());
  b.replace_word("cold");
  CHECK(b.text() == "hauler heater cold ");
  b.place_caret(3);
  CHECK(b.word_at_caret() == "hau");
  b.replace_word("Hau");
  CHECK(b.text() == "Hau ler heater cold ");
}

// RFC 3629, UTF-8: the table of section 4 and the invalid forms of sections 3 and 10.
TEST_CASE("UTF-8 is read as RFC 3629 has it") {
  const std::pair<const char*, char32_t> kGood[] = {{"\x24", 0x24},
                                                    {"\xC2\xA2", 0xA2},
                                                    {"\xE2\x82\xAC", 0x20AC},
                                                    {"\xED\x9F\xBF", 0xD7FF},
                                                    {"\xEE\x80\x80", 0xE000},
                                                    {"\xF0\x90\x8D\x88", 0x10348},
                                                    {"\xF4\x8F\xBF\xBF", 0x10FFFF}};
  for (const auto& [bytes, code] : kGood) {
    std::size_t at = 0;
    CHECK(next_code_point(bytes, at) == code);
    CHECK(at == std::string_view(bytes).size());
    std::string again;
    append_utf8(again, code);
    CHECK(again == bytes);
  }
  for (const char* bytes :
       {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xE0\x80\x80", "\xE0\x9F\xBF", "\xED\xA0\x80",
        "\xED\xBF\xBF", "\xF0\x80\x80\x80", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFE", "\xFF",
        "\xC2", "\xE2\x82", "\xF0\x90\x8D", "\xC2\x41"}) {
    std::size_t at = 0;
    CAPTURE(bytes);
    CHECK(next_code_point(bytes, at) == 0xFFFD);
    CHECK(at == 1);
  }
  std::string none;
  append_utf8(none, 0xD800);
  append_utf8(none, 0x110000);
  CHECK(none == "\uFFFD\uFFFD");
}

TEST_CASE("random bytes and keys: there and back, and the caret never stands inside a letter") {
  std::mt19937 random(14);
  const auto pick = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  for (int round = 0; round < 3000; ++round) {
    std::string text;
    for (int i = pick(0, 12); i > 0; --i) {
      if (pick(0, 2) == 0) {
        text.push_back(static_cast<char>(pick(0x80, 0xFF)));
      } else {
        append_utf8(text,
                    static_cast<char32_t>(pick(0, 4) == 0 ? pick(0x80, 0x2FFF) : pick(' ', '~')));
      }
    }
    // Where a walk from the front stops.
    std::vector<std::size_t> stops{0};
    for (std::size_t at = 0; at < text.size();) {
      next_code_point(text, at);
      stops.push_back(at);
    }
    TextBuffer b(text, true);
    for (std::size_t i = stops.size(); i-- > 0;) {
      REQUIRE(b.caret() == stops[i]);
      b.left();
    }
    const std::string before = b.text();
    for (int key = 0; key < 8; ++key) {
      switch (pick(0, 5)) {
        case 0:
          b.left();
          break;
        case 1:
          b.right();
          break;
        case 2:
          b.erase_back();
          break;
        case 3:
          b.erase_forward();
          break;
        case 4:
          b.place_caret(static_cast<std::size_t>(pick(0, 40)));
          break;
        default:
          b.insert(U'\u00e9');
          break;
      }
      REQUIRE(b.caret() <= b.text().size());
    }
  }
}

TEST_CASE("lines break at blanks, else inside a word") {
  const auto lines = [](std::string_view text, float w) {
    std::vector<std::string> out;
    for (const WrappedLine& l : wrap(text, w, width_of))
      out.emplace_back(text.substr(l.from, l.to - l.from));
    return out;
  };
  using Lines = std::vector<std::string>;
  CHECK(lines("", 5) == Lines{""});
  CHECK(lines("one two", 7) == Lines{"one two"});
  CHECK(lines("one two", 6) == Lines{"one", "two"});
  CHECK(lines("abcdefgh", 3) == Lines{"abc", "def", "gh"});
  CHECK(lines("ab\n\ncd\n", 5) == Lines{"ab", "", "cd", ""});
  CHECK(lines("WW", 1) == Lines{"W", "W"});
  CHECK(lines("i bcW", 4) == Lines{"i", "bcW"});
  CHECK(lines("i bcdW", 4.5F) == Lines{"i", "bcd", "W"});
}

TEST_CASE("random texts: no byte is lost but the breaks, no line is too wide") {
  std::mt19937 random(2026);
  const auto pick = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  constexpr std::string_view kLetters = "iiWWabc     \n";
  for (int round = 0; round < 4000; ++round) {
    std::string text;
    for (int i = pick(0, 60); i > 0; --i) {
      if (pick(0, 12) == 0) {
        append_utf8(text, 0x2265);
      } else {
        text.push_back(
            kLetters[static_cast<std::size_t>(pick(0, static_cast<int>(kLetters.size()) - 1))]);
      }
    }
    const auto w = static_cast<float>(pick(1, 24)) / 2;
    CAPTURE(text);
    CAPTURE(w);
    const std::vector<WrappedLine> lines = wrap(text, w, width_of);
    REQUIRE_FALSE(lines.empty());
    REQUIRE(lines.front().from == 0);
    REQUIRE(lines.back().to == text.size());
    for (std::size_t i = 0; i < lines.size(); ++i) {
      REQUIRE(lines[i].from <= lines[i].to);
      const std::string line = text.substr(lines[i].from, lines[i].to - lines[i].from);
      REQUIRE(line.find('\n') == std::string::npos);
      // Blanks may hang over the edge: nobody sees them.
      const std::string seen = without_last_blanks(line);
      std::size_t one = 0;
      if (!seen.empty()) next_code_point(seen, one);
      REQUIRE((width(seen) <= w || one == seen.size()));
      if (i + 1 == lines.size()) break;
      const std::size_t gap = lines[i + 1].from - lines[i].to;
      REQUIRE(gap <= 1);
      if (gap == 1) REQUIRE((text[lines[i].to] == ' ' || text[lines[i].to] == '\n'));
    }
  }
}
