// A text that was changed here and at another location: both, place by place. A tap on a side lets
// it stand.
#include <algorithm>

#include "viewer/screens/pack_parts.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

// One side of a place as a key: chosen, its edge is the accent's and a hook says so.
float side_key(Ui& ui, float x, float y, float w, std::string_view id, std::string_view label,
               const std::string& text, const std::string& other, bool chosen, bool& tapped) {
  const Theme& t = ui.theme();
  const float in = 2;
  const float head = std::max(8.0F, ui.pitch(Type::small_bold) + 2.4F);
  // The height is known only once it is drawn; the face goes under the head alone.
  ui.fill({x, y, w, head}, chosen ? t.accent : t.face);
  const float base = y + head / 2 + ui.capitals(Type::small_bold) / 2;
  ui.text_in(x + in + 1, base, w - head - in, Type::small_bold, chosen ? t.on_accent : t.ink,
             label);
  if (chosen) ui.hook({x + w - head, y, head, head}, t.on_accent);
  const float h = side_block(ui, x + in, y + head + 1, w - 2 * in, text, other);
  const float all = std::max(head + h + 3, std::max(ui.finger(15), ui.metrics().target()));
  const Rect key{x, y, w, all};
  ui.hline(x, y + all, w, 0.35F, t.ink);
  if (ui.target(id, key)) tapped = true;
  return all;
}

}  // namespace

void settle_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const bool phone = at.form == Form::phone;
  const StripKey back{"back", tr("Back"), {Do::back, {}}, ""};
  if (!state.packs.settling) {
    draw_heading(ui, at, tr("Nothing to settle"), "");
    draw_strip(ui, at, {back}, {}, false, out);
    return;
  }
  const Settling& settling = *state.packs.settling;
  const OpenText& text = settling.text;
  const std::string& theirs = text.from;
  const std::string ours = text.start == text.ours ? tr("Ours") : tr("Put together");
  const std::size_t all = settling.places.size();
  const std::string under =
      text.alone()
          ? std::string(tr("a text without a name of its own"))
          : say_count("{0} place differs", "{0} places differ", static_cast<long>(all), all) +
                " · " + say("{0} from {1}", settling.taken.size(), theirs);
  draw_heading(ui, at, settling.text.title, under);
  draw_rule(ui, at, job_rule(state), "", "intake", Do::menu, out);
  const Rect view =
      phone ? at.main : Rect{at.left.x, at.left.y, at.right.right() - at.left.x, at.left.h};
  const float top = ui.begin_scroll("settle", view);
  const Rect r{view.x, top, view.w - 1, view.h};
  float y = top;
  if (phone) {
    y += ui.paragraph(r.x, y + 1, r.w, Type::title, t.ink, settling.text.title) + 1;
    y += ui.paragraph(r.x, y, r.w, Type::small, t.muted, under) + 1;
  }
  std::string said = tr(
      "Tap the side that is right at each place. Both versions are kept among the earlier ones.");
  if (text.alone())
    said =
        say("Two texts were given one name at two terminals. Settle gives this one a name of its "
            "own: {0}.",
            text.copy->path);
  if (!text.alone() && all == 0) said = tr("Nothing is left to decide: what both wrote is in it.");
  if (text.copy && !text.alone())
    said += " " + say("The other file, {0}, goes to the earlier versions.", text.copy->copy);
  y += ui.paragraph(r.x, y + 1, r.w, Type::small, t.ink, said) + 2;
  if (text.alone()) y += side_block(ui, r.x, y, r.w, text.theirs, {});
  const bool beside = r.w >= 90;
  const float column = beside ? (r.w - 4) / 2 : r.w;
  for (std::size_t i = 0; i < settling.places.size(); ++i) {
    const pack::Difference& place = settling.places[i];
    const bool taken = settling.taken.contains(i);
    const std::string number = std::to_string(i);
    y += ui.paragraph(r.x, y, r.w, Type::small_bold, t.accent, place.where) + 0.6F;
    bool ours_tapped = false;
    bool theirs_tapped = false;
    const float left = side_key(ui, r.x, y, column, "ours:" + number, ours, place.ours,
                                place.theirs, !taken, ours_tapped);
    const float x = beside ? r.x + column + 4 : r.x;
    const float below = beside ? y : y + left + 1.6F;
    const float right = side_key(ui, x, below, column, "theirs:" + number, theirs, place.theirs,
                                 place.ours, taken, theirs_tapped);
    y = beside ? y + std::max(left, right) : below + right;
    y += 4;
    if ((ours_tapped && taken) || (theirs_tapped && !taken))
      out.push_back({Do::settle_place, {}, static_cast<int>(i)});
  }
  ui.end_scroll(y - top + 2);
  const bool idle = state.packs.work == PackWork::none;
  std::vector<StripKey> keys{back};
  // A phone's strip has room for one of the two: the one that changes anything.
  const bool choose = all > 0;
  if (choose && (!phone || settling.taken.size() == all))
    keys.push_back({"ours", tr("All ours"), {Do::settle_all, {}, 0}, ""});
  if (choose && (!phone || settling.taken.size() < all))
    keys.push_back({"theirs", tr("All theirs"), {Do::settle_all, {}, 1}, ""});
  draw_strip(ui, at, keys, {"primary", idle ? tr("Settle") : tr("Settling"), {Do::settle, {}}, ""},
             idle, out);
}

}  // namespace baylore::viewer
