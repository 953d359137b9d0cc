// The rivals for one place on the car, one under the other on one axis: intervals as bars, shares
// as dots, words for what the numbers mean. Too few fitted, and there is no bar at all.
#include <algorithm>
#include <array>
#include <cmath>

#include "viewer/screens/part_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string percent(double share) { return std::to_string(std::lround(100 * share)); }

double share_of(const quality::Count& window) {
  return window.of > 0 ? window.hits / window.of : 0;
}

float draw_axis(Ui& ui, const ShareAxis& axis, float y) {
  const Theme& t = ui.theme();
  const float base = y + ui.capitals(Type::small) + 0.6F;
  ui.text(axis.x - 5, base, Type::small, t.ink, "%", Align::right);
  const int steps = static_cast<int>(std::lround(axis.most / axis.step));
  float last = -100;
  for (int i = 0; i <= steps; ++i) {
    const double share = i * axis.step;
    const std::string words = percent(share);
    const float half = ui.width(Type::small, words) / 2;
    if (axis.at(share) - half < last + 1.2F) continue;
    ui.text(axis.at(share), base, Type::small, t.ink, words, Align::centre);
    ui.vline(axis.at(share), base + 2.6F, 2.2F, 0.3F, t.ink);
    last = axis.at(share) + half;
  }
  return ui.pitch(Type::small) + 2.6F;
}

struct RowForm {
  bool beside;   // name left, bar right; else one under the other
  float name_w;  // of the left column
  bool own_apart;
};

float draw_row(Ui& ui, Rect r, const ShareAxis& axis, const State& state, std::size_t index,
               RowForm form, Actions& out) {
  const Theme& t = ui.theme();
  const PartPage& page = *state.part;
  const RivalRow& row = page.rows[index];
  const quality::Rival& rival = row.rival;
  const bool here = rival.place == page.place && page.asked.by == quality::By::number;
  const bool bar = has_bar(rival);
  const std::string words = share_words(rival);
  float y = r.y + 1.8F;
  float bottom = y;
  if (form.beside) {
    const float name_h = ui.paragraph(r.x, y, form.name_w, Type::text_bold, t.ink, row.name);
    float under = y + name_h;
    if (!row.under.empty())
      under += ui.paragraph(r.x, under, form.name_w, Type::small, t.muted, row.under);
    float right = y;
    if (bar) {
      share_bar(ui, axis, right + 3.0F, rival, form.own_apart);
      right += 7.0F;
    } else {
      right += 3.0F;
    }
    const float room = r.right() - axis.x;
    right += ui.paragraph(axis.x, right, room, bar ? Type::small : Type::small_bold, t.ink,
                          ui.width(Type::small, words) > room ? share_words(rival, true) : words);
    bottom = std::max(under, right);
  } else {
    const float under_w = ui.width(Type::small, row.under);
    const bool one_line = ui.width(Type::small_bold, row.name) + under_w + 3 <= r.w;
    if (one_line)
      ui.text(r.right(), y + ui.capitals(Type::small_bold), Type::small, t.muted, row.under,
              Align::right);
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, row.name);
    if (!one_line) y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, row.under);
    if (bar) {
      share_bar(ui, axis, y + 3.0F, rival, form.own_apart);
      y += 6.4F;
    }
    y += ui.paragraph(r.x, y, r.w, bar ? Type::small : Type::small_bold, t.ink,
                      ui.width(Type::small, words) > r.w ? share_words(rival, true) : words);
    bottom = y;
  }
  if (rival.all.dead_on_arrival > 0 && !rival.often_dead)
    bottom += ui.paragraph(r.x, bottom, r.w, Type::small, t.muted,
                           say("{0} bad in the box", rival.all.dead_on_arrival));
  if (const std::string warning = warning_words(rival); !warning.empty())
    bottom += warning_line(ui, r.x, bottom, r.w, warning);
  if (!row.fits && !row.fit_words.empty())
    bottom += warning_line(ui, r.x, bottom, r.w, say("not for this car: {0}", row.fit_words));
  const float h = std::max({16.0F, ui.metrics().target(), bottom + 1.0F - r.y});
  if (here) ui.fill({r.x - 2.4F, r.y, 1.4F, h}, t.accent);
  ui.hline(r.x, r.y + h, r.w, 0.2F, t.rule);

  // The name leads to that number, the bar to the jobs behind it.
  const std::string id = std::to_string(index);
  const bool number = page.asked.by == quality::By::number;
  const float split = form.beside ? axis.x - 3 - r.x : r.w * 0.5F;
  if (number && !here && ui.target("rival:" + id, {r.x, r.y, split, h}))
    out.push_back({Do::open_part, row.name});
  const bool named = number || (page.asked.by == quality::By::lot && row.name.starts_with("lot "));
  if (named && rival.all.fitted + rival.all.dead_on_arrival > 0 &&
      ui.target("behind:" + id, {r.x + split, r.y, r.w - split, h})) {
    out.push_back({Do::part_records, number ? row.name : page.number().name + " " + row.name});
  }
  return h;
}

