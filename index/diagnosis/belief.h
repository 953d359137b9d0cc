// The arithmetic of weighing causes: Bayes' rule, entropy, information, and the order in which to
// try repairs. Pure functions on plain numbers; nothing here knows tips or words.
//
// One cause is at fault, and the answers of different checks are independent once the cause is
// given: what this cannot see is said to the reader (ledger.h).
#pragma once

#include <cstddef>
#include <vector>

namespace baylore::diagnosis {

// One weight a cause: not negative, together 1.
using Weights = std::vector<double>;

// Makes the weights sum to 1. False, and nothing changed, when they are all zero or one is no
// number: then there is nothing to divide by.
bool normalise(Weights& weights);

// The logarithm of the odds, 0 < p < 1.
double logit(double p);

// Shannon's entropy in bits (1948): 0 when one cause has all the weight, log2(n) when n are alike.
double entropy_bits(const Weights& weights);

// Bayes' rule: weights times the likelihood of what was seen under each cause, normalised. When
// what was seen is impossible under every cause, the weights stay as they were: an impossible
// answer tells that a likelihood is wrong, not which cause it is.
Weights posterior(const Weights& weights, const std::vector<double>& likelihood);

// What a check with two answers is expected to tell. `outside` is the probability of the answer
// "outside" under each cause, 0 .. 1.
struct Split {
  double outside = 0;  // probability of that answer now
  double bits = 0;     // expected information: entropy now minus expected entropy after; >= 0
  Weights if_outside;  // weights after each answer
  Weights if_inside;
};
Split split(const Weights& weights, const std::vector<double>& outside);
// The bits alone, without making the weights.
double information_bits(const Weights& weights, const std::vector<double>& outside);

// Repairs tried one after the other until one holds. With one cause, and minutes that do not depend
// on the order, the expected minutes are least in descending order of weight per minute (Simon and
// Kadane 1975, "Optimal problem-solving search"; Heckerman, Breese and Rommelse 1995,
// "Decision-theoretic troubleshooting"). Ties: the earlier index. Minutes must be positive.
std::vector<std::size_t> repair_order(const Weights& weights, const std::vector<double>& minutes);

// The expected minutes of trying repairs in `order`, the one that holds included: each repair's
// minutes times the weight that is left when it is reached.
double expected_minutes(const Weights& weights, const std::vector<double>& minutes,
                        const std::vector<std::size_t>& order);

}  // namespace baylore::diagnosis
