// Pictures on a stick or in a camera's folder, small, to be ticked and taken in.
#include <algorithm>
#include <cmath>

#include "viewer/screens/pack_parts.h"
#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr int kThumbSide = 320;  // pixels

std::string thumb_key(const FoundPhoto& photo) {
  // A card that was put in later may have another picture of the same name.
  return "stick\n" + photo.path + "\n" + std::to_string(photo.bytes) + photo.when;
}

std::string place_label(const PhotosView& view) {
  if (!view.shelf) return tr("looking");
  for (const PhotoPlace& place : view.shelf->places) {
    if (place.folder == view.shelf->place) return place.label;
  }
  return tr("no stick");
}

// One picture with its day; a tap ticks it.
bool photo_cell(Ui& ui, Rect cell, const State& state, const FoundPhoto& photo,
                std::size_t number) {
  const Theme& t = ui.theme();
  const float words = ui.pitch(Type::small) + 0.6F;
  const Rect box{cell.x, cell.y, cell.w, cell.h - words};
  const std::string key = thumb_key(photo);
  ui.ask_picture({key, {}, photo.path, kThumbSide, true});
  const auto found = state.pictures.find(key);
  const bool ready =
      found != state.pictures.end() && found->second.state == PictureView::State::ready;
  if (ready) {
    const float aspect =
        static_cast<float>(found->second.width) / static_cast<float>(found->second.height);
    const Rect whole = picture_rect(box, aspect, {});
    ui.picture(whole, found->second.texture, found->second.drawing ? t.ink : Colour{255, 255, 255});
  } else {
    const bool failed =
        found != state.pictures.end() && found->second.state == PictureView::State::failed;
    ui.fill(box, t.face);
    if (failed) {
      ui.push_clip(box);
      // The number of a ticked one stands in the corner.
      ui.paragraph(box.x + 1, box.y + 1, box.w - 2 - (number > 0 ? 8.5F : 0), Type::small, t.ink,
                   tr("No picture that can be read"), 3);
      ui.pop_clip();
    }
  }
  if (number > 0) {
    ui.frame(box, 0.9F, t.accent);
    const Rect tick{box.right() - 8, box.y, 8, 8};
    ui.fill(tick, t.accent);
    ui.text(tick.x + 4, tick.y + 4 + ui.capitals(Type::small_bold) / 2, Type::small_bold,
            t.on_accent, std::to_string(number), Align::centre);
  }
  // Where day and time do not fit beside each other the day says enough.
  const Type type = number > 0 ? Type::small_bold : Type::small;
  const std::string when = ui.width(type, photo.when) <= cell.w
                               ? photo.when
                               : photo.when.substr(0, photo.when.rfind(' '));
  ui.text_in(cell.x, cell.bottom() - 0.9F, cell.w, type, number > 0 ? t.accent : t.ink, when);
  if (ui.pressed(cell)) ui.frame(cell, 0.5F, t.ink);
  return ui.target("shot:" + photo.path, cell);
}

// What is under way, with a bar. Returns the height.
float work(Ui& ui, Rect at, const PhotosView& view) {
  const Theme& t = ui.theme();
  std::string words = say("Taking in {0} of {1}", view.done + 1, view.all);
  if (const std::string left = view.progress.left(); !left.empty()) words += " · " + left;
  float y = at.y + ui.paragraph(at.x, at.y, at.w, Type::small_bold, t.ink, words) + 0.6F;
  const float part = view.progress.part();
  ui.fill({at.x, y, at.w * part, 2.7F}, t.accent);
  ui.hline(at.x, y + 2.7F, at.w, 0.2F, t.ink);
  y += 5;
  return y - at.y;
}

}  // namespace

