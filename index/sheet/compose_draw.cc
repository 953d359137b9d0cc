// Pictures on the printed sheet.
#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "sheet/compose_parts.h"

namespace baylore::sheet {
namespace {

struct DestroyImage {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};

}  // namespace

void draw_pixels(cairo_t* cr, const Pixels& pixels, Box box) {
  const std::unique_ptr<cairo_surface_t, DestroyImage> image(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels.width, pixels.height));
  if (cairo_surface_status(image.get()) != CAIRO_STATUS_SUCCESS) return;
  unsigned char* to = cairo_image_surface_get_data(image.get());
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(image.get()));
  const auto width = static_cast<std::size_t>(pixels.width);
  for (std::size_t y = 0; y < static_cast<std::size_t>(pixels.height); ++y) {
    for (std::size_t x = 0; x < width; ++x) {
      const std::uint8_t* from = &pixels.rgba[(y * width + x) * 4];
      const std::uint32_t pixel = static_cast<std::uint32_t>(from[0]) << 16U |
                                  static_cast<std::uint32_t>(from[1]) << 8U | from[2];
      // The library keeps a pixel as one number in the machine's own order of bytes.
      std::copy_n(reinterpret_cast<const unsigned char*>(&pixel), 4, to + y * stride + x * 4);
    }
  }
  cairo_surface_mark_dirty(image.get());
  cairo_save(cr);
  cairo_translate(cr, box.x, box.y);
  cairo_scale(cr, box.w / pixels.width, box.h / pixels.height);
  cairo_set_source_surface(cr, image.get(), 0, 0);
  cairo_paint(cr);
  cairo_restore(cr);
}

void draw_mark(cairo_t* cr, const Press::Line& label, const shop::Mark& mark, Box box,
               double radius) {
  const double px = box.x + std::clamp(mark.x, 0.0, 1.0) * box.w;
  const double py = box.y + std::clamp(mark.y, 0.0, 1.0) * box.h;
  double dx = px - (box.x + box.w / 2);
  double dy = py - (box.y + box.h / 2);
  const double far = std::max(0.1, std::hypot(dx, dy));
  dx /= far;
  dy /= far;
  const double x = std::clamp(px + dx * radius * 2.6, box.x + radius, box.x + box.w - radius);
  const double y = std::clamp(py + dy * radius * 2.6, box.y + radius, box.y + box.h - radius);
  const bool number = !mark.label.empty() && mark.label[0] >= '0' && mark.label[0] <= '9';
  set_ink(cr, kInk);
  cairo_set_line_width(cr, 0.9);
  cairo_move_to(cr, px, py);
  cairo_line_to(cr, x, y);
  cairo_stroke(cr);
  cairo_arc(cr, px, py, 1.6, 0, 6.2832);
  cairo_fill(cr);
  set_ink(cr, number ? kInk : kPaper);
  cairo_arc(cr, x, y, radius, 0, 6.2832);
  cairo_fill_preserve(cr);
  set_ink(cr, kInk);
  cairo_stroke(cr);
  label.draw(cr, x - label.width / 2, y + radius * 0.47);
}

}  // namespace baylore::sheet
