// A sentence of the program with what it is about in bold.
#pragma once

#include <string>
#include <vector>

#include "viewer/ui/ui.h"

namespace baylore::viewer {

// `pattern`, translated already, with its {0} in bold and {1} not, wherever the language has them.
std::vector<Run> runs_said(const std::string& pattern, const std::string& first,
                           const std::string& second = {});

}  // namespace baylore::viewer
