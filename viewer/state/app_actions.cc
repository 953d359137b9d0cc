// What each action does to the state. Sections: moving about, typing, Job, Tip, Write, asking and
// menus.
#include <algorithm>
#include <array>
#include <set>

#include "files/names.h"
#include "shop/fold.h"
#include "trade/gtin.h"
#include "trade/vin.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// As jobs keep them; shown by tr().
constexpr std::array<const char*, 8> kWhen{
    marked("cold start"), marked("hot restart"), marked("warm, at idle"), marked("under load"),
    marked("braking"),    marked("turning"),     marked("after rain"),    marked("any time")};
constexpr std::array<const char*, 4> kOften{marked("every time"), marked("often"),
                                            marked("now and then"), marked("once so far")};
constexpr std::array<const char*, 6> kAfter{marked("nothing known"),   marked("other work on it"),
                                            marked("a service"),       marked("long standing"),
                                            marked("a knock or kerb"), marked("a new part")};
constexpr std::array<const char*, 5> kWhyParked{marked("part ordered"), marked("customer asked"),
                                                marked("cooling down"), marked("drive cycle"),
                                                marked("other job first")};
constexpr std::array<const char*, 3> kCodeState{marked("stored"), marked("pending"),
                                                marked("permanent")};

constexpr std::size_t kFinishedShown = 60;

std::string next_of(const std::string& now, const std::vector<std::string>& all) {
  const auto at = std::find(all.begin(), all.end(), now);
  return at == all.end() || at + 1 == all.end() ? all.front() : *(at + 1);
}

template <std::size_t N>
std::vector<MenuRow> rows_of(const std::array<const char*, N>& words, const std::string& chosen) {
  std::vector<MenuRow> rows;
  for (const char* word : words) rows.push_back(MenuRow{word, tr(word), {}, word == chosen});
  return rows;
}

}  // namespace

// --- moving about

void App::go(Screen screen) {
  if (state_.screen == screen) return;
  state_.back.push_back(state_.screen);
  state_.screen = screen;
  state_.typing = false;
  ui_.clear_focus();
}

void App::go_back() {
  state_.typing = false;
  ui_.clear_focus();
  if (state_.back.empty()) {
    state_.screen = Screen::job;
    return;
  }
  state_.screen = state_.back.back();
  state_.back.pop_back();
  if (state_.screen == Screen::tip && !state_.tip) state_.screen = Screen::job;
  if (state_.screen == Screen::part && !state_.part) go_back();
}

void App::apply(const Action& action) {
  const bool typing =
      action.what == Do::type || action.what == Do::erase || action.what == Do::suggest;
  if (action.what == Do::undo) {
    state_.notice.reset();
    undo();
    return;
  }
  if (!typing && action.what != Do::here && action.what != Do::scrolled) state_.notice.reset();
  switch (action.what) {
    case Do::type:
    case Do::erase:
    case Do::erase_forward:
    case Do::caret_left:
    case Do::caret_right:
    case Do::caret_home:
    case Do::caret_end:
    case Do::caret_to:
    case Do::suggest:
    case Do::enter:
    case Do::key_page:
      apply_typing(action);
      return;
    case Do::back:
      if (state_.screen == Screen::write && !state_.write.field.empty()) {
        apply_write({Do::write_fields, {}});
      } else if (state_.screen == Screen::outcome && state_.coming.pad &&
                 metrics_.form() == Form::phone) {
        state_.coming.pad = false;
      } else if (state_.typing) {
        state_.typing = false;
      } else if (state_.screen == Screen::pack && state_.packs.item_open &&
                 (metrics_.form() == Form::phone || metrics_.form() == Form::small)) {
        state_.packs.item_open = false;
      } else if (state_.screen == Screen::pack && !state_.packs.opening.empty()) {
        desk_->packs().stop();
        state_.packs.opening.clear();
        state_.packs.work = PackWork::none;
        go_back();
      } else if (state_.screen == Screen::packs &&
                 (state_.packs.show_key || !state_.packs.taken.empty())) {
        state_.packs.show_key = false;
        state_.packs.taken.clear();
      } else if (state_.screen == Screen::job && state_.show_parked) {
        state_.show_parked = false;
      } else {
        if (state_.screen == Screen::tip && state_.tip && state_.tip->preview) state_.tip.reset();
        go_back();
      }
      return;
    case Do::menu:
      open_menu(action.text);
      return;
    case Do::choose:
      choose(action.text);
      return;
    case Do::ask_submit:
      submit_asking();
      return;
    case Do::start_shop:
      state_.ask = Asking{"shop", tr("Start a shop"),
                          tr("The shop's name, as it is known to the others"), TextBuffer{}, false};
      go(Screen::ask);
      return;
    case Do::dismiss:
      state_.notice.reset();
      return;
    default:
      break;
  }
  if (apply_terminal(action)) return;
  if (apply_job(action)) return;
  if (apply_tip(action)) return;
  if (apply_reading(action)) return;
  if (apply_next(action)) return;
  if (apply_outcome(action)) return;
  if (apply_frame(action)) return;
  if (apply_part(action)) return;
  if (apply_packs(action)) return;
  if (apply_photos(action)) return;
  if (apply_sheet(action)) return;
  apply_write(action);
}

// --- typing

