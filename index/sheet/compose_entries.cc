// One check, one fastener, one part, one picture on the printed sheet.
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <utility>

#include "sheet/compose.h"
#include "sheet/compose_parts.h"

namespace baylore::sheet {
namespace {

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

// A strength word with what it speaks of: "suggests against this cause".
std::string strength(const std::string& word, std::string_view cause) {
  if (word == "says nothing") return word;
  if (word == "rules out") return fmt::format("rules {} out", cause);
  return fmt::format("{} {}", word, cause);
}

std::string strengths(const SheetCheck& check) {
  std::string out;
  if (!check.outside.empty())
    out = fmt::format("Outside: {}.", strength(check.outside, "this cause"));
  if (!check.inside.empty())
    join(out, fmt::format("Inside: {}.", strength(check.inside, "it")), " ");
  return out;
}

}  // namespace

std::string minutes_text(double minutes) { return fmt::format("{:.3g} min", minutes); }

// What it should be, and room for what it is: a line with the unit behind it, or yes and no.
Rows Composer::expected(const Expected& expected, double indent) const {
  const double w = width_;
  const double high = press_.scaled(15);
  const double base = press_.scaled(11.6);
  const double side = press_.scaled(kCell);
  if (expected.unit.empty()) {
    const Press::Line yes = press_.line("yes", kSmallMuted);
    const Press::Line no = press_.line("no", kSmallMuted);
    const double blank = yes.width + no.width + 2 * side + press_.scaled(16);
    Rows rows = press_.text(
        expected.none()
            ? std::vector<Stretch>{{"found", kSmallMuted}}
            : std::vector<Stretch>{{"expected  ", kSmallMuted}, {expected.before, {9, true, kInk}}},
        w - blank - press_.scaled(4), indent);
    const double down = press_.scaled(9.4);
    if (expected.none()) {
      over(rows.front(), [=](cairo_t* cr, double x, double y) {
        draw_rule(cr, x + indent + 10 * kMm, y + down + 1, w - indent - 10 * kMm, 0.5, kInk);
      });
    } else {
      const double gap = press_.scaled(3);
      over(rows.front(), [=](cairo_t* cr, double x, double y) {
        double at = x + w - blank;
        for (const Press::Line& word : {yes, no}) {
          draw_cell(cr, at, y + down - side + 1, side);
          word.draw(cr, at + side + gap, y + down);
          at += side + word.width + 4 * gap;
        }
      });
    }
    rows.back().height += press_.scaled(1.5);
    return rows;
  }
  std::vector<Stretch> words{{expected.before, {12, true, kInk}},
                             {" " + expected.unit, {8, false, kInk}}};
  if (!expected.after.empty()) words.push_back({" " + expected.after, {8, false, kInk}});
  const Press::Line unit = press_.line(expected.unit, {8, false, kInk});
  const double blank = press_.scaled(58) + unit.width;
  const Press::Line large = press_.line(words);
  const Press::Line second = press_.line(expected.second, kSmallMuted);
  Rows rows;
  const bool fits = indent + large.width + blank + press_.scaled(8) <= w;
  if (!fits) append(rows, press_.text(words, w, indent));
  Row row;
  row.height = high;
  const double gap = press_.scaled(7);
  const double after = indent + (fits ? large.width + gap : 0);
  const bool beside = after + second.width + blank + gap <= w;
  row.draw = [=](cairo_t* cr, double x, double y) {
    if (fits) large.draw(cr, x + indent, y + base);
    if (beside) second.draw(cr, x + after, y + base);
    unit.draw(cr, x + w - unit.width, y + base);
    draw_rule(cr, x + w - blank, y + base + 1.2, blank - unit.width - 3, 0.5, kInk);
  };
  rows.push_back(std::move(row));
  if (!beside) append(rows, press_.text(expected.second, kSmallMuted, w, indent));
  return rows;
}

Rows Composer::check(const SheetCheck& check, int number) const {
  const double indent = press_.scaled(kCellIndent);
  const double w = width_;
  const double side = press_.scaled(kCell);
  const Press::Line minutes =
      press_.line(check.minutes > 0 ? minutes_text(check.minutes) : std::string(), kSmallMuted);
  Rows rows = press_.text(
      {{std::to_string(number) + "  ", {9.4, true, kAccent}}, {check.name, {9.4, true, kInk}}},
      w - minutes.width - press_.scaled(4), indent);
  const double base = press_.scaled(10.4);
  over(rows.front(), [=](cairo_t* cr, double x, double y) {
    draw_cell(cr, x + 0.4, y + base - side + 0.6, side);
    minutes.draw(cr, x + w - minutes.width, y + base);
  });
  append(rows, expected(check.expected, indent));
  std::string when = capital(check.valid);
  join(when, check.tools, when.empty() ? "" : "; ");
  if (!when.empty()) append(rows, press_.text(capital(when), kSmallMuted, w, indent));
  if (!check.how.empty()) append(rows, press_.text(check.how, kSmall, w, indent));
  const std::string means = strengths(check);
  if (!check.why.empty() || !means.empty()) {
    std::string why = check.why.empty() ? std::string() : "Why: " + check.why;
    join(why, means, " ");
    append(rows, press_.text(why, kSmallMuted, w, indent));
  }
  together(rows);
  return rows;
}

// The last figure large in both units, all stages in words below where there are several.
Rows Composer::torque(const SheetFastener& fastener, double indent) const {
  Rows rows;
  const double w = width_;
  const Style words{8.4, true, kInk};
  if (!fastener.spec) {
    if (!fastener.torque.empty()) append(rows, press_.text(fastener.torque, words, w, indent));
    return rows;
  }
  const trade::Unit& other = trade::other_torque_unit(*fastener.spec);
  const trade::TorqueFigure one = trade::final_figure(*fastener.spec);
  const trade::TorqueFigure two = trade::final_figure_in(*fastener.spec, other);
  const Press::Line first =
      press_.line({{one.number, {15, true, kInk}}, {" " + one.unit, {8, false, kInk}}});
  const Press::Line second =
      press_.line({{two.number, {15, true, kInk}}, {" " + two.unit, {8, false, kInk}}});
  const double gap = press_.scaled(16);
  if (one.number.empty() || indent + first.width + second.width + gap > w) {
    std::string all = fastener.torque;
    if (!fastener.second.empty()) all += " = " + fastener.second;
    append(rows, press_.text(all, words, w, indent));
    return rows;
  }
  Row row;
  row.height = press_.scaled(19);
  const double base = press_.scaled(14.4);
  const double high = press_.capitals(15);
  row.draw = [=](cairo_t* cr, double x, double y) {
    first.draw(cr, x + indent, y + base);
    draw_upright(cr, x + indent + first.width + gap / 2, y + base - high, high, 0.4, kHair);
    second.draw(cr, x + indent + first.width + gap, y + base);
  };
  rows.push_back(std::move(row));
  std::string order = trade::stages_in_words(*fastener.spec);
  if (fastener.spec->stages.size() < 2) join(order, one.after, " ");
  if (!order.empty()) append(rows, press_.text(order, words, w, indent));
  return rows;
}

Rows Composer::fastener(const SheetFastener& fastener) const {
  const double indent = press_.scaled(kCellIndent);
  const double w = width_;
  const double side = press_.scaled(kCell);
  const double base = press_.scaled(10.2);
  Press::Line bolt = press_.line(fastener.bolt, kSmallMuted);
  const bool beside = bolt.width < w * 0.5;
  Rows rows = press_.text(fastener.name, {9.2, true, kInk},
                          w - (beside ? bolt.width + press_.scaled(4) : 0), indent);
  over(rows.front(), [=](cairo_t* cr, double x, double y) {
    draw_cell(cr, x + 0.4, y + base - side + 0.6, side);
    if (beside) bolt.draw(cr, x + w - bolt.width, y + base);
  });
  if (!beside) append(rows, press_.text(fastener.bolt, kSmallMuted, w, indent));
  append(rows, torque(fastener, indent));
  if (!fastener.sequence.empty())
    append(rows, press_.text("order " + fastener.sequence, {8.4, true, kInk}, w, indent));
  if (fastener.reuse == "no") {
    append(rows, press_.text("new every time", {8.4, true, kAlarm}, w, indent));
  } else if (!fastener.reuse.empty() && fastener.reuse != "yes") {
    append(rows, press_.text("reuse: " + fastener.reuse, kSmall, w, indent));
  }
  if (!fastener.text.empty()) append(rows, press_.text(fastener.text, kSmall, w, indent));
  if (!fastener.doubt.empty())
    append(rows, press_.text("In doubt: " + fastener.doubt, {7.6, true, kAlarm}, w, indent));
  together(rows);
  return rows;
}

Rows Composer::acceptance(const SheetCheck& check) const {
  const double indent = press_.scaled(kCellIndent);
  const double side = press_.scaled(kCell);
  const double base = press_.scaled(8.6);
  Rows rows = press_.text(check.name, kSmallBold, width_, indent);
  over(rows.front(), [=](cairo_t* cr, double x, double y) {
    draw_cell(cr, x + 0.4, y + base - side + 0.6, side);
  });
  if (!check.expected.none()) append(rows, expected(check.expected, indent));
  if (!check.how.empty()) append(rows, press_.text(check.how, kSmall, width_, indent));
  together(rows);
  return rows;
}

Rows Composer::part(const SheetPart& part) const {
  Rows rows = press_.text(part.name, {10.4, true, kInk}, width_);
  if (!part.text.empty()) append(rows, press_.text(part.text, kSmall, width_));
  together(rows);
  if (part.acceptance.empty()) return rows;
  Rows before = press_.text("Before it goes in", {7.6, true, kAccent}, width_);
  before.front().height += press_.scaled(1.5);
  before.back().with_next = true;
  rows.back().with_next = true;
  append(rows, std::move(before));
  for (const SheetCheck& check : part.acceptance) {
    append(rows, acceptance(check));
    rows.push_back(space(2));
  }
  return rows;
}

// The picture with its marks, each at the end of a short line outward from its point so that it
// hides nothing; below them what they mean. Without pixels a ruled blank of two thirds the height.
Rows Composer::picture(const SheetPicture& picture, const Pixels* pixels) const {
  Rows rows;
  Row row;
  const bool there = pixels != nullptr && pixels->width > 0 && pixels->height > 0 &&
                     pixels->rgba.size() >= static_cast<std::size_t>(pixels->width) *
                                                static_cast<std::size_t>(pixels->height) * 4;
  const double most = press_.scaled(56 * kMm);
  double w = width_;
  double h = there ? w * pixels->height / pixels->width : press_.scaled(16 * kMm);
  if (h > most) {
    w *= most / h;
    h = most;
  }
  row.height = h + press_.scaled(3);
  const double in = (width_ - w) / 2;
  std::vector<std::pair<Press::Line, const shop::Mark*>> labels;
  for (const shop::Mark& mark : picture.marks) {
    const bool number = !mark.label.empty() && mark.label[0] >= '0' && mark.label[0] <= '9';
    labels.emplace_back(press_.line(mark.label, {7, true, number ? kPaper : kInk}), &mark);
  }
  if (there) {
    const double radius = press_.scaled(5.4);
    row.draw = [=](cairo_t* cr, double x, double y) {
      const Box box{x + in, y, w, h};
      draw_pixels(cr, *pixels, box);
      for (const auto& [label, mark] : labels) draw_mark(cr, label, *mark, box, radius);
    };
  } else {
    const std::string why = pixels != nullptr && !pixels->why.empty() ? pixels->why : "no picture";
    const Press::Line words = press_.line(why, kSmallMuted);
    row.draw = [=](cairo_t* cr, double x, double y) {
      for (int i = 0; i <= 3; ++i)
        draw_rule(cr, x, y + h * i / 3, w, i % 3 == 0 ? 0.7 : 0.4, i % 3 == 0 ? kInk : kHair);
      words.draw(cr, x + 4, y + h / 2 + 2.5);
    };
  }
  rows.push_back(std::move(row));
  if (!picture.caption.empty()) append(rows, press_.text(picture.caption, kSmallMuted, width_));
  std::vector<Stretch> legend;
  for (const shop::Mark& mark : picture.marks) {
    legend.push_back({(legend.empty() ? "" : "   ") + mark.label, kSmallBold});
    legend.push_back({" " + mark.text, kSmall});
  }
  if (!legend.empty()) append(rows, press_.text(legend, width_));
  together(rows);
  rows.push_back(space(3));
  return rows;
}

}  // namespace baylore::sheet
