// Pictures: looked at as large as the panel, taken in from a stick, marked, captioned.
#include <algorithm>
#include <array>
#include <cmath>

#include "files/names.h"
#include "shop/shop.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr std::array<const char*, 6> kSections{marked("Symptom"),  marked("Checks"),
                                               marked("Location"), marked("Repair"),
                                               marked("Finish"),   marked("Background")};

// The number a further mark gets.
std::string next_label(const shop::Picture& picture) {
  int most = 0;
  for (const shop::Mark& mark : picture.marks) most = std::max(most, std::atoi(mark.label.c_str()));
  return std::to_string(most + 1);
}

std::size_t index_of(const PhotosView& view, const std::string& file) {
  const auto at =
      std::find_if(view.placed.begin(), view.placed.end(),
                   [&](const shop::PlacedPicture& one) { return one.picture.file == file; });
  return static_cast<std::size_t>(at - view.placed.begin());
}

}  // namespace

std::string section_words(const std::string& key) {
  std::string name = key;
  if (!name.empty() && name[0] >= 'a' && name[0] <= 'z')
    name[0] = static_cast<char>(name[0] - ('a' - 'A'));
  return tr(name);
}

const shop::PlacedPicture* marked_picture(const PhotosView& view) {
  const std::size_t at = index_of(view, view.marking);
  return at < view.placed.size() ? &view.placed[at] : nullptr;
}

void App::read_placed() { state_.photos.placed = shop::placed_pictures(state_.write.document); }

void App::begin_marking(const std::string& file) {
  PhotosView& view = state_.photos;
  view.marking = file;
  view.mark = -1;
  view.undo.clear();
  view.pan = {};
  ui_.scroll_state("photo words") = {};
}

// The text follows at once, so that a draft holds it within a second.
void App::change_marked(const shop::Picture& picture) {
  PhotosView& view = state_.photos;
  Writing& w = state_.write;
  const std::size_t at = index_of(view, view.marking);
  if (at >= view.placed.size() || w.saving) return;
  shop::change_picture(w.document, at, picture);
  if (w.changed_at == 0) w.changed_at = now_;
  unchecked_ = true;
  read_placed();
}

// What was taken in for a draft that nobody brought back goes with it.
void App::forget_dropped() {
  if (!state_.dropped) return;
  if (!state_.dropped->photos.empty()) desk_->photos().forget(state_.dropped->photos);
  state_.dropped.reset();
}

void App::take_photos() {
  PhotosView& view = state_.photos;
  Writing& w = state_.write;
  if (view.working || view.ticked.empty() || !w.active) return;
  const std::string stem = shop::slug_of(get_field(w.document, "title")).substr(0, 40);
  view.working = true;
  view.done = 0;
  view.all = view.ticked.size();
  view.progress = Progress(now_);
  desk_->photos().take_in(w.draft_id, view.ticked, stem.empty() ? "photo" : stem);
}

// --- events

void App::take(PhotosSeen& event) {
  PhotosView& view = state_.photos;
  view.shelf = std::move(event.shelf);
  // What is not there any more cannot be taken in.
  std::erase_if(view.ticked, [&](const std::string& path) {
    return std::none_of(view.shelf->found.begin(), view.shelf->found.end(),
                        [&](const FoundPhoto& one) { return one.path == path; });
  });
}

void App::take(PhotosWorking& event) {
  state_.photos.done = event.done;
  state_.photos.all = event.all;
  state_.photos.progress.at(event.bytes_done, event.bytes_all, now_);
}

void App::take(ThumbMade& event) {
  if (event.skipped) {
    state_.pictures.erase(event.key);
    return;
  }
  PictureDecoded decoded{std::move(event.key), std::move(event.picture), std::move(event.why)};
  take(decoded);
}

void App::take(PhotosTaken& event) {
  PhotosView& view = state_.photos;
  Writing& w = state_.write;
  view.working = false;
  if (event.stopped) {
    state_.notice = Notice{tr("Stopped: nothing was taken in"), {}, false};
    return;
  }
  if (!w.active || w.saving || w.draft_id != event.draft) {
    // The draft they were for was saved or dropped meanwhile.
    desk_->photos().forget(event.files);
    return;
  }
  leave_field();
  for (const std::string& file : event.files) {
    shop::Picture picture;
    picture.file = file;
    shop::add_picture(w.document, "Location", picture);
    w.photos.push_back(file);
  }
  if (!event.files.empty()) {
    if (w.changed_at == 0) w.changed_at = now_;
    unchecked_ = true;
    read_placed();
    view.to_mark.assign(event.files.begin() + 1, event.files.end());
    begin_marking(event.files.front());
    view.ticked.clear();
    // Marking comes next; whoever has turned to something else finds them under Write.
    if (state_.screen == Screen::photo_take) state_.screen = Screen::photo_mark;
  }
  if (event.failures.empty()) return;
  const files::Failure& first = event.failures.front();
  const std::string lead =
      first.kind == files::Failure::Kind::full ? tr("Not taken in; free 20 MB")
      : event.files.empty()
          ? (event.asked == 1 ? tr("Not taken in") : tr("None of them was taken in"))
          : say("{0} of {1} taken in", event.files.size(), event.asked);
  std::string what = files::name_of(first.path) + ": " + first.what;
  if (!first.remedy.empty()) what += ": " + first.remedy;
  state_.notice = Notice{lead, what, true};
}

