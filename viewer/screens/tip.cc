// Tip: cautions, symptom and the first check in the first view; the drawing and the fastener stay beside. One scrolling page; the rule
// leads to its sections.
#include <algorithm>
#include <cctype>

#include "trade/torque_spec.h"
#include "viewer/screens/screens.h"
#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"

namespace baylore::viewer {
namespace {

// One pass down the page: where the next block goes, and where the sections and anchors are.
struct Page {
  Ui& ui;
  const State& state;
  const TipPage& tip;
  Actions& out;
  float x;
  float w;
  float top;  // of the page on the panel
  float y;
  bool inline_side;  // no side column: drawing and fasteners stand in the page
  std::vector<std::pair<std::string, float>> anchors;

  void anchor(std::string name) { anchors.emplace_back(std::move(name), y - top); }
  [[nodiscard]] const Theme& theme() const { return ui.theme(); }
  [[nodiscard]] bool in_view(float h) const {
    const Rect c = ui.clip();
    return y + h > c.y && y < c.bottom();
  }
  void gap(float mm) { y += mm; }
  void head(std::string_view word, std::string_view right = {}) {
    const float cap = ui.capitals(Type::small_bold);
    const float lw = ui.text(x, y + cap, Type::small_bold, theme().accent, word);
    if (!right.empty()) ui.text_in(x + w, y + cap, w - lw - 3, Type::small, theme().muted, right, Align::right);
    y += ui.pitch(Type::small_bold) + 0.8F;
  }
  void divide() {
    ui.hline(x, y, w, 0.35F, theme().ink);
    y += 2.6F;
  }
};

void cautions(Page& p) {
  std::vector<Run> runs;
  for (const shop::Caution& c : p.tip.cautions) {
    if (!runs.empty()) runs.push_back({"\n", false});
    runs.push_back({std::string(c.lead) + " ", true});
    runs.push_back({std::string(c.more), false});
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
  caution_sign(p.ui, p.x + (narrow ? 1.8F : 2.4F), p.y + 3.1F, narrow ? 7.4F : 8.6F, t.on_caution, t.caution);
  p.ui.paragraph(p.x + in, p.y + (h - text_h) / 2 + 1.2F, p.w - in - 1.5F, Type::small, t.on_caution, runs);
  p.y += h + 3;
}

void questions(Page& p) {
  const Theme& t = p.theme();
  for (const shop::Question& q : p.tip.questions) {
    const std::vector<Run> runs{{q.who + ", since " + day_words(q.when) + ": ", true}, {q.text, false}};
    const float h = std::max(14.0F, p.ui.paragraph_height(p.w - 13, Type::small, runs) + 4);
    p.ui.hatch({p.x, p.y, 9, h}, 2.6F, 0.5F, t.ink);
    p.ui.hline(p.x, p.y, p.w, 0.35F, t.ink);
    p.ui.hline(p.x, p.y + h, p.w, 0.35F, t.ink);
    p.ui.paragraph(p.x + 12, p.y + 2.6F, p.w - 13, Type::small, t.ink, runs);
    p.y += h + 3;
  }
}

// Lines that were not understood: said plainly, the rest stays readable.
void broken_lines(Page& p) {
  const Theme& t = p.theme();
  bool any = false;
  for (const shop::Finding& f : p.tip.tip.findings) {
    if (f.level != shop::Level::error) continue;
    any = true;
    cross(p.ui, p.x + 2.2F, p.y + 2.2F, 1.9F, t.out_of_range);
    p.ui.text(p.x + 7, p.y + 3.6F, Type::small_bold, t.out_of_range, "line " + std::to_string(f.line) + " is not understood");
    p.y += 6;
    p.y += p.ui.paragraph(p.x + 7, p.y, p.w - 7, Type::small, t.ink, f.message + (f.remedy.empty() ? "" : ": " + f.remedy));
    p.gap(1);
  }
  if (any) {
    p.ui.text(p.x, p.y + 3.2F, Type::small, t.muted, "The rest can be read below.");
    p.y += 8;
  }
}

// Look-alikes stand beside the symptom: this is where they are taken for each other. On the small panel the first check comes between.
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
                 one ? "Looks like: " + other.title : "Looks like " + std::to_string(p.tip.mistaken.size()) + " others: how to tell");
    p.ui.text_in(p.x, p.y + 12.0F, p.w - 8, Type::small, t.muted, one ? other.note : other.title + "; ...");
    p.ui.triangle(p.x + p.w - 1, p.y + 7.5F, p.x + p.w - 3.6F, p.y + 5.1F, p.x + p.w - 3.6F, p.y + 9.9F, t.ink);
    if (p.ui.target("mistaken", row)) p.out.push_back(one ? Action{Do::open_tip, other.id} : Action{Do::menu, "mistaken"});
    p.y += 15;
  }
}

