// Choosing what goes into a pack for another location.
#include <algorithm>

#include "viewer/screens/pack_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string listed(const std::vector<std::string>& words, std::string_view none) {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : ", ") + word;
  return all.empty() ? std::string(none) : all;
}

std::string place_words(const PacksView& view) {
  if (view.shelf) {
    for (const PackPlace& place : view.shelf->places) {
      if (place.folder == view.to) return place.label;
    }
  }
  return view.to.empty() ? tr("choose a place") : view.to;
}

float wish_row(Ui& ui, Rect row, std::string_view id, std::string_view label,
               const std::string& value, Action action, Actions& out) {
  const Theme& t = ui.theme();
  if (ui.pressed(row)) ui.fill(row, t.face);
  const float cap = ui.capitals(Type::small);
  const float label_w = ui.width(Type::small_bold, label);
  const float room = row.w - label_w - 5;
  if (ui.width(Type::small, value) <= room) {
    const float base = row.y + row.h / 2 + cap / 2;
    ui.text(row.x + 1, base, Type::small_bold, t.ink, label);
    ui.text_in(row.right() - 1, base, room, Type::small, t.ink, value, Align::right);
  } else {
    ui.text(row.x + 1, row.y + row.h / 2 - 1.4F, Type::small_bold, t.ink, label);
    ui.text_in(row.x + 1, row.y + row.h / 2 + cap + 1.6F, row.w - 2, Type::small, t.ink, value);
  }
  ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  if (ui.target(id, row)) out.push_back(std::move(action));
  return row.h;
}

float draw_wish(Ui& ui, Rect r, const State& state, Actions& out) {
  const PacksView& view = state.packs;
  const pack::Choice& choice = view.wish.choice;
  const float high = std::max(15.0F, ui.metrics().target());
  float y = r.y;
  const auto row = [&](std::string_view id, std::string_view label, const std::string& value,
                       Action action) {
    y += wish_row(ui, {r.x, y, r.w, high}, id, label, value, std::move(action), out);
  };
  row("wish:system", tr("Systems"), listed(choice.systems, tr("all")), {Do::menu, "seal system"});
  row("wish:author", tr("Authors"), listed(choice.authors, tr("all")), {Do::menu, "seal author"});
  row("wish:since", tr("Written since"),
      choice.since.empty() ? tr("any day") : day_words(choice.since), {Do::seal_ask, "since"});
  row("wish:words", tr("Found by"), view.wish.words.empty() ? tr("any words") : view.wish.words,
      {Do::seal_ask, "words"});
  const auto yes = [](bool on) { return std::string(on ? tr("go along") : tr("stay here")); };
  row("wish:parts", tr("Parts they use"), yes(choice.parts), {Do::seal_tick, "parts"});
  row("wish:photos", tr("Pictures"), yes(choice.photos), {Do::seal_tick, "photos"});
  row("wish:counts", tr("How often each held"),
      choice.counts ? tr("bare numbers go along") : tr("stays here"), {Do::seal_tick, "counts"});
  row("wish:to", tr("Written to"), place_words(view), {Do::menu, "seal to"});
  return y - r.y;
}

