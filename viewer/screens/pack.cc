// One pack from elsewhere: who signed it, what it would change, and each of its texts as it is here
// now and as it would be. Nothing has been changed yet.
#include <algorithm>

#include "viewer/screens/pack_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

using pack::Change;
using pack::Signer;

std::string change_note(const pack::PreviewItem& item) {
  std::string words;
  switch (item.change) {
    case Change::fresh:
      words = tr("new here");
      break;
    case Change::same:
      words = tr("here already");
      break;
    case Change::replaced:
      words = tr("changed there");
      break;
    case Change::merged:
      words = tr("put together");
      break;
    case Change::conflict:
      words = tr("to settle");
      break;
    case Change::blocked:
      words = tr("cannot be taken");
      break;
  }
  if (item.key.first == shop::Kind::part) words = std::string(tr("part")) + " · " + words;
  const auto errors =
      std::count_if(item.findings.begin(), item.findings.end(),
                    [](const shop::Finding& one) { return one.level == shop::Level::error; });
  const auto rest = static_cast<std::ptrdiff_t>(item.findings.size()) - errors;
  if (errors > 0) words += " · " + say_count("{0} error", "{0} errors", errors, errors);
  if (errors == 0 && rest > 0)
    words += " · " + say_count("{0} note", "{0} notes", static_cast<long>(rest), rest);
  return words;
}

// Whose it is: shape and words, never the shape alone.
float draw_signer(Ui& ui, Rect r, const OpenedPack& opened) {
  const Theme& t = ui.theme();
  if (!opened.pack) return 0;
  const pack::Pack& pack = *opened.pack;
  const pack::Signed& by = pack.signature;
  const bool refused = !pack.reasons.empty();
  std::string lead;
  std::string more;
  const std::string claims = pack.bag.value("Source-Organization");
  if (refused) {
    lead =
        by.signer == Signer::altered ? tr("Altered after it was signed: refused") : tr("Refused");
    more = tr("Nothing of it can be taken in. Ask for it again, and keep this one to show.");
  } else if (by.signer == Signer::trusted) {
    lead = say("From {0}", location_words(by.location));
    more = say("a trusted key, {0}", by.key_id);
  } else if (by.signer == Signer::unknown) {
    lead = tr("Signed by a key that is not known here");
    more = claims.empty() ? say("It does not say whom it is from. Its key is {0}.", by.key_id)
                          : say("It says it is from {0}. Its key is {1}.", claims, by.key_id);
  } else {
    lead = tr("Not signed");
    more =
        claims.empty()
            ? std::string(tr("It can be looked at, not taken in. It does not say whom it is from."))
            : say("It can be looked at, not taken in. It says it is from {0}.", claims);
  }
  const Rect mark{r.x, r.y + 1.4F, 6, 6};
  const float cx = mark.x + 2.6F;
  const float cy = mark.y + 2.2F;
  if (refused) {
    cross(ui, cx, cy, 2.2F, t.out_of_range);
  } else if (by.signer == Signer::trusted) {
    ui.disc(cx, cy, 2.3F, t.accent);
  } else if (by.signer == Signer::unknown) {
    ui.ring(cx, cy, 2.3F, 0.7F, t.ink);
  } else {
    ui.hline(cx - 2.4F, cy, 4.8F, 0.9F, t.ink);
  }
  float y = r.y + 1;
  const float x = r.x + 7;
  y += ui.paragraph(x, y, r.w - 7, Type::small_bold, refused ? t.out_of_range : t.ink, lead);
  y += ui.paragraph(x, y, r.w - 7, Type::small, t.muted, more) + 1;
  return y - r.y;
}

