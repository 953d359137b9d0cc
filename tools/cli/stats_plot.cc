#include "stats_plot.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "canvas.h"

namespace baylore::cli {
namespace {

using quality::Rival;
using quality::Standing;

constexpr double kWidth = 960;
constexpr double kTop = 60;
constexpr double kRow = 34;
constexpr double kFoot = 46;
constexpr double kNames = 262;  // where the bars begin
constexpr double kBarsEnd = 505;
constexpr double kCurves = 560;
constexpr double kCurvesEnd = 910;
constexpr std::size_t kMostRivals = 12;

// Dark enough on white, and never the only difference.
constexpr std::array<std::string_view, 4> kColours = {"#1a1a1a", "#1f4e9c", "#a3341e", "#3b6b2f"};
const std::array<std::vector<double>, 4> kDashes = {{{}, {7, 4}, {2, 3}, {10, 3, 2, 3}}};

Pen pen_of(std::size_t i) {
  return {1.8, kDashes[(i / kColours.size() + i) % kDashes.size()], kColours[i % kColours.size()]};
}

std::string letter(std::size_t i) { return std::string(1, static_cast<char>('A' + i)); }

// A round number at or above, of which a few make a scale.
double round_up(double value) {
  const double power = std::pow(10, std::floor(std::log10(value)));
  for (const double step : {1.0, 2.0, 5.0, 10.0}) {
    if (step * power >= value) return step * power;
  }
  return 10 * power;
}

void draw_bars(Canvas& canvas, const Standing& standing, std::size_t count, double bottom) {
  double most = 0.02;
  for (std::size_t i = 0; i < count; ++i) {
    if (standing.rivals[i].judged.verdict != quality::Verdict::too_few)
      most = std::max(most, standing.rivals[i].judged.share.high);
  }
  most = std::min(1.0, round_up(most));
  const auto at = [&](double share) {
    return kNames + (kBarsEnd - kNames) * std::min(share, most) / most;
  };
  for (int tick = 0; tick <= 4; ++tick) {
    const double share = most * tick / 4;
    canvas.line({{at(share), kTop - 6}, {at(share), bottom}}, {0.5, {}, "#9a9a9a"});
    canvas.words(at(share), bottom + 16, fmt::format("{:g} %", 100 * share), 11, Anchor::middle);
  }
  canvas.words((kNames + kBarsEnd) / 2, bottom + 34,
               fmt::format("come back within {:g} months, 9 in 10 sure", standing.window_months),
               11, Anchor::middle);
  for (std::size_t i = 0; i < count; ++i) {
    const Rival& rival = standing.rivals[i];
    const double y = kTop + kRow * (static_cast<double>(i) + 0.5);
    canvas.words(14, y, letter(i) + "  " + rival.name, 13, Anchor::start);
    canvas.words(30, y + 13,
                 fmt::format("{} fitted, {} failed: {}", rival.all.fitted, rival.all.failed,
                             quality::verdict_word(rival.judged.verdict)),
                 10, Anchor::start);
    if (rival.judged.verdict == quality::Verdict::too_few) continue;
    const double low = at(rival.judged.share.low);
    const double high = at(rival.judged.share.high);
    const double bar = y + 1;
    canvas.line({{low, bar}, {high, bar}}, {2, {}, "#1a1a1a"});
    for (const double end : {low, high})
      canvas.line({{end, bar - 6}, {end, bar + 6}}, {2, {}, "#1a1a1a"});
    canvas.box(at(rival.judged.mean) - 3.5, bar - 3.5, 7, 7, "#1a1a1a");
  }
}

void draw_curves(Canvas& canvas, const Standing& standing, std::size_t count, double bottom) {
  double longest = 6;
  double lowest = 0.9;
  for (std::size_t i = 0; i < count; ++i) {
    const quality::Curve& curve = standing.rivals[i].months;
    longest = std::max(longest, curve.longest);
    if (!curve.steps.empty()) lowest = std::min(lowest, curve.steps.back().survival);
  }
  longest = 12 * std::ceil(longest / 12);
  lowest = std::floor(lowest * 10) / 10;
  const auto x_at = [&](double months) {
    return kCurves + (kCurvesEnd - kCurves) * months / longest;
  };
  const auto y_at = [&](double share) {
    return bottom - (bottom - kTop) * (share - lowest) / (1 - lowest);
  };
  for (double months = 0; months <= longest; months += longest > 48 ? 12 : 6) {
    canvas.line({{x_at(months), kTop}, {x_at(months), bottom}}, {0.5, {}, "#c0c0c0"});
    canvas.words(x_at(months), bottom + 16, fmt::format("{:g}", months), 11, Anchor::middle);
  }
  for (int tick = 0; tick <= 5; ++tick) {
    const double share = lowest + (1 - lowest) * tick / 5;
    canvas.line({{kCurves, y_at(share)}, {kCurvesEnd, y_at(share)}}, {0.5, {}, "#c0c0c0"});
    canvas.words(kCurves - 6, y_at(share) + 4, fmt::format("{:.0f} %", 100 * share), 11,
                 Anchor::end);
  }
  canvas.words((kCurves + kCurvesEnd) / 2, bottom + 34, "still in service, by months", 11,
               Anchor::middle);
  std::vector<double> taken;  // heights of letters
  for (std::size_t i = 0; i < count; ++i) {
    const Rival& rival = standing.rivals[i];
    if (rival.judged.verdict == quality::Verdict::too_few) continue;
    std::vector<Canvas::Point> points = {{x_at(0), y_at(1)}};
    for (const quality::Step& step : rival.months.steps) {
      points.emplace_back(x_at(step.time), points.back().second);
      points.emplace_back(x_at(step.time), y_at(step.survival));
    }
    points.emplace_back(x_at(rival.months.longest), points.back().second);
    canvas.line(points, pen_of(i));
    double height = points.back().second + 4;
    while (std::any_of(taken.begin(), taken.end(),
                       [&](double other) { return std::fabs(other - height) < 11; })) {
      height += 11;
    }
    taken.push_back(height);
    canvas.words(kCurvesEnd + 8, height, letter(i), 13, Anchor::start);
    canvas.line({{kCurvesEnd + 20, height - 4}, {kWidth - 6, height - 4}}, pen_of(i));
  }
}

}  // namespace

files::Result<void> plot_standing(const std::string& path, const std::string& title,
                                  const Standing& standing) {
  const std::size_t count = std::min(standing.rivals.size(), kMostRivals);
  const double bottom = kTop + kRow * std::max<double>(static_cast<double>(count), 6);
  const auto canvas = make_canvas(path, kWidth, bottom + kFoot);
  if (!canvas) {
    return files::Failure{files::Failure::Kind::other, path, "is neither .svg nor .png",
                          "name the picture so"};
  }
  canvas->words(14, 26, title, 17, Anchor::start);
  if (standing.rivals.size() > count) {
    canvas->words(14, 44, fmt::format("the {} most fitted of {}", count, standing.rivals.size()),
                  11, Anchor::start);
  }
  draw_bars(*canvas, standing, count, bottom);
  draw_curves(*canvas, standing, count, bottom);
  return canvas->save(path);
}

}  // namespace baylore::cli
