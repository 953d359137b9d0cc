#include "diagnosis/experience.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <random>

#include "support/scratch.h"

using namespace baylore;
using namespace baylore::diagnosis;
using shop::Outcome;

namespace {

const shop::Car kHauler = {"Corvane", "Hauler", 2016, "3.6 V6"};
const shop::Car kPallet = {"Corvane", "Pallet", 2018, "2.2 diesel"};
const shop::Car kVane = {"Ostrel", "Vane", 2012, "2.0 I4"};

// A shop whose records are written by hand, and what is learned of them.
class Learned {
 public:
  void write(const shop::Record& record, const std::string& terminal = "bay-1") {
    REQUIRE(shop::append_record(files::real_disk(), scratch_.folder(), terminal, record));
  }
  std::string outcome(const std::string& right, const shop::Car& car = kHauler, double minutes = 0,
                      const std::string& corrects = {}) {
    Outcome made;
    made.id = "o" + std::to_string(next_++);
    made.when = "2026-03-14T10:00:00." + std::to_string(100 + next_) + "+01:00";
    made.right = right;
    made.used = {"always"};
    made.minutes = minutes;
    made.car = car;
    made.corrects = corrects;
    write(record_of(made));
    return made.id;
  }
  void comeback(const std::string& of, const std::string& reason) {
    shop::Comeback made;
    made.id = "c" + std::to_string(next_++);
    made.when = "2026-05-02T10:00:00+01:00";
    made.outcome = of;
    made.reason = reason;
    write(record_of(made));
  }
  Experience& learn() {
    static_cast<void>(learns());
    return experience_;
  }
  // Whether there was anything new.
  bool learns() {
    book_.update(files::real_disk(), scratch_.folder());
    return experience_.take(book_);
  }
  // Counted from nothing, for comparing.
  Experience anew() const {
    shop::RecordBook book;
    book.update(files::real_disk(), scratch_.folder());
    Experience experience;
    experience.take(book);
    return experience;
  }

 private:
  test::Scratch scratch_;
  shop::RecordBook book_;
  Experience experience_;
  int next_ = 0;
};

}  // namespace

TEST_CASE("with nothing recorded all tips are alike") {
  const Experience nothing;
  const auto shares = nothing.shares({"a", "b"}, kHauler);
  CHECK(shares.none == kBeyondShare);
  CHECK(shares.tips[0] == doctest::Approx((1 - kBeyondShare) / 2));
  CHECK(in_words(nothing.proved("a")) == "not used yet");
  CHECK(nothing.shares({}, kHauler).none == 1);
}

TEST_CASE("shares are smoothed from all vehicles down to the very one: worked by hand") {
  Learned shop;
  // a was right 4 times on Vanes, b once on this very Hauler; none once on a Pallet.
  for (int i = 0; i < 4; ++i) shop.outcome("a", kVane);
  shop.outcome("b", kHauler);
  shop.outcome("none", kPallet);
  const auto shares = shop.learn().shares({"a", "b"}, kHauler);
  // All: (4 + 5/2) / 10 = .65; make: only b: 5 x .65 / 6 = .541667; model and engine with year: b
  // again: 5 x .541667 / 6 = .451389, 5 x .451389 / 6 = .376157.
  const double a = 0.65 * std::pow(5.0 / 6, 3);
  // None, all: (1 + 5 x .1) / 11; make: (1 + 5 x that) / 7; model, very vehicle: 5 x that / 6 each.
  const double none = ((1 + 5 * (1.5 / 11)) / 7) * (5.0 / 6) * (5.0 / 6);
  CHECK(shares.none == doctest::Approx(none));
  CHECK(shares.tips[0] == doctest::Approx((1 - none) * a));
  CHECK(shares.tips[1] == doctest::Approx((1 - none) * (1 - a)));
  CHECK(shares.right == std::vector<int>{4, 1});
  CHECK(shares.right_here == std::vector<int>{0, 1});
  // A vehicle of which nothing is known stops at what is.
  const auto other = shop.learn().shares({"a", "b"}, {"Dunmore", "Ridge", 2015, "5.3 V8"});
  CHECK(other.tips[0] == doctest::Approx((1 - other.none) * 0.65));
}

TEST_CASE("a vehicle whose year or engine is not known is told apart by its model and no further") {
  for (const shop::Car& partly :
       {shop::Car{"Corvane", "Hauler", 0, "3.6 V6"}, shop::Car{"Corvane", "Hauler", 2016, ""}}) {
    Learned shop;
    for (int i = 0; i < 3; ++i) shop.outcome("a", partly);
    shop.outcome("b", kHauler);
    const Experience& experience = shop.learn();
    const auto by_part = experience.shares({"a", "b"}, partly);
    const auto by_model = experience.shares({"a", "b"}, {"Corvane", "Hauler", 0, ""});
    CHECK(by_part.tips == by_model.tips);
    CHECK(by_part.none == by_model.none);
  }
}