std::string contents_words(const OpenedPack& opened) {
  const auto count = [&](Change change) {
    return std::count_if(opened.preview.items.begin(), opened.preview.items.end(),
                         [&](const pack::PreviewItem& item) { return item.change == change; });
  };
  std::string words;
  const auto add = [&](std::ptrdiff_t number, std::string_view what) {
    if (number > 0)
      words += (words.empty() ? "" : ", ") + std::to_string(number) + " " + std::string(what);
  };
  add(count(Change::fresh), tr_in("a count of texts", "new"));
  add(count(Change::replaced) + count(Change::merged), tr_in("a count of texts", "changed"));
  add(count(Change::conflict), tr("to settle"));
  add(count(Change::same), tr("here already"));
  add(count(Change::blocked), tr("that cannot be taken"));
  add(static_cast<std::ptrdiff_t>(opened.preview.photos.size()),
      opened.preview.photos.size() == 1 ? tr("picture") : tr("pictures"));
  if (opened.preview.counts > 0) {
    add(static_cast<std::ptrdiff_t>(opened.preview.counts),
        opened.preview.counts == 1 ? tr("count") : tr("counts"));
    if (!opened.preview.counts_replace.empty())
      words = say("{0} in place of those of {1}", words, day_words(opened.preview.counts_replace));
  }
  if (opened.pack && !opened.pack->refused.empty())
    add(static_cast<std::ptrdiff_t>(opened.pack->refused.size()), tr("left out as faulty"));
  return words;
}

float draw_items(Ui& ui, Rect r, const PacksView& view, Actions& out) {
  const Theme& t = ui.theme();
  const OpenedPack& opened = *view.opened;
  float y = r.y;
  y += draw_signer(ui, {r.x, y, r.w, 0}, opened);
  if (const std::string words = contents_words(opened); !words.empty())
    y += ui.paragraph(r.x, y, r.w, Type::small, t.ink, words) + 1;
  ui.hline(r.x, y, r.w, 0.35F, t.ink);
  const float high = kItemRow;
  const float cell = std::max(ui.finger(15), ui.metrics().target());
  for (std::size_t i = 0; i < opened.preview.items.size(); ++i) {
    const pack::PreviewItem& item = opened.preview.items[i];
    const Rect row{r.x, y, r.w, high};
    y += high;
    if (far_away(ui, row)) continue;
    const bool takeable = can_be_taken(item) && why_not(opened).empty();
    const std::string number = std::to_string(i);
    if (takeable && tick_cell(ui, "take:" + number, {row.x, row.y + (row.h - cell) / 2, cell, cell},
                              view.chosen.contains(item.key)))
      out.push_back({Do::pack_tick, {}, static_cast<int>(i)});
    const float in = cell + 1;
    if (pack_row(ui, {row.x + in, row.y, row.w - in, row.h},
                 {"item:" + number, item.title, change_note(item), i == view.item, 3}))
      out.push_back({Do::pack_item, {}, static_cast<int>(i)});
  }
  return y - r.y;
}

std::string statement(const pack::PreviewItem& item, const std::string& from) {
  switch (item.change) {
    case Change::fresh:
      return tr("New here: it comes in as it is.");
    case Change::same:
      return tr("Here already, or a later one made from it: nothing to do.");
    case Change::replaced:
      return tr(
          "Theirs was made from ours: it takes its place, and ours stays among the earlier "
          "ones.");
    case Change::merged:
      return tr("Both were changed at different places: the two are put together.");
    case Change::conflict:
      return say(
          "Both were changed at the same place. Ours stands; that of {0} is kept beside it until a "
          "lead settles it.",
          from);
    case Change::blocked:
      return say("It cannot be taken: {0}.", item.why);
  }
  return {};
}

