// The plan, step by step:
//   1. every check's bits and minutes; the check with the most bits a minute is one proposal
//   2. the cause with the most weight a minute of its repair is the other
//   3. every check's value one step ahead: its minutes, then the repairs in their order
//   4. the proposals and the best of both lists are valued two steps ahead: after each answer
//      another check may follow before the repairs
//   5. the least expected minutes win; where two are as good as equal, the one done by hand
//
// Weights inside are not normalised: a branch's weights sum to its probability, so that minutes add
// up without multiplying.
#include "diagnosis/plan.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace baylore::diagnosis {
namespace {

// How many checks are valued two steps ahead, from each list, and how many may follow.
constexpr std::size_t kLookedAt = 8;
constexpr std::size_t kFollowing = 32;
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
      plan.minutes.push_back(minutes_of(check, nullptr));
    }
    std::vector<std::size_t> useful;
    for (std::size_t i = 0; i < p_.checks.size(); ++i) {
      if (plan.bits[i] > kLeastBits) useful.push_back(i);
    }
    std::stable_sort(useful.begin(), useful.end(), [&](std::size_t a, std::size_t b) {
      return plan.bits[a] * plan.minutes[b] > plan.bits[b] * plan.minutes[a];
    });
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

  // The minutes of a check now, or after `first`, whose covers are off then.
  [[nodiscard]] double minutes_of(const PlanCheck& check, const PlanCheck* first) const {
    double minutes = check.minutes;
    for (const auto& [cover, cost] : check.covers) {
      if (cover < p_.open.size() && p_.open[cover]) continue;
      const auto same = [&, number = cover](const auto& other) { return other.first == number; };
      if (first != nullptr && std::any_of(first->covers.begin(), first->covers.end(), same))
        continue;
      minutes += cost;
    }
    return minutes;
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
    into.resize(weights.size());
    for (std::size_t i = 0; i < weights.size(); ++i)
      into[i] = weights[i] * (out ? outside[i] : 1 - outside[i]);
  }

  double one_step(const Weights& weights, double probability, const PlanCheck& check,
                  const PlanCheck* first) {
    branch(weights, check.outside, true, leaf_);
    const double if_out = repairs(leaf_);
    branch(weights, check.outside, false, leaf_);
    return probability * minutes_of(check, first) + if_out + repairs(leaf_);
  }

  // The best of repairing now and of one more check before it.
  double rest(const Weights& weights, const PlanCheck* first) {
    const double probability = total(weights);
    double best = repairs(weights);
    for (const std::size_t i : following_) {
      const PlanCheck& check = p_.checks[i];
      if (&check == first || (first != nullptr && check.fact == first->fact)) continue;
      // No check can save more than all the minutes there are.
      if (probability * minutes_of(check, first) >= best) continue;
      best = std::min(best, one_step(weights, probability, check, first));
    }
    return best;
  }

  double two_steps(const PlanCheck& check) {
    double sum = minutes_of(check, nullptr) * total(p_.weights);
    for (const bool out : {true, false}) {
      branch(p_.weights, check.outside, out, after_);
      sum += rest(after_, &check);
    }
    return sum;
  }

  // Trying the repair first: its minutes, and what follows if the fault is still there.
  double try_first(std::size_t cause) {
    after_ = p_.weights;
    after_[cause] = 0;
    return p_.repair_minutes[cause] * total(p_.weights) +
           (total(after_) > 0 ? rest(after_, nullptr) : 0);
  }

  void decide(const std::vector<std::size_t>& useful, Plan& plan) {
    std::vector<std::size_t> looked(useful.begin(), useful.begin() + cut(useful, kLookedAt));
    if (useful.size() > kLookedAt) {
      std::vector<std::pair<double, std::size_t>> ahead;
      for (const std::size_t i : useful)
        ahead.emplace_back(one_step(p_.weights, 1, p_.checks[i], nullptr), i);
      std::sort(ahead.begin(), ahead.end());
      for (std::size_t i = 0; i < kLookedAt; ++i) looked.push_back(ahead[i].second);
    }
    if (plan.by_information != kNone) looked.push_back(plan.by_information);

    double best = std::numeric_limits<double>::infinity();
    for (const std::size_t i : looked) {
      const double value = two_steps(p_.checks[i]);
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
  Weights leaf_;
  Weights after_;
};

}  // namespace

Plan make_plan(const Problem& problem) { return Planner(problem).run(); }

}  // namespace baylore::diagnosis
