#pragma once

#include <cairo/cairo.h>

#include <initializer_list>
#include <memory>
#include <span>
#include <string>
#include <vector>

namespace baylore::drawings {

/// The drawing sheet in its own units: one unit is one pixel, the origin is the top left, y points
/// down. The proportion is the tip screen's picture field, 80 x 55 mm.
inline constexpr int kSheetWidth = 960;
inline constexpr int kSheetHeight = 660;

struct Point {
  double x = 0;
  double y = 0;
};

Point operator+(Point a, Point b);
Point operator-(Point a, Point b);
Point operator*(Point a, double k);

/// The point at distance `r` from `centre`, at `degrees` clockwise from the right.
Point polar(Point centre, double r, double degrees);

/// The point at part `t` (0 .. 1) of the way from `a` to `b`.
Point between(Point a, Point b, double t);

/// Direction from `a` to `b` in degrees clockwise from the right.
double bearing(Point a, Point b);

/// An outline built from straight lines, arcs and curves; a value, independent of any sheet.
class Path {
 public:
  Path& move(Point p);
  Path& line(Point p);
  Path& curve(Point control1, Point control2, Point end);
  /// Arc around `centre` from `from` to `to` degrees, clockwise when `to` > `from`. Joined to the
  /// current point by a straight line, if there is one.
  Path& arc(Point centre, double r, double from, double to);
  Path& close();
  /// Adds the outline of `other`; with opposite or even crossings it cuts a hole.
  Path& add(const Path& other);

  static Path circle(Point centre, double r);
  static Path ellipse(Point centre, double rx, double ry);
  static Path box(Point corner, double width, double height, double radius = 0);
  static Path polygon(std::initializer_list<Point> corners);
  static Path lines(std::initializer_list<Point> points);
  /// Open line through `points` with every inner corner rounded by `radius` (pipes, hoses).
  static Path bent(std::initializer_list<Point> points, double radius);
  /// Closed outline through `corners`, each rounded by `radius` (castings, brackets).
  static Path cast(std::initializer_list<Point> corners, double radius);
  /// Open smooth curve through all `points` (wires).
  static Path smooth(std::initializer_list<Point> points);
  static Path regular(Point centre, double r, int corners, double turn);

 private:
  friend class Pen;
  enum class Step { kMove, kLine, kCurve, kArc, kEllipse, kClose };
  struct Piece {
    Step step = Step::kMove;
    Point a, b, c;
    double r = 0, from = 0, to = 0;
  };
  std::vector<Piece> pieces_;
};

/// Line weights, heaviest first. kContext is the thin grey line for what only surrounds the part.
enum class Weight { kHeavy, kLine, kDetail, kContext, kNone };

/// Fills: kPart marks the part the tip is about, kShade an opening or a seal inside it.
enum class Tone { kNone, kWhite, kPart, kShade, kInk };

/// A place on a path, and the path's direction there in degrees clockwise from the right.
struct Station {
  Point at;
  double degrees = 0;
};

/// A named feature of a picture, x and y 0 .. 1 from the top left: where a tip's mark belongs.
struct Feature {
  std::string name;
  double x = 0;
  double y = 0;
};

/// Draws on one sheet, later strokes over earlier ones. Pure greyscale. Not thread-safe.
class Pen {
 public:
  Pen();

  void shape(const Path& path, Tone fill, Weight outline);
  void stroke(const Path& path, Weight weight);
  void line(Point a, Point b, Weight weight);
  void dashed(const Path& path, Weight weight, double dash, double gap);
  void circle(Point centre, double r, Tone fill, Weight outline);
  void dot(Point centre, double r);

  /// A body of `width` along `path` with both edges drawn and both ends open.
  void tube(const Path& path, double width, Tone fill, Weight outline);
  /// A solid band of `width` along `path`: belts, seals, thick black cable.
  void band(const Path& path, double width, Tone tone);
  /// Pieces of `dash` length and `width` along `path`, `gap` apart.
  void beads(const Path& path, double width, double dash, double gap, Tone tone, bool round);
  /// Parallel thin lines inside `region`, `spacing` apart, at `degrees`.
  void hatch(const Path& region, double degrees, double spacing, Weight weight);

  /// Points every `step` along `path`, with the direction of travel there.
  std::vector<Station> along(const Path& path, double step);

  /// Notes where a feature lies, for the marks of the tips.
  void feature(const std::string& name, Point p);
  std::span<const Feature> features() const { return features_; }

  /// Within its life, everything is drawn moved to `origin`, turned by `degrees`, scaled.
  class Frame {
   public:
    Frame(Pen& pen, Point origin, double degrees = 0, double scale_x = 1, double scale_y = 1);
    ~Frame();
    Frame(const Frame&) = delete;
    Frame& operator=(const Frame&) = delete;

   private:
    cairo_t* cairo_;
  };

  /// Within its life, drawing is limited to `region`.
  class Clip {
   public:
    Clip(Pen& pen, const Path& region);
    ~Clip();
    Clip(const Clip&) = delete;
    Clip& operator=(const Clip&) = delete;

   private:
    cairo_t* cairo_;
  };

  /// Writes the sheet as an 8-bit greyscale PNG; false if the file cannot be written.
  bool write(const std::string& file) const;

 private:
  void trace(const Path& path);
  void stroke_traced(double width, double grey);
  void set_grey(double grey);

  struct SurfaceEnd {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  };
  struct CairoEnd {
    void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  };
  std::unique_ptr<cairo_surface_t, SurfaceEnd> surface_;
  std::unique_ptr<cairo_t, CairoEnd> cairo_;
  std::vector<Feature> features_;
};

}  // namespace baylore::drawings