void symptom(Page& p) {
  const Theme& t = p.theme();
  p.anchor("symptom");
  const bool small = p.ui.metrics().form() == Form::small;
  if (const shop::Prose* s = p.tip.tip.section("symptom")) {
    // The first view is for cautions, symptom and first check: a long symptom shows its first lines, a tap the rest.
    constexpr int kFirst = 2;
    const std::vector<Run> runs = runs_of(s->body);
    const float whole = p.ui.paragraph_height(p.w, Type::text, runs);
    const float few = p.ui.paragraph_height(p.w, Type::text, runs, kFirst);
    const bool cut = whole > few + 1;
    const float from = p.y;
    if (!small) p.head("Symptom", !cut ? "" : p.state.symptom_open ? "less" : "all of it");
    if (cut && !p.state.symptom_open) {
      p.y += p.ui.paragraph(p.x, p.y, p.w, Type::text, t.ink, runs, kFirst);
    } else {
      p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s->body));
    }
    if (cut && p.ui.target("symptom", {p.x, from, p.w, std::max(15.0F, p.y - from)})) p.out.push_back({Do::show_symptom, {}});
  }
  if (!small) look_alikes(p);
  p.gap(1.2F);
}
void expected_row(Page& p, const std::optional<trade::Expectation>& expect, const std::string& authored) {
  if (authored.empty()) return;
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  if (!expect || !expect->is_range()) {
    ui.text(p.x, p.y + ui.capitals(Type::small), Type::small, t.muted, "expected");
    const float lw = ui.width(Type::small, "expected") + 3;
    p.y += std::max(6.0F, ui.paragraph(p.x + lw, p.y - 0.5F, p.w - lw, Type::text_bold, t.ink, authored));
    p.gap(1.4F);
    return;
  }
  const trade::Quantity one{expect->low ? *expect->low : *expect->high, expect->unit};
  const trade::Unit* other = trade::companion_unit(one);
  const std::string second = other != nullptr ? trade::in_words_as(*expect, *other) : std::string();
  const ExpectedWords words = expected_words(*expect);
  const bool narrow = p.w < 70;
  const float left_w = std::max({ui.width(Type::line_bold, words.number) + 1.5F + ui.width(Type::small, words.unit),
                                 ui.width(Type::small, words.after), 22.0F}) + 4;
  if (narrow) {
    const float nw = ui.text(p.x, p.y + 6.4F, Type::line_bold, t.ink, words.number);
    const float uw = ui.text(p.x + nw + 1.5F, p.y + 6.4F, Type::small, t.ink, words.unit + " " + words.after);
    ui.text_in(p.x + p.w, p.y + 6.4F, p.w - nw - uw - 4, Type::small, t.muted, second, Align::right);
    range_scale(ui, p.x + 1, p.y + 15.5F, p.w - 5, *expect);
    p.y += 25;
    return;
  }
  ui.text(p.x, p.y + 2.9F, Type::small, t.muted, "expected");
  const float nw = ui.text(p.x, p.y + 10.6F, Type::line_bold, t.ink, words.number);
  ui.text(p.x + nw + 1.4F, p.y + 10.6F, Type::small, t.ink, words.unit);
  ui.text(p.x, p.y + 16.6F, Type::small, t.ink, words.after);
  ui.text_in(p.x + p.w, p.y + 2.9F, p.w - left_w, Type::small, t.muted, second, Align::right);
  range_scale(ui, p.x + left_w, p.y + 10.8F, p.w - left_w - 5, *expect);
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
  if (!check.outside.empty()) out = "Outside: " + check.outside + " this cause.";
  if (!check.inside.empty()) out += (out.empty() ? "" : " ") + std::string("Inside: ") + check.inside + " it.";
  return out;
}

