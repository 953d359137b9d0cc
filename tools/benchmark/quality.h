// The measures of the parts' statistics: what `tools/bench quality` runs.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "quality/rivals.h"

namespace baylore::benchmark {

// Rivals that are equally good, or one that is not.
struct Family {
  int rivals = 20;
  int fewest = 3;  // parts a rival, drawn evenly on the logarithm
  int most = 120;
  double share = 0.05;  // come back within 12 months
  double shape = 1;     // of their Weibull lives
  double worse = 1;     // the first rival comes back so many times as often
  double years = 3;     // fitted evenly since a rival came on the market, some time in these
};
std::vector<std::vector<quality::Life>> drawn_family(const Family& family, std::uint64_t seed);

// How many of the intervals hold the share, at 5, 20, 100 and 500; false outside 93 to 97 %.
bool measure_coverage(int draws);

// In how many families of equal rivals one is called clearly worse, over shares, shapes and sizes;
// false above 2.5 % in any. Beside it how often one is called likely worse, and how often a bad one
// among them is found.
bool measure_verdicts(int families);

// 100,000 records of 25 families: read, gathered, one family, the whole shop; false above 20 ms for
// a family, 1 s for the shop, 150 MB.
bool measure_history();

}  // namespace baylore::benchmark
