// The keyboard on the panel, and text being typed. The nearest key takes a touch in a gap.
#include <algorithm>
#include <cmath>

#include "viewer/screens/screens.h"
#include "viewer/ui/label.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

struct Cap {
  std::string label;
  Action action;
  float weight = 1;
  bool accent = false;
  bool suggestion = false;  // a word of the shop, or its empty place
  std::string name =
      {};  // of the target; empty: the label, which is then the same in all languages
};
using CapRow = std::vector<Cap>;

CapRow letters(std::string_view row) {
  CapRow out;
  for (std::size_t at = 0; at < row.size();) {
    const std::size_t from = at;
    next_code_point(row, at);
    const std::string one(row.substr(from, at - from));
    out.push_back({one, {Do::type, one}});
  }
  return out;
}

Cap erase_cap() { return {tr("erase"), {Do::erase, {}}, 1, false, false, "erase"}; }

std::vector<CapRow> page_of(bool phone_alphabetical, bool numbers, bool multiline,
                            std::string_view done, const Action& on_done, bool words_in_row,
                            const std::vector<std::string>& words) {
  std::vector<CapRow> rows;
  const bool spanish = words::language() == "es";
  const Cap page{numbers ? "abc" : "123", {Do::key_page, {}}, 1, false};
  const Cap finish{tr(std::string(done)), on_done, 2, true, false, std::string(done)};
  const Cap space{tr("space"), {Do::type, " "}, 3, false, false, "space"};
  const Cap line{tr("new line"), {Do::enter, {}}, 2, false, false, "new line"};
  if (phone_alphabetical) {
    if (numbers) {
      rows = {letters("123456"), letters("7890.,"), letters("-/:()+"),
              letters(spanish ? "áéíóúü" : "°·ΩµV%"), letters(spanish ? "°º¿¡" : "#|!=<>")};
    } else {
      rows = {letters("abcdef"), letters("ghijkl"), letters("mnopqr"), letters("stuvwx"),
              letters(spanish ? "yzñ." : "yz-.")};
    }
    CapRow& last = rows.back();
    while (last.size() > 4) last.pop_back();
    last.push_back({tr("erase"), {Do::erase, {}}, 2, false, false, "erase"});
    rows.push_back(multiline ? CapRow{page,
                                      {tr("space"), {Do::type, " "}, 2, false, false, "space"},
                                      {tr("line"), {Do::enter, {}}, 1, false, false, "line"},
                                      finish}
                             : CapRow{page, space, finish});
    return rows;
  }
  if (numbers) {
    rows = {letters("1234567890"), letters("-/.,:;()+="),
            letters(spanish ? "°·Ωµ%#|<>º" : "°·ΩµV%#|<>")};
    if (spanish) {
      rows[1] = letters("-/.,:;()+=");
      rows.insert(rows.begin() + 2, letters("áéíóúüñ¿¡!"));
    }
    rows.back().pop_back();
    rows.back().push_back(erase_cap());
  } else {
    rows = {letters("qwertyuiop"), letters("asdfghjkl"), letters("zxcvbnm")};
    rows[1].push_back(spanish ? Cap{"ñ", {Do::type, "ñ"}} : Cap{"-", {Do::type, "-"}});
    rows[2].push_back({".", {Do::type, "."}});
    rows[2].push_back({"'", {Do::type, "'"}});
    rows[2].push_back(erase_cap());
  }
  CapRow bottom{page};
  bottom[0].weight = 1.2F;
  // Two words of the shop stand in the last row; their places stay when there are none, so that no
  // key ever moves under a finger.
  if (words_in_row) {
    for (std::size_t i = 0; i < 2; ++i) {
      Cap word{i < words.size() ? words[i] : std::string(), {Do::suggest, {}}, 2, false, true};
      word.action.text = word.label;
      bottom.push_back(std::move(word));
    }
  }
  bottom.push_back(
      {tr("space"), {Do::type, " "}, words_in_row ? 2.2F : 4.0F, false, false, "space"});
  if (multiline) bottom.push_back(line);
  bottom.push_back({tr(std::string(done)), on_done, 2.5F, true, false, std::string(done)});
  rows.push_back(std::move(bottom));
  return rows;
}

