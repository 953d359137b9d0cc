// Torque adapter: what to set on the wrench so that the fastener gets the torque meant. The order
// and the maker's value stay as they are.
#include <cmath>

#include "trade/torque_window.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"

namespace baylore::viewer {

void adapter_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool has = state.tip &&
                   static_cast<std::size_t>(state.fastener) < state.tip->tip.fasteners.size() &&
                   state.tip->tip.fasteners[static_cast<std::size_t>(state.fastener)].torque;
  if (!has) {
    draw_heading(ui, at, "No torque to correct", {});
    draw_strip(ui, at, {{"back", "Back", {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const shop::Fastener& fastener =
      state.tip->tip.fasteners[static_cast<std::size_t>(state.fastener)];
  draw_heading(ui, at, "Adapter on the wrench: " + fastener.name,
               "Lengths in one unit; 0° in line outward, 90° no change, 180° pointing back");
  const bool column = at.form == Form::phone || at.form == Form::tall;
  const float keys_h = at.form == Form::phone ? 62.5F : 76.0F;
  const float x = at.form == Form::phone ? at.main.x : at.form == Form::tall ? at.left.x : 3.5F;
  const Rect read = column ? Rect{x, at.left.y, at.left.w, at.left.h - keys_h - 2}
                           : Rect{x, at.main.y, at.side.x - x - 6, at.main.h};
  const Rect pad = column ? Rect{x, at.left.bottom() - keys_h, at.left.w, keys_h} : at.side;

  static constexpr const char* kLabels[] = {"Grip to drive", "Drive to fastener", "Angle °"};
  const bool tight = at.form == Form::phone || at.form == Form::small;
  const float row_h = at.form == Form::phone ? 9.2F : tight ? 12.0F : 15.0F;
  float y = read.y;
  for (int i = 0; i < 3; ++i) {
    const Rect row{read.x, y, read.w, row_h};
    const bool chosen = state.adapter.field == i;
    if (chosen) ui.fill({row.x, row.y, 1.2F, row.h}, t.accent);
    const float base = row.y + row.h / 2 + ui.capitals(Type::title) / 2;
    ui.text(row.x + 3, base, Type::small_bold, chosen ? t.accent : t.ink, kLabels[i]);
    ui.text(row.right() - 1, base, Type::line_bold, t.ink,
            state.adapter.typed[i].empty() ? "–" : state.adapter.typed[i], Align::right);
    ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
    if (ui.target("adapter field:" + std::to_string(i), row))
      out.push_back({Do::adapter_field, {}, i});
    y += row_h;
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
    ui.paragraph(read.x, y, read.w, Type::small_bold, t.out_of_range, "Type the three numbers.");
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
                          refusal.what + ": " + refusal.remedy, tight ? 2 : 0);
        line.clear();
        break;
      }
      const std::string unit(stage.unit->symbol);
      if (tight) {
        line += (line.empty() ? "Set " : ", then ") + trade::shown_number(*setting) + " " + unit;
        continue;
      }
      const float base = y + ui.capitals(Type::number) + 1;
      ui.text_in(read.x, base, read.w * 0.36F, Type::small, t.muted,
                 "for " + trade::authored_number(*stage.low) + " " + unit);
      const float fx = read.x + read.w * 0.4F;
      const float nw = ui.text(fx, base, Type::number, t.ink, trade::shown_number(*setting));
      ui.text_in(fx + nw + 1.4F, base, read.right() - fx - nw - 1.4F, Type::small, t.ink,
                 unit + " on the wrench");
      y = base + 3;
    }
    if (!line.empty()) y += ui.paragraph(read.x, y, read.w, Type::title, t.ink, line, 2);
    const std::string_view note = "Pull at the middle of the grip. The maker's value decides.";
    if (y + ui.paragraph_height(read.w, Type::small, note) <= foot) {
      ui.paragraph(read.x, y, read.w, Type::small, t.muted, note);
    }
  }

  const float key_h = at.form == Form::phone ? 14.5F : at.form == Form::small ? 14.2F : 16.0F;
  const float gap = at.form == Form::phone ? 1.5F : at.form == Form::small ? 1.2F : 3.0F;
  const float key_w = std::min(at.form == Form::phone ? 17.0F : 22.0F, (pad.w - 2 * gap) / 3);
  static constexpr const char* kKeys[4][3] = {
      {"7", "8", "9"}, {"4", "5", "6"}, {"1", "2", "3"}, {"erase", "0", "."}};
  for (int row = 0; row < 4; ++row) {
    for (int col = 0; col < 3; ++col) {
      const std::string label = kKeys[row][col];
      const Rect rect{pad.x + static_cast<float>(col) * (key_w + gap),
                      pad.y + static_cast<float>(row) * (key_h + gap), key_w, key_h};
      const bool erase = label == "erase";
      if (key(ui, "pad:" + label, rect, label, erase ? Type::small_bold : Type::name)) {
        out.push_back(erase ? Action{Do::digit_erase, {}} : Action{Do::digit, label});
      }
    }
  }
  draw_strip(ui, at, {{"back", "Back", {Do::back, {}}, ""}}, {}, false, out);
}

}  // namespace baylore::viewer
