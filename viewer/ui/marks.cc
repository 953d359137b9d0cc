#include "viewer/ui/marks.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "viewer/ui/label.h"

namespace baylore::viewer {

bool tick_cell(Ui& ui, std::string_view id, Rect cell, bool done) {
  const Theme& t = ui.theme();
  const bool tapped = ui.target(id, cell);
  if (done) {
    ui.fill(cell, t.accent);
    ui.hook(cell, t.on_accent);
  } else {
    if (ui.pressed(cell)) ui.fill(cell, t.face);
    ui.frame(cell, 0.4F, t.ink);
  }
  return tapped;
}

bool key(Ui& ui, std::string_view id, Rect rect, std::string_view label, Type type, bool chosen) {
  const Theme& t = ui.theme();
  const bool tapped = ui.target(id, rect);
  ui.fill(rect, chosen ? t.accent : ui.pressed(rect) ? t.paper : t.face);
  if (!chosen) ui.hline(rect.x, rect.bottom() - 0.17F, rect.w, 0.35F, t.ink);
  label_in(ui, rect, type, chosen ? t.on_accent : t.ink, label);
  return tapped;
}

void label_in(Ui& ui, Rect rect, Type type, Colour colour, std::string_view label) {
  const float room = rect.w - 1;
  const float x = rect.x + rect.w / 2;
  const float mid = rect.y + rect.h / 2;
  for (const Type one : {type, Type::small_bold}) {
    if (ui.width(one, label) > room) continue;
    ui.text(x, mid + ui.capitals(one) / 2, one, colour, label, Align::centre);
    return;
  }
  constexpr float kLines = 1.5F;  // from one baseline to the next, in capitals
  const Type small = Type::small_bold;
  const float cap = ui.capitals(small);
  for (std::size_t at = label.find(' ');
       at != std::string_view::npos && cap * (kLines + 1.3F) <= rect.h;
       at = label.find(' ', at + 1)) {
    const std::string_view first = label.substr(0, at);
    const std::string_view second = label.substr(at + 1);
    if (ui.width(small, first) > room || ui.width(small, second) > room) continue;
    const float base = mid + cap * (1 - kLines) / 2;
    ui.text(x, base, small, colour, first, Align::centre);
    ui.text(x, base + cap * kLines, small, colour, second, Align::centre);
    return;
  }
  ui.text_in(x, mid + cap / 2, room, small, colour, label, Align::centre);
}

void range_scale(Ui& ui, float x, float y, float w, const trade::Expectation& expectation,
                 const trade::Verdict* verdict) {
  const auto scale = trade::scale_for(expectation);
  if (!scale) return;
  const Theme& t = ui.theme();
  const auto at = [&](double value) {
    return x + w * static_cast<float>((value - scale->low) / (scale->high - scale->low));
  };
  ui.hline(x, y, w, 0.3F, t.ink);
  // Counting, not adding steps up: rounding must not lose the last tick.
  const int minors = static_cast<int>(std::lround((scale->high - scale->low) / scale->minor_step));
  for (int i = 0; i <= minors && minors <= 200; ++i)
    ui.vline(at(scale->low + i * scale->minor_step), y, 1.6F, 0.2F, t.ink);
  // Labels are thinned where they would run into each other.
  float last = -100;
  for (const trade::ScaleLabel& label : scale->labels) {
    ui.vline(at(label.at), y, 3.0F, 0.3F, t.ink);
    const float half = ui.width(Type::small, label.text) / 2;
    const float centre = std::clamp(at(label.at), std::min(x - 1 + half, x + w / 2),
                                    std::max(x + w + 4 - half, x + w / 2));
    if (centre - half < last + 1.0F) continue;
    ui.text(centre, y + 4.3F + ui.capitals(Type::small), Type::small, t.ink, label.text,
            Align::centre);
    last = centre + half;
  }
  const float from = expectation.low ? at(*expectation.low) : x;
  const float to = expectation.high ? at(*expectation.high) : x + w;
  ui.hline(from, y, to - from, 1.1F, t.accent);
  const auto bracket = [&](float bx, float lip) {
    ui.vline(bx, y - 5.0F, 8.1F, 0.9F, t.accent);
    ui.hline(lip > 0 ? bx : bx + lip, y - 4.6F, 2.4F, 0.9F, t.accent);
    ui.hline(lip > 0 ? bx : bx + lip, y + 2.7F, 2.4F, 0.9F, t.accent);
  };
  if (expectation.low) bracket(from, 2.4F);
  if (expectation.high) bracket(to, -2.4F);
  if (verdict == nullptr) return;
  const float vx = std::clamp(at(verdict->reading), x, x + w);
  switch (verdict->standing) {
    case trade::Standing::kInRange:
      ui.disc(vx, y, 2.6F, t.accent);
      break;
    case trade::Standing::kLow:
      ui.triangle(vx - 3.0F, y, vx + 3.0F, y - 3.2F, vx + 3.0F, y + 3.2F, t.out_of_range);
      break;
    case trade::Standing::kHigh:
      ui.triangle(vx + 3.0F, y, vx - 3.0F, y - 3.2F, vx - 3.0F, y + 3.2F, t.out_of_range);
      break;
    case trade::Standing::kOnTheEdge:
      ui.disc(vx, y, 2.6F, t.paper);
      ui.ring(vx, y, 2.6F, 0.8F, t.ink);
      break;
  }
}

void standing_mark(Ui& ui, float x, float y, float s, const job::Judged& judged) {
  const Theme& t = ui.theme();
  using Kind = job::Judged::Kind;
  switch (judged.kind) {
    case Kind::judged:
      switch (judged.verdict->standing) {
        case trade::Standing::kInRange:
          ui.disc(x, y, s * 0.7F, t.accent);
          break;
        case trade::Standing::kLow:
          ui.triangle(x - s, y, x + s, y - s * 1.1F, x + s, y + s * 1.1F, t.out_of_range);
          break;
        case trade::Standing::kHigh:
          ui.triangle(x + s, y, x - s, y - s * 1.1F, x - s, y + s * 1.1F, t.out_of_range);
          break;
        case trade::Standing::kOnTheEdge:
          ui.ring(x, y, s * 0.8F, 0.8F, t.ink);
          break;
      }
      break;
    case Kind::yes:
      ui.disc(x, y, s * 0.7F, t.accent);
      break;
    case Kind::no:
      cross(ui, x, y, s * 0.7F, t.out_of_range);
      break;
    case Kind::not_showing:
      ui.hline(x - s * 0.8F, y, s * 1.6F, 0.6F, t.ink);
      break;
    case Kind::could_not:
      cross(ui, x, y, s * 0.7F, t.ink);
      break;
    case Kind::none:
    case Kind::not_read:
      break;
  }
}

void fit_mark(Ui& ui, float x, float y, const search::FitResult& fit, float word_x, float word_w) {
  const Theme& t = ui.theme();
  using Verdict = search::FitVerdict;
  const bool fits = fit.verdict == Verdict::fits || fit.verdict == Verdict::fits_all;
  const Colour colour = fits ? t.accent : fit.verdict == Verdict::no_vehicle ? t.ink : t.muted;
  constexpr float kWide = 20;
  ui.hline(x - 3.5F, y, kWide + 7, 0.2F, t.rule);
  ui.hline(x, y, kWide, 0.7F, colour);
  for (const float side : {0.0F, 1.0F}) {
    const float bx = x + side * kWide;
    ui.vline(bx, y - 2.5F, 5.0F, 0.7F, colour);
    for (const float lip : {-2.2F, 2.2F})
      ui.hline(side == 0 ? bx : bx - 1.7F, y + lip, 1.7F, 0.7F, colour);
  }
  if (fits) {
    float place = 0.5F;
    if (fit.year > 0 && fit.last_year > fit.first_year && fit.first_year > 0) {
      place = std::clamp((static_cast<float>(fit.year - fit.first_year) + 0.5F) /
                             static_cast<float>(fit.last_year - fit.first_year + 1),
                         0.0F, 1.0F);
    }
    ui.disc(x + place * kWide, y, 1.7F, t.accent);
  } else if (fit.verdict == Verdict::other_year) {
    const bool after = fit.last_year > 0 && fit.year > fit.last_year;
    const float tip = after ? x + kWide + 5.0F : x - 5.0F;
    const float base = after ? x + kWide + 1.6F : x - 1.6F;
    ui.triangle(tip, y, base, y - 1.8F, base, y + 1.8F, t.out_of_range);
  } else if (fit.verdict != Verdict::no_vehicle) {
    cross(ui, x + kWide / 2, y, 2.2F, t.out_of_range);
  }
  ui.text_in(word_x, y + ui.capitals(Type::small_bold) / 2, word_w, Type::small_bold, t.ink,
             fit.words);
}

void fit_dot(Ui& ui, float x, float baseline, float w, const search::FitResult& fit,
             std::string_view also) {
  const Theme& t = ui.theme();
  using Verdict = search::FitVerdict;
  const float y = baseline - ui.capitals(Type::small) / 2;
  if (fit.verdict == Verdict::fits || fit.verdict == Verdict::fits_all) {
    ui.disc(x + 1.7F, y, 1.7F, t.accent);
  } else if (fit.verdict == Verdict::no_vehicle) {
    ui.ring(x + 1.7F, y, 1.7F, 0.5F, t.ink);
  } else if (fit.verdict == Verdict::other_year) {
    const bool after = fit.last_year > 0 && fit.year > fit.last_year;
    const float sign = after ? 1.0F : -1.0F;
    ui.triangle(x + 1.7F + sign * 1.8F, y, x + 1.7F - sign * 1.6F, y - 1.8F, x + 1.7F - sign * 1.6F,
                y + 1.8F, t.out_of_range);
  } else {
    cross(ui, x + 1.7F, y, 1.6F, t.out_of_range);
  }
  std::string words = fit.words;
  if (!also.empty()) words += (words.empty() ? "" : ", ") + std::string(also);
  ui.text_in(x + 5.3F, baseline, w - 5.3F, Type::small, t.muted, words);
}

void caution_sign(Ui& ui, float x, float y, float size, Colour sign, Colour stroke) {
  const float h = size * 0.87F;
  ui.triangle(x + size / 2, y, x + size, y + h, x, y + h, sign);
  ui.vline(x + size / 2, y + h * 0.34F, h * 0.34F, size * 0.11F, stroke);
  ui.disc(x + size / 2, y + h * 0.83F, size * 0.065F, stroke);
}

void cross(Ui& ui, float x, float y, float size, Colour colour) {
  ui.line(x - size, y - size, x + size, y + size, 0.6F, colour);
  ui.line(x - size, y + size, x + size, y - size, 0.6F, colour);
}

namespace {

constexpr float kFindingIndent = 6.5F;

std::vector<Run> finding_runs(const shop::Finding& finding, std::string_view place) {
  std::vector<Run> runs;
  runs.push_back({std::string(place) + (place.empty() ? "" : ": "), true});
  runs.push_back({finding.message + ".", true});
  if (!finding.remedy.empty()) {
    std::string remedy = " " + finding.remedy + ".";
    remedy[1] = static_cast<char>(std::toupper(static_cast<unsigned char>(remedy[1])));
    runs.push_back({std::move(remedy), false});
  }
  return runs;
}

}  // namespace

float finding_block(Ui& ui, float x, float y, float w, const shop::Finding& finding,
                    std::string_view place, int lines) {
  const Theme& t = ui.theme();
  switch (finding.level) {
    case shop::Level::error:
      cross(ui, x + 2.2F, y + 2.4F, 1.9F, t.out_of_range);
      break;
    case shop::Level::warning:
      caution_sign(ui, x, y + 0.3F, 4.6F, t.out_of_range, t.paper);
      break;
    case shop::Level::note:
      ui.hline(x + 0.4F, y + 2.4F, 3.8F, 0.6F, t.ink);
      break;
  }
  return ui.paragraph(x + kFindingIndent, y, w - kFindingIndent, Type::small, t.ink,
                      finding_runs(finding, place), lines);
}

}  // namespace baylore::viewer
