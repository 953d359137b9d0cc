// What a job leaves for a tip: the symptom as typed, codes, vehicle, the readings that decided it,
// the part that was fitted. The author trims instead of typing.
#pragma once

#include <string_view>

#include <string>

#include "job/job.h"
#include "search/understand.h"
#include "shop/document.h"
#include "shop/outcome.h"

namespace baylore::job {

// The title of a tip that nobody has given one yet.
inline constexpr std::string_view kUntitled = "New tip";

// A new tip from a job; `line` is the job's line as understood now. `outcome` may be nullptr: the
// job is still going on. A repair-order number, initials and the bay stay out of it: tips travel.
shop::Document tip_from(const Job& job, const search::Understood& line,
                        const shop::Outcome* outcome);

}  // namespace baylore::job
