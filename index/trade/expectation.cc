#include "trade/expectation.h"

#include <array>
#include <cmath>

#include "trade/marked.h"
#include "trade/scan.h"

namespace baylore::trade {
namespace {

enum class Bound { kAtLeast, kMoreThan, kAtMost, kLessThan };

struct BoundWord {
  std::string_view word;
  Bound bound;
};

// Longer ones first where one starts another.
constexpr std::array kBoundSigns = {
    BoundWord{">=", Bound::kAtLeast}, BoundWord{"=>", Bound::kAtLeast},
    BoundWord{"<=", Bound::kAtMost},  BoundWord{"=<", Bound::kAtMost},
    BoundWord{">", Bound::kMoreThan}, BoundWord{"<", Bound::kLessThan},
};
constexpr std::array kBoundWords = {
    BoundWord{"at least", Bound::kAtLeast},
    BoundWord{"not less than", Bound::kAtLeast},
    BoundWord{"no less than", Bound::kAtLeast},
    BoundWord{"not under", Bound::kAtLeast},
    BoundWord{"not below", Bound::kAtLeast},
    BoundWord{"minimum", Bound::kAtLeast},
    BoundWord{"min", Bound::kAtLeast},
    BoundWord{"at most", Bound::kAtMost},
    BoundWord{"not more than", Bound::kAtMost},
    BoundWord{"no more than", Bound::kAtMost},
    BoundWord{"not over", Bound::kAtMost},
    BoundWord{"not above", Bound::kAtMost},
    BoundWord{"up to", Bound::kAtMost},
    BoundWord{"maximum", Bound::kAtMost},
    BoundWord{"max", Bound::kAtMost},
    BoundWord{"more than", Bound::kMoreThan},
    BoundWord{"greater than", Bound::kMoreThan},
    BoundWord{"over", Bound::kMoreThan},
    BoundWord{"above", Bound::kMoreThan},
    BoundWord{"less than", Bound::kLessThan},
    BoundWord{"under", Bound::kLessThan},
    BoundWord{"below", Bound::kLessThan},
};
constexpr std::array kBoundEndings = {
    BoundWord{" or more", Bound::kAtLeast}, BoundWord{" or over", Bound::kAtLeast},
    BoundWord{" minimum", Bound::kAtLeast}, BoundWord{" min", Bound::kAtLeast},
    BoundWord{" or less", Bound::kAtMost},  BoundWord{" or under", Bound::kAtMost},
    BoundWord{" maximum", Bound::kAtMost},  BoundWord{" max", Bound::kAtMost},
};

Expectation bounded(Bound bound, const scan::Span& span) {
  Expectation out;
  out.unit = span.unit;
  const bool low = bound == Bound::kAtLeast || bound == Bound::kMoreThan;
  (low ? out.low : out.high) = span.low;
  out.low_excluded = bound == Bound::kMoreThan;
  out.high_excluded = bound == Bound::kLessThan;
  return out;
}

// The one value in [from, to) as the end of an open range.
Parsed<Expectation> open_range(const scan::Folded& plain, Bound bound, std::size_t from,
                               std::size_t to) {
  const Parsed<scan::Span> read = scan::span_within(plain, from, to);
  if (value_in(read) == nullptr) return reason_in(read);
  if (!value_in(read)->single) {
    return scan::refuse(plain, from, "two ends after `at least` or `at most`",
                        "write `A .. B` for a range with two ends");
  }
  return bounded(bound, *value_in(read));
}

Parsed<Expectation> closed_range(const scan::Folded& plain, const scan::Span& span) {
  const double larger = std::max(std::fabs(span.low), std::fabs(span.high));
  if (span.high - span.low < 1e-6 * larger) {
    return scan::refuse(plain, 0, "the range is narrower than any instrument can tell",
                        "write a wider range");
  }
  Expectation out;
  out.low = span.low;
  out.high = span.high;
  out.unit = span.unit;
  return out;
}

// `between A and B UNIT` is read as `A .. B UNIT`; nullopt when the text is no such thing.
std::optional<scan::Folded> between(const scan::Folded& plain) {
  constexpr std::string_view kBetween = "between ";
  const std::string low = scan::lowered(plain.view());
  if (!low.starts_with(kBetween) || !scan::number_starts(low, kBetween.size())) return std::nullopt;
  const std::size_t middle = low.find(" and ");
  if (middle == std::string::npos) return std::nullopt;
  scan::Folded range = plain;
  range.text.replace(middle, 5, " ..  ");
  range.text.erase(0, kBetween.size());
  range.at.erase(range.at.begin(), range.at.begin() + static_cast<std::ptrdiff_t>(kBetween.size()));
  return range;
}

std::string ends_in_words(const Expectation& expectation, const std::string& low,
                          const std::string& high, const Unit& unit) {
  std::string after = unit.id == UnitId::kDegree ? "" : " ";
  after += unit.symbol;
  if (expectation.low && expectation.high) return low + " to " + high + after;
  if (expectation.low) {
    return expectation.low_excluded ? "more than " + low + after : low + after + " or more";
  }
  return expectation.high_excluded ? "less than " + high + after : high + after + " or less";
}

}  // namespace

// Order of reading: comparison signs; comparison words, which count only when a number follows
// (`over 5 V` is a range, `over the lip` an answer); `between`; a text that starts with a number
// must be a range; everything else is a plain answer.
Parsed<Expectation> parse_expectation(std::string_view text) {
  const Parsed<scan::Folded> folded = scan::fold(text, 200);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  const std::string_view view = plain.view();
  const std::size_t end = view.size();
  if (view.empty()) {
    return Refusal{0, "the expected value is missing",
                   "write a range with a unit, as in `13.5 .. 14.8 V`, or a plain answer"};
  }
  for (const BoundWord& sign : kBoundSigns) {
    if (view.starts_with(sign.word)) {
      return open_range(plain, sign.bound, scan::skip_blanks(view, sign.word.size()), end);
    }
  }
  const std::string low = scan::lowered(view);
  for (const BoundWord& word : kBoundWords) {
    if (!low.starts_with(word.word)) continue;
    std::size_t next = word.word.size();
    if (next < end && (view[next] == '.' || view[next] == ':')) ++next;
    next = scan::skip_blanks(view, next);
    if (next > word.word.size() && scan::number_starts(view, next)) {
      return open_range(plain, word.bound, next, end);
    }
  }
  if (const std::optional<scan::Folded> range = between(plain)) {
    const Parsed<scan::Span> read = scan::span_within(*range, 0, range->text.size());
    if (value_in(read) == nullptr) return reason_in(read);
    return closed_range(plain, *value_in(read));
  }
  if (scan::number_starts(view, 0)) {
    for (const BoundWord& ending : kBoundEndings) {
      if (!low.ends_with(ending.word)) continue;
      const std::size_t before = end - ending.word.size();
      const bool has_unit =
          scan::is_letter(view[before - 1]) || view[before - 1] == '%' || view[before - 1] == '"';
      // `95 min` alone is a time in minutes; `95 kPa min` has its unit before the word.
      if (has_unit || ending.word.starts_with(" or ")) {
        return open_range(plain, ending.bound, 0, before);
      }
    }
    const Parsed<scan::Span> read = scan::span_within(plain, 0, end);
    if (value_in(read) == nullptr) return reason_in(read);
    if (value_in(read)->single) {
      return scan::refuse(plain, 0, "one value is not a range",
                          "write `A .. B`, `>= A`, `<= A` or `A ± B` with the unit");
    }
    return closed_range(plain, *value_in(read));
  }
  const char head = view.front();
  const bool ascii_sign = static_cast<unsigned char>(head) < 0x80 && !scan::is_letter(head) &&
                          head != '(' && head != '"' && head != '\'';
  if (ascii_sign) {
    return scan::refuse(plain, 0, "neither a range nor an answer in words",
                        "write a range as in `13.5 .. 14.8 V`, or start with a word");
  }
  Expectation answer;
  const std::size_t first = plain.at.front();
  const std::size_t last = plain.at.back();
  answer.plain = std::string(text.substr(first, last - first));
  return answer;
}

std::string in_words(const Expectation& expectation) {
  if (!expectation.is_range()) return expectation.plain;
  return ends_in_words(expectation, expectation.low ? authored_number(*expectation.low) : "",
                       expectation.high ? authored_number(*expectation.high) : "",
                       *expectation.unit);
}

std::string in_words_as(const Expectation& expectation, const Unit& other) {
  if (!expectation.is_range() || expectation.unit->dimension != other.dimension) return "";
  const ShownRange range = shown_range(expectation.low, expectation.high, *expectation.unit, other);
  return ends_in_words(expectation, range.low_text, range.high_text, other);
}

std::string_view standing_word(Standing standing) {
  switch (standing) {
    case Standing::kInRange:
      return marked("in range");
    case Standing::kLow:
      return marked("low");
    case Standing::kHigh:
      return marked("high");
    case Standing::kOnTheEdge:
      return marked("on the edge");
  }
  return "";
}

Parsed<Verdict> judge(const Expectation& expectation, const Quantity& reading, double accuracy) {
  if (!expectation.is_range()) {
    return Refusal{0, "this check has a plain answer, not a range", "answer it in words"};
  }
  if (reading.unit == nullptr || reading.unit->dimension != expectation.unit->dimension) {
    return Refusal{
        0,
        "the reading does not measure " + std::string(dimension_name(expectation.unit->dimension)),
        "enter it in " + std::string(expectation.unit->symbol)};
  }
  if (!std::isfinite(reading.value)) {
    return Refusal{0, "the reading is not a number", "enter it again"};
  }
  const double doubt = accuracy >= 0 && accuracy <= 0.5 ? accuracy : 0.01;
  Verdict verdict;
  verdict.reading = convert(reading.value, *reading.unit, *expectation.unit);
  const double value = verdict.reading;

  // At each end: is the reading past it, and is it nearer to it than the instrument can tell?
  bool edge = false;
  const auto look_at = [&](double limit, bool past, Standing side) {
    const double half = doubt * std::fabs(limit);
    if (past) {
      verdict.inside = false;
      verdict.standing = side;
      verdict.beyond = std::fabs(value - limit);
      verdict.doubt_at_end = half;
    }
    if (half > 0 && std::fabs(value - limit) <= half) {
      edge = true;
      if (verdict.inside) verdict.doubt_at_end = half;
    }
  };
  if (expectation.low) {
    const double limit = *expectation.low;
    look_at(limit, expectation.low_excluded ? value <= limit : value < limit, Standing::kLow);
  }
  if (expectation.high) {
    const double limit = *expectation.high;
    look_at(limit, expectation.high_excluded ? value >= limit : value > limit, Standing::kHigh);
  }
  // Past one end the other one says nothing, however wide its doubt.
  if (!verdict.inside) edge = verdict.doubt_at_end > 0 && verdict.beyond <= verdict.doubt_at_end;
  if (edge) verdict.standing = Standing::kOnTheEdge;
  return verdict;
}

std::string in_words(const Expectation& expectation, const Verdict& verdict) {
  if (!expectation.is_range() || verdict.inside) return "within the range";
  const bool under = expectation.low && verdict.reading <= *expectation.low;
  const std::string by = shown(Quantity{verdict.beyond, expectation.unit});
  return by + (under ? " under the range" : " over the range");
}

}  // namespace baylore::trade
