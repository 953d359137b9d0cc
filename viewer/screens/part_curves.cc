// How long they last: the share still in service over months or distance (Kaplan-Meier), as steps.
// The number in the hand is the thick line with its interval; each rival has a dash of its own and
// its name at its end, so that no colour is needed. A tap leads to the jobs behind the nearest
// line.
#include <algorithm>
#include <array>
#include <cmath>

#include "viewer/screens/part_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr std::size_t kMostLines = 4;

struct Line {
  const RivalRow* row = nullptr;
  const quality::Curve* curve = nullptr;
  std::size_t dash = 0;  // 0: the number in the hand
  float end_y = 0;       // of its last point
  float label_y = 0;
};

// On and off in mm, by line; the first is drawn through.
constexpr std::array<std::pair<float, float>, kMostLines> kDashes = {
    {{0, 0}, {4, 1.4F}, {1.6F, 1.4F}, {0.7F, 1.2F}}};

void dashed(Ui& ui, bool level, float x, float y, float length, std::size_t dash, float thick,
            Colour colour) {
  const auto [on, off] = kDashes[dash];
  if (on <= 0) {
    if (level) {
      ui.hline(x, y, length, thick, colour);
    } else {
      ui.vline(x, y, length, thick, colour);
    }
    return;
  }
  for (float at = 0; at < length; at += on + off) {
    const float piece = std::min(on, length - at);
    if (level) {
      ui.hline(x + at, y, piece, thick, colour);
    } else {
      ui.vline(x, y + at, piece, thick, colour);
    }
  }
}

struct Plot {
  Rect area;
  double most = 36;  // at the right end, in the unit of the curves
  double floor = 0;  // the share at the foot
  [[nodiscard]] float x(double time) const {
    return area.x + area.w * static_cast<float>(std::clamp(time / most, 0.0, 1.0));
  }
  [[nodiscard]] float y(double share) const {
    return area.y +
           area.h * static_cast<float>((1 - std::max(share, floor)) / std::max(1e-9, 1 - floor));
  }
};

double nice_step(double range, int most_steps) {
  const double rough = range / most_steps;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0, 10.0}) {
    if (rough <= factor * power * (1 + 1e-9)) return factor * power;
  }
  return 10 * power;
}

std::vector<Line> lines_of(const PartPage& page, bool distance) {
  std::vector<Line> lines;
  for (const RivalRow& row : page.rows) {
    const quality::Curve& curve = distance ? row.rival.km : row.rival.months;
    // Under five, a staircase says more of chance than of the part.
    if (curve.count < quality::kFewest || lines.size() == kMostLines) continue;
    Line line;
    line.row = &row;
    line.curve = &curve;
    line.dash = row.rival.place == page.place ? 0 : std::max<std::size_t>(1, lines.size());
    lines.push_back(line);
  }
  // Without the number in the hand the dashes begin at 1 all the same.
  if (!lines.empty() && lines.front().dash != 0) {
    for (std::size_t i = 0; i < lines.size(); ++i) lines[i].dash = std::min(i + 1, kMostLines - 1);
    if (lines.size() == kMostLines) lines.pop_back();
  }
  return lines;
}

Plot plot_for(const std::vector<Line>& lines, Rect area, bool distance) {
  Plot plot;
  plot.area = area;
  double longest = distance ? 20000 : 12;
  double lowest = 1;
  for (const Line& line : lines) {
    longest = std::max(longest, line.curve->longest);
    if (!line.curve->steps.empty()) lowest = std::min(lowest, line.curve->steps.back().survival);
  }
  const double step = distance ? nice_step(longest, 4) : (longest > 24 ? 12 : 6);
  plot.most = std::ceil(longest / step - 0.05) * step;
  plot.floor = std::clamp(std::floor((lowest - 0.03) * 10) / 10, 0.0, 0.9);
  return plot;
}

void draw_axes(Ui& ui, const Plot& plot, bool distance, double window) {
  const Theme& t = ui.theme();
  const Rect& a = plot.area;
  const float cap = ui.capitals(Type::small);
  const double share_step = nice_step(1 - plot.floor, 4);
  for (double share = 1; share > plot.floor - 1e-9; share -= share_step) {
    ui.hline(a.x, plot.y(share), a.w, 0.2F, t.rule);
    ui.text(a.x - 1.5F, plot.y(share) + cap / 2, Type::small, t.ink,
            std::to_string(std::lround(share * 100)), Align::right);
  }
  ui.hline(a.x, a.bottom(), a.w, 0.35F, t.ink);
  ui.vline(a.x, a.y, a.h, 0.35F, t.ink);
  const double step = distance ? nice_step(plot.most, 4) : (plot.most > 24 ? 12 : 6);
  float last = -100;
  for (double at = 0; at <= plot.most + 1e-9; at += step) {
    const std::string words = std::to_string(std::lround(distance ? at / 1000 : at));
    const float half = ui.width(Type::small, words) / 2;
    ui.vline(plot.x(at), a.bottom() + 0.9F, 1.8F, 0.3F, t.ink);
    if (plot.x(at) - half < last + 1.5F) continue;
    ui.text(plot.x(at), a.bottom() + 2.6F + cap, Type::small, t.ink, words, Align::centre);
    last = plot.x(at) + half;
  }
  if (!distance && window < plot.most)
    dashed(ui, false, plot.x(window), a.y, a.h, 3, 0.3F, t.muted);
}

