// The rows of `baylore stats`, for people, as JSON and as CSV.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

#include "quality/standing.h"

namespace baylore::cli {

// One table: the rivals of a family or a component.
struct Table {
  std::string title;
  quality::Standing standing;
};

void print_table(const quality::History& history, const Table& table);
// What each choice really costs; prints why not where it is not told.
void print_costs(const quality::History& history, const Table& table, const quality::Rates& rates);

nlohmann::json to_json(const quality::History& history, const Table& table,
                       const quality::Rates& rates);

// The line of names, and a line for every rival.
std::string csv_names();
std::string csv_rows(const Table& table);

// "number", "brand", "grade", "lot".
std::string by_word(quality::By by);

}  // namespace baylore::cli
