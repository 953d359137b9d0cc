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

  [[nodiscard]] float width() const { return static_cast<float>(width_px) / px_per_mm; }
  [[nodiscard]] float height() const { return static_cast<float>(height_px) / px_per_mm; }
  [[nodiscard]] Form form() const;
  // Height of capitals in mm, with the text scale.
  [[nodiscard]] float capitals(Type type) const;
  // Height to ask of the font, in whole pixels: capitals / 0.6255 for B612.
  [[nodiscard]] int font_px(Type type) const;
  // Smallest side of a target in mm.
  [[nodiscard]] float target() const;
  // How far a finger may wander and still tap, in mm.
  [[nodiscard]] float slop() const;
};

// The density assumed for a panel that does not tell its own, in pixels per inch.
double assumed_ppi(int width_px, int height_px);

Metrics metrics_for(int width_px, int height_px, double ppi, int text_percent, Hand hand);

}  // namespace baylore::viewer
