// The right half of Job: the tips found, and what leads on when there are none.
#include <algorithm>
#include <string>
#include <utility>

#include "trade/gtin.h"
#include "viewer/screens/job_parts.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/said.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// A results title: matched stretches bold.
std::vector<Run> title_runs(const search::Hit& hit) {
  std::vector<Run> runs;
  std::size_t at = 0;
  const std::string& title = hit.tip.title;
  for (const search::Span& span : hit.bold) {
    if (span.from < at || span.to > title.size()) continue;
    if (span.from > at) runs.push_back({title.substr(at, span.from - at), false});
    runs.push_back({title.substr(span.from, span.to - span.from), true});
    at = span.to;
  }
  if (at < title.size()) runs.push_back({title.substr(at), false});
  return runs;
}

// A title in one line of two weights, cut with an ellipsis.
void one_line(Ui& ui, float x, float base, float w, Type regular, Colour colour,
              const std::vector<Run>& runs) {
  for (const Run& run : runs) {
    const Type type = run.bold ? bold_of(regular) : regular;
    const float wide = ui.width(type, run.text);
    if (wide > w) {
      ui.text_in(x, base, w, type, colour, run.text);
      return;
    }
    x += ui.text(x, base, type, colour, run.text);
    w -= wide;
  }
}

// The row has room for the verdict; which other model it is stands on the tip.
std::string row_words(const search::FitResult& fit) {
  return fit.verdict == search::FitVerdict::other_model ? fit.words.substr(0, fit.words.find(':'))
                                                        : fit.words;
}

struct RowSize {
  float h;
  bool stacked;  // phone: title over two lines, fit as dot and words
  bool compact;  // while typing on the small panel: one line
};

void result_row(Ui& ui, Rect r, const search::Hit& hit, RowSize size, Actions& out) {
  const Theme& t = ui.theme();
  if (ui.pressed(r)) ui.fill(r, t.face);
  const std::vector<Run> runs = title_runs(hit);
  if (size.compact) {
    const float word_w = 30;
    one_line(ui, r.x, r.y + r.h / 2 + ui.capitals(Type::text) / 2, r.w - word_w - 2, Type::text,
             t.ink, runs);
    ui.text_in(r.right(), r.y + r.h / 2 + ui.capitals(Type::small_bold) / 2, word_w,
               Type::small_bold, t.ink, row_words(hit.fit), Align::right);
  } else if (size.stacked) {
    if (size.h < 18) {
      one_line(ui, r.x, r.y + 5.9F, r.w, Type::text, t.ink, runs);
      fit_dot(ui, r.x, r.y + 11.8F, r.w, hit.fit, hit.why_line);
    } else {
      const float high = ui.paragraph(r.x, r.y + 2.0F, r.w, Type::text, t.ink, runs, 2);
      fit_dot(ui, r.x, r.y + 2.0F + high + ui.capitals(Type::small) + 0.4F, r.w, hit.fit,
              hit.why_line);
    }
  } else {
    const bool room = r.w > 100;
    const float word_w = room ? 26.0F : 22.0F;
    const float word_x = r.right() - word_w;
    const float base = size.h < 17 ? 6.2F : 7.4F;
    const float why = size.h < 17 ? 12.2F : 14.2F;
    one_line(ui, r.x, r.y + base, r.w, Type::title_regular, t.ink, runs);
    const float mark_x = word_x - 27;
    const bool mark = hit.fit.verdict != search::FitVerdict::no_vehicle && r.w > 70;
    ui.text_in(r.x, r.y + why, (mark ? mark_x - 5 : word_x - 2) - r.x, Type::small, t.muted,
               hit.why_line);
    if (mark) {
      search::FitResult fit = hit.fit;
      fit.words = row_words(fit);
      fit_mark(ui, mark_x, r.y + why - 1.5F, fit, word_x, word_w);
    } else {
      ui.text_in(r.right(), r.y + why, word_w, Type::small_bold, t.ink, hit.fit.words,
                 Align::right);
    }
  }
  if (ui.target("hit:" + hit.tip.id, r)) out.push_back({Do::open_tip, hit.tip.id});
}