void draw_steps(Ui& ui, const Plot& plot, Line& line) {
  const Theme& t = ui.theme();
  const bool chosen = line.dash == 0;
  const float thick = chosen ? 0.9F : 0.45F;
  const Colour colour = chosen ? t.accent : t.ink;
  double time = 0;
  double share = 1;
  for (const quality::Step& step : line.curve->steps) {
    dashed(ui, true, plot.x(time), plot.y(share), plot.x(step.time) - plot.x(time), line.dash,
           thick, colour);
    dashed(ui, false, plot.x(step.time), plot.y(share), plot.y(step.survival) - plot.y(share),
           line.dash, thick, colour);
    // Where one came back: a point that can be asked about.
    if (chosen) ui.disc(plot.x(step.time), plot.y(step.survival), 1.0F, colour);
    time = step.time;
    share = step.survival;
  }
  const double end = std::min(line.curve->longest, plot.most);
  dashed(ui, true, plot.x(time), plot.y(share), plot.x(end) - plot.x(time), line.dash, thick,
         colour);
  line.end_y = plot.y(share);
}

// The interval of the chosen line, where the window ends or where it ends itself.
void draw_band(Ui& ui, const Plot& plot, const Line& line, double at) {
  const Theme& t = ui.theme();
  const double time = std::min(at, line.curve->longest);
  const quality::Step* step = line.curve->step_at(time);
  if (step == nullptr) return;
  const quality::Interval band =
      quality::band(*step, quality::Band::log_log, quality::kScreenConfidence);
  if (std::isnan(band.low) || std::isnan(band.high)) return;
  const float x = plot.x(time);
  const float top = plot.y(band.high);
  const float foot = plot.y(band.low);
  ui.vline(x, top, foot - top, 0.6F, t.accent);
  ui.hline(x - 1.6F, top, 3.2F, 0.5F, t.accent);
  ui.hline(x - 1.6F, foot, 3.2F, 0.5F, t.accent);
}

// The nearest line to a tap, and the jobs behind it.
void answer_tap(Ui& ui, const Plot& plot, const std::vector<Line>& lines, Actions& out) {
  float tx = 0;
  float ty = 0;
  if (!ui.take_tap(plot.area, tx, ty)) return;
  const double time = plot.most * static_cast<double>((tx - plot.area.x) / plot.area.w);
  const Line* nearest = nullptr;
  float least = 1e9F;
  for (const Line& line : lines) {
    const quality::Step* step = line.curve->step_at(time);
    const float away = std::abs(plot.y(step == nullptr ? 1 : step->survival) - ty);
    if (away < least) {
      least = away;
      nearest = &line;
    }
  }
  if (nearest != nullptr) out.push_back({Do::part_records, nearest->row->name});
}

std::string end_words(const Line& line, bool distance, double window) {
  const auto share = line.curve->at(distance ? line.curve->longest : window);
  if (!distance && share)
    return say("{0} fitted, {1} came back; {2} % after {3} months", line.curve->count,
               line.curve->failed, std::lround(100 * *share), std::lround(window));
  return say("{0} fitted, {1} came back", line.curve->count, line.curve->failed);
}

}  // namespace

float draw_curves(Ui& ui, Rect r, const State& state, bool distance, Actions& out) {
  const Theme& t = ui.theme();
  const PartPage& page = *state.part;
  float y = r.y;
  const float cap = ui.capitals(Type::small);
  const float pitch = ui.pitch(Type::small);
  y += ui.paragraph(r.x, y + 0.4F, r.w, Type::small_bold, t.ink,
                    distance ? tr("% still in service, by thousand km")
                             : tr("% still in service, by months")) +
       1.6F;
  std::vector<Line> lines = lines_of(page, distance);
  if (lines.empty()) {
    y += ui.paragraph(r.x, y, r.w, Type::text, t.ink,
                      distance
                          ? tr("Fewer than five of any number have a known distance.")
                          : tr("Fewer than five of any number were fitted: too few for a line."));
    return y - r.y;
  }
  // Low enough that the names under it are in view.
  const float height = std::clamp(r.w * 0.38F, 34.0F, 62.0F);
  Plot plot = plot_for(lines, {r.x + 9, y + cap / 2, r.w - 12, height}, distance);
  draw_axes(ui, plot, distance, page.standing.window_months);
  for (auto line = lines.rbegin(); line != lines.rend(); ++line) draw_steps(ui, plot, *line);
  if (lines.front().dash == 0)
    draw_band(ui, plot, lines.front(), distance ? plot.most : page.standing.window_months);
  answer_tap(ui, plot, lines, out);
  y = plot.area.bottom() + 4 + pitch;
  // The lines by name, each behind a piece of its own dash.
  for (const Line& line : lines) {
    const float mid = y + cap * 0.62F + 0.2F;
    dashed(ui, true, r.x, mid, 9, line.dash, line.dash == 0 ? 0.9F : 0.45F,
           line.dash == 0 ? t.accent : t.ink);
    y += ui.paragraph(
             r.x + 11, y, r.w - 11, Type::small, t.ink,
             std::vector<Run>{{line.row->name + "  ", true},
                              {end_words(line, distance, page.standing.window_months), false}}) +
         0.8F;
    if (!distance && line.dash == 0)
      y += ui.paragraph(r.x + 11, y, r.w - 11, Type::small, t.muted,
                        quality::in_words(line.row->rival.wear)) +
           1.2F;
  }
  if (lines.front().dash == 0)
    y += ui.paragraph(
        r.x, y, r.w, Type::small, t.muted,
        tr("The bar at the line's side: 9 in 10 sure. Tap a line for the jobs behind it."));
  return y - r.y;
}

}  // namespace baylore::viewer
