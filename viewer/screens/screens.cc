#include "viewer/screens/screens.h"

#include <algorithm>

#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

bool types_here(const State& state) {
  switch (state.screen) {
    case Screen::job:
      return state.typing;
    case Screen::write:
      return !state.write.field.empty();
    case Screen::ask:
      return true;
    case Screen::tip:
    case Screen::menu:
    case Screen::reading:
    case Screen::adapter:
    case Screen::work_out:
    case Screen::next:
    case Screen::causes:
    case Screen::ledger:
    case Screen::outcome:
    case Screen::frame:
    case Screen::part:
    case Screen::order:
    case Screen::packs:
    case Screen::pack:
    case Screen::seal:
    case Screen::settle:
    case Screen::photo:
    case Screen::photo_take:
    case Screen::photo_mark:
    case Screen::calibrate:
    case Screen::help:
    case Screen::sheet:
      break;
  }
  return false;
}

// What is said once, over the foot of the content; a tap on it takes it away.
struct NoticeView {
  Rect rect;  // empty: nothing to say
  std::string lead;
  std::string more;
  bool bad = false;
  bool stop = false;  // its key stops what is under way, instead of undoing
  Rect undo;          // the key; empty: there is none
};

constexpr float kUndoWidth = 24;
constexpr std::uint64_t kWorthSaying = 500;  // files

NoticeView notice_of(Ui& ui, const Layout& at, const State& state) {
  NoticeView view;
  if (state.notice) {
    view.lead = state.notice->lead;
    view.more = state.notice->more;
    view.bad = state.notice->bad;
  } else if (state.building && state.screen == Screen::job &&
             state.building->all() >= kWorthSaying) {
    // A few files are done before anybody has read this.
    view.lead = say("Indexing {0} of {1}", state.building->done(), state.building->all());
    view.more = state.building->left();
    if (view.more.empty()) view.more = tr("Search finds what is in.");
    view.stop = true;
  } else if (state.shop_gone && state.screen == Screen::job) {
    view.lead = say("Working from the {0} copy", state.copy_time);
    view.more = tr("What you write is kept here.");
  }
  if (view.lead.empty()) return view;
  const bool phone = at.form == Form::phone;
  const float x = phone ? 0 : at.rule.w + 3.5F;
  const float w = ui.metrics().width() - x - (phone ? 0 : 3.2F);
  const float foot = at.keyboard.h > 0 ? at.keyboard.y : at.strip.y;
  const bool undo = view.stop || (state.notice && state.notice->undo);
  const float text_w = w - 14 - (undo ? kUndoWidth : 0);
  const float text_h = view.more.empty() ? 0 : ui.paragraph_height(text_w, Type::small, view.more);
  const float key_h = std::max(ui.finger(15), 7.0F);
  const float h = std::max(key_h, 8.5F + text_h + 1.5F);
  view.rect = {x, foot - h - 0.5F, w, h};
  if (undo) view.undo = {x + w - kUndoWidth, view.rect.y + (h - key_h) / 2, kUndoWidth, key_h};
  return view;
}

void draw_notice(Ui& ui, const NoticeView& view, std::size_t above) {
  if (view.lead.empty()) return;
  ui.cover(view.rect, above);
  const Theme& t = ui.theme();
  const Rect r = view.rect;
  const bool bad = view.bad;
  ui.fill(r, t.paper);
  ui.hline(r.x, r.y, r.w, 0.5F, t.ink);
  if (bad) {
    ui.fill({r.x, r.y, 2, r.h}, t.out_of_range);
    cross(ui, r.x + 6.5F, r.y + 5.6F, 1.9F, t.out_of_range);
  } else {
    ui.ring(r.x + 6.5F, r.y + 5.6F, 2.2F, 0.5F, t.ink);
  }
  const float w = r.w - 14 - view.undo.w;
  ui.text_in(r.x + 11, r.y + 7.0F, w, Type::small_bold, bad ? t.out_of_range : t.ink, view.lead);
  if (!view.more.empty()) ui.paragraph(r.x + 11, r.y + 8.6F, w, Type::small, t.ink, view.more);
  if (view.undo.w > 0) {
    ui.fill(view.undo, t.face);
    ui.hline(view.undo.x, view.undo.bottom() - 0.17F, view.undo.w, 0.35F, t.ink);
    ui.text_in(view.undo.x + view.undo.w / 2,
               view.undo.y + view.undo.h / 2 + ui.capitals(Type::small_bold) / 2, view.undo.w - 1,
               Type::small_bold, t.accent, view.stop ? tr("Stop") : tr("Undo"), Align::centre);
  }
}

