#include "diagnosis/reading.h"

namespace baylore::diagnosis {
namespace {

// The value, or nothing and why.
template <typename T>
const T* value_or_why(const trade::Parsed<T>& parsed, std::string& why) {
  if (const trade::Refusal* refusal = trade::refusal_in(parsed))
    why = refusal->what + (refusal->remedy.empty() ? "" : ": " + refusal->remedy);
  return trade::value_in(parsed);
}

std::string condition_words(const trade::Correction& correction, const std::string& measured) {
  if (correction.kind == trade::Correction::Kind::kCopper) {
    return "for " + measured + " instead of " +
           trade::authored_number(correction.written_for_celsius) + " °C";
  }
  return "for a barometer of " + measured;
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
    held.trouble = "this check has no range to hold a number against";
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
  held.words = trade::in_words(*held.expect, *held.verdict);
  return held;
}

}  // namespace baylore::diagnosis
