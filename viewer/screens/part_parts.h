// Pieces of the Part screen. Each takes the column where it stands and returns the height it took.
#pragma once

#include <string>

#include "viewer/screens/screens.h"

namespace baylore::viewer {

// The share axis that all rivals stand on.
struct ShareAxis {
  float x = 0;
  float w = 0;
  double most = 0.5;  // the share at its right end
  double step = 0.1;
  [[nodiscard]] float at(double share) const {
    return x + w * static_cast<float>(share < most ? share / most : 1.0);
  }
};
// Long enough for every interval that is drawn, in steps that read well.
ShareAxis axis_for(const std::vector<const quality::Rival*>& rivals);

// Whether there is a bar, or words alone.
bool has_bar(const quality::Rival& rival);
// The interval as a bar between stops, the share as a dot, this shop's own as a ring; `y` is the
// axis.
void share_bar(Ui& ui, const ShareAxis& axis, float y, const quality::Rival& rival, bool own_apart);
// "2 of 31; between 2 and 18 %" (brief: "2 of 31; 2 to 18 %"), "3 fitted: too few to judge".
std::string share_words(const quality::Rival& rival, bool brief = false);
// "clearly worse: 3.1 times as often as the others", and too many that were bad in the box; empty
// when there is nothing to warn of.
std::string warning_words(const quality::Rival& rival);
// A triangle and the words, in the colour of what is wrong.
float warning_line(Ui& ui, float x, float y, float w, const std::string& words);

// The hatch of a doubt, and that the records say otherwise than the note: for the lead, who edits
// the text or keeps it.
float against_line(Ui& ui, float x, float y, float w, const std::string& against);

// --- the views of the wider column: part_rivals.cc, part_curves.cc, part_cost.cc, part_about.cc
float draw_rivals(Ui& ui, Rect r, const State& state, Actions& out);
float draw_curves(Ui& ui, Rect r, const State& state, bool distance, Actions& out);
float draw_costs(Ui& ui, Rect r, const State& state, Actions& out);
float draw_about(Ui& ui, Rect r, const State& state, Actions& out);

// --- the side: part_checks.cc
std::string acceptance_count(const State& state);  // "2 of 5"
float draw_acceptance(Ui& ui, Rect r, const State& state, Actions& out);

}  // namespace baylore::viewer
