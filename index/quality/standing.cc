#include "quality/standing.h"
#include "words/words.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace baylore::quality {
namespace {

using shop::Grade;

// What parts are gathered under while a family is read.
struct Gathered {
  Rival rival;
  std::vector<Life> months;
  std::vector<Life> km;
};

class Gatherer {
 public:
  Gatherer(const History& history, By by) : history_(history), by_(by) {}

  Gathered& of(const FittedPart& part) {
    const Label& label = history_.labels()[part.label];
    const auto [at, added] = places_.emplace(key_of(part, label), gathered_.size());
    if (added) {
      gathered_.emplace_back();
      begin(gathered_.back().rival, label, at->first);
    }
    return gathered_[at->second];
  }
  std::vector<Gathered>& all() { return gathered_; }

 private:
  [[nodiscard]] Grade grade_of(const Label& label) const {
    if (label.family == history_.not_listed()) return Grade::unknown;
    return history_.parts().families()[label.family].numbers[label.number].grade;
  }
  [[nodiscard]] std::string key_of(const FittedPart& part, const Label& label) const {
    switch (by_) {
      case By::number:
        return label.name;
      case By::brand:
        return label.brand;
      case By::grade:
        return std::string(shop::grade_word(grade_of(label)));
      case By::lot:
        break;
    }
    return history_.lots()[part.lot];
  }
  void begin(Rival& rival, const Label& label, const std::string& key) const {
    rival.name = key;
    if (key.empty()) rival.name = by_ == By::lot ? "no lot said" : "not said";
    if (by_ == By::number || by_ == By::brand) rival.brand = label.brand;
    if (by_ == By::number || by_ == By::grade) rival.grade = grade_of(label);
    if (by_ == By::number && label.family != history_.not_listed())
      rival.place = shop::PartBook::Place{label.family, label.number};
  }

  const History& history_;
  By by_;
  std::map<std::string, std::size_t> places_;
  std::vector<Gathered> gathered_;
};

void count(Tally& tally, const FittedPart& part) {
  ++tally.fitted;
  ++(part.failed ? tally.failed : tally.in_service);
  tally.unclear += part.unclear ? 1 : 0;
}

void take(Gathered& into, const FittedPart& part) {
  count(into.rival.all, part);
  if (part.location == 0) count(into.rival.own, part);
  into.months.push_back(part.life_months());
  if (!std::isnan(part.km)) into.km.push_back(part.life_km());
  if (part.failed) into.rival.failures.push_back(part.record);
}

void finish(Gathered& gathered) {
  Rival& rival = gathered.rival;
  rival.dead_share = jeffreys(rival.all.dead_on_arrival,
                              rival.all.dead_on_arrival + rival.all.fitted, kScreenConfidence);
  rival.wear = fit_weibull(gathered.months);
  rival.months = kaplan_meier(std::move(gathered.months));
  rival.km = kaplan_meier(std::move(gathered.km));
}

void find_often_dead(std::vector<Rival>& rivals, const Tally& all) {
  std::vector<std::pair<double, Rival*>> order;
  for (Rival& rival : rivals) {
    const double p =
        fisher_exact(rival.all.dead_on_arrival, rival.all.fitted,
                     all.dead_on_arrival - rival.all.dead_on_arrival, all.fitted - rival.all.fitted)
            .greater;
    order.emplace_back(p, &rival);
  }
  std::sort(order.begin(), order.end());
  for (std::size_t i = 0; i < order.size(); ++i) {
    if (order[i].first > kClearlyAlarm / static_cast<double>(order.size() - i)) return;
    order[i].second->often_dead = order[i].second->all.dead_on_arrival >= kFewestFailures;
  }
}

}  // namespace