TextBuffer* App::caret_owner() {
  if (state_.screen == Screen::write && !state_.write.field.empty()) return &state_.write.buffer;
  if (state_.screen == Screen::ask) return &state_.ask.buffer;
  if (state_.screen == Screen::job) return &state_.line;
  return nullptr;
}

void App::apply_typing(const Action& action) {
  if (action.what == Do::key_page) {
    state_.number_keys = !state_.number_keys;
    return;
  }
  // On a keypad the digits of a hardware keyboard are the keypad's.
  if (action.what == Do::type && on_keypad()) {
    for (const char c : action.text) {
      if ((c >= '0' && c <= '9') || c == '.' || c == ',' || c == '-')
        apply_reading({Do::digit, c == ',' ? "." : std::string(1, c)});
    }
    return;
  }
  if (action.what == Do::type && type_on_photo(action.text)) return;
  TextBuffer* buffer = caret_owner();
  // A scan or a typed word on a screen without a field starts a search: the line is always
  // listening.
  if (buffer == nullptr && action.what == Do::type && action.text != " ") {
    state_.back.clear();
    state_.screen = Screen::job;
    state_.line.set({});
    buffer = &state_.line;
  }
  if (buffer == nullptr) return;
  const bool line = buffer == &state_.line;
  const std::string before = buffer->text();
  switch (action.what) {
    case Do::type:
      buffer->insert(action.text);
      break;
    case Do::erase:
      buffer->erase_back();
      break;
    case Do::erase_forward:
      buffer->erase_forward();
      break;
    case Do::caret_left:
      buffer->left();
      break;
    case Do::caret_right:
      buffer->right();
      break;
    case Do::caret_home:
      buffer->home();
      break;
    case Do::caret_end:
      buffer->end();
      break;
    case Do::caret_to:
      buffer->place_caret(static_cast<std::size_t>(std::max(0, action.number)));
      break;
    case Do::suggest:
      buffer->replace_word(action.text);
      break;
    case Do::enter:
      if (line) {
        state_.typing = false;
        keep_job();
      } else if (state_.screen == Screen::write) {
        buffer->insert(U'\n');
      } else if (state_.ask.multiline) {
        buffer->insert(U'\n');
      } else {
        submit_asking();
        return;
      }
      break;
    default:
      return;
  }
  if (buffer->text() == before) return;
  if (line) {
    state_.typing = true;
    state_.number_keys = action.what == Do::type ? state_.number_keys : false;
    search_now();
  } else if (state_.screen == Screen::write) {
    unchecked_ = true;
    if (state_.write.changed_at == 0) state_.write.changed_at = now_;
  }
}

// --- Job

// A VIN typed or scanned stays at hand until the vehicle is chosen, though the line may be cleared
// before: what it turns out to be is worth knowing for the next one like it.
void App::look_for_vin() {
  const std::string& line = state_.line.text();
  const auto found = trade::find_vin(line);
  if (!found || !found->exact) return;
  const std::string vin = line.substr(found->at, found->length);
  const job::Job* now = state_.current();
  if (vin != vin_ && now != nullptr) desk_->mark_car(now->id, vin);
  vin_ = vin;
  state_.vin_given = now == nullptr || now->vehicle.model.empty();
  state_.guesses = vin_patterns_.suggest(vin_);
}

void App::forget_vin() {
  vin_.clear();
  state_.vin_given = false;
  state_.guesses.clear();
}

// A person said what the job's car is.
void App::vehicle_chosen() {
  const job::Job* now = state_.current();
  if (vin_.empty() || now == nullptr || now->vehicle.model.empty()) return;
  if (const auto learned = vin_patterns_.learn(vin_, now->vehicle); !learned)
    state_.notice = Notice{tr("The VIN's pattern is not kept"), learned.failure().text(), true};
  forget_vin();
}

void App::search_now() {
  job::Job* now = state_.current();
  look_for_vin();
  search::Query query;
  query.line = state_.line.text();
  if (now != nullptr) {
    query.vehicle = now->vehicle;
    query.dropped = now->dropped;
  }
  state_.answered = false;
  state_.part_found = part_in_line();
  // An empty line with a vehicle lists what fits the car; with neither there is nothing to ask.
  if (query.line.empty() && query.vehicle.empty()) {
    state_.answer = {};
    ++serial_;
    answered_ = serial_;
    return;
  }
  desk_->search(++serial_, std::move(query));
}

// The causes weighed were those of the job that is left.
void App::forget_guide() {
  state_.guide.reset();
  held_guide_.reset();
  guided_ = ++guide_serial_;  // an answer under way is an older one's
}

void App::start_job(search::Vehicle vehicle) {
  forget_vin();
  forget_guide();
  job::Job job = job::new_job(state_.jobs);
  job.vehicle = std::move(vehicle);
  state_.job = job.id;
  state_.jobs.push_back(std::move(job));
  state_.line.set({});
  state_.tip.reset();
  state_.show_parked = false;
  search_now();
}

// The job takes over what was typed and understood before something else is turned to, never a VIN.
// As the answer understood it, slips put right; when that is not in yet, the line is read anew.
void App::keep_line() {
  job::Job* now = state_.current();
  if (now == nullptr) return;
  const search::Understood u =
      answered_ == serial_
          ? state_.answer.understood
          : search::understand(state_.line.text(), *state_.vocabulary, now->dropped);
  now->line = u.vin_seen ? u.line_without_vin : state_.line.text();
  if (u.vin_seen) state_.line.set(u.line_without_vin);
  if (u.vehicle.empty()) return;
  search::Vehicle& v = now->vehicle;
  if (!u.vehicle.make.empty()) v.make = u.vehicle.make;
  if (!u.vehicle.model.empty()) v.model = u.vehicle.model;
  if (u.vehicle.year != 0) v.year = u.vehicle.year;
  if (!u.vehicle.engine.empty()) v.engine = u.vehicle.engine;
  if (!u.vehicle.model.empty()) vehicle_chosen();
}

