// What stands around every screen: layout, job tag, heading, rule, strip.
#include <algorithm>
#include <cmath>

#include "viewer/screens/screens.h"
#include "viewer/ui/label.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr float kEdge = 3.2F;  // right margin

// Keyboard heights leave two result rows in view.
float keyboard_height(const Metrics& m, Form form) {
  switch (form) {
    case Form::phone:
      // Four rows of keys where there are ten columns; less than 9 mm high none of them may be.
      if (m.low()) return std::clamp(m.height() * 0.4F, m.finger(43), m.finger(62));
      return std::min(m.height() * 0.53F, 74.5F);
    case Form::small:
      return 60;
    case Form::tall:
      return 74;
    case Form::wide:
      break;
  }
  return 72;
}

}  // namespace

Layout layout_for(const Metrics& m, bool keyboard) {
  Layout at;
  at.form = m.form();
  const float w = m.width();
  const float h = m.height();
  if (at.form == Form::phone) {
    // With large text tag and strip are as high as a finger and their words need: two lines in the
    // tag where the panel is high enough, in the strip a sixth of it.
    const bool large = m.text_scale > 1;
    const float tag_h = h < 60 ? m.finger(15) : std::max(m.finger(12), 9.2F);
    const float strip_h = large ? std::clamp(h * 0.16F, m.finger(16), 22.0F) : 22.0F;
    const bool narrow = w < 100;
    at.tag = {0, 0, w, tag_h};
    at.strip = {0, h - strip_h, w, strip_h};
    const float margin = std::max(2.5F, m.finger(3.5F));
    const float mark = 4;
    at.rule = {w - mark, tag_h + 1.6F, mark, h - strip_h - tag_h - 2.6F};
    const float column = w - margin - mark - (narrow ? 2.5F : 6.0F);
    at.main = {margin, tag_h + 1.5F, column, h - strip_h - tag_h - 1.5F};
    at.heading = {margin, tag_h, column, 0};
    at.left = at.right = at.main;
    if (keyboard) {
      const float kh = keyboard_height(m, at.form);
      at.keyboard = {0, h - kh, w, kh};
      at.strip.h = 0;
      at.main.h = at.left.h = at.right.h = h - kh - at.main.y;
      at.rule.h = h - kh - at.rule.y;
    }
    return at;
  }
  const bool small = at.form == Form::small;
  const float tag_w = small ? 56.0F : 60.0F;
  const float tag_h = small ? 13.0F : 16.0F;
  const float strip_h = small ? 16.0F : 20.0F;
  at.tag = {0, 0, tag_w, tag_h};
  at.heading = {tag_w + 4, 0, w - tag_w - 4 - (small ? 1.5F : kEdge), tag_h};
  at.strip = {0, h - strip_h, w, strip_h};
  const float rule_w = small ? 20.4F : 20.0F;
  const float top = tag_h + 2;
  float bottom = h - strip_h - 1.9F;
  if (keyboard) {
    const float kh = keyboard_height(m, at.form);
    at.keyboard = {0, h - kh, w, kh};
    bottom = h - kh - (small ? 0.3F : 1.0F);
    at.strip.h = 0;
  }
  at.rule = {0, top, rule_w, bottom - top};
  const float x = small ? 22.0F : 23.5F;
  const float right = w - (small ? 2.5F : kEdge);
  if (at.form == Form::tall) {
    at.main = {x, top, right - x, bottom - top};
    const float pinned = 47;
    if (!keyboard) {
      at.side = {x, bottom - pinned, right - x, pinned};
      at.main.h -= pinned + 2;
    }
    at.left = at.right = {x, top, right - x, bottom - top};
    return at;
  }
  // Columns keep the proportions of the drawn grid: main 107.5 to side 80 on 218 mm, and no wider
  // side than is of use.
  const float side_w = small ? 50.0F : std::clamp(80.0F * w / 218.2F, 70.0F, 130.0F);
  at.side = {right - side_w, top, side_w, bottom - top};
  at.main = {x, top, at.side.x - (small ? 3.5F : 4.0F) - x, bottom - top};
  const float left_w = small ? 44.0F : std::clamp(67.0F * w / 218.2F, 60.0F, 110.0F);
  at.left = {x, top, left_w, bottom - top};
  at.right = {x + left_w + (small ? 3.0F : 4.5F), top, right - x - left_w - (small ? 3.0F : 4.5F),
              bottom - top};
  return at;
}

