// Reading and the torque adapter: what the keypads do.
#include <algorithm>
#include <utility>

#include "files/names.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr std::size_t kDigits = 7;  // more than any meter shows

void put_digit(std::string& into, const std::string& digit) {
  if (digit == "–" || digit == "-") {
    // The sign key turns the sign over, wherever one is in the number.
    if (into.starts_with("-")) {
      into.erase(0, 1);
    } else {
      into.insert(0, "-");
    }
    return;
  }
  if (digit == "." && into.find('.') != std::string::npos) return;
  if (into.size() < kDigits) into += digit;
}

}  // namespace

// `part`: of the part in the hand; empty: of the open tip.
void App::begin_reading(const std::string& id, const std::string& part, bool after) {
  Taking& take = state_.taking;
  const Taking before = std::exchange(take, Taking{});
  take.check = id;
  take.part = part;
  take.after = after;
  const auto check = taken_check(state_);
  if (!check) {
    take = before;
    return;
  }
  if (check->expect && check->expect->unit != nullptr)
    take.unit = take.unit_written = check->expect->unit->id;
  const auto correction = trade::parse_correction(check->correct);
  if (const trade::Correction* c = trade::value_in(correction)) {
    take.measured_unit = c->kind == trade::Correction::Kind::kCopper ? trade::UnitId::kCelsius
                                                                     : trade::UnitId::kKilopascal;
  }
  // What was taken before is there to be looked at or corrected.
  const job::Job* now = state_.current();
  const job::Reading* old = now == nullptr ? nullptr
                            : part.empty() ? now->reading(id, after)
                                           : now->accepted(part, id);
  if (old != nullptr && old->result == "reading") {
    const auto quantity = trade::parse_quantity(old->value);
    if (const trade::Quantity* q = trade::value_in(quantity)) {
      take.typed = trade::authored_number(q->value);
      take.unit = q->unit->id;
    }
    const auto measured = trade::parse_quantity(old->measured);
    if (const trade::Quantity* q = trade::value_in(measured)) {
      take.measured = trade::authored_number(q->value);
      take.measured_unit = q->unit->id;
    }
  } else if (old != nullptr) {
    take.result = old->result;
  }
  go(Screen::reading);
}

void App::keep_reading() {
  const Taking& take = state_.taking;
  job::Job* now = state_.current();
  const auto check = taken_check(state_);
  job::Reading reading = reading_of(state_);
  if (now == nullptr || !check || reading.result.empty()) return;
  const job::Judged judged = job::judge(*check, &reading);
  if (judged.kind == job::Judged::Kind::not_read) return;
  reading.name = check->name;
  reading.expected = check->expect_text;
  reading.said = job::said(judged);
  reading.when = files::now_text();
  if (!take.part.empty()) {
    now->keep_accepted(take.part, reading);
    keep_job();
    go_back();
    if (reading.said == job::kOutside) {
      state_.notice =
          Notice{say("Not as expected: {0}", check->name),
                 say("Record, Bad in the box, counts it against {0}.", take.part), true};
    }
    return;
  }
  now->keep(reading);
  now->next_step.clear();
  // A check with a result is done; one that could not be made stays open.
  job::Ticks& ticks = now->ticks[state_.tip->tip.id];
  std::string key = tick_key(*check);
  if (take.after) {
    for (const shop::Verification& v : state_.tip->tip.verify) {
      if (check_of(state_.tip->tip, v).id == take.check) key = tick_key(v);
    }
  }
  if (reading.result == "could not check") {
    ticks.erase(key);
  } else {
    ticks.insert(key);
  }
  keep_job();
  go_back();
  if (state_.screen == Screen::next) {
    guide_now();
    return;
  }
  const std::vector<Todo> all = todo_of(state_.tip->tip);
  if (reading.result == "could not check") return;
  if (const Todo* next = next_todo(all, state_)) state_.scroll_to = next->anchor;
}

bool App::apply_reading(const Action& action) {
  Taking& take = state_.taking;
  std::string& typed = state_.screen == Screen::adapter ? state_.adapter.typed[state_.adapter.field]
                       : state_.screen == Screen::outcome
                           ? state_.coming.typed[static_cast<std::size_t>(state_.coming.field)]
                       : state_.screen == Screen::frame ? state_.framing.typed[state_.framing.field]
                       : state_.screen == Screen::work_out
                           ? state_.working.typed[static_cast<std::size_t>(state_.working.field)]
                       : take.second ? take.measured
                                     : take.typed;
  switch (action.what) {
    case Do::take_reading:
      begin_reading(action.text, {}, action.number == 1);
      return true;
    case Do::digit:
      put_digit(typed, action.text);
      if (state_.screen == Screen::reading) take.result.clear();
      return true;
    case Do::digit_erase:
      if (!typed.empty()) typed.pop_back();
      return true;
    case Do::reading_unit:
      if (const trade::Unit* unit = trade::find_unit(action.text))
        (take.second ? take.measured_unit : take.unit) = unit->id;
      return true;
    case Do::reading_result:
      take.result = take.result == action.text ? std::string() : action.text;
      return true;
    case Do::reading_second:
      take.second = !take.second;
      return true;
    case Do::reading_clear:
      take.typed.clear();
      take.measured.clear();
      take.result.clear();
      take.second = false;
      return true;
    case Do::keep_reading:
      keep_reading();
      return true;
    case Do::open_adapter:
      state_.fastener = action.number;
      state_.adapter = Adapter{};
      go(Screen::adapter);
      return true;
    case Do::adapter_field:
      state_.adapter.field = action.number >= 0 && action.number < 3 ? action.number : 0;
      state_.adapter.typed[state_.adapter.field].clear();
      return true;
    case Do::open_formula: {
      const auto& all = trade::formulas();
      const auto named = std::find_if(
          all.begin(), all.end(), [&](const trade::Formula& f) { return f.name == action.text; });
      if (named == all.end() || work_fields(*named).size() > kMostWorkFields) return true;
      state_.working = Working{&*named, 0, {}};
      ui_.scroll_state("work out") = {};
      go(Screen::work_out);
      return true;
    }
    case Do::work_field: {
      const auto fields = static_cast<int>(work_fields(*state_.working.formula).size());
      if (action.number < 0 || action.number >= fields) return true;
      state_.working.field = action.number;
      state_.working.typed[static_cast<std::size_t>(action.number)].clear();
      return true;
    }
    default:
      return false;
  }
}

}  // namespace baylore::viewer
