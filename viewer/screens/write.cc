// Write: the fields in working order, one being written; or the whole as wrapped plain text.
#include <algorithm>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

const WriteField& whole_field() {
  static const WriteField kWhole{"whole", marked("The whole tip"),
                                 marked("As it stands in the file"), false, false};
  return kWhole;
}

const WriteField* field_of(std::string_view key) {
  if (key == "whole") return &whole_field();
  for (const WriteField& f : write_fields()) {
    if (f.key == key) return &f;
  }
  return nullptr;
}

// Why it could not be saved, beside the text that stays open.
float failure_band(Ui& ui, Rect r, const State& state, Actions& out) {
  const Writing& w = state.write;
  if (w.failure.empty()) return 0;
  const Theme& t = ui.theme();
  if (r.h < 45) {
    // While typing on a low panel a line has to do; the keys come back with the list.
    ui.fill({r.x, r.y, 2, 5}, t.out_of_range);
    ui.text_in(r.x + 4, r.y + 3.8F, r.w - 5, Type::small_bold, t.out_of_range, w.failure);
    return 6;
  }
  const float text_h = ui.paragraph_height(r.w - 6, Type::small_bold, w.failure);
  const float h = text_h + 4 + (w.conflict ? 17 : 0);
  ui.fill({r.x, r.y, 2, h}, t.out_of_range);
  ui.paragraph(r.x + 5, r.y + 1.5F, r.w - 6, Type::small_bold, t.out_of_range, w.failure);
  if (w.conflict &&
      key(ui, "save as new", {r.x + 5, r.y + text_h + 2, std::min(r.w - 6, 80.0F), 15},
          tr("Keep both: save mine beside it"), Type::small_bold)) {
    out.push_back({Do::save_as_new, {}});
  }
  return h + 2;
}

// What the check says of one field, the worst first.
std::vector<const shop::Finding*> findings_in(const Writing& w, std::string_view key) {
  std::vector<const shop::Finding*> out;
  for (const auto& [field, finding] : w.findings) {
    if (field == key || (key == "whole" && w.field == "whole")) out.push_back(&finding);
  }
  std::stable_sort(out.begin(), out.end(), [](const shop::Finding* a, const shop::Finding* b) {
    return a->level < b->level;
  });
  return out;
}

// The worst of them over the text, with how many more there are. Returns the height taken.
float findings_band(Ui& ui, Rect r, const Writing& w) {
  const std::vector<const shop::Finding*> found = findings_in(w, w.field);
  if (found.empty()) return 0;
  const Theme& t = ui.theme();
  const shop::Finding& worst = *found.front();
  std::string place = w.field == "whole" ? say("line {0}", worst.line) : std::string();
  const std::string more = found.size() > 1 ? say("and {0} more", found.size() - 1) : std::string();
  const int lines = r.h < 45 ? 2 : 4;
  const float more_w = more.empty() ? 0 : ui.width(Type::small, more) + 3;
  const float h = finding_block(ui, r.x, r.y + 1, r.w - more_w, worst, place, lines);
  ui.text_in(r.right(), r.y + 1 + ui.capitals(Type::small), more_w, Type::small, t.muted, more,
             Align::right);
  ui.hline(r.x, r.y + h + 2.2F, r.w, 0.2F, t.rule);
  return h + 2.8F;
}

