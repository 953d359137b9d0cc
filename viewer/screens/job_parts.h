// The halves of Job: tips found, jobs put aside.
#pragma once

#include <string_view>

#include "viewer/screens/screens.h"

namespace baylore::viewer {

// A heavy line, words left and right under it, a thin line. Returns the y below.
float list_header(Ui& ui, float x, float y, float w, std::string_view left, std::string_view right);

void draw_results(Ui& ui, Rect r, const State& state, bool typing, Actions& out);

void draw_parked(Ui& ui, Rect r, const State& state, Actions& out);
// What the list of them would like to have.
float parked_height(const State& state);

}  // namespace baylore::viewer
