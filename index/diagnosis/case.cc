#include "diagnosis/case.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "diagnosis/belief.h"
#include "shop/fold.h"
#include "shop/shop.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

std::vector<std::string> tools_of(const std::string& text) {
  std::vector<std::string> tools;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find_first_of(",;", at), text.size());
    const std::size_t from = text.find_first_not_of(' ', at);
    if (from < end) {
      const std::size_t last = text.find_last_not_of(' ', end - 1);
      tools.push_back(text.substr(from, last + 1 - from));
    }
    at = end + 1;
  }
  return tools;
}

Strength strength_of(const std::string& word) {
  const StrengthRow* row = strength_row(word);
  return row == nullptr ? Strength::kSaysNothing : row->strength;
}

// What a range leaves out on the axis it shares with another one.
bool apart(const trade::Expectation& a, const trade::Expectation& b) {
  const auto end = [](const std::optional<double>& value, const trade::Unit& from,
                      const trade::Unit& to,
                      double open) { return value ? trade::convert(*value, from, to) : open; };
  constexpr double kOpen = std::numeric_limits<double>::infinity();
  const double b_low = end(b.low, *b.unit, *a.unit, -kOpen);
  const double b_high = end(b.high, *b.unit, *a.unit, kOpen);
  return a.high.value_or(kOpen) <= b_low || b_high <= a.low.value_or(-kOpen);
}

// How another tip's expectation stands to the one the check is shown with.
enum class Likeness { same, turned, other };
Likeness likeness(const std::optional<trade::Expectation>& shown,
                  const std::optional<trade::Expectation>& other) {
  if (!shown || !other) return Likeness::same;  // it means what the others say
  if (shown->is_range() != other->is_range()) return Likeness::other;
  if (!shown->is_range()) {
    return shop::folded_words(shown->plain) == shop::folded_words(other->plain) ? Likeness::same
                                                                                : Likeness::other;
  }
  if (shown->unit->dimension != other->unit->dimension) return Likeness::other;
  return apart(*shown, *other) ? Likeness::turned : Likeness::same;
}

// Whether the tip gave the check a key of its own: without one its id is made of its name.
bool has_key(const shop::Check& check) { return check.id != shop::slug_of(check.name); }

class Joiner {
 public:
  explicit Joiner(Case& into) : into_(into) {}

  void add(const shop::Check& check, std::size_t cause, const shop::Tip& tip) {
    Check& joined = into_.checks[place_of(check, tip)];
    // A tip that asks twice for one check has said it once.
    if (!joined.effects.empty() && joined.effects.back().cause == cause) return;
    Effect effect;
    effect.cause = cause;
    effect.outside = strength_of(check.outside);
    effect.inside = strength_of(check.inside);
    effect.expect = check.expect;
    effect.correct = check.correct;
    const Likeness like = likeness(joined.expect, check.expect);
    effect.turned = like == Likeness::turned;
    effect.other_answer = like == Likeness::other;
    if (!joined.expect && check.expect) {
      joined.expect = check.expect;
      joined.correct = check.correct;
      joined.expect_words = trade::in_words(*check.expect);
    }
    joined.effects.push_back(std::move(effect));
  }

 private:
  std::size_t place_of(const shop::Check& check, const shop::Tip& tip) {
    const auto by_id = by_id_.find(check.id);
    if (by_id != by_id_.end()) return by_id->second;
    const std::string words = shop::folded_words(check.name);
    const auto by_words = by_words_.find(words);
    if (by_words != by_words_.end() && (!has_key(check) || !by_words->second.keyed)) {
      // The key, where only one of them has it, is the name that jobs keep readings under.
      Check& joined = into_.checks[by_words->second.place];
      if (has_key(check)) joined.id = check.id;
      by_words->second.keyed |= has_key(check);
      by_id_[check.id] = by_words->second.place;
      return by_words->second.place;
    }
    const std::size_t place = into_.checks.size();
    Check joined;
    joined.id = check.id;
    joined.name = check.name;
    joined.fact = check.fact.empty() ? check.id : check.fact;
    joined.minutes = check.minutes > 0 ? check.minutes : kCheckMinutes;
    joined.minutes_assumed = check.minutes <= 0;
    joined.access = check.access;
    joined.tools = tools_of(check.tools);
    joined.valid = check.valid;
    joined.expect_words = check.expect_text;
    joined.text = check.text;
    joined.why = check.why;
    joined.tip = tip.id;
    into_.checks.push_back(std::move(joined));
    by_id_[check.id] = place;
    by_words_[words] = {place, has_key(check)};
    return place;
  }

