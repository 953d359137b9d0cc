// Job: the line takes everything; tokens of what was understood hang from it; parked jobs left,
// results right.
#include <algorithm>

#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"

namespace baylore::viewer {
namespace {

struct TokenView {
  std::string key;
  std::string small;   // "vehicle, from “hauler”"
  std::string big;     // "Corvane Hauler 2016"
  bool real = true;    // an empty place otherwise: "scan or type"
  std::string choice;  // a tap puts this in place of the token instead of taking it out
};

// The correction that put this word where it is, or that joins it.
const search::Slip* slip_of(const search::Understood& understood, const search::Token& token) {
  for (const search::Slip& slip : understood.slips) {
    if (token.key == "word:" + (slip.keeps ? slip.typed : slip.shown)) return &slip;
    if (!slip.keeps &&
        std::find(slip.words.begin(), slip.words.end(), token.shown) != slip.words.end())
      return &slip;
  }
  return nullptr;
}

std::vector<TokenView> tokens_of(const State& state) {
  std::vector<TokenView> out;
  const search::Understood& u = state.answer.understood;
  std::string words;
  std::string words_from;
  bool code = false;
  for (const search::Token& token : u.tokens) {
    const std::string from = token.from.empty() ? "" : ", from “" + token.from + "”";
    switch (token.kind) {
      case search::Token::Kind::vehicle:
        out.push_back({token.key, "vehicle" + from, token.shown, true, {}});
        break;
      case search::Token::Kind::code: {
        std::string note = "code";
        if (!token.notes.empty()) note += ", " + token.notes.front();
        out.push_back({token.key, note, token.shown, true, {}});
        code = true;
        break;
      }
      case search::Token::Kind::vin:
        out.push_back({token.key, "VIN, not kept", token.shown, true, {}});
        break;
      case search::Token::Kind::part:
        out.push_back({token.key, "part" + from, token.shown, true, {}});
        break;
      case search::Token::Kind::reading:
        out.push_back({token.key, "reading", token.shown, true, {}});
        break;
      case search::Token::Kind::half_code:
        out.push_back({token.key, "which letter?", token.shown, true, {}});
        for (const std::string& choice : token.choices) {
          out.push_back({token.key, "meant?", choice, true, choice});
        }
        code = true;
        break;
      case search::Token::Kind::word: {
        const search::Slip* slip = slip_of(u, token);
        if (slip == nullptr) {
          out.push_back({token.key, "word", token.shown, true, {}});
        } else if (slip->keeps) {
          out.push_back({slip->key, "also “" + slip->shown + "”", token.shown, true, {}});
        } else {
          out.push_back({slip->key, "for “" + slip->typed + "”", token.shown, true, {}});
        }
        break;
      }
    }
  }
  const job::Job* job = state.current();
  if (u.vehicle.empty() && job != nullptr && !job->vehicle.empty()) {
    out.insert(out.begin(), {"job vehicle", "vehicle of the job", job->vehicle.text(), true, {}});
  }
  if (!code) out.push_back({"", "code", "scan or type", false, {}});
  return out;
}

// The typed line with its caret; the part before the caret stays in view.
void draw_line(Ui& ui, Rect r, const State& state, bool separator_clear, Actions& out) {
  const Theme& t = ui.theme();
  const float clear_w = 19;
  const std::string& text = state.line.text();
  const Rect field{r.x, r.y, r.w - (separator_clear ? clear_w : 0), r.h};
  const float base = r.y + r.h / 2 + ui.capitals(Type::line) / 2 + 0.3F;
  std::string_view shown = text;
  const float room = field.w - 2;
  while (!shown.empty() && ui.width(Type::line, shown) > room) {
    std::size_t at = 0;
    next_code_point(shown, at);
    shown.remove_prefix(at);
  }
  if (text.empty() && !state.typing) {
    ui.text_in(r.x, base, room, Type::line, t.muted,
               ui.metrics().form() == Form::wide ? "Car, complaint or code" : "Car, words, code");
  } else {
    ui.push_clip(field);
    ui.text(r.x, base, Type::line, t.ink, shown);
    ui.pop_clip();
    if (state.typing || state.hard_keyboard) {
      const std::size_t hidden = text.size() - shown.size();
      const std::size_t caret = state.line.caret() > hidden ? state.line.caret() - hidden : 0;
      const float cx = r.x + ui.width(Type::line, shown.substr(0, caret)) + 0.7F;
      ui.vline(cx, base - ui.capitals(Type::line) - 1.5F, ui.capitals(Type::line) + 3, 0.6F,
               t.accent);
    }
  }
  if (ui.target("line", field)) out.push_back({Do::focus_line, {}});
  if (separator_clear) {
    ui.vline(field.right() + 0.3F, r.y + r.h * 0.25F, r.h * 0.62F, 0.2F, t.ink);
    ui.text(field.right() + 3.4F, base - 0.5F, Type::small_bold, t.ink, "clear");
    if (ui.target("clear", {field.right(), r.y, clear_w, r.h})) out.push_back({Do::clear_line, {}});
  }
}

void draw_tokens(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const std::vector<TokenView> tokens = tokens_of(state);
  const float least = ui.metrics().target();
  const bool phone = ui.metrics().form() == Form::phone;
  float x = r.x;
  // What does not fit in the row is said by number; the line itself still shows every word.
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const TokenView& token = tokens[i];
    const Type big = token.real ? Type::small_bold : Type::small;
    const std::string small = phone ? token.small.substr(0, token.small.find(',')) : token.small;
    const float w = std::min(
        std::max(least, std::max(ui.width(Type::small, small), ui.width(big, token.big)) + 6),
        r.w * 0.6F);
    if (x + w > r.right() + 0.5F) {
      if (token.real)
        ui.text_in(x + 1, r.y + 5.0F, r.right() - x - 1, Type::small, t.muted,
                   "+" + std::to_string(tokens.size() - i));
      break;
    }
    ui.vline(x, r.y, r.h, 0.5F, token.real ? t.accent : t.ink);
    ui.text_in(x + 2.4F, r.y + 5.5F, w - 4, Type::small, t.muted, small);
    ui.text_in(x + 2.4F, r.y + 11.7F, w - 3, big, t.ink, token.big);
    const Rect field{x, r.y, w, r.h};
    if (!token.choice.empty()) {
      if (ui.target("choice:" + token.choice, field))
        out.push_back({Do::complete_code, token.choice});
    } else if (token.real && ui.target("token:" + token.key, field)) {
      out.push_back({Do::drop_token, token.key});
    }
    if (!token.real && ui.target("token:add", field)) out.push_back({Do::focus_line, {}});
    x += w;
  }
}

// A results title: matched stretches bold.
std::vector<Run> title_runs(const search::Hit& hit) {
  std::vector<Run> runs;
  std::size_t at = 0;
  const std::string& title = hit.tip.title;
  for (const search::Span& span : hit.bold) {
    if (span.from < at || span.to > title.size()) continue;
    if (span.from > at) runs.push_back({title.substr(at, span.from - at), false});
    runs.push_back({title.substr(span.from, span.to - span.from), true});
    at = span.to;
  }
  if (at < title.size()) runs.push_back({title.substr(at), false});
  return runs;
}

// A title in one line of two weights, cut with an ellipsis.
void one_line(Ui& ui, float x, float base, float w, Type regular, Colour colour,
              const std::vector<Run>& runs) {
  for (const Run& run : runs) {
    const Type type = run.bold ? bold_of(regular) : regular;
    const float wide = ui.width(type, run.text);
    if (wide > w) {
      ui.text_in(x, base, w, type, colour, run.text);
      return;
    }
    x += ui.text(x, base, type, colour, run.text);
    w -= wide;
  }
}

// The row has room for the verdict; which other model it is stands on the tip.
std::string row_words(const search::FitResult& fit) {
  return fit.verdict == search::FitVerdict::other_model ? fit.words.substr(0, fit.words.find(':'))
                                                        : fit.words;
}

struct RowSize {
  float h;
  bool stacked;  // phone: title over two lines, fit as dot and words
  bool compact;  // while typing on the small panel: one line
};

void result_row(Ui& ui, Rect r, const search::Hit& hit, RowSize size, Actions& out) {
  const Theme& t = ui.theme();
  if (ui.pressed(r)) ui.fill(r, t.face);
  const std::vector<Run> runs = title_runs(hit);
  if (size.compact) {
    const float word_w = 30;
    one_line(ui, r.x, r.y + r.h / 2 + ui.capitals(Type::text) / 2, r.w - word_w - 2, Type::text,
             t.ink, runs);
    ui.text_in(r.right(), r.y + r.h / 2 + ui.capitals(Type::small_bold) / 2, word_w,
               Type::small_bold, t.ink, row_words(hit.fit), Align::right);
  } else if (size.stacked) {
    if (size.h < 18) {
      one_line(ui, r.x, r.y + 5.9F, r.w, Type::text, t.ink, runs);
      fit_dot(ui, r.x, r.y + 11.8F, r.w, hit.fit, hit.why_line);
    } else {
      const float high = ui.paragraph(r.x, r.y + 2.0F, r.w, Type::text, t.ink, runs, 2);
      fit_dot(ui, r.x, r.y + 2.0F + high + ui.capitals(Type::small) + 0.4F, r.w, hit.fit,
              hit.why_line);
    }
  } else {
    const bool room = r.w > 100;
    const float word_w = room ? 26.0F : 22.0F;
    const float word_x = r.right() - word_w;
    const float base = size.h < 17 ? 6.2F : 7.4F;
    const float why = size.h < 17 ? 12.2F : 14.2F;
    one_line(ui, r.x, r.y + base, r.w, Type::title_regular, t.ink, runs);
    const float mark_x = word_x - 27;
    const bool mark = hit.fit.verdict != search::FitVerdict::no_vehicle && r.w > 70;
    ui.text_in(r.x, r.y + why, (mark ? mark_x - 5 : word_x - 2) - r.x, Type::small, t.muted,
               hit.why_line);
    if (mark) {
      search::FitResult fit = hit.fit;
      fit.words = row_words(fit);
      fit_mark(ui, mark_x, r.y + why - 1.5F, fit, word_x, word_w);
    } else {
      ui.text_in(r.right(), r.y + why, word_w, Type::small_bold, t.ink, hit.fit.words,
                 Align::right);
    }
  }
  if (ui.target("hit:" + hit.tip.id, r)) out.push_back({Do::open_tip, hit.tip.id});
}

float header(Ui& ui, float x, float y, float w, std::string_view left, std::string_view right) {
  const Theme& t = ui.theme();
  ui.hline(x, y, w, 0.5F, t.ink);
  const float lw = ui.text(x, y + 5.9F, Type::small_bold, t.ink, left);
  ui.text_in(x + w, y + 5.9F, w - lw - 3, Type::small, t.muted, right, Align::right);
  ui.hline(x, y + 9.0F, w, 0.2F, t.rule);
  return y + 9.0F;
}

std::string count_words(const State& state) {
  const search::Answer& a = state.answer;
  if (a.hits.empty()) return {};
  if (a.fitting == 0 && a.without_vehicle == 0)
    return std::to_string(a.hits.size()) + (a.hits.size() == 1 ? " tip" : " tips");
  std::string out = std::to_string(a.fitting) + (a.fitting == 1 ? " fits" : " fit") + " this car";
  if (a.without_vehicle > 0)
    out += ", " + std::to_string(a.without_vehicle) + " more without the vehicle";
  return out;
}

void demo_band(Ui& ui, float x, float& y, float w) {
  const Theme& t = ui.theme();
  const float text_x = x + 10.5F;
  const float text_h = ui.paragraph_height(w - 12, Type::small_bold,
                                           "Demo shop: never use these values on a vehicle");
  const float h = std::max(13.0F, text_h + 3.5F);
  ui.fill({x, y, w, h}, t.caution);
  if (t.caution_lines) {
    ui.hline(x, y, w, 0.5F, t.on_caution);
    ui.hline(x, y + h, w, 0.5F, t.on_caution);
  }
  caution_sign(ui, x + 1.8F, y + h / 2 - 3, 7, t.on_caution, t.caution);
  ui.paragraph(text_x, y + (h - text_h) / 2 + 1.0F, w - 12, Type::small_bold, t.on_caution,
               "Demo shop: never use these values on a vehicle");
  y += h + 2;
}

// What a job in the list waits for and what comes next, a line each.
struct ParkedLines {
  std::string why;
  std::string next;
};
ParkedLines lines_of(const job::Job& job) {
  ParkedLines lines;
  lines.why = job.why_parked.empty() && !job.taken_words.empty()
                  ? "taken over from " + job.taken_words
                  : job.why_parked;
  if (lines.why.empty()) lines.why = job.state == job::State::open ? "open" : "parked";
  if (!job.initials.empty()) lines.why += ", " + job.initials;
  if (!job.next_step.empty()) lines.next = "next: " + job.next_step;
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
  const float in = 11.5F;
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
  return job.vehicle.empty() ? "No vehicle yet" : job.vehicle.text();
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

void parked_list(Ui& ui, Rect r, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  std::vector<const job::Job*> parked;
  for (const job::Job& j : state.jobs) {
    if (j.state == job::State::parked) parked.push_back(&j);
  }
  float y = header(ui, r.x, r.y, r.w, "Parked jobs",
                   parked.empty() ? "none" : std::to_string(parked.size()));
  const Rect view{r.x, y, r.w, r.bottom() - y};
  const float top = ui.begin_scroll("parked", view);
  float at = top;
  for (const job::Job* j : parked) {
    const auto also = state.board.also.find(j->id);
    const std::string note =
        also == state.board.also.end() ? "" : "also at " + also->second.front();
    const float h = parked_row(ui, r.x, at, r.w, *j, name_of(*j), note, false);
    if (ui.target("job:" + j->id, {r.x, at, r.w, h})) out.push_back({Do::open_job, j->id});
    at += h;
  }
  const Rect fresh{r.x, at, r.w, 15};
  if (ui.pressed(fresh)) ui.fill(fresh, t.face);
  ui.text(r.x, at + 9.3F, Type::small_bold, t.accent, "New job");
  ui.triangle(r.right() - 1, at + 7.6F, r.right() - 3.6F, at + 5.2F, r.right() - 3.6F, at + 10.0F,
              t.accent);
  if (ui.target("new job", fresh)) out.push_back({Do::new_job, {}});
  at += 15;
  const auto others = other_bays(state);
  if (!others.empty())
    at = header(ui, r.x, at, r.w, "At other bays", std::to_string(others.size()));
  for (const job::Elsewhere* other : others) {
    const job::Job& job = other->version.job;
    const std::string note = other->also.empty() ? "" : "also at " + other->also.front();
    const float h = parked_row(ui, r.x, at, r.w, job,
                               job::bay_of(other->version) + ": " + name_of(job), note, true);
    if (ui.target("bay:" + job.id, {r.x, at, r.w, h})) out.push_back({Do::menu, "bay:" + job.id});
    at += h;
  }
  ui.end_scroll(at - top);
}

// A line that leads somewhere, such as "Write it".
float lead_row(Ui& ui, float x, float y, float w, std::string_view id, std::string_view title,
               std::string_view note, Action action, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r{x, y, w, 15};
  if (ui.pressed(r)) ui.fill(r, t.face);
  ui.vline(x + 0.2F, y, 15, 0.5F, t.accent);
  ui.text_in(x + 3, y + 5.9F, w - 10, Type::title, t.ink, title);
  ui.text_in(x + 3, y + 11.9F, w - 10, Type::small, t.muted, note);
  ui.triangle(x + w - 1, y + 7.5F, x + w - 4, y + 4.9F, x + w - 4, y + 10.1F, t.ink);
  ui.hline(x, y + 15, w, 0.2F, t.rule);
  if (ui.target(id, r)) out.push_back(std::move(action));
  return 15;
}

// A VIN came in and the car is not chosen: what such VINs were before, else the way to say it once.
float vin_rows(Ui& ui, float x, float y, float w, const State& state, Actions& out) {
  if (!state.vin_given || !state.answer.understood.vehicle.model.empty()) return 0;
  const float from = y;
  for (std::size_t i = 0; i < state.guesses.size() && i < 3; ++i) {
    const job::VinGuess& guess = state.guesses[i];
    const std::string times = guess.chosen == 1 ? "once" : std::to_string(guess.chosen) + " times";
    y += lead_row(ui, x, y, w, "guess:" + std::to_string(i), guess.vehicle.text(),
                  guess.exact ? "such a VIN was this car " + times + " here: tap if it is"
                              : "a VIN that begins alike was this model " + times,
                  {Do::take_guess, {}, static_cast<int>(i)}, out);
  }
  y += lead_row(ui, x, y, w, "pick vehicle",
                state.guesses.empty() ? "Which car is it?" : "Another car",
                "pick it once; the next VIN like this one is known", {Do::menu, "vehicle"}, out);
  return y - from;
}

// The car of this job is in earlier ones.
float earlier_row(Ui& ui, float x, float y, float w, const State& state, Actions& out) {
  const auto earlier = earlier_jobs(state);
  if (earlier.empty()) return 0;
  return lead_row(
      ui, x, y, w, "earlier", "This car was here before",
      day_words(earlier.front()->touched) + ": " + earlier.front()->complaint +
          (earlier.size() > 1 ? ", " + std::to_string(earlier.size() - 1) + " more" : ""),
      {Do::menu, "earlier"}, out);
}

// What stands in place of what was typed, a tap away from the line as it was; and what the answer
// could not keep of the line. Returns the height taken.
float said_rows(Ui& ui, float x, float y, float w, const search::Answer& a, float row_h,
                Actions& out) {
  const Theme& t = ui.theme();
  const float from = y;
  for (const search::Slip& slip : a.understood.slips) {
    const Rect row{x, y, w, row_h};
    if (ui.pressed(row)) ui.fill(row, t.face);
    const float base = y + row_h / 2 + ui.capitals(Type::small) / 2;
    const std::string_view undo = "as typed";
    const float undo_w = ui.width(Type::small_bold, undo) + 3;
    one_line(ui, x, base, w - undo_w - 2, Type::small, t.ink,
             {{slip.keeps ? "Also showing " : "Showing ", false},
              {slip.shown, true},
              {" for " + slip.typed, false}});
    ui.text_in(x + w, base, undo_w, Type::small_bold, t.accent, undo, Align::right);
    ui.hline(x, y + row_h, w, 0.2F, t.rule);
    if (ui.target("refuse:" + slip.key, row)) out.push_back({Do::drop_token, slip.key});
    y += row_h;
  }
  if (!a.shortfall.empty()) {
    y += 1.6F;
    y += ui.paragraph(x, y, w, Type::small_bold, t.ink, a.shortfall) + 1.6F;
    ui.hline(x, y, w, 0.2F, t.rule);
  }
  return y - from;
}

float often_rows(Ui& ui, Rect view, float at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const float top = at;
  for (const TipLine& line : state.often) {
    const Rect row{view.x, at, view.w, 15};
    if (ui.pressed(row)) ui.fill(row, t.face);
    ui.text_in(view.x, at + 6.0F, view.w, Type::text, t.ink, line.title);
    ui.text_in(view.x, at + 11.9F, view.w, Type::small, t.muted, line.note);
    ui.hline(view.x, at + 15, view.w, 0.2F, t.rule);
    if (ui.target("often:" + line.id, row)) out.push_back({Do::open_tip, line.id});
    at += 15;
  }
  return at - top;
}

void results(Ui& ui, Rect r, const State& state, bool typing, Actions& out) {
  const Theme& t = ui.theme();
  const Form form = ui.metrics().form();
  const job::Job* job = state.current();
  const bool asked = !state.line.empty() || (job != nullptr && !job->vehicle.empty());
  float y = r.y;
  if (!asked) {
    y = header(ui, r.x, y, r.w, "Used often here", std::to_string(state.counts.tips) + " tips");
    const Rect rows{r.x, y, r.w, r.bottom() - y};
    const float top = ui.begin_scroll("often", rows);
    ui.end_scroll(often_rows(ui, rows, top, state, out));
    return;
  }
  const search::Answer& a = state.answer;
  const bool tight = typing && (form == Form::small || form == Form::phone);
  std::string right = count_words(state);
  if (form == Form::phone) right = std::to_string(a.hits.size()) + " tips";
  std::string left = "Tips";
  if (tight && form == Form::phone && !a.understood.vehicle.empty())
    left = a.understood.vehicle.text();
  if (!a.all_words)
    left = form == Form::phone ? "Some of the words" : "Tips with some of the words";
  if (typing && form != Form::phone) {
    ui.hline(r.x, y, r.w, 0.5F, t.ink);  // while typing every millimetre goes to the rows
  } else if (tight) {
    const float lw = ui.text(r.x, y + 4.2F, Type::small_bold, t.ink, left);
    ui.text_in(r.right(), y + 4.2F, r.w - lw - 3, Type::small, t.muted, right, Align::right);
    ui.hline(r.x, y + 6.4F, r.w, 0.35F, t.ink);
    y += 6.4F;
  } else if (form == Form::phone) {
    ui.hline(r.x, y, r.w, 0.5F, t.ink);
  } else {
    y = header(ui, r.x, y, r.w, left, right);
  }
  const Rect view{r.x, y, r.w, r.bottom() - y};
  if (a.hits.empty()) {
    if (!state.answered) return;  // still looking; an empty word must not flash
    const float from = ui.begin_scroll("nothing", view);
    float at = from + earlier_row(ui, r.x, from, r.w, state, out);
    at += vin_rows(ui, r.x, at, r.w, state, out) + (tight ? 0.5F : 3.0F);
    std::string what;
    for (const search::Token& token : a.understood.tokens)
      what += (what.empty() ? "" : " + ") + token.shown;
    if (what.empty() && job != nullptr) what = job->vehicle.text();
    at += ui.paragraph(r.x, at, r.w, Type::title_regular, t.ink,
                       std::vector<Run>{{"Nothing for ", false}, {what + ".", true}});
    at += said_rows(ui, r.x, at, r.w, a, tight ? 9.0F : 15.0F, out);
    at += tight ? 0.5F : 3.0F;
    at += lead_row(ui, r.x, at, r.w, "write it", "Write it", "with the line filled in",
                   {Do::write_new, {}}, out);
    if (!state.often.empty()) {
      at = header(ui, r.x, at + 3, r.w, "Used often here", "");
      at += often_rows(ui, view, at, state, out);
    }
    ui.end_scroll(at - from);
    return;
  }
  RowSize size{18.3F, false, false};
  if (form == Form::phone) size = typing ? RowSize{15, true, false} : RowSize{22.3F, true, false};
  if (form == Form::small && typing) size = {9.0F, false, true};
  if ((form == Form::wide || form == Form::tall) && typing) size.h = 15;
  size.h *= ui.metrics().text_scale;
  const float top = ui.begin_scroll("results", view);
  float at = top;
  at += earlier_row(ui, r.x, at, r.w, state, out);
  at += vin_rows(ui, r.x, at, r.w, state, out);
  at += said_rows(ui, r.x, at, r.w, a, std::min(size.h, 15.0F), out);
  for (std::size_t i = 0; i < a.hits.size(); ++i) {
    const search::Hit& hit = a.hits[i];
    if (i == a.above && i > 0) {
      ui.hline(r.x, at, r.w, 0.5F, t.ink);
      ui.text_in(r.x, at + 4.6F, r.w, Type::small_bold, t.ink,
                 hit.tip.status == "withdrawn" ? "Withdrawn" : "Other vehicles, or less alike");
      ui.hline(r.x, at + 6.6F, r.w, 0.2F, t.rule);
      at += 6.6F;
    }
    if (at < view.bottom() && at + size.h > view.y) {
      result_row(ui, {r.x, at, r.w, size.h}, hit, size, out);
      ui.hline(r.x, at + size.h, r.w, 0.2F, t.rule);
    }
    at += size.h;
  }
  // Never a dead end: what is missing can be written.
  at += lead_row(ui, r.x, at + 2, r.w, "write it", "Not here? Write it", "with the line filled in",
                 {Do::write_new, {}}, out) +
        2;
  ui.end_scroll(at - top);
}

}  // namespace

std::vector<RuleSection> job_rule(const State& state) {
  const job::Job* job = state.current();
  const search::Understood& u = state.answer.understood;
  const search::Vehicle v = job != nullptr && u.vehicle.empty() ? job->vehicle : u.vehicle;
  const auto answered = [](const std::string& text) { return text.empty() ? std::string() : text; };
  std::vector<RuleSection> out;
  std::string vehicle = v.year > 0 ? std::to_string(v.year) : v.model;
  out.push_back({"vehicle", "Vehicle", vehicle, !v.empty(), 3});
  out.push_back({"words", "Words", u.words.empty() ? "" : u.words.front(), !u.words.empty(), 3});
  out.push_back(
      {"code", "Code", u.codes.empty() ? "none yet" : u.codes.front(), !u.codes.empty(), 1});
  out.push_back({"when", "When", job != nullptr ? answered(job->when) : "",
                 job != nullptr && !job->when.empty(), 2});
  out.push_back({"often", "Often", job != nullptr ? answered(job->often) : "",
                 job != nullptr && !job->often.empty(), 3});
  out.push_back({"after", "After", job != nullptr ? answered(job->after) : "",
                 job != nullptr && !job->after.empty(), 2});
  return out;
}

void job_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool typing = at.keyboard.h > 0;
  const std::vector<RuleSection> rule = job_rule(state);
  std::string here;
  for (const RuleSection& s : rule) {
    if (!s.done) {
      here = s.key;
      break;
    }
  }
  const float width = ui.metrics().width();

