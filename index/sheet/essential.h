// The sheet's essential text: what has to be at hand where the screen is not, for a code that a
// telephone reads without a network.
#pragma once

#include <string>

#include "sheet/sheet.h"

namespace baylore::sheet {

// Plain lines, each complete in itself: title, what it fits, codes, warnings; cautions in full, one
// a line; checks with what they should find; fasteners with torque in both units; parts; who
// decides, who wrote it. The words of the tip are not shortened; how to do a check and a repair is
// left to the PDF. No line is empty, the last one has no line feed.
std::string essential_text(const Sheet& sheet);

}  // namespace baylore::sheet
