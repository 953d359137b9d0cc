// What the choice really costs: the price, and what a comeback inside the window costs as often as
// it comes. Never for what somebody's safety hangs on.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/screens/part_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string money(double amount) {
  return in_figures(amount >= 100 ? fmt::format("{:.0f}", amount) : fmt::format("{:.2f}", amount));
}

struct MoneyAxis {
  float x;
  float w;
  double most;
  [[nodiscard]] float at(double amount) const {
    return x + w * static_cast<float>(std::clamp(amount / most, 0.0, 1.0));
  }
};

// Price as a filled bar, comebacks as a hatched piece on top, the interval as stops.
void cost_bar(Ui& ui, const MoneyAxis& axis, float y, const RivalRow& row) {
  const Theme& t = ui.theme();
  constexpr float kHigh = 3.6F;
  const float price = axis.at(row.choice->price);
  const float mean = axis.at(row.cost.mean);
  ui.fill({axis.x, y, price - axis.x, kHigh}, t.ink);
  if (mean - price > 0.3F) {
    ui.push_clip({price, y, mean - price, kHigh});
    ui.hatch({price, y, mean - price, kHigh}, 1.3F, 0.4F, t.ink);
    ui.pop_clip();
    ui.frame({price, y, mean - price, kHigh}, 0.3F, t.ink);
  }
  const float low = axis.at(row.cost.interval.low);
  const float high = axis.at(row.cost.interval.high);
  const float mid = y + kHigh / 2;
  ui.hline(mean, mid, std::max(0.0F, high - mean), 0.5F, t.accent);
  ui.vline(low, y - 0.6F, kHigh + 1.2F, 0.5F, t.accent);
  ui.vline(high, y - 0.6F, kHigh + 1.2F, 0.5F, t.accent);
}

// Of a rival of the number in the hand: from when on it is the cheaper one.
std::string against_shown(const PartPage& page, const RivalRow& row) {
  const RivalRow& shown = page.rows.front();
  if (!shown.choice || !row.choice || &shown == &row) return {};
  const std::string& name = page.number().number;
  const double more = row.shown_costs_more;
  std::string words;
  if (more >= 0.9) {
    words = say("9 in 10 sure that it is cheaper than {0}", name);
  } else if (more <= 0.1) {
    words = say("9 in 10 sure that it costs more than {0}", name);
  } else {
    words = say("no clear difference to {0}", name);
  }
  if (row.break_even) {
    words = say("{0}; cheaper from {1} % comebacks of {2} on", words,
                std::lround(100 * *row.break_even), name);
  }
  return words;
}

}  // namespace

float draw_costs(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PartPage& page = *state.part;
  float y = r.y + 0.4F;
  if (page.family.safety_critical) {
    y += ui.paragraph(
             r.x, y, r.w, Type::text, t.ink,
             tr("No cost is worked out for a part that somebody's safety hangs on. Choose on "
                "grade and the maker's word. What failed is shown below all the same.")) +
         2;
    return y - r.y + draw_rivals(ui, {r.x, y, r.w, r.h}, state, out);
  }
  const auto priced = std::find_if(page.rows.begin(), page.rows.end(),
                                   [](const RivalRow& row) { return row.choice.has_value(); });
  if (priced == page.rows.end()) {
    y += ui.paragraph(r.x, y, r.w, Type::text, t.ink,
                      say("No number of this family has a price: the lead writes it into {0}.",
                          page.family.path));
    return y - r.y;
  }
  y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink,
                    tr("Price, and comebacks as often as they come"));
  y += ui.paragraph(
           r.x, y, r.w, Type::small, t.muted,
           say("labour of a comeback {0}, goodwill {1}; hatched: comebacks; stops: "
               "9 in 10 sure",
               money(priced->choice->comeback.labour), money(priced->choice->comeback.goodwill))) +
       1.4F;
  ui.hline(r.x, y, r.w, 0.2F, t.ink);
  double most = 0;
  for (const RivalRow& row : page.rows) {
    if (row.choice) most = std::max(most, row.cost.interval.high);
  }
  const MoneyAxis axis{r.x, r.w, most * 1.02};
  for (const RivalRow& row : page.rows) {
    const bool here = row.rival.place == page.place;
    const float from = y;
    y += 1.2F;
    const std::string sum = row.choice ? money(row.cost.mean) : tr("no price");
    const float sw = ui.text(r.right(), y + ui.capitals(Type::text_bold), Type::text_bold, t.ink,
                             sum, Align::right);
    y += ui.paragraph(r.x, y, r.w - sw - 3, Type::text_bold, t.ink, row.name);
    if (row.choice) {
      cost_bar(ui, axis, y + 0.4F, row);
      y += 5.4F;
      y += ui.paragraph(r.x, y, r.w, Type::small, t.ink,
                        say("{0} + {1}; between {2} and {3}", money(row.choice->price),
                            money(row.cost.mean - row.choice->price), money(row.cost.interval.low),
                            money(row.cost.interval.high)));
      if (const std::string words = against_shown(page, row); !words.empty())
        y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, words);
    }
    y += 1;
    if (here) ui.fill({r.x - 2.4F, from, 1.4F, y - from}, t.accent);
    ui.hline(r.x, y, r.w, 0.2F, t.rule);
  }
  return y - r.y;
}

}  // namespace baylore::viewer
