#include "canvas.h"

#include <cairo.h>

#include <cstdlib>

#include <fmt/format.h>

#include "files/disk.h"
#include "files/save.h"

namespace baylore::cli {
namespace {

constexpr double kPixels = 2;  // a point of a PNG

// What XML would take for itself, and what it does not allow at all.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else if (static_cast<unsigned char>(c) >= ' ') {
      out += c;
    }
  }
  return out;
}

class SvgCanvas final : public Canvas {
 public:
  SvgCanvas(double width, double height) {
    text_ = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
        "width=\"{0:g}pt\" height=\"{1:g}pt\" viewBox=\"0 0 {0:g} {1:g}\" "
        "font-family=\"sans-serif\">\n"
        "<rect width=\"{0:g}\" height=\"{1:g}\" fill=\"#ffffff\"/>\n",
        width, height);
  }
  void line(const std::vector<Point>& points, const Pen& pen) override {
    text_ += "<polyline fill=\"none\" points=\"";
    for (const auto& [x, y] : points) text_ += fmt::format("{:.2f},{:.2f} ", x, y);
    text_ += fmt::format("\" stroke=\"{}\" stroke-width=\"{:g}\"", pen.colour, pen.width);
    if (!pen.dashes.empty()) {
      text_ += " stroke-dasharray=\"";
      for (const double dash : pen.dashes) text_ += fmt::format("{:g} ", dash);
      text_ += '"';
    }
    text_ += "/>\n";
  }
  void box(double x, double y, double width, double height, std::string_view colour) override {
    text_ += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\"/>\n", x, y,
        width, height, colour);
  }
  void words(double x, double y, std::string_view text, double size, Anchor anchor) override {
    const char* where = anchor == Anchor::start ? "start"
                        : anchor == Anchor::end ? "end"
                                                : "middle";
    text_ += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:g}\" text-anchor=\"{}\">{}</text>\n", x, y,
        size, where, escaped(text));
  }
  files::Result<void> save(const std::string& path) override {
    return files::replace(files::real_disk(), path, text_ + "</svg>\n");
  }

 private:
  std::string text_;
};

class PngCanvas final : public Canvas {
 public:
  PngCanvas(double width, double height)
      : surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(width * kPixels),
                                            static_cast<int>(height * kPixels))),
        cairo_(cairo_create(surface_)) {
    cairo_scale(cairo_, kPixels, kPixels);
    cairo_set_source_rgb(cairo_, 1, 1, 1);
    cairo_paint(cairo_);
    cairo_select_font_face(cairo_, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  }
  PngCanvas(const PngCanvas&) = delete;
  PngCanvas& operator=(const PngCanvas&) = delete;
  ~PngCanvas() override {
    cairo_destroy(cairo_);
    cairo_surface_destroy(surface_);
  }
  void line(const std::vector<Point>& points, const Pen& pen) override {
    colour(pen.colour);
    cairo_new_path(cairo_);  // words leave their end as its beginning
    cairo_set_line_width(cairo_, pen.width);
    cairo_set_dash(cairo_, pen.dashes.data(), static_cast<int>(pen.dashes.size()), 0);
    for (const auto& [x, y] : points) cairo_line_to(cairo_, x, y);
    cairo_stroke(cairo_);
  }
  void box(double x, double y, double width, double height, std::string_view fill) override {
    colour(fill);
    cairo_rectangle(cairo_, x, y, width, height);
    cairo_fill(cairo_);
  }
  void words(double x, double y, std::string_view text, double size, Anchor anchor) override {
    const std::string held(text);
    cairo_set_font_size(cairo_, size);
    cairo_text_extents_t extents;
    cairo_text_extents(cairo_, held.c_str(), &extents);
    if (anchor == Anchor::middle) x -= extents.x_advance / 2;
    if (anchor == Anchor::end) x -= extents.x_advance;
    colour("#1a1a1a");
    cairo_move_to(cairo_, x, y);
    cairo_show_text(cairo_, held.c_str());
  }
  files::Result<void> save(const std::string& path) override {
    std::string bytes;
    const auto more = [](void* into, const unsigned char* data, unsigned int length) {
      static_cast<std::string*>(into)->append(data, data + length);
      return CAIRO_STATUS_SUCCESS;
    };
    cairo_surface_flush(surface_);
    const cairo_status_t status = cairo_surface_write_to_png_stream(surface_, more, &bytes);
    if (status != CAIRO_STATUS_SUCCESS) {
      return files::Failure{files::Failure::Kind::other, path, cairo_status_to_string(status),
                            "write an .svg instead"};
    }
    return files::replace(files::real_disk(), path, bytes);
  }

 private:
  void colour(std::string_view hex) {
    const auto channel = [&](std::size_t at) {
      return static_cast<double>(std::strtol(std::string(hex.substr(at, 2)).c_str(), nullptr, 16)) /
             255;
    };
    cairo_set_source_rgb(cairo_, channel(1), channel(3), channel(5));
  }
  cairo_surface_t* surface_;
  cairo_t* cairo_;
};

}  // namespace

std::unique_ptr<Canvas> make_canvas(const std::string& path, double width, double height) {
  const std::string end = path.size() < 4 ? "" : path.substr(path.size() - 4);
  if (end == ".svg") return std::make_unique<SvgCanvas>(width, height);
  if (end == ".png") return std::make_unique<PngCanvas>(width, height);
  return nullptr;
}

}  // namespace baylore::cli
