// The first view of a tip: cautions, doubts, symptom, checks.
#include "viewer/screens/tip_page.h"

#include <algorithm>
#include <cctype>

#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

void expected_row(Page& p, const std::optional<trade::Expectation>& expect,
                  const std::string& authored, const job::Judged& judged) {
  if (authored.empty()) return;
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  if (!expect || !expect->is_range()) {
    ui.text(p.x, p.y + ui.capitals(Type::small), Type::small, t.muted, tr("expected"));
    const float lw = ui.width(Type::small, tr("expected")) + 3;
    p.y += std::max(6.0F,
                    ui.paragraph(p.x + lw, p.y - 0.5F, p.w - lw, Type::text_bold, t.ink, authored));
    p.gap(1.4F);
    return;
  }
  const trade::Quantity one{expect->low ? *expect->low : *expect->high, expect->unit};
  const trade::Unit* other = trade::companion_unit(one);
  const std::string second =
      other != nullptr ? in_figures(trade::in_words_as(*expect, *other)) : std::string();
  const ExpectedWords words = expected_words(*expect);
  const bool narrow = p.w < 70;
  const float left_w =
      std::max({ui.width(Type::line_bold, words.number) + 1.5F + ui.width(Type::small, words.unit),
                ui.width(Type::small, words.after), 22.0F}) +
      4;
  if (narrow) {
    const float nw = ui.text(p.x, p.y + 6.4F, Type::line_bold, t.ink, words.number);
    const float uw =
        ui.text(p.x + nw + 1.5F, p.y + 6.4F, Type::small, t.ink, words.unit + " " + words.after);
    ui.text_in(p.x + p.w, p.y + 6.4F, p.w - nw - uw - 4, Type::small, t.muted, second,
               Align::right);
    range_scale(ui, p.x + 1, p.y + 15.5F, p.w - 5, judged.expect ? *judged.expect : *expect,
                judged.verdict ? &*judged.verdict : nullptr);
    p.y += 25;
    return;
  }
  ui.text(p.x, p.y + 2.9F, Type::small, t.muted, tr("expected"));
  const float nw = ui.text(p.x, p.y + 10.6F, Type::line_bold, t.ink, words.number);
  ui.text(p.x + nw + 1.4F, p.y + 10.6F, Type::small, t.ink, words.unit);
  ui.text(p.x, p.y + 16.6F, Type::small, t.ink, words.after);
  ui.text_in(p.x + p.w, p.y + 2.9F, p.w - left_w, Type::small, t.muted, second, Align::right);
  if (judged.kind == job::Judged::Kind::none) {
    const float room = p.w - left_w - ui.width(Type::small, second) - 3;
    ui.text_in(p.x + left_w, p.y + 2.9F, room, Type::small, t.muted, tr("no reading yet"));
  }
  range_scale(ui, p.x + left_w, p.y + 10.8F, p.w - left_w - 5,
              judged.expect ? *judged.expect : *expect,
              judged.verdict ? &*judged.verdict : nullptr);
  p.y += 20.5F;
}

std::string minutes_words(const shop::Check& check) {
  std::string out;
  if (check.minutes > 0) out = trade::authored_number(check.minutes) + " min";
  for (const shop::Access& a : check.access) {
    out += (out.empty() ? "" : " + ") + trade::authored_number(a.minutes) + " min " + a.name;
  }
  return out;
}

std::string strength_words(const shop::Check& check) {
  std::string out;
  if (!check.outside.empty())
    out = say("Outside: {0}.", job::strength_words(check.outside, tr("this cause")));
  if (!check.inside.empty())
    out += (out.empty() ? "" : " ") +
           say("Inside: {0}.",
               job::strength_words(check.inside, tr_in("the cause named before", "it")));
  return out;
}

}  // namespace

void cautions(Page& p) {
  std::vector<Run> runs;
  for (const shop::Caution& c : p.tip.cautions) {
    if (!runs.empty()) runs.push_back({"\n", false});
    runs.push_back({tr(c.lead) + " ", true});
    runs.push_back({tr(c.more), false});
  }
  if (const shop::Prose* own = p.tip.tip.section("cautions")) {
    for (const ProseBlock& block : prose_of(own->text)) {
      if (!runs.empty()) runs.push_back({"\n", false});
      for (const Run& run : block.runs) runs.push_back(run);
    }
  }
  if (runs.empty()) return;
  const Theme& t = p.theme();
  const bool narrow = p.w < 90;
  const float in = narrow ? 11 : 14;
  const float text_h = p.ui.paragraph_height(p.w - in - 1.5F, Type::small, runs);
  const float h = std::max(14.0F, text_h + 4.0F);
  p.ui.fill({p.x, p.y, p.w, h}, t.caution);
  if (t.caution_lines) {
    p.ui.hline(p.x, p.y, p.w, 0.5F, t.on_caution);
    p.ui.hline(p.x, p.y + h, p.w, 0.5F, t.on_caution);
  }
  caution_sign(p.ui, p.x + (narrow ? 1.8F : 2.4F), p.y + 3.1F, narrow ? 7.4F : 8.6F, t.on_caution,
               t.caution);
  p.ui.paragraph(p.x + in, p.y + (h - text_h) / 2 + 1.2F, p.w - in - 1.5F, Type::small,
                 t.on_caution, runs);
  p.y += h + 3;
}

