// Work out: one of the trade's formulas on the keypad. The units are the formula's own and stand
// beside each number.
#include <algorithm>

#include "trade/quantity.h"
#include "viewer/screens/number_pad.h"
#include "viewer/screens/screens.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string label_of(const WorkField& field) {
  std::string label = tr(field.input->what);
  if (!label.empty() && label[0] >= 'a' && label[0] <= 'z')
    label[0] = static_cast<char>(label[0] - 'a' + 'A');
  if (field.input->need == trade::Input::Need::list) label = tr("Resistance");
  if (field.input->unit != nullptr) label += ", " + std::string(field.input->unit->symbol);
  return label;
}

std::string result_text(const trade::Result& result) {
  if (!result.says.empty()) return tr(result.says);
  return in_figures(result.unit != nullptr ? trade::shown({result.value, result.unit})
                                           : trade::shown_number(result.value));
}

// Results under each other, or what is still missing. Returns the height.
float results(Ui& ui, Rect r, const WorkedOut& worked) {
  const Theme& t = ui.theme();
  float y = r.y;
  if (!worked.problem.empty()) {
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, worked.missing ? t.muted : t.out_of_range,
                      worked.problem);
  }
  for (const trade::Result& result : worked.results) {
    if (!result.says.empty()) {
      y +=
          ui.paragraph(r.x, y, r.w, Type::small, t.ink,
                       std::vector<Run>{{tr(result.name) + ": ", true}, {tr(result.says), false}}) +
          0.8F;
      continue;
    }
    const std::string text = result_text(result);
    const float nw = ui.width(Type::line_bold, text);
    const float base = y + ui.capitals(Type::line_bold) + 1.2F;
    ui.text_in(r.x, base, r.w - nw - 3, Type::small, t.muted, tr(result.name));
    ui.text(r.right() - 1, base, Type::line_bold, t.ink, text, Align::right);
    y = base + 2.4F;
  }
  return y - r.y;
}

}  // namespace

void work_out_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const trade::Formula* formula = state.working.formula;
  if (formula == nullptr) return;
  const std::vector<WorkField> fields = work_fields(*formula);
  draw_heading(ui, at, tr(formula->what),
               formula->inputs.empty() ? "" : tr("Tap a line, type its number"));
  const auto [read, pad] = number_areas(ui.metrics(), at);
  const Theme& t = ui.theme();
  const WorkedOut worked = work_out(state.working);
  const int rows = static_cast<int>(fields.size());
  const float top = ui.begin_scroll("work out", read);
  const Rect r{read.x, top, read.w - 1.5F, read.h};
  float y = top;
  if (at.form == Form::phone || at.form == Form::tall)
    y += ui.paragraph(r.x, y + 0.5F, r.w, Type::title, t.ink, formula->what, 2) + 1;
  // On a phone the keypad leaves little room: what comes out stands over the rows, in view.
  const bool first = at.form == Form::phone;
  if (first) y += results(ui, {r.x, y, r.w, 0}, worked) + 1;
  for (int i = 0; i < rows; ++i) {
    const auto index = static_cast<std::size_t>(i);
    if (number_row(ui, "work field:" + std::to_string(i), {r.x, y, r.w, 0}, label_of(fields[index]),
                   state.working.typed[index], state.working.field == i, rows))
      out.push_back({Do::work_field, {}, i});
    y += number_row_height(ui, rows);
  }
  y += 1.5F;
  if (!first) y += results(ui, {r.x, y, r.w, 0}, worked);
  if (!formula->note.empty())
    y += ui.paragraph(r.x, y + 0.6F, r.w, Type::small, t.muted, tr(formula->note)) + 0.6F;
  ui.end_scroll(y - top);
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  if (rows > 0) {
    draw_number_pad(ui, pad, true, out);
    keys.push_back({"erase", tr("Erase"), {Do::digit_erase, {}}, ""});
  }
  draw_strip(ui, at, keys, {}, false, out);
}

}  // namespace baylore::viewer
