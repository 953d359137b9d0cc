// What the verbs about packs print alike.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "pack/merge.h"
#include "pack/reason.h"

namespace baylore::cli {

// Words from elsewhere for a terminal: what would command the terminal becomes a question mark.
std::string plain(std::string_view words);

nlohmann::json to_json(const std::vector<pack::Reason>& reasons);
nlohmann::json to_json(const std::vector<pack::Difference>& differences);

// Each place with ours and theirs, line by line; those that are among the conflicts are told.
void print_differences(const std::vector<pack::Difference>& differences,
                       const std::vector<pack::Difference>& conflicts);

// Whether the folder is a shop; if not, that is said.
bool is_shop(const std::string& folder);

// "2026-03-14", the day here.
std::string today();

}  // namespace baylore::cli
