// The working sheet of the tip shown: its codes, and its PDF on a stick or in a folder.
#include <algorithm>

#include "files/names.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

SheetAsked sheet_asked_for(const TipPage& page) {
  return {page.row.id, page.tip, page.findings, page.questions};
}

}  // namespace

void App::take(SheetMade& event) {
  SheetView& view = state_.sheet;
  if (event.page->tip != view.opening) return;  // another one was asked for
  view.page = std::move(event.page);
  view.at = 0;
  if (!view.paper_chosen) view.paper = view.page->paper;
  // What was chosen before stays chosen while it is there.
  const auto& places = view.page->places;
  const auto usable = [&](const PackPlace& place) { return place.writable; };
  const bool there = std::any_of(places.begin(), places.end(), [&](const PackPlace& place) {
    return place.writable && place.folder == view.to;
  });
  const auto first = std::find_if(places.begin(), places.end(), usable);
  if (!there) view.to = first == places.end() ? std::string() : first->folder;
}

void App::take(SheetSaved& event) {
  state_.sheet.saving = false;
  if (event.failure) {
    state_.notice = event.failure->kind == files::Failure::Kind::full
                        ? Notice{tr("Not saved; free 20 MB"), event.failure->path, true}
                        : Notice{tr("The sheet was not saved"), event.failure->text(), true};
    return;
  }
  state_.notice =
      Notice{say("Saved: {0}", files::name_of(event.path)),
             say_count("{0} page, in {1}", "{0} pages, in {1}", static_cast<long>(event.pages),
                       event.pages, files::folder_of(event.path)),
             false};
}

bool App::apply_sheet(const Action& action) {
  SheetView& view = state_.sheet;
  switch (action.what) {
    case Do::open_sheet:
      if (!state_.tip || state_.tip->preview) return true;
      view.opening = state_.tip->row.id;
      view.page.reset();
      ui_.scroll_state("sheet") = {};
      desk_->sheets().make(sheet_asked_for(*state_.tip));
      go(Screen::sheet);
      return true;
    case Do::sheet_step:
      if (view.page) {
        const std::size_t count = view.page->codes.size();
        view.at = (view.at + (action.number < 0 ? count - 1 : 1)) % count;
      }
      return true;
    case Do::sheet_paper:
      view.paper_chosen = true;
      view.paper = view.paper == sheet::Paper::a4 ? sheet::Paper::letter : sheet::Paper::a4;
      return true;
    case Do::save_sheet:
      if (view.saving || !state_.tip || state_.tip->preview || view.to.empty()) return true;
      view.saving = true;
      desk_->sheets().save(sheet_asked_for(*state_.tip), view.paper, view.to);
      return true;
    default:
      return false;
  }
}

void App::sheet_menu(Menu& menu) const {
  menu.title = tr("Where to write it");
  if (state_.sheet.page) {
    for (const PackPlace& place : state_.sheet.page->places) {
      if (place.writable)
        menu.rows.push_back(
            {"to:" + place.folder, place.label, place.folder, place.folder == state_.sheet.to});
    }
  }
  menu.rows.push_back({"sheet folder", tr("Another folder"), tr("type its path"), false});
}

bool App::choose_sheet(const std::string& row) {
  if (state_.menu.what == "tip" && row == "sheet") {
    go_back();
    apply({Do::open_sheet, {}});
    return true;
  }
  if (state_.menu.what != "sheet to") return false;
  go_back();
  if (row.starts_with("to:")) state_.sheet.to = row.substr(3);
  if (row == "sheet folder") {
    state_.ask = Asking{"sheet folder", tr("Where to write it"),
                        tr("A folder's whole path, such as /media/stick"),
                        TextBuffer{state_.sheet.to}, false};
    go(Screen::ask);
  }
  return true;
}

}  // namespace baylore::viewer
