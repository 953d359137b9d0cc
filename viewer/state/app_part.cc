// Part: the number in the hand, its rivals, its acceptance checks, the order list, and what is
// recorded of it.
#include <algorithm>
#include <cmath>
#include <utility>

#include "files/names.h"
#include "shop/part_record.h"
#include "viewer/screens/screens.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string with_lot(const std::string& part, const std::string& lot) {
  return lot.empty() ? part : part + " lot " + lot;
}

std::string whole(double number) { return std::to_string(std::lround(number)); }

std::string car_words(const shop::Car& car) {
  std::string words = car.make + (car.model.empty() ? "" : " " + car.model);
  if (car.year > 0) words += " " + std::to_string(car.year);
  return words.empty() ? tr("No vehicle") : words;
}

// "came back after 7 months, 12300 km: leaks".
std::string ended_words(const PartRecord& record) {
  if (record.dead)
    return record.reason.empty() ? tr("bad in the box")
                                 : say("bad in the box: {0}", tr(record.reason));
  const long days = std::lround(record.months * 30.44);
  const long months = std::lround(record.months);
  std::string span = record.months < 1.5 ? say_count("{0} day", "{0} days", days, days)
                                         : say_count("{0} month", "{0} months", months, months);
  if (!std::isnan(record.km)) span += ", " + whole(record.km) + " km";
  std::string words =
      record.failed ? say("came back after {0}", span) : say("in service for {0}", span);
  if (record.failed && !record.reason.empty()) words += ": " + tr(record.reason);
  return words;
}

}  // namespace

// The name of the part the line is about, and nothing beside it; empty when it names none or more
// than one.
std::string App::part_in_line() const {
  if (!state_.history || state_.line.empty()) return {};
  const shop::PartBook& parts = state_.history->parts();
  const auto only = [&](const std::string& text) -> std::string {
    const shop::PartBook::Found found = parts.find(text);
    return found.places.size() == 1 ? parts.number(found.places.front()).name : std::string();
  };
  if (std::string name = only(state_.line.text()); !name.empty())
    return with_lot(name, parts.find(state_.line.text()).lot);
  // Among other words: the numbers that the search understood.
  if (!state_.answered) return {};
  for (const search::Token& token : state_.answer.understood.tokens) {
    if (token.kind != search::Token::Kind::part) continue;
    if (std::string name = only(token.shown); !name.empty()) return name;
  }
  return {};
}

bool App::part_is_line() const {
  return state_.history && state_.history->parts().find(state_.line.text()).places.size() == 1;
}

void App::ask_part(const std::string& name, quality::By by) {
  const job::Job* now = state_.current();
  state_.part_opening = name;
  desk_->open_part(++part_serial_, {name, by, now != nullptr ? now->vehicle : search::Vehicle{}});
}

void App::take(Counted& event) {
  state_.history = std::move(event.history);
  state_.part_found = part_in_line();
  if (state_.part) ask_part(state_.part->asked.name, state_.part->asked.by);
  if (state_.tip && !state_.tip->tip.parts.empty()) reopen_tip();
}

void App::take(PartOpened& event) {
  if (event.serial != part_serial_) return;
  part_shown_ = event.serial;
  const std::string name = std::exchange(state_.part_opening, {});
  if (event.page) {
    const bool same = state_.part && state_.part->place == event.page->place &&
                      state_.part->asked.by == event.page->asked.by;
    if (!state_.part || state_.part->place != event.page->place) state_.part_lot = event.page->lot;
    state_.part = std::move(event.page);
    if (!same) ui_.scroll_state("part") = {};
    return;
  }
  if (state_.screen != Screen::part) return;  // turned to something else meanwhile
  if (!state_.part) go_back();
  if (event.choices.empty()) {
    state_.notice =
        Notice{say("No part file lists {0}", name),
               tr("It can still be named in the outcome; the lead adds it to parts/."), true};
    return;
  }
  part_choices_ = event.choices;
  open_menu("which part");
}

void App::take(RecordsTold& event) {
  if (state_.screen != Screen::part) return;
  part_records_ = std::move(event.records);
  part_records_of_ = std::move(event.part);
  open_menu("part records");
}

