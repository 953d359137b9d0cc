// What Help says about each screen.
#pragma once

#include <string>
#include <vector>

#include "viewer/state/state.h"

namespace baylore::viewer {

struct HelpLine {
  std::string word;  // a key or a part of the screen
  std::string text;
};
struct HelpText {
  std::string title;
  std::vector<HelpLine> lines;
};
// Every screen has one.
const HelpText& help_text(Screen screen);

}  // namespace baylore::viewer
