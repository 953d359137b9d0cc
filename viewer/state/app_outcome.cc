// Outcome: what a job came to, and later that it came back.
#include <algorithm>

#include "files/names.h"
#include "trade/quantity.h"
#include "viewer/state/app.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

double minutes_of(const std::string& typed) {
  const auto parsed = trade::parse_number(typed);
  const double* number = trade::value_in(parsed);
  return number != nullptr && *number > 0 ? *number : 0;
}

}  // namespace

bool App::apply_outcome(const Action& action) {
  job::Job* now = state_.current();
  Coming& coming = state_.coming;
  switch (action.what) {
    case Do::open_outcome:
      if (now == nullptr) return true;
      keep_line();
      coming = Coming{};
      coming.right = now->tip;
      // What was ordered for the job is what went in, unless somebody says otherwise.
      for (const std::string& part : now->to_order)
        coming.part += (coming.part.empty() ? "" : "; ") + part;
      go(Screen::outcome);
      return true;
    case Do::outcome_result:
      coming.result = shop::read_result(action.text);
      return true;
    case Do::outcome_field:
      coming.field = action.number == 1 ? 1 : 0;
      coming.pad = true;
      coming.typed[static_cast<std::size_t>(coming.field)].clear();
      return true;
    case Do::outcome_unit:
      coming.miles = !coming.miles;
      return true;
    case Do::record_outcome: {
      if (now == nullptr || !coming.result) return true;
      shop::Outcome outcome;
      outcome.id = files::new_id();
      outcome.when = files::now_text();
      outcome.who = now->initials.empty() ? state_.terminal.name : now->initials;
      outcome.job = now->id;
      outcome.result = *coming.result;
      // Which tip was right is known only of a fix.
      if (outcome.result == shop::Result::fixed) outcome.right = coming.right;
      for (const auto& [tip, ticks] : now->ticks) outcome.used.push_back(tip);
      if (!now->tip.empty() &&
          std::find(outcome.used.begin(), outcome.used.end(), now->tip) == outcome.used.end())
        outcome.used.push_back(now->tip);
      outcome.part = coming.part;
      if (!coming.typed[0].empty())
        outcome.odometer = coming.typed[0] + (coming.miles ? " mi" : " km");
      outcome.minutes = minutes_of(coming.typed[1]);
      outcome.car = {now->vehicle.make, now->vehicle.model, now->vehicle.year, now->vehicle.engine};
      for (const auto& [code, state] : now->code_state) outcome.codes.push_back(code);
      outcome.order = now->order;
      recording_ = now->id;
      const bool write = action.number == 1 && !state_.write.active;
      if (write) write_from(*now, &outcome);
      desk_->record(shop::record_of(outcome));
      // A job whose customer waits for a part goes on when it is there; the others are done.
      if (outcome.result == shop::Result::part_ordered) {
        apply_job({Do::park_because, "part ordered"});
      } else {
        apply_job({Do::finish_job, {}});
      }
      state_.notice = Notice{say("Recorded: {0}", tr(shop::result_word(*coming.result))),
                             tr("A comeback is told under More, Finished jobs."), false};
      if (action.number != 1) return true;
      if (!write)
        state_.notice =
            Notice{tr("Recorded; another tip is being written"),
                   tr("Save it or drop its draft. This job is under Finished jobs."), false};
      go(Screen::write);
      return true;
    }
    default:
      return false;
  }
}

void App::take(OutcomeSaved& event) {
  const std::string id = std::exchange(recording_, {});
  const auto dead = std::exchange(recording_dead_, std::nullopt);
  if (!event.failure) return;
  if (id.empty()) {
    // A bad part, whose checks are as they were, or a comeback, which is told again.
    for (job::Job& job : state_.jobs) {
      if (!dead || job.id != dead->job) continue;
      job.acceptance[dead->part] = dead->seen;
      job.touched = files::now_text();
      desk_->save_job(job);
      state_.part_lot = dead->lot;
    }
    state_.notice = Notice{tr("Not recorded"), event.failure->text(), true};
    return;
  }
  // What the job came to is not lost: the job is taken up again with it.
  apply_job({Do::open_job, id});
  state_.screen = Screen::outcome;
  state_.back = {Screen::job};
  state_.notice = Notice{tr("Not recorded"), event.failure->text(), true};
}

}  // namespace baylore::viewer
