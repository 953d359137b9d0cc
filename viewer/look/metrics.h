// From millimetres of the real panel to pixels: densities, sizes of type and of targets, the form
// of the screen.
#pragma once

#include <string_view>

namespace baylore::viewer {

// Sizes of type, named for their use; a size is the height of capitals in mm.
enum class Type {
  small,
  small_bold,
  text,
  text_bold,
  title_regular,
  title,
  line,
  line_bold,
  name,
  number,
  bay,
  torque,
  reading,
};
inline constexpr int kTypes = 13;

// Which hand works the panel, and so how large a target must be.
enum class Hand { bare, glove, thick_glove };
Hand hand_named(std::string_view word);
std::string_view hand_word(Hand hand);

struct Rect {
  float x = 0;
  float y = 0;
  float w = 0;
  float h = 0;

  [[nodiscard]] float right() const { return x + w; }
  [[nodiscard]] float bottom() const { return y + h; }
  [[nodiscard]] bool holds(float px, float py) const {
    return px >= x && px < right() && py >= y && py < bottom();
  }
  [[nodiscard]] Rect inset(float by) const { return {x + by, y + by, w - 2 * by, h - 2 * by}; }
};

// Large text. The screens are laid out in drawn millimetres: millimetres of the panel at 100 %, and
// larger as the text is, so that rows, gaps and baselines grow with the text that stands in them
// and a panel of 218 x 136 mm at 200 % is laid out as one of 109 x 68. Then:
//   - what belongs to the hand keeps its size on the panel: keys, strip, tag, ruler: finger();
//   - type up to title grows by the whole scale, what is already large by less, and no type is
//     smaller than a smaller one's: capitals();
//   - the form follows the drawn size, and above 130 % it is the one column;
//   - where a screen cannot hold everything, parts scroll, then a numeral and its scale give way;
//     keypad, strip and primary never do, and a keyboard leaves at least one line.

// What the screen's size asks for. One-column forms are also taken above 130 % text.
enum class Form {
  wide,   // rule, main and side: 218 x 136 mm and the like
  small,  // the same on 153 x 92 mm: a narrow rule that is one key
  tall,   // portrait: rule and main, the side pinned below the main
  phone,  // one column, the rule is a mark at the right edge
};

struct Metrics {
  int width_px = 1280;
  int height_px = 800;
  float px_per_mm = 5.866F;
  float text_scale = 1;  // 1 .. 2
  Hand hand = Hand::glove;

  // Pixels of a drawn millimetre; px_per_mm are those of a real one.
  [[nodiscard]] float px() const { return px_per_mm * text_scale; }
  // Real millimetres in drawn ones: of a finger, a key, a rule held to the glass.
  [[nodiscard]] float finger(float mm) const { return mm / text_scale; }
  // Of the panel in drawn mm.
  [[nodiscard]] float width() const { return static_cast<float>(width_px) / px(); }
  [[nodiscard]] float height() const { return static_cast<float>(height_px) / px(); }
  [[nodiscard]] Form form() const;
  // One column on a panel that is wider than high, for its large text: keys stand beside what they
  // change, the keyboard has its ten columns, the strip one line.
  [[nodiscard]] bool low() const { return form() == Form::phone && width() > height(); }
  // Height of capitals in drawn mm.
  [[nodiscard]] float capitals(Type type) const;
  // Height to ask of the font, in whole pixels: capitals / 0.6255 for B612.
  [[nodiscard]] int font_px(Type type) const;
  // Smallest side of a target in drawn mm.
  [[nodiscard]] float target() const;
  // How far a finger may wander and still tap, in drawn mm.
  [[nodiscard]] float slop() const;
};

// The density assumed for a panel that does not tell its own, in pixels per inch.
double assumed_ppi(int width_px, int height_px);

Metrics metrics_for(int width_px, int height_px, double ppi, int text_percent, Hand hand);

}  // namespace baylore::viewer