void App::part_menu(const std::string& what, Menu& menu) const {
  const auto add = [&](std::string id, std::string label, std::string value = {},
                       bool marked = false) {
    menu.rows.push_back(MenuRow{std::move(id), std::move(label), std::move(value), marked});
  };
  if (what == "which part") {
    menu.title = tr("Which of these");
    for (const std::string& name : part_choices_) add("open part:" + name, name);
    return;
  }
  if (what == "part records") {
    menu.title = part_records_of_;
    int in_service = 0;
    for (const PartRecord& record : part_records_) {
      if (!record.failed && !record.dead) ++in_service;
      std::string value = ended_words(record);
      if (!record.location.empty()) value = say("{0}; at {1}", value, record.location);
      add("back", car_words(record.car) + ", " + day_words(record.when), std::move(value),
          record.failed || record.dead);
    }
    if (part_records_.empty()) add("back", tr("None was fitted here"));
    if (in_service > 0) add("back", tr("The newest in service are listed"), whole(in_service));
    return;
  }
  if (what == "claim") {
    menu.title = tr("Claim sheet");
    const shop::Finished* job = finished_job();
    if (job == nullptr || job->comebacks.empty()) return;
    std::string warranty;
    if (const auto named = shop::named_parts(job->outcome.part); state_.history && !named.empty()) {
      const shop::PartBook& parts = state_.history->parts();
      const auto found = parts.find(named.front().name);
      if (found.places.size() == 1) warranty = parts.number(found.places.front()).warranty.text;
    }
    std::string sheet = shop::claim_sheet(*job, job->comebacks.back(), warranty);
    for (std::size_t from = 0; from < sheet.size();) {
      const std::size_t end = std::min(sheet.find('\n', from), sheet.size());
      const std::size_t colon = std::min(sheet.find(':', from), end);
      const std::size_t value = std::min(colon + 2, end);
      add("back", tr(sheet.substr(from, colon - from)),
          value < end ? sheet.substr(value, end - value) : tr("not known"));
      from = end + 1;
    }
    return;
  }
  if (what == "came back") {
    menu.title = tr("It came back: with what, and why");
    const shop::Finished* job = finished_job();
    add("came back odometer", tr("Odometer now"),
        state_.came_back_odometer.empty() ? tr("km or mi") : state_.came_back_odometer);
    add("came back readings", tr("Readings that show it"),
        state_.came_back_readings.empty() ? tr("for the claim sheet") : state_.came_back_readings);
    for (const std::string_view reason : shop::comeback_reasons())
      add("reason:" + std::string(reason), tr(reason));
    if (job != nullptr && !job->comebacks.empty() && !job->outcome.part.empty())
      add("claim", tr("Claim sheet"), job->outcome.part);
    add("write_finished", tr("It held: write a tip from it"));
    return;
  }
  if (!state_.part) return;
  const PartPage& page = *state_.part;
  if (what == "record part") {
    menu.title = tr("What became of it");
    const std::vector<std::string> bad = not_as_expected(state_);
    add("part fitted", tr("It goes in"), tr("the outcome, with this part"));
    add("dead", tr("Bad in the box, not fitted"),
        bad.empty() ? say("counts against {0}", page.number().name) : bad.front(), !bad.empty());
    add("lot", tr("Lot"), state_.part_lot.empty() ? tr("as printed on the box") : state_.part_lot);
    return;
  }
  menu.title = tr("More");
  const auto view = [&](PartView which, const std::string& label, const std::string& value) {
    add("view:" + std::to_string(static_cast<int>(which)), label, value, state_.part_view == which);
  };
  using quality::By;
  const auto rows = [&](By by, const std::string& label, const std::string& value) {
    add("by:" + std::to_string(static_cast<int>(by)), label, value,
        state_.part_view == PartView::rivals && page.asked.by == by);
  };
  if (metrics_.form() == Form::phone) {
    const std::vector<shop::Check> checks = acceptance_of(page.family);
    const auto seen = std::count_if(checks.begin(), checks.end(), [&](const shop::Check& check) {
      return accepted(state_, check).kind != job::Judged::Kind::none;
    });
    add("go acceptance", tr("Before it goes in"), say("{0} of {1}", seen, checks.size()));
    add("order", tr("Order list"), tr("with what goes with it"));
  }
  rows(By::number, tr("Rivals"),
       say_count("{0} number", "{0} numbers", static_cast<long>(page.family.numbers.size()),
                 page.family.numbers.size()));
  rows(By::grade, tr("By grade"), tr("original, aftermarket ..."));
  rows(By::lot, tr("By lot of this number"), tr("one bad batch, or all of them"));
  view(PartView::months, tr("How long they last, in months"), tr("still in service"));
  view(PartView::distance, tr("How long they last, in distance"), tr("still in service"));
  view(PartView::cost, tr("What it really costs"),
       page.family.safety_critical ? tr("not for a safety-critical part")
                                   : tr("price and comebacks together"));
  view(PartView::about, tr("About this number"), tr("fits, price, warranty, what to look at"));
  add("records", tr("Jobs behind it"), quality::in_words(page.rows.front().rival.all));
  for (const PartLink& tip : page.tips) add("tip:" + tip.id, tip.title, tr("tip"));
}