void one_check(Page& p, const shop::Check& check, std::size_t index, std::size_t count) {
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  p.anchor("checks:" + std::to_string(index));
  p.divide();
  p.head("Check " + std::to_string(index + 1) + " of " + std::to_string(count), minutes_words(check));
  const float cell = std::max(15.0F, ui.metrics().target());
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
    if (tick_cell(ui, "tick:" + key, {p.x + p.w - cell, from, cell, cell}, p.state.ticked(key))) p.out.push_back({Do::tick, key});
  }
  p.y = std::max(y, from + cell) + 1.6F;
  expected_row(p, check.expect, check.expect_text);
  std::string how = check.text;
  if (!check.why.empty()) {
    if (const std::size_t at = how.find("Why:"); at != std::string::npos) how.erase(at);
  }
  const std::vector<ProseBlock> blocks = prose_of(how);
  if (!blocks.empty()) p.y += draw_prose(ui, p.x, p.y, p.w, Type::text, t.ink, blocks);
  if (!check.why.empty()) p.y += ui.paragraph(p.x, p.y, p.w, Type::small, t.ink, "Why: " + plain_of(check.why)) + 0.6F;
  const std::string strength = strength_words(check);
  if (!strength.empty()) p.y += ui.paragraph(p.x, p.y, p.w, Type::small, t.muted, strength);
  p.gap(2);
}

// A row with a tick cell at its right: steps, finish items.
void tick_row(Page& p, std::string_view anchor, const std::string& key, const std::string& number, const std::vector<Run>& runs) {
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  p.anchor(std::string(anchor));
  const float cell = std::max(15.0F, ui.metrics().target());
  const bool narrow = p.w < 70;
  const float in = number.empty() || narrow ? 0 : 8;
  const float tw = p.w - cell - 3 - in;
  std::vector<Run> words = runs;
  if (narrow && !number.empty()) words.insert(words.begin(), Run{number + "  ", true});
  const float h = std::max(cell + 2, ui.paragraph_height(tw, Type::text, words) + 3);
  const bool done = p.state.ticked(key);
  if (in > 0) ui.text(p.x, p.y + 2 + ui.capitals(Type::text), Type::text_bold, t.accent, number);
  ui.paragraph(p.x + in, p.y + 2, tw, Type::text, done ? t.muted : t.ink, words);
  if (!p.tip.preview && tick_cell(ui, "tick:" + key, {p.x + p.w - cell, p.y + 1, cell, cell}, done)) p.out.push_back({Do::tick, key});
  p.y += h;
  ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
  p.gap(1);
}

void location(Page& p) {
  const Theme& t = p.theme();
  p.anchor("location");
  const shop::Prose* s = p.tip.tip.section("location");
  if (s == nullptr && p.tip.tip.pictures.empty()) return;
  p.divide();
  p.head("Location");
  if (s != nullptr) p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s->text));
  for (std::size_t i = 0; i < p.tip.tip.pictures.size(); ++i) {
    const shop::Picture& picture = p.tip.tip.pictures[i];
    if (p.inline_side || i > 0) p.y += draw_picture(p.ui, {p.x, p.y, p.w, 0}, 45, p.state, p.tip, picture, 9) + 2;
    for (const shop::Mark& m : picture.marks) {
      p.y += p.ui.paragraph(p.x, p.y, p.w, Type::small, t.ink, std::vector<Run>{{m.label + "  ", true}, {m.text, false}});
    }
  }
  p.gap(2);
}

void repair(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("repair");
  if (tip.steps.empty() && tip.section("repair") == nullptr) return;
  p.divide();
  const auto done = std::count_if(tip.steps.begin(), tip.steps.end(), [&](const std::string& s) { return p.state.ticked(step_key(s)); });
  p.head("Repair", tip.steps.empty() ? "" : std::to_string(done) + " of " + std::to_string(tip.steps.size()) +
                                                 (tip.repair_minutes > 0 ? ", about " + trade::authored_number(tip.repair_minutes) + " min" : ""));
  if (tip.steps.empty()) {
    p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, p.theme().ink, prose_of(tip.section("repair")->text));
    return;
  }
  for (std::size_t i = 0; i < tip.steps.size(); ++i) {
    tick_row(p, "repair:" + std::to_string(i), step_key(tip.steps[i]), std::to_string(i + 1), runs_of(tip.steps[i]));
  }
}

