#include "viewer/look/theme.h"

#include <cmath>

namespace baylore::viewer {
namespace {

constexpr Colour hex(unsigned value) {
  return Colour{static_cast<std::uint8_t>(value >> 16U),
                static_cast<std::uint8_t>((value >> 8U) & 0xFFU),
                static_cast<std::uint8_t>(value & 0xFFU)};
}

constexpr Theme kLight{ThemeName::light, hex(0xF5F2EA), hex(0x1A1A1A), hex(0x4B473E), hex(0xB8B1A0),
                       hex(0x0A4F55),    hex(0xF5F2EA), hex(0xE7E1D2), hex(0xF2B632), hex(0x1A1A1A),
                       hex(0x8C1A0E),    1.0F,          false,         false};
constexpr Theme kDark{ThemeName::dark, hex(0x161614), hex(0xEFEBE0), hex(0xBCB6A8), hex(0x55514A),
                      hex(0x6CCFC8),   hex(0x0B1D1E), hex(0x292824), hex(0x3D2E06), hex(0xFFD873),
                      hex(0xFFA08A),   1.0F,          false,         true};
constexpr Theme kSun{ThemeName::sun, hex(0xFFFFFF), hex(0x000000), hex(0x000000), hex(0x000000),
                     hex(0x003B40),  hex(0xFFFFFF), hex(0xDEDEDE), hex(0x000000), hex(0xFFE500),
                     hex(0x780000),  1.6F,          true,          false};

double linear(std::uint8_t channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(Colour c) {
  return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

}  // namespace

const Theme& theme(ThemeName name) {
  switch (name) {
    case ThemeName::dark:
      return kDark;
    case ThemeName::sun:
      return kSun;
    case ThemeName::light:
      break;
  }
  return kLight;
}

ThemeName theme_named(std::string_view word) {
  if (word == "dark") return ThemeName::dark;
  if (word == "sun") return ThemeName::sun;
  return ThemeName::light;
}

std::string_view theme_word(ThemeName name) {
  switch (name) {
    case ThemeName::dark:
      return "dark";
    case ThemeName::sun:
      return "sun";
    case ThemeName::light:
      break;
  }
  return "light";
}

double contrast(Colour a, Colour b) {
  const double one = luminance(a);
  const double two = luminance(b);
  return one > two ? (one + 0.05) / (two + 0.05) : (two + 0.05) / (one + 0.05);
}

const std::array<TextPair, 8>& text_pairs() {
  static constexpr std::array<TextPair, 8> kPairs{{
      {"ink on paper", &Theme::ink, &Theme::paper},
      {"muted on paper", &Theme::muted, &Theme::paper},
      {"accent on paper", &Theme::accent, &Theme::paper},
      {"out of range on paper", &Theme::out_of_range, &Theme::paper},
      {"ink on face", &Theme::ink, &Theme::face},
      {"accent on face", &Theme::accent, &Theme::face},
      {"on accent", &Theme::on_accent, &Theme::accent},
      {"on caution", &Theme::on_caution, &Theme::caution},
  }};
  return kPairs;
}

}  // namespace baylore::viewer
