// Setting type on paper: texts become rows that can be placed one by one, so that a text may go on
// in the next column. All lengths are points (1/72 in); y grows downwards.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

typedef struct _cairo cairo_t;

namespace baylore::sheet {

inline constexpr double kMm = 72.0 / 25.4;

// One horizontal strip of a column, drawn at its top left. It is never cut.
struct Row {
  double height = 0;
  bool with_next = false;    // stands in one column with the row after it, where that can be
  bool gap = false;          // blank: left out at the top of a column
  bool opens = false;        // the heading of its section
  std::string_view section;  // for the heading where a section goes on; empty: none
  std::function<void(cairo_t*, double x, double y)> draw;
};
using Rows = std::vector<Row>;
double height_of(const Rows& rows);

struct Ink {
  double red = 0, green = 0, blue = 0;
};
inline constexpr Ink kInk{0.10, 0.10, 0.10};
inline constexpr Ink kMuted{0.29, 0.28, 0.24};
inline constexpr Ink kHair{0.72, 0.69, 0.63};
inline constexpr Ink kAccent{0.04, 0.31, 0.33};
inline constexpr Ink kAlarm{0.55, 0.10, 0.05};
inline constexpr Ink kPaper{1, 1, 1};

struct Style {
  double size = 9;  // of the font, before the sheet's scale
  bool bold = false;
  Ink ink = kInk;
};

// A stretch of text in one style.
struct Stretch {
  std::string text;  // clean: valid UTF-8 without control characters but line feeds
  Style style;
};

// Measures and sets text at one scale. For one thread at a time.
class Press {
 public:
  explicit Press(double scale);
  ~Press();
  Press(const Press&) = delete;
  Press& operator=(const Press&) = delete;

  [[nodiscard]] double scale() const { return scale_; }
  [[nodiscard]] double scaled(double points) const { return points * scale_; }

  // Wrapped text, one row a line, moved in by `indent`.
  [[nodiscard]] Rows text(const std::vector<Stretch>& stretches, double width,
                          double indent = 0) const;
  [[nodiscard]] Rows text(std::string_view words, Style style, double width,
                          double indent = 0) const;
  // One line for drawing on a baseline.
  struct Line {
    double width = 0;
    std::function<void(cairo_t*, double x, double baseline)> draw;
  };
  [[nodiscard]] Line line(const std::vector<Stretch>& stretches) const;
  [[nodiscard]] Line line(std::string_view words, Style style) const;
  // Height of capitals of a size, after scaling.
  [[nodiscard]] double capitals(double size) const { return size * scale_ * 0.73; }

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
  double scale_;
};

// --- shapes
void set_ink(cairo_t* cr, Ink ink);
void draw_rule(cairo_t* cr, double x, double y, double width, double thick, Ink ink);
void draw_upright(cairo_t* cr, double x, double y, double height, double thick, Ink ink);
void draw_cell(cairo_t* cr, double x, double y, double side);      // an empty tick cell
void draw_triangle(cairo_t* cr, double x, double y, double size);  // the sign of a caution

}  // namespace baylore::sheet