// Another job is turned to: an untouched new one leaves no trace, one with content is parked.
void App::leave_job() {
  job::Job* now = state_.current();
  if (now == nullptr || now->state != job::State::open) return;
  keep_line();
  if (now->line.empty() && now->vehicle.empty() && now->tip.empty()) {
    const std::string gone = now->id;
    std::erase_if(state_.jobs, [&](const job::Job& j) { return j.id == gone; });
  } else {
    now->state = job::State::parked;
    if (now->next_step.empty()) now->next_step = next_step_of(state_);
    keep_job();
  }
}

bool App::apply_job(const Action& action) {
  job::Job* now = state_.current();
  switch (action.what) {
    case Do::focus_line:
      if (state_.screen != Screen::job) go(Screen::job);
      state_.typing = true;
      state_.show_parked = false;
      return true;
    case Do::scanned:
      // Into a field that is being written; else to the line, from where Back leads here again.
      if (TextBuffer* field = caret_owner(); field != nullptr && field != &state_.line) {
        field->insert(action.text);
        return true;
      }
      go(Screen::job);
      if (const bool part =
              (state_.history && !state_.history->parts().find(action.text).places.empty()) ||
              trade::taken(trade::read_gtin(action.text)).has_value();
          part) {
        state_.line.set(action.text);
        search_now();
        return apply_job({Do::open_best, {}});
      }
      // A code or a VIN adds to what is known already; what it finds is looked at, not opened.
      if (const std::string& line = state_.line.text(); line.find(action.text) == std::string::npos)
        state_.line.set(line + (line.empty() || line.back() == ' ' ? "" : " ") + action.text);
      search_now();
      return true;
    case Do::clear_line:
      state_.line.set({});
      if (now != nullptr) {
        now->dropped.clear();
        now->line.clear();
        keep_job();
      }
      search_now();
      return true;
    case Do::drop_token:
      if (now == nullptr) return true;
      if (action.text == "job vehicle") {
        now->vehicle = {};
      } else {
        now->dropped.push_back(action.text);
      }
      keep_job();
      search_now();
      return true;
    case Do::complete_code: {
      for (const search::Token& token : state_.answer.understood.tokens) {
        if (std::find(token.choices.begin(), token.choices.end(), action.text) ==
            token.choices.end())
          continue;
        // The line may have gone on since the answer came.
        const std::string_view line = state_.line.text();
        if (token.at > line.size() || line.substr(token.at, token.from.size()) != token.from)
          continue;
        state_.line.set(search::completed(state_.line.text(), token, action.text));
        break;
      }
      search_now();
      return true;
    }
    case Do::take_guess: {
      const auto which = static_cast<std::size_t>(action.number);
      if (now == nullptr || which >= state_.guesses.size()) return true;
      now->vehicle = state_.guesses[which].vehicle;
      vehicle_chosen();
      state_.line.set(trade::without_vins(state_.line.text()));
      keep_job();
      search_now();
      return true;
    }
    case Do::new_job:
      leave_job();
      start_job({});
      state_.screen = Screen::job;
      state_.back.clear();
      return true;
    case Do::open_job: {
      if (state_.job != action.text) leave_job();
      forget_guide();
      forget_vin();
      state_.job = action.text;
      now = state_.current();
      if (now == nullptr) return true;
      state_.typing = false;
      now->state = job::State::open;
      const std::string why = std::exchange(now->why_parked, {});
      state_.line.set(now->line);
      state_.tip.reset();
      state_.show_parked = false;
      state_.screen = Screen::job;
      state_.back.clear();
      keep_job();
      search_now();
      const std::string step = now->next_step;
      if (!now->tip.empty()) apply({Do::open_tip, now->tip});
      if (!step.empty())
        state_.notice = Notice{say("Next: {0}", step),
                               why.empty() ? why : say("It waited: {0}", tr(why)), false};
      return true;
    }
    case Do::take_over: {
      const auto& all = state_.board.elsewhere;
      const auto at = std::find_if(all.begin(), all.end(), [&](const job::Elsewhere& e) {
        return e.version.job.id == action.text;
      });
      const auto mine = [&](const job::Job& j) { return j.id == action.text; };
      if (at == all.end() || std::any_of(state_.jobs.begin(), state_.jobs.end(), mine)) return true;
      leave_job();
      job::Job job = at->version.job;
      job.taken_from = at->version.terminal;
      job.taken_touched = job.touched;
      job.taken_words =
          job::bay_of(at->version) + (job.initials.empty() ? "" : ", " + job.initials);
      job.initials.clear();
      job.number = job::new_job(state_.jobs).number;
      const std::string words = job.taken_words;
      const std::string step = job.next_step;
      state_.jobs.push_back(std::move(job));
      apply_job({Do::open_job, action.text});
      state_.notice = Notice{
          say("Taken over from {0}", words),
          step.empty() ? tr("That bay sees that it is here.") : say("Next: {0}", step), false};
      return true;
    }
    case Do::leave_to: {
      if (now == nullptr) return true;
      const auto also = state_.board.also.find(now->id);
      if (also == state_.board.also.end()) return true;
      now->state = job::State::finished;
      now->why_parked = say("left to {0}", also->second.front());
      keep_job();
      start_job({});
      state_.screen = Screen::job;
      state_.back.clear();
      return true;
    }
    case Do::park:
      open_menu("park");
      return true;
    case Do::park_because:
      if (now == nullptr) return true;
      keep_line();
      now->state = job::State::parked;
      now->why_parked = action.text;
      if (now->next_step.empty()) now->next_step = next_step_of(state_);
      keep_job();
      start_job({});
      state_.screen = Screen::job;
      state_.back.clear();
      return true;
    case Do::finish_job:
      if (now == nullptr) return true;
      now->state = job::State::finished;
      keep_job();
      start_job({});
      state_.screen = Screen::job;
      state_.back.clear();
      state_.notice = Notice{tr("Job finished"), tr("It stays in the shop's folder."), false};
      return true;
    case Do::show_parked:
      state_.show_parked = !state_.show_parked;
      state_.typing = false;
      return true;
    case Do::open_best:
      // A number on a label, typed or scanned and nothing else: the part, whatever tips name it.
      if (!state_.part_found.empty() && part_is_line()) {
        apply({Do::open_part, state_.line.text()});
        return true;
      }
      // A barcode is a part or nothing: no tip is opened for some of its digits.
      if (state_.history && trade::taken(trade::read_gtin(state_.line.text()))) return true;
      // A scanner's Enter comes before the answer to what it typed; the answer to an older line
      // must not be opened in its place.
      if (!state_.answered && serial_ != answered_) {
        enter_on_ = state_.line.text();
        return true;
      }
      if (state_.answer.hits.empty()) return true;
      return apply_job({Do::open_tip, state_.answer.hits.front().tip.id});
    case Do::open_tip: {
      if (now != nullptr) {
        keep_line();
        keep_job();
      }
      state_.opening = action.text;
      desk_->open_tip(action.text, now != nullptr ? now->vehicle : search::Vehicle{});
      if (state_.tip && state_.tip->row.id != action.text) state_.tip.reset();
      go(Screen::tip);
      return true;
    }
    default:
      return false;
  }
}

