// Simulated jobs: a cause is drawn from the weights before any check, checks are answered from what
// is true of it, and the minutes are counted until the right repair begins. A wrong repair costs
// its work and a part for nothing; the right one costs what it costs whoever chooses it and is left
// out.
//
// Besides the diagnosis three simple rules do the same jobs, with the same weights and the same
// answers. They act on a cause when it is as good as sure, and when no check is left take the
// heaviest. None of them does a check that can tell nothing any more.
//   written   the checks of the first tip as written, then those of the second ...
//   likeliest the next check of the cause that is likeliest now
//   cheapest  the check with the fewest minutes now
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>
#include <memory>
#include <set>

#include <fmt/format.h>

#include "bootstrap.h"
#include "diagnosis.h"
#include "diagnosis/session.h"

namespace baylore::benchmark {
namespace {

using diagnosis::Answer;
using diagnosis::Case;
using diagnosis::Choice;
using diagnosis::Next;
using diagnosis::Outlook;

enum class Rule { diagnosis, written, likeliest, cheapest };
constexpr std::array<const char*, 4> kRules = {"diagnosis", "written order", "likeliest first",
                                               "cheapest first"};

// What one job is: its true cause, and how each check comes out.
struct Job {
  std::size_t cause = 0;  // of the case; beyond() too for one that no tip has
  std::vector<bool> outside;
};

class Runner {
 public:
  Runner(const Case& book, const Job& job) : book_(book), job_(job) {
    // The checks of each tip as written: their order in the case is that of the tips' weight, then
    // as written, which is the written order.
    for (std::size_t k = 0; k < book.checks.size(); ++k) place_[book.checks[k].id] = k;
  }

  double minutes(Rule rule) {
    minutes_ = 0;
    answers_.clear();
    tried_.clear();
    while (!done_with(rule)) {
    }
    return minutes_;
  }

 private:
  // One step; true when the right repair begins.
  bool done_with(Rule rule) {
    const Outlook outlook = diagnosis::look(book_, answers_);
    std::string check;
    std::size_t repair = book_.causes.size();
    if (rule == Rule::diagnosis) {
      if (outlook.next.kind == Next::Kind::check) {
        check = outlook.next.check;
      } else {
        repair = outlook.next.kind == Next::Kind::beyond ? book_.beyond() : outlook.next.cause;
      }
    } else if (outlook.causes.front().weight < diagnosis::kSure ||
               tried_.count(outlook.causes.front().cause) != 0) {
      check = by_rule(rule, outlook);
    }
    if (check.empty()) return act(repair, outlook);
    const auto choice = std::find_if(outlook.choices.begin(), outlook.choices.end(),
                                     [&](const Choice& one) { return one.check == check; });
    minutes_ += choice->minutes;
    answers_.push_back(
        {check, job_.outside[place_.at(check)] ? Answer::Kind::no : Answer::Kind::yes});
    return false;
  }

  // The check a rule does next; empty when none is left.
  std::string by_rule(Rule rule, const Outlook& outlook) const {
    std::set<std::string> left;
    const Choice* cheapest = nullptr;
    for (const Choice& choice : outlook.choices) {
      if (choice.aside != Choice::Aside::no) continue;
      left.insert(choice.check);
      if (cheapest == nullptr || choice.minutes < cheapest->minutes) cheapest = &choice;
    }
    if (left.empty()) return {};
    if (rule == Rule::cheapest) return cheapest->check;
    if (rule == Rule::written) {
      for (const diagnosis::Check& check : book_.checks) {
        if (left.count(check.id) != 0) return check.id;
      }
    }
    for (const diagnosis::Standing& standing : outlook.causes) {
      if (tried_.count(standing.cause) != 0) continue;
      for (const diagnosis::Check& check : book_.checks) {
        const bool own =
            std::any_of(check.effects.begin(), check.effects.end(),
                        [&](const diagnosis::Effect& e) { return e.cause == standing.cause; });
        if (own && left.count(check.id) != 0) return check.id;
      }
    }
    return *left.begin();
  }

  // Repairs `cause`, or the heaviest that was not tried when there is none.
  bool act(std::size_t cause, const Outlook& outlook) {
    if (cause >= book_.causes.size() || tried_.count(cause) != 0) {
      for (const diagnosis::Standing& standing : outlook.causes) {
        if (tried_.count(standing.cause) != 0) continue;
        cause = standing.cause;
        break;
      }
    }
    if (cause == job_.cause) return true;
    minutes_ += book_.causes[cause].repair_minutes + diagnosis::kPartForNothingMinutes;
    tried_.insert(cause);
    if (cause != book_.beyond())
      answers_.push_back({book_.causes[cause].tip, Answer::Kind::repaired});
    return false;
  }

  const Case& book_;
  const Job& job_;
  std::map<std::string, std::size_t> place_;
  double minutes_ = 0;
  std::vector<Answer> answers_;
  std::set<std::size_t> tried_;
};

double uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11U) * 0x1.0p-53; }

std::size_t drawn(const std::vector<double>& weights, std::mt19937_64& random) {
  double left = uniform(random);
  for (std::size_t i = 0; i + 1 < weights.size(); ++i) {
    left -= weights[i];
    if (left < 0) return i;
  }
  return weights.size() - 1;
}

// A strength word one step up or down from what is written; from the ends inwards.
diagnosis::Strength one_step(diagnosis::Strength strength, std::mt19937_64& random) {
  const int at = static_cast<int>(strength);
  const int up = random() % 2 == 0 ? 1 : -1;
  const int to = at + up < 0 || at + up > 6 ? at - up : at + up;
  return static_cast<diagnosis::Strength>(to);
}