std::string count_words(const State& state) {
  const search::Answer& a = state.answer;
  if (a.hits.empty()) return {};
  const job::Job* job = state.current();
  const bool car = !a.understood.vehicle.empty() || (job != nullptr && !job->vehicle.empty());
  if (!car || (a.fitting == 0 && a.without_vehicle == 0))
    return say_count("{0} tip", "{0} tips", static_cast<long>(a.hits.size()), a.hits.size());
  const std::string out =
      say_count("{0} fits this car", "{0} fit this car", static_cast<long>(a.fitting), a.fitting);
  return a.without_vehicle > 0 ? say("{0}, {1} more without the vehicle", out, a.without_vehicle)
                               : out;
}

// A line that leads somewhere, such as "Write it".
float lead_row(Ui& ui, float x, float y, float w, std::string_view id, std::string_view title,
               std::string_view note, Action action, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r{x, y, w, 15};
  if (ui.pressed(r)) ui.fill(r, t.face);
  ui.vline(x + 0.2F, y, 15, 0.5F, t.accent);
  ui.text_in(x + 3, y + 5.9F, w - 10, Type::title, t.ink, title);
  ui.text_in(x + 3, y + 11.9F, w - 10, Type::small, t.muted, note);
  ui.triangle(x + w - 1, y + 7.5F, x + w - 4, y + 4.9F, x + w - 4, y + 10.1F, t.ink);
  ui.hline(x, y + 15, w, 0.2F, t.rule);
  if (ui.target(id, r)) out.push_back(std::move(action));
  return 15;
}

// A VIN came in and the car is not chosen: what such VINs were before, else the way to say it once.
float vin_rows(Ui& ui, float x, float y, float w, const State& state, Actions& out) {
  if (!state.vin_given || !state.answer.understood.vehicle.model.empty()) return 0;
  const float from = y;
  for (std::size_t i = 0; i < state.guesses.size() && i < 3; ++i) {
    const job::VinGuess& guess = state.guesses[i];
    const std::string times = say_count("once", "{0} times", guess.chosen, guess.chosen);
    y += lead_row(ui, x, y, w, "guess:" + std::to_string(i), guess.vehicle.text(),
                  guess.exact ? say("such a VIN was this car {0} here: tap if it is", times)
                              : say("a VIN that begins alike was this model {0}", times),
                  {Do::take_guess, {}, static_cast<int>(i)}, out);
  }
  y +=
      lead_row(ui, x, y, w, "pick vehicle",
               state.guesses.empty() ? tr("Which car is it?") : tr("Another car"),
               tr("pick it once; the next VIN like this one is known"), {Do::menu, "vehicle"}, out);
  return y - from;
}

// The line names a part: it leads there.
float part_row(Ui& ui, float x, float y, float w, const State& state, Actions& out) {
  if (state.part_found.empty() && trade::taken(trade::read_gtin(state.line.text())))
    return ui.paragraph(x, y + 1, w, Type::small_bold, ui.theme().ink,
                        tr("A barcode that no part file has.")) +
           2;
  if (state.part_found.empty() || !state.history) return 0;
  const shop::PartBook& parts = state.history->parts();
  const auto found = parts.find(state.part_found);
  if (found.places.empty()) return 0;
  const auto& place = found.places.front();
  const std::string grade(tr(shop::grade_word(parts.number(place).grade)));
  return lead_row(
      ui, x, y, w, "part found", parts.number(place).name,
      parts.family(place).title + (grade.empty() ? "" : ", " + grade),
      // As typed where it is all that was typed: an older number is then said to be one.
      {Do::open_part,
       parts.find(state.line.text()).places.size() == 1 ? state.line.text() : state.part_found},
      out);
}

// The car of this job is in earlier ones.
float earlier_row(Ui& ui, float x, float y, float w, const State& state, Actions& out) {
  const auto earlier = earlier_jobs(state);
  if (earlier.empty()) return 0;
  return lead_row(ui, x, y, w, "earlier", tr("This car was here before"),
                  day_words(earlier.front()->touched) + ": " + earlier.front()->complaint +
                      (earlier.size() > 1 ? ", " + say("{0} more", earlier.size() - 1) : ""),
                  {Do::menu, "earlier"}, out);
}

