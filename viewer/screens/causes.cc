// The causes of a job, each as a worded bar, and the ledger of one: what speaks for it and against
// it, in order, so that somebody who looks over a shoulder can agree or not.
#include "viewer/screens/causes.h"

#include <algorithm>
#include <cctype>

#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// Where the word changes; the words themselves come with the standing.
constexpr double kSteps[] = {0.05, 0.25, 0.75};
// From here down a cause is struck through: still listed, still to be opened.
constexpr double kRuledOut = 0.01;

bool ruled_out(const diagnosis::Standing& standing, const diagnosis::Cause& cause) {
  return standing.tried || (standing.weight < kRuledOut && !cause.not_in_book());
}

std::string title_of(const diagnosis::Cause& cause) {
  return cause.not_in_book() ? tr("Something not in the book") : cause.title;
}

std::string counts(const Guide& guide) {
  int left = 0;
  int out = 0;
  for (const diagnosis::Standing& s : guide.outlook.causes) {
    (ruled_out(s, guide.a_case->causes[s.cause]) ? out : left) += 1;
  }
  return out > 0 ? say("{0} left, {1} ruled out", left, out) : say("{0} left", left);
}

}  // namespace

void cause_bar(Ui& ui, float x, float y, float w, double weight) {
  const Theme& t = ui.theme();
  constexpr float kHigh = 2.7F;
  const auto part = static_cast<float>(std::clamp(weight, 0.0, 1.0));
  if (part > 0.002F) ui.fill({x, y, std::max(0.6F, w * part), kHigh}, t.accent);
  ui.hline(x, y + kHigh, w, 0.2F, t.ink);
  ui.vline(x, y, kHigh, 0.2F, t.ink);
  ui.vline(x + w, y, kHigh, 0.2F, t.ink);
  for (const double step : kSteps)
    ui.vline(x + w * static_cast<float>(step), y, kHigh, 0.2F, t.ink);
}

void draw_causes(Ui& ui, Rect r, const State& state, Actions& out) {
  if (!state.guide) return;
  const Theme& t = ui.theme();
  const Guide& guide = *state.guide;
  ui.hline(r.x, r.y, r.w, 0.5F, t.ink);
  const float lw = ui.text(r.x, r.y + 5.9F, Type::small_bold, t.ink, tr("Causes"));
  ui.text_in(r.right(), r.y + 5.9F, r.w - lw - 3, Type::small, t.muted, counts(guide),
             Align::right);
  ui.hline(r.x, r.y + 9.0F, r.w, 0.2F, t.rule);
  const Rect view{r.x, r.y + 9.0F, r.w, r.h - 9.0F};
  const float top = ui.begin_scroll("causes", view);
  const float least = std::max(ui.finger(15), ui.metrics().target());
  float y = top;
  for (const diagnosis::Standing& standing : guide.outlook.causes) {
    const diagnosis::Cause& cause = guide.a_case->causes[standing.cause];
    const bool gone = ruled_out(standing, cause);
    const std::string word = standing.tried ? tr("tried")
                             : gone         ? tr("ruled out")
                                            : std::string(standing.word);
    const bool heavy = standing.weight >= kSteps[1] && !gone;
    const Type word_type = gone ? Type::small : Type::small_bold;
    const Type title_type = heavy ? Type::small_bold : Type::small;
    // In a narrow column the word stands beside the bar, and the title has the whole width.
    const bool narrow = r.w < 60;
    const float word_w = ui.width(word_type, word);
    const float title_w = narrow ? r.w : r.w - word_w - 4;
    // Titles end in the cause: cut, two of them would read alike.
    const int lines = gone ? 1 : narrow ? 3 : 2;
    const float title_h = ui.paragraph_height(title_w, title_type, title_of(cause), lines);
    const float row_h = std::max(least, title_h + 7.2F);
    const Rect row{r.x, y, r.w, row_h};
    if (ui.pressed(row)) ui.fill(row, t.face);
    ui.text(r.right(),
            narrow ? y + row_h - 2.6F
            : gone ? y + 5.6F
                   : y + 4.4F,
            word_type, gone ? t.muted : t.ink, word, Align::right);
    if (gone) {
      const float nw = ui.text_in(r.x, y + 5.6F, title_w, title_type, t.muted, title_of(cause));
      ui.hline(r.x, y + 4.2F, nw, 0.3F, t.muted);
    } else {
      ui.paragraph(r.x, y + 1.4F, title_w, title_type, t.ink, title_of(cause), lines);
    }
    cause_bar(ui, r.x, y + row_h - (narrow ? 5.2F : 6.2F), r.w - (narrow ? word_w + 2.5F : 0.3F),
              gone ? 0 : standing.weight);
    ui.hline(r.x, y + row_h, r.w, 0.2F, t.rule);
    if (ui.target("cause:" + std::to_string(standing.cause), row))
      out.push_back({Do::open_ledger, {}, static_cast<int>(standing.cause)});
    y += row_h;
  }
  ui.end_scroll(y - top);
}

