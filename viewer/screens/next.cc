// Next check: one thing to do, with its minutes, its reason and what each answer would mean; the
// causes beside it. Nothing is forced: Skip, Other, and any cause can be opened.
#include <algorithm>
#include <cctype>
#include <cmath>

#include "viewer/screens/causes.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string sentence(std::string text) {
  text = capital(std::move(text));
  if (!text.empty() && text.back() != '.') text += '.';
  return text;
}

std::string minutes_text(double minutes) {
  return std::to_string(static_cast<long>(std::lround(minutes)));
}

const diagnosis::Choice* choice_of(const diagnosis::Outlook& outlook, std::string_view check) {
  for (const diagnosis::Choice& choice : outlook.choices) {
    if (choice.check == check) return &choice;
  }
  return nullptr;
}

// The largest type in which a check's name takes no more than two lines.
Type name_type(Ui& ui, float w, std::string_view name) {
  for (const Type type : {Type::name, Type::line_bold}) {
    if (type == Type::name && w < 80) continue;
    if (ui.paragraph_height(w, type, name) <= 2.2F * ui.pitch(type)) return type;
  }
  return Type::title;
}

// Minutes of the check, minutes of what is in the way, the tool: three cells with lines between.
float cost_cells(Ui& ui, float x, float y, float w, const diagnosis::Check& check,
                 const diagnosis::Choice* choice) {
  const Theme& t = ui.theme();
  const bool narrow = w < 70;
  const Type big = narrow ? Type::line_bold : Type::number;
  const float high = ui.capitals(big);
  const float base = y + 2.6F + high;
  const float under = base + 5.6F;
  float at = x;
  std::vector<float> lines;
  const auto figure = [&](const std::string& number, const std::string& label) {
    const float nw = ui.text(at, base, big, t.ink, number);
    const float uw = ui.text(at + nw + 1.4F, base, Type::small, t.ink, tr("min"));
    const float lw = ui.text(at, under, Type::small, t.muted, label);
    at += std::max(nw + 1.4F + uw, lw) + 3;
    lines.push_back(at - 1.5F);
    at += 1.5F;
  };
  figure(minutes_text(check.minutes), narrow ? tr("check") : tr("the check"));
  const double cover = choice != nullptr ? choice->minutes - check.minutes : 0;
  if (cover > 0.01) {
    std::string names;
    for (const shop::Access& a : check.access) names += (names.empty() ? "" : ", ") + a.name;
    if (ui.width(Type::small, names) > w * 0.3F) names = tr("to reach it");
    figure(minutes_text(cover), names);
  }
  const float room = x + w - at;
  std::string tools;
  for (const std::string& tool : check.tools) tools += (tools.empty() ? "" : ", ") + tool;
  if (tools.empty()) tools = tr("no tool");
  // Tools and what makes the check valid are never cut: the row grows with them.
  // Beside the minutes where they need two lines at most, else under them.
  const bool beside =
      !narrow || ui.paragraph_height(room, Type::small_bold, tools) < 2.5F * ui.pitch(Type::small);
  float ty = y + 2.2F;
  if (beside) ty += ui.paragraph(at, ty, room, Type::small_bold, t.ink, tools);
  if (!check.valid.empty() && !narrow)
    ty += ui.paragraph(at, ty, room, Type::small, t.muted, check.valid);
  float end = std::max(under + 1.6F, ty);
  if (!beside) lines.pop_back();  // nothing stands behind the last one
  for (const float line : lines) ui.vline(line, y + 2.4F, end - y - 2.6F, 0.2F, t.rule);
  if (!beside) end += 0.8F + ui.paragraph(x, end + 0.8F, w, Type::small_bold, t.ink, tools);
  if (!check.valid.empty() && narrow)
    end += ui.paragraph(x, end + 0.4F, w, Type::small, t.muted, check.valid);
  return end + 1.4F - y;
}

// What is not as expected, in words: "under 95 kPa", "over 0.3 V".
std::string outside_words(const diagnosis::Check& check, const std::string& expected) {
  if (!check.expect || !check.expect->is_range()) return say("Not: {0}", expected);
  const trade::Expectation& e = *check.expect;
  const auto with_unit = [&](double value) {
    return in_figures(trade::authored_number(value)) + " " + std::string(e.unit->symbol);
  };
  std::string low;
  std::string high;
  if (e.low) {
    const std::string value =
        e.high ? in_figures(trade::authored_number(*e.low)) : with_unit(*e.low);
    low = e.low_excluded ? say("not over {0}", value) : say("under {0}", value);
  }
  if (e.high) {
    const std::string value = with_unit(*e.high);
    high = e.high_excluded ? say("not under {0}", value) : say("over {0}", value);
  }
  return capital(low.empty() ? high : high.empty() ? low : say("{0} or {1}", low, high));
}