// What stands in place of what was typed, a tap away from the line as it was; and what the answer
// could not keep of the line. Returns the height taken.
float said_rows(Ui& ui, float x, float y, float w, const search::Answer& a, float row_h,
                Actions& out) {
  const Theme& t = ui.theme();
  const float from = y;
  for (const search::Slip& slip : a.understood.slips) {
    const Rect row{x, y, w, row_h};
    if (ui.pressed(row)) ui.fill(row, t.face);
    const float base = y + row_h / 2 + ui.capitals(Type::small) / 2;
    const std::string_view undo = tr("as typed");
    const float undo_w = ui.width(Type::small_bold, undo) + 3;
    one_line(ui, x, base, w - undo_w - 2, Type::small, t.ink,
             runs_said(slip.keeps ? tr("Also showing {0} for {1}") : tr("Showing {0} for {1}"),
                       slip.shown, slip.typed));
    ui.text_in(x + w, base, undo_w, Type::small_bold, t.accent, undo, Align::right);
    ui.hline(x, y + row_h, w, 0.2F, t.rule);
    if (ui.target("refuse:" + slip.key, row)) out.push_back({Do::drop_token, slip.key});
    y += row_h;
  }
  // With nothing found, that it is nothing is said already.
  if (!a.shortfall.empty() && !a.hits.empty()) {
    y += 1.6F;
    y += ui.paragraph(x, y, w, Type::small_bold, t.ink, a.shortfall) + 1.6F;
    ui.hline(x, y, w, 0.2F, t.rule);
  }
  return y - from;
}

float often_rows(Ui& ui, Rect view, float at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const float top = at;
  for (const TipLine& line : state.often) {
    const Rect row{view.x, at, view.w, 15};
    if (ui.pressed(row)) ui.fill(row, t.face);
    ui.text_in(view.x, at + 6.0F, view.w, Type::text, t.ink, line.title);
    ui.text_in(view.x, at + 11.9F, view.w, Type::small, t.muted, line.note);
    ui.hline(view.x, at + 15, view.w, 0.2F, t.rule);
    if (ui.target("often:" + line.id, row)) out.push_back({Do::open_tip, line.id});
    at += 15;
  }
  return at - top;
}

}  // namespace

