// Prose of a tip: CommonMark through md4c into blocks of runs, and those onto the page.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "viewer/ui/ui.h"

namespace baylore::viewer {

struct ProseBlock {
  enum class Kind { paragraph, item, heading, code, row } kind = Kind::paragraph;
  int depth = 0;       // of lists
  std::string marker;  // "1." or "•" of an item's first block
  std::vector<Run> runs;
};

// Pictures and mark lines are left out: the Tip screen shows them beside. Raw HTML is shown as
// text.
std::vector<ProseBlock> prose_of(std::string_view markdown);
// The same text without its marks, for one-line uses.
std::string plain_of(std::string_view markdown);
// Inline marks of a single paragraph.
std::vector<Run> runs_of(std::string_view markdown);

// Draws the blocks; returns the height.
float draw_prose(Ui& ui, float x, float y, float w, Type type, Colour colour,
                 const std::vector<ProseBlock>& blocks);

}  // namespace baylore::viewer
