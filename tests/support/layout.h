// Looks for what a person at the panel would trip over in one drawn frame: targets too small for
// the hand or lying over each other, texts cut, off the panel or over each other.
#pragma once

#include <string>
#include <vector>

#include "viewer/ui/ui.h"

namespace baylore::test {

// One line for each defect, such as "target 'clear': 19.0 x 8.1 mm, too small". Empty: none.
std::vector<std::string> layout_defects(const viewer::Ui& ui);

}  // namespace baylore::test
