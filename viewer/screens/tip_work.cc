// The work on a tip: where it sits, repair, fasteners, parts, finish and verification.
#include "viewer/screens/part_parts.h"
#include "viewer/screens/tip_page.h"

#include <algorithm>
#include <cmath>

#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "viewer/ui/prose.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// A row with a tick cell at its right: steps, finish items.
void tick_row(Page& p, std::string_view anchor, const std::string& key, const std::string& number,
              const std::vector<Run>& runs) {
  const Theme& t = p.theme();
  Ui& ui = p.ui;
  p.anchor(std::string(anchor));
  const float cell = std::max(ui.finger(15), ui.metrics().target());
  const bool narrow = p.w < 70;
  const float in = number.empty() || narrow ? 0 : 8;
  const float tw = p.w - cell - 3 - in;
  std::vector<Run> words = runs;
  if (narrow && !number.empty()) words.insert(words.begin(), Run{number + "  ", true});
  const float h = std::max(cell + 2, ui.paragraph_height(tw, Type::text, words) + 3);
  const bool done = p.state.ticked(key);
  if (in > 0) ui.text(p.x, p.y + 2 + ui.capitals(Type::text), Type::text_bold, t.accent, number);
  ui.paragraph(p.x + in, p.y + 2, tw, Type::text, done ? t.muted : t.ink, words);
  if (!p.tip.preview && tick_cell(ui, "tick:" + key, {p.x + p.w - cell, p.y + 1, cell, cell}, done))
    p.out.push_back({Do::tick, key});
  p.y += h;
  ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
  p.gap(1);
}

}  // namespace

void location(Page& p) {
  const Theme& t = p.theme();
  p.anchor("location");
  const shop::Prose* s = p.tip.tip.section("location");
  if (s == nullptr && p.tip.tip.pictures.empty()) return;
  p.divide();
  p.head(tr("Location"));
  if (s != nullptr) p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s->text));
  for (std::size_t i = 0; i < p.tip.tip.pictures.size(); ++i) {
    const shop::Picture& picture = p.tip.tip.pictures[i];
    if (p.inline_side || i > 0) {
      const float h =
          draw_picture(p.ui, {p.x, p.y, p.w, 0}, 45, p.state, p.tip.row.path, picture, 9);
      if (p.ui.target("picture:" + std::to_string(i), {p.x, p.y, p.w, h}))
        p.out.push_back({Do::open_photo, {}, static_cast<int>(i)});
      p.y += h + 2;
    }
    for (const shop::Mark& m : picture.marks) {
      p.y += p.ui.paragraph(p.x, p.y, p.w, Type::small, t.ink,
                            std::vector<Run>{{m.label + "  ", true}, {m.text, false}});
    }
  }
  p.gap(2);
}

void repair(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("repair");
  if (tip.steps.empty() && tip.section("repair") == nullptr) return;
  p.divide();
  const auto done = std::count_if(tip.steps.begin(), tip.steps.end(), [&](const std::string& s) {
    return p.state.ticked(step_key(s));
  });
  p.head(tr("Repair"), tip.steps.empty() ? ""
                       : tip.repair_minutes > 0
                           ? say("{0} of {1}, about {2} min", done, tip.steps.size(),
                                 trade::authored_number(tip.repair_minutes))
                           : say("{0} of {1}", done, tip.steps.size()));
  if (tip.steps.empty()) {
    p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, p.theme().ink,
                      prose_of(tip.section("repair")->text));
    return;
  }
  for (std::size_t i = 0; i < tip.steps.size(); ++i) {
    tick_row(p, "repair:" + std::to_string(i), step_key(tip.steps[i]), std::to_string(i + 1),
             runs_of(tip.steps[i]));
  }
}