void field_list(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const Writing& w = state.write;
  const float row_h = std::max(15.0F, ui.metrics().target());
  const float top = ui.begin_scroll("write fields", r);
  float at = top;
  const auto row = [&](const WriteField& f) {
    const Rect field{r.x, at, r.w, row_h};
    if (ui.pressed(field)) ui.fill(field, t.face);
    const bool here = w.field == f.key;
    const std::string value = here ? w.buffer.text() : get_field(w.document, f.key);
    const bool filled = f.key != "whole" && !value.empty();
    const Rect tick{r.x, at + 2.0F, 4, 1.5F};
    ui.fill(tick, filled ? t.accent : t.paper);
    if (!filled) ui.frame(tick, 0.3F, t.ink);
    if (here) ui.fill({r.x, at, 1.2F, row_h}, t.accent);
    const float lw = ui.text_in(r.x + 6, at + 6.1F, r.w - 7, Type::small_bold,
                                here ? t.accent : t.ink, tr(f.label));
    const std::size_t found = findings_in(w, f.key).size();
    if (found > 0) {
      const std::string words = say("{0} to look at", found);
      const float ww = std::min(ui.width(Type::small, words), r.w - 16 - lw);
      ui.text_in(r.right() - 1, at + 6.1F, ww + 0.5F, Type::small, t.out_of_range, words,
                 Align::right);
      caution_sign(ui, r.right() - ww - 7, at + 2.2F, 4.6F, t.out_of_range, t.paper);
    }
    std::string first = value.substr(0, std::min<std::size_t>(value.find('\n'), 80));
    ui.text_in(r.x + 6, at + 12.0F, r.w - 7, Type::small, t.muted,
               f.key == "whole" ? tr("plain text")
               : first.empty()  ? tr("empty")
                                : first);
    ui.hline(r.x, at + row_h, r.w, 0.2F, t.rule);
    if (ui.target("field:" + f.key, field)) out.push_back({Do::write_field, f.key});
    at += row_h;
  };
  if (!w.findings.empty()) {
    // Where the first of them is may be far down the list: a tap leads there.
    const auto worst = std::min_element(
        w.findings.begin(), w.findings.end(),
        [](const auto& a, const auto& b) { return a.second.level < b.second.level; });
    const Rect field{r.x, at, r.w, row_h};
    if (ui.pressed(field)) ui.fill(field, t.face);
    caution_sign(ui, r.x, at + 2.0F, 4.6F, t.out_of_range, t.paper);
    ui.text_in(r.x + 6, at + 6.1F, r.w - 7, Type::small_bold, t.ink,
               say("{0} to look at", w.findings.size()));
    ui.text_in(r.x + 6, at + 12.0F, r.w - 7, Type::small, t.muted, worst->second.message);
    ui.hline(r.x, at + row_h, r.w, 0.2F, t.rule);
    if (ui.target("first finding", field)) out.push_back({Do::write_field, worst->first});
    at += row_h;
  }
  for (const WriteField& f : write_fields()) row(f);
  row(whole_field());
  {
    const std::size_t count = shop::placed_pictures(w.document).size();
    const Rect field{r.x, at, r.w, row_h};
    if (ui.pressed(field)) ui.fill(field, t.face);
    const Rect tick{r.x, at + 2.0F, 4, 1.5F};
    ui.fill(tick, count > 0 ? t.accent : t.paper);
    if (count == 0) ui.frame(tick, 0.3F, t.ink);
    ui.text_in(r.x + 6, at + 6.1F, r.w - 7, Type::small_bold, t.ink, tr("Pictures"));
    ui.text_in(
        r.x + 6, at + 12.0F, r.w - 7, Type::small, t.muted,
        count == 0 ? std::string(tr("from a stick or a camera")) : say("{0} in the text", count));
    ui.hline(r.x, at + row_h, r.w, 0.2F, t.rule);
    if (ui.target("pictures", field)) {
      out.push_back(count == 0 ? Action{Do::open_photos, {}} : Action{Do::menu, "photos"});
    }
    at += row_h;
  }
  const Rect drop{r.x, at + 6, r.w, 15};
  ui.text(r.x + 6, drop.y + 9.2F, Type::small_bold, t.out_of_range, tr("Drop this draft"));
  if (ui.guarded_target("drop draft", drop)) out.push_back({Do::drop_draft, {}});
  at += 22;
  ui.end_scroll(at - top);
}

