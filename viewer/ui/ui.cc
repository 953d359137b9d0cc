#include "viewer/ui/ui.h"

#include <imgui.h>

#include <algorithm>
#include <cmath>

namespace baylore::viewer {
namespace {

ImU32 packed(Colour c) { return IM_COL32(c.r, c.g, c.b, 255); }

Rect overlap(const Rect& a, const Rect& b) {
  const float x = std::max(a.x, b.x);
  const float y = std::max(a.y, b.y);
  return {x, y, std::max(0.0F, std::min(a.right(), b.right()) - x),
          std::max(0.0F, std::min(a.bottom(), b.bottom()) - y)};
}

constexpr float kFriction = 3.2F;    // a fling loses this part of its speed a second
constexpr double kGuard = 0.5;       // seconds a destructive target must have been in its place
constexpr float kStandstill = 4.0F;  // mm/s below which it stops

}  // namespace

// --- look and frame

void Ui::set_look(const Metrics& metrics, ThemeName name, FontShelf* fonts) {
  metrics_ = metrics;
  theme_ = &viewer::theme(name);
  fonts_ = fonts;
}

void Ui::begin(ImDrawList* list, FrameInput input) {
  list_ = list;
  input_ = std::move(input);
  items_.clear();
  texts_.clear();
  asked_.clear();
  areas_.swap(areas_now_);
  areas_now_.clear();
  clips_.clear();
  open_scrolls_.clear();
  tap_pending_ = false;
  moving_ = false;
  guarded_.swap(guarded_now_);
  guarded_now_.clear();
  for (const Gesture& g : input_.gestures) {
    switch (g.kind) {
      case Gesture::Kind::press:
        finger_undecided_ = true;
        finger_x_ = g.x;
        finger_y_ = g.y;
        drag_area_.clear();
        for (const Area& area : areas_) {
          if (!area.view.holds(g.x, g.y)) continue;
          drag_area_ = area.id;
          // A finger on a running page stops it.
          scroll_state(area.id).speed = 0;
        }
        break;
      case Gesture::Kind::tap:
        finger_undecided_ = false;
        tap_pending_ = true;
        tap_x_ = g.x;
        tap_y_ = g.y;
        focus_.clear();
        break;
      case Gesture::Kind::drag:
        finger_undecided_ = false;
        if (!drag_area_.empty()) {
          Scroll& s = scroll_state(drag_area_);
          s.offset = std::clamp(s.offset - g.dy, 0.0F, s.most());
        }
        break;
      case Gesture::Kind::fling:
        finger_undecided_ = false;
        if (!drag_area_.empty() && motion_) scroll_state(drag_area_).speed = -g.dy;
        break;
      case Gesture::Kind::cancel:
        finger_undecided_ = false;
        break;
    }
  }
  for (auto& [id, s] : scrolls_) {
    if (s.speed == 0) continue;
    s.offset += s.speed * input_.dt;
    s.speed *= std::exp(-kFriction * input_.dt);
    if (s.offset <= 0 || s.offset >= s.most() || std::abs(s.speed) < kStandstill) s.speed = 0;
    s.offset = std::clamp(s.offset, 0.0F, s.most());
    if (s.speed != 0) moving_ = true;
  }
}

void Ui::end() {
  // Tab walks the targets in the order they were drawn; the focus shows as a line around one.
  // What it was on is gone with its screen.
  if (!focus_.empty() && item(focus_) == nullptr) focus_.clear();
  const bool forward = take_key(HardKey::tab);
  const bool backward = !forward && take_key(HardKey::back_tab);
  if ((forward || backward) && !items_.empty()) {
    const auto at =
        std::find_if(items_.begin(), items_.end(), [&](const Item& i) { return i.id == focus_; });
    const auto count = static_cast<std::ptrdiff_t>(items_.size());
    std::ptrdiff_t next = 0;
    if (at == items_.end()) {
      next = forward ? 0 : count - 1;
    } else {
      next = (at - items_.begin() + (forward ? 1 : count - 1)) % count;
    }
    focus_ = items_[static_cast<std::size_t>(next)].id;
    focus_moved_ = true;
    moving_ = true;
  }
}

const Item* Ui::item(std::string_view id) const {
  const auto at =
      std::find_if(items_.begin(), items_.end(), [&](const Item& i) { return i.id == id; });
  return at == items_.end() ? nullptr : &*at;
}

float Ui::px(float mm) const { return std::round(mm * metrics_.px()); }

// --- drawing

void Ui::fill(Rect r, Colour colour) {
  list_->AddRectFilled(ImVec2(px(r.x), px(r.y)), ImVec2(px(r.right()), px(r.bottom())),
                       packed(colour));
}

void Ui::veil(Rect r, Colour colour, float opacity) {
  list_->AddRectFilled(ImVec2(px(r.x), px(r.y)), ImVec2(px(r.right()), px(r.bottom())),
                       IM_COL32(colour.r, colour.g, colour.b, static_cast<int>(opacity * 255)));
}

void Ui::hline(float x, float y, float w, float thick, Colour colour) {
  const float t = std::max(1.0F, std::round(thick * theme_->line_scale * metrics_.px()));
  const float top = std::round(y * metrics_.px() - t / 2);
  list_->AddRectFilled(ImVec2(px(x), top), ImVec2(px(x + w), top + t), packed(colour));
}

void Ui::vline(float x, float y, float h, float thick, Colour colour) {
  const float t = std::max(1.0F, std::round(thick * theme_->line_scale * metrics_.px()));
  const float left = std::round(x * metrics_.px() - t / 2);
  list_->AddRectFilled(ImVec2(left, px(y)), ImVec2(left + t, px(y + h)), packed(colour));
}

void Ui::line(float x1, float y1, float x2, float y2, float thick, Colour colour) {
  const float t = std::max(1.0F, thick * theme_->line_scale * metrics_.px());
  list_->AddLine(ImVec2(x1 * metrics_.px(), y1 * metrics_.px()),
                 ImVec2(x2 * metrics_.px(), y2 * metrics_.px()), packed(colour), t);
}

void Ui::frame(Rect r, float thick, Colour colour) {
  // On whole pixels, so that the corners meet.
  const float t = std::max(1.0F, std::round(thick * theme_->line_scale * metrics_.px()));
  const ImVec2 a(px(r.x), px(r.y));
  const ImVec2 b(px(r.right()), px(r.bottom()));
  const ImU32 c = packed(colour);
  list_->AddRectFilled(a, ImVec2(b.x, a.y + t), c);
  list_->AddRectFilled(ImVec2(a.x, b.y - t), b, c);
  list_->AddRectFilled(ImVec2(a.x, a.y + t), ImVec2(a.x + t, b.y - t), c);
  list_->AddRectFilled(ImVec2(b.x - t, a.y + t), ImVec2(b.x, b.y - t), c);
}

void Ui::triangle(float x1, float y1, float x2, float y2, float x3, float y3, Colour colour) {
  const float k = metrics_.px();
  list_->AddTriangleFilled(ImVec2(x1 * k, y1 * k), ImVec2(x2 * k, y2 * k), ImVec2(x3 * k, y3 * k),
                           packed(colour));
}

void Ui::polygon(const std::vector<std::pair<float, float>>& points, Colour colour) {
  std::vector<ImVec2> at;
  at.reserve(points.size());
  for (const auto& [x, y] : points) at.emplace_back(px(x), px(y));
  list_->AddConvexPolyFilled(at.data(), static_cast<int>(at.size()), packed(colour));
}

void Ui::disc(float x, float y, float radius, Colour colour) {
  list_->AddCircleFilled(ImVec2(x * metrics_.px(), y * metrics_.px()), radius * metrics_.px(),
                         packed(colour), 0);
}

void Ui::ring(float x, float y, float radius, float thick, Colour colour) {
  const float t = std::max(1.0F, thick * theme_->line_scale * metrics_.px());
  list_->AddCircle(ImVec2(x * metrics_.px(), y * metrics_.px()), radius * metrics_.px() - t / 2,
                   packed(colour), 0, t);
}

void Ui::hook(Rect c, Colour colour) {
  const float x = c.x + c.w * 0.2F;
  const float y = c.y + c.h * 0.53F;
  const float mx = c.x + c.w * 0.42F;
  const float my = c.y + c.h * 0.74F;
  line(x, y, mx, my, 0.8F, colour);
  line(mx - 0.15F, my + 0.15F, c.x + c.w * 0.8F, c.y + c.h * 0.28F, 0.8F, colour);
}

void Ui::hatch(Rect r, float apart, float thick, Colour colour) {
  push_clip(r);
  for (float at = r.x - r.h; at < r.right(); at += apart)
    line(at, r.bottom(), at + r.h, r.y, thick, colour);
  pop_clip();
}

void Ui::picture(Rect r, void* texture, Colour tint) {
  list_->AddImage(texture, ImVec2(px(r.x), px(r.y)), ImVec2(px(r.right()), px(r.bottom())),
                  ImVec2(0, 0), ImVec2(1, 1), packed(tint));
}

// --- text

float Ui::width(Type type, std::string_view words) {
  const Type drawn = drawn_type(type);
  ImFont* font = fonts_->font(drawn);
  float sum = 0;
  for (std::size_t at = 0; at < words.size();) {
    const char32_t c = next_code_point(words, at);
    if (c >= 0x20 && (c > 0xFFFF || font->FindGlyphNoFallback(static_cast<ImWchar>(c)) == nullptr))
      fonts_->want(drawn, c);
    sum +=
        font->GetCharAdvance(c > 0xFFFF ? static_cast<ImWchar>(0xFFFD) : static_cast<ImWchar>(c));
  }
  return sum / metrics_.px();
}

float Ui::text(float x, float baseline, Type type, Colour colour, std::string_view words,
               Align align) {
  if (words.empty()) return 0;
  const float w = width(type, words);
  ImFont* font = fonts_->font(drawn_type(type));
  const float left = align == Align::left ? x : align == Align::right ? x - w : x - w / 2;
  const ImVec2 at(px(left), px(baseline) - std::round(font->Ascent));
  list_->AddText(font, font->FontSize, at, packed(colour), words.data(),
                 words.data() + words.size());
  const float high = capitals(type);
  texts_.push_back(DrawnText{{left, baseline - high, w, high * 1.25F},
                             clip(),
                             std::string(words),
                             !open_scrolls_.empty()});
  return w;
}

float Ui::text_in(float x, float baseline, float w, Type type, Colour colour,
                  std::string_view words, Align align) {
  if (width(type, words) <= w) return text(x, baseline, type, colour, words, align);
  static constexpr std::string_view kEllipsis = "…";
  const float room = w - width(type, kEllipsis);
  if (room < 0) return 0;  // a lone ellipsis would stand on its neighbour
  std::string kept;
  float used = 0;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t from = at;
    next_code_point(words, at);
    const std::string_view one = words.substr(from, at - from);
    used += width(type, one);
    if (used > room) break;
    kept += one;
  }
  while (!kept.empty() && kept.back() == ' ') kept.pop_back();
  kept += kEllipsis;
  return text(x, baseline, type, colour, kept, align);
}