void questions(Page& p) {
  const Theme& t = p.theme();
  for (const shop::Question& q : p.tip.questions) {
    const std::vector<Run> runs{{say("{0}, since {1}: ", q.who, day_words(q.when)), true},
                                {q.text, false}};
    const float h = std::max(14.0F, p.ui.paragraph_height(p.w - 13, Type::small, runs) + 4);
    p.ui.hatch({p.x, p.y, 9, h}, 2.6F, 0.5F, t.ink);
    p.ui.hline(p.x, p.y, p.w, 0.35F, t.ink);
    p.ui.hline(p.x, p.y + h, p.w, 0.35F, t.ink);
    p.ui.paragraph(p.x + 12, p.y + 2.6F, p.w - 13, Type::small, t.ink, runs);
    p.y += h + 3;
  }
}

// A tip from elsewhere says so before its first word: whoever follows it should know that nobody
// here has proved it yet.
void source(Page& p) {
  if (!p.tip.source) return;
  const Source& source = *p.tip.source;
  const Theme& t = p.theme();
  std::vector<Run> runs;
  if (!source.came.empty()) {
    runs.push_back({say("From {0}. ", source.from()), true});
    if (p.tip.unproved) runs.push_back({tr("Not proved here yet."), false});
    p.y += p.ui.paragraph(p.x, p.y, p.w, Type::small, t.ink, runs) + 2;
  }
  if (!source.waits) return;
  const Rect row{p.x, p.y, p.w, std::max(p.ui.finger(15), p.ui.metrics().target())};
  p.ui.fill(row, t.face);
  p.ui.hline(row.x, row.bottom(), row.w, 0.35F, t.ink);
  p.ui.text_in(row.x + 2, row.y + row.h / 2 + p.ui.capitals(Type::small_bold) / 2, row.w - 4,
               Type::small_bold, t.ink, tr("Another version waits to be settled"));
  if (p.ui.target("waits", row)) p.out.push_back({Do::open_packs, {}});
  p.y += row.h + 3;
}

// Lines that were not understood: said plainly, the rest stays readable.
void broken_lines(Page& p) {
  const Theme& t = p.theme();
  bool any = false;
  for (const shop::Finding& f : p.tip.tip.findings) {
    if (f.level != shop::Level::error) continue;
    any = true;
    cross(p.ui, p.x + 2.2F, p.y + 2.2F, 1.9F, t.out_of_range);
    p.ui.text(p.x + 7, p.y + 3.6F, Type::small_bold, t.out_of_range,
              say("line {0} is not understood", f.line));
    p.y += 6;
    p.y += p.ui.paragraph(p.x + 7, p.y, p.w - 7, Type::small, t.ink,
                          f.message + (f.remedy.empty() ? "" : ": " + f.remedy));
    p.gap(1);
  }
  if (any) {
    p.ui.text(p.x, p.y + 3.2F, Type::small, t.muted, tr("The rest can be read below."));
    p.y += 8;
  }
}

// Look-alikes stand beside the symptom: this is where they are taken for each other. On the small
// panel the first check comes between.
void look_alikes(Page& p) {
  const Theme& t = p.theme();
  if (!p.tip.mistaken.empty()) {
    const bool one = p.tip.mistaken.size() == 1;
    const TipLine& other = p.tip.mistaken.front();
    p.gap(0.8F);
    const Rect row{p.x, p.y, p.w, 15};
    if (p.ui.pressed(row)) p.ui.fill(row, t.face);
    p.ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
    p.ui.text_in(p.x, p.y + 6.2F, p.w - 8, Type::small_bold, t.ink,
                 one ? say("Looks like: {0}", other.title)
                     : say("Looks like {0} others: how to tell", p.tip.mistaken.size()));
    p.ui.text_in(p.x, p.y + 12.0F, p.w - 8, Type::small, t.muted,
                 one ? other.note : other.title + "; ...");
    p.ui.triangle(p.x + p.w - 1, p.y + 7.5F, p.x + p.w - 3.6F, p.y + 5.1F, p.x + p.w - 3.6F,
                  p.y + 9.9F, t.ink);
    if (p.ui.target("mistaken", row))
      p.out.push_back(one ? Action{Do::open_tip, other.id} : Action{Do::menu, "mistaken"});
    p.y += 15;
  }
}

