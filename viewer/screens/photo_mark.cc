// A draft's picture: a tap places a mark, arrows move it, its words and the caption are typed.
#include <algorithm>
#include <cmath>

#include "viewer/screens/photo_parts.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr float kNudge = 0.5F;  // mm on the panel
constexpr float kReach = 5.5F;  // mm: a tap so near to a mark chooses it

// The mark that a tap means; -1: none.
int mark_near(const shop::Picture& picture, const Rect& whole, float x, float y) {
  int nearest = -1;
  float best = kReach;
  for (std::size_t i = 0; i < picture.marks.size(); ++i) {
    const float px = whole.x + static_cast<float>(picture.marks[i].x) * whole.w;
    const float py = whole.y + static_cast<float>(picture.marks[i].y) * whole.h;
    const float far = std::hypot(px - x, py - y);
    if (far >= best) continue;
    best = far;
    nearest = static_cast<int>(i);
  }
  return nearest;
}

// Moves the chosen mark, and says whether the key was for it.
bool nudged(const ShownPhoto& shown, std::optional<PadKey> key, int chosen, Actions& out) {
  if (!key || chosen < 0 || !shown.ready) return false;
  const float dx = kNudge / shown.whole.w;
  const float dy = kNudge / shown.whole.h;
  switch (*key) {
    case PadKey::left:
      out.push_back({Do::mark_nudge, {}, 0, -dx, 0});
      return true;
    case PadKey::right:
      out.push_back({Do::mark_nudge, {}, 0, dx, 0});
      return true;
    case PadKey::up:
      out.push_back({Do::mark_nudge, {}, 0, 0, -dy});
      return true;
    case PadKey::down:
      out.push_back({Do::mark_nudge, {}, 0, 0, dy});
      return true;
    default:
      return false;
  }
}

}  // namespace

void photo_mark_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const PhotosView& view = state.photos;
  const shop::PlacedPicture* placed = marked_picture(view);
  if (placed == nullptr) {
    draw_heading(ui, at, tr("No picture"), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const shop::Picture& picture = placed->picture;
  draw_heading(ui, at, tr("Tap what the picture shows"),
               section_words(placed->section) + " · " + picture.file);
  const PhotoAreas areas = photo_areas(at, ui.metrics());
  const std::string path = state.write.path.empty() ? "tips/new.md" : state.write.path;
  const ShownPhoto shown = draw_photo(ui, areas.view, state, path, picture, view.mark);
  std::optional<PadKey> key = draw_photo_pad(
      ui, areas.pad, {view.undo.empty() ? "" : tr("Undo"), shown.ready ? tr("Mark") : ""});
  if (key == PadKey::lower_left) out.push_back({Do::mark_undo, {}});
  if (key == PadKey::lower_right) {
    // The middle of what is seen: arrows bring it to its place.
    const Rect& v = areas.view;
    out.push_back({Do::mark_at,
                   {},
                   0,
                   (v.x + v.w / 2 - shown.whole.x) / shown.whole.w,
                   (v.y + v.h / 2 - shown.whole.y) / shown.whole.h});
  }
  if (nudged(shown, key, view.mark, out)) key.reset();
  if (const auto pan = pan_by(ui, areas.view, state, shown, key)) out.push_back(view_action(*pan));
  float x = 0;
  float y = 0;
  if (shown.ready && ui.take_tap(areas.view, x, y)) {
    const int near = mark_near(picture, shown.whole, x, y);
    if (near >= 0) {
      out.push_back({Do::mark_choose, {}, near == view.mark ? -1 : near});
    } else if (shown.whole.holds(x, y)) {
      out.push_back({Do::mark_at,
                     {},
                     0,
                     (x - shown.whole.x) / shown.whole.w,
                     (y - shown.whole.y) / shown.whole.h});
    }
  }

  const float top = ui.begin_scroll("photo words", areas.words);
  float below = top;
  if (picture.caption.empty())
    below += ui.paragraph(areas.words.x, below, areas.words.w - 1, Type::small, ui.theme().muted,
                          tr("No caption yet")) +
             1;
  below += photo_words(ui, {areas.words.x, below, areas.words.w - 1, 0}, picture, view.mark);
  if (picture.marks.empty())
    below += ui.paragraph(areas.words.x, below, areas.words.w - 1, Type::small, ui.theme().muted,
                          tr("No mark yet: tap the place"));
  ui.end_scroll(below - top);

  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  if (at.form == Form::phone) {
    keys.push_back({"more", tr("More"), {Do::menu, "photo more"}, " "});
  } else {
    keys.push_back({"caption", tr("Caption"), {Do::photo_ask, "caption"}, ""});
    if (view.mark >= 0) keys.push_back({"words", tr("Words"), {Do::photo_ask, "words"}, ""});
    keys.push_back({"section", tr("Section"), {Do::menu, "photo section"}, ""});
  }
  draw_strip(
      ui, at, keys,
      {"primary", view.to_mark.empty() ? tr("Done") : tr("Next one"), {Do::mark_next, {}}, ""},
      true, out);
}

}  // namespace baylore::viewer
