// From a complaint to a case: the tips of the store that may be the cause.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "diagnosis/case.h"
#include "diagnosis/experience.h"
#include "search/search.h"
#include "store/store.h"

namespace baylore::diagnosis {

struct Complaint {
  search::Vehicle vehicle;  // what the line says about the vehicle adds to it
  std::string line;         // as typed; codes in it count
  std::vector<std::string> dropped;
  std::string when;  // intake answers
  std::string often;
  std::string after;
  std::map<std::string, std::string> codes;  // code -> stored, pending, permanent, or empty
};

inline constexpr std::size_t kMostCauses = 50;

// The causes are the tips that search finds for the words and codes and that fit the vehicle or
// nearly do, and the look-alikes they name; withdrawn ones and tips for other models are left out.
// What they start with: the records' shares (experience.h) times
//   words    1/3 .. 3, by the tip's part of the best score ("hints" at either end)
//   vehicle  "hints against" when the tip names other years or another engine
//   codes    "suggests" for a stored or permanent code it lists, "hints" for a pending one, "hints
//            against" when codes were read and none of those it lists is among them
//   when     "hints" when it names the same condition as the complaint
// Reads the store; not for the drawing thread.
Case find_case(const store::Store& store, const Complaint& complaint, const Experience& experience);

}  // namespace baylore::diagnosis