void fasteners(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("fasteners");
  if (tip.fasteners.empty()) return;
  p.gap(2);
  p.head("Fasteners", p.tip.safety ? "safety-critical" : "");
  for (std::size_t i = 0; i < tip.fasteners.size(); ++i) {
    p.anchor("fasteners:" + std::to_string(i));
    const std::string key = tick_key(tip.fasteners[i]);
    p.y += draw_fastener(p.ui, {p.x, p.y, p.w, 0}, p.state, p.tip, tip.fasteners[i], false);
    if (!p.tip.preview) {
      const float h = std::max(15.0F, p.ui.metrics().target());
      const bool tight = p.state.ticked(key);
      const Rect cell{p.x + p.w - h, p.y, h, h};
      p.ui.text(cell.x - 3, p.y + h / 2 + 1.5F, Type::small_bold, p.theme().ink, tight ? "tight" : "not tight yet", Align::right);
      if (tick_cell(p.ui, "tick:" + key, cell, tight)) p.out.push_back({Do::tick, key});
      p.y += h + 1;
    }
    p.ui.hline(p.x, p.y, p.w, 0.2F, p.theme().rule);
    p.gap(2);
  }
}

void parts(Page& p) {
  const Theme& t = p.theme();
  p.anchor("parts");
  if (p.tip.tip.parts.empty()) return;
  p.gap(1);
  p.divide();
  p.head("Parts", std::to_string(p.tip.tip.parts.size()) + " listed");
  for (const shop::PartRef& part : p.tip.tip.parts) {
    p.y += p.ui.paragraph(p.x, p.y, p.w, Type::title, t.ink, part.name);
    if (!part.text.empty()) p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(part.text));
    p.gap(1);
    p.ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
    p.gap(2);
  }
}

void finish(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("finish");
  if (!tip.finish.empty()) {
    p.gap(1);
    p.divide();
    p.head("Finish");
    for (std::size_t i = 0; i < tip.finish.size(); ++i) {
      tick_row(p, "finish:" + std::to_string(i), finish_key(tip.finish[i]), {}, runs_of(tip.finish[i]));
    }
  }
  if (tip.verify.empty()) return;
  p.gap(2);
  p.head("Verify the repair");
  for (std::size_t i = 0; i < tip.verify.size(); ++i) {
    const shop::Verification& v = tip.verify[i];
    std::vector<Run> runs{{v.name, true}};
    std::string expect = v.expect_text;
    if (expect.empty()) {
      for (const shop::Check& c : tip.checks) {
        if (c.id == v.again) expect = c.expect_text;
      }
    }
    if (!expect.empty()) runs.push_back({"\n" + expect, false});
    if (!v.text.empty()) runs.push_back({"\n" + plain_of(v.text), false});
    tick_row(p, "verify:" + std::to_string(i), tick_key(v), {}, runs);
  }
}

void other_sections(Page& p) {
  const Theme& t = p.theme();
  static const std::vector<std::string> kShown{"symptom", "checks",  "location", "repair", "fasteners",
                                               "parts",   "finish",  "verify",   "cautions"};
  for (const shop::Prose& s : p.tip.tip.sections) {
    if (std::find(kShown.begin(), kShown.end(), s.key) != kShown.end() || s.body.empty()) continue;
    p.gap(2);
    p.head(s.heading);
    p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s.body));
  }
}