const shop::Finished* App::finished_job() const {
  const auto at =
      std::find_if(state_.finished.begin(), state_.finished.end(),
                   [&](const shop::Finished& job) { return job.outcome.id == state_.came_back; });
  return at == state_.finished.end() ? nullptr : &*at;
}

// The finished job is asked about: what a reading of the same car on the job at hand shows is
// offered for the claim.
void App::open_finished(const std::string& outcome) {
  state_.came_back = outcome;
  state_.came_back_odometer.clear();
  state_.came_back_readings.clear();
  const shop::Finished* job = finished_job();
  const job::Job* now = state_.current();
  if (job != nullptr && now != nullptr && !now->vehicle.model.empty() &&
      now->vehicle.make == job->outcome.car.make && now->vehicle.model == job->outcome.car.model) {
    for (const job::Reading& reading : now->readings) {
      if (reading.said != job::kOutside) continue;
      std::string& all = state_.came_back_readings;
      all += (all.empty() ? "" : "; ") + reading.name + ": " +
             (reading.value.empty() ? reading.result : reading.value) +
             (reading.expected.empty() ? "" : ", expected " + reading.expected);
    }
  }
  open_menu("came back");
}

void App::record_comeback(const std::string& reason) {
  shop::Comeback comeback;
  comeback.id = files::new_id();
  comeback.when = files::now_text();
  comeback.who = state_.terminal.name;
  comeback.outcome = state_.came_back;
  comeback.reason = reason;
  comeback.odometer = state_.came_back_odometer;
  if (!comeback.odometer.empty() &&
      comeback.odometer.find_first_not_of("0123456789 .,") == std::string::npos)
    comeback.odometer += " km";
  comeback.text = state_.came_back_readings;
  desk_->record(shop::record_of(comeback));
  const shop::Finished* job = finished_job();
  const bool claims = job != nullptr && !job->outcome.part.empty() && reason == "part failed";
  if (claims) {
    // The news comes with the file; the sheet is wanted now.
    const auto at = state_.finished.begin() + (job - state_.finished.data());
    at->comebacks.push_back(comeback);
  }
  state_.screen = Screen::job;
  state_.back.clear();
  if (claims) open_menu("claim");
  state_.notice = Notice{say("Comeback recorded: {0}", tr(reason)),
                         claims ? tr("The sheet is kept under More, Finished jobs.")
                                : tr("It counts against the tip or the part that failed."),
                         false};
}

bool App::choose_part(const std::string& row) {
  if (row == "claim") {
    open_menu("claim");
    return true;
  }
  if (row == "came back odometer" || row == "came back readings") {
    const bool odometer = row == "came back odometer";
    state_.ask =
        Asking{row, odometer ? tr("Odometer now") : tr("Readings that show it"),
               odometer ? tr("Such as 84200 km, or 52300 mi")
                        : tr("What was measured, and what is expected"),
               TextBuffer{odometer ? state_.came_back_odometer : state_.came_back_readings}, false};
    go(Screen::ask);
    return true;
  }
  if (row.starts_with("open part:")) {
    go_back();
    apply({Do::open_part, row.substr(10)});
    return true;
  }
  if (state_.menu.what != "part" && state_.menu.what != "record part") return false;
  if (row == "lot") {
    state_.ask = Asking{"lot", tr("Lot"), tr("The lot or batch printed on the box"),
                        TextBuffer{state_.part_lot}, false};
    go(Screen::ask);
    return true;
  }
  go_back();
  if (row.starts_with("by:")) {
    apply({Do::part_by, {}, std::stoi(row.substr(3))});
  } else if (row.starts_with("view:")) {
    apply({Do::part_view, {}, std::stoi(row.substr(5))});
  } else if (row == "records" && state_.part) {
    apply({Do::part_records, state_.part->number().name});
  } else if (row == "go acceptance") {
    state_.scroll_to = "acceptance";
  } else if (row == "order" && state_.part) {
    apply({Do::open_order, state_.part->number().name});
  } else if (row == "part fitted") {
    apply({Do::part_fitted, {}});
  } else if (row == "dead") {
    apply({Do::dead_on_arrival, {}});
  } else if (row.starts_with("tip:")) {
    apply({Do::open_tip, row.substr(4)});
  }
  return true;
}

