// What the verbs about jobs read alike: vehicles, codes and tips as typed.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "search/understand.h"
#include "store/store.h"

namespace baylore::cli {

// The vehicle that `--vehicle` names, by the shop's vocabulary; nothing, and said why, when there
// are words in it that are none.
std::optional<search::Vehicle> read_vehicle(const std::string& text,
                                            const shop::Vocabulary& vocabulary);

// Codes as typed, `P0128`, `P0128:pending`, with commas between or one an option; each with its
// state, empty when not said. Nothing, and said why, when one is no code.
std::optional<std::map<std::string, std::string>> read_car_codes(
    const std::vector<std::string>& texts);

// The id of a tip named by id, slug or path; nothing, and said why, when it is not there or its
// file has no id of its own yet, which no record may name.
std::optional<std::string> read_tip_id(const std::string& text, const store::Store& store);

// `text` at the first `=`: what stands before and after it.
bool split_pair(const std::string& text, std::string& before, std::string& after);

}  // namespace baylore::cli
