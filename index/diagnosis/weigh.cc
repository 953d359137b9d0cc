#include "diagnosis/weigh.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "diagnosis/reading.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

// The strongest answer to one fact for one cause.
struct Counted {
  double strength = -1;
  double likelihood = 1;
  const Check* check = nullptr;
};
using ByFact = std::map<std::string, Counted>;

// What counts for each cause, fact by fact.
std::vector<ByFact> counted(const Case& a_case, const std::vector<Taken>& taken,
                            std::size_t count) {
  std::vector<ByFact> by_cause(a_case.causes.size());
  for (std::size_t k = 0; k < count; ++k) {
    const Taken& one = taken[k];
    if (one.check == nullptr) continue;
    const double elsewhere = one.check->outside_elsewhere;
    for (std::size_t e = 0; e < one.check->effects.size(); ++e) {
      const Effect& effect = one.check->effects[e];
      const Came came = one.judged[e].came;
      if (came != Came::inside && came != Came::outside) continue;
      // The rates are those of the answer as the check is shown; a turned effect's are the other
      // way round.
      const double here = one.check->outside[effect.cause];
      const bool out = (came == Came::outside) != effect.turned;
      Counted now;
      now.strength = std::abs(logit(here) - logit(elsewhere));
      now.likelihood = out ? here / elsewhere : (1 - here) / (1 - elsewhere);
      now.check = one.check;
      Counted& held = by_cause[effect.cause][one.check->fact];
      if (held.check == nullptr || now.strength > held.strength ||
          (now.strength == held.strength && now.check->id < held.check->id)) {
        held = now;
      }
    }
  }
  return by_cause;
}

void raise_beyond(Weights& weights) {
  if (weights.size() < 2 || weights.back() >= kLeastBeyond) return;
  const double rest = (1 - kLeastBeyond) / (1 - weights.back());
  for (double& weight : weights) weight *= rest;
  weights.back() = kLeastBeyond;
}

std::string quoted(const std::string& text) { return "“" + text + "”"; }

// "suggests this cause", from what the tip wrote for the side the answer came to.
std::string said_by(Strength strength) {
  const std::string word(kStrengths[static_cast<std::size_t>(strength)].word);
  if (strength == Strength::kHints) return tr("hints at this cause");
  if (strength == Strength::kSaysNothing) return tr("says nothing about this cause");
  return say(marked("{0} this cause"), tr(word));
}

// Whether another check of the same fact already counts, or takes this one's place.
std::string fact_note(const ByFact& before, const ByFact& after, const Check& check) {
  const auto held = before.find(check.fact);
  if (held == before.end() || held->second.check == &check) return {};
  const Check* now = after.at(check.fact).check;
  if (now != &check) return say("the same fact as {0}: not counted again", quoted(now->name));
  return say("the same fact as {0}, looked at more closely: counts in its place",
             quoted(held->second.check->name));
}

Entry::Side side_of(double ratio) {
  if (ratio > 1.1) return Entry::Side::speaks_for;
  return ratio < 1 / 1.1 ? Entry::Side::against : Entry::Side::nothing;
}

// How many times likelier the answer was with the cause than with the others: the change of its
// odds.
double change(double before, double after) {
  constexpr double kEdge = 1e-12;
  const auto odds = [&](double p) {
    p = std::clamp(p, kEdge, 1 - kEdge);
    return p / (1 - p);
  };
  return odds(after) / odds(before);
}

void tell_known(const Case& a_case, std::vector<std::vector<Entry>>& all) {
  for (std::size_t i = 0; i < a_case.causes.size(); ++i) {
    for (const Known& known : a_case.causes[i].known) {
      Entry entry;
      entry.what = known.what;
      entry.result = known.words;
      entry.ratio = known.ratio;
      entry.side = side_of(known.ratio);
      all[i].push_back(std::move(entry));
    }
  }
}

// "yes, between the marks", "no, expected between the marks": without what was expected the answer
// tells a reader of the ledger nothing.
std::string answer_words(const Check& check, bool yes) {
  const std::string words = yes ? tr_in("an answer", "yes") : tr_in("an answer", "no");
  const std::string& expected = check.expect_words;
  if (expected.empty() || expected == "yes") return words;
  return yes ? words + ", " + expected : say("{0}, expected {1}", words, expected);
}

const char* no_weight(Answer::Kind kind) {
  switch (kind) {
    case Answer::Kind::not_showing:
      return tr("not showing now: a good reading carries no weight");
    case Answer::Kind::not_sure:
      return tr("not sure: carries no weight");
    default:
      return "";
  }
}

}  // namespace

Judged judge(const Check& check, const Effect& effect, const Answer& answer, double meter_doubt) {
  Judged judged;
  switch (answer.kind) {
    case Answer::Kind::yes:
    case Answer::Kind::no: {
      judged.words = answer_words(check, answer.kind == Answer::Kind::yes);
      if (effect.other_answer) return judged;
      // Yes and no are about the expectation as shown.
      const bool inside = (answer.kind == Answer::Kind::yes) != effect.turned;
      judged.came = inside ? Came::inside : Came::outside;
      return judged;
    }
    case Answer::Kind::reading: {
      if (effect.other_answer) {
        judged.words = answer.value;
        return judged;
      }
      const bool own = effect.expect.has_value();
      const Held held =
          hold(own ? effect.expect : check.expect, own ? effect.correct : check.correct,
               answer.value, answer.measured, meter_doubt);
      if (!held.verdict) {
        judged.came = Came::not_read;
        judged.trouble = held.trouble;
        return judged;
      }
      judged.words = trade::authored(*held.quantity) + ", " + held.words +
                     (held.reason.empty() ? "" : " " + held.reason);
      judged.came = held.verdict->standing == trade::Standing::kOnTheEdge ? Came::on_the_edge
                    : held.verdict->inside                                ? Came::inside
                                                                          : Came::outside;
      return judged;
    }
    default:
      return judged;
  }
}

