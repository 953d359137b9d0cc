// Part: the number in the hand, how it and its rivals have lasted, and what to look at before it
// goes in. The rule stays the tip's, whose part it is.
#include <algorithm>

#include "quality/note.h"
#include "viewer/screens/part_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// The number, its make and grade; whether it belongs on this car; what takes its place.
float draw_head(Ui& ui, Rect r, const PartPage& page) {
  const Theme& t = ui.theme();
  const shop::PartNumber& number = page.number();
  const std::string shown = number.number.empty() ? number.name : number.number;
  const std::string grade(tr(shop::grade_word(number.grade)));
  const bool narrow = r.w < 70;
  Type big = narrow ? Type::name : Type::number;
  const float side =
      std::max(ui.width(Type::text_bold, number.brand), ui.width(Type::small, grade));
  for (const Type smaller : {Type::name, Type::line_bold, Type::title}) {
    if (ui.width(big, shown) + side + 5 <= r.w) break;
    big = smaller;
  }
  const float high = ui.capitals(big);
  float y = r.y;
  const bool beside = ui.width(big, shown) + side + 5 <= r.w + 0.1F;
  const float base = y + std::max(high + 1.6F, beside ? 9.6F : 0);
  const float nw = ui.text_in(r.x, base, r.w, big, t.ink, shown);
  if (beside) {
    ui.text(r.x + nw + 5, base - 5.6F, Type::text_bold, t.ink, number.brand);
    ui.text(r.x + nw + 5, base, Type::small, t.muted, grade);
    y = base + 3.6F;
  } else {
    y = base + 1.4F;
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                      std::vector<Run>{{number.brand + "  ", true}, {grade, false}}) +
         0.6F;
  }
  ui.hline(r.x, y, r.w, 0.5F, t.ink);
  y += 1.4F;
  using Verdict = search::FitVerdict;
  const bool fits = page.fit.verdict == Verdict::fits || page.fit.verdict == Verdict::fits_all ||
                    page.fit.verdict == Verdict::no_vehicle;
  if (!fits) y += warning_line(ui, r.x, y, r.w, say("Not for this car: {0}", page.fit.words));
  for (const std::string& line : page.said)
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, line) + 0.4F;
  if (page.family.safety_critical) {
    caution_sign(ui, r.x, y + 0.4F, 4.6F, t.ink, t.paper);
    y += ui.paragraph(r.x + 6.5F, y, r.w - 6.5F, Type::small_bold, t.ink,
                      tr("Safety-critical: choose on grade and the maker's word.")) +
         0.6F;
  }
  // On the small panel the rivals come first; the note is under More, About this number.
  if (!number.text.empty() && r.h > 70)
    y += ui.paragraph(r.x, y, r.w, Type::small, t.ink, plain_of(number.text), 2) + 0.6F;
  const auto row = std::find_if(page.rows.begin(), page.rows.end(),
                                [&](const RivalRow& one) { return one.rival.place == page.place; });
  const std::string against =
      row == page.rows.end() ? "" : quality::contradiction(number.text, row->rival);
  if (!against.empty()) y += against_line(ui, r.x, y, r.w, against);
  return y - r.y;
}

std::string counted_in(const PartPage& page) {
  if (page.elsewhere == 0) return tr("counted in this shop");
  return say_count("counted in this shop and {0} other", "counted in this shop and {0} others",
                   static_cast<long>(page.elsewhere), page.elsewhere);
}

std::string under_heading(const State& state, const PartPage& page) {
  const job::Job* now = state.current();
  std::string fit;
  if (page.fit.verdict == search::FitVerdict::fits && now != nullptr)
    fit = say("fits the {0}", now->vehicle.model);
  const std::vector<shop::Fit>& fits =
      page.number().fits.empty() ? page.family.fits : page.number().fits;
  if (fit.empty() && !fits.empty())
    fit = fits.size() > 1
              ? say("for {0} and {1} more", shop::fit_text(fits.front()), fits.size() - 1)
              : say("for {0}", shop::fit_text(fits.front()));
  return fit + (fit.empty() ? "" : " · ") + counted_in(page);
}

float draw_view(Ui& ui, Rect r, const State& state, Actions& out) {
  switch (state.part_view) {
    case PartView::rivals:
      break;
    case PartView::months:
      return draw_curves(ui, r, state, false, out);
    case PartView::distance:
      return draw_curves(ui, r, state, true, out);
    case PartView::cost:
      return draw_costs(ui, r, state, out);
    case PartView::about:
      return draw_about(ui, r, state, out);
  }
  return draw_rivals(ui, r, state, out);
}

}  // namespace

void part_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const StripKey back{"back", tr("Back"), {Do::back, {}}, ""};
  if (!state.part) {
    draw_heading(ui, at, state.part_opening.empty() ? tr("No part open") : state.part_opening,
                 tr("counting what was fitted"));
    draw_strip(ui, at, {back}, {}, false, out);
    return;
  }
  const PartPage& page = *state.part;
  const bool phone = at.form == Form::phone;
  draw_heading(ui, at, page.family.title, under_heading(state, page));
  if (state.tip) {
    draw_rule(ui, at, tip_rule(state), "parts", "sections", Do::go_section, out);
  } else {
    draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  }

  const Rect view = at.main;
  const float top = ui.begin_scroll("part", view);
  Rect r{view.x, top, view.w - (phone ? 0.0F : 1.0F), view.h};
  if (phone) {
    r.y += ui.paragraph(r.x, r.y + 1, r.w, Type::small_bold, t.ink, page.family.title) + 1;
    const std::string shops = page.elsewhere == 0 ? std::string(tr("this shop"))
                                                  : say("this shop and {0} more", page.elsewhere);
    r.y += ui.paragraph(r.x, r.y, r.w, Type::small, t.muted, shops);
  }
  r.y += draw_head(ui, r, page);
  r.y += draw_view(ui, r, state, out);
  if (phone) {
    // One column: what to look at before it goes in stands under the rivals.
    r.y += 3;
    if (state.scroll_to == "acceptance") {
      Ui::Scroll& scroll = ui.scroll_state("part");
      scroll.offset = std::clamp(r.y - top - 1, 0.0F, scroll.most());
      out.push_back({Do::scrolled, {}});
    }
    r.y += draw_acceptance(ui, r, state, out);
  }
  r.y += 2;
  r.y += ui.paragraph(
      r.x, r.y, r.w, Type::small, t.muted,
      tr("The shop's own records and notes; the maker's service information decides."));
  ui.end_scroll(r.y - top + 2);
  if (!phone) {
    const float side_top = ui.begin_scroll("acceptance", at.side);
    ui.end_scroll(draw_acceptance(ui, {at.side.x, side_top, at.side.w, at.side.h}, state, out));
  }

  const StripKey more{"more", tr("More"), {Do::menu, "part"}, phone ? " " : ""};
  const StripKey primary{"primary", tr("Record"), {Do::record_part, {}}, ""};
  if (phone) {
    draw_strip(ui, at, {back, more}, primary, true, out);
  } else {
    draw_strip(ui, at,
               {back,
                more,
                {"order",
                 at.form == Form::wide ? tr("Order list") : tr("Order"),
                 {Do::open_order, page.number().name},
                 ""}},
               primary, true, out);
  }
}

}  // namespace baylore::viewer
