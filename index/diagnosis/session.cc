#include "diagnosis/session.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <utility>

#include "diagnosis/belief.h"
#include "diagnosis/plan.h"
#include "diagnosis/weigh.h"
#include "shop/fold.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

using Aside = Choice::Aside;

std::string_view weight_word(double weight) {
  if (weight < 0.05) return tr("unlikely");
  if (weight < 0.25) return tr("possible");
  return weight < 0.75 ? tr("likely") : tr("very likely");
}

// What is beyond the book has a name of the program's own.
std::string title_of(const Cause& cause) {
  return cause.not_in_book() ? tr(cause.title) : cause.title;
}

// Whether every word of the tool that the shop lacks is in the tool that the check asks for: "scan
// tool" in "scan tool that reads every module".
bool asks_for(const std::string& tool, const std::string& lacking) {
  const std::vector<std::string> words = shop::words_of(tool);
  const std::vector<std::string> sought = shop::words_of(lacking);
  return !sought.empty() && std::all_of(sought.begin(), sought.end(), [&](const std::string& one) {
    return std::find(words.begin(), words.end(), one) != words.end();
  });
}

// Everything about one moment of a case.
class Look {
 public:
  Look(const Case& a_case, const std::vector<Answer>& answers, const Options& options)
      : case_(a_case), options_(options) {
    taken_ = take(case_, answers, options.meter_doubt, outlook_.troubles);
    weighed_ = weigh(case_, taken_, taken_.size());
  }

  Outlook run() {
    rank();
    pose();
    const Plan plan = make_plan(problem_);
    choose(plan);
    list_choices(plan);
    return std::move(outlook_);
  }

 private:
  [[nodiscard]] const Weights& weights() const { return weighed_.weights; }

