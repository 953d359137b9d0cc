// What the records say: how often each tip was the cause, on this vehicle and on all, and what a
// tip has proved.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "search/search.h"
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
  Interval right_share;                  // 95 %, Wilson; 0 to 1 when never used
  Interval came_back_share;              // of the right ones
  std::optional<Interval> minutes;  // of the median, at least 95 %, from order statistics; nothing
                                    // below six jobs
  [[nodiscard]] bool few() const { return used < 5; }  // told, not judged
};

// "used 14, right 11, came back 1, median 95 minutes"; where there are few, with what the share may
// be; "not used yet".
std::string in_words(const Proved& proved);

// Wilson's score interval for `hits` of `of` (1927), 95 %; 0 to 1 for none.
Interval wilson(int hits, int of);

// How many jobs' worth of weight the wider group of vehicles has against the narrower one: with
// five jobs on the very vehicle, those and all the others count alike. Common practice, no source.
inline constexpr double kConcentration = 5;
// The share of jobs that end in "none of these" before any is recorded.
inline constexpr double kBeyondShare = 0.1;

// Counts of finished jobs. Reading is thread-safe, take() is not.
class Experience {
 public:
  // Takes in what the book learned since the last call; the same book every time. True when
  // anything changed. What only adds is counted at once; a correction makes everything be counted
  // again.
  bool take(const shop::RecordBook& book);

  [[nodiscard]] Proved proved(const std::string& tip) const;
  // The counts of every tip that was worked with, as the search weighs them.
  [[nodiscard]] search::TrackRecord tracks() const;

  // The share of each tip among `tips`, and of none of them, on one vehicle: Dirichlet smoothing
  // from all vehicles over the make and the model to the very vehicle (engine and year), each
  // level's shares being what the next one expects (MacKay and Peto 1995, "A hierarchical Dirichlet
  // language model"). All alike when nothing is recorded. Together 1.
  struct Shares {
    std::vector<double> tips;
    double none = kBeyondShare;
    std::vector<int> right;       // how often each was the cause, on all vehicles
    std::vector<int> right_here;  // on this model
  };
  [[nodiscard]] Shares shares(const std::vector<std::string>& tips, const shop::Car& car) const;

  [[nodiscard]] std::size_t jobs() const { return jobs_; }  // finished ones, corrections in place

 private:
  struct PerTip {
    int used = 0;
    int right = 0;
    int came_back = 0;
    std::vector<double> minutes;
  };
  struct Jobs {
    double known = 0;  // jobs that say which tip was right, or that none was
    double none = 0;
  };
  const std::vector<std::string>& levels(const shop::Car& car);
  void begin_again();
  void count(const shop::Outcome& outcome);
  void count(const shop::Comeback& comeback, const shop::Outcome& outcome);
  void uncount_right(const shop::Outcome& outcome);
  bool count_one(const shop::RecordBook& book, const shop::Record& record);
  void count_all(const shop::RecordBook& book);

  std::unordered_map<std::string, std::vector<std::string>> levels_;  // by the vehicle as written
  std::unordered_map<std::string, PerTip> tips_;
  std::unordered_map<std::string, Jobs> jobs_at_;     // by level
  std::unordered_map<std::string, double> right_at_;  // by level and tip
  std::unordered_set<std::string> named_;             // ids that a correction or a comeback names
  std::unordered_set<std::string> came_back_;         // outcomes whose comeback is counted
  std::size_t jobs_ = 0;
  std::size_t seen_ = 0;
  std::uint64_t edition_ = 0;
};

}  // namespace baylore::diagnosis