void fasteners(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("fasteners");
  if (tip.fasteners.empty()) return;
  p.gap(2);
  p.head(tr("Fasteners"), p.tip.safety ? tr("safety-critical") : "");
  for (std::size_t i = 0; i < tip.fasteners.size(); ++i) {
    p.anchor("fasteners:" + std::to_string(i));
    const std::string tick = tick_key(tip.fasteners[i]);
    p.y += draw_fastener(p.ui, {p.x, p.y, p.w, 0}, p.state, p.tip, tip.fasteners[i], false);
    // A figure that does not fit its bolt is doubted where it is read, before the wrench is set.
    for (const shop::Finding* finding : findings_at(p.tip, tip.fasteners[i]))
      p.y += finding_block(p.ui, p.x, p.y + 0.6F, p.w, *finding, {}) + 1.2F;
    if (!p.tip.preview) {
      const float h = std::max(p.ui.finger(15), p.ui.metrics().target());
      const bool tight = p.state.ticked(tick);
      const Rect cell{p.x + p.w - h, p.y, h, h};
      const float word_w = p.ui.text(cell.x - (p.w < 50 ? 1.6F : 3.0F), p.y + h / 2 + 1.5F,
                                     Type::small_bold, p.theme().ink,
                                     tight      ? tr("tight")
                                     : p.w < 70 ? tr_in("a fastener", "open")
                                                : tr("not yet tight"),
                                     Align::right);
      const float key_w = std::min(24.0F, cell.x - 3 - word_w - p.x);
      const bool plain = tip.fasteners[i].torque && !tip.fasteners[i].torque->stages.empty() &&
                         tip.fasteners[i].torque->last().low;
      if (plain && key(p.ui, "adapter:" + std::to_string(i), {p.x, p.y, key_w, h}, tr("Adapter"),
                       Type::small_bold)) {
        p.out.push_back({Do::open_adapter, {}, static_cast<int>(i)});
      }
      if (tick_cell(p.ui, "tick:" + tick, cell, tight)) p.out.push_back({Do::tick, tick});
      p.y += h + 1;
    }
    p.ui.hline(p.x, p.y, p.w, 0.2F, p.theme().rule);
    p.gap(2);
  }
}

// A listed part: what the author says of it, and beside it what became of those fitted. A tap opens
// the part with its rivals.
void part_row(Page& p, const shop::PartRef& part, const PartEvidence* evidence) {
  const Theme& t = p.theme();
  const float from = p.y;
  const bool leads = evidence != nullptr && evidence->listed;
  const float w = p.w - (leads ? 7.0F : 0.0F);
  p.gap(1.2F);
  p.y += p.ui.paragraph(p.x, p.y, w, Type::title, t.ink, part.name);
  if (!part.text.empty())
    p.y += draw_prose(p.ui, p.x, p.y, w, Type::text, t.ink, prose_of(part.text));
  if (leads) {
    const quality::Rival& rival = evidence->rival;
    if (!evidence->grade.empty())
      p.y += p.ui.paragraph(p.x, p.y, w, Type::small, t.muted, evidence->grade);
    if (has_bar(rival)) {
      ShareAxis axis = axis_for({&rival});
      const float ends = p.ui.width(Type::small, "100 %") + 2;
      axis.x = p.x + p.ui.width(Type::small, "0") + 2.5F;
      axis.w = std::min(w - (axis.x - p.x) - ends, 70.0F);
      const float cap = p.ui.capitals(Type::small);
      share_bar(p.ui, axis, p.y + 3, rival, false);
      p.ui.text(p.x, p.y + 3 + cap / 2, Type::small, t.muted, "0");
      p.ui.text(axis.x + axis.w + 2, p.y + 3 + cap / 2, Type::small, t.muted,
                std::to_string(std::lround(100 * axis.most)) + " %");
      p.y += 6.6F;
    }
    p.y += p.ui.paragraph(
        p.x, p.y, w, Type::small, t.ink,
        std::vector<Run>{{share_words(rival), true},
                         {has_bar(rival) ? " " + say("came back in {0} months",
                                                     std::lround(evidence->window_months))
                                         : "",
                          false}});
    if (const std::string warning = warning_words(rival); !warning.empty())
      p.y += warning_line(p.ui, p.x, p.y, w, warning);
    if (!evidence->fit_words.empty())
      p.y += warning_line(p.ui, p.x, p.y, w, say("not for this car: {0}", evidence->fit_words));
    if (!evidence->against.empty()) p.y += against_line(p.ui, p.x, p.y, w, evidence->against);
  }
  p.gap(1);
  if (leads) {
    const float h = std::max(p.y - from, std::max(p.ui.finger(15), p.ui.metrics().target()));
    p.y = from + h;
    const Rect row{p.x, from, p.w, h};
    const float mid = from + h / 2;
    p.ui.triangle(row.right() - 1, mid, row.right() - 4, mid - 2.6F, row.right() - 4, mid + 2.6F,
                  t.ink);
    if (p.ui.target("part:" + part.name, row)) p.out.push_back({Do::open_part, part.name});
  }
  p.ui.hline(p.x, p.y, p.w, 0.2F, t.rule);
}

