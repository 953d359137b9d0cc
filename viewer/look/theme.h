// The three themes as one table, and the contrast between two colours.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace baylore::viewer {

struct Colour {
  std::uint8_t r = 0;
  std::uint8_t g = 0;
  std::uint8_t b = 0;
};

enum class ThemeName { light, dark, sun };

struct Theme {
  ThemeName name = ThemeName::light;
  Colour paper, ink, muted, rule, accent, on_accent, face, caution, on_caution, out_of_range;
  float line_scale = 1;        // every line's thickness
  bool all_bold = false;       // all text bold, against glare
  bool caution_lines = false;  // a line above and below the caution band
};

const Theme& theme(ThemeName name);
ThemeName theme_named(std::string_view word);  // light when unknown
std::string_view theme_word(ThemeName name);

// WCAG 2.2 contrast ratio, 1 .. 21.
double contrast(Colour a, Colour b);

// A pair of text and ground that some screen draws. The 7:1 promise is kept for each of them by a
// test.
struct TextPair {
  std::string_view what;
  Colour Theme::*text;
  Colour Theme::*ground;
};
const std::array<TextPair, 8>& text_pairs();

}  // namespace baylore::viewer
