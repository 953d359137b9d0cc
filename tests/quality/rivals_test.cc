// The words: what they rest on, and how often they are wrong. tools/bench quality has the long
// form.
#include "quality/rivals.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <vector>

#include "quality/note.h"

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
  // Four failures are no curve yet: the young still count by the share of the window.
  const auto few = judge({lives(4, 30, 1, 6), lives(0, 30, 1, 24)}, 12).rivals;
  CHECK(few[0].window.of == doctest::Approx(4 + 15));
  // Of five, all in the first month, whoever is past it has passed the test.
  const auto early = judge({lives(5, 30, 1, 6), lives(0, 30, 1, 24)}, 12).rivals;
  CHECK(early[0].window.of == doctest::Approx(5 + 30));
  // Fails after the window: no comeback, and yet worse.
  const auto late = judge({lives(20, 20, 28, 36), lives(2, 80, 20, 36)}, 12).rivals;
  CHECK(late[0].window.hits == 0);
  CHECK(late[0].verdict == Verdict::clearly_worse);
}

TEST_CASE("times that cannot be are no lives") {
  const auto sound = judge({lives(3, 30, 2, 24), lives(2, 40, 3, 24)}, 12).rivals;
  std::vector<Life> odd = lives(3, 30, 2, 24);
  for (const double time : {-1.0, double{INFINITY}, double{-INFINITY}, double{NAN}}) {
    odd.push_back({time, false});
    odd.push_back({time, true});
  }
  const auto judged = judge({odd, lives(2, 40, 3, 24)}, 12).rivals;
  CHECK(judged[0].window.hits == sound[0].window.hits);
  CHECK(judged[0].window.of == doctest::Approx(sound[0].window.of));
}

TEST_CASE("what a note says of a part, and not of the work") {
  for (const char* avoid :
       {"Avoid.", "Cheap, but avoid: the seal swells.", "AVOID this one", "Do not fit",
        "Comes back within a year.", "Never again!", "Not recommended for the 3.6 V6.",
        "Do not use again", "Never fit this one.", "Avoid these on the 3.6 V6"}) {
    CAPTURE(avoid);
    CHECK(leaning_of(avoid) == Leaning::avoid);
  }
  for (const char* praise : {"Metal last gear. Louder, lasts.", "Never had one back.",
                             "The best of the three", "never came back"}) {
    CAPTURE(praise);
    CHECK(leaning_of(praise) == Leaning::praise);
  }
  for (const char* none :
       {"", "Fits without the spacer.", "Avoid touching the glass.", "Not the best",
        "Do not avoid it", "Nothing lasts here", "Do not fit without the spacer.",
        "Never fit it dry", "Do not use the old bolts", "Lasts only a year",
        "Lasts, but the early lot came back."}) {
    CAPTURE(none);
    CHECK(leaning_of(none) == Leaning::none);
  }
}

TEST_CASE("a note is contradicted by enough evidence only, and only by its opposite") {
  const auto told = [](int failed, int fitted, const char* note) {
    const Judgement judged = judge(
        {lives(failed, fitted - failed, 5, 24), lives(10, 190, 6, 24), lives(6, 120, 7, 24)}, 12);
    Rival rival;
    rival.all = {.fitted = fitted, .in_service = fitted - failed, .failed = failed};
    rival.judged = judged.rivals[0];
    return contradiction(note, rival);
  };
  CHECK(told(0, 31, "Avoid.") == "note says avoid; 0 of 31 came back");
  CHECK(told(0, 12, "Avoid.").empty());  // a dozen clear nobody
  CHECK(told(4, 31, "Avoid.").empty());  // no clear difference, and yet nothing against the note
  CHECK(told(12, 40, "Avoid.").empty());
  CHECK(told(12, 40, "Lasts.") == "note praises it; 12 of 40 came back, clearly worse");
  CHECK(told(0, 31, "Lasts.").empty());
  CHECK(told(0, 31, "Fits without the spacer.").empty());
}

TEST_CASE("Holm: the second is held against what is left") {
  const auto words = verdicts({{true, 0.012, 5, 3}, {true, 0.02, 5, 3}, {true, 0.9, 5, 1}});
  CHECK(words[0] == Verdict::likely_worse);  // 0.012 > 0.025 / 3, < 0.1 / 3
  CHECK(words[1] == Verdict::likely_worse);
  CHECK(words[2] == Verdict::no_clear_difference);
  CHECK(verdicts({{true, 0.001, 2, 9}})[0] == Verdict::no_clear_difference);  // two failures
  CHECK(verdicts({{true, 0.001, 3, 9}})[0] == Verdict::clearly_worse);        // three
  CHECK(verdicts({{true, 0.001, 50, 1.3}})[0] == Verdict::likely_worse);      // hardly more often
  CHECK(verdicts({{false, 0.001, 50, 9}})[0] == Verdict::too_few);
}

TEST_CASE("a note that the records contradict is told, others are left in peace") {
  CHECK(leaning_of("Avoid: comes back.") == Leaning::avoid);
  CHECK(leaning_of("Louder, lasts.") == Leaning::praise);
  CHECK(leaning_of("Never came back to us: the best.") == Leaning::praise);
  CHECK(leaning_of("Fits without the spacer.") == Leaning::none);
  CHECK(leaning_of("") == Leaning::none);
  const auto told = [](const std::vector<std::vector<Life>>& rivals, const char* note) {
    const Judgement judgement = judge(rivals, 12);
    Rival rival;
    rival.judged = judgement.rivals[0];
    for (const Life& life : rivals[0]) ++(life.failed ? rival.all.failed : rival.all.in_service);
    rival.all.fitted = static_cast<int>(rivals[0].size());
    return contradiction(note, rival);
  };
  const auto good = lives(0, 31, 1, 24);
  const auto usual = lives(4, 60, 5, 24);
  const auto bad = lives(15, 25, 5, 24);
  CHECK(told({good, usual, usual}, "avoid") == "note says avoid; 0 of 31 came back");
  CHECK(told({good, usual, usual}, "lasts").empty());
  CHECK(told({lives(0, 9, 1, 24), usual, usual}, "avoid").empty());  // too little to clear it
  CHECK(told({bad, usual, usual}, "avoid").empty());
  CHECK(told({bad, usual, usual}, "lasts") == "note praises it; 15 of 40 came back, clearly worse");
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