std::vector<Taken> take(const Case& a_case, const std::vector<Answer>& answers, double meter_doubt,
                        std::vector<std::string>& troubles) {
  std::vector<Taken> taken;
  for (std::size_t k = 0; k < answers.size(); ++k) {
    const Answer& answer = answers[k];
    const bool newer = std::any_of(answers.begin() + static_cast<std::ptrdiff_t>(k) + 1,
                                   answers.end(), [&](const Answer& later) {
                                     return later.check == answer.check &&
                                            (later.kind == Answer::Kind::repaired) ==
                                                (answer.kind == Answer::Kind::repaired);
                                   });
    if (newer) continue;
    Taken one;
    one.answer = &answer;
    if (answer.kind == Answer::Kind::repaired) {
      const auto cause = std::find_if(a_case.causes.begin(), a_case.causes.end(),
                                      [&](const Cause& c) { return c.tip == answer.check; });
      if (answer.check.empty() || cause == a_case.causes.end()) {
        troubles.push_back(answer.check + ": no cause of this case has this tip");
        continue;
      }
      one.cause = static_cast<std::size_t>(cause - a_case.causes.begin());
      taken.push_back(std::move(one));
      continue;
    }
    one.check = a_case.check(answer.check);
    if (one.check == nullptr) {
      troubles.push_back(answer.check + ": no tip of this case has this check");
      continue;
    }
    std::string trouble;
    bool read = one.check->effects.empty();
    for (const Effect& effect : one.check->effects) {
      one.judged.push_back(judge(*one.check, effect, answer, meter_doubt));
      if (one.judged.back().came != Came::not_read) {
        read = true;
      } else if (trouble.empty()) {
        trouble = one.judged.back().trouble;
      }
    }
    if (!read) {
      troubles.push_back(one.check->id + " " + quoted(answer.value) + ": " + trouble);
      continue;
    }
    taken.push_back(std::move(one));
  }
  return taken;
}

Weighed weigh(const Case& a_case, const std::vector<Taken>& taken, std::size_t count) {
  Weighed weighed;
  weighed.strength.resize(a_case.causes.size());
  const std::vector<ByFact> by_cause = counted(a_case, taken, count);
  Weights weights;
  for (std::size_t i = 0; i < a_case.causes.size(); ++i) {
    double weight = a_case.causes[i].prior;
    for (const auto& [fact, one] : by_cause[i]) {
      weight *= one.likelihood;
      weighed.strength[i][fact] = one.strength;
    }
    weights.push_back(weight);
  }
  for (std::size_t k = 0; k < count; ++k) {
    if (taken[k].check == nullptr) weights[taken[k].cause] *= ratio_of(Strength::kRulesOut);
  }
  // So much evidence against everything that nothing is left to divide by: nobody knows.
  if (!normalise(weights)) {
    std::fill(weights.begin(), weights.end(), 0.0);
    weights.back() = 1;
  }
  raise_beyond(weights);
  weighed.weights = std::move(weights);
  return weighed;
}

std::vector<std::vector<Entry>> ledgers(const Case& a_case, const std::vector<Taken>& taken) {
  std::vector<std::vector<Entry>> all(a_case.causes.size());
  tell_known(a_case, all);
  Weighed before = weigh(a_case, taken, 0);
  std::vector<ByFact> held = counted(a_case, taken, 0);
  for (std::size_t k = 0; k < taken.size(); ++k) {
    const Taken& one = taken[k];
    if (one.answer->kind == Answer::Kind::skipped) continue;
    Weighed after = weigh(a_case, taken, k + 1);
    std::vector<ByFact> holds = counted(a_case, taken, k + 1);
    for (std::size_t i = 0; i < a_case.causes.size(); ++i) {
      Entry entry;
      entry.before = before.weights[i];
      entry.after = after.weights[i];
      entry.ratio = change(entry.before, entry.after);
      entry.side = side_of(entry.ratio);
      if (one.check == nullptr) {
        entry.what = one.cause == i ? std::string(tr("Repair"))
                                    : say("Repair of {0}", quoted(a_case.causes[one.cause].title));
        entry.result = tr("done, the fault is still there");
        all[i].push_back(std::move(entry));
        continue;
      }
      entry.check = one.check->id;
      entry.what = one.check->name;
      entry.note = no_weight(one.answer->kind);
      const auto effect = std::find_if(one.check->effects.begin(), one.check->effects.end(),
                                       [&](const Effect& e) { return e.cause == i; });
      if (effect != one.check->effects.end()) {
        const Judged& judged =
            one.judged[static_cast<std::size_t>(effect - one.check->effects.begin())];
        entry.result = judged.words;
        if (judged.came == Came::inside) entry.said = said_by(effect->inside);
        if (judged.came == Came::outside) entry.said = said_by(effect->outside);
        if (judged.came == Came::on_the_edge)
          entry.note = tr("nearer to the end than the meter is true: carries no weight");
        if (effect->other_answer)
          entry.note = tr("this tip expects another answer: not counted for it");
        if (judged.came == Came::inside || judged.came == Came::outside) {
          const std::string same = fact_note(held[i], holds[i], *one.check);
          if (!same.empty()) entry.note = same;
        }
      } else {
        entry.result = one.judged.empty() ? "" : one.judged.front().words;
        if (entry.note.empty()) entry.note = tr("this tip does not mention the check");
      }
      all[i].push_back(std::move(entry));
    }
    before = std::move(after);
    held = std::move(holds);
  }
  return all;
}

}  // namespace baylore::diagnosis