float draw_offer(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PacksView& view = state.packs;
  float y = r.y;
  if (state.demo) {
    y += ui.paragraph(r.x, y + 1, r.w, Type::small_bold, t.out_of_range,
                      tr("The demo shop's values are invented: never to be used on a vehicle.")) +
         2;
  }
  if (!view.offer) return y - r.y;
  if (view.offer->failure) {
    y += ui.paragraph(r.x, y + 1, r.w, Type::small, t.out_of_range, view.offer->failure->text());
    return y - r.y;
  }
  const pack::SealPlan& plan = view.offer->plan;
  const auto tips = static_cast<std::ptrdiff_t>(tips_that_go(view).size());
  const auto parts =
      std::count_if(plan.texts.begin(), plan.texts.end(),
                    [](const pack::SealText& one) { return one.kind == shop::Kind::part; });
  std::string words = say_count("{0} tip", "{0} tips", tips, tips);
  if (parts > 0) words += ", " + say_count("{0} part family", "{0} part families", parts, parts);
  if (!plan.photos.empty())
    words += ", " + say_count("{0} picture", "{0} pictures", static_cast<long>(plan.photos.size()),
                              plan.photos.size());
  words += ", " + say("{0} at most", size_words(plan.bytes));
  y += ui.paragraph(r.x, y + 1, r.w, Type::small_bold, t.ink, words) + 1;
  y += ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                    tr("No record, no repair order and no VIN goes into a pack.")) +
       1;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  const float cell = std::max(ui.finger(15), ui.metrics().target());
  const float high = cell + 2.4F;
  for (const pack::SealText& text : plan.texts) {
    if (text.kind != shop::Kind::tip) continue;
    const Rect row{r.x, y, r.w, high};
    y += high;
    if (far_away(ui, row)) continue;
    if (tick_cell(ui, "go:" + text.id, {row.x, row.y + 1.2F, cell, cell},
                  !view.left_out.contains(text.id)))
      out.push_back({Do::seal_tick, text.id});
    const float x = row.x + cell + 3;
    const float w = row.right() - x;
    const float h = ui.paragraph_height(w, Type::small_bold, text.title, 2);
    ui.paragraph(x, row.y + (row.h - h) / 2, w, Type::small_bold, t.ink, text.title, 2);
    ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  }
  for (const pack::SealText& text : plan.texts) {
    if (text.kind == shop::Kind::tip) continue;
    y += ui.paragraph(
             r.x, y + 1, r.w, Type::small, t.ink,
             std::vector<Run>{{tr("part") + std::string("  "), false}, {text.title, true}}) +
         1;
  }
  if (!plan.left_out.empty()) {
    y += 2;
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.out_of_range, tr("Stays here")) + 0.6F;
    for (const pack::Reason& reason : plan.left_out)
      y += ui.paragraph(r.x, y, r.w, Type::small, t.ink, reason.text()) + 1;
  }
  if (plan.texts.empty())
    y += ui.paragraph(r.x, y + 2, r.w, Type::text, t.ink,
                      tr("Nothing is chosen: widen the choice."));
  return y - r.y;
}

}  // namespace

void seal_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PacksView& view = state.packs;
  const bool phone = at.form == Form::phone;
  draw_heading(ui, at, tr("Seal a pack"), tr("for another location"));
  draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  const bool two = at.form == Form::wide;
  {
    const Rect area =
        two ? at.left : Rect{at.left.x, at.left.y, at.right.right() - at.left.x, at.left.h};
    const float top = ui.begin_scroll("seal", area);
    Rect r{area.x, top, area.w - 1, area.h};
    if (phone) r.y += ui.paragraph(r.x, r.y + 1, r.w, Type::title, t.ink, tr("Seal a pack")) + 1;
    r.y += work_block(ui, r, view);
    r.y += draw_wish(ui, r, state, out) + 2;
    if (!two) r.y += draw_offer(ui, r, state, out);
    ui.end_scroll(r.y - top + 2);
  }
  if (two) {
    const float top = ui.begin_scroll("seal tips", at.right);
    const Rect r{at.right.x, top, at.right.w - 1, at.right.h};
    ui.end_scroll(draw_offer(ui, r, state, out) + 2);
  }
  const bool sealing = view.work == PackWork::sealing;
  const bool on = sealing || (view.work == PackWork::none && view.offer && !view.to.empty() &&
                              !tips_that_go(view).empty());
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}},
             sealing ? StripKey{"primary", tr("Stop"), {Do::stop_pack, {}}, ""}
                     : StripKey{"primary", tr("Seal"), {Do::seal_pack, {}}, ""},
             on, out);
}

}  // namespace baylore::viewer