  void rank() {
    std::vector<std::vector<Entry>> told = ledgers(case_, taken_);
    std::vector<std::size_t> order(case_.causes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return weights()[a] > weights()[b]; });
    problem_.tried.assign(case_.causes.size(), false);
    for (const Taken& one : taken_) {
      if (one.check == nullptr) problem_.tried[one.cause] = true;
    }
    for (const std::size_t cause : order) {
      Standing standing;
      standing.cause = cause;
      standing.weight = weights()[cause];
      standing.word = weight_word(standing.weight);
      standing.tried = problem_.tried[cause];
      standing.ledger = std::move(told[cause]);
      outlook_.causes.push_back(std::move(standing));
    }
  }

  // --- the problem as numbers

  std::size_t cover(const std::string& name) {
    return covers_.emplace(shop::folded_words(name), covers_.size()).first->second;
  }

  Aside aside_of(const Check& check, std::string& tool) const {
    for (const Taken& one : taken_) {
      if (one.check != &check) continue;
      return one.answer->kind == Answer::Kind::skipped ? Aside::skipped : Aside::answered;
    }
    for (const std::string& lacking : options_.missing_tools) {
      for (const std::string& needed : check.tools) {
        if (!asks_for(needed, lacking)) continue;
        tool = needed;
        return Aside::tool_missing;
      }
    }
    return Aside::no;
  }

  // The probabilities of the answer, less what evidence of the same fact already told each cause: a
  // closer look at one fact adds only what it is better by.
  [[nodiscard]] std::vector<double> outside_now(const Check& check) const {
    std::vector<double> outside = check.outside;
    const double base = logit(check.outside_elsewhere);
    for (const Effect& effect : check.effects) {
      const auto& counted = weighed_.strength[effect.cause];
      const auto held = counted.find(check.fact);
      if (held == counted.end()) continue;
      const double own = logit(outside[effect.cause]) - base;
      const double more = std::max(std::abs(own) - held->second, 0.0);
      outside[effect.cause] = 1 / (1 + std::exp(-(base + std::copysign(more, own))));
    }
    return outside;
  }

  PlanCheck posed(const Check& check) {
    PlanCheck posed;
    posed.outside = outside_now(check);
    posed.minutes = check.minutes;
    for (const shop::Access& access : check.access)
      posed.covers.emplace_back(cover(access.name), access.minutes);
    posed.fact = facts_.emplace(check.fact, facts_.size()).first->second;
    posed.by_hand = check.by_hand();
    return posed;
  }

  void pose() {
    problem_.weights = weights();
    for (const Cause& cause : case_.causes)
      problem_.repair_minutes.push_back(cause.repair_minutes + kPartForNothingMinutes);
    for (std::size_t i = 0; i < case_.checks.size(); ++i) {
      std::string tool;
      aside_.emplace_back(aside_of(case_.checks[i], tool), tool);
      if (aside_.back().first == Aside::no) {
        places_.push_back(i);
        problem_.checks.push_back(posed(case_.checks[i]));
      }
    }
    std::vector<std::string> open = options_.open;
    for (const Taken& one : taken_) {
      const bool done = one.check != nullptr && one.answer->kind != Answer::Kind::skipped &&
                        one.answer->kind != Answer::Kind::not_sure;
      if (!done) continue;
      for (const shop::Access& access : one.check->access) open.push_back(access.name);
    }
    for (const std::string& name : open) {
      const std::size_t number = cover(name);
      if (problem_.open.size() <= number) problem_.open.resize(number + 1, false);
      problem_.open[number] = true;
    }
  }

  // --- the next step in words

  static std::string minutes_words(double minutes) {
    const double shown = minutes < 10 ? std::round(minutes * 2) / 2 : std::round(minutes);
    return say_count("{0} minute", "{0} minutes", shown == 1 ? 1 : 2,
                     in_figures(fmt::format("{:g}", shown)));
  }

  [[nodiscard]] Meaning meaning(const Weights& after, double chance) const {
    Meaning meaning;
    meaning.chance = chance;
    const auto most = std::max_element(after.begin(), after.end());
    meaning.cause = static_cast<std::size_t>(most - after.begin());
    meaning.weight = *most;
    return meaning;
  }

  // What the check is good for: the strongest thing that can be said of it.
  [[nodiscard]] std::string purpose(const PlanCheck& posed) const {
    const Meaning& out = outlook_.next.outside;
    const Meaning& in = outlook_.next.inside;
    if (outlook_.causes.size() > 1) {
      const double a = posed.outside[outlook_.causes[0].cause];
      const double b = posed.outside[outlook_.causes[1].cause];
      const double apart =
          std::max(std::abs(std::log(a / b)), std::abs(std::log((1 - a) / (1 - b))));
      const bool both = outlook_.causes[1].weight >= 0.05;
      if (both && apart >= std::log(3.0)) return tr("splits the two likeliest");
    }
    for (const Meaning& meaning : {out, in}) {
      if (meaning.weight >= kSure && weights()[meaning.cause] < kSure)
        return say("can settle “{0}”", title_of(case_.causes[meaning.cause]));
    }
    std::size_t moved = 0;
    double most = 0;
    for (std::size_t i = 0; i < weights().size(); ++i) {
      const double moves = weights()[i] * std::abs(posed.outside[i] - out.chance);
      if (moves > most) {
        most = moves;
        moved = i;
      }
    }
    return say("speaks for or against “{0}”", title_of(case_.causes[moved]));
  }

  std::string check_why(const Check& check, const PlanCheck& posed, double minutes) {
    std::string why = purpose(posed) + ", " + minutes_words(minutes);
    std::string on;
    std::string off;
    for (const shop::Access& access : check.access) {
      const std::size_t number = cover(access.name);
      const bool open = number < problem_.open.size() && problem_.open[number];
      std::string& list = open ? off : on;
      list += (list.empty() ? "" : tr(" and ")) + access.name;
    }
    if (!on.empty()) why = say("{0} with {1}", why, on);
    if (!off.empty()) why = say("{0}, {1} done already", why, off);
    std::string tools;
    for (const std::string& tool : check.tools) tools += (tools.empty() ? "" : ", ") + tool;
    return why + ", " + (tools.empty() ? tr("no tools") : tools);
  }

  [[nodiscard]] std::size_t set_aside(Aside aside) const {
    return static_cast<std::size_t>(std::count_if(
        aside_.begin(), aside_.end(), [&](const auto& one) { return one.first == aside; }));
  }

  // "; 2 checks were skipped, 1 needs a tool that is not here"
  [[nodiscard]] std::string what_is_aside() const {
    std::string words;
    if (const std::size_t skipped = set_aside(Aside::skipped); skipped > 0)
      words += "; " + say_count("{0} check was skipped", "{0} checks were skipped",
                                static_cast<long>(skipped), skipped);
    if (const std::size_t lacking = set_aside(Aside::tool_missing); lacking > 0) {
      words += (words.empty() ? "; " : ", ") + say_count("{0} needs a tool that is not here",
                                                         "{0} need a tool that is not here",
                                                         static_cast<long>(lacking), lacking);
    }
    return words;
  }

  std::string repair_why(const Next& next, bool checks_left) const {
    const Cause& cause = case_.causes[next.cause];
    const int percent = static_cast<int>(std::lround(100 * weights()[next.cause]));
    const std::string minutes = minutes_words(cause.repair_minutes);
    const std::string repair =
        cause.minutes_assumed ? say("repair {0} assumed", minutes) : say("repair {0}", minutes);
    if (next.sure) return say("{0} % sure, {1}", percent, repair);
    if (checks_left)
      return say("{0} %: trying it is quicker than checking further, {1}", percent, repair);
    return say("{0} %: no check is left that tells the causes apart, {1}{2}", percent, repair,
               what_is_aside());
  }

  void choose(const Plan& plan) {
    Next& next = outlook_.next;
    next.expected_minutes = plan.expected_minutes;
    if (plan.by_information != kNone) next.by_information = check_at(plan.by_information).id;
    next.by_weight = plan.by_weight == kNone ? case_.beyond() : plan.by_weight;
    if (plan.check != kNone) {
      const PlanCheck& posed = problem_.checks[plan.check];
      const Split parts = split(weights(), posed.outside);
      next.kind = Next::Kind::check;
      next.check = check_at(plan.check).id;
      next.minutes = plan.minutes[plan.check];
      next.outside = meaning(parts.if_outside, parts.outside);
      next.inside = meaning(parts.if_inside, 1 - parts.outside);
      next.why = check_why(check_at(plan.check), posed, next.minutes);
      return;
    }
    next.cause = plan.repair == kNone ? case_.beyond() : plan.repair;
    if (next.cause == case_.beyond()) {
      next.kind = Next::Kind::beyond;
      next.why = tr("what the book has is tried or unlikely, and no check left tells more") +
                 what_is_aside();
      return;
    }
    next.kind = Next::Kind::repair;
    next.minutes = case_.causes[next.cause].repair_minutes;
    next.sure = weights()[next.cause] >= kSure;
    next.why = repair_why(next, plan.by_information != kNone);
  }

  [[nodiscard]] const Check& check_at(std::size_t posed) const {
    return case_.checks[places_[posed]];
  }

  // --- everything that could be done

  void list_choices(const Plan& plan) {
    std::size_t posed_at = 0;
    for (std::size_t i = 0; i < case_.checks.size(); ++i) {
      const Check& check = case_.checks[i];
      Choice choice;
      choice.check = check.id;
      choice.by_hand = check.by_hand();
      choice.aside = aside_[i].first;
      choice.tool = aside_[i].second;
      if (choice.aside == Aside::no) {
        choice.minutes = plan.minutes[posed_at];
        choice.bits = plan.bits[posed_at];
        choice.if_outside = out_now(problem_.checks[posed_at].outside);
        if (choice.bits <= kLeastBits)
          choice.aside = fact_is_known(check) ? Aside::same_fact : Aside::tells_nothing;
        ++posed_at;
      } else {
        const PlanCheck then = posed(check);
        choice.minutes = then.minutes;
        for (const auto& [number, minutes] : then.covers) {
          const bool open = number < problem_.open.size() && problem_.open[number];
          if (!open) choice.minutes += minutes;
        }
        choice.bits = information_bits(weights(), then.outside);
        choice.if_outside = out_now(then.outside);
      }
      choice.bits_a_minute = choice.bits / choice.minutes;
      outlook_.choices.push_back(std::move(choice));
    }
    std::stable_sort(outlook_.choices.begin(), outlook_.choices.end(),
                     [](const Choice& a, const Choice& b) {
                       const bool aside_a = a.aside != Aside::no;
                       const bool aside_b = b.aside != Aside::no;
                       if (aside_a != aside_b) return aside_b;
                       return a.bits_a_minute > b.bits_a_minute;
                     });
  }

  [[nodiscard]] double out_now(const std::vector<double>& outside) const {
    return std::inner_product(outside.begin(), outside.end(), weights().begin(), 0.0);
  }

  [[nodiscard]] bool fact_is_known(const Check& check) const {
    return std::any_of(check.effects.begin(), check.effects.end(), [&](const Effect& effect) {
      return weighed_.strength[effect.cause].count(check.fact) != 0;
    });
  }

  const Case& case_;
  const Options& options_;
  Outlook outlook_;
  std::vector<Taken> taken_;
  Weighed weighed_;
  Problem problem_;
  std::vector<std::size_t> places_;  // of the problem's checks in the case
  std::vector<std::pair<Aside, std::string>> aside_;
  std::map<std::string, std::size_t> covers_;
  std::map<std::string, std::size_t> facts_;
};

}  // namespace

