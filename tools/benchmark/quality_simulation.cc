#include <algorithm>
#include <cmath>
#include <cstdio>

#include <fmt/format.h>

#include "quality.h"
#include "quality/interval.h"
#include "random.h"

namespace baylore::benchmark {

using quality::Life;

// Each rival came on the market at some time of these years and was fitted evenly since; a part is
// in service until it fails or until now.
std::vector<std::vector<Life>> drawn_family(const Family& family, std::uint64_t seed) {
  Random random(seed);
  std::vector<std::vector<Life>> rivals;
  constexpr double kWindow = 12;
  for (int i = 0; i < family.rivals; ++i) {
    const double share = std::min(family.share * (i == 0 ? family.worse : 1), 0.95);
    const double scale = kWindow / std::pow(-std::log1p(-share), 1 / family.shape);
    const double ratio = static_cast<double>(family.most) / family.fewest;
    const auto count = static_cast<int>(family.fewest * std::pow(ratio, random.share()));
    const double market = 12 * family.years * std::max(random.share(), 0.15);
    std::vector<Life> lives;
    for (int part = 0; part < count; ++part) {
      const double until_now = market * random.share();
      const double life = scale * std::pow(-std::log(random.share()), 1 / family.shape);
      lives.push_back(life <= until_now ? Life{life, true} : Life{until_now, false});
    }
    rivals.push_back(std::move(lives));
  }
  return rivals;
}

bool measure_coverage(int draws) {
  fmt::print("95 % intervals of Jeffreys, shares drawn from Beta(1/2, 1/2), {} each\n", draws);
  bool good = true;
  Random random(1);
  for (const int n : {5, 20, 100, 500}) {
    std::vector<quality::Interval> intervals;
    for (int x = 0; x <= n; ++x) intervals.push_back(quality::jeffreys(x, n, 0.95));
    int held = 0;
    for (int draw = 0; draw < draws; ++draw) {
      const double p = std::pow(std::sin(random.share() * std::acos(-1.0) / 2), 2);
      std::size_t hits = 0;
      for (int i = 0; i < n; ++i) hits += random.chance(p) ? 1U : 0U;
      held += intervals[hits].low <= p && p <= intervals[hits].high ? 1 : 0;
    }
    const double share = static_cast<double>(held) / draws;
    fmt::print("  of {:4}: {:.2f} % hold it (93 to 97)\n", n, 100 * share);
    good &= share >= 0.93 && share <= 0.97;
  }
  return good;
}

namespace {

struct Called {
  int clearly = 0;        // families in which one is called clearly worse
  int likely = 0;         // or likely worse
  int first_clearly = 0;  // in which the first is
  int first_likely = 0;
};

Called called(const Family& family, int families, std::uint64_t seed) {
  Called called;
  for (int i = 0; i < families; ++i) {
    const auto judged =
        quality::judge(drawn_family(family, seed + static_cast<std::uint64_t>(i)), 12).rivals;
    const auto is = [](quality::Verdict verdict) {
      return [verdict](const quality::Judged& rival) { return rival.verdict == verdict; };
    };
    const bool clearly =
        std::any_of(judged.begin(), judged.end(), is(quality::Verdict::clearly_worse));
    called.clearly += clearly ? 1 : 0;
    called.likely +=
        clearly || std::any_of(judged.begin(), judged.end(), is(quality::Verdict::likely_worse))
            ? 1
            : 0;
    called.first_clearly += judged[0].verdict == quality::Verdict::clearly_worse ? 1 : 0;
    called.first_likely += judged[0].verdict >= quality::Verdict::likely_worse ? 1 : 0;
  }
  return called;
}

}  // namespace

bool measure_verdicts(int families) {
  fmt::print("20 equal rivals, {} families each: one is called ...\n", families);
  fmt::print("  {:>6} {:>6} {:>10} {:>16} {:>16}\n", "share", "shape", "parts", "clearly worse",
             "likely or more");
  bool good = true;
  std::uint64_t seed = 1;
  const auto percent = [&](int count) { return 100.0 * count / families; };
  for (const double share : {0.01, 0.04, 0.1, 0.3}) {
    for (const double shape : {0.6, 1.0, 2.5}) {
      for (const int most : {40, 400}) {
        Family family;
        family.share = share;
        family.shape = shape;
        family.most = most;
        const Called count = called(family, families, seed);
        seed += static_cast<std::uint64_t>(families);
        fmt::print("  {:6.2f} {:6.1f} {:>10} {:14.2f} % {:14.2f} %\n", share, shape,
                   fmt::format("3 to {}", most), percent(count.clearly), percent(count.likely));
        // Three standard errors of a simulated 2.5 % are let through.
        good &= count.clearly <= families * 0.025 + 3 * std::sqrt(families * 0.025 * 0.975);
      }
    }
  }
  fmt::print(
      "one of 8 rivals that comes back more often, 40 to 120 parts each: it is called ...\n");
  fmt::print("  {:>6} {:>6} {:>16} {:>16}\n", "share", "times", "clearly worse", "likely or more");
  for (const double share : {0.03, 0.06}) {
    for (const double worse : {2.0, 3.0, 5.0}) {
      Family family;
      family.rivals = 8;
      family.fewest = 40;
      family.share = share;
      family.worse = worse;
      const Called count = called(family, families, seed);
      seed += static_cast<std::uint64_t>(families);
      fmt::print("  {:6.2f} {:6.0f} {:14.1f} % {:14.1f} %\n", share, worse,
                 percent(count.first_clearly), percent(count.first_likely));
    }
  }
  return good;
}

}  // namespace baylore::benchmark
