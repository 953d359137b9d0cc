// The order list of the job: each part with what is used once beside it, what has to go back, and
// what it comes to. Lines are ticked off as they lie on the bench.
#include <algorithm>

#include <fmt/format.h>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

float line_row(Ui& ui, Rect r, const std::string& key, const shop::OrderLine& line, bool have,
               Actions& out) {
  const Theme& t = ui.theme();
  const float side = std::max(ui.finger(15), ui.metrics().target());
  const Rect cell{r.x, r.y + 1.2F, side, side};
  const float x = cell.right() + 3.4F;
  const std::string amount = line.amount + " x";
  const std::string price = line.price > 0 ? in_figures(fmt::format("{:.2f}", line.price)) : "";
  const float pw = price.empty() ? 0 : ui.width(Type::small_bold, price) + 3;
  const float w = r.right() - x - pw;
  const std::vector<Run> runs{{amount + "  ", false}, {line.what, true}};
  const float what_h = ui.paragraph_height(w, Type::small, runs);
  const float note_h = line.note.empty() ? 0 : ui.paragraph_height(w, Type::small, line.note);
  const float h = std::max(side + 2.4F, what_h + note_h + 3.6F);
  float y = r.y + std::max(1.4F, (h - what_h - note_h) / 2 - 0.4F);
  if (pw > 0)
    ui.text(r.right(), y + ui.capitals(Type::small_bold), Type::small_bold, t.ink, price,
            Align::right);
  y += ui.paragraph(x, y, w, Type::small, t.ink, runs);
  if (!line.note.empty()) ui.paragraph(x, y, w, Type::small, t.muted, line.note);
  if (tick_cell(ui, "have:" + key, cell, have)) out.push_back({Do::at_hand, key});
  ui.hline(r.x, r.y + h, r.w, 0.2F, t.rule);
  return h;
}

}  // namespace

void order_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const job::Job* now = state.current();
  const std::vector<OrderGroup> groups = order_groups(state);
  const bool phone = at.form == Form::phone;
  double sum = 0;
  int lines = 0;
  int have = 0;
  for (const OrderGroup& group : groups) {
    for (const shop::OrderLine& line : group.lines) {
      sum += line.price;
      ++lines;
      have += now->at_hand.contains(group.part + "|" + line.what) ? 1 : 0;
    }
  }
  const std::string under = lines == 0
                                ? std::string(tr("nothing on it yet"))
                                : say("{0} of {1} at hand", have, lines) +
                                      (sum > 0 ? " · " + say("{0} without core charges",
                                                             in_figures(fmt::format("{:.2f}", sum)))
                                               : "");
  draw_heading(ui, at, tr("Order list of this job"), under);
  const float x = phone ? at.main.x : 3.5F;
  const Rect view{x, at.left.y, ui.metrics().width() - 2 * x, at.left.h};
  const float top = ui.begin_scroll("order", view);
  float y = top;
  if (phone) {
    y += ui.paragraph(x, y + 1, view.w, Type::title, t.ink, tr("Order list of this job"));
    y += ui.paragraph(x, y + 1, view.w, Type::small, t.muted, under) + 2;
  }
  if (groups.empty()) {
    y += ui.paragraph(x, y + 2, view.w, Type::text, t.ink,
                      tr("Open a part and tap Order list: what goes with it comes along, and so do "
                         "the fasteners of the tip that are used once."));
  }
  const float row_h = std::max(ui.finger(15), ui.metrics().target());
  const float w = std::min(view.w, 150.0F);
  for (const OrderGroup& group : groups) {
    const float key_w = 26.0F;
    ui.hline(x, y, w, 0.35F, t.ink);
    const float room = group.part.empty() ? w : w - key_w - 3;
    const std::string title = group.part.empty()    ? tr("Used once, from the tip")
                              : group.title.empty() ? group.part
                                                    : group.title;
    const float title_h = ui.paragraph_height(room, Type::small_bold, title);
    const float head_h = group.part.empty() ? title_h + 2.4F : std::max(row_h + 1.4F, title_h + 2);
    ui.paragraph(x, y + (head_h - title_h) / 2 + 0.6F, room, Type::small_bold, t.accent, title);
    if (!group.part.empty() && key(ui, "off:" + group.part, {x + w - key_w, y + 0.9F, key_w, row_h},
                                   tr("Take off"), Type::small_bold))
      out.push_back({Do::take_off, group.part});
    y += head_h;
    for (const shop::OrderLine& line : group.lines) {
      const std::string key = group.part + "|" + line.what;
      y += line_row(ui, {x, y, w, 0}, key, line, now->at_hand.contains(key), out);
    }
    y += 2.4F;
  }
  ui.end_scroll(y - top + 1);
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}},
             {"primary",
              at.form == Form::wide ? tr("Park: ordered") : tr("Park"),
              {Do::park_because, "part ordered"},
              ""},
             !groups.empty(), out);
}

}  // namespace baylore::viewer
