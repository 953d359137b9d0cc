// Freeze frame: the values a scan tool reads of the moment a code was set, typed one after another.
#include "trade/quantity.h"
#include "viewer/screens/number_pad.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {

void frame_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Framing& framing = state.framing;
  const Theme& t = ui.theme();
  draw_heading(ui, at, say("Freeze frame of {0}", framing.code),
               tr("As the scan tool shows it; leave out what it does not"));
  const auto [read, pad] = number_areas(ui.metrics(), at);
  const float top = ui.begin_scroll("frame", read);
  const Rect r{read.x, top, read.w - 1.5F, read.h};
  float y = top;
  if (at.form == Form::phone)
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink,
                      say("Freeze frame of {0}", framing.code));
  const auto& fields = job::frame_fields();
  for (std::size_t i = 0; i < fields.size(); ++i) {
    const trade::UnitId unit = framing.other_units ? fields[i].other : fields[i].unit;
    const std::string label =
        std::string(tr(fields[i].label)) + ", " + std::string(trade::unit(unit).symbol);
    if (number_row(ui, "frame field:" + std::to_string(i), {r.x, y, r.w, 0}, label,
                   framing.typed[i], framing.field == i))
      out.push_back({Do::frame_field, {}, static_cast<int>(i)});
    y += number_row_height(ui, 3);
  }
  ui.end_scroll(y - top);
  draw_number_pad(ui, pad, true, out);
  std::vector<StripKey> keys{
      {"back", tr("Back"), {Do::back, {}}, ""},
      {"units", framing.other_units ? tr("Metric") : tr("°F, mph"), {Do::frame_units, {}}, ""}};
  if (at.form != Form::phone) keys.push_back({"erase", tr("Erase"), {Do::digit_erase, {}}, ""});
  draw_strip(ui, at, keys, {"primary", tr("Keep"), {Do::keep_frame, {}}, ""}, true, out);
}

}  // namespace baylore::viewer
