#include "diagnosis/plan.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

using namespace baylore::diagnosis;

TEST_CASE("impossible evidence never yields what is no number") {
  const Weights prior = {.5, .3, .2};
  CHECK(posterior(prior, {0, 0, 0}) == prior);
  CHECK(posterior(prior, {0, 1, 0}) == Weights{0, 1, 0});
  Weights none = {0, 0};
  CHECK_FALSE(normalise(none));
  CHECK(none == Weights{0, 0});
  Weights bad = {std::numeric_limits<double>::quiet_NaN(), 1};
  CHECK_FALSE(normalise(bad));
  for (const double p : {0.0, 1.0}) {
    const Split got = split({1, 0}, {p, 1 - p});
    CHECK(got.bits == 0);
    CHECK(std::isfinite(got.if_outside[0]));
    CHECK(std::isfinite(got.if_inside[0]));
  }
  CHECK(information_bits({.5, .5}, {0, 1}) == doctest::Approx(1));
  CHECK(entropy_bits({0.25, 0.25, 0.25, 0.25}) == doctest::Approx(2));
}

TEST_CASE("information is never negative and never more than there is to know") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> any(0, 1);
  for (int round = 0; round < 2000; ++round) {
    Weights weights;
    std::vector<double> outside;
    for (std::size_t n = 1 + random() % 8; n > 0; --n) {
      weights.push_back(random() % 4 == 0 ? 0 : any(random));
      outside.push_back(random() % 5 == 0 ? std::round(any(random)) : any(random));
    }
    if (!normalise(weights)) continue;
    const double bits = information_bits(weights, outside);
    REQUIRE(bits >= 0);
    REQUIRE(bits <= std::min(entropy_bits(weights), 1.0) + 1e-9);
    const Split got = split(weights, outside);
    REQUIRE(got.bits ==
            doctest::Approx(entropy_bits(weights) - got.outside * entropy_bits(got.if_outside) -
                            (1 - got.outside) * entropy_bits(got.if_inside))
                .epsilon(1e-9));
  }
}

TEST_CASE("an expensive repair is confirmed first, a cheap one is tried") {
  Problem problem;
  problem.weights = {.6, .4};
  problem.checks = {{{.95, .05}, 5, {}, 0, false}};
  problem.repair_minutes = {240, 240};
  CHECK(make_plan(problem).check == 0);
  problem.repair_minutes = {4, 240};
  const Plan cheap = make_plan(problem);
  CHECK(cheap.check == kNone);
  CHECK(cheap.repair == 0);
  CHECK(cheap.by_information == 0);
  CHECK(cheap.by_weight == 0);
}

TEST_CASE("the expected minutes are those of a tree worked by hand") {
  // Repairs of 100 minutes each, one check of 10 that is always right: 10 + 100.
  Problem problem;
  problem.weights = {.5, .5};
  problem.repair_minutes = {100, 100};
  problem.checks = {{{1, 0}, 10, {}, 0, false}};
  CHECK(make_plan(problem).expected_minutes == doctest::Approx(110));
  // Right in 9 of 10: after it the likelier repair first: 10 + 0.9 x 100 + 0.1 x 200.
  problem.checks = {{{.9, .1}, 10, {}, 0, false}};
  CHECK(make_plan(problem).expected_minutes == doctest::Approx(120));
  // Without checks: 100 for the first, and 100 more in half the cases.
  problem.checks.clear();
  const Plan bare = make_plan(problem);
  CHECK(bare.expected_minutes == doctest::Approx(150));
  CHECK(bare.repair == 0);
}

TEST_CASE("two checks under one cover are planned together, two of one fact are not") {
  // Neither check alone is worth its cover; both together are.
  Problem problem;
  problem.weights = {.4, .3, .3};
  problem.repair_minutes = {60, 60, 60};
  problem.checks = {{{.99, .01, .01}, 2, {{0, 20}}, 0, false},
                    {{.01, .99, .01}, 2, {{0, 20}}, 1, false}};
  const double shared = make_plan(problem).expected_minutes;
  problem.checks[1].covers = {{1, 20}};
  const double apart = make_plan(problem).expected_minutes;
  CHECK(shared < apart);
  problem.checks[1].covers = {{0, 20}};
  problem.checks[1].fact = 0;
  CHECK(make_plan(problem).expected_minutes > shared);
  problem.checks[1].fact = 1;
  problem.open = {true};
  CHECK(make_plan(problem).expected_minutes == doctest::Approx(shared - 20));
}

TEST_CASE("a repair that was tried is not proposed again") {
  Problem problem;
  problem.weights = {.9, .1};
  problem.repair_minutes = {10, 10};
  problem.tried = {true, false};
  CHECK(make_plan(problem).repair == 1);
  problem.tried = {true, true};
  const Plan nothing = make_plan(problem);
  CHECK(nothing.repair == kNone);
  CHECK(nothing.check == kNone);
}

// More checks than are all looked at to the end: those that are must hold the best first one.
TEST_CASE("of many checks none alone is better than the plan") {
  std::mt19937 random(29);
  std::uniform_real_distribution<double> any(0, 1);
  int alone = 0;
  for (int round = 0; round < 200; ++round) {
    Problem problem;
    const std::size_t causes = 3 + random() % 4;
    for (std::size_t i = 0; i < causes; ++i) {
      problem.weights.push_back(0.05 + any(random));
      problem.repair_minutes.push_back(20 + 200 * any(random));
    }
    REQUIRE(normalise(problem.weights));
    for (int fact = 0; fact < 24; ++fact) {
      PlanCheck check;
      for (std::size_t i = 0; i < causes; ++i) check.outside.push_back(any(random));
      check.minutes = 1 + 60 * any(random) * any(random);
      check.fact = static_cast<std::size_t>(fact);
      problem.checks.push_back(check);
    }
    const Plan plan = make_plan(problem);
    for (const PlanCheck& check : problem.checks) {
      Problem one = problem;
      one.checks = {check};
      const Plan with_one = make_plan(one);
      if (with_one.check == kNone) continue;
      ++alone;
      REQUIRE(plan.expected_minutes <= with_one.expected_minutes * (1 + 1e-6));
    }
  }
  CHECK(alone > 100);
}