Standing standing_of(const History& history, const std::vector<std::size_t>& families, By by,
                     const Among& among) {
  const auto wanted = [&](const FittedPart& part) {
    return (!among.own_only || part.location == 0) && (!among.label || part.label == *among.label);
  };
  Gatherer gatherer(history, by);
  Gathered whole;
  std::vector<float> minutes;
  for (const std::size_t family : families) {
    for (const FittedPart& part : history.fitted(family)) {
      if (!wanted(part)) continue;
      take(gatherer.of(part), part);
      take(whole, part);
      if (part.minutes > 0) minutes.push_back(part.minutes);
    }
    for (const FittedPart& part : history.dead(family)) {
      if (!wanted(part)) continue;
      for (Rival* rival : {&gatherer.of(part).rival, &whole.rival}) {
        ++rival->all.dead_on_arrival;
        if (part.location == 0) ++rival->own.dead_on_arrival;
      }
    }
  }
  std::vector<Gathered>& gathered = gatherer.all();
  std::sort(gathered.begin(), gathered.end(), [](const Gathered& a, const Gathered& b) {
    return a.rival.all.fitted != b.rival.all.fitted ? a.rival.all.fitted > b.rival.all.fitted
                                                    : a.rival.name < b.rival.name;
  });

  Standing standing;
  standing.families = families;
  if (!minutes.empty()) {
    const auto middle = minutes.begin() + static_cast<std::ptrdiff_t>(minutes.size() / 2);
    std::nth_element(minutes.begin(), middle, minutes.end());
    standing.median_minutes = *middle;
  }
  standing.by = by;
  standing.window_months = history.counting().window_months;
  std::vector<std::vector<Life>> lives;
  lives.reserve(gathered.size());
  for (const Gathered& each : gathered) lives.push_back(each.months);
  Judgement judgement = judge(lives, standing.window_months);
  standing.scatter = judgement.scatter;
  for (std::size_t i = 0; i < gathered.size(); ++i) {
    finish(gathered[i]);
    gathered[i].rival.judged = judgement.rivals[i];
    standing.rivals.push_back(std::move(gathered[i].rival));
  }
  find_often_dead(standing.rivals, whole.rival.all);
  finish(whole);
  whole.rival.name = "all";
  whole.rival.judged = judgement.all;
  standing.all = std::move(whole.rival);

  // This shop's own parts beside all of them: the same shares from its lives alone.
  if (!among.own_only && history.locations().size() > 1) {
    Among own = among;
    own.own_only = true;
    const Standing here = standing_of(history, families, by, own);
    for (Rival& rival : standing.rivals) {
      for (const Rival& same : here.rivals) {
        if (same.name != rival.name) continue;
        rival.own_share = same.judged.share;
        rival.own_mean = same.judged.mean;
        rival.own_window = same.judged.window;
      }
    }
    standing.all.own_share = here.all.judged.share;
    standing.all.own_mean = here.all.judged.mean;
    standing.all.own_window = here.all.judged.window;
  } else {
    for (Rival& rival : standing.rivals) {
      rival.own_share = rival.judged.share;
      rival.own_mean = rival.judged.mean;
      rival.own_window = rival.judged.window;
    }
    standing.all.own_share = standing.all.judged.share;
    standing.all.own_mean = standing.all.judged.mean;
    standing.all.own_window = standing.all.judged.window;
  }
  return standing;
}

