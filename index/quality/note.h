// Whether what somebody once wrote of a part still agrees with what became of it. Advice for the
// lead, who settles it; nothing is changed.
#pragma once

#include <string>
#include <string_view>

#include "quality/standing.h"

namespace baylore::quality {

enum class Leaning { none, avoid, praise };

// What a note beside a part says of it, by the trade's plain words (English): "avoid", "do not
// fit", "comes back", "never again" ...; "lasts", "the best", "never had one back" ... Words that
// are denied ("not the best") do not count, nor do they of a way to work ("avoid touching the
// glass", "do not fit without the spacer"). A note that has both kinds, or neither, leans nowhere.
Leaning leaning_of(std::string_view note);

// From so many windows' worth of parts on, none or few back speak against "avoid".
inline constexpr double kEnoughToClear = 20;
inline constexpr double kHardlyWorse = 0.25;

// In words where the evidence says the opposite, empty where it agrees or is too little:
// "note says avoid; 0 of 31 came back" when the part is no worse than its rivals, kEnoughToClear
// are known, and none failed or it is worse than the others with kHardlyWorse at most; "note
// praises it; 9 of 40 came back, clearly worse" when it is judged worse.
std::string contradiction(std::string_view note, const Rival& rival);

}  // namespace baylore::quality
