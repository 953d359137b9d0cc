// What the choice of a part really costs: the price, and what a comeback costs as often as it
// comes. Money only. Never offered for parts that somebody's safety hangs on
// (shop::safety_critical): there grade and the maker's word decide.
#pragma once

#include <optional>

#include "quality/compare.h"
#include "quality/interval.h"

namespace baylore::quality {

// What a comeback inside the warranty window costs the shop, in its currency; all >= 0.
struct ComebackCost {
  double labour = 0;
  double part = 0;      // what the second part costs the shop: 0 where its maker replaces it
  double goodwill = 0;  // loan car, lost bay time, an apology
  [[nodiscard]] double sum() const { return labour + part + goodwill; }
};

struct Choice {
  double price = 0;
  Beta share;  // of comebacks inside the window
  ComebackCost comeback;
};

struct ExpectedCost {
  double mean = 0;        // price + mean share x comeback
  Interval interval;      // of the share alone, carried over
  double until_good = 0;  // when a replacement may come back too, and again: price + E[p/(1-p)] x
                          // comeback; infinite when the share may well be 1 (b <= 1)
};
ExpectedCost expected_cost(const Choice& choice, double confidence = kScreenConfidence);

// The share of comebacks of A from which on B is the cheaper: what may be added to A's price in
// comebacks until B's mean cost is reached. Nothing when a comeback of A costs nothing, or when the
// share would be below 0 (B is cheaper however good A is) or above 1 (A is, however bad).
std::optional<double> break_even_share(const Choice& a, const Choice& b);

// The probability that A costs more than B, the shares independent. Absolute error below 1e-6.
double chance_costs_more(const Choice& a, const Choice& b);

}  // namespace baylore::quality