void causes_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  draw_heading(ui, at, tr("Causes"), {});
  const Rect r = at.form == Form::phone || at.form == Form::tall
                     ? at.left
                     : Rect{at.left.x, at.left.y, at.right.right() - at.left.x, at.left.h};
  draw_causes(ui, r, state, out);
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
}

void ledger_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  if (!state.guide || state.ledger >= state.guide->a_case->causes.size()) {
    draw_heading(ui, at, tr("No cause"), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const diagnosis::Cause& cause = state.guide->a_case->causes[state.ledger];
  const diagnosis::Standing& standing = state.guide->outlook.of(state.ledger);
  const std::string title = title_of(cause);
  draw_heading(ui, at, title, tr("What speaks for it and against it, in order"));
  const float x = at.form == Form::phone ? at.main.x : at.form == Form::tall ? at.left.x : 3.5F;
  const float right = at.form == Form::phone ? at.main.right() : ui.metrics().width() - 3.5F;
  Rect r{x, at.left.y, right - x, at.left.h};
  float y = r.y;
  if (at.form == Form::phone || at.form == Form::tall)
    y += ui.paragraph(r.x, y + 0.5F, r.w, Type::title, t.ink, title, 4) + 1;
  ui.text(r.right(), y + 4.2F, Type::small_bold, t.ink, standing.word, Align::right);
  ui.text(r.x, y + 4.2F, Type::small, t.muted, tr("now"));
  cause_bar(ui, r.x, y + 7.4F, r.w - 0.3F, standing.weight);
  y += 12.5F;
  const Rect view{r.x, y, r.w, r.bottom() - y};
  const float top = ui.begin_scroll("ledger", view);
  y = top;
  const auto line = [&](diagnosis::Entry::Side side, const std::vector<Run>& runs,
                        const std::string& after) {
    const float in = 7;
    const float from = y + 1.6F;
    using Side = diagnosis::Entry::Side;
    if (side == Side::speaks_for) {
      ui.triangle(r.x, from + 3.6F, r.x + 4.4F, from + 3.6F, r.x + 2.2F, from - 0.2F, t.accent);
    } else if (side == Side::against) {
      ui.triangle(r.x, from, r.x + 4.4F, from, r.x + 2.2F, from + 3.8F, t.out_of_range);
    } else {
      ui.hline(r.x + 0.4F, from + 1.8F, 3.8F, 0.6F, t.ink);
    }
    y += 1.2F + ui.paragraph(r.x + in, y + 1.2F, r.w - in, Type::small, t.ink, runs);
    if (!after.empty()) y += ui.paragraph(r.x + in, y, r.w - in, Type::small, t.muted, after);
    y += 1.2F;
    ui.hline(r.x, y, r.w, 0.2F, t.rule);
  };
  for (const diagnosis::Entry& entry : standing.ledger) {
    const std::string side = entry.side == diagnosis::Entry::Side::speaks_for ? tr("for: ")
                             : entry.side == diagnosis::Entry::Side::against  ? tr("against: ")
                                                                             : tr("says nothing: ");
    std::string after = entry.said;
    if (!entry.note.empty()) after += (after.empty() ? "" : "; ") + entry.note;
    line(entry.side,
         {{side + entry.what, true}, {entry.result.empty() ? "" : ", " + entry.result, false}},
         after);
  }
  if (standing.ledger.empty())
    y += ui.paragraph(r.x, y + 1, r.w, Type::text, t.muted,
                      tr("Nothing was found out about it yet."));
  y += ui.paragraph(r.x, y + 2, r.w, Type::small, t.muted,
                    tr("Each answer is taken as independent of the others once the cause is given; "
                       "two checks of one fact count once. The words are the tips' own.")) +
       3;
  ui.end_scroll(y - top);
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  if (!cause.not_in_book() && !standing.tried)
    keys.push_back({"tried",
                    at.form == Form::phone ? tr("Tried") : tr("Tried, no help"),
                    {Do::repair_tried, cause.tip},
                    ""});
  if (cause.not_in_book()) {
    draw_strip(ui, at, keys, {"primary", tr("Write it"), {Do::write_new, {}}, ""}, true, out);
  } else {
    draw_strip(ui, at, keys, {"primary", tr("Open tip"), {Do::open_tip, cause.tip}, ""}, true, out);
  }
}

}  // namespace baylore::viewer