// What an answer would make of the causes: its shape, its words, where it leads. A plain answer is
// given by a tap on its row; a reading is taken on the keypad.
void meaning_row(Ui& ui, Rect r, float& y, bool inside, const std::string& words,
                 const diagnosis::Meaning& meaning, const Guide& guide, bool tappable,
                 Actions& out) {
  const Theme& t = ui.theme();
  const diagnosis::Cause& cause = guide.a_case->causes[meaning.cause];
  const std::string title = cause.not_in_book() ? tr("something not in the book") : cause.title;
  const std::string leads =
      meaning.weight >= 0.75 ? tr("then very likely: ") : tr("then likeliest: ");
  const std::vector<Run> runs{{words + ": ", true}, {leads + title, false}};
  const float in = 8;
  const float text_h = ui.paragraph_height(r.w - in - 2, Type::small, runs, 4);
  const float h =
      std::max(tappable ? std::max(ui.finger(15), ui.metrics().target()) : 0.0F, text_h + 2);
  const Rect row{r.x, y, r.w, h};
  if (tappable) ui.fill(row, t.face);
  const float mid = y + 3.6F;
  if (inside) {
    ui.disc(r.x + 3.4F, mid, 2.1F, t.accent);
  } else {
    ui.triangle(r.x + 1.2F, mid, r.x + 5.6F, mid - 2.4F, r.x + 5.6F, mid + 2.4F, t.out_of_range);
  }
  ui.paragraph(r.x + in, y + 1, r.w - in - 2, Type::small, t.ink, runs, 4);
  if (tappable) {
    ui.hline(r.x, y + h, r.w, 0.35F, t.ink);
    if (ui.target(inside ? "answer:yes" : "answer:no", row))
      out.push_back({Do::answer_check, guide.outlook.next.check, inside ? 1 : 0});
  }
  y += h + (tappable ? 3.0F : 0.6F);
}

void one_check(Ui& ui, Rect r, const Guide& guide, float& y, Actions& out) {
  const Theme& t = ui.theme();
  const diagnosis::Next& next = guide.outlook.next;
  const diagnosis::Check* check = guide.a_case->check(next.check);
  if (check == nullptr) return;
  const auto head = [&](std::string_view words) {
    ui.text(r.x, y + ui.capitals(Type::small_bold) + 0.6F, Type::small_bold, t.accent, words);
    y += ui.pitch(Type::small_bold) + 1.0F;
  };
  head(tr("Do this first"));
  y += ui.paragraph(r.x, y, r.w, name_type(ui, r.w, check->name), t.ink, check->name) + 1.4F;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += cost_cells(ui, r.x, y, r.w, *check, choice_of(guide.outlook, check->id));
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += 1.6F;
  head(tr("Why this one"));
  const Type why = r.w < 70 ? Type::small : Type::text;
  y += ui.paragraph(r.x, y, r.w, why, t.ink, sentence(next.why)) + 1;
  ui.hline(r.x, y, r.w, 0.2F, t.rule);
  y += 1;
  const std::string expected =
      check->expect_words.empty() ? tr("as expected") : check->expect_words;
  const bool plain = !check->expect || !check->expect->is_range();
  meaning_row(ui, r, y, false, outside_words(*check, expected), next.outside, guide, plain, out);
  meaning_row(ui, r, y, true, capital(expected), next.inside, guide, plain, out);
  const std::string how = plain_of(check->text);
  if (!how.empty()) {
    y += 1.6F;
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, how);
  }
}

void one_repair(Ui& ui, Rect r, const Guide& guide, float& y) {
  const Theme& t = ui.theme();
  const diagnosis::Next& next = guide.outlook.next;
  const bool beyond = next.kind == diagnosis::Next::Kind::beyond;
  const diagnosis::Cause& cause = guide.a_case->causes[next.cause];
  ui.text(r.x, y + ui.capitals(Type::small_bold) + 0.6F, Type::small_bold, t.accent,
          beyond      ? tr("No check is left that tells more")
          : next.sure ? tr("Found")
                      : tr("Quicker tried than checked"));
  y += ui.pitch(Type::small_bold) + 1.0F;
  const std::string what =
      beyond || cause.not_in_book() ? tr("It may be something not in the book") : cause.title;
  y += ui.paragraph(r.x, y, r.w, name_type(ui, r.w, what), t.ink, what) + 1.4F;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += 1.6F;
  if (!next.why.empty()) y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, sentence(next.why)) + 1;
  if (beyond) {
    y +=
        ui.paragraph(r.x, y, r.w, Type::text, t.ink,
                     tr("Look over what was answered, try one of the causes, or write down what it "
                        "turns out to be: the next one has it then."));
  } else if (!cause.not_in_book()) {
    y +=
        ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                     cause.minutes_assumed
                         ? say("about {0} min of work, assumed", minutes_text(cause.repair_minutes))
                         : say("about {0} min of work", minutes_text(cause.repair_minutes)));
  }
}

}  // namespace