void pinned(Ui& ui, const Layout& at, const State& state, const TipPage& page, Actions& out) {
  const Theme& t = ui.theme();
  const Rect r = at.side;
  if (r.h <= 0) return;
  ui.hline(r.x, r.y, r.w, 0.35F, t.ink);
  const bool tall = at.form == Form::tall;
  const bool small = at.form == Form::small;
  const Rect left = tall ? Rect{r.x, r.y, r.w * 0.5F - 2, r.h} : r;
  float y = r.y + (small ? 1.0F : 2.2F);
  if (!page.tip.pictures.empty()) {
    const auto which = static_cast<std::size_t>(state.picture) % page.tip.pictures.size();
    // The fastener under it keeps its room: name, figure, order and note.
    const float room = tall ? r.h - 9 : small ? std::min(34.6F, r.h - 27) : std::min(53.0F, r.h - 48);
    const float h = draw_picture(ui, {left.x, y, left.w, 0}, room, state, page, page.tip.pictures[which], small ? 0 : 1);
    if (page.tip.pictures.size() > 1 && ui.target("next picture", {left.x, y, left.w, h})) out.push_back({Do::next_picture, {}});
    y += h + (small ? 0.0F : 0.8F);
  } else {
    ui.text(left.x, y + 5, Type::small, t.muted, "No drawing on this tip.");
    y += tall ? 0 : 10;
  }
  if (page.tip.fasteners.empty()) return;
  const Rect right = tall ? Rect{r.x + r.w * 0.5F + 2, r.y + 2, r.w * 0.5F - 2, r.h} : Rect{r.x, y, r.w, r.bottom() - y};
  if (!tall) ui.hline(right.x, right.y, right.w, 0.5F, t.ink);
  const auto which = static_cast<std::size_t>(state.fastener) % page.tip.fasteners.size();
  ui.push_clip(right);
  draw_fastener(ui, {right.x, right.y + 2.0F, right.w, right.h - 2}, state, page, page.tip.fasteners[which], true);
  ui.pop_clip();
  if (page.tip.fasteners.size() > 1 && ui.target("next fastener", right)) out.push_back({Do::next_fastener, {}});
}

}  // namespace

std::vector<RuleSection> tip_rule(const State& state) {
  std::vector<RuleSection> out;
  if (!state.tip) return out;
  const shop::Tip& tip = state.tip->tip;
  struct Count {
    int done = 0;
    int all = 0;
  };
  Count checks;
  Count repair;
  Count finish;
  for (const Todo& t : todo_of(tip)) {
    Count& c = t.kind == Todo::Kind::check                                    ? checks
               : t.kind == Todo::Kind::step || t.kind == Todo::Kind::fastener ? repair
                                                                              : finish;
    ++c.all;
    if (state.ticked(t.key)) ++c.done;
  }
  const auto words = [](const Count& c) {
    return c.all == 0 ? std::string() : std::to_string(c.done) + " of " + std::to_string(c.all);
  };
  const auto section = [&](std::string key, std::string label, const Count& c) {
    out.push_back({std::move(key), std::move(label), words(c), c.all > 0 && c.done == c.all, c.all});
  };
  out.push_back({"symptom", "Symptom", "", checks.done > 0, 1});
  section("checks", "Checks", checks);
  out.push_back({"location", "Location", "", repair.done > 0, 1});
  section("repair", "Repair", repair);
  out.push_back({"parts", "Parts", tip.parts.empty() ? "" : std::to_string(tip.parts.size()) + " listed", finish.done > 0, static_cast<int>(tip.parts.size())});
  section("finish", "Finish", finish);
  return out;
}

