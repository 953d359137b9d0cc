// A tip's working sheet: its essential text as codes that a telephone reads without a network, and
// the PDF.
#include <algorithm>
#include <cmath>

#include "files/names.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/qr.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr float kLargestCode = 112;  // mm; a larger one is harder to hold in the camera's view
constexpr float kLeastBeside = 58;   // mm for what stands beside the code

// Where the code and what is said of it stand: beside each other, or one above the other.
struct SheetPlaces {
  Rect code;
  Rect words;
};
SheetPlaces places_on(const Layout& at) {
  const Rect whole{at.left.x, at.left.y, at.right.right() - at.left.x, at.left.h};
  if (at.form == Form::wide || at.form == Form::small) {
    const float side = std::min({whole.h, kLargestCode, whole.w - kLeastBeside - 5});
    return {{whole.right() - side, whole.y, side, side},
            {whole.x, whole.y, whole.w - side - 5, whole.h}};
  }
  const float side = std::min({whole.w, kLargestCode, whole.h * 0.58F});
  return {{whole.x + (whole.w - side) / 2, whole.y, side, side},
          {whole.x, whole.y + side + 2, whole.w, whole.h - side - 2}};
}

float sheet_choice(Ui& ui, Rect row, std::string_view id, std::string_view label,
                   const std::string& value, Action action, Actions& out) {
  const Theme& t = ui.theme();
  if (ui.pressed(row)) ui.fill(row, t.face);
  const float cap = ui.capitals(Type::small);
  const float room = row.w - ui.width(Type::small_bold, label) - 5;
  const float middle = row.y + row.h / 2;
  if (ui.width(Type::small, value) <= room) {
    ui.text(row.x + 1, middle + cap / 2, Type::small_bold, t.ink, label);
    ui.text_in(row.right() - 1, middle + cap / 2, room, Type::small, t.ink, value, Align::right);
  } else {
    ui.text(row.x + 1, middle - 1.4F, Type::small_bold, t.ink, label);
    ui.text_in(row.x + 1, middle + cap + 1.6F, row.w - 2, Type::small, t.ink, value);
  }
  ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  if (ui.target(id, row)) out.push_back(std::move(action));
  return row.h;
}

std::string sheet_place_words(const SheetView& view) {
  if (view.page) {
    for (const PackPlace& place : view.page->places) {
      if (place.folder == view.to) return place.label;
    }
  }
  return view.to.empty() ? tr("choose a place") : view.to;
}

float draw_sheet_words(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const SheetView& view = state.sheet;
  const std::size_t count = view.page ? view.page->codes.size() : 0;
  float y = r.y;
  if (count > 1) {
    y += ui.paragraph(r.x, y + 0.6F, r.w, Type::line_bold, t.ink,
                      say("Code {0} of {1}", view.at + 1, count)) +
         1;
  }
  y += ui.paragraph(r.x, y + 0.6F, r.w, Type::small, t.ink,
                    count > 1
                        ? tr("For a phone's camera: the text itself is in the codes, no network "
                             "is needed. Each says which of them it is.")
                        : tr("For a phone's camera: the text itself is in the code, no network "
                             "is needed.")) +
       1;
  y += ui.paragraph(
           r.x, y, r.w, Type::small, t.muted,
           tr("Cautions, checks, fasteners and parts. The PDF has the whole tip, with blanks "
              "for readings.")) +
       1.6F;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  const float high =
      std::max(15.0F, ui.metrics().target()) * std::max(1.0F, ui.metrics().text_scale * 0.9F);
  y += sheet_choice(ui, {r.x, y, r.w, high}, "sheet:paper", tr("Paper"),
                    view.paper == sheet::Paper::a4 ? "A4" : tr("US Letter"), {Do::sheet_paper, {}},
                    out);
  y += sheet_choice(ui, {r.x, y, r.w, high}, "sheet:to", tr("PDF goes to"), sheet_place_words(view),
                    {Do::menu, "sheet to"}, out);
  if (view.saving)
    y += ui.paragraph(r.x, y + 1, r.w, Type::small_bold, t.ink, tr("Writing the PDF"));
  return y - r.y;
}

}  // namespace

void sheet_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const SheetView& view = state.sheet;
  const bool phone = at.form == Form::phone;
  draw_heading(ui, at, tr("Sheet"), state.tip ? state.tip->row.title : std::string());
  draw_rule(ui, at, tip_rule(state), state.here, "sections", Do::go_section, out);
  const SheetPlaces places = places_on(at);
  const std::size_t count = view.page ? view.page->codes.size() : 0;
  if (view.at < count && view.page->codes[view.at].code.side > 0) {
    draw_qr(ui, places.code.x, places.code.y, places.code.w, view.page->codes[view.at].code);
  } else if (view.page) {
    ui.paragraph(places.code.x, places.code.y + 2, places.code.w, Type::small, t.out_of_range,
                 tr("This text fits no code."));
  }
  const float top = ui.begin_scroll("sheet", places.words);
  ui.end_scroll(
      draw_sheet_words(ui, {places.words.x, top, places.words.w - 1, places.words.h}, state, out) +
      2);
  if (count > 1) {
    if (ui.take_key(HardKey::right)) out.push_back({Do::sheet_step, {}, 1});
    if (ui.take_key(HardKey::left)) out.push_back({Do::sheet_step, {}, -1});
  }
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  if (count > 1 && !phone)
    keys.push_back({"previous", tr("Previous"), {Do::sheet_step, {}, -1}, ""});
  if (count > 1) {
    keys.push_back({"next",
                    tr("Next"),
                    {Do::sheet_step, {}, 1},
                    std::to_string(view.at + 1) + "/" + std::to_string(count)});
  }
  const bool on = view.page && !view.saving && !view.to.empty() && state.tip;
  draw_strip(ui, at, keys, {"primary", tr("Save PDF"), {Do::save_sheet, {}}, ""}, on, out);
}

}  // namespace baylore::viewer