void draw_tag(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r = at.tag;
  const float cut = 3.2F;
  ui.polygon({{r.x, r.y},
              {r.right() - cut, r.y},
              {r.right(), r.y + cut},
              {r.right(), r.bottom() - cut},
              {r.right() - cut, r.bottom()},
              {r.x, r.bottom()}},
             t.ink);
  ui.disc(r.right() - 4, r.y + r.h / 2, 1.5F, t.paper);
  const job::Job* job = state.current();
  const std::string number = job != nullptr ? std::to_string(job->number) : "–";
  const float high = ui.capitals(Type::bay);
  const float nw = ui.text(3, r.y + r.h / 2 + high / 2, Type::bay, t.paper, number);
  std::string first = tr("No vehicle yet");
  std::string second = tr("tap to choose");
  if (job != nullptr && !job->vehicle.empty()) {
    const search::Vehicle& v = job->vehicle;
    first = v.make + (v.make.empty() || v.model.empty() ? "" : " ") + v.model;
    second = v.year > 0 ? std::to_string(v.year) : "";
    if (!v.engine.empty()) second += (second.empty() ? "" : " · ") + v.engine;
    if (first.empty()) std::swap(first, second);
  }
  const float x = 3 + nw + 3;
  const float w = r.right() - 7 - x;
  const float cap = ui.capitals(Type::small_bold);
  const float gap = (r.h - 2 * cap) / 3.2F;
  if (second.empty() || gap < 1) {
    if (!second.empty()) first += " · " + second;
    ui.text_in(x, r.y + (r.h + cap) / 2, w, Type::small_bold, t.paper, first);
  } else {
    ui.text_in(x, r.y + gap + cap, w, Type::small_bold, t.paper, first);
    ui.text_in(x, r.y + r.h - gap, w, Type::small, t.paper, second);
  }
  if (ui.target("tag", r)) {
    if (state.screen == Screen::job) {
      out.push_back({Do::menu, "vehicle"});
    } else {
      out.push_back({Do::focus_line, {}});
    }
  }
}

void draw_heading(Ui& ui, const Layout& at, std::string_view title, std::string_view under) {
  const Theme& t = ui.theme();
  const Rect r = at.heading;
  if (at.form == Form::phone) return;
  const bool narrow = at.form == Form::tall;
  const Type type = at.form == Form::small || narrow ? Type::small_bold : Type::title;
  if (narrow) {
    ui.paragraph(r.x, r.y + 2.0F, r.w, type, t.ink, title, 2);
  } else {
    ui.text_in(r.x, r.y + r.h * 0.42F, r.w, type, t.ink, title);
    ui.text_in(r.x, r.y + r.h * 0.83F, r.w, Type::small, t.muted, under);
  }
  ui.hline(at.tag.w, r.bottom() + 0.1F, ui.metrics().width() - at.tag.w, 0.35F, t.ink);
}