// --- Tip

bool App::apply_tip(const Action& action) {
  switch (action.what) {
    case Do::tick: {
      job::Job* now = state_.current();
      if (now == nullptr || !state_.tip || state_.tip->preview) return true;
      job::Ticks& ticks = now->ticks[state_.tip->tip.id];
      if (ticks.erase(action.text) == 0) ticks.insert(action.text);
      now->next_step.clear();  // it was done, or something else came first
      keep_job();
      return true;
    }
    case Do::tick_next: {
      if (!state_.tip) return true;
      const std::vector<Todo> all = todo_of(state_.tip->tip);
      const Todo* next = next_todo(all, state_);
      if (next == nullptr) {
        apply({Do::open_outcome, {}});
        return true;
      }
      apply_tip({Do::tick, next->key});
      if (const Todo* after = next_todo(all, state_)) {
        state_.scroll_to = after->anchor;
        if (after->kind == Todo::Kind::fastener) state_.fastener = after->index;
      }
      return true;
    }
    case Do::go_section:
      if (state_.screen == Screen::menu) go_back();
      // The tip's rule stands beside its part and its readings too, and leads back to the page.
      if ((state_.screen == Screen::part || state_.screen == Screen::reading ||
           state_.screen == Screen::sheet) &&
          state_.tip) {
        while (state_.screen != Screen::tip && !state_.back.empty()) go_back();
        if (state_.screen != Screen::tip) go(Screen::tip);
      }
      state_.scroll_to = action.text;
      state_.here = action.text;
      return true;
    case Do::here:
      state_.here = action.text;
      return true;
    case Do::scrolled:
      state_.scroll_to.clear();
      return true;
    case Do::show_symptom:
      state_.symptom_open = !state_.symptom_open;
      return true;
    case Do::next_fastener:
      if (state_.tip && !state_.tip->tip.fasteners.empty()) {
        state_.fastener =
            (state_.fastener + 1) % static_cast<int>(state_.tip->tip.fasteners.size());
      }
      return true;
    case Do::ask_question:
      if (!state_.tip) return true;
      state_.ask = Asking{"question", tr("Question this tip"),
                          tr("What do you doubt? All bays see it until a lead settles it"),
                          TextBuffer{state_.question, true}, true};
      go(Screen::ask);
      return true;
    case Do::settle_question:
      if (!state_.tip) return true;
      desk_->settle_question(action.text, state_.tip->row.id, state_.terminal.name);
      std::erase_if(state_.tip->questions,
                    [&](const shop::Question& q) { return q.id == action.text; });
      return true;
    default:
      return false;
  }
}

// --- asking and menus

