// Help for each screen, in the shop's words: what it is for and what its keys do.
#include "viewer/screens/help_texts.h"
#include "viewer/screens/screens.h"
#include "viewer/ui/marks.h"
#include "words/words.h"

namespace baylore::viewer {

void help_screen(Ui& ui, const Layout& at, const State& state, Actions& out) {
  const Theme& t = ui.theme();
  const HelpText& help = help_text(state.help_of);
  draw_heading(ui, at, tr(help.title), tr("Help"));
  const float x = at.form == Form::phone ? at.main.x : 5.0F;
  // Lines as long as the eye follows: a wide panel keeps the right half free.
  const Rect page{x, at.left.y, ui.metrics().width() - 2 * x, at.left.h};
  const float w = std::min(page.w, 150.0F);
  const float top = ui.begin_scroll("help", page);
  float y = top + 1;
  if (at.form == Form::phone)
    y += ui.paragraph(x, y, w - 2, Type::title, t.ink, tr(help.title)) + 1;
  for (const HelpLine& line : help.lines) {
    y += ui.paragraph(x, y, w - 2, Type::small_bold, t.accent, tr(line.word));
    y += ui.paragraph(x, y, w - 2, Type::text, t.ink, tr(line.text)) + 2.2F;
  }
  ui.hline(x, y, w - 2, 0.35F, t.ink);
  y += 2;
  y += ui.paragraph(x, y, w - 2, Type::small, t.muted,
                    tr("The vehicle maker's service information, local codes and licensed practice "
                       "decide."));
  ui.end_scroll(y - top + 1);
  draw_strip(ui, at, {{"back", tr("Back"), {Do::back, {}}, ""}}, {}, false, out);
}

}  // namespace baylore::viewer
