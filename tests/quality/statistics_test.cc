// What the statistics do apart from reproducing published numbers (outside/quality_test.cc): their
// edges, their refusals, and how often they are right on average.

#include "doctest/doctest.h"

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

#include "quality/compare.h"
#include "quality/cost.h"
#include "quality/interval.h"
#include "quality/shrink.h"
#include "quality/survival.h"
#include "quality/weibull.h"
#include "trade/near.h"

using namespace baylore::quality;

TEST_CASE("intervals of nothing, of none and of all") {
  CHECK(jeffreys(0, 0, 0.9).low == 0);
  CHECK(jeffreys(0, 0, 0.9).high == 1);
  CHECK(wilson(3, 2, 0.9).high == 1);  // more hits than there were: nothing is claimed
  CHECK(wilson(3, 2, 0.9).low == 0);
  CHECK(jeffreys(0, 31, 0.9).low == 0);
  CHECK(jeffreys(31, 31, 0.9).high == 1);
  CHECK(jeffreys(0, 1e7, 0.9).high < 1e-6);
  // Outside what is asked for, all is open.
  struct Row {
    double hits, of, confidence;
  };
  for (const Row& row : {Row{-0.25, 5, 0.9}, Row{1, -5, 0.9}, Row{2, 5, 0}, Row{2, 5, 1},
                         Row{2, 5, -1}, Row{2, 5, 2}, Row{2, INFINITY, 0.9}, Row{NAN, 5, 0.9}}) {
    CAPTURE(row.hits);
    CAPTURE(row.of);
    CAPTURE(row.confidence);
    for (const Interval& open :
         {wilson(row.hits, row.of, row.confidence), jeffreys(row.hits, row.of, row.confidence)}) {
      CHECK(open.low == 0);
      CHECK(open.high == 1);
    }
  }
}

TEST_CASE("how many of the next come back: as many as can be asked for") {
  const Beta share = jeffreys_posterior(3, 40);
  CHECK(next_hits(share, -1).empty());
  CHECK(next_hits(share, 1001).empty());
  CHECK(next_hits(share, 0).size() == 1);
  for (const int of : {0, 1, 7, 1000}) {
    CAPTURE(of);
    const std::vector<double> p = next_hits(share, of);
    REQUIRE(p.size() == static_cast<std::size_t>(of) + 1);
    double sum = 0, mean = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
      sum += p[i];
      mean += p[i] * static_cast<double>(i);
    }
    CHECK(near(sum, 1, 1e-9));
    // The beta-binomial's mean: so many times the share's.
    CHECK(near(mean, of * share.a / (share.a + share.b), 1e-9));
  }
}

TEST_CASE("95 % of Jeffreys' intervals hold the share, averaged over shares") {
  // Shares drawn from Beta(1/2, 1/2): the quantiles of the arc sine law.
  std::mt19937_64 dice(20261125);
  std::uniform_real_distribution<double> even(0, 1);
  for (const int n : {5, 20, 100}) {
    int held = 0;
    constexpr int kDraws = 4000;
    std::vector<Interval> intervals;
    for (int x = 0; x <= n; ++x) intervals.push_back(jeffreys(x, n, 0.95));
    for (int draw = 0; draw < kDraws; ++draw) {
      const double p = std::pow(std::sin(even(dice) * 1.5707963267948966), 2);
      const int x = std::binomial_distribution<int>(n, p)(dice);
      const Interval& interval = intervals[static_cast<std::size_t>(x)];
      held += interval.low <= p && p <= interval.high ? 1 : 0;
    }
    CAPTURE(n);
    CHECK(held >= 0.93 * kDraws);
    CHECK(held <= 0.97 * kDraws);
  }
}

TEST_CASE("a share against itself, and against one far away") {
  CHECK(near(chance_greater({0.5, 0.5}, {0.5, 0.5}), 0.5, 1e-8));
  CHECK(near(chance_greater({0.5, 1000}, {0.5, 1000}), 0.5, 1e-8));
  CHECK(chance_greater(jeffreys_posterior(500, 1000), jeffreys_posterior(1, 1000)) > 1 - 1e-9);
  CHECK(chance_greater(jeffreys_posterior(0, 5), jeffreys_posterior(0, 50000)) > 0.9);
  CHECK(fisher_exact(-1, 2, 3, 4).two_sided == 1);
  CHECK(fisher_exact(0, 0, 3, 4).two_sided == 1);
  CHECK(std::isnan(fisher_exact(0, 5, 0, 7).conditional_odds_ratio));
  CHECK(fisher_exact(0, 5, 3, 4).conditional_odds_ratio == 0);
  CHECK(near(fisher_exact(400, 99600, 300, 99700).greater, 8.5e-5, 0.1));  // normal: z = 3.79
}

