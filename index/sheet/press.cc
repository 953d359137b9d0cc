#include "sheet/press.h"

#include <pango/pangocairo.h>

#include <algorithm>

namespace baylore::sheet {
namespace {

constexpr const char* kFaces = "B612, DejaVu Sans";
constexpr float kLeading = 1.12F;  // of the faces' own line height

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
template <typename T>
using Held = std::shared_ptr<T>;

template <typename T>
Held<T> held(T* object) {
  return Held<T>(object, Unref());
}

double points(int pango_units) { return static_cast<double>(pango_units) / PANGO_SCALE; }

void attribute(PangoAttrList* list, PangoAttribute* one, std::size_t from, std::size_t to) {
  one->start_index = static_cast<guint>(from);
  one->end_index = static_cast<guint>(to);
  pango_attr_list_insert(list, one);
}

guint16 shade(double part) { return static_cast<guint16>(part * 65535); }

}  // namespace

struct Press::Inside {
  // Of this Press alone: the library's default map is shared by all that a thread draws.
  Held<PangoFontMap> map = held(pango_cairo_font_map_new());
  Held<PangoContext> context;

  Inside() {
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(map.get()), 72);
    context = held(pango_font_map_create_context(map.get()));
    // Paper has no pixels: nothing is moved to fit them, so that a text is as wide on every system.
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context.get(), options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context.get(), FALSE);
  }

  [[nodiscard]] Held<PangoLayout> layout(const std::vector<Stretch>& stretches,
                                         double scale) const {
    const auto out = held(pango_layout_new(context.get()));
    PangoFontDescription* face = pango_font_description_from_string(kFaces);
    pango_font_description_set_absolute_size(face, 9 * scale * PANGO_SCALE);
    pango_layout_set_font_description(out.get(), face);
    pango_font_description_free(face);
    pango_layout_set_line_spacing(out.get(), kLeading);
    pango_layout_set_wrap(out.get(), PANGO_WRAP_WORD_CHAR);
    std::string text;
    PangoAttrList* list = pango_attr_list_new();
    for (const Stretch& one : stretches) {
      const std::size_t from = text.size();
      text += one.text;
      const Style& style = one.style;
      attribute(list,
                pango_attr_size_new_absolute(static_cast<int>(style.size * scale * PANGO_SCALE)),
                from, text.size());
      if (style.bold) attribute(list, pango_attr_weight_new(PANGO_WEIGHT_BOLD), from, text.size());
      attribute(list,
                pango_attr_foreground_new(shade(style.ink.red), shade(style.ink.green),
                                          shade(style.ink.blue)),
                from, text.size());
    }
    attribute(list, pango_attr_insert_hyphens_new(FALSE), 0, text.size());
    pango_layout_set_text(out.get(), text.data(), static_cast<int>(text.size()));
    pango_layout_set_attributes(out.get(), list);
    pango_attr_list_unref(list);
    return out;
  }
};

Press::Press(double scale) : inside_(std::make_unique<Inside>()), scale_(scale) {}
Press::~Press() = default;

Rows Press::text(const std::vector<Stretch>& stretches, double width, double indent) const {
  const auto layout = inside_->layout(stretches, scale_);
  pango_layout_set_width(layout.get(),
                         static_cast<int>(std::max(10.0, width - indent) * PANGO_SCALE));
  Rows rows;
  PangoLayoutIter* at = pango_layout_get_iter(layout.get());
  do {
    PangoRectangle logical;
    pango_layout_iter_get_line_extents(at, nullptr, &logical);
    const double left = indent + points(logical.x);
    const double down = points(pango_layout_iter_get_baseline(at) - logical.y);
    PangoLayoutLine* line = pango_layout_iter_get_line_readonly(at);
    Row row;
    row.height = points(logical.height);
    row.draw = [layout, line, left, down](cairo_t* cr, double x, double y) {
      cairo_move_to(cr, x + left, y + down);
      pango_cairo_show_layout_line(cr, line);
    };
    rows.push_back(std::move(row));
  } while (pango_layout_iter_next_line(at) != FALSE);
  pango_layout_iter_free(at);
  return rows;
}

Rows Press::text(std::string_view words, Style style, double width, double indent) const {
  return text({Stretch{std::string(words), style}}, width, indent);
}

Press::Line Press::line(const std::vector<Stretch>& stretches) const {
  const auto layout = inside_->layout(stretches, scale_);
  pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  PangoRectangle logical;
  PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), 0);
  pango_layout_line_get_extents(line, nullptr, &logical);
  return {points(logical.width), [layout, line](cairo_t* cr, double x, double baseline) {
            cairo_move_to(cr, x, baseline);
            pango_cairo_show_layout_line(cr, line);
          }};
}

Press::Line Press::line(std::string_view words, Style style) const {
  return line({Stretch{std::string(words), style}});
}

double height_of(const Rows& rows) {
  double sum = 0;
  for (const Row& row : rows) sum += row.height;
  return sum;
}

void set_ink(cairo_t* cr, Ink ink) { cairo_set_source_rgb(cr, ink.red, ink.green, ink.blue); }

void draw_rule(cairo_t* cr, double x, double y, double width, double thick, Ink ink) {
  set_ink(cr, ink);
  cairo_rectangle(cr, x, y - thick / 2, width, thick);
  cairo_fill(cr);
}

void draw_upright(cairo_t* cr, double x, double y, double height, double thick, Ink ink) {
  set_ink(cr, ink);
  cairo_rectangle(cr, x - thick / 2, y, thick, height);
  cairo_fill(cr);
}

void draw_cell(cairo_t* cr, double x, double y, double side) {
  set_ink(cr, kInk);
  cairo_set_line_width(cr, 0.7);
  cairo_rectangle(cr, x, y, side, side);
  cairo_stroke(cr);
}

void draw_triangle(cairo_t* cr, double x, double y, double size) {
  const double high = size * 0.87;
  set_ink(cr, kInk);
  cairo_move_to(cr, x + size / 2, y);
  cairo_line_to(cr, x + size, y + high);
  cairo_line_to(cr, x, y + high);
  cairo_close_path(cr);
  cairo_fill(cr);
  draw_upright(cr, x + size / 2, y + high * 0.34, high * 0.34, size * 0.11, kPaper);
  set_ink(cr, kPaper);
  cairo_arc(cr, x + size / 2, y + high * 0.83, size * 0.065, 0, 6.2832);
  cairo_fill(cr);
}

}  // namespace baylore::sheet