  if (at.form == Form::phone) {
    draw_rule(ui, at, rule, here, "intake", Do::menu, out);
    const float line_y = at.main.y;
    draw_line(ui, {at.main.x, line_y, width - at.main.x, 13}, state, !state.line.empty(), out);
    float y = line_y + 13;
    ui.hline(at.main.x, y, width - at.main.x, 0.5F, t.ink);
    if (!typing && !state.show_parked) {
      draw_tokens(ui, {at.main.x, y, at.main.w, 13.6F}, state, out);
      y += 16;
      if ((state.demo || state.shop.demo) && state.line.empty())
        demo_band(ui, at.main.x, y, at.main.w);
    }
    const Rect rest{at.main.x, y, at.main.w, at.main.bottom() - y};
    if (state.show_parked) {
      parked_list(ui, rest, state, out);
    } else {
      results(ui, rest, state, typing, out);
    }
  } else {
    const Rect line{at.heading.x, 0, width - at.heading.x, at.tag.h - 1.7F};
    draw_line(ui, line, state, !state.line.empty(), out);
    const float under = at.tag.h - 1.7F;
    ui.hline(at.heading.x - 0.2F, under, width - at.heading.x + 0.2F, 0.5F, t.ink);
    float y = under + 2;
    const bool small = at.form == Form::small;
    if (!typing || !small) {
      const float token_h = small ? 13.0F : 15.0F;
      draw_tokens(ui, {at.heading.x, under, width - at.heading.x, token_h}, state, out);
      if (!small && at.form == Form::wide) {
        // The shop and whether all is kept, under the tag.
        ui.text_in(at.left.x, 20.4F, at.tag.w - at.left.x - 1, Type::small, t.muted,
                   state.shop.name.empty() ? "Baylore" : state.shop.name);
        const std::string standing = state.shop_gone          ? "copy of " + state.copy_time
                                     : state.building.empty() ? "all saved"
                                                              : state.building.front();
        ui.text_in(at.left.x, 26.6F, at.tag.w - at.left.x - 1, Type::small, t.muted, standing);
      }
      y = under + token_h + (small ? 1.5F : typing ? 0.4F : 2.7F);
    }
    if (!typing) draw_rule(ui, at, rule, here, "intake", Do::menu, out);
    if (at.form == Form::tall || typing) {
      // One column: results over parked jobs; while typing the results take the whole width.
      const float x = typing ? 3.5F : at.left.x;
      const Rect all{x, y, width - x - 3.2F - (typing ? 0.3F : 0), at.right.bottom() - y};
      if (typing) {
        results(ui, all, state, true, out);
      } else {
        Rect top = all;
        if (state.demo || state.shop.demo) demo_band(ui, top.x, top.y, top.w);
        const float parked_h = std::min(66.0F, parked_height(state));
        top.h = all.bottom() - top.y - parked_h - 3;
        results(ui, top, state, false, out);
        parked_list(ui, {all.x, all.bottom() - parked_h, all.w, parked_h}, state, out);
      }
    } else {
      Rect left = at.left;
      left.y = y;
      left.h = at.left.bottom() - y;
      Rect right{at.right.x, y, at.right.w, at.right.bottom() - y};
      if (state.demo || state.shop.demo) {
        // Over the narrow column where it is wide enough; on the small panel over the tips, until
        // something is typed.
        Rect& under_band = small ? right : left;
        if (!small || state.line.empty()) {
          float band_y = under_band.y;
          demo_band(ui, under_band.x, band_y, under_band.w);
          under_band.h -= band_y - under_band.y;
          under_band.y = band_y;
        }
      }
      parked_list(ui, left, state, out);
      results(ui, right, state, false, out);
    }
  }
  if (typing) return;
  const std::size_t parked = other_bays(state).size() +
                             static_cast<std::size_t>(std::count_if(
                                 state.jobs.begin(), state.jobs.end(),
                                 [](const job::Job& j) { return j.state == job::State::parked; }));
  const StripKey primary{"primary",
                         state.line.empty() && state.answer.hits.empty() ? "Search" : "Next check",
                         state.line.empty() && state.answer.hits.empty()
                             ? Action{Do::focus_line, {}}
                             : Action{Do::open_next, {}},
                         {}};
  const bool on = state.line.empty() || !state.answer.hits.empty();
  if (at.form == Form::phone) {
    draw_strip(
        ui, at,
        {{"more", "More", {Do::menu, "job"}, ""},
         {"parked",
          state.show_parked ? "tips" : "parked",
          {Do::show_parked, {}},
          state.show_parked ? std::to_string(state.answer.hits.size()) : std::to_string(parked)}},
        primary, on, out);
  } else {
    draw_strip(ui, at,
               {{"back", "Back", {Do::back, {}}, ""},
                {"park", "Park", {Do::park, {}}, ""},
                {"write", state.write.active ? "Go on writing" : "Write", {Do::write_new, {}}, ""},
                {"more", "More", {Do::menu, "job"}, ""}},
               primary, on, out);
  }
}

}  // namespace baylore::viewer
