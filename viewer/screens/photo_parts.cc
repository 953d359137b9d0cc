#include "viewer/screens/photo_parts.h"

#include <algorithm>

#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr int kLargeSide =
    3000;  // pixels: enlarged as far as it goes, a bolt's head is a bolt's head
constexpr float kPadStep = 18;  // mm that an arrow moves the picture

struct PadPlace {
  PadKey key;
  const char* id;
  const char* label;  // nullptr: an arrow, or given by the screen
};
constexpr PadPlace kPad[3][3] = {{{PadKey::out, "photo:out", "\xE2\x88\x92"},
                                  {PadKey::up, "photo:up", nullptr},
                                  {PadKey::in, "photo:in", "+"}},
                                 {{PadKey::left, "photo:left", nullptr},
                                  {PadKey::fit, "photo:fit", marked("Fit")},
                                  {PadKey::right, "photo:right", nullptr}},
                                 {{PadKey::lower_left, "photo:lower left", nullptr},
                                  {PadKey::down, "photo:down", nullptr},
                                  {PadKey::lower_right, "photo:lower right", nullptr}}};

void arrow(Ui& ui, float x, float y, PadKey way) {
  constexpr float kLong = 2.6F;
  constexpr float kHalf = 2.4F;
  const Colour c = ui.theme().ink;
  switch (way) {
    case PadKey::left:
      ui.triangle(x - kLong, y, x + kLong / 2, y - kHalf, x + kLong / 2, y + kHalf, c);
      return;
    case PadKey::right:
      ui.triangle(x + kLong, y, x - kLong / 2, y - kHalf, x - kLong / 2, y + kHalf, c);
      return;
    case PadKey::up:
      ui.triangle(x, y - kLong, x - kHalf, y + kLong / 2, x + kHalf, y + kLong / 2, c);
      return;
    case PadKey::down:
      ui.triangle(x, y + kLong, x - kHalf, y - kLong / 2, x + kHalf, y - kLong / 2, c);
      return;
    default:
      return;
  }
}

std::optional<PadKey> hard_pad_key(Ui& ui) {
  static constexpr std::pair<HardKey, PadKey> kKeys[] = {
      {HardKey::left, PadKey::left},  {HardKey::right, PadKey::right},
      {HardKey::up, PadKey::up},      {HardKey::down, PadKey::down},
      {HardKey::page_up, PadKey::in}, {HardKey::page_down, PadKey::out},
      {HardKey::home, PadKey::fit}};
  for (const auto& [hard, key] : kKeys) {
    if (ui.take_key(hard)) return key;
  }
  return std::nullopt;
}

}  // namespace

PhotoAreas photo_areas(const Layout& at, const Metrics& metrics) {
  const float side = std::max(15.0F, metrics.target());
  const float gap = at.form == Form::small ? 1.2F : 2.0F;
  const float pad_h = 3 * side + 2 * gap;
  const float pad_w = at.form == Form::phone ? std::min(at.main.w, pad_h + 10) : pad_h;
  if (at.form == Form::phone && metrics.low()) {
    // Wider than high: the pad beside the picture, words under it.
    const Rect r = at.main;
    const float high = std::min(pad_h, r.h);
    const float words = std::min(12.0F, r.h * 0.28F);
    return {{r.x, r.y, r.w - pad_h - 3, r.h - words - 1.5F},
            {r.x, r.bottom() - words, r.w - pad_h - 3, words},
            {r.right() - pad_h, r.bottom() - high, pad_h, high}};
  }
  if (at.form == Form::phone) {
    const Rect r = at.main;
    const float words = std::max(12.0F, r.h * 0.16F);
    const float pad_y = r.bottom() - pad_h - 1;
    return {{r.x, r.y, r.w, r.h - pad_h - words - 4},
            {r.x, pad_y - words - 1.5F, r.w, words},
            {r.x + (r.w - pad_w) / 2, pad_y, pad_w, pad_h}};
  }
  const float x = 3.5F;
  const float right = at.right.right();
  if (at.form == Form::tall) {
    const float pad_y = at.left.bottom() - pad_h;
    return {{x, at.left.y, right - x, pad_y - at.left.y - 3},
            {x, pad_y, right - x - pad_w - 4, pad_h},
            {right - pad_w, pad_y, pad_w, pad_h}};
  }
  const float pad_x = right - pad_w;
  const float pad_y = at.left.bottom() - pad_h;
  return {{x, at.left.y, pad_x - 4 - x, at.left.h},
          {pad_x, at.left.y, pad_w, pad_y - at.left.y - 1.5F},
          {pad_x, pad_y, pad_w, pad_h}};
}