std::string title_of(const PartPage& page) {
  const long months = std::lround(page.standing.window_months);
  switch (page.asked.by) {
    case quality::By::lot:
      return say("By lot, came back in {0} months", months);
    case quality::By::grade:
      return say("By grade, came back in {0} months", months);
    case quality::By::number:
    case quality::By::brand:
      break;
  }
  return say("Came back in {0} months", months);
}

}  // namespace

ShareAxis axis_for(const std::vector<const quality::Rival*>& rivals) {
  double most = 0.05;
  for (const quality::Rival* rival : rivals) {
    if (has_bar(*rival)) most = std::max(most, rival->judged.share.high);
  }
  constexpr std::array<std::pair<double, double>, 8> kEnds = {{{0.05, 0.01},
                                                               {0.10, 0.02},
                                                               {0.20, 0.05},
                                                               {0.30, 0.10},
                                                               {0.40, 0.10},
                                                               {0.50, 0.10},
                                                               {0.80, 0.20},
                                                               {1.00, 0.20}}};
  ShareAxis axis;
  for (const auto& [end, step] : kEnds) {
    axis.most = end;
    axis.step = step;
    if (end >= most) break;
  }
  return axis;
}

bool has_bar(const quality::Rival& rival) { return rival.judged.window.of >= quality::kFewest; }

void share_bar(Ui& ui, const ShareAxis& axis, float y, const quality::Rival& rival,
               bool own_apart) {
  const Theme& t = ui.theme();
  const int steps = static_cast<int>(std::lround(axis.most / axis.step));
  for (int i = 0; i <= steps; ++i) ui.vline(axis.at(i * axis.step), y - 0.8F, 1.6F, 0.2F, t.muted);
  const float from = axis.at(rival.judged.share.low);
  const float to = axis.at(rival.judged.share.high);
  ui.hline(from, y, to - from, 1.0F, t.ink);
  ui.vline(from, y - 2.4F, 4.8F, 0.5F, t.ink);
  ui.vline(to, y - 2.4F, 4.8F, 0.5F, t.ink);
  const bool worse = rival.judged.verdict >= quality::Verdict::likely_worse;
  const float x = axis.at(share_of(rival.judged.window));
  if (worse) {
    ui.triangle(x + 2.4F, y, x - 1.8F, y - 2.4F, x - 1.8F, y + 2.4F, t.out_of_range);
  } else {
    ui.disc(x, y, 1.7F, t.accent);
  }
  const quality::Tally& own = rival.own;
  if (own_apart && own.fitted < rival.all.fitted && rival.own_window.of >= quality::kFewest) {
    ui.disc(axis.at(share_of(rival.own_window)), y, 1.3F, t.paper);
    ui.ring(axis.at(share_of(rival.own_window)), y, 1.5F, 0.5F, t.ink);
  }
}

std::string share_words(const quality::Rival& rival, bool brief) {
  const quality::Tally& all = rival.all;
  if (all.fitted == 0) return tr("none fitted yet");
  if (!has_bar(rival)) {
    // Many may be on the road and all of them young.
    if (all.fitted >= 2 * static_cast<int>(quality::kFewest))
      return say("{0} fitted, too young to judge", all.fitted);
    return say("{0} fitted: too few to judge", all.fitted);
  }
  const long hits = std::lround(rival.judged.window.hits);
  const std::string low = percent(rival.judged.share.low);
  const std::string high = percent(rival.judged.share.high);
  return brief ? say("{0} of {1}; {2} to {3} %", hits, all.fitted, low, high)
               : say("{0} of {1}; between {2} and {3} %", hits, all.fitted, low, high);
}

