// Lines as technicians type them, made from the tips of a shop: some of the vehicle, some of the
// complaint, now and then a code, in no fixed order and without the small words.
#pragma once

#include <string>
#include <vector>

#include "random.h"
#include "shop/tip.h"

namespace baylore::benchmark {

// One line of two to six words that this tip could answer. Every fourth has a word of `other`,
// which the tip need not have: people remember wrongly.
std::string typed_line(const shop::Tip& tip, const shop::Tip& other, Random& random);

}  // namespace baylore::benchmark
