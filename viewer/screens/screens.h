// One function per screen: plain state in, drawing and actions out. None of them keeps anything or
// asks anyone.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "viewer/state/action.h"
#include "viewer/state/state.h"
#include "viewer/ui/ui.h"

namespace baylore::viewer {

// Draws the screen the state is on, with tag, rule and strip around it.
void draw_screens(Ui& ui, const State& state, Actions& out);

// Where things are on this panel, in mm.
struct Layout {
  Form form = Form::wide;
  Rect tag;
  Rect heading;  // beside the tag; on a phone under it
  Rect rule;     // left edge, or the mark at the right edge on a phone
  Rect main;     // the wider column
  Rect side;     // the narrower; on a tall panel the band pinned above the strip; empty on a phone
  Rect left;     // of list screens
  Rect right;    // of list screens
  Rect strip;
  Rect keyboard;  // empty when it is not shown
  Rect help;      // the key of Help, beside the heading; empty on Job
};
Layout layout_for(const Metrics& metrics, bool keyboard);

// --- one screen each
void job_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void tip_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void write_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void ask_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void reading_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void adapter_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void next_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void causes_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void ledger_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void outcome_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void frame_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void part_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void order_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void packs_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void pack_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void seal_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void photo_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void photo_take_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void photo_mark_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void settle_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void sheet_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void work_out_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void menu_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void calibrate_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
void help_screen(Ui& ui, const Layout& at, const State& state, Actions& out);
// In place of all screens, when nobody has touched the panel for long.
void cover_screen(Ui& ui, const State& state, Actions& out);

// --- the tour of the demo: a band over the foot of the screen it is about
inline constexpr int kTourSteps = 5;
struct TourStep {
  std::string lead;
  std::string more;
  std::string shows;  // the target it points at
};
const TourStep& tour_step(int step);  // from 1
// Draws the band over `at`, and a line around what it points at. Call before the screen is drawn:
// a tap on the band must not reach what lies under it.
void tour_targets(Ui& ui, const Layout& at, const State& state, Actions& out);
// The first `above` targets of the frame lie over the band.
void draw_tour(Ui& ui, const Layout& at, const State& state, std::size_t above);

// --- around them
struct RuleSection {
  std::string key;
  std::string label;
  std::string count;  // "2 of 6"
  bool done = false;
  int steps = 0;  // short ticks
};
std::vector<RuleSection> tip_rule(const State& state);
std::vector<RuleSection> job_rule(const State& state);

void draw_tag(Ui& ui, const Layout& at, const State& state, Actions& out);
void draw_rule(Ui& ui, const Layout& at, const std::vector<RuleSection>& sections,
               std::string_view here, std::string_view menu, Do on_tap, Actions& out);
void draw_heading(Ui& ui, const Layout& at, std::string_view title, std::string_view under);

struct StripKey {
  std::string id;
  std::string label;
  Action action;
  std::string mark;  // above the word on a phone: a number
};
// The first key is Back. The primary is drawn plain when it can do nothing now.
void draw_strip(Ui& ui, const Layout& at, const std::vector<StripKey>& keys,
                const StripKey& primary, bool primary_on, Actions& out);

// The keyboard on the panel. `done` is its primary's label and action.
void draw_keyboard(Ui& ui, const Layout& at, const State& state, bool multiline,
                   std::string_view done, Action on_done, Actions& out);

// Text being typed, wrapped, with its caret; a tap places the caret.
void draw_text_area(Ui& ui, Rect area, std::string_view id, const TextBuffer& buffer, bool caret,
                    Actions& out);

// --- helpers shared by screens
// "14 Mar 2026" of an ISO date; the text itself when it is none.
std::string day_words(std::string_view iso);
std::string picture_key(std::string_view path, const shop::Picture& picture);
std::string get_field(const shop::Document& document, std::string_view key);
void put_field(shop::Document& document, std::string_view key, const std::string& text);

}  // namespace baylore::viewer