// The rates as they would be with every word a step off.
std::vector<double> wrong_words(const diagnosis::Check& check, std::mt19937_64& random) {
  diagnosis::Check wrong = check;
  for (diagnosis::Effect& effect : wrong.effects) {
    effect.outside = one_step(effect.outside, random);
    effect.inside = one_step(effect.inside, random);
  }
  diagnosis::fill_outside(wrong, check.outside.size());
  return wrong.outside;
}

Job draw_job(const Simulated& simulated, World world, std::mt19937_64& random) {
  const Case& book = simulated.book;
  Job job;
  std::vector<double> priors;
  for (const diagnosis::Cause& cause : book.causes) priors.push_back(cause.prior);
  // A cause in no tip looks like one that is in a tip on half of the checks: nothing that nobody
  // wrote down is wholly unlike what is.
  const bool unknown = world == World::not_in_a_tip;
  job.cause = unknown ? book.beyond() : drawn(priors, random);
  const std::size_t resembles = unknown ? drawn(priors, random) : job.cause;
  const double common = uniform(random);
  std::map<std::string, double> by_fact;
  for (std::size_t k = 0; k < book.checks.size(); ++k) {
    const diagnosis::Check& check = book.checks[k];
    const std::vector<double> rates =
        world == World::wrong_words ? wrong_words(check, random) : check.outside;
    // Checks of one fact agree as far as they can: they share their chance.
    double chance = by_fact.emplace(check.fact, uniform(random)).first->second;
    if (world == World::dependent && random() % 2 == 0) chance = common;
    const std::size_t as = unknown && random() % 2 == 0 ? resembles : job.cause;
    job.outside.push_back(chance < rates[as]);
  }
  return job;
}

// The interval of any statistic, by drawing whole samples again.
template <typename Statistic>
Interval interval_of(const std::vector<double>& values, Statistic statistic) {
  std::mt19937_64 random(20260314);
  std::vector<double> found;
  std::vector<double> sample(values.size());
  for (int round = 0; round < 1000; ++round) {
    for (double& value : sample) value = values[random() % values.size()];
    std::sort(sample.begin(), sample.end());
    found.push_back(statistic(sample));
  }
  std::sort(found.begin(), found.end());
  std::vector<double> sorted = values;
  std::sort(sorted.begin(), sorted.end());
  return {statistic(sorted), quantile(found, 0.025), quantile(found, 0.975)};
}

std::string shown(const Interval& interval) {
  return fmt::format("{:6.1f} ({:5.1f} to {:5.1f})", interval.mean, interval.low, interval.high);
}

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return values.empty() ? 0 : sum / static_cast<double>(values.size());
}

}  // namespace

bool simulate(const std::string& name, const std::vector<Simulated>& cases, World world,
              int draws) {
  std::mt19937_64 random(5);
  std::array<std::vector<double>, 4> minutes;
  std::map<std::string, std::array<std::vector<double>, 4>> by_system;
  for (const Simulated& simulated : cases) {
    if (simulated.book.causes.size() < 3) continue;  // one tip and the unknown: nothing to choose
    for (int draw = 0; draw < draws; ++draw) {
      const Job job = draw_job(simulated, world, random);
      for (std::size_t rule = 0; rule < kRules.size(); ++rule) {
        const double taken = Runner(simulated.book, job).minutes(static_cast<Rule>(rule));
        minutes.at(rule).push_back(taken);
        by_system[simulated.system].at(rule).push_back(taken);
      }
    }
  }
  fmt::print("{}: {} jobs, minutes to the right cause (95 % intervals)\n", name,
             minutes.front().size());
  fmt::print("  {:16} {:>24} {:>24} {:>24} {:>24}\n", "", "mean", "median", "90th percentile",
             "more than diagnosis");
  bool good = true;
  for (std::size_t rule = 0; rule < kRules.size(); ++rule) {
    std::vector<double> more;
    for (std::size_t i = 0; i < minutes[rule].size(); ++i)
      more.push_back(minutes.at(rule)[i] - minutes[0][i]);
    const Interval difference = bootstrap(more);
    fmt::print("  {:16} {:>24} {:>24} {:>24} {:>24}\n", kRules.at(rule),
               shown(bootstrap(minutes.at(rule))),
               shown(interval_of(minutes.at(rule),
                                 [](const auto& sorted) { return quantile(sorted, 0.5); })),
               shown(interval_of(minutes.at(rule),
                                 [](const auto& sorted) { return quantile(sorted, 0.9); })),
               rule == 0 ? "" : shown(difference));
    if (rule > 0 && difference.mean < 0) good = false;
  }
  for (const auto& [system, taken] : by_system) {
    if (taken.front().size() < 10) continue;
    const double ours = mean_of(taken[0]);
    int worse = 0;
    for (std::size_t rule = 1; rule < kRules.size(); ++rule)
      worse += ours > mean_of(taken.at(rule)) ? 1 : 0;
    if (worse > 0)
      fmt::print("  {}: {} of the 3 rules are quicker ({:.1f} against {:.1f}, {:.1f}, {:.1f})\n",
                 system, worse, ours, mean_of(taken[1]), mean_of(taken[2]), mean_of(taken[3]));
    if (worse == 3) good = false;
  }
  std::fflush(stdout);
  return good;
}

}  // namespace baylore::benchmark