void next_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool phone = at.form == Form::phone;
  if (!state.guide) {
    draw_heading(ui, at, tr("What to check next"), tr("weighing the causes"));
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const Guide& guide = *state.guide;
  const diagnosis::Next& next = guide.outlook.next;
  const job::Job* job = state.current();
  const int answers = job != nullptr ? job->reading_count() : 0;
  const std::size_t book = guide.a_case->causes.size() - 1;
  const bool brief = at.form == Form::small;
  draw_heading(
      ui, at, tr("What to check next"),
      brief ? say_count("{0} cause", "{0} causes", static_cast<long>(book), book) + " · " +
                  say_count("{0} answer", "{0} answers", static_cast<long>(answers), answers) +
                  " · " + say("about {0} min", minutes_text(next.expected_minutes))
            : say_count("{0} cause in the book", "{0} causes in the book", static_cast<long>(book),
                        book) +
                  " · " +
                  say_count("{0} answer so far", "{0} answers so far", static_cast<long>(answers),
                            answers) +
                  " · " + say("about {0} min to the cause", minutes_text(next.expected_minutes)));
  const std::vector<RuleSection> rule = job_rule(state);
  draw_rule(ui, at, rule, "", "intake", Do::menu, out);

  const bool check = next.kind == diagnosis::Next::Kind::check;
  const Rect view = at.main;
  const float top = ui.begin_scroll("next", view);
  const Rect r{view.x, top, view.w - 1.5F, view.h};
  float y = top;
  if (check) {
    one_check(ui, r, guide, y, out);
  } else {
    one_repair(ui, r, guide, y);
  }
  for (const std::string& trouble : guide.outlook.troubles)
    y += 1 + ui.paragraph(r.x, y + 1, r.w, Type::small, t.out_of_range, trouble);
  y += 2;
  if (phone) {
    // Three keys are all a phone's strip holds: the rest stands under the check.
    const auto way = [&](std::string_view id, std::string_view label, Action action) {
      const Rect row{r.x, y, r.w, std::max(ui.finger(15), ui.metrics().target())};
      if (ui.pressed(row)) ui.fill(row, t.face);
      ui.hline(row.x, row.y, row.w, 0.2F, t.rule);
      ui.text_in(row.x, row.y + row.h / 2 + ui.capitals(Type::small_bold) / 2, row.w - 6,
                 Type::small_bold, t.ink, label);
      if (ui.target(id, row)) out.push_back(std::move(action));
      y += row.h;
    };
    if (check) way("strip:skip", tr("Skip this check"), {Do::skip_check, next.check});
    way("strip:other", tr("Other checks"), {Do::menu, "checks"});
    way("strip:outcome", tr("Outcome"), {Do::open_outcome, {}});
  }
  ui.end_scroll(y - top);
  if (!phone) draw_causes(ui, at.side, state, out);

  StripKey primary{"primary",
                   phone || at.form == Form::small ? tr("Reading") : tr("Take reading"),
                   {Do::next_reading, next.check},
                   ""};
  if (!check) {
    const diagnosis::Cause& cause = guide.a_case->causes[next.cause];
    const bool open = next.kind == diagnosis::Next::Kind::repair && !cause.not_in_book();
    primary = open ? StripKey{"primary", tr("Open tip"), {Do::open_tip, cause.tip}, ""}
                   : StripKey{"primary", tr("Write it"), {Do::write_new, {}}, ""};
  }
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  if (phone) {
    keys.push_back({"causes",
                    tr("Causes"),
                    {Do::open_causes, {}},
                    std::to_string(guide.a_case->causes.size())});
  } else {
    if (check) keys.push_back({"skip", tr("Skip"), {Do::skip_check, next.check}, ""});
    keys.push_back({"other", tr("Other"), {Do::menu, "checks"}, ""});
    keys.push_back({"outcome", tr("Outcome"), {Do::open_outcome, {}}, ""});
  }
  draw_strip(ui, at, keys, primary, true, out);
}

}  // namespace baylore::viewer
