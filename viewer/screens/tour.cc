// The tour of the demo: five steps, each a band over the foot of the screen it is about, with a
// line around what it points at.
#include <algorithm>
#include <array>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr float kKeyHeight = 15;

struct BandPlaces {
  Rect band;
  Rect next;
  Rect skip;
};

std::string lead_of(const State& state) {
  return say("{0} of {1}. {2}", state.tour, kTourSteps, tr(tour_step(state.tour).lead));
}

BandPlaces band_of(Ui& ui, const Layout& at, const State& state) {
  const TourStep& step = tour_step(state.tour);
  BandPlaces p;
  const bool phone = at.form == Form::phone;
  const float w = ui.metrics().width();
  const float foot = at.strip.h > 0 ? at.strip.y : at.keyboard.y;
  const float x = phone ? 3.5F : 5.0F;
  const float keys_w = phone ? 0 : 68;
  const float text_h = ui.paragraph_height(w - 2 * x - keys_w, Type::small_bold, lead_of(state)) +
                       0.8F + ui.paragraph_height(w - 2 * x - keys_w, Type::small, tr(step.more));
  const float key_h = std::max(ui.finger(kKeyHeight), 7.0F);
  const float h =
      phone ? text_h + key_h + (ui.metrics().low() ? 4.0F : 6.0F) : std::max(text_h + 4, key_h + 5);
  p.band = {0, foot - h, w, h};
  const float key_w = phone ? (w - 2 * x - 3) / 2 : 30;
  const float key_y = p.band.bottom() - key_h - (ui.metrics().low() ? 1.0F : 2.5F);
  p.next = {w - x - key_w, key_y, key_w, key_h};
  p.skip = {p.next.x - 3 - key_w, key_y, key_w, key_h};
  return p;
}

}  // namespace

const TourStep& tour_step(int step) {
  static const std::array<TourStep, kTourSteps> kSteps{{
      {marked("Say it as the customer does"),
       marked("The line takes the car, the complaint, a code, a part number, from the keys or a "
              "scanner."),
       "line"},
      {marked("What fits comes first"),
       marked("Each row says how it fits the car and why it was found. A tap on a token takes it "
              "out."),
       "hit"},
      {marked("Cautions, then the symptom, then the first check"),
       marked("Ticks and readings stay with the job, also through a restart. The rule leads to the "
              "other "
              "sections."),
       "primary"},
      {marked("A reading is judged at once"),
       marked("Type the number; the bracket is what the tip expects. Keep puts it on the job."),
       "pad"},
      {marked("What to do next"),
       marked("One check at a time, the one that tells most for its minutes. When it is fixed, "
              "Outcome "
              "records it and Write keeps what you learned."),
       "primary"},
  }};
  return kSteps.at(static_cast<std::size_t>(std::clamp(step, 1, kTourSteps) - 1));
}

void tour_targets(Ui& ui, const Layout& at, const State& state, Actions& out) {
  if (state.tour == 0) return;
  const BandPlaces p = band_of(ui, at, state);
  if (ui.target("tour next", p.next)) out.push_back({Do::tour_next, {}});
  if (ui.target("tour end", p.skip)) out.push_back({Do::tour_end, {}});
  // The rest of the band is no way through to what it covers.
  float x = 0;
  float y = 0;
  static_cast<void>(ui.take_tap(p.band, x, y));
}

void draw_tour(Ui& ui, const Layout& at, const State& state, std::size_t above) {
  if (state.tour == 0) return;
  const Theme& t = ui.theme();
  const TourStep& step = tour_step(state.tour);
  const BandPlaces p = band_of(ui, at, state);
  const auto shown = std::find_if(ui.items().begin(), ui.items().end(), [&](const Item& item) {
    return item.id == step.shows || item.id.starts_with(step.shows + ":");
  });
  if (shown != ui.items().end()) ui.frame(shown->visible, 0.9F, t.accent);
  ui.cover(p.band, above);
  ui.fill(p.band, t.paper);
  ui.hline(p.band.x, p.band.y, p.band.w, 0.5F, t.ink);
  const float x = at.form == Form::phone ? 3.5F : 5.0F;
  const float w = at.form == Form::phone ? p.band.w - 2 * x : p.skip.x - x - 3;
  const float lead_h = ui.paragraph(x, p.band.y + 2, w, Type::small_bold, t.accent, lead_of(state));
  ui.paragraph(x, p.band.y + 2 + lead_h, w, Type::small, t.ink, tr(step.more));
  const auto draw_key = [&](Rect r, std::string_view word, bool accent) {
    ui.fill(r, accent ? t.accent : t.face);
    ui.hline(r.x, r.bottom() - 0.17F, r.w, 0.35F, t.ink);
    ui.text_in(r.x + r.w / 2, r.y + r.h / 2 + ui.capitals(Type::small_bold) / 2, r.w - 2,
               Type::small_bold, accent ? t.on_accent : t.ink, word, Align::centre);
  };
  draw_key(p.skip, tr("End"), false);
  draw_key(p.next, state.tour < kTourSteps ? tr("Next") : tr("Done"), true);
}

}  // namespace baylore::viewer