ShownPhoto draw_photo(Ui& ui, Rect view, const State& state, std::string_view path,
                      const shop::Picture& picture, int chosen) {
  const Theme& t = ui.theme();
  ShownPhoto shown;
  const std::string small = picture_key(path, picture);
  const std::string large = small + "\nlarge";
  ui.ask_picture({small, std::string(path), picture.file, 0, false});
  ui.ask_picture({large, std::string(path), picture.file, kLargeSide, false});
  const auto find = [&](const std::string& key) -> const PictureView* {
    const auto at = state.pictures.find(key);
    return at == state.pictures.end() ? nullptr : &at->second;
  };
  // The page's own picture stands in until the large one is there.
  const PictureView* found = find(large);
  if (found == nullptr || found->state == PictureView::State::loading) {
    if (const PictureView* page = find(small);
        page != nullptr && page->state == PictureView::State::ready)
      found = page;
  }
  if (found == nullptr || found->state != PictureView::State::ready) {
    const bool failed = found != nullptr && found->state == PictureView::State::failed;
    draw_blank(ui, view, failed ? found->why : say("opening {0}", picture.file));
    return shown;
  }
  shown.ready = true;
  shown.aspect = static_cast<float>(found->width) / static_cast<float>(found->height);
  shown.whole = picture_rect(view, shown.aspect, state.photos.pan);
  ui.push_clip(view);
  ui.picture(shown.whole, found->texture, found->drawing ? t.ink : Colour{255, 255, 255});
  draw_marks(ui, shown.whole, view, picture.marks, *found, chosen);
  ui.pop_clip();
  return shown;
}

std::optional<PadKey> draw_photo_pad(Ui& ui, Rect pad, const PadLabels& labels) {
  const float gap = ui.metrics().form() == Form::small ? 1.2F : 2.0F;
  const float w = (pad.w - 2 * gap) / 3;
  const float h = (pad.h - 2 * gap) / 3;
  std::optional<PadKey> pressed = hard_pad_key(ui);
  for (int row = 0; row < 3; ++row) {
    for (int col = 0; col < 3; ++col) {
      const PadPlace& place = kPad[row][col];
      std::string label = place.label != nullptr ? tr(place.label) : "";
      const bool lower = place.key == PadKey::lower_left || place.key == PadKey::lower_right;
      if (lower) label = place.key == PadKey::lower_left ? labels.lower_left : labels.lower_right;
      if (lower && label.empty()) continue;
      const Rect r{pad.x + static_cast<float>(col) * (w + gap),
                   pad.y + static_cast<float>(row) * (h + gap), w, h};
      const bool sign = place.key == PadKey::in || place.key == PadKey::out;
      if (key(ui, place.id, r, label, sign ? Type::name : Type::small_bold)) pressed = place.key;
      arrow(ui, r.x + r.w / 2, r.y + r.h / 2, place.key);
    }
  }
  return pressed;
}

std::optional<Pan> pan_by(Ui& ui, Rect view, const State& state, const ShownPhoto& shown,
                          std::optional<PadKey> key) {
  const Ui::Drag drag = ui.drag_area("photo", view);
  if (!shown.ready) return std::nullopt;
  const Pan& pan = state.photos.pan;
  const auto move = [&](float dx, float dy) { return moved(pan, view, shown.aspect, dx, dy); };
  if (key) {
    switch (*key) {
      case PadKey::in:
        return zoomed(pan, view, shown.aspect, kZoomStep);
      case PadKey::out:
        return zoomed(pan, view, shown.aspect, 1 / kZoomStep);
      case PadKey::fit:
        return Pan{};
      // An arrow looks that way: what is there comes nearer to the middle.
      case PadKey::left:
        return move(kPadStep, 0);
      case PadKey::right:
        return move(-kPadStep, 0);
      case PadKey::up:
        return move(0, kPadStep);
      case PadKey::down:
        return move(0, -kPadStep);
      case PadKey::lower_left:
      case PadKey::lower_right:
        break;
    }
  }
  if (drag.dx != 0 || drag.dy != 0) return move(drag.dx, drag.dy);
  return std::nullopt;
}

Action view_action(const Pan& pan) { return {Do::photo_view, {}, 0, pan.x, pan.y, pan.zoom}; }

float photo_words(Ui& ui, Rect at, const shop::Picture& picture, int chosen) {
  const Theme& t = ui.theme();
  float y = at.y;
  if (!picture.caption.empty())
    y += ui.paragraph(at.x, y, at.w, Type::small, t.ink, picture.caption) + 1;
  for (std::size_t i = 0; i < picture.marks.size(); ++i) {
    const shop::Mark& mark = picture.marks[i];
    const bool here = static_cast<int>(i) == chosen;
    y += ui.paragraph(
        at.x, y, at.w, Type::small, here ? t.accent : t.ink,
        std::vector<Run>{
            {mark.label + "  ", true},
            {mark.text.empty() && chosen >= -1 && here ? tr("no words yet") : mark.text, false}});
  }
  return y - at.y;
}

}  // namespace baylore::viewer