void App::submit_asking() {
  const std::string text = state_.ask.buffer.text();
  const std::string what = state_.ask.what;
  const bool empty = text.find_first_not_of(" \n") == std::string::npos;
  if (empty && what != "find finished" && what != "scanner" && !what.starts_with("seal ") &&
      !what.starts_with("photo "))
    return;
  go_back();
  if (submit_packs(what, empty ? std::string() : text)) return;
  if (submit_photos(what, empty ? std::string() : text)) return;
  if (submit_terminal(what, empty ? std::string() : text)) return;
  if (what == "find finished") {
    // Nothing typed: all of them again.
    state_.find_finished = empty ? std::string() : text;
    open_menu("finished");
    return;
  }
  if (what == "question" && state_.tip) {
    state_.question = text;
    desk_->add_question(state_.tip->row.id, who(), text);
    state_.notice = Notice{tr("Question kept"),
                           tr("Every bay on this shop sees it until a lead settles it."), false};
  } else if (what == "shop") {
    // Beside the terminal's own files, in the user's home: a place that is sure to be writable.
    const std::string folder =
        files::join(files::join(options_.state_folder, "shops"), shop::slug_of(text));
    desk_->start_shop(folder, text);
  } else if (what == "sheet folder") {
    state_.sheet.to = text;
  } else if (what == "part") {
    state_.coming.part = text;
  } else if (what == "lot") {
    state_.part_lot = text.substr(0, 40);
    if (state_.screen == Screen::menu) open_menu(state_.menu.what);
  } else if (what == "came back odometer") {
    state_.came_back_odometer = text.substr(0, 24);
    open_menu("came back");
  } else if (what == "came back readings") {
    state_.came_back_readings = text.substr(0, 400);
    open_menu("came back");
  } else if (job::Job* now = state_.current(); now != nullptr) {
    if (what == "initials") now->initials = text.substr(0, 12);
    if (what == "order") now->order = text.substr(0, 40);
    if (what == "next step") now->next_step = text.substr(0, 200);
    keep_job();
    // Asked for from a menu whose rows show it.
    if (state_.screen == Screen::menu) open_menu(state_.menu.what);
  }
}

