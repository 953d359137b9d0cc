// Looks for what a person at the panel would trip over in one drawn frame: targets too small for
// the hand or lying over each other, texts cut, off the panel or over each other.
#pragma once

#include <string>
#include <vector>

#include "viewer/ui/ui.h"

namespace baylore::test {

// What one frame drew.
struct Drawn {
  viewer::Metrics metrics;
  std::vector<viewer::Item> items;
  std::vector<viewer::DrawnText> texts;
};
Drawn drawn(const viewer::Ui& ui);

// One line for each defect, such as "target 'clear': 19.0 x 8.1 at 90.0, 2.0". Empty: none.
std::vector<std::string> layout_defects(const Drawn& frame);

}  // namespace baylore::test
