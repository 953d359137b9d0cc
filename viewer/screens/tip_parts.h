// Parts of a tip that stand in the page or beside it: drawings with their marks, fasteners with
// their torque.
#pragma once

#include "trade/expectation.h"
#include "viewer/screens/screens.h"

namespace baylore::viewer {

// Fills `at.w`, at most `most` mm high; returns the height with the caption, of which so many lines
// are shown.
float draw_picture(Ui& ui, Rect at, float most, const State& state, std::string_view path,
                   const shop::Picture& picture, int caption_lines);

// Name, thread, torque in both units, stages, reuse, the standing note. `pinned` is the form beside
// the page, which keeps to at.h. Returns the height.
float draw_fastener(Ui& ui, Rect at, const State& state, const TipPage& page,
                    const shop::Fastener& fastener, bool pinned);

// An expected range in three pieces for the big figure: "95" "kPa" "or more".
struct ExpectedWords {
  std::string number;
  std::string unit;
  std::string after;
};
ExpectedWords expected_words(const trade::Expectation& expectation);

}  // namespace baylore::viewer
