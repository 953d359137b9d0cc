// The trade's formulas by name, for `baylore work-out`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "trade/unit.h"

namespace baylore::cli {

// One thing to be given as `name=value`.
struct Input {
  std::string_view name;
  const trade::Unit* unit;  // of the number the formula takes; nullptr for a plain number
  std::string_view what;
  enum class Need { required, optional, list } need = Need::required;
  std::string_view otherwise = {};  // used when it is not given
};

// Values in the order of the inputs; none for an optional one that was not given.
using Values = std::vector<std::vector<double>>;

struct Result {
  std::string name;
  double value = 0;
  const trade::Unit* unit = nullptr;
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

}  // namespace baylore::cli
