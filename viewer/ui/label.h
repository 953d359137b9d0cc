// The words on keys.
#pragma once

#include <string_view>

#include "viewer/ui/ui.h"

namespace baylore::viewer {

// A word in the middle of a key. One that is too wide takes small_bold, and then breaks at a blank
// into two lines where the key is high enough.
void label_in(Ui& ui, Rect rect, Type type, Colour colour, std::string_view label);

}  // namespace baylore::viewer
