// What the verbs share: the shop's store, brought up to date, and the way trouble is told.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

#include "files/result.h"
#include "shop/finding.h"
#include "store/build.h"
#include "store/store.h"
#include "trade/parsed.h"
#include "verbs.h"

namespace baylore::cli {

// One line on standard error.
void complain(const std::string& line);
void complain(const files::Failure& failure);
// What could not be read in an argument, and at which character: `--thread M6x9:4: what: remedy`.
// `option` is empty for an argument without a name.
void complain(const std::string& option, const std::string& text, const trade::Refusal& refusal);

// An argument that does not go with the others, told as the parser tells it: kCouldNotRun.
int misused(const std::string& argument, const std::string& what);

// Brings the store up to date and opens it. Nothing, and said why, when that is not possible.
struct Opened {
  store::Store store;
  store::Report report;
};
std::optional<Opened> open(const Common& common, const store::Options& options = {});

nlohmann::json to_json(const shop::Finding& finding);
nlohmann::json to_json(const std::vector<shop::Fit>& fits);

// Two blanks of indentation, invalid UTF-8 replaced, a newline at the end.
void print(const nlohmann::json& json);

// "1 tip", "12 tips".
std::string counted(std::int64_t count, const std::string& one);

}  // namespace baylore::cli