void field_text(Ui& ui, Rect r, const State& state, bool caret, Actions& out) {
  const Theme& t = ui.theme();
  const WriteField* f = field_of(state.write.field);
  if (f == nullptr) {
    ui.paragraph(
        r.x, r.y + 2, r.w, Type::text, t.muted,
        tr("Choose a field. A title and some text make a good tip; the rest helps the next one."));
    return;
  }
  const float lw = ui.text(r.x, r.y + 3.4F, Type::small_bold, t.accent, tr(f->label));
  float y = r.y + 5.4F;
  if (r.h < 30) {
    // Over the keyboard of a low panel one line has to do: what is wrong, else what belongs here.
    const std::vector<const shop::Finding*> found = findings_in(state.write, f->key);
    const bool wrong = !found.empty();
    if (wrong) caution_sign(ui, r.x + lw + 3, r.y, 4.2F, t.out_of_range, t.paper);
    const float in = lw + (wrong ? 9.0F : 4.0F);
    ui.text_in(r.x + in, r.y + 3.4F, r.w - in, Type::small, wrong ? t.ink : t.muted,
               wrong ? found.front()->message : tr(f->hint));
    ui.hline(r.x, y, r.w, 0.35F, t.ink);
    y += 0.8F;
  } else {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, tr(f->hint), 2);
    ui.hline(r.x, y + 0.6F, r.w, 0.35F, t.ink);
    y += 1.6F;
    y += findings_band(ui, {r.x, y, r.w, r.bottom() - y}, state.write);
  }
  draw_text_area(ui, {r.x, y, r.w, r.bottom() - y}, "write text", state.write.buffer, caret, out);
}

}  // namespace

void write_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Writing& w = state.write;
  const std::string title = get_field(w.document, "title");
  std::string under = w.path.empty() ? tr("new tip") : w.path;
  under += w.saving           ? tr(" · saving")
           : w.changed_at > 0 ? tr(" · draft being kept")
                              : tr(" · draft kept");
  draw_heading(ui, at, title.empty() ? tr("New tip") : title, under);
  const bool typing = at.keyboard.h > 0;
  const bool one_column =
      at.form == Form::phone || at.form == Form::tall || (at.form == Form::small && typing);
  if (one_column) {
    Rect r = at.form == Form::phone ? at.main
                                    : Rect{3.5F, at.left.y, ui.metrics().width() - 7, at.left.h};
    const float used = failure_band(ui, r, state, out);
    r.y += used;
    r.h -= used;
    if (w.field.empty()) {
      field_list(ui, r, state, out);
    } else {
      field_text(ui, r, state, true, out);
    }
  } else {
    const float shift = typing ? at.left.x - 3.5F : 0;
    const Rect left{at.left.x - shift, at.left.y, at.left.w, at.left.h};
    field_list(ui, left, state, out);
    Rect r{at.right.x - shift, at.right.y, at.right.w + shift, at.right.h};
    const float used = failure_band(ui, r, state, out);
    r.y += used;
    r.h -= used;
    field_text(ui, r, state, !w.field.empty(), out);
  }
  if (typing) return;
  const StripKey save{"primary", w.saving ? tr("Saving") : tr("Save"), {Do::save_tip, {}}, ""};
  if (at.form == Form::phone) {
    draw_strip(ui, at,
               {{"back", tr("Back"), {Do::back, {}}, ""},
                {"preview", tr("Preview"), {Do::preview, {}}, ""}},
               save, !w.saving, out);
  } else {
    draw_strip(
        ui, at,
        {{"back", tr("Back"), {Do::back, {}}, ""},
         {"whole", w.field == "whole" ? tr("Fields") : tr("Whole"),
          w.field == "whole" ? Action{Do::write_fields, {}} : Action{Do::write_field, "whole"}, ""},
         {"preview", tr("Preview"), {Do::preview, {}}, ""}},
        save, !w.saving, out);
  }
}

void ask_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool of_tip = state.ask.what == "question" && state.tip;
  draw_heading(ui, at, state.ask.title, of_tip ? state.tip->tip.title : "");
  const float x = at.form == Form::phone ? at.main.x : 3.5F;
  const Rect r{x, at.left.y, ui.metrics().width() - 2 * x, at.left.h};
  float y = r.y + 1;
  if (at.form == Form::phone) {
    ui.text_in(r.x, y + 4, r.w, Type::title, t.ink, state.ask.title);
    y += 7;
  }
  y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, state.ask.hint);
  ui.hline(r.x, y + 1, r.w, 0.35F, t.ink);
  y += 2;
  draw_text_area(ui, {r.x, y, r.w, r.bottom() - y}, "ask text", state.ask.buffer, true, out);
  if (at.keyboard.h > 0) return;
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}},
             {"primary", tr("Keep"), {Do::ask_submit, {}}, ""}, !state.ask.buffer.empty(), out);
}

