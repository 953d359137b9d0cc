// Packs: what waits to be settled, what lies on a stick, what was taken in; beside it what a pack
// brought, or this terminal's key.
#include <algorithm>

#include "viewer/screens/pack_parts.h"
#include "viewer/ui/qr.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

const TakenPack* shown_pack(const PacksView& view) {
  if (!view.shelf || view.taken.empty()) return nullptr;
  const auto& taken = view.shelf->taken;
  const auto at = std::find_if(taken.begin(), taken.end(),
                               [&](const TakenPack& one) { return one.folder == view.taken; });
  return at == taken.end() ? nullptr : &*at;
}

std::string texts_words(std::size_t count) {
  return say_count("{0} text", "{0} texts", static_cast<long>(count), count);
}

float draw_list(Ui& ui, Rect r, const PacksView& view, Actions& out) {
  const Theme& t = ui.theme();
  const PackShelf& shelf = *view.shelf;
  float y = r.y;
  const float high = kPackRow;
  const auto row = [&](PackRow what, Action action) {
    const Rect at{r.x, y, r.w, high};
    y += high;
    if (!far_away(ui, at) && pack_row(ui, at, what)) out.push_back(std::move(action));
  };
  for (const std::string& trouble : shelf.trouble) {
    y += 1 + ui.paragraph(r.x, y + 1, r.w, Type::small, t.out_of_range, trouble);
  }
  if (!shelf.open.empty()) {
    y += group_word(ui, {r.x, y, r.w, 0}, tr("To settle"));
    for (std::size_t i = 0; i < shelf.open.size(); ++i) {
      const OpenText& open = shelf.open[i];
      row({"open:" + std::to_string(i), open.title, open.note, false},
          {Do::open_settle, {}, static_cast<int>(i)});
    }
    y += 2;
  }
  y += group_word(ui, {r.x, y, r.w, 0}, tr("To look at"));
  for (const FoundPack& found : shelf.found) {
    row({"found:" + found.path, found.name, found.place + " · " + size_words(found.bytes), false},
        {Do::open_pack, found.path});
  }
  if (shelf.found.empty()) {
    std::string where;
    for (const PackPlace& place : shelf.places) where += (where.empty() ? "" : ", ") + place.label;
    y += 1 + ui.paragraph(r.x, y + 1, r.w, Type::small, t.muted,
                          say("No pack here. Looked on: {0}.", where));
  }
  y += 2;
  y += group_word(ui, {r.x, y, r.w, 0}, tr("Taken in"));
  for (const TakenPack& taken : shelf.taken) {
    const std::string note = taken.there
                                 ? day_words(taken.when) + " · " + texts_words(taken.texts.size())
                                 : say("taken out {0}", day_words(taken.when));
    row({"taken:" + taken.folder, location_words(taken.location) + ": " + taken.name, note,
         taken.folder == view.taken},
        {Do::open_taken, taken.folder});
  }
  if (shelf.taken.empty())
    y += 1 + ui.paragraph(r.x, y + 1, r.w, Type::small, t.muted, tr("Nothing yet."));
  return y - r.y;
}

float draw_taken(Ui& ui, Rect r, const TakenPack& taken, Actions& out) {
  const Theme& t = ui.theme();
  float y = r.y + 1;
  y += ui.paragraph(r.x, y, r.w, Type::title, t.ink,
                    say("From {0}", location_words(taken.location))) +
       1;
  const auto line = [&](const std::string& label, const std::string& value) {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.ink,
                      std::vector<Run>{{label + "  ", true}, {value, false}});
  };
  line(tr("Pack"), taken.name);
  line(tr("Sealed there"), day_words(taken.sealed));
  line(taken.there ? tr("Taken in") : tr("Taken out again"),
       taken.who.empty() ? day_words(taken.when)
                         : say("{0}, by {1}", day_words(taken.when), taken.who));
  if (taken.newly_trusted)
    line(tr("Trust"), tr("its key was not known before; it was trusted with it"));
  line(tr("Pictures"), std::to_string(taken.photos));
  line(tr("Counts"), taken.counts ? tr("how often each held there") : tr("none"));
  y += 2;
  y += group_word(ui, {r.x, y, r.w, 0}, taken.there ? tr("What came") : tr("What had come"));
  const float high = std::max(15.0F, ui.metrics().target());
  for (const TakenText& text : taken.texts) {
    const Rect row{r.x, y, r.w, high};
    y += high;
    if (far_away(ui, row)) continue;
    const bool tip = text.key.first == shop::Kind::tip;
    const bool opens = tip && taken.there;
    if (opens && ui.pressed(row)) ui.fill(row, t.face);
    const float note_w = tip ? 0 : ui.width(Type::small, tr("part")) + 3;
    const float title_h = ui.paragraph_height(row.w - note_w - 4, Type::small_bold, text.title, 2);
    ui.paragraph(row.x + 1, row.y + (row.h - title_h) / 2, row.w - note_w - 4, Type::small_bold,
                 t.ink, text.title, 2);
    if (!tip)
      ui.text(row.right() - 1, row.y + row.h / 2 + ui.capitals(Type::small) / 2, Type::small,
              t.muted, tr("part"), Align::right);
    ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
    if (opens && ui.target("text:" + text.key.second, row))
      out.push_back({Do::open_tip, text.key.second});
  }
  return y - r.y;
}

