// What `baylore unpack` says of a pack, for people and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "pack/accept.h"
#include "pack/pack.h"
#include "pack/preview.h"

namespace baylore::cli {

std::string signer_text(const pack::Signed& signature);
nlohmann::json signer_json(const pack::Signed& signature);

void print_preview(const pack::Pack& opened, const pack::Preview& preview);
// The lists of JSON.md; texts that are here already are a number, for nobody asks which.
nlohmann::json preview_json(const pack::Pack& opened, const pack::Preview& preview);
nlohmann::json outcome_json(const pack::Outcome& outcome);

}  // namespace baylore::cli