float draw_item(Ui& ui, Rect r, const PacksView& view) {
  const Theme& t = ui.theme();
  const OpenedPack& opened = *view.opened;
  float y = r.y + 1;
  if (view.item >= opened.preview.items.size()) {
    if (opened.failure)
      y += ui.paragraph(r.x, y, r.w, Type::text, t.out_of_range, opened.failure->text()) + 2;
    if (opened.pack) {
      for (const pack::Reason& reason : opened.pack->reasons)
        y += ui.paragraph(r.x, y, r.w, Type::small, t.ink, reason.text()) + 1.4F;
    }
    return y - r.y;
  }
  const pack::PreviewItem& item = opened.preview.items[view.item];
  const std::string from = opened.pack->signature.location.empty()
                               ? tr("the other location")
                               : location_words(opened.pack->signature.location);
  y += ui.paragraph(r.x, y, r.w, Type::title, t.ink, item.title);
  y += ui.paragraph(r.x, y + 0.6F, r.w, Type::small, t.muted, item.path) + 1.4F;
  y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, statement(item, from)) + 2;
  const bool conflict = item.change == Change::conflict;
  // Where both changed one place comes first: that is what has to be decided.
  const auto& first = item.conflicts.empty() ? item.differences : item.conflicts;
  for (const pack::Difference& place : first)
    y += difference_block(ui, r.x, y, r.w, place, tr("here now"),
                          conflict ? tr("in the pack") : tr("afterwards"));
  if (!item.conflicts.empty() && item.differences.size() > item.conflicts.size()) {
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, tr("What differs besides")) + 1;
    for (const pack::Difference& place : item.differences) {
      const bool told =
          std::any_of(item.conflicts.begin(), item.conflicts.end(),
                      [&](const pack::Difference& one) { return one.where == place.where; });
      if (!told) y += difference_block(ui, r.x, y, r.w, place, tr("here now"), tr("in the pack"));
    }
  }
  if (!item.findings.empty()) {
    ui.hline(r.x, y, r.w, 0.35F, t.ink);
    y += 1.4F;
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, tr("What the check says of it")) + 1;
    for (const shop::Finding& finding : item.findings)
      y += finding_block(ui, r.x, y, r.w, finding, say("line {0}", finding.line)) + 1;
  }
  if (item.change == Change::fresh) {
    const auto text =
        std::find_if(opened.pack->texts.begin(), opened.pack->texts.end(),
                     [&](const pack::PackText& one) { return one.key() == item.key; });
    if (text != opened.pack->texts.end()) {
      ui.hline(r.x, y, r.w, 0.35F, t.ink);
      y += 1.4F;
      y += side_block(ui, r.x, y, r.w, text->bytes, {});
    }
  }
  return y - r.y;
}

}  // namespace

void pack_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PacksView& view = state.packs;
  const bool phone = at.form == Form::phone;
  const std::string name =
      view.opened && view.opened->pack ? view.opened->pack->name : std::string(tr("A pack"));
  const std::string sealed =
      view.opened && view.opened->pack ? view.opened->pack->bag.value("Bagging-Date") : "";
  draw_heading(ui, at, name,
               sealed.empty() ? tr("nothing is changed yet")
                              : say("sealed {0} · nothing is changed yet", day_words(sealed)));
  draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  const ListAndDetail areas = list_and_detail(at);
  const bool show_list = !areas.in_turn || !view.item_open;
  const bool show_item = !areas.in_turn || view.item_open;
  if (!view.opened) {
    work_block(ui, areas.list, view);
  } else {
    const bool refused = view.opened->preview.items.empty();
    if (show_list) {
      const float top = ui.begin_scroll("pack", areas.list);
      Rect r{areas.list.x, top, areas.list.w - 1, areas.list.h};
      if (phone) r.y += ui.paragraph(r.x, r.y + 1, r.w, Type::small_bold, t.ink, name) + 1;
      r.y += work_block(ui, r, view);
      r.y += draw_items(ui, r, view, out);
      // A refused one has no rows: where there is one column its reasons stand below.
      if (areas.in_turn && refused) r.y += draw_item(ui, r, view);
      ui.end_scroll(r.y - top + 2);
    }
    if (show_item) {
      if (at.form == Form::tall)
        ui.hline(areas.detail.x, areas.detail.y - 1.5F, areas.detail.w, 0.35F, t.ink);
      const float top = ui.begin_scroll("pack item", areas.detail);
      const Rect r{areas.detail.x, top, areas.detail.w - 1, areas.detail.h};
      ui.end_scroll(draw_item(ui, r, view) + 2);
    }
  }
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  const bool open = view.opened && why_not(*view.opened).empty();
  if (open && phone) keys.push_back({"more", tr("More"), {Do::menu, "packs item"}, " "});
  if (open && !phone) {
    keys.push_back({"all", tr("All"), {Do::pack_all, {}, 1}, ""});
    keys.push_back({"none", tr("None"), {Do::pack_all, {}, 0}, ""});
  }
  StripKey primary{"primary", tr("Take in"), {Do::accept_pack, {}}, ""};
  bool on = open && !view.chosen.empty();
  if (view.work != PackWork::none) {
    primary = {"primary", tr("Stop"), {Do::stop_pack, {}}, ""};
    on = true;
  } else if (view.opened && !open) {
    primary.label = phone ? tr("Not taken") : tr("Cannot be taken in");
    on = false;
  } else if (view.opened && needs_trust(*view.opened)) {
    primary.label = tr("Whose is it");
  } else if (on && !phone) {
    primary.label = say("Take in {0}", view.chosen.size());
  }
  draw_strip(ui, at, keys, primary, on, out);
}

}  // namespace baylore::viewer
