// Next check: one thing to do, with its minutes, its reason and what each answer would mean; the
// causes beside it. Nothing is forced: Skip, Other, and any cause can be opened.
#include <algorithm>
#include <cctype>
#include <cmath>

#include "viewer/screens/causes.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"

namespace baylore::viewer {
namespace {

std::string sentence(std::string text) {
  if (text.empty()) return text;
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  if (text.back() != '.') text += '.';
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
  const auto figure = [&](const std::string& number, const std::string& label) {
    const float nw = ui.text(at, base, big, t.ink, number);
    const float uw = ui.text(at + nw + 1.4F, base, Type::small, t.ink, "min");
    const float lw = ui.text(at, under, Type::small, t.muted, label);
    at += std::max(nw + 1.4F + uw, lw) + 3;
    ui.vline(at - 1.5F, y + 2.4F, under - y - 1.6F, 0.2F, t.rule);
    at += 1.5F;
  };
  figure(minutes_text(check.minutes), narrow ? "check" : "the check");
  const double cover = choice != nullptr ? choice->minutes - check.minutes : 0;
  if (cover > 0.01) {
    std::string names;
    for (const shop::Access& a : check.access) names += (names.empty() ? "" : ", ") + a.name;
    if (ui.width(Type::small, names) > w * 0.3F) names = "to reach it";
    figure(minutes_text(cover), names);
  }
  const float room = x + w - at;
  std::string tools;
  for (const std::string& tool : check.tools) tools += (tools.empty() ? "" : ", ") + tool;
  if (tools.empty()) tools = "no tool";
  float ty = y + 2.2F;
  ty += ui.paragraph(at, ty, room, Type::small_bold, t.ink, tools, 2);
  if (!check.valid.empty() && ty + ui.pitch(Type::small) <= under + 1.5F)
    ui.text_in(at, under, room, Type::small, t.muted, check.valid);
  return under + 3.0F - y;
}

// What an answer would make of the causes: its shape, its words, where it leads. A plain answer is
// given by a tap on its row; a reading is taken on the keypad.
void meaning_row(Ui& ui, Rect r, float& y, bool inside, const std::string& words,
                 const diagnosis::Meaning& meaning, const Guide& guide, bool tappable,
                 Actions& out) {
  const Theme& t = ui.theme();
  const diagnosis::Cause& cause = guide.a_case->causes[meaning.cause];
  const std::string title = cause.not_in_book() ? "something not in the book" : cause.title;
  const std::string leads = meaning.weight >= 0.75 ? "then very likely: " : "then likeliest: ";
  const std::vector<Run> runs{{words + "\n", true}, {leads + title, false}};
  const float in = 8;
  const float text_h = ui.paragraph_height(r.w - in - 2, Type::small, runs, 3);
  const float h = std::max(tappable ? std::max(15.0F, ui.metrics().target()) : 0.0F, text_h + 2);
  const Rect row{r.x, y, r.w, h};
  if (tappable) ui.fill(row, t.face);
  const float mid = y + 3.6F;
  if (inside) {
    ui.disc(r.x + 3.4F, mid, 2.1F, t.accent);
  } else {
    ui.triangle(r.x + 1.2F, mid, r.x + 5.6F, mid - 2.4F, r.x + 5.6F, mid + 2.4F, t.out_of_range);
  }
  ui.paragraph(r.x + in, y + 1, r.w - in - 2, Type::small, t.ink, runs, 3);
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
  head("Do this first");
  const Type name = r.w < 80 ? Type::line_bold : Type::name;
  y += ui.paragraph(r.x, y, r.w, name, t.ink, check->name, 3) + 1.4F;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += cost_cells(ui, r.x, y, r.w, *check, choice_of(guide.outlook, check->id));
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += 1.6F;
  head("Why this one");
  y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, sentence(next.why)) + 1;
  ui.hline(r.x, y, r.w, 0.2F, t.rule);
  y += 1;
  const std::string expected = check->expect_words.empty() ? "as expected" : check->expect_words;
  const bool plain = !check->expect || !check->expect->is_range();
  meaning_row(ui, r, y, false, "Not: " + expected, next.outside, guide, plain, out);
  meaning_row(ui, r, y, true, sentence(expected), next.inside, guide, plain, out);
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
          beyond      ? "No check is left that tells more"
          : next.sure ? "Found"
                      : "Quicker tried than checked");
  y += ui.pitch(Type::small_bold) + 1.0F;
  const Type name = r.w < 80 ? Type::line_bold : Type::name;
  y += ui.paragraph(
           r.x, y, r.w, name, t.ink,
           beyond || cause.not_in_book() ? "It may be something not in the book" : cause.title, 4) +
       1.4F;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  y += 1.6F;
  if (!next.why.empty()) y += ui.paragraph(r.x, y, r.w, Type::text, t.ink, sentence(next.why)) + 1;
  if (beyond) {
    y += ui.paragraph(r.x, y, r.w, Type::text, t.ink,
                      "Look over what was answered, try one of the causes, or write down what it "
                      "turns out to be: the next one has it then.");
  } else if (!cause.not_in_book()) {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted,
                      "about " + minutes_text(cause.repair_minutes) + " min of work" +
                          (cause.minutes_assumed ? ", assumed" : ""));
  }
}

}  // namespace

