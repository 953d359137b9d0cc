// Packs: what came from other locations, what goes to them, what a lead has to settle.
#include <algorithm>

#include "files/names.h"
#include "pack/keys.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// What came of taking a pack in or out, in one line.
std::string outcome_words(const pack::Outcome& outcome) {
  std::string words;
  const auto add = [&](int number, std::string_view what) {
    if (number == 0) return;
    words += (words.empty() ? "" : ", ") + std::to_string(number) + " " + std::string(what);
  };
  add(outcome.fresh, tr_in("a count of texts", "new"));
  add(outcome.changed, tr_in("a count of texts", "changed"));
  add(outcome.conflicts, tr("to settle"));
  add(outcome.removed, tr("taken away"));
  add(outcome.same, tr("as they were"));
  return words.empty() ? tr("Nothing had to be changed") : words;
}

}  // namespace

std::string App::who() const {
  const job::Job* now = state_.current();
  return now != nullptr && !now->initials.empty() ? now->initials : state_.terminal.name;
}

void App::begin_pack_work(PackWork work) {
  state_.packs.work = work;
  state_.packs.progress = Progress(now_);
}

void App::take(PacksSeen& event) {
  PacksView& view = state_.packs;
  view.shelf = std::move(event.shelf);
  const auto& taken = view.shelf->taken;
  if (std::none_of(taken.begin(), taken.end(),
                   [&](const TakenPack& one) { return one.folder == view.taken; }))
    view.taken.clear();
}

void App::take(PackWorking& event) {
  if (state_.packs.work == PackWork::none) return;
  state_.packs.progress.at(event.done, event.all, now_);
}

void App::take(PackOpened& event) {
  PacksView& view = state_.packs;
  if (event.opened->path != view.opening) return;  // another one was asked for
  view.opening.clear();
  view.work = PackWork::none;
  view.opened = std::move(event.opened);
  view.chosen.clear();
  view.item = 0;
  view.item_open = false;
  for (const pack::PreviewItem& item : view.opened->preview.items) {
    if (can_be_taken(item)) view.chosen.insert(item.key);
  }
  // What would change comes to the eye first.
  const auto& items = view.opened->preview.items;
  const auto first = std::find_if(items.begin(), items.end(), can_be_taken);
  if (first != items.end()) view.item = static_cast<std::size_t>(first - items.begin());
  ui_.scroll_state("pack") = {};
  ui_.scroll_state("pack item") = {};
}

void App::take(SealPlanned& event) {
  state_.packs.offer = std::move(event.offer);
  if (state_.packs.work == PackWork::choosing) state_.packs.work = PackWork::none;
}

void App::take(KeyShown& event) { state_.packs.key = std::move(event.key); }

void App::take(PackDone& event) {
  PacksView& view = state_.packs;
  view.work = PackWork::none;
  using What = PackDone::What;
  if (event.failure) {
    constexpr const char* kNot[] = {marked("Not taken in"), marked("Not taken out"),
                                    marked("Not sealed"), marked("Not settled")};
    state_.notice =
        Notice{tr(kNot[static_cast<std::size_t>(event.what)]), event.failure->text(), true};
    return;
  }
  if (state_.screen == Screen::pack || state_.screen == Screen::seal ||
      state_.screen == Screen::settle)
    go_back();
  std::string lead;
  std::string more;
  switch (event.what) {
    case What::taken_in:
      lead = tr("Taken in");
      more = outcome_words(event.outcome) + ".";
      view.taken = event.outcome.folder;
      view.show_key = false;
      break;
    case What::taken_out:
      lead = tr("Taken out");
      more = say("{0}. What was edited here since stays.", outcome_words(event.outcome));
      break;
    case What::sealed:
      lead = tr("Sealed, and read back");
      more = event.path + ", " + size_words(event.bytes);
      break;
    case What::settled:
      lead = tr("Settled");
      more = tr("Both versions are among the earlier ones.");
      break;
  }
  if (!event.outcome.left.empty()) more = event.outcome.left.front().text();
  state_.notice = Notice{lead, more, !event.outcome.left.empty()};
}

void App::plan_pack() {
  state_.packs.offer.reset();
  begin_pack_work(PackWork::choosing);
  desk_->packs().plan(state_.packs.wish);
}

void App::accept_pack(const std::string& trust_as) {
  PacksView& view = state_.packs;
  if (!view.opened || !why_not(*view.opened).empty() || view.chosen.empty()) return;
  pack::Accepting how;
  how.chosen = view.chosen;
  how.who = who();
  how.when = files::now_text();
  how.trust_as = trust_as;
  begin_pack_work(PackWork::taking_in);
  desk_->packs().accept(view.opened, std::move(how));
}

