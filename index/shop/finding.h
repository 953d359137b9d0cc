// What is wrong in a file, where, and what to do. Printed as `file:line:column: what is wrong: what
// to do`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::shop {

enum class Level { error, warning, note };

struct Finding {
  std::string file;  // relative to the shop
  int line = 1;      // from 1
  int column = 1;    // from 1, in code points
  Level level = Level::error;
  std::string rule;     // short and stable: "front-matter", "unknown-key", "expect" ...
  std::string message;  // what is wrong
  std::string remedy;   // what to do

  [[nodiscard]] std::string text() const;
};

using Findings = std::vector<Finding>;

std::string_view level_word(Level level);

}  // namespace baylore::shop