// Runs are broken into words, words are set line by line; a word keeps its run's weight. A word
// wider than the line is broken inside.
float Ui::draw_runs(float x, float y, float w, Type regular, Colour colour,
                    const std::vector<Run>& runs, int most, bool draw) {
  struct Piece {
    std::string text;
    bool bold;
  };
  std::vector<Piece> line;
  float used = 0;
  int lines = 0;
  std::vector<Piece> held;  // the last line allowed: it takes an ellipsis when more would follow
  bool more = false;
  const auto type_of = [&](bool bold) { return bold ? bold_of(regular) : regular; };
  const auto draw_line = [&](const std::vector<Piece>& pieces, int index, bool cut) {
    float at = x;
    const float baseline = y + capitals(regular) + static_cast<float>(index) * pitch(regular);
    // Neighbouring pieces of one weight are drawn at once, so that the pixel rounding does not
    // gather.
    for (std::size_t i = 0; i < pieces.size();) {
      std::string together;
      const bool bold = pieces[i].bold;
      while (i < pieces.size() && pieces[i].bold == bold) together += pieces[i++].text;
      if (i == pieces.size()) {
        // The blank a line was broken at is no part of what is drawn.
        while (!together.empty() && together.back() == ' ') together.pop_back();
      }
      if (cut && i == pieces.size()) {
        at += text_in(at, baseline, x + w - at, type_of(bold), colour, together + " …");
      } else {
        at += text(at, baseline, type_of(bold), colour, together);
      }
    }
  };
  const auto flush = [&] {
    if (most > 0 && lines >= most) {
      more = true;
      line.clear();
      used = 0;
      return;
    }
    if (most > 0 && lines == most - 1) {
      held = line;
    } else if (draw) {
      draw_line(line, lines, false);
    }
    ++lines;
    line.clear();
    used = 0;
  };
  for (const Run& run : runs) {
    std::size_t at = 0;
    while (at < run.text.size()) {
      if (run.text[at] == '\n') {
        flush();
        ++at;
        continue;
      }
      std::size_t to = at;
      while (to < run.text.size() && run.text[to] != ' ' && run.text[to] != '\n') ++to;
      while (to < run.text.size() && run.text[to] == ' ') ++to;  // blanks stay with the word before
      std::string word = run.text.substr(at, to - at);
      at = to;
      std::string bare = word;
      while (!bare.empty() && bare.back() == ' ') bare.pop_back();
      const Type type = type_of(run.bold);
      if (used > 0 && used + width(type, bare) > w + 0.01F) flush();
      while (width(type, bare) > w + 0.01F) {
        // A part number or address longer than the line.
        std::string head;
        float head_w = 0;
        std::size_t cut = 0;
        while (cut < bare.size()) {
          std::size_t next = cut;
          next_code_point(bare, next);
          const float one = width(type, std::string_view(bare).substr(cut, next - cut));
          if (head_w + one > w && cut > 0) break;
          head_w += one;
          cut = next;
        }
        head = bare.substr(0, cut);
        line.push_back({head, run.bold});
        flush();
        bare.erase(0, cut);
        word.erase(0, cut);
        if (cut == 0) break;
      }
      used += width(type, word);
      line.push_back({std::move(word), run.bold});
    }
  }
  if (!line.empty() || lines == 0) flush();
  if (draw && !held.empty()) draw_line(held, most - 1, more);
  return static_cast<float>(lines) * pitch(regular);
}

