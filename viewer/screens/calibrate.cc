// Size of the panel: a ruler on the glass is made as long as a real one, and every size in mm is
// true from then on.
#include <algorithm>
#include <cmath>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// A bank or identity card of the format ID-1, ISO/IEC 7810: most pockets hold one.
constexpr float kCardWidth = 85.60F;
constexpr float kCardHeight = 53.98F;

}  // namespace

void calibrate_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  draw_heading(ui, at, tr("Size of the panel"), tr("Make the ruler as long as a real one"));
  const float side = at.form == Form::phone ? at.main.x : 5.0F;
  const Rect r{side, at.left.y, ui.metrics().width() - 2 * side, at.left.h};
  // One millimetre of the ruler in drawn millimetres of the panel as it is set now.
  const auto mm = static_cast<float>(state.calibrating / 25.4) / ui.metrics().px();
  float y = r.y + 1;
  y +=
      ui.paragraph(r.x, y, r.w, Type::small, t.ink,
                   tr("Hold a rule against the glass and tap Longer or Shorter until both agree; a "
                      "bank card fits the frame."));
  y += 3;
  // --- the ruler, from the left edge as far as it goes
  const int length = static_cast<int>(std::floor((r.w - 2) / mm));
  ui.hline(r.x, y, static_cast<float>(length) * mm, 0.35F, t.ink);
  // Numbers stand apart: at large text under every other long tick.
  const int number = 10 * mm > ui.width(Type::small, "000") + 1 ? 10 : 20;
  for (int i = 0; i <= length; ++i) {
    const float x = r.x + static_cast<float>(i) * mm;
    const float tick = i % 10 == 0 ? 6.0F : i % 5 == 0 ? 4.2F : 2.6F;
    ui.vline(x, y, tick, i % 10 == 0 ? 0.3F : 0.15F, t.ink);
    // "mm" stands behind the last number that has room for it.
    if (i % number == 0 && i > 0 && i + 4 <= length)
      ui.text(x, y + 6.8F + ui.capitals(Type::small), Type::small, t.ink, std::to_string(i),
              Align::centre);
  }
  y += 6.8F + ui.pitch(Type::small) + 1;
  // --- the card
  const float card_w = kCardWidth * mm;
  const float card_h = kCardHeight * mm;
  const std::string ppi = std::to_string(std::lround(state.calibrating));
  if (card_w <= r.w && y + card_h + 1 <= r.bottom()) {
    const Rect card{r.x, y, card_w, card_h};
    ui.frame(card, 0.4F, t.ink);
    ui.text_in(card.x + 4, card.y + 4 + ui.capitals(Type::small), card.w - 8, Type::small, t.muted,
               tr("card, 85.6 x 54 mm"));
    const float w = ui.text(card.x + 4, card.y + card.h - 6, Type::number, t.ink, ppi);
    ui.text_in(card.x + 4 + w + 1.4F, card.y + card.h - 6, card.w - w - 10, Type::small, t.ink,
               tr("pixels per inch"));
  } else if (y + ui.pitch(Type::small_bold) <= r.bottom()) {
    ui.text_in(r.x, y + ui.capitals(Type::small_bold), r.w, Type::small_bold, t.ink,
               say("{0} pixels per inch", ppi));
  }
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""},
                             {"shorter", tr("Shorter"), {Do::ppi_by, {}, -1}, "–"},
                             {"longer", tr("Longer"), {Do::ppi_by, {}, 1}, "+"}};
  if (at.form == Form::phone) {
    // The strip has room for one key beside Back: the two stand over it.
    const float w = (r.w - 3) / 2;
    const float key_h = std::max(ui.finger(15), 7.0F);
    const float top = r.bottom() - key_h - ui.finger(2);
    if (key(ui, "shorter", {r.x, top, w, key_h}, tr("Shorter"), Type::small_bold))
      out.push_back({Do::ppi_by, {}, -1});
    if (key(ui, "longer", {r.x + w + 3, top, w, key_h}, tr("Longer"), Type::small_bold))
      out.push_back({Do::ppi_by, {}, 1});
    keys.resize(1);
  }
  keys.push_back(
      {"panel", at.form == Form::wide ? tr("As assumed") : tr("Reset"), {Do::ppi_panel, {}}, ""});
  draw_strip(ui, at, keys, {"primary", tr("Keep"), {Do::keep_ppi, {}}, ""}, true, out);
}

}  // namespace baylore::viewer