// Words of the shop that begin with what is being typed; three fit the row.
std::vector<std::string> suggestions(const State& state, const TextBuffer& buffer) {
  std::string begun;
  for (const char c : buffer.word_at_caret())
    begun.push_back(c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c);
  std::vector<std::string> out;
  if (begun.size() < 2) return out;
  for (auto at = std::lower_bound(state.words.begin(), state.words.end(), begun);
       at != state.words.end() && out.size() < 3; ++at) {
    if (!at->starts_with(begun)) break;
    if (*at != begun) out.push_back(*at);
  }
  return out;
}

const TextBuffer& buffer_of(const State& state) {
  if (state.screen == Screen::write) return state.write.buffer;
  if (state.screen == Screen::ask) return state.ask.buffer;
  return state.line;
}

}  // namespace

void draw_keyboard(Ui& ui, const Layout& at, const State& state, bool multiline,
                   std::string_view done, Action on_done, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r = at.keyboard;
  if (r.h <= 0) return;
  ui.fill(r, t.paper);
  ui.hline(0, r.y, r.w, 0.5F, t.ink);
  const bool phone = at.form == Form::phone;
  const bool low = ui.metrics().low();
  const bool alphabetical = phone && !low && ui.metrics().hand != Hand::bare;
  const bool words_above = (phone && !low) || at.form == Form::tall;
  const std::vector<std::string> words = suggestions(state, buffer_of(state));
  const std::vector<CapRow> rows =
      page_of(alphabetical, state.number_keys, multiline, done, on_done, !words_above, words);
  const bool small = at.form == Form::small;
  const float margin = phone ? 1.0F : small ? 1.2F : 2.0F;
  const float gap = low ? 0.6F : phone ? 1.0F : at.form == Form::wide ? 1.6F : small ? 0.6F : 1.2F;
  float y = r.y + (small || low ? 0.9F : 1.2F);
  if (words_above) {
    // The suggestion row stands above the keys where the height allows it.
    const float h = phone ? std::max(ui.finger(10.8F), 7.0F) : 12.0F;
    const float w = r.w / 3;
    for (std::size_t i = 0; i < 3; ++i) {
      const Rect field{static_cast<float>(i) * w, r.y, w, h};
      if (i > 0) ui.vline(field.x, r.y, 4.5F, 0.35F, t.ink);
      if (i >= words.size()) continue;
      ui.text_in(field.x + w / 2, r.y + h / 2 + 2.0F, w - 2,
                 i == 0 ? Type::small_bold : Type::small, i == 0 ? t.accent : t.ink, words[i],
                 Align::centre);
      if (ui.target("suggest:" + std::to_string(i), field)) out.push_back({Do::suggest, words[i]});
    }
    y = r.y + h + 0.6F;
  }
  const float n = static_cast<float>(rows.size());
  const float key_h = (r.bottom() - y - (small || low ? 0.6F : 1.0F) - gap * (n - 1)) / n;
  struct Placed {
    Rect rect;
    const Cap* cap;
  };
  std::vector<Placed> placed;
  for (const CapRow& row : rows) {
    float weights = 0;
    for (const Cap& cap : row) weights += cap.weight;
    const float all = r.w - 2 * margin - gap * static_cast<float>(row.size() - 1);
    // A key is at least as wide as its word, which grows with the text while the panel does not:
    // what that takes, the others give.
    float taken = 0;
    float shared = weights;
    std::vector<float> least(row.size(), 0);
    if (phone && ui.metrics().text_scale > 1) {
      for (std::size_t i = 0; i < row.size(); ++i) {
        const float word = row[i].suggestion ? 0 : ui.width(Type::small_bold, row[i].label) + 0.8F;
        if (word <= all * row[i].weight / weights) continue;
        least[i] = word;
        taken += word;
        shared -= row[i].weight;
      }
    }
    const float unit = (all - taken) / std::max(shared, 1e-3F);
    float x = margin;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const Cap& cap = row[i];
      const Rect rect{x, y, least[i] > 0 ? least[i] : unit * cap.weight, key_h};
      placed.push_back({rect, &cap});
      x += rect.w + gap;
    }
    y += key_h + gap;
  }
  std::size_t which = 0;
  for (const Placed& p : placed) {
    if (p.cap->suggestion) {
      // No key: the word on paper between two ticks.
      const std::string id = "suggest:" + std::to_string(which++);
      ui.vline(p.rect.x - gap / 2, p.rect.y + 2, p.rect.h - 4, 0.2F, t.rule);
      ui.vline(p.rect.right() + gap / 2, p.rect.y + 2, p.rect.h - 4, 0.2F, t.rule);
      if (p.cap->label.empty()) continue;
      ui.text_in(p.rect.x + p.rect.w / 2, p.rect.y + p.rect.h / 2 + ui.capitals(Type::small) / 2,
                 p.rect.w - 0.6F, Type::small_bold, t.accent, p.cap->label, Align::centre);
      if (ui.target(id, p.rect)) out.push_back(p.cap->action);
      continue;
    }
    const bool word = p.cap->label.size() > 2 && static_cast<unsigned char>(p.cap->label[0]) < 0x80;
    if (ui.target("key:" + (p.cap->name.empty() ? p.cap->label : p.cap->name), p.rect))
      out.push_back(p.cap->action);
    ui.fill(p.rect, p.cap->accent ? t.accent : ui.pressed(p.rect) ? t.paper : t.face);
    ui.hline(p.rect.x, p.rect.bottom() - 0.17F, p.rect.w, 0.35F, t.ink);
    const Type type = word ? Type::small_bold : Type::title;
    label_in(ui, {p.rect.x - 0.2F, p.rect.y, p.rect.w + 0.4F, p.rect.h}, type,
             p.cap->accent ? t.on_accent : t.ink, p.cap->label);
  }
  // A touch between keys belongs to the nearest.
  float tx = 0;
  float ty = 0;
  if (!ui.take_tap(r, tx, ty)) return;
  const Placed* best = nullptr;
  float least = 1e9F;
  for (const Placed& p : placed) {
    if (p.cap->suggestion) continue;  // a slip must not put a whole word in
    const float dx = std::max({p.rect.x - tx, 0.0F, tx - p.rect.right()});
    const float dy = std::max({p.rect.y - ty, 0.0F, ty - p.rect.bottom()});
    const float far = std::hypot(dx, dy);
    if (far < least) {
      least = far;
      best = &p;
    }
  }
  if (best != nullptr) out.push_back(best->cap->action);
}