TEST_CASE("what is learned is told once") {
  Learned shop;
  shop.outcome("a");
  CHECK(shop.learns());
  CHECK_FALSE(shop.learns());
  shop.outcome("b");
  CHECK(shop.learns());
  CHECK_FALSE(shop.learns());
}

TEST_CASE("many jobs on the very vehicle outweigh the others") {
  Learned shop;
  for (int i = 0; i < 60; ++i) shop.outcome("a", kVane);
  for (int i = 0; i < 60; ++i) shop.outcome("b", kHauler);
  CHECK(shop.learn().shares({"a", "b"}, kHauler).tips[1] > 0.85);
  CHECK(shop.learn().shares({"a", "b"}, kVane).tips[0] > 0.85);
}

TEST_CASE("what a tip has proved") {
  Learned shop;
  std::string last;
  for (const double minutes : {80.0, 90.0, 95.0, 100.0, 120.0, 400.0})
    last = shop.outcome("always", kHauler, minutes);
  for (int i = 0; i < 3; ++i) shop.outcome("other");
  shop.comeback(last, "part failed");
  shop.comeback(last, "part failed");  // written down twice
  const Proved proved = shop.learn().proved("always");
  CHECK(proved.used == 9);
  CHECK(proved.right == 6);
  CHECK(proved.came_back == 1);
  CHECK(proved.median_minutes == 97.5);
  // Six values: the smallest to the largest hold the median in 1 - 2/64 of samples.
  REQUIRE(proved.minutes);
  CHECK(proved.minutes->low == 80);
  CHECK(proved.minutes->high == 400);
  CHECK(in_words(proved) ==
        "used 9, right 6, came back 1 (3 to 56 %), median 98 minutes (80 to 400)");
  const Proved few = shop.learn().proved("other");
  CHECK(few.few());
  CHECK(in_words(few) == "used 3, right 3 (too few to judge: 44 to 100 %), came back 0");
}

TEST_CASE("a comeback that was not the cause is unlearned for the vehicle") {
  Learned shop;
  const std::string wrong = shop.outcome("a");
  shop.outcome("b");
  const double before = shop.learn().shares({"a", "b"}, kHauler).tips[0];
  shop.comeback(wrong, std::string(shop::kNotTheCause));
  const auto after = shop.learn().shares({"a", "b"}, kHauler);
  CHECK(after.tips[0] < before);
  CHECK(after.right == std::vector<int>{0, 1});
  CHECK(shop.learn().proved("a").came_back == 1);
}

TEST_CASE("learning bit by bit comes to the same as learning all at once") {
  std::mt19937 random(31);
  const std::vector<std::string> tips = {"a", "b", "c", "none", ""};
  const std::vector<shop::Car> cars = {kHauler, kPallet, kVane, {}};
  for (int round = 0; round < 5; ++round) {
    Learned shop;
    std::vector<std::string> ids;
    for (int step = 0; step < 25; ++step) {
      const std::string& tip = tips[random() % tips.size()];
      switch (ids.empty() ? 0 : random() % 6) {
        case 0:
        case 1:
        case 2:
          ids.push_back(shop.outcome(tip, cars[random() % 4], 10.0 * double(random() % 9)));
          break;
        case 3:
          ids.push_back(shop.outcome(tip, cars[random() % 4], 5, ids[random() % ids.size()]));
          break;
        case 4:
          shop.comeback(ids[random() % ids.size()],
                        random() % 2 == 0 ? "part failed" : std::string(shop::kNotTheCause));
          break;
        default:
          shop.comeback("o999", "its outcome is on a terminal that has not synced");
      }
      if (random() % 3 != 0) shop.learn();
    }
    const Experience& grown = shop.learn();
    const Experience anew = shop.anew();
    REQUIRE(grown.jobs() == anew.jobs());
    for (const char* tip : {"a", "b", "c", "always"}) {
      REQUIRE(in_words(grown.proved(tip)) == in_words(anew.proved(tip)));
    }
    for (const shop::Car& car : cars) {
      const auto one = grown.shares({"a", "b", "c"}, car);
      const auto two = anew.shares({"a", "b", "c"}, car);
      for (std::size_t i = 0; i < 3; ++i) REQUIRE(one.tips[i] == doctest::Approx(two.tips[i]));
      REQUIRE(one.none == doctest::Approx(two.none));
      REQUIRE(one.none + std::accumulate(one.tips.begin(), one.tips.end(), 0.0) ==
              doctest::Approx(1));
    }
  }
}