float draw_key(Ui& ui, Rect r, const PacksView& view) {
  const Theme& t = ui.theme();
  float y = r.y + 1;
  y += ui.paragraph(r.x, y, r.w, Type::title, t.ink, tr("This terminal's key")) + 1;
  if (!view.key) {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, tr("Being read."));
    return y - r.y;
  }
  const OwnKey& key = *view.key;
  if (!key.failure.empty()) {
    y += ui.paragraph(r.x, y, r.w, Type::small, t.out_of_range, key.failure);
    return y - r.y;
  }
  y += ui.paragraph(
           r.x, y, r.w, Type::small, t.ink,
           tr("The other location needs it to know that a pack is from here. Read it out, or "
              "let a phone read the square.")) +
       2;
  const float side = std::min({r.w, 62.0F, std::max(40.0F, r.h - 44.0F)});
  draw_qr(ui, r.x, y, side, qr_of(key.line));
  const bool beside = r.w - side >= 45;
  const float x = beside ? r.x + side + 4 : r.x;
  const float w = beside ? r.w - side - 4 : r.w;
  float at = beside ? y : y + side + 2;
  // In groups of eight, so that it can be read out and compared.
  std::string grouped;
  for (std::size_t i = 0; i < key.line.size(); ++i) {
    if (i > 0 && i % 8 == 0) grouped += ' ';
    grouped += key.line[i];
  }
  at += ui.paragraph(x, at, w, Type::small, t.ink,
                     std::vector<Run>{{tr("Number") + std::string("  "), true}, {key.id, false}});
  at += ui.paragraph(x, at + 1, w, Type::text, t.ink, grouped) + 2;
  at +=
      ui.paragraph(x, at, w, Type::small, t.muted,
                   key.made ? tr("Made just now. The secret half stays in this user's own folder.")
                            : tr("The secret half stays in this user's own folder."));
  y = std::max(at, y + side);
  return y - r.y;
}

float draw_what_packs_are(Ui& ui, Rect r) {
  const Theme& t = ui.theme();
  float y = r.y + 1;
  const auto told = [&](std::string_view lead, std::string_view more) {
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.ink, lead);
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, more) + 2;
  };
  told(tr("A pack from another location"),
       tr("Put the stick in and tap the pack: it is looked at "
          "first, and nothing is changed until you "
          "take it in. It can be taken out again as one step."));
  told(tr("A pack for another location"),
       tr("Seal a pack: choose what goes, and it is written to the stick, signed and read back."));
  told(tr("Whom to trust"),
       tr("Compare the key they read out with the number on the screen, once. A pack that somebody "
          "changed on the way is refused."));
  return y - r.y;
}

}  // namespace

void packs_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const PacksView& view = state.packs;
  const bool phone = at.form == Form::phone;
  const TakenPack* taken = shown_pack(view);
  const ListAndDetail areas = list_and_detail(at);
  const bool list = !areas.in_turn || (taken == nullptr && !view.show_key);
  draw_heading(ui, at, tr("Packs"), tr("tips from other locations, and for them"));
  draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  if (!view.shelf) {
    ui.paragraph(areas.list.x, areas.list.y + 2, areas.list.w, Type::text, t.muted, tr("Looking."));
  } else if (list) {
    const float top = ui.begin_scroll("packs", areas.list);
    Rect r{areas.list.x, top, areas.list.w - 1, areas.list.h};
    if (phone) r.y += ui.paragraph(r.x, r.y + 1, r.w, Type::title, t.ink, tr("Packs")) + 1;
    r.y += work_block(ui, r, view);
    ui.end_scroll(r.y + draw_list(ui, r, view, out) - top + 2);
  }
  if (!areas.in_turn || !list) {
    if (at.form == Form::tall)
      ui.hline(areas.detail.x, areas.detail.y - 1.5F, areas.detail.w, 0.35F, t.ink);
    const float top = ui.begin_scroll("taken", areas.detail);
    const Rect r{areas.detail.x, top, areas.detail.w - 1, areas.detail.h};
    ui.end_scroll((view.show_key      ? draw_key(ui, r, view)
                   : taken != nullptr ? draw_taken(ui, r, *taken, out)
                                      : draw_what_packs_are(ui, r)) +
                  2);
  }
  std::vector<StripKey> keys{{"back", tr("Back"), {Do::back, {}}, ""}};
  keys.push_back({"more", tr("More"), {Do::menu, "packs more"}, phone ? " " : ""});
  if (at.form == Form::wide)
    keys.push_back({"again", tr("Look again"), {Do::open_packs, "again"}, ""});
  if (!phone) keys.push_back({"key", tr("Our key"), {Do::show_key, {}}, ""});
  const bool out_again = taken != nullptr && taken->there;
  draw_strip(
      ui, at, keys,
      out_again
          ? StripKey{"primary", tr("Take out"), {Do::undo_pack, taken->folder}, ""}
          : StripKey{"primary", phone ? tr("Seal") : tr("Seal a pack"), {Do::open_seal, {}}, ""},
      view.work == PackWork::none, out);
}

}  // namespace baylore::viewer
