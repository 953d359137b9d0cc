// When a fit line and a vehicle are the same car: the rules behind fit_of, shared with the ranking,
// which asks them of every different line of a shop once.
#pragma once

#include <string_view>

#include "search/understand.h"

namespace baylore::search {

// What one of them does not say is no contradiction.
bool same_name(std::string_view fit, std::string_view asked);
bool same_engine(std::string_view fit, std::string_view asked);

// Years between the vehicle's and the fit's, 0 in a fit being open; 0 when they meet, negative when
// the fit ends before.
int years_apart(int first_year, int last_year, const Vehicle& vehicle);

}  // namespace baylore::search
