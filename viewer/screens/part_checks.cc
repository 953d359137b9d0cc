// Before it goes in: the acceptance checks of the part in the hand and the points to look at, each
// with a cell that takes the answer and a name that leads to the keypad.
#include <algorithm>

#include "viewer/screens/part_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

bool is_range(const shop::Check& check) { return check.expect && check.expect->is_range(); }

bool is_bad(const job::Judged& judged) {
  return judged.kind == job::Judged::Kind::no ||
         (judged.kind == job::Judged::Kind::judged &&
          (judged.verdict->standing == trade::Standing::kLow ||
           judged.verdict->standing == trade::Standing::kHigh));
}

bool is_good(const job::Judged& judged) {
  return judged.kind == job::Judged::Kind::yes ||
         (judged.kind == job::Judged::Kind::judged &&
          judged.verdict->standing == trade::Standing::kInRange);
}

// What the row says under its name: the reading and its word, or what a good one shows.
std::string under_of(const State& state, const shop::Check& check, const job::Judged& judged) {
  const job::Job* now = state.current();
  const job::Reading* reading =
      now == nullptr ? nullptr : now->accepted(state.part->number().name, check.id);
  if (reading == nullptr || is_good(judged)) {
    std::string words = check.expect_text;
    if (reading != nullptr && !reading->value.empty())
      words = reading->value + ", " + job::word(judged);
    return words;
  }
  return say("{0}: expected {1}",
             (reading->value.empty() ? std::string() : reading->value + ", ") + job::word(judged),
             check.expect_text);
}

float check_row(Ui& ui, Rect r, const State& state, const shop::Check& check, Actions& out) {
  const Theme& t = ui.theme();
  const job::Judged judged = accepted(state, check);
  const bool range = is_range(check);
  const float side = std::max(ui.finger(15), ui.metrics().target());
  const Rect cell{r.x, r.y + 1.2F, side, side};
  const float x = cell.right() + 3.4F;
  const float w = r.right() - x;
  const std::string under = under_of(state, check, judged);
  const float name_h = ui.paragraph_height(w, Type::small_bold, check.name);
  const float text_h = name_h + ui.paragraph_height(w, Type::small, under) + 1.4F;
  const float h = std::max(17.4F, std::max(side + 2.4F, text_h + 2.4F));

  const bool good = is_good(judged);
  if (judged.kind == job::Judged::Kind::none || good) {
    if (tick_cell(ui, "accept:" + check.id, cell, good))
      out.push_back({range ? Do::accept_check : Do::accept_toggle, check.id});
    if (judged.kind == job::Judged::Kind::none && range) {
      // A figure is wanted here, not a hook.
      const float mx = cell.x + cell.w / 2;
      const float my = cell.y + cell.h / 2;
      for (const float side_of : {-1.0F, 1.0F}) {
        const float bx = mx + side_of * 3.2F;
        ui.vline(bx, my - 2.6F, 5.2F, 0.5F, t.muted);
        for (const float lip : {-2.35F, 2.35F})
          ui.hline(side_of < 0 ? bx : bx - 1.3F, my + lip, 1.3F, 0.5F, t.muted);
      }
    }
  } else {
    if (ui.target("accept:" + check.id, cell)) out.push_back({Do::accept_check, check.id});
    ui.frame(cell, 0.4F, is_bad(judged) ? t.out_of_range : t.ink);
    standing_mark(ui, cell.x + cell.w / 2, cell.y + cell.h / 2, 3.4F, judged);
  }
  float y = r.y + std::max(1.2F, (h - text_h) / 2 - 0.6F);
  y += ui.paragraph(x, y, w, Type::small_bold, t.ink, check.name) + 0.4F;
  ui.paragraph(x, y, w, Type::small, is_bad(judged) ? t.out_of_range : t.muted, under);
  if (ui.target("accept name:" + check.id, {x - 0.4F, r.y, r.right() - x + 0.4F, h}))
    out.push_back({Do::accept_check, check.id});
  ui.hline(r.x, r.y + h, r.w, 0.2F, t.rule);
  return h;
}

}  // namespace

std::string acceptance_count(const State& state) {
  const std::vector<shop::Check> checks = acceptance_of(state.part->family);
  const auto seen = std::count_if(checks.begin(), checks.end(), [&](const shop::Check& check) {
    return accepted(state, check).kind != job::Judged::Kind::none;
  });
  return say("{0} of {1}", seen, checks.size());
}

float draw_acceptance(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  float y = r.y;
  ui.hline(r.x, y + 0.25F, r.w, 0.5F, t.ink);
  const float base = y + 3.0F + ui.capitals(Type::small_bold);
  const std::vector<shop::Check> checks = acceptance_of(state.part->family);
  const float lw = ui.text(r.x, base, Type::small_bold, t.ink, tr("Before it goes in"));
  if (!checks.empty())
    ui.text_in(r.right(), base, r.w - lw - 3, Type::small, t.muted, acceptance_count(state),
               Align::right);
  y = base + 3.4F;
  ui.hline(r.x, y, r.w, 0.2F, t.rule);
  if (checks.empty()) {
    y += 1;
    y += ui.paragraph(
        r.x, y, r.w, Type::small, t.ink,
        tr("The part file names nothing to look at. Hold it beside the old one: number, "
           "marks, connector, thread, length."));
    return y - r.y;
  }
  for (const shop::Check& check : checks)
    y += check_row(ui, {r.x, y, r.w - 1, 0}, state, check, out);
  return y - r.y;
}

}  // namespace baylore::viewer
