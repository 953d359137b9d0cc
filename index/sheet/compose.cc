#include "sheet/compose.h"

#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "sheet/compose_parts.h"

namespace baylore::sheet {

void append(Rows& to, Rows from) {
  for (Row& row : from) to.push_back(std::move(row));
}

void together(Rows& rows) {
  for (std::size_t i = 0; i + 1 < rows.size(); ++i) rows[i].with_next = true;
}

Row Composer::space(double points) const {
  Row row;
  row.height = press_.scaled(points);
  row.gap = true;
  return row;
}

Row Composer::hairline() const {
  Row row;
  row.height = press_.scaled(5);
  row.gap = true;
  const double w = width_;
  const double down = press_.scaled(2.4);
  row.draw = [=](cairo_t* cr, double x, double y) { draw_rule(cr, x, y + down, w, 0.4, kHair); };
  return row;
}

Rows Composer::head(std::string_view word, std::string_view beside) const {
  Rows rows;
  rows.push_back(space(4));
  Row row;
  row.height = press_.scaled(14.5);
  row.with_next = row.opens = true;
  const double base = press_.scaled(10.4);
  const double w = width_;
  const Press::Line left = press_.line(word, {8.4, true, kAccent});
  const Press::Line right = press_.line(beside, kSmallMuted);
  row.draw = [=](cairo_t* cr, double x, double y) {
    draw_rule(cr, x, y, w, 1.0, kInk);
    left.draw(cr, x, y + base);
    right.draw(cr, x + w - right.width, y + base);
  };
  rows.push_back(std::move(row));
  return rows;
}

Rows Composer::prose(const std::vector<Paragraph>& paragraphs, bool cells) const {
  Rows rows;
  for (const Paragraph& one : paragraphs) {
    const double cell = cells ? press_.scaled(kCellIndent) : 0;
    const double indent = cell + (one.marker.empty() ? 0 : press_.scaled(13));
    Rows lines = press_.text(one.text, kText, width_, indent);
    const double base = press_.capitals(kText.size);
    const double side = press_.scaled(kCell);
    const Press::Line marker = press_.line(one.marker, {kText.size, true, kAccent});
    const double down = press_.scaled(9.6);
    over(lines.front(), [=](cairo_t* cr, double x, double y) {
      marker.draw(cr, x + cell, y + down);
      if (cells) draw_cell(cr, x + 0.4, y + down - (base + side) / 2, side);
    });
    together(lines);
    append(rows, std::move(lines));
    rows.push_back(space(cells ? 2.6 : 1.6));
  }
  return rows;
}

// --- across the page

// The title, beside it the tag of a paper job card with room for the repair order, and the line to
// be filled in.
Rows Composer::title(double across) const {
  constexpr double kTagWidth = 44 * kMm;
  constexpr double kTagHeight = 14 * kMm;
  Rows rows = press_.text(sheet_.title, {16, true, kInk}, across - kTagWidth - 8 * kMm);
  std::string fits;
  for (const std::string& one : sheet_.fits) fits += (fits.empty() ? "" : "; ") + one;
  if (fits.empty()) fits = kWords.all_vehicles;
  std::vector<Stretch> about{{fits, {9, true, kInk}}};
  for (const std::string& code : sheet_.codes) about.push_back({"   " + code, {9, true, kAccent}});
  if (!sheet_.about.empty()) about.push_back({"   " + sheet_.about, {9, false, kMuted}});
  append(rows, press_.text(about, across - kTagWidth - 8 * kMm));
  double high = 0;
  for (const Row& row : rows) high += row.height;
  if (high < kTagHeight) rows.back().height += kTagHeight - high;
  const Press::Line order = press_.line(kWords.repair_order, kSmallMuted);
  const double label = press_.scaled(8);
  over(rows.front(), [=](cairo_t* cr, double x, double y) {
    const double left = x + across - kTagWidth;
    constexpr double kCut = 3.2 * kMm;
    set_ink(cr, kInk);
    cairo_set_line_width(cr, 0.9);
    cairo_move_to(cr, left, y);
    cairo_line_to(cr, left + kTagWidth - kCut, y);
    cairo_line_to(cr, left + kTagWidth, y + kCut);
    cairo_line_to(cr, left + kTagWidth, y + kTagHeight - kCut);
    cairo_line_to(cr, left + kTagWidth - kCut, y + kTagHeight);
    cairo_line_to(cr, left, y + kTagHeight);
    cairo_close_path(cr);
    cairo_stroke(cr);
    cairo_arc(cr, left + kTagWidth - 4 * kMm, y + kTagHeight / 2, 1.3 * kMm, 0, 6.2832);
    cairo_stroke(cr);
    order.draw(cr, left + 2 * kMm, y + label + 1);
  });

  // Blanks of one line, the vehicle's twice as wide as the others.
  struct Blank {
    std::string_view word;
    double share;
  };
  static constexpr Blank kBlanks[] = {
      {kWords.vehicle, 0.4}, {kWords.odometer, 0.22}, {kWords.initials, 0.16}, {kWords.date, 0.22}};
  Row blanks;
  blanks.height = 11.5 * kMm;
  std::vector<std::pair<Press::Line, double>> labels;
  for (const Blank& blank : kBlanks)
    labels.emplace_back(press_.line(blank.word, kSmallMuted), blank.share);
  blanks.draw = [=](cairo_t* cr, double x, double y) {
    const double base = y + 9 * kMm;
    for (const auto& [word, share] : labels) {
      const double room = across * share;
      word.draw(cr, x, base);
      draw_rule(cr, x + word.width + 1.5 * kMm, base + 0.8, room - word.width - 5.5 * kMm, 0.5,
                kInk);
      x += room;
    }
  };
  rows.push_back(std::move(blanks));
  return rows;
}

// Between two rules, a triangle at the left, the sentences that must be read bold. They stay on one
// page where a page can hold them.
Rows Composer::cautions(double across) const {
  Rows rows;
  if (sheet_.cautions.empty()) return rows;
  const double indent = press_.scaled(34);
  Row open;
  open.height = press_.scaled(5);
  const double size = press_.scaled(23);
  const double down = open.height;
  open.draw = [=](cairo_t* cr, double x, double y) {
    draw_rule(cr, x, y, across, 1.4, kInk);
    draw_triangle(cr, x + 2, y + down, size);
  };
  rows.push_back(std::move(open));
  const Style more{8.4, false, kInk};
  const Style lead{8.4, true, kInk};
  double high = 0;
  for (const Sheet::Caution& one : sheet_.cautions) {
    std::vector<Stretch> stretches{{one.lead, lead}};
    if (!one.more.empty()) stretches.push_back({" " + one.more, more});
    Rows lines = press_.text(stretches, across, indent);
    lines.back().height += press_.scaled(1.6);
    for (const Row& line : lines) high += line.height;
    append(rows, std::move(lines));
  }
  Row close;
  close.height = press_.scaled(4) + std::max(0.0, size - high);
  const double at = close.height - press_.scaled(1);
  close.draw = [=](cairo_t* cr, double x, double y) {
    draw_rule(cr, x, y + at, across, 1.4, kInk);
  };
  rows.push_back(std::move(close));
  together(rows);
  rows.push_back(space(5));
  return rows;
}

Rows Composer::top(double across) const {
  Rows rows = title(across);
  for (const std::string& warning : sheet_.warnings) {
    Rows lines = press_.text(warning, {9, true, kAlarm}, across);
    together(lines);
    append(rows, std::move(lines));
  }
  rows.push_back(space(4));
  append(rows, cautions(across));
  return rows;
}

Rows Composer::foot(double across) const {
  Rows rows = press_.text(who_decides(), {7, true, kInk}, across);
  std::string by = sheet_.shop;
  for (const std::string& one : {sheet_.author, sheet_.written}) {
    if (!one.empty()) by += (by.empty() ? "" : ", ") + one;
  }
  // Room at the right for the page's number.
  append(rows, press_.text(by, {7, false, kMuted}, across - 30 * kMm));
  return rows;
}

// --- sections

Rows Composer::symptom() const {
  Rows rows;
  if (sheet_.symptom.empty()) return rows;
  append(rows, head(kWords.symptom));
  append(rows, prose(sheet_.symptom, false));
  return rows;
}

Rows Composer::checks() const {
  Rows rows;
  if (sheet_.checks.empty()) return rows;
  append(rows, head(kWords.checks, kWords.tick_when_done));
  int number = 0;
  for (const SheetCheck& one : sheet_.checks) {
    if (number > 0) rows.push_back(hairline());
    append(rows, check(one, ++number));
  }
  return rows;
}

Rows Composer::location() const {
  Rows rows;
  if (sheet_.location.empty() && sheet_.pictures.empty()) return rows;
  append(rows, head(kWords.location));
  for (std::size_t i = 0; i < sheet_.pictures.size(); ++i)
    append(rows, picture(sheet_.pictures[i], i < pictures_.size() ? &pictures_[i] : nullptr));
  append(rows, prose(sheet_.location, false));
  return rows;
}

Rows Composer::repair() const {
  Rows rows;
  if (sheet_.repair.empty()) return rows;
  append(rows, head(kWords.repair, sheet_.repair_minutes > 0 ? minutes_text(sheet_.repair_minutes)
                                                             : std::string()));
  append(rows, prose(sheet_.repair, true));
  return rows;
}

Rows Composer::fasteners() const {
  Rows rows;
  if (sheet_.fasteners.empty()) return rows;
  append(rows, head(kWords.fasteners, sheet_.safety ? kWords.safety : kWords.tick_when_tight));
  for (std::size_t i = 0; i < sheet_.fasteners.size(); ++i) {
    if (i > 0) rows.push_back(hairline());
    append(rows, fastener(sheet_.fasteners[i]));
  }
  return rows;
}

Rows Composer::parts() const {
  Rows rows;
  if (sheet_.parts.empty()) return rows;
  append(rows, head(kWords.parts));
  for (std::size_t i = 0; i < sheet_.parts.size(); ++i) {
    if (i > 0) rows.push_back(hairline());
    append(rows, part(sheet_.parts[i]));
  }
  return rows;
}

Rows Composer::finish() const {
  Rows rows;
  if (sheet_.finish.empty()) return rows;
  append(rows, head(kWords.finish));
  append(rows, prose(sheet_.finish, true));
  return rows;
}

Rows Composer::verify() const {
  Rows rows;
  if (sheet_.verify.empty()) return rows;
  append(rows, head(kWords.verify));
  int number = 0;
  for (const SheetCheck& one : sheet_.verify) {
    if (number > 0) rows.push_back(hairline());
    append(rows, check(one, ++number));
  }
  return rows;
}

}  // namespace baylore::sheet
