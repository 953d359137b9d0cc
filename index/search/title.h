// Matched words in a title as it was authored.
#pragma once

#include <string_view>
#include <vector>

#include "search/search.h"

namespace baylore::search {

// The stretches of the words at these positions (from 0, as the index counts words), in order. Byte
// offsets are those of the authored title, whatever folding does to its length.
std::vector<Span> spans_of(std::string_view title, std::vector<int> positions);

}  // namespace baylore::search