// A failed part in the hand: its own record, against that number; the next box is looked at anew.
void App::record_dead() {
  job::Job* now = state_.current();
  if (now == nullptr || !state_.part) return;
  const std::string name = state_.part->number().name;
  shop::DeadOnArrival dead;
  dead.id = files::new_id();
  dead.when = files::now_text();
  dead.who = now->initials.empty() ? state_.terminal.name : now->initials;
  dead.job = now->id;
  dead.part = with_lot(name, state_.part_lot);
  for (const std::string& what : not_as_expected(state_))
    dead.text += (dead.text.empty() ? "" : "; ") + what;
  dead.car = {now->vehicle.make, now->vehicle.model, now->vehicle.year, now->vehicle.engine};
  desk_->record(shop::record_of(dead));
  recording_dead_ = RecordingDead{now->id, name, state_.part_lot, now->acceptance[name]};
  now->acceptance.erase(name);
  keep_job();
  state_.part_lot.clear();
  state_.notice =
      Notice{say("Recorded: {0}, bad in the box", name),
             tr("It counts against this number. The checks are open for the next box."), false};
}

bool App::apply_part(const Action& action) {
  job::Job* now = state_.current();
  switch (action.what) {
    case Do::open_part: {
      const std::string name = action.text;  // it may be the line's, which changes now
      if (now != nullptr && part_is_line()) {
        // A scanned number is no complaint: the job's own words stay in the line.
        state_.line.set(now->line);
        state_.typing = false;
        search_now();
      } else if (now != nullptr) {
        keep_line();
        keep_job();
      }
      if (state_.screen != Screen::part) {
        state_.part.reset();
        state_.part_lot.clear();
        state_.part_view = PartView::rivals;
        go(Screen::part);
      }
      ask_part(name, quality::By::number);
      return true;
    }
    case Do::part_by:
      if (!state_.part || action.number < 0 || action.number > 3) return true;
      state_.part_view = PartView::rivals;
      ask_part(with_lot(state_.part->number().name, state_.part->lot),
               static_cast<quality::By>(action.number));
      return true;
    case Do::part_view:
      if (action.number < 0 || action.number > static_cast<int>(PartView::about)) return true;
      state_.part_view = static_cast<PartView>(action.number);
      ui_.scroll_state("part") = {};
      // Curves and costs are of numbers.
      if (state_.part && state_.part->asked.by != quality::By::number)
        ask_part(with_lot(state_.part->number().name, state_.part->lot), quality::By::number);
      return true;
    case Do::part_records:
      desk_->tell_records(action.text);
      return true;
    case Do::accept_check: {
      if (!state_.part) return true;
      const std::string part = state_.part->number().name;
      begin_reading(action.text, part, false);
      return true;
    }
    case Do::accept_toggle: {
      if (now == nullptr || !state_.part) return true;
      const std::string part = state_.part->number().name;
      for (const shop::Check& check : acceptance_of(state_.part->family)) {
        if (check.id != action.text) continue;
        const job::Reading* old = now->accepted(part, check.id);
        if (old != nullptr && old->result == "yes") {
          std::erase_if(now->acceptance[part],
                        [&](const job::Reading& r) { return r.check == check.id; });
        } else {
          job::Reading reading;
          reading.check = check.id;
          reading.result = "yes";
          reading.when = files::now_text();
          reading.name = check.name;
          reading.expected = check.expect_text;
          reading.said = job::kInside;
          now->keep_accepted(part, std::move(reading));
        }
        keep_job();
      }
      return true;
    }
    case Do::record_part:
      open_menu("record part");
      return true;
    case Do::dead_on_arrival:
      record_dead();
      return true;
    case Do::part_fitted:
      if (!state_.part) return true;
      apply({Do::open_outcome, {}});
      state_.coming.part = with_lot(state_.part->number().name, state_.part_lot);
      return true;
    case Do::open_order:
      if (now == nullptr) return true;
      if (!action.text.empty() && std::find(now->to_order.begin(), now->to_order.end(),
                                            action.text) == now->to_order.end()) {
        now->to_order.push_back(action.text);
        keep_job();
      }
      ui_.scroll_state("order") = {};
      go(Screen::order);
      return true;
    case Do::take_off:
      if (now == nullptr) return true;
      std::erase(now->to_order, action.text);
      keep_job();
      return true;
    case Do::at_hand:
      if (now == nullptr) return true;
      if (now->at_hand.erase(action.text) == 0) now->at_hand.insert(action.text);
      keep_job();
      return true;
    default:
      return false;
  }
}

}  // namespace baylore::viewer
