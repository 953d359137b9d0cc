// The terminal itself: settings, the first questions, the size of the panel, help, the tour, rest
// and waking, undoing.
#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <optional>

#include "files/names.h"
#include "shop/fold.h"
#include "trade/quantity.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr std::array<int, 5> kDimMinutes{2, 5, 10, 30, 0};
constexpr std::array<int, 5> kHideMinutes{10, 30, 60, 120, 0};
constexpr double kClockStep = 60;  // seconds; what a time server puts right unnoticed is less
constexpr double kLeastPpi = 60;
constexpr double kMostPpi = 600;

// The one after `now`; the first when it is none of them.
template <std::size_t N>
int after(int now, const std::array<int, N>& all) {
  const auto at = std::find(all.begin(), all.end(), now);
  return at == all.end() || at + 1 == all.end() ? all.front() : *(at + 1);
}

std::string after_word(const std::string& now, std::initializer_list<const char*> all) {
  const auto at = std::find(all.begin(), all.end(), now);
  return at == all.end() || at + 1 == all.end() ? *all.begin() : *(at + 1);
}

std::string minutes_words(int minutes) {
  return minutes == 0 ? std::string(tr("never")) : say("after {0} min", minutes);
}

// "1:05 h", "12 min": how far a clock was moved.
std::string span_words(double seconds) {
  const auto minutes = static_cast<long>(std::lround(std::abs(seconds) / 60));
  if (minutes < 60) return std::to_string(minutes) + " min";
  if (minutes < 48 * 60)
    return std::to_string(minutes / 60) + " h " + std::to_string(minutes % 60) + " min";
  return say("{0} days", minutes / (24 * 60));
}

}  // namespace

// --- rest

// A touch on a dimmed panel only wakes it; keys and a scanner wake it and are taken. The cover over
// a hidden job takes taps itself.
void App::rest_or_wake(FrameInput& input) {
  const bool keys = !input.typed.empty() || !input.keys.empty();
  const Rest was = rest_.at(input.now);
  if (!keys && input.gestures.empty()) {
    state_.rest = was;
    return;
  }
  if (was == Rest::hidden && !keys) {
    state_.rest = was;
    return;
  }
  rest_.touch(input.now);
  state_.rest = Rest::awake;
  if (was != Rest::dim || keys) return;
  input.gestures.clear();
  gestures_.ignore();
}

void App::watch_the_clock() {
  if (!options_.wall_ahead) return;
  const double ahead = options_.wall_ahead();
  const double moved = wall_ahead_ ? ahead - *wall_ahead_ : 0;
  wall_ahead_ = ahead;
  if (std::abs(moved) < kClockStep) return;
  state_.notice =
      Notice{moved > 0 ? say("The clock was set forward by {0}", span_words(moved))
                       : say("The clock was set back by {0}", span_words(moved)),
             tr("Records carry the new time from here on; nothing written before changes."), false};
}

// --- settings and the first questions

void App::ask(std::string what, std::string title, std::string hint, const std::string& known) {
  state_.ask = Asking{std::move(what), std::move(title), std::move(hint), TextBuffer{known}, false};
  go(Screen::ask);
}

bool App::terminal_menu(const std::string& what, Menu& menu) const {
  const auto add = [&](std::string id, std::string label, std::string value = {},
                       bool marked = false) {
    menu.rows.push_back(MenuRow{std::move(id), std::move(label), std::move(value), marked});
  };
  const job::Terminal& terminal = state_.terminal;
  const auto shop_rows = [&] {
    add("torque", tr("Torque is shown first in"), state_.shop.torque_unit);
    add("altitude", tr("Altitude"),
        state_.shop.altitude_known ? std::to_string(std::lround(state_.shop.altitude_m)) + " m"
                                   : tr("not known: expected pressures are those at sea level"));
  };
  const std::string panel =
      terminal.ppi > 0 ? say("{0} pixels per inch", std::lround(terminal.ppi)) : tr("assumed");
  if (what == "first") {
    menu.title = tr("Ready in a minute");
    add("language", tr("Language"), language_name());
    add("name", tr("This bay"), terminal.name);
    add("which shop", tr("Shop"),
        state_.demo ? tr("the demo: tap to start or open one") : state_.shop.name);
    if (!state_.demo) shop_rows();
    add("hand", tr("Hand"), tr(terminal.hand));
    add("theme", tr("Theme"), tr(terminal.theme));
    add("calibrate", tr("Size of the panel"), panel);
    if (state_.demo) add("tour", tr("Look around first"), tr("five steps on the demo"));
    return true;
  }
  if (what == "which shop") {
    menu.title = tr("Which shop does this bay work on");
    add("start_shop", tr("Start a new shop"), tr("beside this terminal's own files"));
    for (const ShopFolder& shop : state_.nearby)
      add("open shop:" + shop.folder, shop.name.empty() ? files::name_of(shop.folder) : shop.name,
          shop.folder, shop.folder == state_.shop_folder);
    add("type shop", tr("Another folder"), tr("type its path"));
    return true;
  }
  if (what != "settings") return false;
  menu.title = tr("Settings");
  add("name", tr("This bay"), terminal.name);
  add("language", tr("Language"), language_name());
  add("theme", tr("Theme"), tr(terminal.theme));
  add("hand", tr("Hand"), tr(terminal.hand));
  add("text", tr("Text"), std::to_string(terminal.text_percent) + " %");
  add("calibrate", tr("Size of the panel"), panel);
  add("motion", tr("Motion"), terminal.motion ? tr("on") : tr("off"));
  add("dim", tr("Dims"), minutes_words(terminal.dim_minutes));
  add("hide", tr("Hides the job"), minutes_words(terminal.hide_minutes));
  add("scanner", tr("Scanner"),
      terminal.scanner_prefix.empty() ? tr("told by its speed")
                                      : say("sends {0}", terminal.scanner_prefix));
  add("which shop", tr("Shop"),
      state_.demo ? tr("the demo: tap to start or open one") : state_.shop.name);
  if (state_.demo) {
    add("tour", tr("Tour"), tr("five steps on the demo"));
  } else {
    shop_rows();
  }
  return true;
}

