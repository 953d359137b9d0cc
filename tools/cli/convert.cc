#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"
#include "trade/expectation.h"
#include "trade/quantity.h"

namespace baylore::cli {
namespace {

// The unit of the last word, in the meaning that fits what is converted: a number of degrees is a
// point on the scale.
int convert(const std::vector<std::string>& words, bool json) {
  if (words.size() < 2) {
    complain(
        "the unit to convert into is missing: write it last, as in \"80 lbf\xC2\xB7"
        "ft\" N\xC2\xB7m");
    return kCouldNotRun;
  }
  std::string text;
  for (std::size_t i = 0; i + 1 < words.size(); ++i) {
    if (i > 0 && i + 2 == words.size() && words[i] == "to") continue;
    text += (text.empty() ? "" : " ") + words[i];
  }
  const auto to = trade::read_unit(words.back());
  if (trade::value_in(to) == nullptr) {
    complain("", words.back(), trade::reason_in(to));
    return kCouldNotRun;
  }
  const trade::Unit& unit = **trade::value_in(to);
  const auto other_dimension = [&](const trade::Unit& from) {
    if (from.dimension == unit.dimension) return false;
    complain(fmt::format("{} is {}, {} is {}: convert into a unit of {}", from.symbol,
                         trade::dimension_name(from.dimension), unit.symbol,
                         trade::dimension_name(unit.dimension),
                         trade::dimension_name(from.dimension)));
    return true;
  };

  const auto read = trade::parse_quantity(text);
  if (const trade::Quantity* quantity = trade::value_in(read)) {
    if (other_dimension(*quantity->unit)) return kCouldNotRun;
    const trade::Quantity result{trade::convert(quantity->value, *quantity->unit, unit), &unit};
    if (json) {
      print({{"value", result.value},
             {"unit", std::string(unit.symbol)},
             {"shown", trade::shown(result)},
             {"from", trade::authored(*quantity)}});
    } else {
      fmt::print("{} = {}\n", trade::authored(*quantity), trade::shown(result));
    }
    return kDone;
  }

  // A range keeps its ends inside.
  const auto expected = trade::parse_expectation(text);
  const trade::Expectation* range = trade::value_in(expected);
  if (range == nullptr || !range->is_range()) {
    complain("", text, trade::reason_in(read));
    return kCouldNotRun;
  }
  if (other_dimension(*range->unit)) return kCouldNotRun;
  const trade::ShownRange shown = trade::shown_range(range->low, range->high, *range->unit, unit);
  const std::string words_shown = trade::in_words_as(*range, unit);
  if (json) {
    nlohmann::json out = {{"low", nullptr},
                          {"high", nullptr},
                          {"unit", std::string(unit.symbol)},
                          {"shown", words_shown},
                          {"from", trade::in_words(*range)}};
    if (shown.low) out["low"] = *shown.low;
    if (shown.high) out["high"] = *shown.high;
    print(out);
  } else {
    fmt::print("{} = {}\n", trade::in_words(*range), words_shown);
  }
  return kDone;
}

}  // namespace

void add_convert(Arguments& arguments) {
  Verb verb = arguments.verb("convert", "A quantity or a range in another unit of the trade");
  const auto words = std::make_shared<std::vector<std::string>>();
  verb.texts("QUANTITY UNIT", *words, "What to convert, and the unit wanted").required();
  verb.runs([words](const Common& common) { return convert(*words, common.json); });
}

}  // namespace baylore::cli