TEST_CASE("lives of nothing, and times that cannot be") {
  CHECK(kaplan_meier({}).steps.empty());
  CHECK_FALSE(kaplan_meier({}).at(0).has_value());
  const Curve curve = kaplan_meier({{-1, true}, {std::nan(""), true}, {3, false}});
  CHECK(curve.count == 1);
  CHECK(curve.at(3) == 1.0);
  CHECK_FALSE(curve.median().has_value());
  CHECK(kaplan_meier({{1, true}, {2, true}}).median() == 1.5);
  CHECK(log_rank({}, {{1, true}}).p == 1);
  CHECK(log_rank({{1, true}}, {{1, true}}).a_worse > 0.4);
}

TEST_CASE("a Weibull life is refused with the reason") {
  const auto why = [](const std::vector<Life>& lives) {
    const auto fit = fit_weibull(lives);
    return std::holds_alternative<NoFit>(fit) ? std::get<NoFit>(fit).why : "fitted";
  };
  CHECK(why({}) == "nothing failed yet");
  CHECK(why({{3, false}}) == "nothing failed yet");
  CHECK(why({{3, true}, {9, false}}) == "1 failure: two at different times are needed");
  CHECK(why({{3, true}, {3, true}}) == "2 failures at one time: two at different times are needed");
  CHECK(why({{0, true}, {3, true}}) == "a time that is not above 0");
  CHECK(why({{1, true}, {1 + 1e-13, true}}) == "the failures lie too close together for a curve");
  const auto fit = fit_weibull({{1, true}, {2, true}, {9, false}});
  REQUIRE(std::holds_alternative<WeibullFit>(fit));
  CHECK(std::get<WeibullFit>(fit).few);
}

TEST_CASE("early, random and late failures are told apart") {
  std::mt19937_64 dice(7);
  const auto drawn = [&](double shape) {
    std::weibull_distribution<double> life(shape, 20);
    std::vector<Life> lives;
    for (int i = 0; i < 400; ++i) {
      const double time = life(dice);
      lives.push_back(time < 24 ? Life{time, true} : Life{24, false});
    }
    return std::get<WeibullFit>(fit_weibull(lives));
  };
  CHECK(wear_of(drawn(0.6)) == Wear::early);
  CHECK(wear_of(drawn(3)) == Wear::late);
  CHECK(drawn(1).shape_interval(0.99).low < 1);
  CHECK(drawn(1).shape_interval(0.99).high > 1);
  const WeibullFit fit = drawn(3);
  CHECK(near(fit.failed_by(fit.time_when(0.3)), 0.3, 1e-12));
  CHECK(fit.time_interval(0.3, 0.9).low < fit.time_when(0.3));
  // At 63.2 % failed the time is the scale, and its doubt the scale's.
  const double share = 1 - std::exp(-1);
  CHECK(near(fit.time_interval(share, 0.9).high, fit.scale_interval(0.9).high, 1e-9));
}

TEST_CASE("brands are drawn toward their component's mean, the little known most") {
  // Ten brands that scatter, of very different numbers.
  const std::vector<Count> brands = {{2, 100}, {9, 110}, {1, 60},  {14, 90}, {3, 120},
                                     {0, 40},  {6, 75},  {11, 80}, {2, 95},  {1, 2}};
  const Scatter scatter = scatter_of(brands);
  REQUIRE(scatter.estimated);
  const double mean = scatter.mean;
  CHECK(mean > 0.03);
  CHECK(mean < 0.10);
  // One of two is no verdict: nearer the mean than to one half.
  const double little = scatter.of({1, 2}).mean();
  CHECK(little < 0.5 * (0.5 + mean));
  // One of many keeps to itself.
  CHECK(std::fabs(scatter.of({14, 90}).mean() - 14.0 / 90) < 0.4 * (14.0 / 90 - mean));
  // The estimate is the highest point: no neighbour is higher.
  const double best = log_belief(brands, scatter.mean, scatter.strength);
  for (const double m : {0.97, 1.03}) {
    CHECK(log_belief(brands, scatter.mean * m, scatter.strength) < best);
    CHECK(log_belief(brands, scatter.mean, scatter.strength * m) < best);
  }
}

TEST_CASE("brands that are too few, or of which none failed, say so") {
  CHECK_FALSE(scatter_of({}).estimated);
  CHECK_FALSE(scatter_of({{1, 20}, {3, 30}}).estimated);
  CHECK(near(scatter_of({{1, 20}, {3, 29}}).mean, 4.5 / 50, 1e-12));
  const Scatter none = scatter_of({{0, 20}, {0, 30}, {0, 40}});
  CHECK_FALSE(none.estimated);
  CHECK(none.mean < 0.01);
  // Brands exactly alike are drawn in more than brands that are not.
  CHECK(scatter_of({{5, 100}, {5, 100}, {5, 100}, {5, 100}}).strength >
        2 * scatter_of({{0, 100}, {9, 100}, {1, 100}, {10, 100}}).strength);
}

