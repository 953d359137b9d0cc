// One picture of a tip, as large as the panel: closer, further away, moved, with its marks.
#include "viewer/screens/photo_parts.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// The section that a line of the tip stands in.
std::string section_of(const shop::Tip& tip, int line) {
  std::string heading;
  for (const shop::Prose& section : tip.sections) {
    if (section.line > 0 && section.line <= line) heading = section.heading;
  }
  return heading;
}

}  // namespace

void photo_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const std::size_t count = state.tip ? state.tip->tip.pictures.size() : 0;
  if (count == 0) {
    draw_heading(ui, at, tr("No picture"), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const TipPage& page = *state.tip;
  const std::size_t which = static_cast<std::size_t>(state.picture) % count;
  const shop::Picture& picture = page.tip.pictures[which];
  std::string place = section_of(page.tip, picture.line);
  if (count > 1) {
    place += (place.empty() ? "" : " · ") + say("{0} of {1}", which + 1, count);
  }
  draw_heading(ui, at, page.tip.title, place);
  const PhotoAreas areas = photo_areas(at, ui.metrics());
  const ShownPhoto shown = draw_photo(ui, areas.view, state, page.row.path, picture, -2);
  const std::optional<PadKey> key = draw_photo_pad(ui, areas.pad, {});
  if (const auto pan = pan_by(ui, areas.view, state, shown, key)) out.push_back(view_action(*pan));

  const float top = ui.begin_scroll("photo words", areas.words);
  float y = top;
  if (at.form == Form::phone || at.form == Form::tall)
    y += ui.paragraph(areas.words.x, y, areas.words.w - 1, Type::small, ui.theme().muted, place);
  y += photo_words(ui, {areas.words.x, y, areas.words.w - 1, 0}, picture, -2);
  ui.end_scroll(y - top);

  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  StripKey next;
  if (count > 1) {
    keys.push_back({"previous",
                    at.form == Form::phone ? tr("Last") : tr("The one before"),
                    {Do::photo_step, {}, -1},
                    ""});
    next = {"primary", tr("Next picture"), {Do::photo_step, {}, 1}, ""};
  }
  draw_strip(ui, at, keys, next, count > 1, out);
}

}  // namespace baylore::viewer
