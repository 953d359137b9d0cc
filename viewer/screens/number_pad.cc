#include "viewer/screens/number_pad.h"

#include <algorithm>

#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {

namespace {

// With large text the keys of the column are as high as a finger needs, or more where there is
// room.
float phone_key_height(const Metrics& metrics, const Layout& at) {
  return std::clamp((at.main.h * 0.42F - 4.5F) / 4, metrics.finger(14.5F), 14.5F);
}

}  // namespace

NumberAreas number_areas(const Metrics& metrics, const Layout& at) {
  if (metrics.low()) {
    const float pad_w = std::clamp(metrics.width() * 0.4F, 34.0F, 46.0F);
    const Rect& all = at.main;
    const float x = metrics.width() - pad_w - 1.5F;
    return {{all.x, all.y, x - all.x - 3.5F, all.h}, {x, all.y, pad_w, all.h}};
  }
  const bool column = at.form == Form::phone || at.form == Form::tall;
  const float keys_h = at.form == Form::phone ? 4 * phone_key_height(metrics, at) + 4.5F : 76.0F;
  const float x = at.form == Form::phone ? at.main.x : at.form == Form::tall ? at.left.x : 3.5F;
  if (column) {
    return {{x, at.left.y, at.left.w, at.left.h - keys_h - 2},
            {x, at.left.bottom() - keys_h, at.left.w, keys_h}};
  }
  return {{x, at.main.y, at.side.x - x - 6, at.main.h}, at.side};
}

float number_row_height(const Ui& ui, int rows) {
  switch (ui.metrics().form()) {
    case Form::phone:
      return 9.2F;
    case Form::small:
      return rows > 3 ? 9.2F : 12.0F;
    case Form::wide:
    case Form::tall:
      break;
  }
  return rows > 3 ? 12.0F : 15.0F;
}

bool number_row(Ui& ui, std::string_view id, Rect at, std::string_view label,
                std::string_view typed, bool chosen, int rows) {
  const Theme& t = ui.theme();
  const Rect row{at.x, at.y, at.w, number_row_height(ui, rows)};
  if (chosen) ui.fill({row.x, row.y, 1.2F, row.h}, t.accent);
  const float base = row.y + row.h / 2 + ui.capitals(Type::title) / 2;
  const std::string shown = typed.empty() ? "–" : in_typed_figures(std::string(typed));
  const float number_w = ui.width(Type::line_bold, shown);
  ui.text_in(row.x + 3, base, row.w - number_w - 7, Type::small_bold, chosen ? t.accent : t.ink,
             label);
  ui.text(row.right() - 1, base, Type::line_bold, t.ink, shown, Align::right);
  ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  return ui.target(id, row);
}

void draw_number_pad(Ui& ui, Rect pad, bool sign, Actions& out) {
  const Form form = ui.metrics().form();
  const bool low = ui.metrics().low();
  const float gap = low ? 0.7F : form == Form::phone ? 1.5F : form == Form::small ? 1.2F : 3.0F;
  const float key_h = low                   ? std::min(ui.finger(20), (pad.h - 3 * gap) / 4)
                      : form == Form::phone ? std::min(14.5F, (pad.h - 3 * gap) / 4)
                      : form == Form::small ? 14.2F
                                            : 16.0F;
  const float key_w = std::min(form == Form::phone && !low ? 17.0F : 22.0F, (pad.w - 2 * gap) / 3);
  static constexpr const char* kKeys[4][3] = {
      {"7", "8", "9"}, {"4", "5", "6"}, {"1", "2", "3"}, {"", "0", "."}};
  for (int row = 0; row < 4; ++row) {
    for (int col = 0; col < 3; ++col) {
      std::string label = kKeys[row][col];
      if (label.empty()) label = sign ? "\xE2\x80\x93" : "erase";
      const Rect rect{pad.x + static_cast<float>(col) * (key_w + gap),
                      pad.y + static_cast<float>(row) * (key_h + gap), key_w, key_h};
      const bool erase = label == "erase";
      if (key(ui, "pad:" + label, rect, erase ? tr("erase") : in_typed_figures(label),
              erase ? Type::small_bold : Type::name)) {
        out.push_back(erase ? Action{Do::digit_erase, {}} : Action{Do::digit, label});
      }
    }
  }
}

}  // namespace baylore::viewer