void menu_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  draw_heading(ui, at, state.menu.title, {});
  const float x = at.form == Form::phone ? at.main.x : 3.5F;
  Rect r{x, at.left.y, ui.metrics().width() - 2 * x, at.left.h};
  if (at.form == Form::phone) {
    ui.text_in(r.x, r.y + 5.5F, r.w, Type::title, t.ink, state.menu.title);
    ui.hline(r.x, r.y + 8, r.w, 0.5F, t.ink);
    r.y += 8;
    r.h -= 8;
  }
  // Rows wider than the eye follows are no help: on a wide panel they stand in two columns.
  const bool two = r.w > 150 && state.menu.rows.size() > 4;
  const float w = two ? (r.w - 6) / 2 : r.w;
  const float row_h = std::max(
      ui.finger(state.menu.what == "settings" || state.menu.what == "first" ? 18.0F : 15.0F),
      ui.metrics().target());
  const float top = ui.begin_scroll("menu", r);
  const std::size_t half = two ? (state.menu.rows.size() + 1) / 2 : state.menu.rows.size();
  const float in = at.form == Form::phone ? 2.5F : 4.0F;
  // The value stands beside the label where both fit, else under it in as many lines as it needs.
  const auto beside = [&](const MenuRow& row) {
    return row.value.empty() ||
           ui.width(Type::title, row.label) + ui.width(Type::small, row.value) + in + 4 <= w;
  };
  const auto label_type = [&](const MenuRow& row) {
    return ui.width(Type::title, row.label) <= w - 2 * in ? Type::title : Type::small_bold;
  };
  float left_y = top;
  float right_y = top;
  for (std::size_t i = 0; i < state.menu.rows.size(); ++i) {
    const MenuRow& row = state.menu.rows[i];
    const Type type = label_type(row);
    const bool one_line = beside(row);
    const float label_h = ui.paragraph_height(w - 2 * in, type, row.label);
    const float value_h =
        one_line ? 0 : ui.paragraph_height(w - 2 * in, Type::small, row.value) + 0.8F;
    float& y = i >= half ? right_y : left_y;
    const float h = std::max(row_h, label_h + value_h + 2.6F);
    const Rect field{r.x + (i >= half ? w + 6 : 0), y, w, h};
    y += h;
    if (ui.pressed(field)) ui.fill(field, t.face);
    if (row.marked) ui.fill({field.x, field.y, 1.9F, h}, t.accent);
    const Colour ink = row.marked ? t.accent : t.ink;
    if (one_line) {
      const float base = field.y + h / 2 + ui.capitals(type) / 2;
      const float value_w = ui.width(Type::small, row.value);
      if (row.value.empty()) {
        ui.paragraph(field.x + in, field.y + (h - label_h) / 2 + 1.2F, w - 2 * in, type, ink,
                     row.label);
      } else {
        ui.text(field.x + in, base, type, ink, row.label);
        ui.text_in(field.right() - 1.5F, base, value_w + 0.5F, Type::small, t.muted, row.value,
                   Align::right);
      }
    } else {
      const float from = field.y + (h - label_h - value_h) / 2 + 0.8F;
      ui.paragraph(field.x + in, from, w - 2 * in, type, ink, row.label);
      ui.paragraph(field.x + in, from + label_h + 0.4F, w - 2 * in, Type::small, t.muted,
                   row.value);
    }
    ui.hline(field.x, field.bottom(), w, 0.2F, t.rule);
    if (ui.target("row:" + row.id, field)) out.push_back({Do::choose, row.id});
  }
  ui.end_scroll(std::max(left_y, right_y) - top + 1);
  StripKey primary;
  if (state.menu.what == "first") primary = {"primary", tr("Begin"), {Do::begin, {}}, ""};
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, primary, true, out);
}

}  // namespace baylore::viewer
