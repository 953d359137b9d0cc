// The plan, step by step:
//   1. every check's bits and minutes; the check with the most bits a minute is one proposal
//   2. the cause with the most weight a minute of its repair is the other
//   3. every check's value one step ahead: its minutes, then the repairs in their order
//   4. the proposals and the best of both lists are valued two steps ahead: after each answer
//      another check may follow before the repairs; and three steps where checks are few
//   5. the least expected minutes win; where two are as good as equal, the one done by hand
//
// Weights inside are not normalised: a branch's weights sum to its probability, so that minutes add
// up without multiplying.
#include "diagnosis/plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace baylore::diagnosis {
namespace {

// How many checks are valued two steps ahead, from each list, and how many may follow.
constexpr std::size_t kLookedAt = 8;
constexpr std::size_t kFollowing = 32;
// With so few checks a third step costs nothing that anybody would notice.
constexpr std::size_t kFew = 8;
// Two values this near are a tie.
constexpr double kTie = 0.005;

double total(const Weights& weights) {
  return std::accumulate(weights.begin(), weights.end(), 0.0);
}

class Planner {
 public:
  explicit Planner(const Problem& problem) : p_(problem), order_(problem.weights.size()) {
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    sort_by_weight(p_.weights, order_);
  }

  Plan run() {
    Plan plan;
    for (const PlanCheck& check : p_.checks) {
      plan.bits.push_back(information_bits(p_.weights, check.outside));
      plan.minutes.push_back(minutes_of(check));
    }
    std::vector<std::size_t> useful;
    for (std::size_t i = 0; i < p_.checks.size(); ++i) {
      if (plan.bits[i] > kLeastBits) useful.push_back(i);
    }
    std::stable_sort(useful.begin(), useful.end(), [&](std::size_t a, std::size_t b) {
      return plan.bits[a] * plan.minutes[b] > plan.bits[b] * plan.minutes[a];
    });
    steps_ = useful.size() <= kFew ? 3 : 2;
    following_.assign(useful.begin(), useful.begin() + cut(useful, kFollowing));
    plan.by_information = prefer_by_hand(plan, useful);
    for (const std::size_t cause : order_) {
      if (!tried(cause)) {
        plan.by_weight = cause;
        break;
      }
    }
    decide(useful, plan);
    return plan;
  }

 private:
  static std::ptrdiff_t cut(const std::vector<std::size_t>& list, std::size_t most) {
    return static_cast<std::ptrdiff_t>(std::min(list.size(), most));
  }

  [[nodiscard]] bool tried(std::size_t cause) const {
    return cause < p_.tried.size() && p_.tried[cause];
  }

  // The minutes of a check after those of the path, whose covers are off then.
  [[nodiscard]] double minutes_of(const PlanCheck& check) const {
    double minutes = check.minutes;
    for (const auto& [cover, cost] : check.covers) {
      const auto takes_off = [number = cover](const PlanCheck* earlier) {
        return std::any_of(earlier->covers.begin(), earlier->covers.end(),
                           [&](const auto& one) { return one.first == number; });
      };
      const bool off = cover < p_.open.size() && p_.open[cover];
      if (!off && std::none_of(path_.begin(), path_.begin() + depth_, takes_off)) minutes += cost;
    }
    return minutes;
  }

  [[nodiscard]] bool on_path(const PlanCheck& check) const {
    return std::any_of(path_.begin(), path_.begin() + depth_, [&](const PlanCheck* earlier) {
      return earlier == &check || earlier->fact == check.fact;
    });
  }

  // The first of the checks in order of bits a minute that is done by hand, among those that are as
  // good as the best.
  [[nodiscard]] std::size_t prefer_by_hand(const Plan& plan,
                                           const std::vector<std::size_t>& useful) const {
    if (useful.empty()) return kNone;
    const auto worth = [&](std::size_t i) { return plan.bits[i] / plan.minutes[i]; };
    for (const std::size_t i : useful) {
      if (worth(i) < worth(useful.front()) * (1 - kTie)) break;
      if (p_.checks[i].by_hand) return i;
    }
    return useful.front();
  }

  // Descending weight a minute; `order` comes in nearly sorted, as one answer moves few causes.
  void sort_by_weight(const Weights& weights, std::vector<std::size_t>& order) const {
    const auto before = [&](std::size_t a, std::size_t b) {
      const double left = weights[a] * p_.repair_minutes[b];
      const double right = weights[b] * p_.repair_minutes[a];
      return left > right || (left == right && a < b);
    };
    for (std::size_t i = 1; i < order.size(); ++i) {
      const std::size_t moved = order[i];
      std::size_t at = i;
      for (; at > 0 && before(moved, order[at - 1]); --at) order[at] = order[at - 1];
      order[at] = moved;
    }
  }