void App::open_menu(const std::string& what) {
  Menu menu;
  menu.what = what;
  const job::Job* now = state_.current();
  const auto add = [&](std::string id, std::string label, std::string value = {},
                       bool marked = false) {
    menu.rows.push_back(MenuRow{std::move(id), std::move(label), std::move(value), marked});
  };
  if (terminal_menu(what, menu)) {
    // The terminal's own.
  } else if (what == "job") {
    menu.title = tr("More");
    add("new_job", tr("New job"), tr("parks this one"));
    add("park", tr("Park"), tr("with the reason"));
    add("write_new", state_.write.active ? tr("Go on writing") : tr("Write a tip"));
    add("work_out", tr("Work out"), tr("trims, drops, windings ..."));
    add("initials", tr("Initials"), now != nullptr ? now->initials : "");
    add("order", tr("Repair order"),
        now != nullptr && !now->order.empty() ? now->order : tr("no number"));
    if (now != nullptr) {
      if (const auto also = state_.board.also.find(now->id); also != state_.board.also.end())
        add("leave_to", say("Leave it to {0}", also->second.front()), tr("both bays wrote on it"));
    }
    add("finish_job", tr("Outcome"), tr("what the job came to"));
    add("finished", tr("Finished jobs"), std::to_string(state_.finished.size()));
    add("packs", tr("Packs"), tr("tips to and from other locations"));
    add("hide", tr("Hide the job"), tr("until the next touch"));
    add("settings", tr("Settings"));
    add("help", tr("Help"), tr("what this screen is for"));
  } else if (what == "tip") {
    menu.title = tr("More");
    if (metrics_.form() != Form::wide) add("sections", tr("Sections"));
    add("ask_question", tr("Question this tip"));
    add("write_edit", tr("Edit this tip"), tr("the earlier version is kept"));
    if (state_.tip && !state_.tip->preview)
      add("sheet", tr("Sheet"), tr("to print, or onto a phone"));
    if (state_.tip) {
      for (const shop::Question& q : state_.tip->questions)
        add("settle:" + q.id, tr("Settle the question"), q.text);
    }
    add("work_out", tr("Work out"), tr("trims, drops, windings ..."));
    add("park", tr("Park the job"));
    add("finish_job", tr("Outcome"), tr("what the job came to"));
    add("help", tr("Help"), tr("what this screen is for"));
  } else if (what == "checks" && state_.guide) {
    menu.title = tr("Other checks");
    const diagnosis::Case& of = *state_.guide->a_case;
    using Aside = diagnosis::Choice::Aside;
    for (const diagnosis::Choice& choice : state_.guide->outlook.choices) {
      const diagnosis::Check* check = of.check(choice.check);
      if (check == nullptr) continue;
      std::string value = in_figures(trade::authored_number(choice.minutes)) + " min";
      if (choice.aside == Aside::answered) value = tr("answered");
      if (choice.aside == Aside::skipped) value = tr("put off");
      if (choice.aside == Aside::tool_missing) value = say("needs {0}", choice.tool);
      if (choice.aside == Aside::same_fact) value = tr("looks at what is known");
      if (choice.aside == Aside::tells_nothing) value = tr("tells nothing now");
      add("check:" + choice.check, check->name, value,
          choice.check == state_.guide->outlook.next.check);
    }
    if (now != nullptr && !now->skipped.empty())
      add("unskip", tr("Offer what was put off again"), std::to_string(now->skipped.size()));
    if (now != nullptr && now->reading_count() > 0)
      add("take_back", tr("Take back the last answer"));
    add("tools", tr("Tools this shop lacks"), std::to_string(state_.terminal.missing_tools.size()));
  } else if (what == "tools") {
    menu.title = tr("Tools this shop lacks: tap what is missing");
    std::set<std::string> tools(state_.terminal.missing_tools.begin(),
                                state_.terminal.missing_tools.end());
    if (state_.guide) {
      for (const diagnosis::Check& check : state_.guide->a_case->checks)
        tools.insert(check.tools.begin(), check.tools.end());
    }
    for (const std::string& tool : tools) {
      const auto& missing = state_.terminal.missing_tools;
      const bool lacks = std::find(missing.begin(), missing.end(), tool) != missing.end();
      add(tool, tool, lacks ? tr("missing") : tr("there"), lacks);
    }
  } else if (what == "right") {
    menu.title = tr("Which tip was right");
    const auto title_of = [&](const std::string& id) {
      if (state_.tip && state_.tip->row.id == id) return state_.tip->row.title;
      for (const search::Hit& hit : state_.answer.hits) {
        if (hit.tip.id == id) return hit.tip.title;
      }
      return std::string();
    };
    std::set<std::string> listed;
    const auto add_tip = [&](const std::string& id, std::string title) {
      if (id.empty() || title.empty() || !listed.insert(id).second) return;
      add("right:" + id, std::move(title), {}, state_.coming.right == id);
    };
    if (now != nullptr) add_tip(now->tip, title_of(now->tip));
    if (state_.guide) {
      for (const diagnosis::Standing& standing : state_.guide->outlook.causes) {
        const diagnosis::Cause& cause = state_.guide->a_case->causes[standing.cause];
        add_tip(cause.tip, cause.title);
      }
    }
    for (const search::Hit& hit : state_.answer.hits) add_tip(hit.tip.id, hit.tip.title);
    add("right:" + std::string(shop::kNoneOfThese), tr("None of these"), {},
        state_.coming.right == shop::kNoneOfThese);
    add("right:", tr("Not known"), {}, state_.coming.right.empty());
  } else if (what == "sheet to") {
    sheet_menu(menu);
  } else if (what.starts_with("packs") || what.starts_with("seal ")) {
    packs_menu(what, menu);
  } else if (what.starts_with("photo")) {
    photos_menu(what, menu);
  } else if (what == "part" || what == "which part" || what == "part records" ||
             what == "record part" || what == "came back" || what == "claim") {
    part_menu(what, menu);
  } else if (what == "part fitted") {
    menu.title = tr("Which part was fitted");
    if (now != nullptr) {
      for (const std::string& part : now->to_order)
        add("part:" + part, part, tr("on the order list"), state_.coming.part == part);
    }
    if (state_.tip) {
      for (const shop::PartRef& part : state_.tip->tip.parts)
        add("part:" + part.name, part.name, {}, state_.coming.part == part.name);
    }
    add("part:", tr("None"), {}, state_.coming.part.empty());
    add("type part", tr("Another part"), tr("type its make and number"));
  } else if (what == "finished") {
    menu.title = tr("Finished jobs");
    add("find finished", tr("Find"),
        state_.find_finished.empty() ? tr("vehicle, day or repair order") : state_.find_finished);
    const std::vector<std::string> wanted = shop::words_of(state_.find_finished);
    for (const shop::Finished& job : state_.finished) {
      const shop::Outcome& o = job.outcome;
      std::string label = o.car.make + (o.car.model.empty() ? "" : " " + o.car.model);
      if (o.car.year > 0) label += " " + std::to_string(o.car.year);
      if (label.empty()) label = tr("No vehicle");
      if (!o.part.empty()) label += ", " + o.part;
      if (!o.order.empty()) label += ", " + say("order {0}", o.order);
      std::string value = tr(shop::result_word(o.result)) + ", " + day_words(o.when);
      if (!job.comebacks.empty())
        value = say("came back, {0}", day_words(job.comebacks.front().when));
      const std::vector<std::string> words =
          shop::words_of(label + " " + value + " " + o.car.engine + " " + o.when.substr(0, 10));
      const bool found = std::all_of(wanted.begin(), wanted.end(), [&](const std::string& word) {
        return std::any_of(words.begin(), words.end(),
                           [&](const std::string& has) { return has.starts_with(word); });
      });
      if (!found) continue;
      if (menu.rows.size() > kFinishedShown) break;
      add("finished:" + o.id, label, value, !job.comebacks.empty());
    }
    if (menu.rows.size() == 1)
      add("back",
          state_.find_finished.empty() ? tr("No job has an outcome yet") : tr("No such job"));
  } else if (what == "work_out") {
    menu.title = tr("Work out");
    for (const trade::Formula& formula : trade::formulas())
      add("formula:" + std::string(formula.name), tr(formula.what));
  } else if (what == "mistaken") {
    menu.title = tr("Looks like: how to tell");
    if (state_.tip) {
      for (const TipLine& other : state_.tip->mistaken)
        add("tip:" + other.id, other.title, other.note);
    }
  } else if (what == "sections") {
    menu.title = tr("Sections");
    if (state_.tip) {
      for (const RuleSection& s : tip_rule(state_))
        add("section:" + s.key, s.label, s.count, s.done);
    }
  } else if (what == "intake") {
    menu.title = tr("Sections");
    for (const RuleSection& s : job_rule(state_)) add("intake:" + s.key, s.label, s.count, s.done);
  } else if (what == "vehicle") {
    menu.title = tr("Vehicle: make");
    std::string last;
    for (const shop::Model& m : state_.vocabulary->models) {
      if (m.make != last) add("make:" + m.make, m.make);
      last = m.make;
    }
    if (now != nullptr && !now->vehicle.empty()) add("no vehicle", tr("No vehicle"));
  } else if (what.starts_with("make:")) {
    menu.title = say("{0}: model", what.substr(5));
    for (const shop::Model& m : state_.vocabulary->models) {
      if (m.make == what.substr(5)) {
        add("model:" + m.make + "|" + m.name, m.name,
            m.first_year > 0 ? std::to_string(m.first_year) + "–" + std::to_string(m.last_year)
                             : "");
      }
    }
  } else if (what.starts_with("model:")) {
    const std::string pair = what.substr(6);
    for (const shop::Model& m : state_.vocabulary->models) {
      if (m.make + "|" + m.name != pair) continue;
      menu.title = say("{0}: year", m.make + " " + m.name);
      for (int year = m.last_year; year >= m.first_year && m.first_year > 0; --year) {
        add("year:" + pair + "|" + std::to_string(year), std::to_string(year));
      }
    }
  } else if (what.starts_with("year:")) {
    const std::string triple = what.substr(5);
    menu.title = tr("Engine");
    for (const shop::Model& m : state_.vocabulary->models) {
      if (!triple.starts_with(m.make + "|" + m.name + "|")) continue;
      for (const std::string& engine : m.engines) add("engine:" + triple + "|" + engine, engine);
    }
    add("engine:" + triple + "|", tr("Not known"));
  } else if (what == "when") {
    menu.title = tr("When does it happen");
    menu.rows = rows_of(kWhen, now != nullptr ? now->when : "");
  } else if (what == "often") {
    menu.title = tr("How often");
    menu.rows = rows_of(kOften, now != nullptr ? now->often : "");
  } else if (what == "after") {
    menu.title = tr("After what");
    menu.rows = rows_of(kAfter, now != nullptr ? now->after : "");
  } else if (what == "code") {
    menu.title = tr("Codes");
    for (const std::string& code : state_.answer.understood.codes) {
      const auto at = now != nullptr ? now->code_state.find(code)
                                     : std::map<std::string, std::string>::const_iterator{};
      const bool known = now != nullptr && at != now->code_state.end();
      add("code:" + code, code, known ? tr(at->second) : tr("stored, pending or permanent: tap"));
      const auto frame = now != nullptr ? now->frames.find(code)
                                        : std::map<std::string, job::Frame>::const_iterator{};
      const bool frozen = now != nullptr && frame != now->frames.end();
      add("frame:" + code, say("Freeze frame of {0}", code),
          frozen ? job::in_words(frame->second) : tr("coolant, speed, load, trims ..."));
    }
    if (menu.rows.empty()) add("type code", tr("Type or scan a code"), tr("P0128, U0100 ..."));
  } else if (what == "park") {
    menu.title = tr("Park: what does it wait for");
    menu.rows = rows_of(kWhyParked, {});
    std::string step = now != nullptr ? now->next_step : "";
    if (step.empty()) step = next_step_of(state_);
    add("next step", tr("Next step"), step.empty() ? tr("nothing said") : step);
    add("initials", tr("Initials"),
        now != nullptr && !now->initials.empty() ? now->initials : tr("none"));
  } else if (what.starts_with("bay:")) {
    for (const job::Elsewhere* other : other_bays(state_)) {
      const job::Job& job = other->version.job;
      if (job.id != what.substr(4)) continue;
      const std::string bay = job::bay_of(other->version);
      menu.title = bay + ": " + (job.vehicle.empty() ? job.complaint() : job.vehicle.text());
      add("take_over:" + job.id, tr("Take it over"), say("{0} sees that it is here", bay));
      add("back", tr("Leave it there"), job.complaint());
      add("back", job.state == job::State::open ? say("Open at {0}", bay) : tr("It waits"),
          tr(job.why_parked));
      add("back", tr("Next step"), job.next_step.empty() ? tr("nothing said") : job.next_step);
      add("back", tr("Initials"), job.initials.empty() ? tr("none") : job.initials);
      for (const std::string& also : other->also)
        add("back", say("{0} has it too", also), tr("both versions are kept"));
    }
  } else if (what == "earlier") {
    menu.title = tr("This car was here before");
    for (const job::Past* past : earlier_jobs(state_)) {
      std::string value = day_words(past->touched) + ", " + past->bay;
      for (const shop::Finished& job : state_.finished) {
        if (job.outcome.job != past->id) continue;
        value = tr(shop::result_word(job.outcome.result)) + ", " + value;
        if (!job.outcome.part.empty()) value = job.outcome.part + ", " + value;
        if (!job.comebacks.empty()) value = say("came back, {0}", value);
        break;
      }
      add("back", past->complaint, value, past->state != job::State::finished);
    }
  }
  state_.menu = std::move(menu);
  ui_.scroll_state("menu") = {};
  if (state_.screen != Screen::menu) go(Screen::menu);
}