void photo_take_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PhotosView& view = state.photos;
  const bool phone = at.form == Form::phone;
  draw_heading(ui, at, tr("Take in pictures"), tr("copied small, upright, without place and time"));
  const float x = phone ? at.main.x : 3.5F;
  Rect r{x, at.left.y, at.right.right() - x, at.left.h};

  const float row_h = std::max(15.0F, ui.metrics().target());
  const Rect from{r.x, r.y, r.w, row_h};
  if (ui.pressed(from)) ui.fill(from, t.face);
  const float base = from.y + from.h / 2 + ui.capitals(Type::small_bold) / 2;
  const float w = ui.text(from.x + 1, base, Type::small, t.muted, tr("From  "));
  ui.text_in(from.x + 1 + w, base, from.w - w - 9, Type::small_bold, t.ink, place_label(view));
  const float mid = from.y + from.h / 2;
  ui.triangle(from.right() - 1, mid, from.right() - 4, mid - 2.6F, from.right() - 4, mid + 2.6F,
              t.ink);
  ui.hline(from.x, from.bottom(), from.w, 0.35F, t.ink);
  if (ui.target("photo place", from)) out.push_back({Do::menu, "photo place"});
  r.y += row_h + 1.5F;
  r.h -= row_h + 1.5F;
  if (view.working) {
    const float used = work(ui, r, view);
    r.y += used;
    r.h -= used;
  }

  const float top = ui.begin_scroll("photos", r);
  float y = top;
  if (!view.shelf) {
    y += ui.paragraph(r.x, y + 2, r.w, Type::text, t.muted, tr("Looking.")) + 2;
  } else if (!view.shelf->trouble.empty()) {
    y += ui.paragraph(r.x, y + 2, r.w, Type::small, t.out_of_range, view.shelf->trouble) + 2;
  } else if (view.shelf->found.empty()) {
    y +=
        ui.paragraph(r.x, y + 2, r.w, Type::text, t.ink,
                     view.shelf->places.empty()
                         ? tr("No stick and no camera's folder here. Put one in, then look again.")
                         : tr("No picture here. JPEG and PNG are looked for, in a camera's folders "
                              "first.")) +
        2;
  } else {
    const float gap = 3;
    const float least = phone ? 25.0F : at.form == Form::small ? 30.0F : 36.0F;
    const auto columns =
        static_cast<std::size_t>(std::max(1.0F, std::floor((r.w - 1 + gap) / (least + gap))));
    const float cell_w =
        (r.w - 1 - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns);
    const float cell_h = cell_w * 0.75F + ui.pitch(Type::small) + 0.6F;
    for (std::size_t i = 0; i < view.shelf->found.size(); ++i) {
      const FoundPhoto& photo = view.shelf->found[i];
      const Rect cell{r.x + static_cast<float>(i % columns) * (cell_w + gap),
                      y + static_cast<float>(i / columns) * (cell_h + gap), cell_w, cell_h};
      // Nothing is drawn, and nothing decoded, that is out of view.
      if (cell.y > r.bottom() || cell.bottom() < r.y) continue;
      const auto ticked = std::find(view.ticked.begin(), view.ticked.end(), photo.path);
      const std::size_t number = ticked == view.ticked.end()
                                     ? 0
                                     : static_cast<std::size_t>(ticked - view.ticked.begin()) + 1;
      if (photo_cell(ui, cell, state, photo, number)) out.push_back({Do::photo_tick, photo.path});
    }
    const std::size_t rows = (view.shelf->found.size() + columns - 1) / columns;
    y += static_cast<float>(rows) * (cell_h + gap);
    if (view.shelf->more)
      y += ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                        say("Only the newest {0} are shown.", view.shelf->found.size()));
  }
  ui.end_scroll(y - top);

  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""},
                             {"again",
                              phone ? tr("Look") : tr("Look again"),
                              {Do::photos_place, view.shelf ? view.shelf->place : ""},
                              ""}};
  const std::string label =
      view.ticked.empty() ? tr("Take in") : say("Take in {0}", view.ticked.size());
  draw_strip(ui, at, keys,
             view.working ? StripKey{"primary", tr("Stop"), {Do::stop_photos, {}}, ""}
                          : StripKey{"primary", label, {Do::take_photos, {}}, ""},
             view.working || !view.ticked.empty(), out);
}

}  // namespace baylore::viewer
