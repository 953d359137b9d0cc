#include "pen.h"

#include <png.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <numbers>

namespace baylore::drawings {
namespace {

constexpr double kPi = std::numbers::pi;

constexpr double kWhiteGrey = 1.0;
constexpr double kPartGrey = 0xE4 / 255.0;
constexpr double kShadeGrey = 0xBE / 255.0;
constexpr double kContextGrey = 0x80 / 255.0;
constexpr double kInkGrey = 0x1A / 255.0;

double radians(double degrees) { return degrees * kPi / 180.0; }

double width_of(Weight weight) {
  switch (weight) {
    case Weight::kHeavy:
      return 5.6;
    case Weight::kLine:
      return 3.8;
    case Weight::kDetail:
      return 2.2;
    case Weight::kContext:
      return 2.6;
    case Weight::kNone:
      return 0;
  }
  return 0;
}

double grey_of(Weight weight) { return weight == Weight::kContext ? kContextGrey : kInkGrey; }

double grey_of(Tone tone) {
  switch (tone) {
    case Tone::kPart:
      return kPartGrey;
    case Tone::kShade:
      return kShadeGrey;
    case Tone::kInk:
      return kInkGrey;
    case Tone::kNone:
    case Tone::kWhite:
      return kWhiteGrey;
  }
  return kWhiteGrey;
}

double length(Point p) { return std::hypot(p.x, p.y); }

/// Rounds the corner b of a-b-c: the run ends at `in`, a curve leads to `out`.
struct Corner {
  Point in, control1, control2, out;
};

Corner round_corner(Point a, Point b, Point c, double radius) {
  const double before = length(a - b);
  const double after = length(c - b);
  const Point u = (a - b) * (1 / before);
  const Point v = (c - b) * (1 / after);
  const double half = std::acos(std::clamp(u.x * v.x + u.y * v.y, -1.0, 1.0)) / 2;
  // The cut must leave room for the neighbouring corner, so never more than half a side.
  const double cut = std::min({radius / std::tan(half), before / 2, after / 2});
  // 0.55 makes a cubic follow the quarter circle closely, and is near enough at other angles.
  return {b + u * cut, b + u * (cut * 0.45), b + v * (cut * 0.45), b + v * cut};
}

struct Segment {
  Point from, to;
};

/// The two end pieces of the current path, each running outward; none if it is closed.
std::vector<Segment> ends_of(cairo_t* cairo) {
  std::vector<Point> points;
  bool closed = false;
  cairo_path_t* const flat = cairo_copy_path_flat(cairo);
  for (int i = 0; i < flat->num_data; i += flat->data[i].header.length) {
    if (flat->data[i].header.type == CAIRO_PATH_CLOSE_PATH) {
      closed = true;
      break;
    }
    const Point p{flat->data[i + 1].point.x, flat->data[i + 1].point.y};
    if (points.empty() || length(p - points.back()) > 0.01) points.push_back(p);
  }
  cairo_path_destroy(flat);
  if (closed || points.size() < 2) return {};
  return {{points[1], points[0]}, {points[points.size() - 2], points.back()}};
}

/// `grey` moved to the nearest of the tones and a few steps between: the soft rims of the lines
/// need no more, and the file gets much smaller.
unsigned char few_greys(unsigned char grey) {
  constexpr std::array<int, 16> kSteps{0x1A, 0x2A, 0x3B, 0x4C, 0x5D, 0x6E, 0x80, 0x8F,
                                       0x9F, 0xAF, 0xBE, 0xCB, 0xD8, 0xE4, 0xF2, 0xFF};
  const auto nearer = [grey](int a, int b) { return std::abs(a - grey) < std::abs(b - grey); };
  return static_cast<unsigned char>(*std::min_element(kSteps.begin(), kSteps.end(), nearer));
}

// libpng reports errors by jumping back here, so nothing in this function may need a destructor.
bool write_grey(std::FILE* out, const unsigned char* pixels, int stride) {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  if (png == nullptr) return false;
  png_infop info = png_create_info_struct(png);
  if (info == nullptr || setjmp(png_jmpbuf(png)) != 0) {
    png_destroy_write_struct(&png, &info);
    return false;
  }
  png_init_io(png, out);
  png_set_IHDR(png, info, kSheetWidth, kSheetHeight, 8, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
  png_set_compression_level(png, 9);
  png_write_info(png, info);
  std::array<unsigned char, kSheetWidth> row;
  for (int y = 0; y < kSheetHeight; ++y) {
    std::transform(pixels + y * stride, pixels + y * stride + kSheetWidth, row.begin(), few_greys);
    png_write_row(png, row.data());
  }
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  return true;
}

}  // namespace

Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
Point operator*(Point a, double k) { return {a.x * k, a.y * k}; }

Point polar(Point centre, double r, double degrees) {
  return {centre.x + r * std::cos(radians(degrees)), centre.y + r * std::sin(radians(degrees))};
}

Point between(Point a, Point b, double t) { return a + (b - a) * t; }

double bearing(Point a, Point b) { return std::atan2(b.y - a.y, b.x - a.x) * 180.0 / kPi; }

Path& Path::move(Point p) {
  pieces_.push_back({Step::kMove, p, {}, {}});
  return *this;
}

Path& Path::line(Point p) {
  pieces_.push_back({Step::kLine, p, {}, {}});
  return *this;
}

Path& Path::curve(Point control1, Point control2, Point end) {
  pieces_.push_back({Step::kCurve, control1, control2, end});
  return *this;
}

Path& Path::arc(Point centre, double r, double from, double to) {
  pieces_.push_back({Step::kArc, centre, {}, {}, r, from, to});
  return *this;
}

Path& Path::close() {
  pieces_.push_back({Step::kClose, {}, {}, {}});
  return *this;
}

Path& Path::add(const Path& other) {
  pieces_.insert(pieces_.end(), other.pieces_.begin(), other.pieces_.end());
  return *this;
}

Path Path::circle(Point centre, double r) { return ellipse(centre, r, r); }

Path Path::ellipse(Point centre, double rx, double ry) {
  Path path;
  path.pieces_.push_back({Step::kEllipse, centre, {rx, ry}, {}});
  return path;
}

Path Path::box(Point corner, double width, double height, double radius) {
  const Point far{corner.x + width, corner.y + height};
  if (radius <= 0) return polygon({corner, {far.x, corner.y}, far, {corner.x, far.y}});
  return cast({corner, {far.x, corner.y}, far, {corner.x, far.y}}, radius);
}

Path Path::polygon(std::initializer_list<Point> corners) { return lines(corners).close(); }

Path Path::lines(std::initializer_list<Point> points) {
  Path path;
  for (const Point& p : points) path.pieces_.empty() ? path.move(p) : path.line(p);
  return path;
}

Path Path::bent(std::initializer_list<Point> points, double radius) {
  const std::vector<Point> p(points);
  Path path;
  path.move(p.front());
  for (std::size_t i = 1; i + 1 < p.size(); ++i) {
    const Corner corner = round_corner(p[i - 1], p[i], p[i + 1], radius);
    path.line(corner.in).curve(corner.control1, corner.control2, corner.out);
  }
  return path.line(p.back());
}

Path Path::cast(std::initializer_list<Point> corners, double radius) {
  const std::vector<Point> p(corners);
  const std::size_t n = p.size();
  Path path;
  for (std::size_t i = 0; i < n; ++i) {
    const Corner corner = round_corner(p[(i + n - 1) % n], p[i], p[(i + 1) % n], radius);
    i == 0 ? path.move(corner.in) : path.line(corner.in);
    path.curve(corner.control1, corner.control2, corner.out);
  }
  return path.close();
}

// Catmull-Rom through all points, the ends doubled; each span becomes one cubic.
Path Path::smooth(std::initializer_list<Point> points) {
  const std::vector<Point> p(points);
  Path path;
  path.move(p.front());
  for (std::size_t i = 0; i + 1 < p.size(); ++i) {
    const Point before = i == 0 ? p[0] : p[i - 1];
    const Point after = i + 2 < p.size() ? p[i + 2] : p.back();
    path.curve(p[i] + (p[i + 1] - before) * (1.0 / 6), p[i + 1] - (after - p[i]) * (1.0 / 6),
               p[i + 1]);
  }
  return path;
}

Path Path::regular(Point centre, double r, int corners, double turn) {
  Path path;
  for (int i = 0; i < corners; ++i) {
    const Point p = polar(centre, r, turn + 360.0 * i / corners);
    i == 0 ? path.move(p) : path.line(p);
  }
  return path.close();
}

// The sheet is an alpha-only surface whose alpha is read as lightness: that is what cairo writes as
// a true greyscale PNG. The SOURCE operator lets a darker tone replace a lighter one.
Pen::Pen()
    : surface_(cairo_image_surface_create(CAIRO_FORMAT_A8, kSheetWidth, kSheetHeight)),
      cairo_(cairo_create(surface_.get())) {
  cairo_set_operator(cairo_.get(), CAIRO_OPERATOR_SOURCE);
  set_grey(kWhiteGrey);
  cairo_paint(cairo_.get());
  cairo_set_line_cap(cairo_.get(), CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo_.get(), CAIRO_LINE_JOIN_ROUND);
  cairo_set_fill_rule(cairo_.get(), CAIRO_FILL_RULE_EVEN_ODD);
}

void Pen::set_grey(double grey) { cairo_set_source_rgba(cairo_.get(), 0, 0, 0, grey); }

void Pen::trace(const Path& path) {
  cairo_t* const cr = cairo_.get();
  cairo_new_path(cr);
  for (const Path::Piece& piece : path.pieces_) {
    switch (piece.step) {
      case Path::Step::kMove:
        cairo_move_to(cr, piece.a.x, piece.a.y);
        break;
      case Path::Step::kLine:
        cairo_line_to(cr, piece.a.x, piece.a.y);
        break;
      case Path::Step::kCurve:
        cairo_curve_to(cr, piece.a.x, piece.a.y, piece.b.x, piece.b.y, piece.c.x, piece.c.y);
        break;
      case Path::Step::kArc:
        if (piece.to >= piece.from) {
          cairo_arc(cr, piece.a.x, piece.a.y, piece.r, radians(piece.from), radians(piece.to));
        } else {
          cairo_arc_negative(cr, piece.a.x, piece.a.y, piece.r, radians(piece.from),
                             radians(piece.to));
        }
        break;
      case Path::Step::kEllipse:
        cairo_new_sub_path(cr);
        cairo_save(cr);
        cairo_translate(cr, piece.a.x, piece.a.y);
        cairo_scale(cr, piece.b.x, piece.b.y);
        cairo_arc(cr, 0, 0, 1, 0, 2 * kPi);
        cairo_close_path(cr);
        cairo_restore(cr);
        break;
      case Path::Step::kClose:
        cairo_close_path(cr);
        break;
    }
  }
}

// The path is already in sheet units, so the line is as wide as asked even within a scaled Frame.
void Pen::stroke_traced(double width, double grey) {
  cairo_t* const cr = cairo_.get();
  cairo_save(cr);
  cairo_identity_matrix(cr);
  cairo_set_line_width(cr, width);
  set_grey(grey);
  cairo_stroke_preserve(cr);
  cairo_restore(cr);
}

void Pen::shape(const Path& path, Tone fill, Weight outline) {
  trace(path);
  if (fill != Tone::kNone) {
    set_grey(grey_of(fill));
    cairo_fill_preserve(cairo_.get());
  }
  if (outline != Weight::kNone) stroke_traced(width_of(outline), grey_of(outline));
  cairo_new_path(cairo_.get());
}

void Pen::stroke(const Path& path, Weight weight) { shape(path, Tone::kNone, weight); }

void Pen::line(Point a, Point b, Weight weight) { stroke(Path().move(a).line(b), weight); }

void Pen::dashed(const Path& path, Weight weight, double dash, double gap) {
  cairo_t* const cr = cairo_.get();
  const double pattern[] = {dash, gap};
  cairo_save(cr);
  cairo_set_dash(cr, pattern, 2, 0);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
  trace(path);
  stroke_traced(width_of(weight), grey_of(weight));
  cairo_new_path(cr);
  cairo_restore(cr);
}

void Pen::circle(Point centre, double r, Tone fill, Weight outline) {
  shape(Path::circle(centre, r), fill, outline);
}

void Pen::dot(Point centre, double r) { circle(centre, r, Tone::kInk, Weight::kNone); }

void Pen::tube(const Path& path, double width, Tone fill, Weight outline) {
  cairo_t* const cr = cairo_.get();
  cairo_save(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
  trace(path);
  const double edge = width_of(outline);
  stroke_traced(width + edge, grey_of(outline));
  stroke_traced(width - edge, grey_of(fill));
  // The soft rim of the dark stroke shows through at the two ends: cover it.
  for (const Segment& end : ends_of(cr)) {
    const Point back = (end.from - end.to) * (2 / length(end.from - end.to));
    cairo_new_path(cr);
    const Point inner = end.to + back;
    const Point outer = end.to - back * 0.5;
    cairo_move_to(cr, inner.x, inner.y);
    cairo_line_to(cr, outer.x, outer.y);
    stroke_traced(width - edge, grey_of(fill));
  }
  cairo_new_path(cr);
  cairo_restore(cr);
}

void Pen::band(const Path& path, double width, Tone tone) {
  cairo_t* const cr = cairo_.get();
  cairo_save(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
  trace(path);
  stroke_traced(width, grey_of(tone));
  cairo_new_path(cr);
  cairo_restore(cr);
}

void Pen::beads(const Path& path, double width, double dash, double gap, Tone tone, bool round) {
  cairo_t* const cr = cairo_.get();
  const double pattern[] = {dash, gap};
  cairo_save(cr);
  cairo_set_dash(cr, pattern, 2, 0);
  cairo_set_line_cap(cr, round ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
  trace(path);
  stroke_traced(width, grey_of(tone));
  cairo_new_path(cr);
  cairo_restore(cr);
}

void Pen::hatch(const Path& region, double degrees, double spacing, Weight weight) {
  const Clip clip(*this, region);
  double left = 0, top = 0, right = 0, bottom = 0;
  cairo_clip_extents(cairo_.get(), &left, &top, &right, &bottom);
  const Point centre{(left + right) / 2, (top + bottom) / 2};
  const double reach = std::hypot(right - left, bottom - top) / 2;
  const int count = static_cast<int>(reach / spacing);
  for (int i = -count; i <= count; ++i) {
    const Point middle = polar(centre, spacing * i, degrees + 90);
    line(polar(middle, -reach, degrees), polar(middle, reach, degrees), weight);
  }
}

std::vector<Station> Pen::along(const Path& path, double step) {
  trace(path);
  cairo_path_t* const flat = cairo_copy_path_flat(cairo_.get());
  cairo_new_path(cairo_.get());
  std::vector<Station> stations;
  Point last;
  double left = step / 2;
  for (int i = 0; i < flat->num_data; i += flat->data[i].header.length) {
    if (flat->data[i].header.type == CAIRO_PATH_CLOSE_PATH) continue;
    const Point next{flat->data[i + 1].point.x, flat->data[i + 1].point.y};
    if (flat->data[i].header.type == CAIRO_PATH_LINE_TO) {
      const double run = length(next - last);
      for (; left <= run; left += step) {
        stations.push_back({between(last, next, left / run), bearing(last, next)});
      }
      left -= run;
    }
    last = next;
  }
  cairo_path_destroy(flat);
  return stations;
}

void Pen::feature(const std::string& name, Point p) {
  cairo_user_to_device(cairo_.get(), &p.x, &p.y);
  features_.push_back({name, p.x / kSheetWidth, p.y / kSheetHeight});
}

Pen::Frame::Frame(Pen& pen, Point origin, double degrees, double scale_x, double scale_y)
    : cairo_(pen.cairo_.get()) {
  cairo_save(cairo_);
  cairo_translate(cairo_, origin.x, origin.y);
  cairo_rotate(cairo_, radians(degrees));
  cairo_scale(cairo_, scale_x, scale_y);
}

Pen::Frame::~Frame() { cairo_restore(cairo_); }

Pen::Clip::Clip(Pen& pen, const Path& region) : cairo_(pen.cairo_.get()) {
  cairo_save(cairo_);
  pen.trace(region);
  cairo_clip(cairo_);
}

Pen::Clip::~Clip() { cairo_restore(cairo_); }

// Written through libpng itself: with few greys and no row filters, line art packs to a third of
// what cairo's own writer makes of it.
bool Pen::write(const std::string& file) const {
  cairo_surface_flush(surface_.get());
  const unsigned char* const pixels = cairo_image_surface_get_data(surface_.get());
  const int stride = cairo_image_surface_get_stride(surface_.get());
  std::FILE* const out = std::fopen(file.c_str(), "wb");
  if (out == nullptr) return false;
  const bool packed = write_grey(out, pixels, stride);
  return std::fclose(out) == 0 && packed;
}

}  // namespace baylore::drawings
