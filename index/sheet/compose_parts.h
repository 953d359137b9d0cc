// What the rows of the printed sheet share: styles, measures, words.
#pragma once

#include <string>
#include <string_view>

#include "sheet/pdf.h"
#include "sheet/press.h"

namespace baylore::sheet {

inline constexpr Style kText{8.6, false, kInk};
inline constexpr Style kSmall{7.6, false, kInk};
inline constexpr Style kSmallBold{7.6, true, kInk};
inline constexpr Style kSmallMuted{7.6, false, kMuted};
inline constexpr double kCell = 8.2;         // side of a tick cell
inline constexpr double kCellIndent = 14.5;  // of the text beside one

// Draws beside what a row draws, and before it, so that the lines of a text follow each other in
// the file: a program that reads the PDF aloud or searches it takes them in that order.
template <typename Draw>
void over(Row& row, Draw draw) {
  row.draw = [under = std::move(row.draw), draw](cairo_t* cr, double x, double y) {
    draw(cr, x, y);
    if (under) under(cr, x, y);
  };
}

std::string minutes_text(double minutes);  // "12 min"

// A picture into a box, and a mark of it: a disc with its label at the end of a short line that
// goes outward from the point.
struct Box {
  double x = 0, y = 0, w = 0, h = 0;
};
void draw_pixels(cairo_t* cr, const Pixels& pixels, Box box);
void draw_mark(cairo_t* cr, const Press::Line& label, const shop::Mark& mark, Box box,
               double radius);

// The sheet's own words.
struct SheetWords {
  std::string_view all_vehicles = "For all vehicles";
  std::string_view repair_order = "repair order";
  std::string_view vehicle = "vehicle";
  std::string_view odometer = "odometer";
  std::string_view initials = "initials";
  std::string_view date = "date";
  std::string_view symptom = "Symptom";
  std::string_view checks = "Checks";
  std::string_view tick_when_done = "tick when done";
  std::string_view location = "Location";
  std::string_view repair = "Repair";
  std::string_view fasteners = "Fasteners";
  std::string_view safety = "safety-critical: the maker's values only";
  std::string_view tick_when_tight = "tick when tight";
  std::string_view parts = "Parts";
  std::string_view finish = "Finish";
  std::string_view verify = "After the repair";
  std::string_view goes_on = "{}, continued";
  std::string_view page = "page {} of {}";
};
inline constexpr SheetWords kWords;

}  // namespace baylore::sheet