TEST_CASE("rat tumours: the scatter as by another method") {
  // Tarone, Biometrics 38, 1982: tumours in 71 groups of rats, as Gelman et al. use them (Bayesian
  // Data Analysis, table 5.1), typed from memory. Their moments give Beta(1.4, 8.6); their figure
  // of the marginal posterior peaks near a / (a + b) = 0.14 and a + b around 14. The likelihood
  // alone, found here on a grid.
  const std::vector<Count> rats = {
      {0, 20}, {0, 20}, {0, 20},  {0, 20},  {0, 20},  {0, 20},  {0, 20},  {0, 19},  {0, 19},
      {0, 19}, {0, 19}, {0, 18},  {0, 18},  {0, 17},  {1, 20},  {1, 20},  {1, 20},  {1, 20},
      {1, 19}, {1, 19}, {1, 18},  {1, 18},  {2, 25},  {2, 24},  {2, 23},  {2, 20},  {2, 20},
      {2, 20}, {2, 20}, {2, 20},  {2, 20},  {1, 10},  {5, 49},  {2, 19},  {5, 46},  {3, 27},
      {2, 17}, {7, 49}, {7, 47},  {3, 20},  {3, 20},  {2, 13},  {9, 48},  {10, 50}, {4, 20},
      {4, 20}, {4, 20}, {4, 20},  {4, 20},  {4, 20},  {4, 20},  {10, 48}, {4, 19},  {4, 19},
      {4, 19}, {5, 22}, {11, 46}, {12, 49}, {5, 20},  {5, 20},  {6, 23},  {5, 19},  {6, 22},
      {6, 20}, {6, 20}, {6, 20},  {16, 52}, {15, 47}, {15, 46}, {9, 24},  {4, 14}};
  const Scatter scatter = scatter_of(rats);
  REQUIRE(scatter.estimated);
  CHECK(std::fabs(scatter.mean - 0.142) < 0.004);
  CHECK(scatter.strength > 9);
  CHECK(scatter.strength < 20);
  double best = -1e300, best_mean = 0, best_strength = 0;
  for (double mean = 0.10; mean < 0.20; mean += 0.001) {
    for (double strength = 5; strength < 30; strength += 0.25) {
      const double here = log_belief(rats, mean, strength);
      if (here <= best) continue;
      best = here;
      best_mean = mean;
      best_strength = strength;
    }
  }
  CHECK(std::fabs(scatter.mean - best_mean) <= 0.001);
  CHECK(std::fabs(scatter.strength - best_strength) <= 0.25);
}

TEST_CASE("costs at the edges") {
  const Beta few = jeffreys_posterior(1, 20);
  const Beta many = jeffreys_posterior(8, 20);
  CHECK(chance_costs_more({50, many, {100, 0, 0}}, {50, few, {100, 0, 0}}) ==
        doctest::Approx(chance_greater(many, few)).epsilon(1e-6));
  CHECK(chance_costs_more({50, few, {}}, {40, few, {}}) == 1);
  CHECK(chance_costs_more({50, few, {}}, {40, few, {100, 0, 0}}) ==
        doctest::Approx(at_most(few, 0.1)).epsilon(1e-6));
  // By draws: a 42 for 8 of 20, b 78 for 1 of 20, 207 and 243 a comeback.
  std::mt19937_64 dice(3);
  const auto drawn = [&](const Beta& of) {
    const double x = std::gamma_distribution<double>(of.a, 1)(dice);
    return x / (x + std::gamma_distribution<double>(of.b, 1)(dice));
  };
  int dearer = 0;
  constexpr int kDraws = 100000;
  for (int i = 0; i < kDraws; ++i) dearer += 42 + 207 * drawn(many) > 78 + 243 * drawn(few) ? 1 : 0;
  CHECK(std::fabs(chance_costs_more({42, many, {207, 0, 0}}, {78, few, {243, 0, 0}}) -
                  static_cast<double>(dearer) / kDraws) < 0.006);
  CHECK_FALSE(break_even_share({50, few, {}}, {60, few, {}}).has_value());
  CHECK_FALSE(break_even_share({90, few, {10, 0, 0}}, {60, few, {10, 0, 0}}).has_value());
  CHECK(std::isinf(expected_cost({50, {3, 0.5}, {100, 0, 0}}).until_good));
}
