// About this number: what the part file says of it, and which tips list it.
#include <fmt/format.h>

#include "viewer/screens/part_parts.h"
#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

float pair_line(Ui& ui, Rect r, const std::string& label, const std::string& value) {
  if (value.empty()) return 0;
  const Theme& t = ui.theme();
  const float h = ui.paragraph(r.x, r.y + 0.8F, r.w, Type::small, t.ink,
                               std::vector<Run>{{label + "  ", true}, {value, false}}) +
                  1.6F;
  ui.hline(r.x, r.y + h, r.w, 0.2F, t.rule);
  return h;
}

}  // namespace

float draw_about(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PartPage& page = *state.part;
  const shop::PartNumber& number = page.number();
  float y = r.y;
  const auto pair = [&](const std::string& label, const std::string& value) {
    y += pair_line(ui, {r.x, y, r.w, 0}, label, value);
  };
  std::string fits;
  for (const shop::Fit& fit : number.fits.empty() ? page.family.fits : number.fits)
    fits += (fits.empty() ? "" : "; ") + shop::fit_text(fit);
  pair(tr("Fits"), fits.empty() ? tr("not said: ask by the number") : fits);
  if (!number.text.empty()) pair(tr("Note"), plain_of(number.text));
  if (number.price > 0) pair(tr("Price"), in_figures(fmt::format("{:.2f}", number.price)));
  if (number.core_charge > 0)
    pair(tr("Core charge"),
         say("{0}; keep the old part", in_figures(fmt::format("{:.2f}", number.core_charge))));
  if (number.core_charge <= 0 && number.keep_old) pair(tr("Old part"), tr("keep it"));
  pair(tr("Warranty"), number.warranty.text);
  std::string older;
  for (const std::string& one : number.supersedes) older += (older.empty() ? "" : ", ") + one;
  pair(tr("Supersedes"), older);
  pair(tr("Superseded by"), number.superseded_by);
  pair(tr("Barcode"), number.gtin);
  for (const auto& [location, count] : page.told) {
    pair(say("At {0}", location_words(location)),
         count.dead > 0
             ? say("{0} fitted, {1} came back, {2} bad in the box; not counted in here", count.used,
                   count.failed, count.dead)
             : say("{0} fitted, {1} came back; not counted in here", count.used, count.failed));
  }
  for (const shop::GoesWith& with : page.family.goes_with)
    pair(tr("Goes with it"),
         with.amount + " x " + with.name + (with.number.empty() ? "" : ", " + with.number));
  for (const shop::Prose& section : page.family.sections) {
    const auto& known = shop::part_sections();
    const bool shown_elsewhere =
        section.key != "note" && std::find(known.begin(), known.end(), section.key) != known.end();
    if (shown_elsewhere || section.body.empty()) continue;
    y += 1.6F;
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.accent, section.heading);
    y += draw_prose(ui, r.x, y, r.w, Type::text, t.ink, prose_of(section.body)) + 1;
  }
  for (const shop::Picture& picture : page.family.pictures) {
    y += 1.6F;
    y += draw_picture(ui, {r.x, y, r.w, 0}, 55, state, page.family.path, picture, 3) + 2;
    for (const shop::Mark& mark : picture.marks)
      y += ui.paragraph(r.x, y, r.w, Type::small, t.ink,
                        std::vector<Run>{{mark.label + "  ", true}, {mark.text, false}});
  }
  for (const shop::Finding& finding : page.family.findings)
    y += finding_block(ui, r.x, y + 1, r.w, finding, say("line {0}", finding.line)) + 1;
  const float row_h = std::max(15.0F, ui.metrics().target());
  for (const PartLink& tip : page.tips) {
    const Rect row{r.x, y, r.w, row_h};
    if (ui.pressed(row)) ui.fill(row, t.face);
    ui.text_in(r.x, y + 5.6F, r.w - 6, Type::small, t.muted, tr("Tip"));
    ui.text_in(r.x, y + 11.4F, r.w - 6, Type::small_bold, t.ink, tip.title);
    ui.triangle(r.right() - 1, y + row_h / 2, r.right() - 4, y + row_h / 2 - 2.6F, r.right() - 4,
                y + row_h / 2 + 2.6F, t.ink);
    ui.hline(r.x, row.bottom(), r.w, 0.2F, t.rule);
    if (ui.target("tip:" + tip.id, row)) out.push_back({Do::open_tip, tip.id});
    y += row_h;
  }
  return y - r.y;
}

}  // namespace baylore::viewer