void tip_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  if (!state.tip) {
    draw_heading(ui, at, state.opening.empty() ? "No tip open" : "Opening ...", {});
    draw_strip(ui, at, {{"back", "Back", {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const TipPage& page = *state.tip;
  const shop::Tip& tip = page.tip;
  std::string under = tip.author;
  const auto also = [&](const std::string& text) {
    if (!text.empty()) under += (under.empty() ? "" : " · ") + text;
  };
  also(day_words(tip.written));
  also(tip.fits.empty() ? "fits all" : "fits " + shop::fit_text(tip.fits.front()));
  if (page.preview) under = "Preview: not saved yet";
  if (tip.status == "withdrawn") under = "Withdrawn" + (tip.replaced_by.empty() ? "" : ", replaced by " + tip.replaced_by);
  draw_heading(ui, at, tip.title, under);
  draw_rule(ui, at, tip_rule(state), state.here, "sections", Do::go_section, out);

  // --- the page
  const Rect view = at.main;
  const bool phone = at.form == Form::phone;
  const float top = ui.begin_scroll("tip", view);
  Page p{ui, state, page, out, view.x, view.w, top, top, phone, {}};
  if (phone) {
    p.y += ui.paragraph(p.x, p.y + 1, p.w, Type::title, t.ink, tip.title, 2) + 2;
  }
  cautions(p);
  questions(p);
  broken_lines(p);
  symptom(p);
  p.anchor("checks");
  for (std::size_t i = 0; i < tip.checks.size(); ++i) {
    one_check(p, tip.checks[i], i, tip.checks.size());
    if (i == 0 && at.form == Form::small) look_alikes(p);
  }
  location(p);
  repair(p);
  fasteners(p);
  parts(p);
  finish(p);
  other_sections(p);
  if (phone) {
    // There is no heading beside the tag: the whole title and where the tip is from stand at the end.
    p.gap(2);
    p.head("This tip");
    p.y += ui.paragraph(p.x, p.y, p.w, Type::small_bold, t.ink, tip.title);
    p.y += ui.paragraph(p.x, p.y, p.w, Type::small, t.muted, under);
  }
  p.gap(view.h * 0.35F);  // so that the last section can come to the top
  const float content = p.y - top;
  ui.end_scroll(content);

  Ui::Scroll& scroll = ui.scroll_state("tip");
  if (!state.scroll_to.empty()) {
    for (const auto& [name, y] : p.anchors) {
      if (name != state.scroll_to) continue;
      // Symptom is the top of the page: cautions and doubts stand above it.
      scroll.offset = name == "symptom" ? 0 : std::clamp(y - 2, 0.0F, scroll.most());
      scroll.speed = 0;
    }
    out.push_back({Do::scrolled, {}});
  } else {
    // Where one is: the last section whose head has passed the upper third of the view.
    static const std::vector<std::string> kRule{"symptom", "checks", "location", "repair", "parts", "finish"};
    std::string here = "symptom";
    for (const auto& [name, y] : p.anchors) {
      if (std::find(kRule.begin(), kRule.end(), name) != kRule.end() && y <= scroll.offset + view.h * 0.3F) here = name;
    }
    if (here != state.here) out.push_back({Do::here, here});
  }

  if (!phone) pinned(ui, at, state, page, out);

  // --- the strip
  if (page.preview) {
    draw_strip(ui, at, {{"back", "Back", {Do::back, {}}, ""}}, {"primary", "Save", {Do::save_tip, {}}, ""}, true, out);
    return;
  }
  const std::vector<Todo> all = todo_of(tip);
  const Todo* next = next_todo(all, state);
  std::string primary = "Finish job";
  if (next != nullptr) {
    switch (next->kind) {
      case Todo::Kind::check:
        primary = at.form != Form::wide ? "Checked" : "Check " + std::to_string(next->index + 1) + " done";
        break;
      case Todo::Kind::step:
        primary = at.form != Form::wide ? "Step done" : "Step " + std::to_string(next->index + 1) + " done";
        break;
      case Todo::Kind::fastener:
        primary = "Tight";
        break;
      case Todo::Kind::finish:
      case Todo::Kind::verify:
        primary = "Done";
        break;
    }
  }
  const StripKey main{"primary", primary, {Do::tick_next, {}}, ""};
  if (phone) {
    const std::vector<RuleSection> rule = tip_rule(state);
    const auto at_here = std::find_if(rule.begin(), rule.end(), [&](const RuleSection& s) { return s.key == state.here; });
    const auto n = std::distance(rule.begin(), at_here) + 1;
    draw_strip(ui, at,
               {{"back", "Back", {Do::back, {}}, ""},
                {"sections", "Sections", {Do::menu, "tip"}, std::to_string(n) + "/" + std::to_string(rule.size())}},
               main, true, out);
  } else {
    const std::string next_section = next != nullptr ? next->anchor : "finish";
    draw_strip(ui, at,
               {{"back", "Back", {Do::back, {}}, ""},
                {"more", "More", {Do::menu, "tip"}, ""},
                {"question", "Question", {Do::ask_question, {}}, ""},
                {"next", "To next", {Do::go_section, next_section}, ""}},
               main, true, out);
  }
}

}  // namespace baylore::viewer
