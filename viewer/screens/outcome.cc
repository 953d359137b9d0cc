// Outcome: what the job came to. Big keys; what is not tight is named; the rest may stay empty.
#include "viewer/screens/number_pad.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"

namespace baylore::viewer {
namespace {

struct ResultKey {
  shop::Result result;
  const char* label;
};
constexpr ResultKey kResults[] = {{shop::Result::fixed, "Fixed"},
                                  {shop::Result::not_fixed, "Not fixed"},
                                  {shop::Result::part_ordered, "Waiting"},
                                  {shop::Result::declined, "Declined"}};

std::string right_title(const State& state) {
  const std::string& id = state.coming.right;
  if (id.empty()) return "not known";
  if (id == shop::kNoneOfThese) return "none of these";
  if (state.tip && state.tip->row.id == id) return state.tip->row.title;
  if (state.guide) {
    for (const diagnosis::Cause& cause : state.guide->a_case->causes) {
      if (cause.tip == id) return cause.title;
    }
  }
  for (const search::Hit& hit : state.answer.hits) {
    if (hit.tip.id == id) return hit.tip.title;
  }
  return id;
}

float value_row(Ui& ui, Rect row, std::string_view id, std::string_view label,
                const std::string& value, Action action, Actions& out) {
  const Theme& t = ui.theme();
  if (ui.pressed(row)) ui.fill(row, t.face);
  const float base = row.y + row.h / 2 + ui.capitals(Type::small) / 2;
  const float lw = ui.text(row.x + 3, base, Type::small_bold, t.ink, label);
  ui.text_in(row.right() - 1, base, row.w - lw - 8, Type::small, t.ink, value, Align::right);
  ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  if (ui.target(id, row)) out.push_back(std::move(action));
  return row.h;
}

}  // namespace

void outcome_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const Coming& coming = state.coming;
  draw_heading(ui, at, "What the job came to", "Only the first line is needed");
  const auto [read, pad] = number_areas(at);
  const bool phone = at.form == Form::phone;
  const bool small = at.form == Form::small;
  const float gap = 3;
  const float key_h = phone ? 15.0F : small ? 15.0F : 22.0F;
  const Rect view{read.x, read.y, read.w, read.h};
  const float top = ui.begin_scroll("outcome", view);
  float y = top;
  const bool four = at.form == Form::tall;
  const int across = four ? 4 : 2;
  const float key_w =
      (read.w - 1.5F - gap * static_cast<float>(across - 1)) / static_cast<float>(across);
  for (int i = 0; i < 4; ++i) {
    const Rect rect{read.x + static_cast<float>(i % across) * (key_w + gap),
                    y + static_cast<float>(i / across) * (key_h + gap), key_w, key_h};
    const std::string word(shop::result_word(kResults[i].result));
    if (key(ui, "result:" + word, rect, kResults[i].label, Type::title,
            coming.result == kResults[i].result))
      out.push_back({Do::outcome_result, word});
  }
  y += static_cast<float>(4 / across) * (key_h + gap);
  const float w = read.w - 1.5F;
  if (const std::vector<std::string> open = not_tight(state); !open.empty()) {
    std::string names;
    for (const std::string& name : open) names += (names.empty() ? "" : ", ") + name;
    caution_sign(ui, read.x, y + 0.6F, 4.6F, t.out_of_range, t.paper);
    y += ui.paragraph(read.x + 6.5F, y, w - 6.5F, Type::small, t.ink,
                      std::vector<Run>{{"Not marked tight: ", true}, {names, false}}) +
         1;
  }
  const float menu_h = std::max(15.0F, ui.metrics().target());
  y += value_row(ui, {read.x, y, w, menu_h}, "right tip", "Right tip", right_title(state),
                 {Do::menu, "right"}, out);
  y += value_row(ui, {read.x, y, w, menu_h}, "part fitted", "Part fitted",
                 coming.part.empty() ? "none" : coming.part, {Do::menu, "part"}, out);
  y += value_row(ui, {read.x, y, w, menu_h}, "distance unit", "Distance in",
                 coming.miles ? "miles" : "kilometres", {Do::outcome_unit, {}}, out);
  static constexpr const char* kLabels[] = {"Odometer", "Minutes taken"};
  for (int i = 0; i < 2; ++i) {
    if (number_row(ui, "outcome field:" + std::to_string(i), {read.x, y, w, 0}, kLabels[i],
                   coming.typed[static_cast<std::size_t>(i)], coming.field == i))
      out.push_back({Do::outcome_field, {}, i});
    y += number_row_height(ui, 3);
  }
  ui.end_scroll(y - top);
  draw_number_pad(ui, pad, false, out);
  std::vector<StripKey> keys{{"back", "Back", {Do::back, {}}, ""}};
  // What was fixed and stands in no tip is worth one; so is any other fix, while it is fresh.
  if (coming.result == shop::Result::fixed)
    keys.push_back({"write",
                    phone   ? "+ tip"
                    : small ? "And write"
                            : "Record and write a tip",
                    {Do::record_outcome, {}, 1},
                    ""});
  draw_strip(ui, at, keys, {"primary", "Record", {Do::record_outcome, {}}, ""},
             coming.result.has_value(), out);
}

}  // namespace baylore::viewer