constexpr float kDimming = 0.72F;
constexpr float kHelpWidth = 15;  // of a finger

// Job has Help under More: its line takes everything.
void make_room_for_help(Layout& at, const Metrics& metrics, const State& state) {
  if (state.screen == Screen::job || state.screen == Screen::help) return;
  Rect& from = at.form == Form::phone ? at.tag : at.heading;
  const float w = metrics.finger(kHelpWidth);
  from.w -= w + 0.5F;
  at.help = {from.right() + 0.5F, at.tag.y, w, at.tag.h};
}

void draw_help_key(Ui& ui, const Layout& at, Actions& out) {
  const Rect r = at.help;
  if (r.w <= 0) return;
  const Theme& t = ui.theme();
  if (ui.pressed(r)) ui.fill(r, t.face);
  ui.ring(r.x + r.w / 2, r.y + r.h / 2, std::min(3.6F, r.h * 0.42F), 0.35F, t.ink);
  ui.text(r.x + r.w / 2, r.y + r.h / 2 + ui.capitals(Type::small_bold) / 2, Type::small_bold, t.ink,
          "?", Align::centre);
  if (ui.target("help", r)) out.push_back({Do::help, {}});
}

// Hardware keys that mean the same everywhere.
void hard_keys(Ui& ui, const State& state, Actions& out) {
  if (ui.take_key(HardKey::help)) out.push_back({Do::help, {}});
  if (ui.take_key(HardKey::escape)) out.push_back({Do::back, {}});
  if (state.screen == Screen::reading || state.screen == Screen::adapter ||
      state.screen == Screen::work_out || state.screen == Screen::outcome ||
      state.screen == Screen::frame) {
    while (ui.take_key(HardKey::erase)) out.push_back({Do::digit_erase, {}});
    if (ui.focus().empty() && ui.take_key(HardKey::enter)) {
      out.push_back(state.screen == Screen::reading   ? Action{Do::keep_reading, {}}
                    : state.screen == Screen::outcome ? Action{Do::record_outcome, {}}
                    : state.screen == Screen::frame   ? Action{Do::keep_frame, {}}
                                                      : Action{Do::back, {}});
    }
    return;
  }
  const bool types = types_here(state) || state.screen == Screen::job;
  if (!types) return;
  const std::pair<HardKey, Do> kMoves[] = {
      {HardKey::erase, Do::erase},     {HardKey::erase_forward, Do::erase_forward},
      {HardKey::left, Do::caret_left}, {HardKey::right, Do::caret_right},
      {HardKey::home, Do::caret_home}, {HardKey::end, Do::caret_end}};
  for (const auto& [key, what] : kMoves) {
    while (ui.take_key(key)) out.push_back({what, {}});
  }
  if (ui.focus().empty() && ui.take_key(HardKey::enter)) {
    // On the line Enter opens the best tip; in a text it is a new line.
    out.push_back(state.screen == Screen::job ? Action{Do::open_best, {}} : Action{Do::enter, {}});
  }
}

// Up, down and the page keys scroll what the screen is about.
void scroll_keys(Ui& ui, const State& state) {
  // There these keys move the picture or a mark.
  if (state.screen == Screen::photo || state.screen == Screen::photo_mark) return;
  const std::string_view id = state.screen == Screen::tip          ? "tip"
                              : state.screen == Screen::menu       ? "menu"
                              : state.screen == Screen::write      ? "write fields"
                              : state.screen == Screen::part       ? "part"
                              : state.screen == Screen::order      ? "order"
                              : state.screen == Screen::photo_take ? "photos"
                              : state.screen == Screen::sheet      ? "sheet"
                                                                   : "results";
  Ui::Scroll& s = ui.scroll_state(id);
  float by = 0;
  if (ui.take_key(HardKey::down)) by += 12;
  if (ui.take_key(HardKey::up)) by -= 12;
  if (ui.take_key(HardKey::page_down)) by += s.view * 0.85F;
  if (ui.take_key(HardKey::page_up)) by -= s.view * 0.85F;
  if (by != 0) s.offset = std::clamp(s.offset + by, 0.0F, s.most());
}

}  // namespace

