// Torque adapter: what to set on the wrench so that the fastener gets the torque meant. The order
// and the maker's value stay as they are.
#include <cmath>

#include "trade/torque_window.h"
#include "viewer/screens/number_pad.h"
#include "viewer/screens/screens.h"
#include "words/words.h"

namespace baylore::viewer {

void adapter_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool has = state.tip &&
                   static_cast<std::size_t>(state.fastener) < state.tip->tip.fasteners.size() &&
                   state.tip->tip.fasteners[static_cast<std::size_t>(state.fastener)].torque;
  if (!has) {
    draw_heading(ui, at, tr("No torque to correct"), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const shop::Fastener& fastener =
      state.tip->tip.fasteners[static_cast<std::size_t>(state.fastener)];
  draw_heading(ui, at, say("Adapter on the wrench: {0}", fastener.name),
               tr("Lengths in one unit; 0° in line outward, 90° no change, 180° pointing back"));
  const auto [read, pad] = number_areas(ui.metrics(), at);

  static constexpr const char* kLabels[] = {marked("Grip to drive"), marked("Drive to fastener"),
                                            marked("Angle °")};
  const bool tight = at.form == Form::phone || at.form == Form::small;
  // With large text the rows and what they come to scroll beside or over the keys.
  const bool scrolls = at.form == Form::phone && ui.metrics().text_scale > 1;
  const float top = scrolls ? ui.begin_scroll("adapter", read) : read.y;
  float y = top;
  for (int i = 0; i < 3; ++i) {
    if (number_row(ui, "adapter field:" + std::to_string(i), {read.x, y, read.w, 0}, tr(kLabels[i]),
                   state.adapter.typed[i], state.adapter.field == i))
      out.push_back({Do::adapter_field, {}, i});
    y += number_row_height(ui, 3);
  }
  y += tight ? 1.0F : 2.0F;
  // One stage after the other: each has a setting of its own.
  double numbers[3] = {0, 0, 0};
  bool good = true;
  for (int i = 0; i < 3; ++i) {
    const auto parsed = trade::parse_number(state.adapter.typed[i]);
    const double* number = trade::value_in(parsed);
    if (number == nullptr) {
      good = false;
      continue;
    }
    numbers[i] = *number;
  }
  if (!good) {
    y += ui.paragraph(read.x, y, read.w, Type::small_bold, t.out_of_range,
                      tr("Type the three numbers."));
  } else {
    const float foot = read.bottom();
    std::string line;  // every stage on the narrow panels, where the figures have no room
    for (const trade::TorqueStage& stage : fastener.torque->stages) {
      if (!stage.low || stage.unit == nullptr) continue;
      const auto set = trade::wrench_setting(*stage.low, numbers[0], numbers[1], numbers[2]);
      const double* setting = trade::value_in(set);
      if (setting == nullptr) {
        const trade::Refusal& refusal = std::get<trade::Refusal>(set);
        y += ui.paragraph(read.x, y, read.w, Type::small_bold, t.out_of_range,
                          refusal.what + ": " + refusal.remedy, tight && !scrolls ? 2 : 0);
        line.clear();
        break;
      }
      const std::string unit(stage.unit->symbol);
      if (tight) {
        const std::string value = in_figures(trade::shown_number(*setting)) + " " + unit;
        line = line.empty() ? say("Set {0}", value) : say("{0}, then {1}", line, value);
        continue;
      }
      const float base = y + ui.capitals(Type::number) + 1;
      ui.text_in(read.x, base, read.w * 0.36F, Type::small, t.muted,
                 say("for {0}", in_figures(trade::authored_number(*stage.low)) + " " + unit));
      const float fx = read.x + read.w * 0.4F;
      const float nw = ui.text(fx, base, Type::number, t.ink, trade::shown_number(*setting));
      ui.text_in(fx + nw + 1.4F, base, read.right() - fx - nw - 1.4F, Type::small, t.ink,
                 say("{0} on the wrench", unit));
      y = base + 3;
    }
    if (!line.empty())
      y += ui.paragraph(read.x, y, read.w, Type::title, t.ink, line, scrolls ? 0 : 2);
    const std::string_view note = tr("Pull at the middle of the grip. The maker's value decides.");
    if (scrolls || y + ui.paragraph_height(read.w, Type::small, note) <= foot)
      y += ui.paragraph(read.x, y, read.w, Type::small, t.muted, note);
  }
  if (scrolls) ui.end_scroll(y - top);

  draw_number_pad(ui, pad, false, out);
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
}

}  // namespace baylore::viewer
