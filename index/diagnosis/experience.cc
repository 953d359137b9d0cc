#include "diagnosis/experience.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "shop/fold.h"
#include "words/words.h"

namespace baylore::diagnosis {
namespace {

constexpr char kBetween = '\n';  // in no field of a record

// The groups a vehicle belongs to, widest first: all, its make, its model, the very vehicle. What
// the vehicle does not say ends the list.
std::vector<std::string> levels_of(const shop::Car& car) {
  std::vector<std::string> levels = {""};
  if (car.make.empty()) return levels;
  std::string level = kBetween + shop::run_together(car.make);
  levels.push_back(level);
  if (car.model.empty()) return levels;
  level += kBetween + shop::run_together(car.model);
  levels.push_back(level);
  if (car.engine.empty() || car.year == 0) return levels;
  level += kBetween + shop::run_together(car.engine) + kBetween + std::to_string(car.year);
  levels.push_back(level);
  return levels;
}

std::string at(const std::string& level, const std::string& tip) { return tip + kBetween + level; }

template <typename Map, typename Key>
double held(const Map& map, const Key& key) {
  const auto found = map.find(key);
  return found == map.end() ? 0 : found->second;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

// The interval of the median from order statistics: the widest-in pair of the k-th smallest and
// k-th largest that holds the median with at least 95 %, by the binomial distribution with one half
// (David and Nagaraja, "Order Statistics", 3rd edition, 7.1). Nothing below six values: the
// smallest and the largest of five miss it in 1 of 16 samples.
std::optional<Interval> median_interval(std::vector<double> values) {
  const std::size_t n = values.size();
  if (n < 6) return std::nullopt;
  std::sort(values.begin(), values.end());
  // The probability of fewer than k of n below the median, in logarithms so that a large n does not
  // underflow.
  const auto log_choose = [n](std::size_t k) {
    const auto size = static_cast<double>(n);
    const auto drawn = static_cast<double>(k);
    return std::lgamma(size + 1) - std::lgamma(drawn + 1) - std::lgamma(size - drawn + 1);
  };
  double below = 0;
  std::size_t k = 0;
  while (k < n / 2) {
    below += std::exp(log_choose(k) - static_cast<double>(n) * std::log(2.0));
    if (below > 0.025) break;
    ++k;
  }
  return Interval{values[k - 1], values[n - k]};
}

}  // namespace

Interval wilson(int hits, int of) {
  if (of <= 0) return {0, 1};
  constexpr double kZ = 1.959963984540054;
  const double n = of;
  const double p = hits / n;
  const double centre = p + kZ * kZ / (2 * n);
  const double half = kZ * std::sqrt(p * (1 - p) / n + kZ * kZ / (4 * n * n));
  const double scale = 1 + kZ * kZ / n;
  return {hits == 0 ? 0 : (centre - half) / scale, hits == of ? 1 : (centre + half) / scale};
}

std::string in_words(const Proved& proved) {
  if (proved.used == 0) return tr("not used yet");
  const auto between = [](const Interval& share) {
    return say("{0:.0f} to {1:.0f} %", 100 * share.low, 100 * share.high);
  };
  std::string words = say("used {0}, right {1}", proved.used, proved.right);
  if (proved.few()) words += " " + say("(too few to judge: {0})", between(proved.right_share));
  if (proved.right > 0) {
    words += ", " + say("came back {0}", proved.came_back);
    if (proved.came_back > 0 && !proved.few())
      words += " (" + between(proved.came_back_share) + ")";
  }
  if (proved.median_minutes) {
    words += ", " + say("median {0:g} minutes", std::round(*proved.median_minutes));
    if (proved.minutes) {
      words += " " + say("({0:g} to {1:g})", std::round(proved.minutes->low),
                         std::round(proved.minutes->high));
    }
  }
  return words;
}

bool Experience::take(const shop::RecordBook& book) {
  if (edition_ != book.edition()) {
    edition_ = book.edition();
    count_all(book);
    return true;
  }
  const std::vector<shop::Record>& records = book.records();
  if (seen_ == records.size()) return false;
  bool changed = false;
  for (; seen_ < records.size(); ++seen_) {
    if (count_one(book, records[seen_])) {
      changed = true;
      continue;
    }
    // It is no plain addition. Records that follow are counted in the same go.
    count_all(book);
    return true;
  }
  return changed;
}

// One record that only adds. False when it changes or may change what others count for.
bool Experience::count_one(const shop::RecordBook& book, const shop::Record& record) {
  if (record.kind == "question" || record.kind == "settled") return true;
  if (!record.fields["corrects"].empty()) return false;
  if (const auto outcome = shop::outcome_of(record)) {
    if (named_.count(outcome->id) != 0) return false;
    count(*outcome);
    return true;
  }
  if (const auto comeback = shop::comeback_of(record)) {
    const shop::Record* failed = book.find(comeback->outcome);
    const bool first = named_.insert(comeback->outcome).second;
    // Its outcome may come later, or have been corrected.
    if (failed == nullptr || !first) return false;
    const auto outcome = shop::outcome_of(*failed);
    if (!outcome || !outcome->corrects.empty()) return false;
    count(*comeback, *outcome);
    return true;
  }
  return true;  // a kind of a later version
}

// A shop sees few different vehicles, and folding their names is most of the work of counting.
const std::vector<std::string>& Experience::levels(const shop::Car& car) {
  std::string written = car.make;
  for (const std::string& part : {car.model, car.engine, std::to_string(car.year)})
    written += kBetween + part;
  const auto known = levels_.find(written);
  if (known != levels_.end()) return known->second;
  return levels_[written] = levels_of(car);
}

void Experience::begin_again() {
  tips_.clear();
  jobs_at_.clear();
  right_at_.clear();
  named_.clear();
  came_back_.clear();
  jobs_ = 0;
}

void Experience::count_all(const shop::RecordBook& book) {
  begin_again();
  seen_ = book.records().size();
  for (const shop::Record& record : book.records()) {
    for (const char* link : {"corrects", "refers"}) {
      if (const auto named = record.fields[link]; !named.empty()) named_.emplace(named);
    }
  }
  for (const shop::Finished& job : shop::finished_jobs(book.records())) {
    count(job.outcome);
    for (const shop::Comeback& comeback : job.comebacks) count(comeback, job.outcome);
  }
}

void Experience::count(const shop::Outcome& outcome) {
  ++jobs_;
  std::set<std::string> used(outcome.used.begin(), outcome.used.end());
  const bool none = outcome.right == shop::kNoneOfThese;
  const bool known = !outcome.right.empty();
  if (known && !none) used.insert(outcome.right);
  for (const std::string& tip : used) ++tips_[tip].used;
  if (!known) return;
  for (const std::string& level : levels(outcome.car)) {
    Jobs& jobs = jobs_at_[level];
    ++jobs.known;
    if (none) {
      ++jobs.none;
    } else {
      ++right_at_[at(level, outcome.right)];
    }
  }
  if (none) return;
  PerTip& tip = tips_[outcome.right];
  ++tip.right;
  if (outcome.minutes > 0) tip.minutes.push_back(outcome.minutes);
}

// A job comes back once, however often it is written down.
void Experience::count(const shop::Comeback& comeback, const shop::Outcome& outcome) {
  const bool right = !outcome.right.empty() && outcome.right != shop::kNoneOfThese;
  if (!right) return;
  if (came_back_.insert(outcome.id).second) ++tips_[outcome.right].came_back;
  if (comeback.reason == shop::kNotTheCause && came_back_.insert(outcome.id + kBetween).second)
    uncount_right(outcome);
}

// The diagnosis was wrong: what is known of the vehicle's causes loses it, the tip's own account
// keeps it as a job that came back.
void Experience::uncount_right(const shop::Outcome& outcome) {
  for (const std::string& level : levels(outcome.car)) {
    --jobs_at_[level].known;
    --right_at_[at(level, outcome.right)];
  }
}

Proved Experience::proved(const std::string& tip) const {
  Proved proved;
  const auto found = tips_.find(tip);
  if (found == tips_.end()) {
    proved.right_share = wilson(0, 0);
    proved.came_back_share = wilson(0, 0);
    return proved;
  }
  const PerTip& held = found->second;
  proved.used = held.used;
  proved.right = held.right;
  proved.came_back = held.came_back;
  proved.right_share = wilson(held.right, held.used);
  proved.came_back_share = wilson(held.came_back, held.right);
  if (!held.minutes.empty()) proved.median_minutes = median(held.minutes);
  proved.minutes = median_interval(held.minutes);
  return proved;
}

search::TrackRecord Experience::tracks() const {
  search::TrackRecord tracks;
  tracks.reserve(tips_.size());
  for (const auto& [tip, held] : tips_) {
    tracks.emplace(tip, search::Track{held.used, held.right, held.came_back});
  }
  return tracks;
}

Experience::Shares Experience::shares(const std::vector<std::string>& tips,
                                      const shop::Car& car) const {
  Shares shares;
  const auto count = static_cast<double>(tips.size());
  shares.tips.assign(tips.size(), tips.empty() ? 0 : 1 / count);
  const std::vector<std::string> levels = levels_of(car);
  for (const std::string& level : levels) {
    const auto jobs = jobs_at_.find(level);
    if (jobs == jobs_at_.end()) break;  // nothing narrower is recorded either
    shares.none =
        (jobs->second.none + kConcentration * shares.none) / (jobs->second.known + kConcentration);
    std::vector<double> right;
    double together = 0;
    for (const std::string& tip : tips) {
      right.push_back(held(right_at_, at(level, tip)));
      together += right.back();
    }
    for (std::size_t i = 0; i < tips.size(); ++i) {
      shares.tips[i] = (right[i] + kConcentration * shares.tips[i]) / (together + kConcentration);
    }
  }
  for (double& share : shares.tips) share *= 1 - shares.none;
  if (tips.empty()) shares.none = 1;
  const std::string& model = levels[std::min<std::size_t>(levels.size() - 1, 2)];
  for (const std::string& tip : tips) {
    shares.right.push_back(static_cast<int>(held(right_at_, at("", tip))));
    shares.right_here.push_back(static_cast<int>(held(right_at_, at(model, tip))));
  }
  return shares;
}

}  // namespace baylore::diagnosis