// --- menus and typing

void App::photos_menu(const std::string& what, Menu& menu) const {
  const PhotosView& view = state_.photos;
  const auto add = [&](std::string id, std::string label, std::string value = {},
                       bool marked = false) {
    menu.rows.push_back(MenuRow{std::move(id), std::move(label), std::move(value), marked});
  };
  if (what == "photos") {
    menu.title = tr("Pictures of this tip");
    add("take in", tr("Take in from a stick or a camera"));
    for (const shop::PlacedPicture& one : shop::placed_pictures(state_.write.document)) {
      const std::size_t marks = one.picture.marks.size();
      add("mark:" + one.picture.file,
          one.picture.caption.empty() ? one.picture.file : one.picture.caption,
          section_words(one.section) + ", " +
              say_count("{0} mark", "{0} marks", static_cast<long>(marks), marks));
    }
  } else if (what == "photo place") {
    menu.title = tr("Where the pictures are");
    if (view.shelf) {
      for (const PhotoPlace& place : view.shelf->places)
        add("place:" + place.folder, place.label, place.folder, place.folder == view.shelf->place);
    }
    add("photo folder", tr("Another folder"), tr("type its path"));
  } else if (what == "photo more") {
    menu.title = tr("This picture");
    add("caption", tr("Caption"));
    if (view.mark >= 0) add("words", tr("Words of the mark"));
    add("section", tr("Section"));
    add("take out", tr("Take it out of the text"));
  } else if (what == "photo section") {
    menu.title = tr("Where in the tip it stands");
    const shop::PlacedPicture* placed = marked_picture(view);
    for (const char* section : kSections) {
      std::string key(section);
      key[0] = static_cast<char>(key[0] + ('a' - 'A'));
      add("section:" + std::string(section), tr(section), {},
          placed != nullptr && placed->section == key);
    }
    add("take out", tr("Take it out of the text"));
  }
}

bool App::choose_photos(const std::string& row) {
  const std::string what = state_.menu.what;
  PhotosView& view = state_.photos;
  Writing& w = state_.write;
  if (!what.starts_with("photo")) return false;
  go_back();
  if (row == "take in") {
    apply({Do::open_photos, {}});
  } else if (row.starts_with("mark:")) {
    read_placed();
    apply({Do::mark_photo, {}, static_cast<int>(index_of(view, row.substr(5)))});
  } else if (row.starts_with("place:")) {
    apply({Do::photos_place, row.substr(6)});
  } else if (row == "photo folder") {
    ask("photo folder", tr("Where the pictures are"),
        tr("A folder's whole path, such as /media/stick"), {});
  } else if (row == "caption" || row == "words") {
    apply({Do::photo_ask, row});
  } else if (row == "section") {
    open_menu("photo section");
  } else if (row == "take out" || row.starts_with("section:")) {
    const std::size_t at = index_of(view, view.marking);
    if (at >= view.placed.size() || w.saving) return true;
    const shop::Picture picture = view.placed[at].picture;
    if (!shop::remove_picture(w.document, at)) {
      state_.notice = Notice{tr("It stands among other words"),
                             tr("Move it in the text of its section."), true};
      return true;
    }
    if (row != "take out") shop::add_picture(w.document, row.substr(8), picture);
    if (w.changed_at == 0) w.changed_at = now_;
    unchecked_ = true;
    read_placed();
    if (row == "take out") apply({Do::mark_next, {}});
  }
  return true;
}

bool App::submit_photos(const std::string& what, const std::string& text) {
  if (what == "photo folder") {
    if (text.empty()) return true;
    options_.photo_places.push_back(text);
    desk_->photos().add_place(text);
    apply({Do::photos_place, text});
    return true;
  }
  if (what != "photo caption" && what != "photo words") return false;
  PhotosView& view = state_.photos;
  const shop::PlacedPicture* placed = marked_picture(view);
  if (placed == nullptr) return true;
  shop::Picture picture = placed->picture;
  view.undo.push_back(picture);
  if (what == "photo caption") {
    picture.caption = text;
  } else if (view.mark >= 0 && static_cast<std::size_t>(view.mark) < picture.marks.size()) {
    picture.marks[static_cast<std::size_t>(view.mark)].text = text;
  }
  change_marked(picture);
  return true;
}

// On a picture the keys + and - come closer and go away, and 0 fits it in.
bool App::type_on_photo(const std::string& text) {
  if (state_.screen != Screen::photo && state_.screen != Screen::photo_mark) return false;
  if (text != "+" && text != "-" && text != "0") return false;
  Pan& pan = state_.photos.pan;
  pan = text == "0" ? Pan{}
                    : Pan{std::clamp(text == "+" ? pan.zoom * kZoomStep : pan.zoom / kZoomStep,
                                     1.0F, kMostZoom),
                          pan.x, pan.y};
  return true;
}

