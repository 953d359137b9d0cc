// Finds the vehicle in the pieces of a line: make, model, years, engine.
#pragma once

#include <vector>

#include "search/language.h"
#include "search/line.h"
#include "search/understand.h"

namespace baylore::search {

// Marks the pieces it takes. Only whole names count, and names written together or apart
// (`corvanehauler`, `F 9` for `F-9`). A make or model that is also a word for a part or a fault
// counts only next to another word about the vehicle.
Vehicle take_vehicle(std::vector<Piece>& pieces, const Language& language);

}  // namespace baylore::search