void App::packs_menu(const std::string& what, Menu& menu) const {
  const PacksView& view = state_.packs;
  const auto add = [&](std::string id, std::string label, std::string value = {},
                       bool marked = false) {
    menu.rows.push_back(MenuRow{std::move(id), std::move(label), std::move(value), marked});
  };
  if (what == "packs more") {
    menu.title = tr("Packs");
    add("packs again", tr("Look again"), tr("sticks that came in since"));
    add("packs folder", tr("Another folder"), tr("type its path"));
    add("packs key", tr("This terminal's key"), tr("for the other location"));
  } else if (what == "packs undo") {
    menu.title = tr("Take it out again");
    add("back", tr("Leave it in"));
    add("undo now", tr("Take it out"), tr("what was edited here since stays"));
  } else if (what == "packs item") {
    menu.title = tr("More");
    add("pack all", tr("All that can be taken"));
    add("pack none", tr("None of it"));
  } else if (what == "seal system" || what == "seal author") {
    const bool system = what == "seal system";
    menu.title = system ? tr("Systems that go") : tr("Authors that go");
    const auto& chosen = system ? view.wish.choice.systems : view.wish.choice.authors;
    add("any", tr("All of them"), {}, chosen.empty());
    if (view.offer) {
      for (const std::string& one : system ? view.offer->systems : view.offer->authors)
        add("one:" + one, one, {}, std::find(chosen.begin(), chosen.end(), one) != chosen.end());
    }
  } else if (what == "seal to") {
    menu.title = tr("Where to write it");
    if (view.shelf) {
      for (const PackPlace& place : view.shelf->places) {
        if (place.writable)
          add("to:" + place.folder, place.label, place.folder, place.folder == view.to);
      }
    }
    add("seal folder", tr("Another folder"), tr("type its path"));
  }
}

bool App::choose_packs(const std::string& row) {
  const std::string what = state_.menu.what;
  PacksView& view = state_.packs;
  const auto ask = [&](std::string key, std::string title, std::string hint, std::string text) {
    state_.ask = Asking{std::move(key), std::move(title), std::move(hint),
                        TextBuffer{std::move(text)}, false};
    go(Screen::ask);
  };
  if (what == "job" && row == "packs") {
    go_back();
    apply({Do::open_packs, {}});
    return true;
  }
  if (what == "packs more") {
    go_back();
    if (row == "packs again") apply({Do::open_packs, "again"});
    if (row == "packs key") apply({Do::show_key, {}});
    if (row == "packs folder")
      ask("pack path", tr("A pack or a folder with packs"),
          tr("Its whole path, such as /media/stick"), "");
    return true;
  }
  if (what == "packs undo") {
    go_back();
    if (row != "undo now") return true;
    begin_pack_work(PackWork::taking_out);
    desk_->packs().undo(view.taken, who());
    return true;
  }
  if (what == "packs item") {
    go_back();
    apply({Do::pack_all, {}, row == "pack all" ? 1 : 0});
    return true;
  }
  if (what == "seal system" || what == "seal author") {
    auto& chosen = what == "seal system" ? view.wish.choice.systems : view.wish.choice.authors;
    if (row == "any") chosen.clear();
    if (row.starts_with("one:") && std::erase(chosen, row.substr(4)) == 0)
      chosen.push_back(row.substr(4));
    open_menu(what);
    // The lists of the menu are the offer's: it is replaced when the new one is there.
    desk_->packs().plan(view.wish);
    return true;
  }
  if (what == "seal to") {
    go_back();
    if (row.starts_with("to:")) view.to = row.substr(3);
    if (row == "seal folder")
      ask("seal folder", tr("Where to write it"), tr("A folder's whole path, such as /media/stick"),
          view.to);
    return true;
  }
  return false;
}

bool App::submit_packs(const std::string& what, const std::string& text) {
  PacksView& view = state_.packs;
  if (what == "pack path") {
    if (text.ends_with(".zip")) {
      apply({Do::open_pack, text});
    } else {
      options_.pack_places.push_back(text);
      desk_->packs().add_place(text);
      apply({Do::open_packs, "again"});
    }
    return true;
  }
  if (what == "trust as") {
    accept_pack(text);
    return true;
  }
  if (what == "seal folder") {
    if (!text.empty()) view.to = text;
    return true;
  }
  if (what == "seal words" || what == "seal since") {
    if (what == "seal since" && !text.empty() && day_words(text) == text) {
      state_.notice = Notice{say("No day: {0}", text), tr("Write it as 2026-03-14."), true};
      return true;
    }
    (what == "seal words" ? view.wish.words : view.wish.choice.since) = text;
    plan_pack();
    return true;
  }
  return false;
}

