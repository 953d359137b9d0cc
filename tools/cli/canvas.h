// A picture of lines and words, written as SVG or PNG.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/result.h"

namespace baylore::cli {

// How a line is told from another without its colour.
struct Pen {
  double width = 1.5;
  std::vector<double> dashes;           // lengths on and off; empty: whole
  std::string_view colour = "#1a1a1a";  // `#rrggbb`
};

enum class Anchor { start, middle, end };

// Units are points, from the top left. One thread at a time.
class Canvas {
 public:
  using Point = std::pair<double, double>;
  virtual ~Canvas() = default;
  virtual void line(const std::vector<Point>& points, const Pen& pen) = 0;
  virtual void box(double x, double y, double width, double height, std::string_view colour) = 0;
  virtual void words(double x, double y, std::string_view text, double size, Anchor anchor) = 0;
  virtual files::Result<void> save(const std::string& path) = 0;
};

// The kind follows the path's end, `.svg` or `.png`; nullptr for any other.
std::unique_ptr<Canvas> make_canvas(const std::string& path, double width, double height);

}  // namespace baylore::cli