  // Repairs alone, from here to the right one, times the branch's probability.
  double repairs(const Weights& weights) {
    sorted_ = order_;
    sort_by_weight(weights, sorted_);
    double left = total(weights);
    double sum = 0;
    for (const std::size_t cause : sorted_) {
      sum += p_.repair_minutes[cause] * std::max(left, 0.0);
      left -= weights[cause];
    }
    return sum;
  }

  static void branch(const Weights& weights, const std::vector<double>& outside, bool out,
                     Weights& into) {
    into = weights;
    for (std::size_t i = 0; i < into.size(); ++i) into[i] *= out ? outside[i] : 1 - outside[i];
  }

  // A check, then the repairs in their order.
  double one_step(const Weights& weights, double probability, const PlanCheck& check) {
    branch(weights, check.outside, true, leaf_);
    const double if_out = repairs(leaf_);
    branch(weights, check.outside, false, leaf_);
    return probability * minutes_of(check) + if_out + repairs(leaf_);
  }

  // A check, then the best of what can follow in the steps that are left.
  double steps(const Weights& weights, double probability, const PlanCheck& check,
               std::size_t left) {
    if (left <= 1) return one_step(weights, probability, check);
    double sum = probability * minutes_of(check);
    path_[static_cast<std::size_t>(depth_++)] = &check;
    for (const bool out : {true, false}) {
      Weights after;
      branch(weights, check.outside, out, after);
      sum += rest(after, left - 1);
    }
    --depth_;
    return sum;
  }

  // The best of repairing now and of more checks before it.
  double rest(const Weights& weights, std::size_t left) {
    const double probability = total(weights);
    double best = repairs(weights);
    for (const std::size_t i : following_) {
      const PlanCheck& check = p_.checks[i];
      // No check can save more than all the minutes there are.
      if (on_path(check) || probability * minutes_of(check) >= best) continue;
      best = std::min(best, steps(weights, probability, check, left));
    }
    return best;
  }

  // Trying the repair first: its minutes, and what follows if the fault is still there.
  double try_first(std::size_t cause) {
    Weights after = p_.weights;
    after[cause] = 0;
    return p_.repair_minutes[cause] * total(p_.weights) +
           (total(after) > 0 ? rest(after, steps_ - 1) : 0);
  }

  void decide(const std::vector<std::size_t>& useful, Plan& plan) {
    std::vector<std::size_t> looked(useful.begin(), useful.begin() + cut(useful, kLookedAt));
    if (useful.size() > kLookedAt) {
      std::vector<std::pair<double, std::size_t>> ahead;
      for (const std::size_t i : useful)
        ahead.emplace_back(one_step(p_.weights, 1, p_.checks[i]), i);
      std::sort(ahead.begin(), ahead.end());
      for (std::size_t i = 0; i < kLookedAt; ++i) looked.push_back(ahead[i].second);
    }
    if (plan.by_information != kNone) looked.push_back(plan.by_information);

    double best = std::numeric_limits<double>::infinity();
    for (const std::size_t i : looked) {
      const double value = steps(p_.weights, 1, p_.checks[i], steps_);
      const bool tie = plan.check != kNone && std::abs(value - best) <= kTie * best;
      const bool by_hand = tie && p_.checks[i].by_hand && !p_.checks[plan.check].by_hand;
      if (!(tie ? by_hand : value < best)) continue;
      best = value;
      plan.check = i;
    }
    if (plan.by_weight != kNone) {
      // Looking costs less trust than fitting a part for nothing: a repair has to be better.
      const double value = try_first(plan.by_weight);
      if (plan.check == kNone || value < best * (1 - kTie)) {
        best = value;
        plan.check = kNone;
        plan.repair = plan.by_weight;
      }
    }
    plan.expected_minutes = std::isfinite(best) ? best : 0;
  }

  const Problem& p_;
  std::vector<std::size_t> order_;  // of repairs, by weight a minute now
  std::vector<std::size_t> following_;
  std::vector<std::size_t> sorted_;
  std::size_t steps_ = 2;
  std::array<const PlanCheck*, 3> path_{};  // the first `depth_`: checks before the one looked at
  std::ptrdiff_t depth_ = 0;
  Weights leaf_;
};

}  // namespace

Plan make_plan(const Problem& problem) { return Planner(problem).run(); }

}  // namespace baylore::diagnosis
