#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"
#include "trade/formulas.h"
#include "trade/quantity.h"

namespace baylore::cli {
namespace {

using trade::Formula;
using trade::formulas;
using trade::Input;
using trade::Result;
using trade::Values;

std::string inputs_text(const Formula& formula) {
  std::string text;
  for (const Input& input : formula.inputs) {
    const std::string unit = input.unit != nullptr ? std::string(input.unit->symbol) : "number";
    const bool optional = input.need == Input::Need::optional;
    text += fmt::format(" {}{}={}{}", optional ? "[" : "", input.name, unit, optional ? "]" : "");
  }
  return text;
}

int list_all(bool json) {
  nlohmann::json out = nlohmann::json::array();
  for (const Formula& formula : formulas()) {
    nlohmann::json inputs = nlohmann::json::array();
    for (const Input& input : formula.inputs) {
      inputs.push_back({{"name", std::string(input.name)},
                        {"unit", input.unit != nullptr ? std::string(input.unit->symbol) : ""},
                        {"what", std::string(input.what)},
                        {"required", input.need != Input::Need::optional}});
    }
    out.push_back({{"name", std::string(formula.name)},
                   {"what", std::string(formula.what)},
                   {"inputs", inputs}});
    if (!json) {
      fmt::print("{}{}\n    {}\n", formula.name, inputs_text(formula), formula.what);
      for (const Input& input : formula.inputs)
        fmt::print("      {}: {}\n", input.name, input.what);
    }
  }
  if (json) print(out);
  return kDone;
}

std::optional<double> number_in(const Input& input, std::string_view text) {
  const auto say = [&](const trade::Refusal& refusal) {
    complain(std::string(input.name), std::string(text), refusal);
  };
  if (input.unit == nullptr) {
    const auto number = trade::parse_number(text);
    if (const double* value = trade::value_in(number)) return *value;
    say(trade::reason_in(number));
    return std::nullopt;
  }
  const auto reading = trade::parse_reading(text, *input.unit);
  if (const trade::Quantity* value = trade::value_in(reading)) {
    return trade::convert(value->value, *value->unit, *input.unit);
  }
  say(trade::reason_in(reading));
  return std::nullopt;
}

// The numbers of one input; nothing when they cannot be read.
std::optional<std::vector<double>> numbers_in(const Input& input, std::string_view text) {
  std::vector<double> numbers;
  std::size_t from = 0;
  while (from <= text.size()) {
    const std::size_t end =
        input.need == Input::Need::list ? std::min(text.find(';', from), text.size()) : text.size();
    const auto number = number_in(input, text.substr(from, end - from));
    if (!number) return std::nullopt;
    numbers.push_back(*number);
    from = end + 1;
  }
  return numbers;
}

// Every input in the formula's own unit; nothing, and said why, when one is missing or wrong.
std::optional<Values> values_of(const Formula& formula, const std::vector<std::string>& given) {
  std::map<std::string, std::string, std::less<>> named;
  for (const std::string& each : given) {
    const std::size_t equals = each.find('=');
    const std::string name = each.substr(0, equals);
    const bool known = std::any_of(formula.inputs.begin(), formula.inputs.end(),
                                   [&](const Input& input) { return input.name == name; });
    if (equals == std::string::npos || !known) {
      complain(fmt::format("{}: {} is not asked for: it takes{}", formula.name, each,
                           formula.inputs.empty() ? " nothing" : inputs_text(formula)));
      return std::nullopt;
    }
    if (!named.emplace(name, each.substr(equals + 1)).second) {
      complain(fmt::format("{}: {} is given twice: give it once", formula.name, name));
      return std::nullopt;
    }
  }
  Values values;
  for (const Input& input : formula.inputs) {
    const auto text = named.find(input.name);
    const std::string_view used =
        text != named.end() ? std::string_view(text->second) : input.otherwise;
    if (text == named.end() && used.empty()) {
      if (input.need == Input::Need::optional) {
        values.emplace_back();
        continue;
      }
      complain(fmt::format("{}: {} is missing ({}): it takes{}", formula.name, input.name,
                           input.what, inputs_text(formula)));
      return std::nullopt;
    }
    auto numbers = numbers_in(input, used);
    if (!numbers) return std::nullopt;
    values.push_back(std::move(*numbers));
  }
  return values;
}

int work_out(const std::string& name, const std::vector<std::string>& given, bool json) {
  if (name.empty()) return list_all(json);
  const auto formula = std::find_if(formulas().begin(), formulas().end(),
                                    [&](const Formula& one) { return one.name == name; });
  if (formula == formulas().end()) {
    complain(name + ": nothing of this name: baylore work-out lists them all");
    return kCouldNotRun;
  }
  const std::optional<Values> values = values_of(*formula, given);
  if (!values) return kCouldNotRun;
  const std::vector<Result> results = formula->work_out(*values);
  if (results.empty()) {
    complain(fmt::format("{}: no such thing with these numbers: check them and their units", name));
    return kCouldNotRun;
  }
  nlohmann::json list = nlohmann::json::array();
  for (const Result& result : results) {
    const std::string shown = !result.says.empty()     ? result.says
                              : result.unit != nullptr ? trade::shown({result.value, result.unit})
                                                       : trade::shown_number(result.value);
    if (!result.says.empty()) {
      list.push_back({{"name", result.name}, {"shown", shown}});
      if (!json) fmt::print("{}: {}\n", result.name, shown);
      continue;
    }
    list.push_back({{"name", result.name},
                    {"value", result.value},
                    {"unit", result.unit != nullptr ? std::string(result.unit->symbol) : ""},
                    {"shown", shown}});
    if (!json) fmt::print("{}: {}\n", result.name, shown);
  }
  if (json) {
    print({{"name", name}, {"results", list}, {"note", std::string(formula->note)}});
  } else if (!formula->note.empty()) {
    fmt::print("{}\n", formula->note);
  }
  return kDone;
}

}  // namespace

void add_work_out(Arguments& arguments) {
  Verb verb =
      arguments.verb("work-out", "Electrical, fuel trim and altitude sums; alone it lists them");
  const auto name = std::make_shared<std::string>();
  const auto given = std::make_shared<std::vector<std::string>>();
  verb.text("NAME", *name, "Which one, as in drop");
  verb.texts("GIVEN", *given, "What is known, as in volts=0.2 amps=150");
  verb.runs([name, given](const Common& common) { return work_out(*name, *given, common.json); });
}

}  // namespace baylore::cli