// What the check says of the tip stands at its end; here is that there is something, and the way to
// it. Errors of the file are above already.
void found_row(Page& p) {
  const Theme& t = p.theme();
  const shop::Findings& all = p.tip.findings;
  const auto worst = std::min_element(
      all.begin(), all.end(),
      [](const shop::Finding& a, const shop::Finding& b) { return a.level < b.level; });
  if (worst == all.end() || worst->level == shop::Level::note) return;
  const auto many = std::count_if(
      all.begin(), all.end(), [](const shop::Finding& f) { return f.level != shop::Level::note; });
  const Rect row{p.x, p.y, p.w, 15};
  if (p.ui.pressed(row)) p.ui.fill(row, t.face);
  p.ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
  caution_sign(p.ui, p.x, p.y + 4.2F, 6.4F, t.out_of_range, t.paper);
  const bool narrow = p.w < 70;

  p.ui.text_in(
      p.x + 9, p.y + 6.2F, p.w - 17, Type::small_bold, t.ink,
      narrow
          ? say_count("{0} thing to check", "{0} things to check", static_cast<long>(many), many)
          : say_count("Check this tip: one thing does not add up",
                      "Check this tip: {0} things do not add up", static_cast<long>(many), many));
  p.ui.text_in(p.x + 9, p.y + 12.0F, p.w - 17, Type::small, t.muted, worst->message);
  p.ui.triangle(p.x + p.w - 1, p.y + 7.5F, p.x + p.w - 3.6F, p.y + 5.1F, p.x + p.w - 3.6F,
                p.y + 9.9F, t.ink);
  if (p.ui.target("found", row)) p.out.push_back({Do::go_section, "findings"});
  p.y += 15;
}

void symptom(Page& p) {
  const Theme& t = p.theme();
  p.anchor("symptom");
  const bool small = p.ui.metrics().form() == Form::small;
  if (const shop::Prose* s = p.tip.tip.section("symptom")) {
    // The first view is for cautions, symptom and first check: a long symptom shows its first
    // lines, a tap the rest.
    constexpr int kFirst = 2;
    const std::vector<Run> runs = runs_of(s->body);
    const float whole = p.ui.paragraph_height(p.w, Type::text, runs);
    const float few = p.ui.paragraph_height(p.w, Type::text, runs, kFirst);
    const bool cut = whole > few + 1;
    const float from = p.y;
    if (!small)
      p.head(tr("Symptom"), !cut ? "" : p.state.symptom_open ? tr("less") : tr("all of it"));
    if (cut && !p.state.symptom_open) {
      p.y += p.ui.paragraph(p.x, p.y, p.w, Type::text, t.ink, runs, kFirst);
    } else {
      p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s->body));
    }
    if (cut && p.ui.target("symptom", {p.x, from, p.w, std::max(15.0F, p.y - from)}))
      p.out.push_back({Do::show_symptom, {}});
  }
  if (!small) {
    look_alikes(p);
    found_row(p);
  }
  p.gap(1.2F);
}

void one_check(Page& p, const shop::Check& check, std::size_t index, std::size_t count) {
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  p.anchor("checks:" + std::to_string(index));
  p.divide();
  p.head(say("Check {0} of {1}", index + 1, count), minutes_words(check));
  const float cell = std::max(ui.finger(15), ui.metrics().target());
  const float tw = p.w - cell - 4;
  const float from = p.y;
  float y = p.y;
  y += ui.paragraph(p.x, y, tw, Type::title, t.ink, check.name);
  std::string sub = check.tools;
  if (!check.valid.empty()) sub += (sub.empty() ? "" : "; ") + check.valid;
  if (!sub.empty()) {
    sub[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(sub[0])));
    y += ui.paragraph(p.x, y + 0.4F, tw, Type::small, t.muted, sub) + 0.4F;
  }
  if (!p.tip.preview) {
    const std::string key = tick_key(check);
    if (tick_cell(ui, "tick:" + key, {p.x + p.w - cell, from, cell, cell}, p.state.ticked(key)))
      p.out.push_back({Do::tick, key});
  }
  p.y = std::max(y, from + cell) + 1.6F;
  const job::Job* job = p.state.current();
  const job::Judged judged =
      job::judge(check, job != nullptr && !p.tip.preview ? job->reading(check.id) : nullptr);
  expected_row(p, check.expect, check.expect_text, judged);
  if (judged.kind != job::Judged::Kind::none) {
    standing_mark(ui, p.x + 2.2F, p.y + 1.9F, 2.2F, judged);
    std::string said = job::word(judged);
    if (judged.quantity) said = trade::authored(*judged.quantity) + ": " + said;
    if (!judged.means.empty()) said += "; " + judged.means;
    p.y += ui.paragraph(p.x + 6, p.y, p.w - 6, Type::small_bold, t.ink, said) + 0.6F;
  }
  std::string how = check.text;
  if (!check.why.empty()) {
    if (const std::size_t at = how.find("Why:"); at != std::string::npos) how.erase(at);
  }
  const std::vector<ProseBlock> blocks = prose_of(how);
  if (!blocks.empty()) p.y += draw_prose(ui, p.x, p.y, p.w, Type::text, t.ink, blocks);
  if (!check.why.empty())
    p.y += ui.paragraph(p.x, p.y, p.w, Type::small, t.ink, say("Why: {0}", plain_of(check.why))) +
           0.6F;
  const std::string strength = strength_words(check);
  if (!strength.empty()) p.y += ui.paragraph(p.x, p.y, p.w, Type::small, t.muted, strength);
  p.gap(2);
}

}  // namespace baylore::viewer
