// Causes as worded bars, beside the next check and on a screen of their own.
#pragma once

#include "viewer/screens/screens.h"

namespace baylore::viewer {

// Header and rows in a scrolling area; a tap on a row opens the cause's ledger.
void draw_causes(Ui& ui, Rect r, const State& state, Actions& out);

// The bar on its line with ticks where the word changes. No percentage: the word is what is meant.
void cause_bar(Ui& ui, float x, float y, float w, double weight);

}  // namespace baylore::viewer