void App::choose(const std::string& row) {
  const std::string what = state_.menu.what;
  job::Job* now = state_.current();
  const auto done = [&] {
    go_back();
    keep_job();
  };
  if (choose_terminal(row)) return;
  if (what == "when" || what == "often" || what == "after") {
    if (now != nullptr)
      (what == "when" ? now->when : what == "often" ? now->often : now->after) = row;
    done();
    return;
  }
  if (what == "park" && row != "next step" && row != "initials") {
    apply({Do::park_because, row});
    return;
  }
  if (what == "park") {
    // Back to this menu when it is typed.
    const bool step = row == "next step";
    const std::string known = now == nullptr ? "" : step ? now->next_step : now->initials;
    state_.ask =
        Asking{row, step ? tr("Next step") : tr("Initials"),
               step ? tr("What whoever takes it up again does first") : tr("Who works on this job"),
               TextBuffer{known}, false};
    go(Screen::ask);
    return;
  }
  if (row.starts_with("frame:")) {
    apply({Do::open_frame, row.substr(6)});
    return;
  }
  if (choose_part(row)) return;
  if (choose_packs(row)) return;
  if (choose_photos(row)) return;
  if (choose_sheet(row)) return;
  if (what == "tools") {
    auto& missing = state_.terminal.missing_tools;
    if (std::erase(missing, row) == 0) missing.push_back(row);
    save_terminal();
    open_menu("tools");
    guide_now();
    return;
  }
  if (row == "find finished") {
    state_.ask =
        Asking{row, tr("Find a finished job"), tr("Vehicle, day such as 14 Mar, or repair order"),
               TextBuffer{state_.find_finished}, false};
    go(Screen::ask);
    return;
  }
  if (row.starts_with("finished:")) {
    open_finished(row.substr(9));
    return;
  }
  if (row.starts_with("reason:")) {
    record_comeback(row.substr(7));
    return;
  }
  if (what == "checks" && row == "tools") {
    open_menu("tools");
    return;
  }
  if (row.starts_with("make:") || row.starts_with("model:") || row.starts_with("year:")) {
    open_menu(row);
    return;
  }
  if (row.starts_with("engine:")) {
    std::vector<std::string> parts;
    std::size_t from = 7;
    for (int i = 0; i < 3; ++i) {
      const std::size_t bar = row.find('|', from);
      parts.push_back(row.substr(from, bar - from));
      from = bar + 1;
    }
    if (now != nullptr)
      now->vehicle =
          search::Vehicle{parts[0], parts[1], std::atoi(parts[2].c_str()), row.substr(from)};
    vehicle_chosen();
    done();
    search_now();
    return;
  }
  if (row == "no vehicle") {
    if (now != nullptr) now->vehicle = {};
    done();
    search_now();
    return;
  }
  if (row.starts_with("code:") && now != nullptr) {
    std::string& state = now->code_state[row.substr(5)];
    state = next_of(state, {std::string(kCodeState[0]), std::string(kCodeState[1]),
                            std::string(kCodeState[2])});
    keep_job();
    open_menu("code");
    return;
  }
  // The rest are actions of their own, done from the screen the menu was opened on.
  go_back();
  if (row.starts_with("tip:")) {
    apply({Do::open_tip, row.substr(4)});
  } else if (row.starts_with("section:")) {
    apply({Do::go_section, row.substr(8)});
  } else if (row.starts_with("intake:")) {
    const std::string key = row.substr(7);
    if (key == "words") {
      apply({Do::focus_line, {}});
    } else {
      open_menu(key);
    }
  } else if (row.starts_with("settle:")) {
    apply({Do::settle_question, row.substr(7)});
  } else if (row == "type code") {
    apply({Do::focus_line, {}});
  } else if (row == "new_job") {
    apply({Do::new_job, {}});
  } else if (row == "park") {
    open_menu("park");
  } else if (row == "finish_job") {
    apply({Do::open_outcome, {}});
  } else if (row == "initials") {
    state_.ask = Asking{"initials", tr("Initials"), tr("Who works on this job"),
                        TextBuffer{now != nullptr ? now->initials : ""}, false};
    go(Screen::ask);
  } else if (row == "order") {
    state_.ask =
        Asking{"order", tr("Repair order"), tr("Its number: it stays in this shop's folder"),
               TextBuffer{now != nullptr ? now->order : ""}, false};
    go(Screen::ask);
  } else if (row.starts_with("take_over:")) {
    apply({Do::take_over, row.substr(10)});
  } else if (row == "leave_to") {
    apply({Do::leave_to, {}});
  } else if (row == "settings" || row == "sections" || row == "work_out") {
    open_menu(row);
  } else if (row.starts_with("check:")) {
    apply({Do::next_reading, row.substr(6)});
  } else if (row == "hide") {
    apply({Do::hide, {}});
  } else if (row == "help") {
    apply({Do::help, {}});
  } else if (row == "unskip") {
    apply({Do::unskip, {}});
  } else if (row == "take_back") {
    apply({Do::take_back, {}});
  } else if (row.starts_with("right:")) {
    state_.coming.right = row.substr(6);
  } else if (row.starts_with("part:")) {
    state_.coming.part = row.substr(5);
  } else if (row == "type part") {
    state_.ask = Asking{"part", tr("The part fitted"), tr("Make and number, as on the box"),
                        TextBuffer{state_.coming.part}, false};
    go(Screen::ask);
  } else if (row == "finished") {
    open_menu(row);
  } else if (row.starts_with("formula:")) {
    apply({Do::open_formula, row.substr(8)});
  } else if (row == "write_finished") {
    apply({Do::write_finished, {}});
  } else if (row == "write_new") {
    apply({Do::write_new, {}});
  } else if (row == "write_edit") {
    apply({Do::write_edit, {}});
  } else if (row == "ask_question") {
    apply({Do::ask_question, {}});
  }
}

}  // namespace baylore::viewer