std::string warning_words(const quality::Rival& rival) {
  std::string words;
  if (rival.judged.verdict >= quality::Verdict::likely_worse) {
    words = quality::verdict_word(rival.judged.verdict);
    if (std::isinf(rival.judged.times)) {
      words += tr(": the others never did");
    } else {
      const double times = std::round(rival.judged.times * 10) / 10;
      // The word rests on whole lives, the share on the window alone.
      const std::string figure = in_figures(trade::authored_number(times));
      words = rival.judged.window.hits > 0
                  ? say("{0}: {1} times as often as the others", words, figure)
                  : say("{0}: {1} times as often as the others, later than that", words, figure);
    }
  }
  if (rival.often_dead) {
    words += (words.empty() ? "" : "; ") + std::to_string(rival.all.dead_on_arrival) +
             " bad in the box, more than of the others";
  }
  return words;
}

float warning_line(Ui& ui, float x, float y, float w, const std::string& words) {
  const Theme& t = ui.theme();
  const float mid = y + ui.capitals(Type::small) * 0.62F + 0.3F;
  ui.triangle(x + 3.4F, mid, x + 0.2F, mid - 1.8F, x + 0.2F, mid + 1.8F, t.out_of_range);
  return ui.paragraph(x + 5, y, w - 5, Type::small_bold, t.out_of_range, words) + 0.6F;
}

float against_line(Ui& ui, float x, float y, float w, const std::string& against) {
  ui.hatch({x, y + 0.6F, 4.2F, ui.pitch(Type::small)}, 1.6F, 0.4F, ui.theme().ink);
  return ui.paragraph(x + 5.6F, y, w - 5.6F, Type::small_bold, ui.theme().ink,
                      say("{0}: for the lead to settle", against)) +
         0.6F;
}

float draw_rivals(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PartPage& page = *state.part;
  float y = r.y;
  const bool own_apart = page.elsewhere > 0;
  const std::string title = title_of(page);
  const std::string legend =
      own_apart ? tr("bar: 9 in 10 sure; ring: here") : tr("bar: 9 in 10 sure");
  const float cap = ui.capitals(Type::small);
  if (ui.width(Type::small_bold, title) + ui.width(Type::small, legend) + 3 <= r.w) {
    ui.text(r.x, y + cap + 1, Type::small_bold, t.ink, title);
    ui.text(r.right(), y + cap + 1, Type::small, t.muted, legend, Align::right);
    y += ui.pitch(Type::small) + 1;
  } else {
    y += ui.paragraph(r.x, y + 0.6F, r.w, Type::small_bold, t.ink, title);
    // Where every line counts the legend is left to the larger panels.
    if (r.h > 70) y += ui.paragraph(r.x, y + 0.6F, r.w, Type::small, t.muted, legend);
    y += 1.2F;
  }
  if (page.rows.empty()) {
    y += ui.paragraph(r.x, y + 2, r.w, Type::text, t.ink,
                      page.asked.by == quality::By::lot ? tr("No job names a lot of this number.")
                                                        : tr("None of them was fitted yet.")) +
         2;
    return y - r.y;
  }
  std::vector<const quality::Rival*> rivals;
  bool any_bar = false;
  for (const RivalRow& row : page.rows) {
    rivals.push_back(&row.rival);
    any_bar |= has_bar(row.rival);
  }
  RowForm form{r.w >= 95, 0, own_apart};
  form.name_w = r.w * 0.43F;
  ShareAxis axis = axis_for(rivals);
  // The largest label must not leave the column.
  const float edge = ui.width(Type::small, "100") / 2;
  axis.x = form.beside ? r.x + r.w * 0.45F : r.x + 10;
  axis.w = r.right() - edge - 1 - axis.x;
  if (any_bar) y += draw_axis(ui, axis, y);
  ui.hline(r.x, y, r.w, 0.2F, t.ink);
  for (std::size_t i = 0; i < page.rows.size(); ++i)
    y += draw_row(ui, {r.x, y, r.w, 0}, axis, state, i, form, out);
  return y - r.y;
}

}  // namespace baylore::viewer
