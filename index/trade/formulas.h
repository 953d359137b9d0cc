// The trade's formulas by name, with what each takes and gives: what `baylore work-out` and the
// terminal's Work out offer. The formulas themselves, their ranges and sources are in the headers
// beside this one.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "trade/unit.h"

namespace baylore::trade {

// One thing to be given.
struct Input {
  std::string_view name;  // on the command line: `name=value`
  const Unit* unit;       // of the number the formula takes; nullptr for a plain number
  std::string_view what;
  enum class Need { required, optional, list } need = Need::required;
  std::string_view otherwise = {};  // used when it is not given
};

// Values in the order of the inputs; none for an optional one that was not given.
using Values = std::vector<std::vector<double>>;

// A number, or words where the formula reads several numbers together.
struct Result {
  std::string name;
  double value = 0;
  const Unit* unit = nullptr;
  std::string says = {};  // when not empty, instead of the number
};

struct Formula {
  std::string_view name;
  std::string_view what;
  std::vector<Input> inputs;
  // Empty: there is no such thing (a division by zero, out of range).
  std::vector<Result> (*work_out)(const Values& values);
  std::string_view note = {};  // what the number is not
};

const std::vector<Formula>& formulas();

}  // namespace baylore::trade
