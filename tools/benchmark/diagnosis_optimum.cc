// The planner against the exact optimum. A case is small enough to value every course of action:
// each check not yet done, each repair not yet tried, after every answer; the least expected
// minutes of all courses are found by dynamic programming over (answers so far, repairs tried). The
// planner's own course is valued over the same tree.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>

#include <fmt/format.h>

#include "bootstrap.h"
#include "diagnosis.h"
#include "diagnosis/strength.h"

namespace baylore::benchmark {
namespace {

using diagnosis::kNone;
using diagnosis::Plan;
using diagnosis::Problem;
using diagnosis::Weights;

// Answers to each check and repairs tried.
struct State {
  unsigned answers = 0;  // base 3: 0 not done, 1 outside, 2 inside
  unsigned tried = 0;    // bits
};

class Tree {
 public:
  explicit Tree(const Problem& problem) : p_(problem) {}

  double optimum() { return best({}); }
  double planned() { return course({}); }
  // What a check's answers alone come to with the likeliest first, for scale.
  double repairs_only() {
    double left = 1;
    double sum = 0;
    for (const std::size_t cause : diagnosis::repair_order(p_.weights, p_.repair_minutes)) {
      left -= p_.weights[cause];
      sum += p_.repair_minutes[cause] * std::max(left, 0.0);
    }
    return sum;
  }

 private:
  [[nodiscard]] unsigned answer(const State& state, std::size_t check) const {
    unsigned rest = state.answers;
    for (std::size_t k = 0; k < check; ++k) rest /= 3;
    return rest % 3;
  }
  static State after(const State& state, std::size_t check, unsigned answer) {
    unsigned step = 1;
    for (std::size_t k = 0; k < check; ++k) step *= 3;
    return {state.answers + step * answer, state.tried};
  }

  // Probability of the state's answers and of none of its repairs being right, cause by cause: the
  // weights, not normalised.
  [[nodiscard]] Weights weights(const State& state) const {
    Weights weights = p_.weights;
    for (std::size_t k = 0; k < p_.checks.size(); ++k) {
      const unsigned got = answer(state, k);
      if (got == 0) continue;
      for (std::size_t i = 0; i < weights.size(); ++i)
        weights[i] *= got == 1 ? p_.checks[k].outside[i] : 1 - p_.checks[k].outside[i];
    }
    for (std::size_t i = 0; i < weights.size(); ++i) {
      if ((state.tried >> i & 1U) != 0) weights[i] = 0;
    }
    return weights;
  }

  [[nodiscard]] std::vector<bool> open(const State& state) const {
    std::vector<bool> open;
    for (std::size_t k = 0; k < p_.checks.size(); ++k) {
      if (answer(state, k) == 0) continue;
      for (const auto& [cover, minutes] : p_.checks[k].covers) {
        if (open.size() <= cover) open.resize(cover + 1, false);
        open[cover] = true;
      }
    }
    return open;
  }

  [[nodiscard]] double minutes(const State& state, std::size_t check) const {
    const std::vector<bool> off = open(state);
    double sum = p_.checks[check].minutes;
    for (const auto& [cover, cost] : p_.checks[check].covers) {
      if (cover >= off.size() || !off[cover]) sum += cost;
    }
    return sum;
  }

  static double total(const Weights& weights) {
    double sum = 0;
    for (const double weight : weights) sum += weight;
    return sum;
  }

  // Minutes until the right repair begins, times the probability of the state.
  double best(const State& state) {
    const auto key = std::pair(state.answers, state.tried);
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second;
    const Weights now = weights(state);
    const double all = total(now);
    double least = all > 0 ? 1e300 : 0;
    if (all > 0) {
      for (std::size_t i = 0; i < now.size(); ++i) {
        if ((state.tried >> i & 1U) != 0) continue;
        const State wrong{state.answers, state.tried | 1U << i};
        const double rest = all - now[i];
        least = std::min(least, rest * p_.repair_minutes[i] + (rest > 1e-15 ? best(wrong) : 0));
      }
      for (std::size_t k = 0; k < p_.checks.size(); ++k) {
        if (answer(state, k) != 0) continue;
        least = std::min(
            least, all * minutes(state, k) + best(after(state, k, 1)) + best(after(state, k, 2)));
      }
    }
    return known_[key] = least;
  }