float Ui::paragraph(float x, float y, float w, Type type, Colour colour, std::string_view words,
                    int most) {
  return draw_runs(x, y, w, type, colour, {Run{std::string(words), false}}, most, true);
}

float Ui::paragraph(float x, float y, float w, Type regular, Colour colour,
                    const std::vector<Run>& runs, int most) {
  return draw_runs(x, y, w, regular, colour, runs, most, true);
}

float Ui::paragraph_height(float w, Type type, std::string_view words, int most) {
  return draw_runs(0, 0, w, type, {}, {Run{std::string(words), false}}, most, false);
}

float Ui::paragraph_height(float w, Type regular, const std::vector<Run>& runs, int most) {
  return draw_runs(0, 0, w, regular, {}, runs, most, false);
}

// --- targets

bool Ui::target(std::string_view id, Rect rect) {
  const Rect visible = overlap(rect, clip());
  items_.push_back(Item{std::string(id), rect, visible});
  if (focus_ == id) {
    if (focus_moved_) bring_into_view(rect);
    focus_moved_ = false;
    // The focus line is drawn just outside the target where there is room.
    frame(rect, 0.7F, theme_->accent);
    if (take_key(HardKey::enter)) return true;
  }
  if (!tap_pending_ || !visible.holds(tap_x_, tap_y_)) return false;
  tap_pending_ = false;
  return true;
}

