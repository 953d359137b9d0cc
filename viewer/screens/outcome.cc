// Outcome: what the job came to. Big keys; what is not tight is named; the rest may stay empty.
#include "viewer/screens/number_pad.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

struct ResultKey {
  shop::Result result;
  const char* label;
};
constexpr ResultKey kResults[] = {{shop::Result::fixed, marked("Fixed")},
                                  {shop::Result::not_fixed, marked("Not fixed")},
                                  {shop::Result::part_ordered, marked("Waiting")},
                                  {shop::Result::declined, marked("Declined")}};

std::string right_title(const State& state) {
  const std::string& id = state.coming.right;
  if (id.empty()) return tr("not known");
  if (id == shop::kNoneOfThese) return tr("none of these");
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
  draw_heading(ui, at, tr("What the job came to"), tr("Only the first line is needed"));
  auto [read, pad] = number_areas(ui.metrics(), at);
  const bool phone = at.form == Form::phone;
  const bool small = at.form == Form::small;
  const bool wide = at.form == Form::wide;
  // On a phone the keypad takes the place of the rest while a number is typed.
  const bool typing = phone && coming.pad;
  if (phone && !typing) read.h = at.left.h;
  const float gap = 3;
  const float key_h = phone ? std::max(ui.finger(15), 9.0F) : small ? 15.0F : 16.0F;
  const Rect view{read.x, read.y, read.w, read.h};
  const float top = ui.begin_scroll("outcome", view);
  float y = top;
  const float w = read.w - 1.5F;
  const int across = at.form == Form::tall || small ? 4 : 2;
  const float key_gap = small ? 1.5F : gap;
  const float key_w = (w - key_gap * static_cast<float>(across - 1)) / static_cast<float>(across);
  for (int i = 0; i < 4 && !typing; ++i) {
    const Rect rect{read.x + static_cast<float>(i % across) * (key_w + key_gap),
                    y + static_cast<float>(i / across) * (key_h + gap), key_w, key_h};
    const std::string word(shop::result_word(kResults[i].result));
    if (key(ui, "result:" + word, rect, tr(kResults[i].label),
            small ? Type::small_bold : Type::title, coming.result == kResults[i].result))
      out.push_back({Do::outcome_result, word});
  }
  if (!typing) y += static_cast<float>(4 / across) * (key_h + gap) - (wide ? 1.0F : 0);
  if (const std::vector<std::string> open = not_tight(state); !open.empty() && !typing) {
    std::string names;
    for (const std::string& name : open) names += (names.empty() ? "" : ", ") + name;
    caution_sign(ui, read.x, y + 0.6F, 4.6F, t.out_of_range, t.paper);
    y += ui.paragraph(
             read.x + 6.5F, y, w - 6.5F, Type::small, t.ink,
             std::vector<Run>{{tr("Not marked tight:") + std::string(" "), true}, {names, false}}) +
         1;
  }
  const float menu_h = std::max(ui.finger(15), ui.metrics().target());
  if (!typing) {
    y += value_row(ui, {read.x, y, w, menu_h}, "right tip", tr("Right tip"), right_title(state),
                   {Do::menu, "right"}, out);
    y += value_row(ui, {read.x, y, w, menu_h}, "part fitted", tr("Part fitted"),
                   coming.part.empty() ? tr_in("a part", "none") : coming.part,
                   {Do::menu, "part fitted"}, out);
  }
  static constexpr const char* kLabels[] = {marked("Odometer"), marked("Minutes taken")};
  for (int i = 0; i < 2; ++i) {
    const std::string label = std::string(tr(kLabels[i])) + (i == 1         ? ""
                                                             : coming.miles ? ", mi"
                                                                            : ", km");
    const bool chosen = coming.field == i && (!phone || typing);
    const float row_h = phone && !typing ? menu_h : number_row_height(ui, 3);
    if (phone && !typing) {
      // Rows of a finger's height: the keypad comes with a tap on one.
      const std::string& typed = coming.typed[static_cast<std::size_t>(i)];
      static_cast<void>(value_row(ui, {read.x, y, w, menu_h}, "outcome field:" + std::to_string(i),
                                  label, typed.empty() ? tr("type it") : typed,
                                  {Do::outcome_field, {}, i}, out));
    } else if (number_row(ui, "outcome field:" + std::to_string(i), {read.x, y, w, 0}, label,
                          coming.typed[static_cast<std::size_t>(i)], chosen)) {
      out.push_back({Do::outcome_field, {}, i});
    }
    y += row_h;
  }
  // Beside the keypad where there is room under it, else in the list.
  const std::string unit = coming.miles ? tr("miles") : tr("kilometres");
  if (!wide)
    y += value_row(ui, {read.x, y, w, menu_h}, "distance unit", tr("Distance in"), unit,
                   {Do::outcome_unit, {}}, out);
  ui.end_scroll(y - top);
  if (wide)
    static_cast<void>(value_row(ui, {pad.x, pad.bottom() - menu_h - 1, pad.w, menu_h},
                                "distance unit", tr("Distance in"), unit, {Do::outcome_unit, {}},
                                out));
  if (!phone || typing) draw_number_pad(ui, pad, false, out);
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  // What was fixed and stands in no tip is worth one; so is any other fix, while it is fresh.
  if (coming.result == shop::Result::fixed)
    keys.push_back({"write",
                    phone || small ? tr("Write it") : tr("Record and write a tip"),
                    {Do::record_outcome, {}, 1},
                    ""});
  draw_strip(ui, at, keys, {"primary", tr("Record"), {Do::record_outcome, {}}, ""},
             coming.result.has_value(), out);
}

}  // namespace baylore::viewer
