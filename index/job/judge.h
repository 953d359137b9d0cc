// A reading of a job held against what its check expects: in words, with the range as corrected for
// how it was measured.
#pragma once

#include <optional>
#include <string>

#include "job/job.h"
#include "shop/tip.h"
#include "trade/correction.h"
#include "trade/expectation.h"

namespace baylore::job {

struct Judged {
  enum class Kind {
    none,         // nothing taken yet
    judged,       // a number against a range
    yes,          // the plain answer was seen
    no,           // it was not
    not_showing,  // an intermittent fault is away just now: a good reading counts for nothing
    could_not,    // not to be had
    not_read,     // a number that could not be judged; `words` says why
  } kind = Kind::none;
  std::optional<trade::Verdict> verdict;     // of kind judged
  std::optional<trade::Expectation> expect;  // as corrected, where the check asks for it
  std::optional<trade::Quantity> quantity;   // the reading
  std::string words;   // "13 kPa under the range" ; the refusal of a reading that was not read
  std::string reason;  // why the range is another than written: "for 60 °C instead of 20 °C"
  std::string means;   // what the tip's strength words make of it: "suggests this cause"
};

// The relative doubt of a meter nobody stated: 1 %, common practice, no source.
inline constexpr double kMeterDoubt = 0.01;

// `expect`, `correct` and the strength words come from the check; a verification gives those of the
// check it repeats.
Judged judge(const shop::Check& check, const Reading* reading, double doubt = kMeterDoubt);

// A strength word as a sentence about `what`: "hints" and "this cause" give "hints at this cause".
std::string strength_words(const std::string& strength, const std::string& what);

// For Reading::said: whether it is what the check expects. Empty where a result says neither.
std::string said(const Judged& judged);

// "low", "in range", "on the edge", "not showing now" ...; empty for none.
std::string word(const Judged& judged);

}  // namespace baylore::job
