#include "quality/cost.h"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <limits>

namespace baylore::quality {

ExpectedCost expected_cost(const Choice& choice, double confidence) {
  const double comeback = choice.comeback.sum();
  const Interval share = interval(choice.share, confidence);
  ExpectedCost cost;
  cost.mean = choice.price + choice.share.mean() * comeback;
  cost.interval = {choice.price + share.low * comeback, choice.price + share.high * comeback};
  // The mean of p/(1-p) under Beta(a, b) is a/(b-1): putting in the mean of p would say too little.
  cost.until_good = choice.share.b > 1
                        ? choice.price + choice.share.a / (choice.share.b - 1) * comeback
                        : std::numeric_limits<double>::infinity();
  return cost;
}

std::optional<double> break_even_share(const Choice& a, const Choice& b) {
  if (a.comeback.sum() <= 0) return std::nullopt;
  const double share = (expected_cost(b).mean - a.price) / a.comeback.sum();
  if (share < 0 || share > 1) return std::nullopt;
  return share;
}

double chance_costs_more(const Choice& a, const Choice& b) {
  const double cost_a = a.comeback.sum();
  const double cost_b = b.comeback.sum();
  if (cost_a <= 0 && cost_b <= 0) return a.price > b.price ? 1 : 0;
  if (cost_b <= 0) return 1 - at_most(a.share, (b.price - a.price) / cost_a);
  if (cost_a <= 0) return at_most(b.share, (a.price - b.price) / cost_b);
  // A costs more when its share is above what B's cost leaves room for. Over the quantiles of B, in
  // pieces: below the first bend A is the dearer however good it is, above the second never.
  const double first = at_most(b.share, (a.price - b.price) / cost_b);
  const double second = at_most(b.share, (a.price + cost_a - b.price) / cost_b);
  const auto integrand = [&](double s) {
    const double u = first + (second - first) * s * s * (3 - 2 * s);
    if (u <= 0 || u >= 1) return 0.0;
    const double room = (b.price + quantile(b.share, u) * cost_b - a.price) / cost_a;
    return (1 - at_most(a.share, room)) * (second - first) * 6 * s * (1 - s);
  };
  const double chance = first + boost::math::quadrature::gauss_kronrod<double, 31>::integrate(
                                    integrand, 0.0, 1.0, 8, 1e-9);
  return std::clamp(chance, 0.0, 1.0);
}

}  // namespace baylore::quality