  struct Words {
    std::size_t place = 0;
    bool keyed = false;
  };
  Case& into_;
  std::map<std::string, std::size_t, std::less<>> by_id_;
  std::map<std::string, Words> by_words_;
};

// The rates of one effect on the answers as the check is shown: a turned one's outside is inside.
Rates rates_of(const Effect& effect) {
  if (effect.other_answer) return {};
  const double outside = ratio_of(effect.turned ? effect.inside : effect.outside);
  const double inside = ratio_of(effect.turned ? effect.outside : effect.inside);
  return diagnosis::rates_of(outside, inside);
}

void fill_priors(Case& made, double beyond) {
  Weights weights;
  for (const Cause& cause : made.causes) {
    double weight = cause.share;
    for (const Known& known : cause.known) weight *= known.ratio;
    weights.push_back(weight);
  }
  weights.back() = beyond;
  if (!normalise(weights)) weights.back() = 1;
  // Something not in the book always keeps some weight.
  if (weights.size() > 1 && weights.back() < kLeastBeyondPrior) {
    const double rest = (1 - kLeastBeyondPrior) / (1 - weights.back());
    for (double& weight : weights) weight *= rest;
    weights.back() = kLeastBeyondPrior;
  }
  for (std::size_t i = 0; i < weights.size(); ++i) made.causes[i].prior = weights[i];
}

}  // namespace

const Check* Case::check(std::string_view id) const {
  const auto at =
      std::find_if(checks.begin(), checks.end(), [&](const Check& one) { return one.id == id; });
  return at == checks.end() ? nullptr : &*at;
}

// The probability of an answer outside under every cause. Each effect's words give the rate with
// its cause. Causes that say nothing about the check show what the others' authors call "without":
// of the effects that an answer outside speaks for, where there are some, because theirs is the
// rate of a healthy car; an effect that it speaks against has its rivals in that rate.
void fill_outside(Check& check, std::size_t causes) {
  double for_sum = 0;
  double all_sum = 0;
  int for_count = 0;
  int all_count = 0;
  for (const Effect& effect : check.effects) {
    const Rates rates = rates_of(effect);
    if (rates.with == rates.without) continue;
    all_sum += logit(rates.without);
    ++all_count;
    if (rates.with > rates.without) {
      for_sum += logit(rates.without);
      ++for_count;
    }
  }
  const double mean = for_count > 0 ? for_sum / for_count : all_count > 0 ? all_sum / all_count : 0;
  check.outside_elsewhere = 1 / (1 + std::exp(-mean));
  check.outside.assign(causes, check.outside_elsewhere);
  for (const Effect& effect : check.effects) {
    const Rates rates = rates_of(effect);
    if (rates.with != rates.without) check.outside[effect.cause] = rates.with;
  }
}

Case make_case(const std::vector<Candidate>& candidates, double beyond) {
  // Heaviest first, so that a check that several tips ask for is told in the words of the
  // likeliest.
  std::vector<const Candidate*> order;
  std::set<std::string> ids;
  for (const Candidate& candidate : candidates) {
    if (ids.insert(candidate.tip.id).second) order.push_back(&candidate);
  }
  const auto weight = [](const Candidate* candidate) {
    double product = candidate->share;
    for (const Known& known : candidate->known) product *= known.ratio;
    return product;
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](const Candidate* a, const Candidate* b) { return weight(a) > weight(b); });

  Case made;
  Joiner joiner(made);
  for (const Candidate* candidate : order) {
    const shop::Tip& tip = candidate->tip;
    Cause cause;
    cause.tip = tip.id;
    cause.title = tip.title;
    cause.path = tip.path;
    cause.system = tip.system;
    cause.component = tip.component;
    cause.minutes_assumed = tip.repair_minutes <= 0;
    cause.repair_minutes = cause.minutes_assumed ? kRepairMinutes : tip.repair_minutes;
    cause.share = candidate->share;
    cause.known = candidate->known;
    for (const shop::Check& check : tip.checks) joiner.add(check, made.causes.size(), tip);
    made.causes.push_back(std::move(cause));
  }
  Cause unknown;
  unknown.title = marked("Something not in the book");
  unknown.repair_minutes = kBeyondMinutes;
  unknown.share = beyond;
  made.causes.push_back(std::move(unknown));
  for (Check& check : made.checks) fill_outside(check, made.causes.size());
  fill_priors(made, std::max(beyond, 0.0));
  return made;
}

}  // namespace baylore::diagnosis