bool App::apply_packs(const Action& action) {
  PacksView& view = state_.packs;
  // One thing at a time: what is under way is waited for, or given up.
  const bool busy = view.work != PackWork::none && view.work != PackWork::choosing;
  switch (action.what) {
    case Do::open_packs:
      if (action.text.empty()) {
        view.taken.clear();
        view.show_key = false;
        ui_.scroll_state("packs") = {};
        go(Screen::packs);
      }
      desk_->packs().look();
      return true;
    case Do::open_taken:
      view.taken = action.text;
      view.show_key = false;
      ui_.scroll_state("taken") = {};
      return true;
    case Do::show_key:
      view.show_key = !view.show_key;
      view.taken.clear();
      if (view.show_key) desk_->packs().show_key();
      return true;
    case Do::open_pack:
      if (busy) return true;
      view.opened.reset();
      view.opening = action.text;
      begin_pack_work(PackWork::reading);
      desk_->packs().open(action.text);
      go(Screen::pack);
      return true;
    case Do::pack_item:
      view.item_open = action.number >= 0;
      if (action.number >= 0) view.item = static_cast<std::size_t>(action.number);
      ui_.scroll_state("pack item") = {};
      return true;
    case Do::pack_tick: {
      const auto which = static_cast<std::size_t>(action.number);
      if (!view.opened || which >= view.opened->preview.items.size()) return true;
      const pack::PreviewItem& item = view.opened->preview.items[which];
      if (can_be_taken(item) && view.chosen.erase(item.key) == 0) view.chosen.insert(item.key);
      return true;
    }
    case Do::pack_all:
      view.chosen.clear();
      if (action.number == 0 || !view.opened) return true;
      for (const pack::PreviewItem& item : view.opened->preview.items) {
        if (can_be_taken(item)) view.chosen.insert(item.key);
      }
      return true;
    case Do::accept_pack:
      if (!view.opened || busy) return true;
      if (needs_trust(*view.opened)) {
        state_.ask =
            Asking{"trust as", say("Whose key is {0}", view.opened->pack->signature.key_id),
                   tr("Compare it with the key they show. Then its name: letters, digits and "
                      "dashes, such as hexley-road. It is trusted from now on"),
                   TextBuffer{}, false};
        go(Screen::ask);
        return true;
      }
      accept_pack({});
      return true;
    case Do::stop_pack:
      desk_->packs().stop();
      return true;
    case Do::undo_pack:
      if (busy) return true;
      view.taken = action.text;
      open_menu("packs undo");
      return true;
    case Do::open_seal:
      if (busy) return true;
      view.wish = SealWish{};
      view.left_out.clear();
      if (view.to.empty() && view.shelf) {
        for (const PackPlace& place : view.shelf->places) {
          if (view.to.empty() && place.writable) view.to = place.folder;
        }
      }
      ui_.scroll_state("seal") = {};
      ui_.scroll_state("seal tips") = {};
      plan_pack();
      go(Screen::seal);
      return true;
    case Do::seal_tick:
      if (action.text == "parts" || action.text == "photos" || action.text == "counts") {
        bool& one = action.text == "parts"    ? view.wish.choice.parts
                    : action.text == "photos" ? view.wish.choice.photos
                                              : view.wish.choice.counts;
        one = !one;
        plan_pack();
      } else if (view.left_out.erase(action.text) == 0) {
        view.left_out.insert(action.text);
      }
      return true;
    case Do::seal_ask: {
      const bool words = action.text == "words";
      state_.ask = Asking{"seal " + action.text, words ? tr("Found by") : tr("Written since"),
                          words ? tr("What a search for these words finds; nothing: all")
                                : tr("A day such as 2026-03-14; nothing: any day"),
                          TextBuffer{words ? view.wish.words : view.wish.choice.since}, false};
      go(Screen::ask);
      return true;
    }
    case Do::seal_pack: {
      if (busy || !view.offer) return true;
      std::vector<std::string> ids = tips_that_go(view);
      if (ids.empty()) return true;
      begin_pack_work(PackWork::sealing);
      desk_->packs().seal(view.wish, std::move(ids), view.to);
      return true;
    }
    case Do::open_settle: {
      const auto which = static_cast<std::size_t>(action.number);
      if (!view.shelf || which >= view.shelf->open.size()) return true;
      Settling settling{view.shelf->open[which], {}, {}};
      if (!settling.text.alone())
        settling.places = pack::differences(settling.text.start, settling.text.theirs);
      view.settling = std::move(settling);
      ui_.scroll_state("settle") = {};
      go(Screen::settle);
      return true;
    }
    case Do::settle_place: {
      const auto which = static_cast<std::size_t>(action.number);
      if (!view.settling || which >= view.settling->places.size()) return true;
      if (view.settling->taken.erase(which) == 0) view.settling->taken.insert(which);
      return true;
    }
    case Do::settle_all:
      if (!view.settling) return true;
      view.settling->taken.clear();
      for (std::size_t i = 0; action.number == 1 && i < view.settling->places.size(); ++i)
        view.settling->taken.insert(i);
      return true;
    case Do::settle:
      if (busy || !view.settling) return true;
      begin_pack_work(PackWork::settling);
      desk_->packs().settle(*view.settling);
      return true;
    default:
      return false;
  }
}

}  // namespace baylore::viewer