void next_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool phone = at.form == Form::phone;
  if (!state.guide) {
    draw_heading(ui, at, "What to check next", "weighing the causes");
    draw_strip(ui, at, {{"back", "Back", {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const Guide& guide = *state.guide;
  const diagnosis::Next& next = guide.outlook.next;
  const job::Job* job = state.current();
  const int answers = job != nullptr ? job->reading_count() : 0;
  const std::size_t book = guide.a_case->causes.size() - 1;
  draw_heading(ui, at, "What to check next",
               std::to_string(book) + (book == 1 ? " cause" : " causes") + " in the book · " +
                   std::to_string(answers) + (answers == 1 ? " answer" : " answers") +
                   " so far · about " + minutes_text(next.expected_minutes) + " min to the cause");
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
      const Rect row{r.x, y, r.w, std::max(15.0F, ui.metrics().target())};
      if (ui.pressed(row)) ui.fill(row, t.face);
      ui.hline(row.x, row.y, row.w, 0.2F, t.rule);
      ui.text_in(row.x, row.y + row.h / 2 + ui.capitals(Type::small_bold) / 2, row.w - 6,
                 Type::small_bold, t.ink, label);
      if (ui.target(id, row)) out.push_back(std::move(action));
      y += row.h;
    };
    if (check) way("strip:skip", "Skip this check", {Do::skip_check, next.check});
    way("strip:other", "Other checks", {Do::menu, "checks"});
    way("strip:outcome", "Outcome", {Do::open_outcome, {}});
  }
  ui.end_scroll(y - top);
  if (!phone) draw_causes(ui, at.side, state, out);

  StripKey primary{"primary",
                   phone || at.form == Form::small ? "Reading" : "Take reading",
                   {Do::next_reading, next.check},
                   ""};
  if (!check) {
    const diagnosis::Cause& cause = guide.a_case->causes[next.cause];
    const bool open = next.kind == diagnosis::Next::Kind::repair && !cause.not_in_book();
    primary = open ? StripKey{"primary", "Open tip", {Do::open_tip, cause.tip}, ""}
                   : StripKey{"primary", "Write it", {Do::write_new, {}}, ""};
  }
  std::vector<StripKey> keys{{"back", "Back", {Do::back, {}}, ""}};
  if (phone) {
    keys.push_back(
        {"causes", "Causes", {Do::open_causes, {}}, std::to_string(guide.a_case->causes.size())});
  } else {
    if (check) keys.push_back({"skip", "Skip", {Do::skip_check, next.check}, ""});
    keys.push_back({"other", "Other", {Do::menu, "checks"}, ""});
    keys.push_back({"outcome", "Outcome", {Do::open_outcome, {}}, ""});
  }
  draw_strip(ui, at, keys, primary, true, out);
}

}  // namespace baylore::viewer
