// A number that was measured, held against what a check expects under the conditions it was
// measured in.
#pragma once

#include <optional>
#include <string>

#include "trade/correction.h"
#include "trade/expectation.h"

namespace baylore::diagnosis {

struct Held {
  std::optional<trade::Verdict> verdict;     // nothing: it could not be judged
  std::optional<trade::Quantity> quantity;   // the reading
  std::optional<trade::Expectation> expect;  // as corrected for `measured`
  std::string reason;   // why the range is another than written: "for 60 °C instead of 20 °C"
  std::string words;    // "13 kPa under the range"
  std::string trouble;  // why it could not be judged
};

// `value` is as typed, with or without its unit; `correct` is the check's correction and `measured`
// what it asks for, as typed; without `measured` the range counts as written. `doubt` is the
// meter's relative doubt, see trade::judge.
Held hold(const std::optional<trade::Expectation>& expect, const std::string& correct,
          const std::string& value, const std::string& measured, double doubt);

}  // namespace baylore::diagnosis