void draw_rule(Ui& ui, const Layout& at, const std::vector<RuleSection>& sections,
               std::string_view here, std::string_view menu, Do on_tap, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r = at.rule;
  if (sections.empty() || r.h <= 0) return;
  const auto n = static_cast<float>(sections.size());
  if (at.form == Form::phone) {
    // A mark, not a target: the long ticks and where one is.
    const float right = r.right();
    ui.fill({right - 0.8F, r.y, 0.8F, r.h}, t.ink);
    const float pitch = r.h / n;
    for (std::size_t i = 0; i < sections.size(); ++i) {
      const float y = r.y + static_cast<float>(i) * pitch;
      if (sections[i].key == here) ui.fill({right - 1.9F, y, 1.9F, pitch}, t.accent);
      const Rect tick{right - 4, y, 4, 1.3F};
      ui.fill(tick, sections[i].done ? t.accent : t.paper);
      if (!sections[i].done) ui.frame(tick, 0.3F, t.ink);
      const int steps = std::min(sections[i].steps, 9);
      for (int s = 1; s <= steps; ++s) {
        ui.hline(right - 2.0F, y + pitch * static_cast<float>(s) / static_cast<float>(steps + 1),
                 1.4F, 0.2F, t.ink);
      }
    }
    return;
  }
  const float pitch =
      std::min(at.form == Form::wide || at.form == Form::tall ? 16.1F : 9.9F, r.h / n);
  const bool narrow = pitch < 15;  // then the rule as a whole is one key
  const float high = narrow ? r.h : pitch * n;
  ui.fill({0, r.y, 0.8F, std::min(r.h, high)}, t.ink);
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const RuleSection& s = sections[i];
    const float y = r.y + static_cast<float>(i) * pitch;
    const Rect field{0, y, r.w, pitch};
    if (!narrow && ui.pressed(field)) ui.fill(field, t.face);
    const bool is_here = s.key == here;
    if (is_here) ui.fill({0, y, 1.9F, pitch}, t.accent);
    const Rect tick{0, y, r.w, narrow ? 1.1F : 1.5F};
    if (s.done) {
      ui.fill(tick, t.accent);
    } else {
      ui.fill(tick, t.paper);
      ui.frame(tick, 0.3F, t.ink);
    }
    const int steps = std::min(s.steps, 9);
    for (int k = 1; k <= steps; ++k) {
      const bool middle = k * 2 == steps + 1;
      const float reach = middle ? 2.4F : 1.7F;
      const float from = is_here ? 1.9F : 0.8F;
      if (reach > from)
        ui.hline(from,
                 y + 1.5F + (pitch - 1.5F) * static_cast<float>(k) / static_cast<float>(steps + 1),
                 reach - from, 0.2F, t.ink);
    }
    // Labels may run a little past the long tick: the column beside begins 3.5 further on.
    const float x = 3.2F;
    ui.text_in(x, y + 6.2F, r.w - x + 1.6F, is_here ? Type::small_bold : Type::small,
               is_here ? t.accent : t.ink, s.label);
    if (!narrow) ui.text_in(x, y + 11.4F, r.w - x + 1.6F, Type::small, t.muted, s.count);
    if (!narrow && ui.target("rule:" + s.key, field))
      out.push_back({on_tap, on_tap == Do::menu && s.key == "words" ? "" : s.key});
  }
  if (!narrow) ui.hline(0, r.y + pitch * n, 8, 0.3F, t.ink);
  if (narrow && ui.target("rule", r)) out.push_back({Do::menu, std::string(menu)});
}