// --- actions

bool App::apply_photos(const Action& action) {
  PhotosView& view = state_.photos;
  const shop::PlacedPicture* placed = marked_picture(view);
  switch (action.what) {
    case Do::open_photo:
    case Do::photo_step: {
      if (!state_.tip || state_.tip->tip.pictures.empty()) return true;
      const auto count = static_cast<int>(state_.tip->tip.pictures.size());
      const int from = action.what == Do::open_photo ? 0 : state_.picture;
      state_.picture = ((from + action.number) % count + count) % count;
      view.pan = {};
      ui_.scroll_state("photo words") = {};
      const std::string key = picture_key(
          state_.tip->row.path, state_.tip->tip.pictures[static_cast<std::size_t>(state_.picture)]);
      for (const std::string& shown : {key, key + "\nlarge"}) {
        if (const auto at = state_.pictures.find(shown); at != state_.pictures.end())
          at->second.pulse_from = now_;
      }
      if (action.what == Do::open_photo) go(Screen::photo);
      return true;
    }
    case Do::photo_view:
      view.pan = {action.z, action.x, action.y};
      return true;
    case Do::open_photos:
      if (!state_.write.active) return true;
      leave_field();
      view.shelf.reset();
      view.ticked.clear();
      ui_.scroll_state("photos") = {};
      desk_->photos().look({});
      go(Screen::photo_take);
      return true;
    case Do::photos_place:
      if (view.working) return true;
      if (view.shelf && view.shelf->place != action.text) ui_.scroll_state("photos") = {};
      desk_->photos().look(action.text);
      return true;
    case Do::photo_tick:
      if (view.working) return true;
      if (std::erase(view.ticked, action.text) > 0) return true;
      if (view.ticked.size() < kPhotosTicked) view.ticked.push_back(action.text);
      return true;
    case Do::take_photos:
      take_photos();
      return true;
    case Do::stop_photos:
      desk_->photos().stop();
      return true;
    case Do::mark_photo:
      leave_field();
      read_placed();
      if (action.number < 0 || static_cast<std::size_t>(action.number) >= view.placed.size())
        return true;
      view.to_mark.clear();
      begin_marking(view.placed[static_cast<std::size_t>(action.number)].picture.file);
      go(Screen::photo_mark);
      return true;
    case Do::mark_at: {
      if (placed == nullptr || placed->picture.marks.size() >= kMarksPlaced) return true;
      shop::Picture picture = placed->picture;
      view.undo.push_back(picture);
      picture.marks.push_back({next_label(picture),
                               std::clamp<double>(action.x, 0, 1),
                               std::clamp<double>(action.y, 0, 1),
                               {},
                               0});
      view.mark = static_cast<int>(picture.marks.size()) - 1;
      change_marked(picture);
      return true;
    }
    case Do::mark_choose:
      view.mark = action.number;
      return true;
    case Do::mark_nudge: {
      if (placed == nullptr || view.mark < 0 ||
          static_cast<std::size_t>(view.mark) >= placed->picture.marks.size())
        return true;
      shop::Picture picture = placed->picture;
      view.undo.push_back(picture);
      shop::Mark& mark = picture.marks[static_cast<std::size_t>(view.mark)];
      // The text keeps thousandths: less than one would not move it at all.
      const auto step = [](float by) {
        return by == 0 ? 0.0
                       : std::copysign(std::max(0.001, std::abs(static_cast<double>(by))),
                                       static_cast<double>(by));
      };
      mark.x = std::clamp(mark.x + step(action.x), 0.0, 1.0);
      mark.y = std::clamp(mark.y + step(action.y), 0.0, 1.0);
      change_marked(picture);
      return true;
    }
    case Do::mark_undo: {
      if (placed == nullptr || view.undo.empty()) return true;
      const shop::Picture before = std::move(view.undo.back());
      view.undo.pop_back();
      view.mark = std::min(view.mark, static_cast<int>(before.marks.size()) - 1);
      change_marked(before);
      return true;
    }
    case Do::mark_next:
      if (!view.to_mark.empty()) {
        const std::string next = view.to_mark.front();
        view.to_mark.erase(view.to_mark.begin());
        begin_marking(next);
        return true;
      }
      go_back();
      return true;
    case Do::photo_ask: {
      if (placed == nullptr) return true;
      const bool caption = action.text == "caption";
      if (!caption &&
          (view.mark < 0 || static_cast<std::size_t>(view.mark) >= placed->picture.marks.size()))
        return true;
      ask(caption ? "photo caption" : "photo words",
          caption ? tr("Caption") : tr("What the mark shows"),
          caption ? tr("What is seen, and from where")
                  : tr("A word or two: weep hole, clip, earth point"),
          caption ? placed->picture.caption
                  : placed->picture.marks[static_cast<std::size_t>(view.mark)].text);
      return true;
    }
    default:
      return false;
  }
}

}  // namespace baylore::viewer
