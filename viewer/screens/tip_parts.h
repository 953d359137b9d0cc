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

// A picture that is not there: a ruled blank with why.
void draw_blank(Ui& ui, Rect r, std::string_view why);

// The marks of a picture that lies in `box`, their labels and what of them is drawn kept `inside`.
// They pulse once when the picture has come, then are still; `chosen` has a ring around its place.
inline constexpr double kPulseSeconds = 1.2;
void draw_marks(Ui& ui, Rect box, Rect inside, const std::vector<shop::Mark>& marks,
                const PictureView& view, int chosen = -1);

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
