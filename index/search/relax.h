// What an answer could not keep of its line, said plainly: no line is a dead end, and none is
// answered with something else in silence.
#pragma once

#include <string>
#include <vector>

#include "search/search.h"

namespace baylore::search {

// What fell short. All empty: the answer is to the line as it stands.
struct Shortfall {
  std::vector<std::string> unknown;             // words that no tip has, as typed
  std::vector<std::string> missing;             // words that the nearest tip lacks, as typed
  std::vector<std::string> codes;               // codes that no tip lists
  std::vector<std::string> near_codes;          // of those tips that are shown for them
  Vehicle vehicle;                              // asked for, when nothing that was found fits it
  FitVerdict nearest = FitVerdict::no_vehicle;  // of the tips shown instead
  bool by_vehicle = false;  // nothing has a word or code of the line: the vehicle's own tips
};

// "No tip has “flurble”. None for 2016: other years are shown." Empty when nothing fell short.
std::string said(const Shortfall& shortfall);

}  // namespace baylore::search
