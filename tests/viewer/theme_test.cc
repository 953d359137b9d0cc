#include "viewer/look/theme.h"

#include <doctest/doctest.h>

namespace {

using baylore::viewer::Colour;
using baylore::viewer::contrast;
using baylore::viewer::TextPair;
using baylore::viewer::Theme;
using baylore::viewer::theme;
using baylore::viewer::theme_named;
using baylore::viewer::theme_word;
using baylore::viewer::ThemeName;

constexpr ThemeName kThemes[] = {ThemeName::light, ThemeName::dark, ThemeName::sun};

}  // namespace

// 7:1 is level AAA of WCAG 2.2, success criterion 1.4.6.
TEST_CASE("every text stands off its ground by 7:1 in every theme") {
  for (const ThemeName name : kThemes) {
    const Theme& t = theme(name);
    for (const TextPair& pair : baylore::viewer::text_pairs()) {
      CAPTURE(theme_word(name));
      CAPTURE(pair.what);
      CHECK(contrast(t.*pair.text, t.*pair.ground) >= 7.0);
    }
  }
}

// 3:1 for what is no text but must be told apart: WCAG 2.2, success criterion 1.4.11.
TEST_CASE("marks and the focus line stand off their ground by 3:1") {
  for (const ThemeName name : kThemes) {
    const Theme& t = theme(name);
    CAPTURE(theme_word(name));
    CHECK(contrast(t.accent, t.paper) >= 3.0);
    CHECK(contrast(t.out_of_range, t.paper) >= 3.0);
    CHECK(contrast(t.ink, t.face) >= 3.0);
  }
}

TEST_CASE("names and words go there and back") {
  for (const ThemeName name : kThemes) {
    CHECK(theme_named(theme_word(name)) == name);
    CHECK(theme(name).name == name);
  }
  CHECK(theme_named("") == ThemeName::light);
  CHECK(theme_named("Sun") == ThemeName::light);
}

TEST_CASE("under the sun lines are thicker and all text is bold") {
  CHECK(theme(ThemeName::sun).all_bold);
  CHECK(theme(ThemeName::sun).line_scale > 1.5F);
  CHECK_FALSE(theme(ThemeName::light).all_bold);
  CHECK(theme(ThemeName::dark).caution_lines);
}