void draw_text_area(Ui& ui, Rect area, std::string_view id, const TextBuffer& buffer, bool caret,
                    Actions& out) {
  const Theme& t = ui.theme();
  const Type type = Type::text;
  const float pitch = ui.pitch(type);
  const auto width_of = [&](char32_t c) {
    std::string one;
    append_utf8(one, c);
    return ui.width(type, one);
  };
  const std::vector<WrappedLine> lines = wrap(buffer.text(), area.w - 2, width_of);
  // The caret's line stays in view.
  std::size_t caret_line = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (buffer.caret() >= lines[i].from) caret_line = i;
  }
  Ui::Scroll& scroll = ui.scroll_state(id);
  const float caret_top = static_cast<float>(caret_line) * pitch;
  if (caret && !ui.input().down && scroll.speed == 0) {
    scroll.content = static_cast<float>(lines.size()) * pitch + 2;
    scroll.view = area.h;
    if (caret_top < scroll.offset) scroll.offset = caret_top;
    if (caret_top + pitch + 1 > scroll.offset + area.h)
      scroll.offset = caret_top + pitch + 1 - area.h;
  }
  const float top = ui.begin_scroll(id, area);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const float y = top + static_cast<float>(i) * pitch;
    if (y > area.bottom() || y + pitch < area.y) continue;
    const float base = y + ui.capitals(type) + 1.2F;
    const std::string_view words =
        std::string_view(buffer.text()).substr(lines[i].from, lines[i].to - lines[i].from);
    ui.text(area.x, base, type, t.ink, words);
    if (caret && i == caret_line) {
      const float cx =
          area.x +
          ui.width(type, words.substr(0, std::min(buffer.caret() - lines[i].from, words.size()))) +
          0.2F;
      ui.vline(cx, y + 0.3F, pitch - 0.8F, 0.6F, t.accent);
    }
  }
  float tx = 0;
  float ty = 0;
  if (ui.take_tap(area, tx, ty)) {
    const auto line = static_cast<std::size_t>(
        std::clamp(std::floor((ty - top) / pitch), 0.0F, static_cast<float>(lines.size() - 1)));
    std::size_t at = lines[line].from;
    float x = area.x;
    while (at < lines[line].to) {
      std::size_t next = at;
      const float w = width_of(next_code_point(buffer.text(), next));
      if (x + w / 2 > tx) break;
      x += w;
      at = next;
    }
    out.push_back({Do::caret_to, {}, static_cast<int>(at)});
  }
  ui.end_scroll(static_cast<float>(lines.size()) * pitch + 2);
}

}  // namespace baylore::viewer