std::vector<BrandLine> brands_of(const History& history,
                                 const std::vector<std::vector<std::size_t>>& components) {
  struct Sum {
    BrandLine line;
    int all_failures = 0;  // of all brands, where this one was among the rivals
    double rest_expected = 0;
    std::size_t compared = 0;  // fitted, where there are rivals
  };
  std::map<std::string, Sum> sums;
  for (const std::vector<std::size_t>& families : components) {
    std::map<std::string, std::vector<Life>> lives;
    for (const std::size_t family : families) {
      for (const FittedPart& part : history.fitted(family)) {
        const std::string& brand = history.labels()[part.label].brand;
        lives[brand].push_back(part.life_months());
        count(sums[brand].line.all, part);
      }
      for (const FittedPart& part : history.dead(family))
        ++sums[history.labels()[part.label].brand].line.all.dead_on_arrival;
    }
    std::vector<std::vector<Life>> groups;
    groups.reserve(lives.size());
    for (const auto& [brand, group] : lives) groups.push_back(group);
    const std::vector<LogRank> tests = each_against_rest(groups);
    std::size_t i = 0;
    for (const auto& [brand, group] : lives) {
      Sum& sum = sums[brand];
      ++sum.line.components;
      const LogRank& test = tests[i++];
      if (groups.size() < 2) continue;
      sum.compared += group.size();
      sum.line.observed += test.observed_a;
      sum.line.expected += test.expected_a;
      sum.all_failures += test.observed_a + test.observed_b;
      sum.rest_expected += test.expected_b;
    }
  }
  std::vector<BrandLine> lines;
  std::vector<Evidence> evidence;
  for (auto& [brand, sum] : sums) {
    if (brand.empty()) continue;
    BrandLine& line = sum.line;
    line.name = brand;
    line.a_worse = falls_to_it(line.observed, sum.all_failures, line.expected);
    line.times = times_as_often(line.observed, line.expected, sum.all_failures - line.observed,
                                sum.rest_expected);
    evidence.push_back({static_cast<double>(sum.compared) >= kFewest && sum.rest_expected > 0,
                        line.a_worse, line.observed, line.times});
    lines.push_back(std::move(line));
  }
  const std::vector<Verdict> words = verdicts(evidence);
  for (std::size_t i = 0; i < lines.size(); ++i) lines[i].verdict = words[i];
  std::sort(lines.begin(), lines.end(), [](const BrandLine& a, const BrandLine& b) {
    return a.all.fitted != b.all.fitted ? a.all.fitted > b.all.fitted : a.name < b.name;
  });
  return lines;
}

std::optional<Choice> choice_of(const History& history, const Standing& standing,
                                const Rival& rival, const Rates& rates) {
  if (!rival.place) return std::nullopt;
  const shop::PartNumber& number = history.parts().number(*rival.place);
  if (history.parts().family(*rival.place).safety_critical || number.price <= 0)
    return std::nullopt;
  Choice choice;
  choice.price = number.price;
  choice.share = rival.judged.drawn_in;
  constexpr double kHour = 60;
  choice.comeback.labour = rates.labour_an_hour * standing.median_minutes / kHour;
  choice.comeback.part = number.warranty.months >= standing.window_months ? 0 : number.price;
  choice.comeback.goodwill = rates.goodwill;
  return choice;
}

std::string in_words(const Tally& tally) {
  std::string words = say("{0} fitted, {1} failed", tally.fitted, tally.failed);
  if (tally.unclear > 0) words += " " + say("({0} without a stated reason)", tally.unclear);
  if (tally.dead_on_arrival > 0) words += ", " + say("{0} dead on arrival", tally.dead_on_arrival);
  return words;
}

std::string in_words(const Judged& judged, double window_months) {
  if (judged.verdict == Verdict::too_few) return std::string(verdict_word(judged.verdict));
  std::string words(verdict_word(judged.verdict));
  if (judged.verdict >= Verdict::likely_worse) {
    words += std::isinf(judged.times)
                 ? std::string(": fails where the others never did")
                 : fmt::format(": fails {:.1f} times as often as the others", judged.times);
  }
  return words + fmt::format("; {:.0f} to {:.0f} % come back within {:.0f} months, 9 in 10 sure",
                             100 * judged.share.low, 100 * judged.share.high, window_months);
}

std::string in_words(const std::variant<WeibullFit, NoFit>& wear) {
  if (const NoFit* none = std::get_if<NoFit>(&wear)) return say("no curve: {0}", none->why);
  const auto& fit = std::get<WeibullFit>(wear);
  std::string words = tr("no pattern in when they fail");
  const Wear pattern = wear_of(fit);
  if (pattern == Wear::early) words = tr("fails early");
  if (pattern == Wear::late) words = tr("wears out");
  constexpr double kTenth = 0.1;
  const double tenth = fit.time_when(kTenth);
  // Beyond ten years nobody has looked.
  if (tenth < 120) words = say("{0}: one in ten gone by {1:.0f} months", words, tenth);
  if (fit.few) words += " " + say("(few failures: {0})", fit.failed);
  return words;
}

}  // namespace baylore::quality