  // The same for what the planner does.
  double course(const State& state) {
    Weights now = weights(state);
    const double all = total(now);
    if (all <= 1e-15) return 0;
    Problem here;
    here.weights = now;
    diagnosis::normalise(here.weights);
    here.repair_minutes = p_.repair_minutes;
    here.open = open(state);
    for (std::size_t i = 0; i < now.size(); ++i) here.tried.push_back((state.tried >> i & 1U) != 0);
    std::vector<std::size_t> place;
    for (std::size_t k = 0; k < p_.checks.size(); ++k) {
      if (answer(state, k) != 0) continue;
      here.checks.push_back(p_.checks[k]);
      place.push_back(k);
    }
    const Plan plan = diagnosis::make_plan(here);
    if (plan.check != kNone) {
      const std::size_t k = place[plan.check];
      return all * minutes(state, k) + course(after(state, k, 1)) + course(after(state, k, 2));
    }
    const double rest = all - now[plan.repair];
    return rest * p_.repair_minutes[plan.repair] +
           course({state.answers, state.tried | 1U << plan.repair});
  }

  const Problem& p_;
  std::map<std::pair<unsigned, unsigned>, double> known_;
};

Problem small_case(std::mt19937_64& random) {
  const auto below = [&](std::size_t count) { return random() % count; };
  Problem problem;
  for (std::size_t n = 3 + below(3); n > 0; --n) {
    problem.weights.push_back(1 + static_cast<double>(below(10)));
    problem.repair_minutes.push_back(diagnosis::kPartForNothingMinutes + 10 +
                                     10 * static_cast<double>(below(20)));
  }
  diagnosis::normalise(problem.weights);
  for (std::size_t k = 3 + below(4); k > 0; --k) {
    diagnosis::PlanCheck check;
    check.minutes = 2 + static_cast<double>(below(30));
    check.fact = k;
    if (below(3) == 0) check.covers.emplace_back(below(2), 3 + static_cast<double>(below(12)));
    const double elsewhere = 0.05 + 0.3 * static_cast<double>(below(100)) / 100;
    check.outside.assign(problem.weights.size(), elsewhere);
    for (std::size_t speaks = 1 + below(2); speaks > 0; --speaks) {
      const auto strength = diagnosis::kStrengths.at(below(diagnosis::kStrengths.size()));
      const double odds = elsewhere / (1 - elsewhere) * strength.ratio * strength.ratio;
      check.outside[below(check.outside.size())] = odds / (1 + odds);
    }
    problem.checks.push_back(std::move(check));
  }
  return problem;
}

}  // namespace

bool compare_with_optimum(int count) {
  std::mt19937_64 random(11);
  std::vector<double> ratios;
  double ours = 0;
  double least = 0;
  double bare = 0;
  for (int i = 0; i < count; ++i) {
    const Problem problem = small_case(random);
    Tree tree(problem);
    const double optimum = tree.optimum();
    const double planned = tree.planned();
    ratios.push_back(planned / optimum);
    ours += planned;
    least += optimum;
    bare += tree.repairs_only();
  }
  std::sort(ratios.begin(), ratios.end());
  const Interval mean = bootstrap(ratios);
  const auto over =
      static_cast<int>(ratios.end() - std::upper_bound(ratios.begin(), ratios.end(), 1.1));
  fmt::print(
      "{} cases of 3 to 5 causes and 3 to 6 checks against the exact optimum\n"
      "  minutes to the right cause: optimum {:.1f}, diagnosis {:.1f}, repairs without checks "
      "{:.1f}\n"
      "  ratio case by case: mean {:.4f} ({:.4f} to {:.4f}), median {:.4f}, 95th percentile "
      "{:.4f}, "
      "worst {:.4f}; {} of {} beyond 1.1\n",
      count, least / count, ours / count, bare / count, mean.mean, mean.low, mean.high,
      quantile(ratios, 0.5), quantile(ratios, 0.95), ratios.back(), over, count);
  return ratios.back() <= 1.1;
}

}  // namespace baylore::benchmark