void draw_screens(Ui& ui, const State& state, Actions& out) {
  if (state.rest == Rest::hidden) {
    cover_screen(ui, state, out);
    return;
  }
  const bool keyboard = types_here(state) && !state.hard_keyboard;
  Layout at = layout_for(ui.metrics(), keyboard);
  make_room_for_help(at, ui.metrics(), state);
  ui.fill(ui.screen(), ui.theme().paper);
  hard_keys(ui, state, out);
  scroll_keys(ui, state);
  // The notice's target comes before those it covers: a tap belongs to the first that asks.
  const NoticeView notice = notice_of(ui, at, state);
  if (notice.undo.w > 0 && ui.target(notice.stop ? "stop" : "undo", notice.undo))
    out.push_back({notice.stop ? Do::stop_building : Do::undo, {}});
  Rect rest = notice.rect;
  rest.w -= notice.undo.w;
  if (!notice.lead.empty() && ui.target("notice", rest)) out.push_back({Do::dismiss, {}});
  tour_targets(ui, at, state, out);
  const std::size_t above = ui.items().size();
  draw_tag(ui, at, state, out);
  draw_help_key(ui, at, out);
  const bool multiline =
      state.screen == Screen::write || (state.screen == Screen::ask && state.ask.multiline);
  const Action on_done = state.screen == Screen::job     ? Action{Do::enter, {}}
                         : state.screen == Screen::write ? Action{Do::write_fields, {}}
                                                         : Action{Do::ask_submit, {}};
  switch (state.screen) {
    case Screen::job:
      job_screen(ui, at, state, out);
      break;
    case Screen::tip:
      tip_screen(ui, at, state, out);
      break;
    case Screen::write:
      write_screen(ui, at, state, out);
      break;
    case Screen::ask:
      ask_screen(ui, at, state, out);
      break;
    case Screen::menu:
      menu_screen(ui, at, state, out);
      break;
    case Screen::reading:
      reading_screen(ui, at, state, out);
      break;
    case Screen::adapter:
      adapter_screen(ui, at, state, out);
      break;
    case Screen::work_out:
      work_out_screen(ui, at, state, out);
      break;
    case Screen::next:
      next_screen(ui, at, state, out);
      break;
    case Screen::causes:
      causes_screen(ui, at, state, out);
      break;
    case Screen::ledger:
      ledger_screen(ui, at, state, out);
      break;
    case Screen::outcome:
      outcome_screen(ui, at, state, out);
      break;
    case Screen::frame:
      frame_screen(ui, at, state, out);
      break;
    case Screen::part:
      part_screen(ui, at, state, out);
      break;
    case Screen::order:
      order_screen(ui, at, state, out);
      break;
    case Screen::packs:
      packs_screen(ui, at, state, out);
      break;
    case Screen::pack:
      pack_screen(ui, at, state, out);
      break;
    case Screen::seal:
      seal_screen(ui, at, state, out);
      break;
    case Screen::settle:
      settle_screen(ui, at, state, out);
      break;
    case Screen::photo:
      photo_screen(ui, at, state, out);
      break;
    case Screen::photo_take:
      photo_take_screen(ui, at, state, out);
      break;
    case Screen::photo_mark:
      photo_mark_screen(ui, at, state, out);
      break;
    case Screen::calibrate:
      calibrate_screen(ui, at, state, out);
      break;
    case Screen::help:
      help_screen(ui, at, state, out);
      break;
    case Screen::sheet:
      sheet_screen(ui, at, state, out);
      break;
  }
  draw_keyboard(ui, at, state, multiline,
                state.screen == Screen::job     ? marked("Search")
                : state.screen == Screen::write ? marked("Done")
                                                : marked("Keep"),
                on_done, out);
  draw_tour(ui, at, state, above);
  draw_notice(ui, notice, above);
  if (state.rest == Rest::dim) ui.veil(ui.screen(), Colour{0, 0, 0}, kDimming);
}

}  // namespace baylore::viewer