bool read_answer_kind(std::string_view word, Answer::Kind& kind) {
  using Kind = Answer::Kind;
  static constexpr std::array<std::pair<std::string_view, Kind>, 8> kWords = {{
      {"reading", Kind::reading},
      {"yes", Kind::yes},
      {"no", Kind::no},
      {"not showing now", Kind::not_showing},
      {"could not check", Kind::not_sure},
      {"not sure", Kind::not_sure},
      {"skipped", Kind::skipped},
      {"repaired", Kind::repaired},
  }};
  for (const auto& [known, meant] : kWords) {
    if (known != word) continue;
    kind = meant;
    return true;
  }
  return false;
}

const Standing& Outlook::of(std::size_t cause) const {
  return *std::find_if(causes.begin(), causes.end(),
                       [&](const Standing& one) { return one.cause == cause; });
}

Outlook look(const Case& a_case, const std::vector<Answer>& answers, const Options& options) {
  return Look(a_case, answers, options).run();
}

Session::Session(std::shared_ptr<const Case> a_case, Options options, std::vector<Answer> answers)
    : case_(std::move(a_case)), options_(std::move(options)), answers_(std::move(answers)) {
  look_again();
}

void Session::answer(Answer answer) {
  earlier_.push_back(answers_);
  const auto same = [&](const Answer& one) { return one.check == answer.check; };
  answers_.erase(std::remove_if(answers_.begin(), answers_.end(), same), answers_.end());
  answers_.push_back(std::move(answer));
  look_again();
}

bool Session::undo() {
  if (earlier_.empty()) return false;
  answers_ = std::move(earlier_.back());
  earlier_.pop_back();
  look_again();
  return true;
}

bool Session::take_back(std::string_view check) {
  const auto same = [&](const Answer& one) { return one.check == check; };
  if (std::none_of(answers_.begin(), answers_.end(), same)) return false;
  earlier_.push_back(answers_);
  answers_.erase(std::remove_if(answers_.begin(), answers_.end(), same), answers_.end());
  look_again();
  return true;
}

void Session::look_again() { outlook_ = look(*case_, answers_, options_); }

}  // namespace baylore::diagnosis
