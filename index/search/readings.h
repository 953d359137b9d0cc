// Finds what was measured in the pieces of a line: `9.6 V`, `80 ft-lb`, `2000rpm`.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "search/line.h"

namespace baylore::search {

// A number with its unit.
struct Reading {
  std::string typed;  // "80ft-lb"
  std::string shown;  // "80 lbf·ft"
  // The ways it stands in a tip's text, folded words each: {"9", "6", "v"}, {"9", "6v"}.
  std::vector<std::vector<std::string>> wordings;
  bool operator==(const Reading&) const = default;
};

struct FoundReading {
  std::size_t first = 0;  // piece
  std::size_t count = 1;
  Reading reading;
};

// Marks the pieces it takes. A number alone is no reading, nor are things that are counted (`3
// clicks`), nor a number before a word that only looks like a unit (`2 in gear`, `cyl 2 a bit
// rough`).
std::vector<FoundReading> take_readings(std::string_view line, std::vector<Piece>& pieces);

}  // namespace baylore::search
