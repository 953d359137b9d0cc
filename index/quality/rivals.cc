#include "quality/rivals.h"
#include "words/words.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace baylore::quality {
namespace {

// How much of the window's test a part has passed that is still in service after `time`.
class Exposure {
 public:
  Exposure(const std::vector<std::vector<Life>>& rivals, double window) : window_(window) {
    std::vector<Life> all;
    int failed = 0;
    for (const auto& rival : rivals) {
      for (const Life& life : rival) {
        all.push_back(life);
        failed += life.failed && life.time <= window ? 1 : 0;
      }
    }
    if (failed < kShapeNeeds) return;
    curve_ = kaplan_meier(std::move(all));
    const Step* last = curve_.step_at(window);
    fails_ = last == nullptr ? 0 : 1 - last->survival;
  }
  [[nodiscard]] double of(double time) const {
    if (time >= window_) return 1;
    if (fails_ <= 0) return time / window_;
    const Step* step = curve_.step_at(time);
    return step == nullptr ? 0 : (1 - step->survival) / fails_;
  }

 private:
  double window_;
  Curve curve_;
  double fails_ = 0;
};

Count count(const std::vector<Life>& lives, double window, const Exposure& exposure) {
  Count count;
  for (const Life& life : lives) {
    if (!(life.time >= 0) || std::isinf(life.time)) continue;
    const bool back = life.failed && life.time <= window;
    count.hits += back ? 1 : 0;
    count.of += life.failed ? 1 : exposure.of(life.time);
  }
  return count;
}

void tell_share(Judged& judged) {
  judged.share = jeffreys(judged.window.hits, judged.window.of, kScreenConfidence);
  judged.mean = jeffreys_mean(judged.window.hits, judged.window.of);
}

}  // namespace

std::string_view verdict_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::too_few:
      return tr("too few to judge");
    case Verdict::no_clear_difference:
      return tr("no clear difference");
    case Verdict::likely_worse:
      return tr("likely worse");
    case Verdict::clearly_worse:
      break;
  }
  return tr("clearly worse");
}

double times_as_often(double observed_a, double expected_a, double observed_b, double expected_b) {
  const double a = expected_a > 0 ? observed_a / expected_a : 0;
  const double b = expected_b > 0 ? observed_b / expected_b : 0;
  if (b > 0) return a / b;
  return a > 0 ? std::numeric_limits<double>::infinity() : 1;
}

// Holm: the smallest of m probabilities is held against alpha / m, the next against alpha / (m -
// 1), until one does not pass.
std::vector<Verdict> verdicts(const std::vector<Evidence>& rivals) {
  std::vector<Verdict> words(rivals.size(), Verdict::too_few);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < rivals.size(); ++i) {
    if (!rivals[i].enough) continue;
    words[i] = Verdict::no_clear_difference;
    order.push_back(i);
  }
  std::sort(order.begin(), order.end(),
            [&](std::size_t x, std::size_t y) { return rivals[x].a_worse < rivals[y].a_worse; });
  const auto call = [&](double alarm, double times, Verdict word) {
    for (std::size_t i = 0; i < order.size(); ++i) {
      const Evidence& rival = rivals[order[i]];
      if (rival.a_worse > alarm / static_cast<double>(order.size() - i)) return;
      if (rival.failures >= kFewestFailures && rival.times >= times) words[order[i]] = word;
    }
  };
  call(kLikelyAlarm, kLikelyTimes, Verdict::likely_worse);
  call(kClearlyAlarm, kClearlyTimes, Verdict::clearly_worse);
  return words;
}

// 1. Each rival's count within the window, the young ones in part.
// 2. Each against the rest, by the share and over the whole lives.
// 3. The words.
Judgement judge(const std::vector<std::vector<Life>>& rivals, double window) {
  Judgement judgement;
  judgement.rivals.resize(rivals.size());
  const Exposure exposure(rivals, window);
  std::vector<Count> counts;
  for (std::size_t i = 0; i < rivals.size(); ++i) {
    Judged& judged = judgement.rivals[i];
    judged.window = count(rivals[i], window, exposure);
    tell_share(judged);
    counts.push_back(judged.window);
    judgement.all.window.hits += judged.window.hits;
    judgement.all.window.of += judged.window.of;
  }
  tell_share(judgement.all);
  judgement.scatter = scatter_of(counts);
  judgement.all.drawn_in = judgement.scatter.of(judgement.all.window);
  const std::vector<LogRank> lives = each_against_rest(rivals);
  std::vector<Evidence> evidence;
  for (std::size_t i = 0; i < rivals.size(); ++i) {
    Judged& judged = judgement.rivals[i];
    judged.drawn_in = judgement.scatter.of(judged.window);
    const Count rest{judgement.all.window.hits - judged.window.hits,
                     std::max(judgement.all.window.of - judged.window.of, 0.0)};
    judged.lives = lives[i];
    judged.times = times_as_often(lives[i].observed_a, lives[i].expected_a, lives[i].observed_b,
                                  lives[i].expected_b);
    evidence.push_back({judged.window.of >= kFewest && rest.of >= kFewest, judged.lives.a_worse,
                        judged.lives.observed_a, judged.times});
    if (!evidence.back().enough) continue;
    judged.chance_worse =
        chance_greater(jeffreys_posterior(judged.window.hits, judged.window.of),
                       jeffreys_posterior(rest.hits, std::max(rest.of, rest.hits)));
  }
  const std::vector<Verdict> words = verdicts(evidence);
  for (std::size_t i = 0; i < words.size(); ++i) judgement.rivals[i].verdict = words[i];
  return judgement;
}

}  // namespace baylore::quality
