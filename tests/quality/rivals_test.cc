// The words: what they rest on, and how often they are wrong. tools/bench quality has the long
// form.
#include "quality/rivals.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace baylore::quality;

namespace {

std::vector<Life> lives(int failed, int in_service, double at, double until) {
  std::vector<Life> out(static_cast<std::size_t>(failed), Life{at, true});
  out.insert(out.end(), static_cast<std::size_t>(in_service), Life{until, false});
  return out;
}

}  // namespace

TEST_CASE("one of two is no verdict; nor is anything against nobody") {
  const auto judged = judge({lives(1, 1, 3, 24), lives(1, 60, 4, 24)}, 12);
  CHECK(judged.rivals[0].verdict == Verdict::too_few);
  CHECK(judged.rivals[1].verdict == Verdict::too_few);  // the others are too few
  CHECK(judge({lives(9, 9, 3, 24)}, 12).rivals[0].verdict == Verdict::too_few);
  CHECK(judge({}, 12).rivals.empty());
  CHECK(verdict_word(Verdict::clearly_worse) == "clearly worse");
}

TEST_CASE("nine of thirty against three of two hundred is clear; nought of 31 is no praise") {
  const auto judged =
      judge({lives(9, 21, 5, 24), lives(3, 197, 6, 24), lives(0, 31, 1, 24)}, 12).rivals;
  CHECK(judged[0].verdict == Verdict::clearly_worse);
  CHECK(judged[0].chance_worse > 0.999);
  CHECK(judged[0].times > 10);
  CHECK(judged[1].verdict == Verdict::no_clear_difference);
  CHECK(judged[2].verdict == Verdict::no_clear_difference);
  CHECK(judged[2].share.low == 0);
}

TEST_CASE("a young part counts in part, a late failure over its whole life") {
  // Half a window each: thirty of them are fifteen windows' worth.
  const auto young = judge({lives(0, 30, 1, 6), lives(0, 30, 1, 24)}, 12).rivals;
  CHECK(young[0].window.of == doctest::Approx(15));
  CHECK(young[1].window.of == doctest::Approx(30));
  // Fails after the window: no comeback, and yet worse.
  const auto late = judge({lives(20, 20, 28, 36), lives(2, 80, 20, 36)}, 12).rivals;
  CHECK(late[0].window.hits == 0);
  CHECK(late[0].verdict == Verdict::clearly_worse);
}

TEST_CASE("Holm: the second is held against what is left") {
  const auto words = verdicts({{true, 0.012, 5, 3}, {true, 0.02, 5, 3}, {true, 0.9, 5, 1}});
  CHECK(words[0] == Verdict::likely_worse);  // 0.012 > 0.025 / 3, < 0.1 / 3
  CHECK(words[1] == Verdict::likely_worse);
  CHECK(words[2] == Verdict::no_clear_difference);
  CHECK(verdicts({{true, 0.001, 2, 9}})[0] == Verdict::no_clear_difference);  // two failures
  CHECK(verdicts({{true, 0.001, 50, 1.3}})[0] == Verdict::likely_worse);      // hardly more often
  CHECK(verdicts({{false, 0.001, 50, 9}})[0] == Verdict::too_few);
}

TEST_CASE(
    "of families of twenty equal brands at most 2.5 % have one that is called clearly worse") {
  std::mt19937_64 dice(11);
  std::uniform_real_distribution<double> even(0, 1);
  constexpr int kFamilies = 150;
  int clearly = 0, likely = 0;
  for (int family = 0; family < kFamilies; ++family) {
    std::vector<std::vector<Life>> brands;
    for (int brand = 0; brand < 20; ++brand) {
      // 3 to 60 parts, fitted within three years; 6 % fail in the first.
      std::weibull_distribution<double> life(1.1, 12 / std::pow(-std::log(0.94), 1 / 1.1));
      std::vector<Life> of;
      for (int part = 0, count = static_cast<int>(3 * std::pow(20, even(dice))); part < count;
           ++part) {
        const double until = 36 * even(dice);
        const double time = life(dice);
        of.push_back(time <= until ? Life{time, true} : Life{until, false});
      }
      brands.push_back(std::move(of));
    }
    bool any_clearly = false, any_likely = false;
    for (const Judged& judged : judge(brands, 12).rivals) {
      any_clearly |= judged.verdict == Verdict::clearly_worse;
      any_likely |= judged.verdict == Verdict::likely_worse;
    }
    clearly += any_clearly ? 1 : 0;
    likely += any_likely ? 1 : 0;
  }
  CHECK(clearly <= 9);  // 2.5 % of 150 is 3.75; three standard errors more is 9.5
  CHECK(likely <= 26);  // 10 %, and three standard errors
}