bool Ui::guarded_target(std::string_view id, Rect rect) {
  const auto at = guarded_.find(id);
  const double since = at == guarded_.end() ? input_.now : at->second;
  guarded_now_.emplace(id, since);
  return target(id, rect) && input_.now - since >= kGuard;
}

void Ui::cover(Rect band, std::size_t above) {
  for (std::size_t i = above; i < items_.size(); ++i) {
    Rect& seen = items_[i].visible;
    const Rect under = overlap(seen, band);
    if (under.w > 0 && under.h > 0) seen.h = std::max(0.0F, band.y - seen.y);
  }
  std::erase_if(texts_, [&](const DrawnText& text) {
    return text.rect.y >= band.y && overlap(text.rect, band).h > 0;
  });
  for (DrawnText& text : texts_) {
    if (overlap(text.rect, band).h <= 0 || overlap(text.rect, band).w <= 0) continue;
    text.clip.h = std::max(0.0F, band.y - text.clip.y);
    text.scrolls = true;
  }
}

// What Tab came to lies in the innermost scrolling area that is open.
void Ui::bring_into_view(Rect rect) {
  if (open_scrolls_.empty()) return;
  const Rect view = clip();
  Scroll& s = scroll_state(open_scrolls_.back());
  constexpr float kAir = 2;
  if (rect.bottom() > view.bottom()) s.offset += rect.bottom() - view.bottom() + kAir;
  if (rect.y < view.y) s.offset -= view.y - rect.y + kAir;
  s.offset = std::clamp(s.offset, 0.0F, s.most());
}

