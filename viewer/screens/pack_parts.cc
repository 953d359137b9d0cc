#include "viewer/screens/pack_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "pack/diff.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

constexpr float kBeside = 90;  // wide enough for two columns of text

}  // namespace

ListAndDetail list_and_detail(const Layout& at) {
  const float right = at.right.right();
  const Rect whole{at.left.x, at.left.y, right - at.left.x, at.left.h};
  if (at.form == Form::phone || at.form == Form::small) return {true, whole, whole};
  if (at.form != Form::tall) return {false, at.left, at.right};
  const float upper = std::floor(whole.h * 0.42F);
  return {false,
          {whole.x, whole.y, whole.w, upper},
          {whole.x, whole.y + upper + 3, whole.w, whole.h - upper - 3}};
}

bool far_away(const Ui& ui, Rect row) {
  const Rect clip = ui.clip();
  return row.y > clip.bottom() + 2 * clip.h || row.bottom() < clip.y - 2 * clip.h;
}

bool pack_row(Ui& ui, Rect row, const PackRow& what) {
  const Theme& t = ui.theme();
  if (what.here || ui.pressed(row)) ui.fill(row, t.face);
  if (what.here) ui.fill({row.x, row.y, 1.2F, row.h}, t.accent);
  const float x = row.x + 2.6F;
  const float w = row.w - 3.6F;
  const float title_h = ui.paragraph_height(w, Type::small_bold, what.title, what.lines);
  const float note_h = what.note.empty() ? 0 : ui.pitch(Type::small);
  const float y = row.y + std::max(0.6F, (row.h - title_h - note_h) / 2 - 0.2F);
  ui.paragraph(x, y, w, Type::small_bold, t.ink, what.title, what.lines);
  if (!what.note.empty())
    ui.text_in(x, y + title_h + ui.capitals(Type::small), w, Type::small,
               what.here ? t.ink : t.muted, what.note);
  ui.hline(row.x, row.bottom(), row.w, 0.2F, t.rule);
  return ui.target(what.id, row);
}

float group_word(Ui& ui, Rect at, std::string_view word) {
  const Theme& t = ui.theme();
  ui.text_in(at.x, at.y + 2.2F + ui.capitals(Type::small_bold), at.w, Type::small_bold, t.accent,
             word);
  const float h = 3.6F + ui.capitals(Type::small_bold);
  ui.hline(at.x, at.y + h, at.w, 0.35F, t.ink);
  return h;
}

float side_block(Ui& ui, float x, float y, float w, const std::string& text,
                 const std::string& other) {
  const Theme& t = ui.theme();
  if (text.empty())
    return ui.paragraph(x + 2.4F, y, w - 2.4F, Type::small, t.muted, tr("not there"));
  const std::vector<std::string> lines = pack::lines_with_ends(text);
  const auto pairs = pack::matches(lines, pack::lines_with_ends(other));
  std::size_t next = 0;
  const float top = y;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const bool both = next < pairs.size() && pairs[next].first == i;
    if (both) ++next;
    std::string line(pack::bare(lines[i]));
    const bool heading = line.starts_with("## ") || line.starts_with("### ");
    if (heading && i == 0) continue;  // it is the place's name
    if (heading) line.erase(0, line.find(' ') + 1);
    if (line.empty()) {
      y += ui.pitch(Type::small) / 2;
      continue;
    }
    const bool only = !both && !other.empty();
    const float h = ui.paragraph(x + 2.4F, y, w - 2.4F,
                                 only || heading ? Type::small_bold : Type::small, t.ink, line);
    if (only) ui.fill({x, y + 0.2F, 0.9F, h - 0.6F}, t.accent);
    y += h;
  }
  return y - top;
}

float difference_block(Ui& ui, float x, float y, float w, const pack::Difference& place,
                       std::string_view ours, std::string_view theirs) {
  const Theme& t = ui.theme();
  const float top = y;
  ui.hline(x, y, w, 0.2F, t.rule);
  y += 1;
  y += ui.paragraph(x, y, w, Type::small_bold, t.accent, place.where) + 0.4F;
  const bool beside = w >= kBeside;
  const float column = beside ? (w - 4) / 2 : w;
  const auto side = [&](float at, float from, std::string_view label, const std::string& text,
                        const std::string& other) {
    float h = ui.paragraph(at + 2.4F, from, column - 2.4F, Type::small, t.muted, label);
    h += side_block(ui, at, from + h, column, text, other);
    return h;
  };
  const float left = side(x, y, ours, place.ours, place.theirs);
  if (beside) {
    const float right = side(x + column + 4, y, theirs, place.theirs, place.ours);
    ui.vline(x + column + 2, y, std::max(left, right), 0.2F, t.rule);
    y += std::max(left, right);
  } else {
    y += left + 1.2F;
    y += side(x, y, theirs, place.theirs, place.ours);
  }
  return y + 2 - top;
}

float work_block(Ui& ui, Rect at, const PacksView& view) {
  if (view.work == PackWork::none) return 0;
  const Theme& t = ui.theme();
  std::string words(work_word(view.work));
  const float part = view.progress.part();
  if (view.progress.all() > 0) {
    words += " · " + say("{0} % of {1}", std::lround(std::floor(part * 100)),
                         size_words(view.progress.all()));
    if (const std::string left = view.progress.left(); !left.empty()) words += " · " + left;
  }
  float y = at.y + 1;
  y += ui.paragraph(at.x, y, at.w, Type::text_bold, t.ink, words) + 1;
  if (part > 0) ui.fill({at.x, y, at.w * part, 2.7F}, t.accent);
  ui.hline(at.x, y + 2.7F, at.w, 0.2F, t.ink);
  y += 6;
  return y - at.y;
}

}  // namespace baylore::viewer
