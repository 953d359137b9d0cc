// What the records say: how often each tip was the cause, on this vehicle and on all, and what a
// tip has proved.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "shop/outcome.h"
#include "shop/record_book.h"

namespace baylore::diagnosis {

struct Interval {
  double low = 0;
  double high = 0;
};

// What a tip has proved in this shop.
struct Proved {
  int used = 0;                          // jobs on which it was worked with
  int right = 0;                         // of these, it was the cause
  int came_back = 0;                     // of the right ones
  std::optional<double> median_minutes;  // of the right ones that say their minutes
  std::optional<Interval> right_share;   // 95 %, Wilson (1927); nothing when never used
  std::optional<Interval> came_back_share;
  std::optional<Interval> minutes;  // of the median, at least 95 %, from order statistics; nothing
                                    // below six jobs
  bool few = true;                  // fewer than kFew uses: told, not judged
};
inline constexpr int kFew = 5;

// "used 14, right 11, came back 1, median 95 min"; with shares and intervals where few.
std::string in_words(const Proved& proved);

// Wilson's score interval for `hits` of `of`, 95 %.
Interval wilson(int hits, int of);

// How many jobs' worth of weight the wider group of vehicles has against the narrower one: with
// five jobs on the very vehicle, those and all the others count alike. Common practice, no source.
inline constexpr double kConcentration = 5;
// The share of jobs that end in "none of these" before any is recorded.
inline constexpr double kBeyondShare = 0.1;

class Experience {
 public:
  // Takes in what the book learned since the last call; the same book every time. True when
  // something changed. Corrections take the place of what they correct.
  bool take(const shop::RecordBook& book);

  [[nodiscard]] Proved proved(const std::string& tip) const;

  // The share of each tip among `tips`, and of none of them, on one vehicle: Dirichlet smoothing
  // from all vehicles down to the make, the model and the very vehicle (engine and year), each
  // level's shares being the next one's expectation (MacKay and Peto 1995, "A hierarchical
  // Dirichlet language model"). All equal when nothing is recorded. Together 1.
  struct Shares {
    std::vector<double> tips;
    double none = kBeyondShare;
    std::vector<int> right;  // how often each was the cause, on all vehicles
  };
  [[nodiscard]] Shares shares(const std::vector<std::string>& tips, const shop::Car& car) const;

  [[nodiscard]] std::size_t jobs() const { return jobs_; }  // outcomes taken in

 private:
  struct PerTip {
    int used = 0;
    int right = 0;
    int came_back = 0;
    std::vector<double> minutes;
  };
  void count(const shop::Outcome& outcome, const std::vector<shop::Comeback>& comebacks, int by);
  std::unordered_map<std::string, PerTip> tips_;
  std::unordered_map<std::string, int> at_;  // level and tip -> times right
  std::unordered_map<std::string, int> none_at_, all_at_;
  std::size_t jobs_ = 0;
  std::size_t seen_ = 0;
};

}  // namespace baylore::diagnosis