void parts(Page& p) {
  p.anchor("parts");
  if (p.tip.tip.parts.empty()) return;
  p.gap(1);
  p.divide();
  p.head(tr("Parts"), say("{0} listed", p.tip.tip.parts.size()));
  for (std::size_t i = 0; i < p.tip.tip.parts.size(); ++i)
    part_row(p, p.tip.tip.parts[i], i < p.tip.evidence.size() ? &p.tip.evidence[i] : nullptr);
  p.gap(2);
}

void finish(Page& p) {
  const shop::Tip& tip = p.tip.tip;
  p.anchor("finish");
  if (!tip.finish.empty()) {
    p.gap(1);
    p.divide();
    p.head(tr("Finish"));
    for (std::size_t i = 0; i < tip.finish.size(); ++i) {
      tick_row(p, "finish:" + std::to_string(i), finish_key(tip.finish[i]), {},
               runs_of(tip.finish[i]));
    }
  }
  if (tip.verify.empty()) return;
  p.gap(2);
  p.head(tr("Verify the repair"));
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
    // Before and after stand together: a fix is the difference between them.
    if (const job::Job* job = p.state.current(); job != nullptr && !p.tip.preview) {
      const shop::Check check = check_of(tip, v);
      const auto said = [&](const char* when, const job::Reading* r) {
        if (r == nullptr) return;
        runs.push_back({"\n" + say(when, (r->value.empty() ? tr(r->result) : r->value) + ", " +
                                             job::word(job::judge(check, r))),
                        true});
      };
      said(marked("before: {0}"), job->reading(check.id, false));
      said(marked("after: {0}"), job->reading(check.id, true));
    }
    tick_row(p, "verify:" + std::to_string(i), tick_key(v), {}, runs);
  }
}

void other_sections(Page& p) {
  const Theme& t = p.theme();
  static const std::vector<std::string> kShown{"symptom", "checks",    "location",
                                               "repair",  "fasteners", "parts",
                                               "finish",  "verify",    "cautions"};
  for (const shop::Prose& s : p.tip.tip.sections) {
    if (std::find(kShown.begin(), kShown.end(), s.key) != kShown.end() || s.body.empty()) continue;
    p.gap(2);
    p.head(s.heading);
    p.y += draw_prose(p.ui, p.x, p.y, p.w, Type::text, t.ink, prose_of(s.body));
  }
}

void findings(Page& p) {
  p.anchor("findings");
  if (p.tip.findings.empty()) return;
  p.gap(2);
  p.divide();
  p.head(tr("The check says"), std::to_string(p.tip.findings.size()));
  for (const shop::Finding& finding : p.tip.findings) {
    p.y += finding_block(p.ui, p.x, p.y, p.w, finding, say("line {0}", finding.line));
    p.gap(1.4F);
  }
}

void source_lines(Page& p) {
  if (!p.tip.source || p.tip.source->came.empty()) return;
  p.divide();
  p.head(tr("Where it comes from"));
  const auto told = [&](const std::string& line) {
    p.y += p.ui.paragraph(p.x, p.y, p.w, Type::small, p.theme().ink, line);
  };
  for (const pack::Origin& one : p.tip.source->came) {
    told(one.who.empty()
             ? say("From {0}, pack {1}; taken in {2}.", location_words(one.location), one.pack,
                   day_words(one.when))
             : say("From {0}, pack {1}; taken in {2} by {3}.", location_words(one.location),
                   one.pack, day_words(one.when), one.who));
  }
  const auto times = [](std::uint32_t number) {
    return say_count("once", "{0} times", static_cast<long>(number), number);
  };
  for (const auto& [location, count] : p.tip.source->told) {
    const std::string place = location_words(location);
    told(count.used == 0 ? say("At {0} it was right {1}.", place, times(count.used))
         : count.failed == 0
             ? say("At {0} it was right {1}, and never came back.", place, times(count.used))
             : say("At {0} it was right {1}, and came back {2}.", place, times(count.used),
                   times(count.failed)));
  }
  p.gap(2);
}

}  // namespace baylore::viewer
