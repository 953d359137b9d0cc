// Tip: cautions, symptom and the first check in the first view; the drawing and the fastener stay
// beside. One scrolling page; the rule leads to its sections.
#include <algorithm>

#include "viewer/screens/tip_page.h"
#include "viewer/screens/tip_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

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
    const float room = tall    ? r.h - 9
                       : small ? std::min(34.6F, r.h - 27)
                               : std::min(53.0F, r.h - 50);
    const float h = draw_picture(ui, {left.x, y, left.w, 0}, room, state, page.row.path,
                                 page.tip.pictures[which], small ? 0 : 1);
    if (ui.target("picture", {left.x, y, left.w, h}))
      out.push_back({Do::open_photo, {}, static_cast<int>(which)});
    y += h + (small ? 0.0F : 0.8F);
  } else {
    ui.text(left.x, y + 5, Type::small, t.muted, tr("No drawing on this tip."));
    y += tall ? 0 : 10;
  }
  if (page.tip.fasteners.empty()) return;
  const Rect right = tall ? Rect{r.x + r.w * 0.5F + 2, r.y + 2, r.w * 0.5F - 2, r.h}
                          : Rect{r.x, y, r.w, r.bottom() - y};
  if (!tall) ui.hline(right.x, right.y, right.w, 0.5F, t.ink);
  const auto which = static_cast<std::size_t>(state.fastener) % page.tip.fasteners.size();
  ui.push_clip(right);
  draw_fastener(ui, {right.x, right.y + 2.0F, right.w, right.h - 2}, state, page,
                page.tip.fasteners[which], true);
  ui.pop_clip();
  if (page.tip.fasteners.size() > 1 && ui.target("next fastener", right))
    out.push_back({Do::next_fastener, {}});
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
    return c.all == 0 ? std::string() : say("{0} of {1}", c.done, c.all);
  };
  const auto section = [&](std::string key, std::string label, const Count& c) {
    out.push_back(
        {std::move(key), std::move(label), words(c), c.all > 0 && c.done == c.all, c.all});
  };
  out.push_back({"symptom", tr("Symptom"), "", checks.done > 0, 1});
  section("checks", tr("Checks"), checks);
  out.push_back({"location", tr("Location"), "", repair.done > 0, 1});
  section("repair", tr("Repair"), repair);
  out.push_back({"parts", tr("Parts"), tip.parts.empty() ? "" : say("{0} listed", tip.parts.size()),
                 finish.done > 0, static_cast<int>(tip.parts.size())});
  section("finish", tr("Finish"), finish);
  return out;
}

void tip_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  if (!state.tip) {
    draw_heading(ui, at, state.opening.empty() ? tr("No tip open") : tr("Opening ..."), {});
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
    return;
  }
  const TipPage& page = *state.tip;
  const shop::Tip& tip = page.tip;
  std::string under = tip.author;
  const auto also = [&](const std::string& text) {
    if (!text.empty()) under += (under.empty() ? "" : " · ") + text;
  };
  also(day_words(tip.written));
  also(tip.fits.empty() ? std::string(tr("fits all"))
                        : say("fits {0}", shop::fit_text(tip.fits.front())));
  if (!page.preview) also(page.proved);
  if (page.preview) under = tr("Preview: not saved yet");
  if (tip.status == "withdrawn")
    under = tip.replaced_by.empty() ? std::string(tr("Withdrawn"))
                                    : say("Withdrawn, replaced by {0}", tip.replaced_by);
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
  source(p);
  broken_lines(p);
  symptom(p);
  p.anchor("checks");
  for (std::size_t i = 0; i < tip.checks.size(); ++i) {
    one_check(p, tip.checks[i], i, tip.checks.size());
    if (i == 0 && at.form == Form::small) {
      look_alikes(p);
      found_row(p);
    }
  }
  location(p);
  repair(p);
  fasteners(p);
  parts(p);
  finish(p);
  other_sections(p);
  findings(p);
  source_lines(p);
  if (phone) {
    // There is no heading beside the tag: the whole title and where the tip is from stand at the
    // end.
    p.gap(2);
    p.head(tr("This tip"));
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
    // Where one is: the last section whose head has passed the upper third of the view. A page at
    // its top is at the symptom or the checks, however short it is.
    const bool at_top = scroll.offset < 1;
    static const std::vector<std::string> kRule{"symptom", "checks", "location",
                                                "repair",  "parts",  "finish"};
    std::string here = "symptom";
    for (const auto& [name, y] : p.anchors) {
      if (std::find(kRule.begin(), kRule.end(), name) != kRule.end() &&
          y <= scroll.offset + view.h * 0.3F && (!at_top || name == "symptom" || name == "checks"))
        here = name;
    }
    if (here != state.here) out.push_back({Do::here, here});
  }

  if (!phone) pinned(ui, at, state, page, out);

  // --- the strip
  if (page.preview) {
    draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}},
               {"primary", tr("Save"), {Do::save_tip, {}}, ""}, true, out);
    return;
  }
  const std::vector<Todo> all = todo_of(tip);
  const Todo* next = next_todo(all, state);
  std::string primary = tr("Outcome");
  Action action{Do::tick_next, {}};
  if (next != nullptr) {
    const auto index = static_cast<std::size_t>(next->index);
    switch (next->kind) {
      case Todo::Kind::check:
        primary = tr("Reading");
        action = {Do::take_reading, tip.checks[index].id};
        break;
      case Todo::Kind::step:
        primary = at.form != Form::wide ? std::string(tr("Step done"))
                                        : say("Step {0} done", next->index + 1);
        break;
      case Todo::Kind::fastener:
        primary = tr("Tight");
        break;
      case Todo::Kind::finish:
        primary = tr("Done");
        break;
      case Todo::Kind::verify: {
        const shop::Check check = check_of(tip, tip.verify[index]);
        primary = tr("Done");
        if (!check.expect_text.empty()) {
          primary = tr("Reading");
          action = {Do::take_reading, check.id, 1};
        }
        break;
      }
    }
  }
  const StripKey main{"primary", primary, action, ""};
  if (phone) {
    const std::vector<RuleSection> rule = tip_rule(state);
    const auto at_here = std::find_if(rule.begin(), rule.end(),
                                      [&](const RuleSection& s) { return s.key == state.here; });
    const auto n = std::distance(rule.begin(), at_here) + 1;
    draw_strip(ui, at,
               {{"back", tr("Back"), {Do::back, {}}, ""},
                {"sections",
                 // The middle key of a phone's strip is 18.6 mm of the hand's, whatever the text.
                 ui.width(Type::small_bold, tr("Sections")) <= ui.finger(18.6F) - 1 ? tr("Sections")
                                                                                    : tr("Jump"),
                 {Do::menu, "tip"},
                 std::to_string(n) + "/" + std::to_string(rule.size())}},
               main, true, out);
  } else {
    const std::string next_section = next != nullptr ? next->anchor : "finish";
    draw_strip(ui, at,
               {{"back", tr("Back"), {Do::back, {}}, ""},
                {"more", tr("More"), {Do::menu, "tip"}, ""},
                {"tick", tr("Done"), {Do::tick_next, {}}, ""},
                {"next", tr("To next"), {Do::go_section, next_section}, ""}},
               main, true, out);
  }
}

}  // namespace baylore::viewer