void draw_strip(Ui& ui, const Layout& at, const std::vector<StripKey>& keys,
                const StripKey& primary, bool primary_on, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r = at.strip;
  if (r.h <= 0) return;
  ui.fill(r, t.face);
  ui.hline(0, r.y, r.w, 0.5F, t.ink);
  const bool phone = at.form == Form::phone;
  const bool narrow_phone = phone && r.w < 100;
  // Marks stand above the words where there is room for both, else before them.
  const bool one_line = phone && r.h < 16;
  const auto word_of = [&](const StripKey& one) {
    const bool marked = one_line && !one.mark.empty() && one.mark != " ";
    return marked ? one.mark + " " + one.label : one.label;
  };
  float primary_w = narrow_phone             ? std::min(29.5F, r.w * 0.454F)
                    : at.form == Form::small ? 42.0F
                    : at.form == Form::tall  ? 46.0F
                                             : 60.0F;
  // Back keeps the far left and its width; the rest share what is left.
  const float back_w = narrow_phone             ? std::min(15.6F, r.w * 0.24F)
                       : at.form == Form::small ? 24.3F
                       : at.form == Form::tall  ? 22.0F
                                                : 30.2F;
  if (narrow_phone && ui.metrics().text_scale > 1) {
    // What the words between need, the primary can give up to a finger's width and its own word.
    float words = 0;
    for (std::size_t i = 1; i < keys.size(); ++i)
      words += ui.width(Type::small_bold, word_of(keys[i])) + 2.2F;
    const float least =
        std::max(ui.metrics().finger(20), ui.width(Type::small_bold, primary.label) + 3);
    primary_w = std::clamp(r.w - back_w - words - 2, std::min(least, primary_w), primary_w);
  }
  const float primary_h = phone ? std::min(19.0F, r.h - (one_line ? 1.0F : 3.0F)) : r.h - 2;
  const Rect main{r.right() - primary_w - 1, r.y + (phone && !one_line ? 1.5F : 1.0F),
                  primary_w - (narrow_phone ? 0.5F : 0), primary_h - (one_line ? 0.5F : 0)};
  const float room = main.x - (narrow_phone ? 1.0F : 0.0F);
  const float other_w =
      keys.size() > 1 ? (room - back_w) / static_cast<float>(keys.size() - 1) : room - back_w;
  float x = 0;
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const float w = i == 0 ? back_w : other_w;
    const Rect field{x, r.y, w, r.h};
    if (ui.pressed(field)) ui.fill({x, r.y + 0.3F, w, r.h - 0.3F}, t.paper);
    for (int k = 1; k < 5; ++k) ui.vline(x + w * static_cast<float>(k) / 5, r.y, 2.2F, 0.2F, t.ink);
    if (i + 1 < keys.size()) ui.vline(x + w, r.y, 6, 0.35F, t.ink);
    const Type type = phone ? Type::small_bold : Type::text_bold;
    if (one_line) {
      const float mid = r.y + r.h / 2;
      const float sign = i == 0 && w >= 13 ? 4.4F : 0;
      if (sign > 0) ui.triangle(x + 1.6F, mid, x + 4.6F, mid - 2.4F, x + 4.6F, mid + 2.4F, t.ink);
      label_in(ui, {x + sign, r.y, w - sign, r.h}, type, t.ink, word_of(keys[i]));
    } else if (phone) {
      // Drawn for 22 mm; a lower strip has its mark nearer to the words.
      const float low = 22 - r.h;
      const float base = r.y + r.h - std::max(3.0F, 4.5F - low);
      const float mid = x + w / 2;
      const float up = r.y - std::min(low * 0.45F, 2.0F);
      if (keys[i].id == "more") {
        for (const float dy : {6.4F, 9.0F, 11.6F}) ui.hline(mid - 2.6F, up + dy, 5.2F, 0.6F, t.ink);
      } else if (i == 0) {
        ui.triangle(mid - 2.0F, up + 9, mid + 2.0F, up + 6.2F, mid + 2.0F, up + 11.8F, t.ink);
      } else if (!keys[i].mark.empty()) {
        ui.text(mid, std::min(r.y + 12.2F, base - ui.capitals(type) - 1.8F), Type::line_bold, t.ink,
                keys[i].mark, Align::centre);
      }
      if (i > 0 && keys[i].mark.empty()) {
        label_in(ui, {x, r.y + 1.5F - ui.capitals(type) / 2, w, r.h}, type, t.ink, keys[i].label);
      } else {
        ui.text_in(mid, base, w - 1, type, t.ink, keys[i].label, Align::centre);
      }
    } else {
      const float base = r.y + r.h * 0.5F + ui.capitals(type) * 0.65F;
      if (i == 0) {
        const float ax = x + 4;
        ui.triangle(ax, base - ui.capitals(type) / 2, ax + 3.2F,
                    base - ui.capitals(type) / 2 - 2.9F, ax + 3.2F,
                    base - ui.capitals(type) / 2 + 2.9F, t.ink);
        ui.text_in(ax + 5, base, w - 9, type, t.ink, keys[i].label);
      } else {
        ui.text_in(x + w / 2, base, w - 2, type, t.ink, keys[i].label, Align::centre);
      }
    }
    if (ui.target("strip:" + keys[i].id, field)) out.push_back(keys[i].action);
    x += w;
  }
  if (primary.label.empty()) return;
  if (primary_on) {
    ui.fill(main, t.accent);
    if (ui.pressed(main)) ui.frame(main, 0.8F, t.on_accent);
    if (phone) {
      label_in(ui, {main.x + 0.5F, main.y, main.w - 1, main.h}, Type::title, t.on_accent,
               primary.label);
    } else {
      ui.text_in(main.x + main.w / 2, main.y + main.h / 2 + ui.capitals(Type::title) / 2,
                 main.w - 14.0F, Type::title, t.on_accent, primary.label, Align::centre);
    }
    if (!phone) {
      const float ax = main.right() - 5.2F;
      const float ay = main.y + main.h / 2;
      ui.triangle(ax + 3, ay, ax, ay - 2.4F, ax, ay + 2.4F, t.on_accent);
    }
    // Enter alone is the primary's, wherever nothing else has asked for it.
    if (ui.target("primary", main) || (ui.focus().empty() && ui.take_key(HardKey::enter)))
      out.push_back(primary.action);
  } else {
    ui.frame(main, 0.3F, t.ink);
    label_in(ui, {main.x + 0.5F, main.y, main.w - 1, main.h}, Type::small_bold, t.ink,
             primary.label);
  }
}

}  // namespace baylore::viewer
