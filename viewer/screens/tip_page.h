// The Tip page as blocks, drawn one under the other. Each takes the page where it stands and leaves
// it below itself.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "viewer/screens/screens.h"

namespace baylore::viewer {

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
    if (!right.empty())
      ui.text_in(x + w, y + cap, w - lw - 3, Type::small, theme().muted, right, Align::right);
    y += ui.pitch(Type::small_bold) + 0.8F;
  }
  void divide() {
    ui.hline(x, y, w, 0.35F, theme().ink);
    y += 2.6F;
  }
};

// --- the first view: tip_top.cc
void cautions(Page& p);
void questions(Page& p);
void source(Page& p);
void broken_lines(Page& p);
void look_alikes(Page& p);
void found_row(Page& p);
void symptom(Page& p);
void one_check(Page& p, const shop::Check& check, std::size_t index, std::size_t count);

// --- the work: tip_work.cc
void location(Page& p);
void repair(Page& p);
void fasteners(Page& p);
void parts(Page& p);
void finish(Page& p);
void other_sections(Page& p);
void findings(Page& p);
void source_lines(Page& p);

}  // namespace baylore::viewer
