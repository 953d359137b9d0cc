// Screens that take several numbers: rows to choose from beside a keypad.
#pragma once

#include <string_view>

#include "viewer/screens/screens.h"

namespace baylore::viewer {

// Where the rows with their results stand, and where the keypad.
struct NumberAreas {
  Rect read;
  Rect pad;
};
NumberAreas number_areas(const Metrics& metrics, const Layout& at);

// A label with what was typed for it; true when tapped. at.h is not used: the height is that of
// number_row_height().
bool number_row(Ui& ui, std::string_view id, Rect at, std::string_view label,
                std::string_view typed, bool chosen, int rows = 3);
// `rows` is how many share the area: more than three are lower where the panel is low.
float number_row_height(const Ui& ui, int rows);

// Digits, and erase or, where a number may be below zero, a sign in its place.
void draw_number_pad(Ui& ui, Rect pad, bool sign, Actions& out);

}  // namespace baylore::viewer
