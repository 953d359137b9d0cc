// The left half of Job: jobs put aside here and at other bays.
#include <algorithm>
#include <string>

#include "viewer/screens/job_parts.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// What a job in the list waits for and what comes next, a line each.
struct ParkedLines {
  std::string why;
  std::string next;
};
ParkedLines lines_of(const job::Job& job) {
  ParkedLines lines;
  lines.why = job.why_parked.empty() && !job.taken_words.empty()
                  ? say("taken over from {0}", job.taken_words)
                  : tr(job.why_parked);
  if (lines.why.empty())
    lines.why = job.state == job::State::open ? tr_in("a job", "open") : tr("parked");
  if (!job.initials.empty()) lines.why += ", " + job.initials;
  if (!job.next_step.empty()) lines.next = say("next: {0}", job.next_step);
  return lines;
}

constexpr float kParkedRow = 18.3F;
constexpr float kNextLine = 5.3F;  // more with a next step

float parked_row_height(const job::Job& job, bool more) {
  return kParkedRow + (job.next_step.empty() ? 0 : kNextLine) + (more ? kNextLine : 0);
}

// One job in hand, here or at another bay. Returns the height.
float parked_row(Ui& ui, float x, float y, float w, const job::Job& job, const std::string& first,
                 const std::string& note, bool elsewhere) {
  const Theme& t = ui.theme();
  // A bay that has had ten jobs in hand has numbers of two figures.
  const float in =
      std::max(11.5F, elsewhere ? 0 : ui.width(Type::number, std::to_string(job.number)) + 2.0F);
  const ParkedLines lines = lines_of(job);
  const float h = parked_row_height(job, !note.empty());
  if (ui.pressed({x, y, w, h})) ui.fill({x, y, w, h}, t.face);
  if (elsewhere) {
    // No number: it is another bay's, and must not be taken for one of this bay's tags.
    ui.triangle(x + 1.0F, y + 9.2F, x + 6.2F, y + 5.2F, x + 6.2F, y + 13.2F, t.muted);
  } else {
    ui.text(x, y + 12.4F, Type::number, t.ink, std::to_string(job.number));
  }
  ui.text_in(x + in, y + 5.2F, w - in, Type::small_bold, t.ink, first);
  ui.text_in(x + in, y + 10.6F, w - in, Type::small, t.ink, job.complaint());
  ui.text_in(x + in, y + 15.6F, w - in, Type::small, t.muted, lines.why);
  float base = y + 15.6F;
  if (!lines.next.empty())
    ui.text_in(x + in, base += kNextLine, w - in, Type::small, t.ink, lines.next);
  if (!note.empty())
    ui.text_in(x + in, base += kNextLine, w - in, Type::small_bold, t.out_of_range, note);
  ui.hline(x, y + h, w, 0.2F, t.rule);
  return h;
}

std::string name_of(const job::Job& job) {
  return job.vehicle.empty() ? tr("No vehicle yet") : job.vehicle.text();
}

}  // namespace

float list_header(Ui& ui, float x, float y, float w, std::string_view left,
                  std::string_view right) {
  const Theme& t = ui.theme();
  ui.hline(x, y, w, 0.5F, t.ink);
  const float lw = ui.text(x, y + 5.9F, Type::small_bold, t.ink, left);
  ui.text_in(x + w, y + 5.9F, w - lw - 3, Type::small, t.muted, right, Align::right);
  ui.hline(x, y + 9.0F, w, 0.2F, t.rule);
  return y + 9.0F;
}

// How much the list of jobs would like to have.
float parked_height(const State& state) {
  float h = 9 + 15 + 1;
  for (const job::Job& j : state.jobs) {
    if (j.state == job::State::parked) h += parked_row_height(j, state.board.also.contains(j.id));
  }
  const auto others = other_bays(state);
  if (!others.empty()) h += 9;
  for (const job::Elsewhere* other : others)
    h += parked_row_height(other->version.job, !other->also.empty());
  return h;
}

void draw_parked(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  std::vector<const job::Job*> parked;
  for (const job::Job& j : state.jobs) {
    if (j.state == job::State::parked) parked.push_back(&j);
  }
  float y = list_header(ui, r.x, r.y, r.w, tr("Parked jobs"),
                        parked.empty() ? tr("none") : std::to_string(parked.size()));
  const Rect view{r.x, y, r.w, r.bottom() - y};
  const float top = ui.begin_scroll("parked", view);
  float at = top;
  for (const job::Job* j : parked) {
    const auto also = state.board.also.find(j->id);
    const std::string note =
        also == state.board.also.end() ? "" : say("also at {0}", also->second.front());
    const float h = parked_row(ui, r.x, at, r.w, *j, name_of(*j), note, false);
    if (ui.target("job:" + j->id, {r.x, at, r.w, h})) out.push_back({Do::open_job, j->id});
    at += h;
  }
  const Rect fresh{r.x, at, r.w, 15};
  if (ui.pressed(fresh)) ui.fill(fresh, t.face);
  ui.text(r.x, at + 9.3F, Type::small_bold, t.accent, tr("New job"));
  ui.triangle(r.right() - 1, at + 7.6F, r.right() - 3.6F, at + 5.2F, r.right() - 3.6F, at + 10.0F,
              t.accent);
  if (ui.target("new job", fresh)) out.push_back({Do::new_job, {}});
  at += 15;
  const auto others = other_bays(state);
  if (!others.empty())
    at = list_header(ui, r.x, at, r.w, tr("At other bays"), std::to_string(others.size()));
  for (const job::Elsewhere* other : others) {
    const job::Job& job = other->version.job;
    const std::string note = other->also.empty() ? "" : say("also at {0}", other->also.front());
    const float h = parked_row(ui, r.x, at, r.w, job,
                               job::bay_of(other->version) + ": " + name_of(job), note, true);
    if (ui.target("bay:" + job.id, {r.x, at, r.w, h})) out.push_back({Do::menu, "bay:" + job.id});
    at += h;
  }
  ui.end_scroll(at - top);
}

}  // namespace baylore::viewer