bool App::choose_terminal(const std::string& row) {
  const std::string what = state_.menu.what;
  job::Terminal& terminal = state_.terminal;
  if (what == "which shop") {
    if (row == "start_shop") {
      apply({Do::start_shop, {}});
    } else if (row == "type shop") {
      ask("shop folder", tr("The shop's folder"),
          tr("Such as /srv/shop: the folder that shop.md is in"), {});
    } else {
      open_shop_folder(row.substr(row.find(':') + 1));
    }
    return true;
  }
  if (what != "settings" && what != "first") return false;
  if (row == "language") {
    next_language();
  } else if (row == "theme") {
    terminal.theme = after_word(terminal.theme, {marked("light"), marked("dark"), marked("sun")});
  } else if (row == "hand") {
    terminal.hand =
        after_word(terminal.hand, {marked("bare"), marked("glove"), marked("thick glove")});
  } else if (row == "text") {
    terminal.text_percent = terminal.text_percent >= 200 ? 100 : terminal.text_percent + 10;
  } else if (row == "motion") {
    terminal.motion = !terminal.motion;
  } else if (row == "dim") {
    terminal.dim_minutes = after(terminal.dim_minutes, kDimMinutes);
  } else if (row == "hide") {
    terminal.hide_minutes = after(terminal.hide_minutes, kHideMinutes);
  } else if (row == "torque") {
    const std::string unit = after_word(state_.shop.torque_unit, {"N·m", "lbf·ft", "kgf·m"});
    state_.shop.torque_unit = unit;  // the news brings it again, from the file
    desk_->set_shop_value("units", "torque", unit);
    open_menu(what);
    return true;
  } else {
    if (row == "name") {
      ask("bay", tr("This bay"), tr("What the other bays call it"), terminal.name);
    } else if (row == "scanner") {
      ask("scanner", tr("Scanner"),
          tr("What it sends before a code, such as ~; nothing: its speed tells"),
          terminal.scanner_prefix);
    } else if (row == "altitude") {
      ask("altitude", tr("Altitude of the shop"), tr("In m or ft, such as 240 m or 790 ft"),
          state_.shop.altitude_known ? trade::authored_number(state_.shop.altitude_m) + " m"
                                     : std::string());
    } else if (row == "calibrate") {
      state_.calibrating = metrics_.px_per_mm * 25.4;
      go(Screen::calibrate);
    } else if (row == "which shop") {
      // Where a shop would be: the user's folders, those of this terminal, sticks and shares.
      desk_->look_for_shops({options_.home, files::join(options_.state_folder, "shops")});
      open_menu(row);
    } else if (row == "tour") {
      apply({Do::tour_next, {}});
    }
    return true;
  }
  save_terminal();
  open_menu(what);
  return true;
}

bool App::submit_terminal(const std::string& what, const std::string& text) {
  const auto again = [&] { open_menu(state_.setting_up ? "first" : "settings"); };
  if (what == "scanner") {
    state_.terminal.scanner_prefix = text.substr(0, 8);
    scan_watch_ = ScanWatch(state_.terminal.scanner_prefix);
  } else if (what == "bay") {
    state_.terminal.name = text.substr(0, 24);
  } else if (what == "shop folder") {
    open_shop_folder(text);
    return true;
  } else if (what == "altitude") {
    const trade::Unit& metre = trade::unit(trade::UnitId::kMetre);
    const auto read = trade::parse_reading(text, metre);
    const std::optional<trade::Quantity> height = trade::taken(read);
    if (!height) {
      again();
      state_.notice = Notice{say("“{0}” is no height", text), tr("Such as 240 m or 790 ft."), true};
      return true;
    }
    desk_->set_shop_value("altitude", {}, text);
    state_.shop.altitude_m = trade::convert(height->value, *height->unit, metre);
    state_.shop.altitude_known = true;
    again();
    return true;
  } else {
    return false;
  }
  save_terminal();
  again();
  return true;
}