bool Ui::pressed(Rect rect) const {
  return finger_undecided_ && overlap(rect, clip()).holds(finger_x_, finger_y_);
}

bool Ui::take_tap(Rect rect, float& x, float& y) {
  if (!tap_pending_ || !overlap(rect, clip()).holds(tap_x_, tap_y_)) return false;
  tap_pending_ = false;
  x = tap_x_;
  y = tap_y_;
  return true;
}

bool Ui::take_key(HardKey key) {
  const auto at = std::find(input_.keys.begin(), input_.keys.end(), key);
  if (at == input_.keys.end()) return false;
  input_.keys.erase(at);
  return true;
}

Ui::Drag Ui::drag_area(std::string_view id, Rect view) {
  areas_now_.push_back(Area{std::string(id), view});
  Drag drag;
  if (drag_area_ != id) return drag;
  for (const Gesture& g : input_.gestures) {
    if (g.kind != Gesture::Kind::drag) continue;
    drag.dx += g.dx;
    drag.dy += g.dy;
  }
  return drag;
}

// --- scrolling

float Ui::begin_scroll(std::string_view id, Rect view) {
  areas_now_.push_back(Area{std::string(id), view});
  open_scrolls_.emplace_back(id);
  Scroll& s = scroll_state(id);
  s.view = view.h;
  s.offset = std::clamp(s.offset, 0.0F, std::max(s.most(), 0.0F));
  push_clip(view);
  // Whole pixels: text that moves by halves shimmers.
  return view.y - std::round(s.offset * metrics_.px()) / metrics_.px();
}

void Ui::end_scroll(float content_height) {
  const Rect view = clip();
  Scroll& s = scroll_state(open_scrolls_.back());
  open_scrolls_.pop_back();
  s.content = content_height;
  pop_clip();
  // A short bar at the right edge says that there is more, and where one is.
  if (s.most() > 0.5F) {
    const float part = std::clamp(s.view / s.content, 0.08F, 1.0F);
    const float at = s.offset / s.most() * (1 - part);
    vline(view.right() + 1.2F, view.y + at * view.h, part * view.h, 0.6F, theme_->muted);
  }
}

Ui::Scroll& Ui::scroll_state(std::string_view id) {
  const auto at = scrolls_.find(id);
  return at == scrolls_.end() ? scrolls_.emplace(id, Scroll{}).first->second : at->second;
}

void Ui::push_clip(Rect rect) {
  clips_.push_back(overlap(rect, clip()));
  const Rect& r = clips_.back();
  list_->PushClipRect(ImVec2(px(r.x), px(r.y)), ImVec2(px(r.right()), px(r.bottom())), false);
}

void Ui::pop_clip() {
  clips_.pop_back();
  list_->PopClipRect();
}

}  // namespace baylore::viewer