void draw_results(Ui& ui, Rect r, const State& state, bool typing, Actions& out) {
  const Theme& t = ui.theme();
  const Form form = ui.metrics().form();
  const job::Job* job = state.current();
  const bool asked = !state.line.empty() || (job != nullptr && !job->vehicle.empty());
  float y = r.y;
  if (!asked) {
    // On a low panel the head scrolls with its rows.
    const bool low = ui.metrics().low();
    const auto head = [&](float at) {
      return list_header(ui, r.x, at, r.w, tr("Used often here"),
                         say_count("{0} tip", "{0} tips", static_cast<long>(state.counts.tips),
                                   state.counts.tips));
    };
    if (!low) y = head(y);
    const Rect rows{r.x, y, r.w, r.bottom() - y};
    const float top = ui.begin_scroll("often", rows);
    const float from = low ? head(top) : top;
    ui.end_scroll(from - top + often_rows(ui, rows, from, state, out));
    return;
  }
  const search::Answer& a = state.answer;
  const bool tight = typing && (form == Form::small || form == Form::phone);
  std::string right = count_words(state);
  if (form == Form::phone)
    right = say_count("{0} tip", "{0} tips", static_cast<long>(a.hits.size()), a.hits.size());
  std::string left = tr("Tips");
  if (tight && form == Form::phone && !a.understood.vehicle.empty())
    left = a.understood.vehicle.text();
  if (a.by_vehicle) {
    left = form == Form::phone ? tr("This car") : tr("Tips for this car");
  } else if (!a.all_words) {
    left = form == Form::phone ? tr("Some of the words") : tr("Tips with some of the words");
  }
  const bool low = ui.metrics().low();
  if (typing && (form != Form::phone || low)) {
    ui.hline(r.x, y, r.w, 0.5F, t.ink);  // while typing every millimetre goes to the rows
  } else if (tight) {
    const float lw = ui.text(r.x, y + 4.2F, Type::small_bold, t.ink, left);
    ui.text_in(r.right(), y + 4.2F, r.w - lw - 3, Type::small, t.muted, right, Align::right);
    ui.hline(r.x, y + 6.4F, r.w, 0.35F, t.ink);
    y += 6.4F;
  } else if (form == Form::phone) {
    ui.hline(r.x, y, r.w, 0.5F, t.ink);
  } else {
    y = list_header(ui, r.x, y, r.w, left, right);
  }
  const Rect view{r.x, y, r.w, r.bottom() - y};
  if (a.hits.empty()) {
    if (!state.answered) return;  // still looking; an empty word must not flash
    const float from = ui.begin_scroll("nothing", view);
    float at = from + earlier_row(ui, r.x, from, r.w, state, out);
    at += part_row(ui, r.x, at, r.w, state, out);
    at += vin_rows(ui, r.x, at, r.w, state, out) + (tight ? 0.5F : 3.0F);
    std::string what;
    for (const search::Token& token : a.understood.tokens)
      what += (what.empty() ? "" : " + ") + token.shown;
    if (what.empty() && job != nullptr) what = job->vehicle.text();
    at += ui.paragraph(r.x, at, r.w, Type::title_regular, t.ink,
                       runs_said(tr("Nothing for {0}."), what));
    at += said_rows(ui, r.x, at, r.w, a, tight ? 9.0F : 15.0F, out);
    at += tight ? 0.5F : 3.0F;
    at += lead_row(ui, r.x, at, r.w, "write it", tr("Write it"), tr("with the line filled in"),
                   {Do::write_new, {}}, out);
    if (!state.often.empty()) {
      at = list_header(ui, r.x, at + 3, r.w, tr("Used often here"), "");
      at += often_rows(ui, view, at, state, out);
    }
    ui.end_scroll(at - from);
    return;
  }
  RowSize size{18.3F, false, false};
  if (form == Form::phone) size = typing ? RowSize{15, true, false} : RowSize{22.3F, true, false};
  if (low) size = typing ? RowSize{7.6F, false, true} : RowSize{13.6F, true, false};
  if (form == Form::small && typing) size = {9.0F, false, true};
  if ((form == Form::wide || form == Form::tall) && typing) size.h = 15;
  const float top = ui.begin_scroll("results", view);
  float at = top;
  at += part_row(ui, r.x, at, r.w, state, out);
  at += earlier_row(ui, r.x, at, r.w, state, out);
  at += vin_rows(ui, r.x, at, r.w, state, out);
  at += said_rows(ui, r.x, at, r.w, a, std::min(size.h, 15.0F), out);
  const auto write_row = [&](std::string_view title) {
    return lead_row(ui, r.x, at, r.w, "write it", title, tr("with the line filled in"),
                    {Do::write_new, {}}, out);
  };
  if (a.by_vehicle) at += write_row(tr("Write it"));
  for (std::size_t i = 0; i < a.hits.size(); ++i) {
    const search::Hit& hit = a.hits[i];
    if (i == a.above && i > 0) {
      ui.hline(r.x, at, r.w, 0.5F, t.ink);
      ui.text_in(
          r.x, at + 4.6F, r.w, Type::small_bold, t.ink,
          hit.tip.status == "withdrawn" ? tr("Withdrawn") : tr("Other vehicles, or less alike"));
      ui.hline(r.x, at + 6.6F, r.w, 0.2F, t.rule);
      at += 6.6F;
    }
    if (at < view.bottom() && at + size.h > view.y) {
      result_row(ui, {r.x, at, r.w, size.h}, hit, size, out);
      ui.hline(r.x, at + size.h, r.w, 0.2F, t.rule);
    }
    at += size.h;
  }
  // Never a dead end: what is missing can be written.
  at += 2;
  if (!a.by_vehicle) at += write_row(tr("Not here? Write it"));
  ui.end_scroll(at - top);
}

}  // namespace baylore::viewer