void App::open_shop_folder(const std::string& folder) { desk_->look_at_shop(folder); }

void App::take(ShopLooked& event) {
  if (!event.is_shop) {
    state_.notice = Notice{say("No shop in {0}", event.folder),
                           tr("A shop's folder has a file shop.md in it."), true};
    return;
  }
  ShopStarted opened{event.folder, std::nullopt};
  take(opened);
}

// --- help, the tour, the panel's size, undoing

void App::show_tour() {
  // What each step shows is done for the person, with the demo's own words: nothing has to be
  // typed to go on, and everything can be.
  const auto typed = [&](const char* line) {
    state_.screen = Screen::job;
    state_.back.clear();
    state_.typing = false;
    state_.line.set(line);
    search_now();
  };
  switch (state_.tour) {
    case 1:
      typed("");
      break;
    case 2:
      typed("hauler heater cold idle");
      break;
    case 3:
      apply({Do::open_best, {}});
      break;
    case 4:
      if (state_.tip) {
        for (const shop::Check& check : state_.tip->tip.checks) {
          if (!check.expect || !check.expect->is_range()) continue;
          apply({Do::take_reading, check.id});
          break;
        }
      }
      break;
    case kTourSteps:
      apply({Do::open_next, {}});
      break;
    default:
      break;
  }
}

void App::undo() {
  if (!state_.dropped) return;
  state_.write = std::move(*state_.dropped);
  state_.dropped.reset();
  // Back on the disk before anything else is done with it.
  state_.write.changed_at = now_ > 0 ? now_ : 1;
  flush();
  go(Screen::write);
}

bool App::apply_terminal(const Action& action) {
  switch (action.what) {
    case Do::stop_building:
      desk_->stop_building();
      state_.building.reset();
      state_.notice = Notice{tr("Indexing stopped"),
                             tr("Search finds what was in before; the rest comes in with the next "
                                "change or start."),
                             false};
      return true;
    case Do::hide:
      rest_.hide();
      state_.rest = Rest::hidden;
      return true;
    case Do::wake:
      rest_.touch(now_);
      state_.rest = Rest::awake;
      if (!action.text.empty() && action.text != state_.job) apply({Do::open_job, action.text});
      return true;
    case Do::help:
      if (state_.screen == Screen::help) {
        go_back();
        return true;
      }
      // From a menu Help is about what the menu was opened on.
      if (state_.screen == Screen::menu && (state_.menu.what == "job" || state_.menu.what == "tip"))
        go_back();
      state_.help_of = state_.screen;
      ui_.scroll_state("help") = {};
      go(Screen::help);
      return true;
    case Do::ppi_by:
      state_.calibrating =
          std::clamp(state_.calibrating * (1 + action.number / 100.0), kLeastPpi, kMostPpi);
      return true;
    case Do::ppi_panel:
      state_.terminal.ppi = 0;
      save_terminal();
      state_.calibrating =
          metrics_for(metrics_.width_px, metrics_.height_px, 0, 100, metrics_.hand).px_per_mm *
          25.4;
      return true;
    case Do::keep_ppi:
      state_.terminal.ppi = std::round(state_.calibrating * 10) / 10;
      save_terminal();
      go_back();
      if (state_.screen == Screen::menu) open_menu(state_.menu.what);
      return true;
    case Do::begin:
      state_.setting_up = false;
      state_.terminal.set_up = true;
      save_terminal();
      state_.screen = Screen::job;
      state_.back.clear();
      return true;
    case Do::tour_next:
      if (state_.tour >= kTourSteps) return apply_terminal({Do::tour_end, {}});
      if (state_.tour == 0) {
        leave_job();
        start_job({});
      }
      ++state_.tour;
      show_tour();
      return true;
    case Do::tour_end:
      state_.tour = 0;
      apply({Do::new_job, {}});
      if (state_.setting_up) open_menu("first");
      return true;
    case Do::open_shop:
      open_shop_folder(action.text);
      return true;
    default:
      return false;
  }
}

void App::take(ShopsFound& event) {
  state_.nearby = std::move(event.shops);
  if (state_.screen == Screen::menu && state_.menu.what == "which shop") open_menu("which shop");
}

void App::take(ShopChanged& event) {
  if (event.failure)
    state_.notice = Notice{tr("shop.md was not changed"), event.failure->text(), true};
}

}  // namespace baylore::viewer
