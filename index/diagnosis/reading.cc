#include "diagnosis/reading.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

// The value, or nothing and why.
template <typename T>
const T* value_or_why(const trade::Parsed<T>& parsed, std::string& why) {
  if (const trade::Refusal* refusal = trade::refusal_in(parsed))
    why = tr(refusal->what) + (refusal->remedy.empty() ? "" : ": " + tr(refusal->remedy));
  return trade::value_in(parsed);
}

std::string condition_words(const trade::Correction& correction, const std::string& measured) {
  if (correction.kind == trade::Correction::Kind::kCopper) {
    return say("for {0} instead of {1}", measured,
               trade::authored_number(correction.written_for_celsius) + " °C");
  }
  return say("for a barometer of {0}", measured);
}

// As trade::in_words() says it, in the language in use.
std::string where_it_lies(const trade::Expectation& expect, const trade::Verdict& verdict) {
  if (!expect.is_range() || verdict.inside) return tr("within the range");
  const bool under = expect.low && verdict.reading <= *expect.low;
  const std::string by = in_figures(trade::shown(trade::Quantity{verdict.beyond, expect.unit}));
  return under ? say("{0} under the range", by) : say("{0} over the range", by);
}

// The range as it should read under the condition it was measured in.
bool correct_range(const std::string& correct, const std::string& measured, Held& held) {
  std::string slip;
  const auto correction = trade::parse_correction(correct);
  const trade::Correction* how = value_or_why(correction, slip);
  if (how == nullptr) return true;  // the tip's own slip: the range counts as written
  const auto condition = trade::parse_quantity(measured);
  const trade::Quantity* under = value_or_why(condition, held.trouble);
  if (under == nullptr) return false;
  const auto corrected = trade::corrected(*held.expect, *how, *under);
  const trade::Expectation* expect = value_or_why(corrected, held.trouble);
  if (expect == nullptr) return false;
  held.expect = *expect;
  held.reason = condition_words(*how, measured);
  return true;
}

}  // namespace

Held hold(const std::optional<trade::Expectation>& expect, const std::string& correct,
          const std::string& value, const std::string& measured, double doubt) {
  Held held;
  held.expect = expect;
  if (!expect || !expect->is_range()) {
    held.trouble = tr("this check has no range to hold a number against");
    return held;
  }
  const auto parsed = trade::parse_reading(value, *expect->unit);
  const trade::Quantity* quantity = value_or_why(parsed, held.trouble);
  if (quantity == nullptr) return held;
  held.quantity = *quantity;
  if (!correct.empty() && !measured.empty() && !correct_range(correct, measured, held)) return held;
  const auto judged = trade::judge(*held.expect, *quantity, doubt);
  const trade::Verdict* verdict = value_or_why(judged, held.trouble);
  if (verdict == nullptr) return held;
  held.verdict = *verdict;
  held.words = where_it_lies(*held.expect, *held.verdict);
  return held;
}

}  // namespace baylore::diagnosis
