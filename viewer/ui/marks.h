// The shapes with a meaning of their own: cells, scales, fits, bands. Each is drawn from plain
// values.
#pragma once

#include <string_view>

#include "job/judge.h"
#include "search/search.h"
#include "shop/finding.h"
#include "trade/expectation.h"
#include "viewer/ui/ui.h"

namespace baylore::viewer {

// A tick cell; true when tapped.
bool tick_cell(Ui& ui, std::string_view id, Rect cell, bool done);

// A key: face with a line under it, or accent when chosen. True when tapped.
bool key(Ui& ui, std::string_view id, Rect rect, std::string_view label, Type type,
         bool chosen = false);

// The axis of an expected range with its bracket; numbers under the long ticks. `y` is the axis.
// `verdict`, when given, puts the reading on it: a dot inside, an arrow outside, a ring on the
// edge; a value off the axis at its end.
void range_scale(Ui& ui, float x, float y, float w, const trade::Expectation& expectation,
                 const trade::Verdict* verdict = nullptr);

// The shape that goes with a result: dot, arrow, ring, dash, cross; centred on x, y.
void standing_mark(Ui& ui, float x, float y, float size, const job::Judged& judged);

// Fit as a bracket of the tip's years with the car's year on it; 20 wide from x, centred on y. Then
// the word, up to `word_w`.
void fit_mark(Ui& ui, float x, float y, const search::FitResult& fit, float word_x, float word_w);
// The same as a dot and words, for one-column rows.
void fit_dot(Ui& ui, float x, float baseline, float w, const search::FitResult& fit,
             std::string_view also);

// The triangle with a stroke, 8.6 wide, its top at y.
void caution_sign(Ui& ui, float x, float y, float size, Colour sign, Colour stroke);

void cross(Ui& ui, float x, float y, float size, Colour colour);

// What the check found: the sign of its level (a cross, a triangle, a dash) with the place in bold,
// then what is wrong and what to do. `lines` limits the text; 0 shows all of it. Returns the
// height.
float finding_block(Ui& ui, float x, float y, float w, const shop::Finding& finding,
                    std::string_view place, int lines = 0);

}  // namespace baylore::viewer
