// What to check next: asking for it, acting on it, taking it back.
#include <algorithm>

#include "files/names.h"
#include "viewer/state/app.h"

namespace baylore::viewer {
namespace {

std::vector<diagnosis::Answer> answers_of(const job::Job& job) {
  std::vector<diagnosis::Answer> answers;
  for (const job::Reading& reading : job.readings) {
    if (reading.after) continue;  // taken to verify: the repair is done
    diagnosis::Answer answer;
    answer.check = reading.check;
    if (!diagnosis::read_answer_kind(reading.result, answer.kind)) continue;
    answer.value = reading.value;
    answer.measured = reading.measured;
    answers.push_back(std::move(answer));
  }
  for (const std::string& check : job.skipped)
    answers.push_back({check, diagnosis::Answer::Kind::skipped, {}, {}});
  for (const std::string& tip : job.tried)
    answers.push_back({tip, diagnosis::Answer::Kind::repaired, {}, {}});
  return answers;
}

}  // namespace

void App::guide_now() {
  const job::Job* now = state_.current();
  if (now == nullptr) return;
  diagnosis::Complaint complaint;
  complaint.vehicle = now->vehicle;
  complaint.line = now->line;
  complaint.dropped = now->dropped;
  complaint.when = now->when;
  complaint.often = now->often;
  complaint.after = now->after;
  complaint.codes = now->code_state;
  diagnosis::Options options;
  options.missing_tools = state_.terminal.missing_tools;
  desk_->diagnose(++guide_serial_, std::move(complaint), answers_of(*now), std::move(options));
}

// A check chosen on Next check is read on the tip its words are from.
void App::read_on_opened() {
  if (read_when_open_.empty() || !state_.tip) return;
  const std::string check = std::exchange(read_when_open_, {});
  if (state_.screen == Screen::next || state_.screen == Screen::menu)
    apply_reading({Do::take_reading, check});
}

bool App::apply_next(const Action& action) {
  job::Job* now = state_.current();
  switch (action.what) {
    case Do::open_next:
      if (now == nullptr) return true;
      keep_line();
      keep_job();
      state_.guide.reset();
      guide_now();
      go(Screen::next);
      return true;
    case Do::next_reading: {
      if (!state_.guide) return true;
      const diagnosis::Check* check = state_.guide->a_case->check(action.text);
      if (check == nullptr) return true;
      if (now != nullptr) std::erase(now->skipped, action.text);
      read_when_open_ = action.text;
      if (state_.tip && state_.tip->row.id == check->tip && state_.opening.empty()) {
        read_on_opened();
        return true;
      }
      state_.opening = check->tip;
      desk_->open_tip(check->tip, now != nullptr ? now->vehicle : search::Vehicle{});
      return true;
    }
    case Do::answer_check: {
      if (now == nullptr || action.text.empty()) return true;
      job::Reading reading;
      reading.check = action.text;
      reading.result = action.number == 1 ? "yes" : "no";
      reading.when = files::now_text();
      reading.said = action.number == 1 ? job::kInside : job::kOutside;
      if (const diagnosis::Check* check =
              state_.guide ? state_.guide->a_case->check(action.text) : nullptr) {
        reading.name = check->name;
        reading.expected = check->expect_words;
      }
      now->keep(std::move(reading));
      now->next_step.clear();
      std::erase(now->skipped, action.text);
      keep_job();
      guide_now();
      return true;
    }
    case Do::skip_check:
      if (now == nullptr || action.text.empty()) return true;
      now->skipped.push_back(action.text);
      keep_job();
      guide_now();
      return true;
    case Do::unskip:
      if (now == nullptr) return true;
      now->skipped.clear();
      keep_job();
      guide_now();
      return true;
    case Do::take_back:
      if (now == nullptr || !now->take_back()) return true;
      keep_job();
      guide_now();
      return true;
    case Do::open_causes:
      go(Screen::causes);
      return true;
    case Do::open_ledger:
      state_.ledger = static_cast<std::size_t>(std::max(0, action.number));
      ui_.scroll_state("ledger") = {};
      go(Screen::ledger);
      return true;
    case Do::repair_tried:
      if (now == nullptr || action.text.empty()) return true;
      now->tried.push_back(action.text);
      keep_job();
      guide_now();
      return true;
    default:
      return false;
  }
}

}  // namespace baylore::viewer
