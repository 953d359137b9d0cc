// What jobs came to: outcomes and comebacks, as records hold them (records.h).
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/result.h"
#include "shop/records.h"

namespace baylore::shop {

// A vehicle as a record keeps it. No plate, no VIN.
struct Car {
  std::string make;
  std::string model;
  int year = 0;  // 0: not said
  std::string engine;
  bool operator==(const Car&) const = default;
};

void put_car(RecordFields& fields, const Car& car);
Car car_in(const RecordFields& fields);

enum class Result { fixed, not_fixed, part_ordered, declined };
std::string_view result_word(Result result);  // "fixed", "not fixed", "part ordered", "declined"
std::optional<Result> read_result(std::string_view word);

// The right tip was none of those the shop has.
inline constexpr std::string_view kNoneOfThese = "none";

inline constexpr std::string_view kOutcome = "outcome";
inline constexpr std::string_view kComeback = "comeback";
inline constexpr std::string_view kWithdrawn = "withdrawn";

struct Outcome {
  std::string id;
  std::string when;  // ISO 8601 with offset
  std::string who;
  std::string job;  // the job's id; may be empty
  Result result = Result::fixed;
  std::string right;              // the tip that was right, kNoneOfThese, or empty: not known
  std::vector<std::string> used;  // tips that were worked with; the right one counts as used too
  std::string part;               // fitted: brand and number
  std::string odometer;           // with its unit: "84200 km"
  double minutes = 0;             // taken, 0: not said
  Car car;
  std::vector<std::string> codes;
  std::string order;  // repair-order number: stays in the shop folder, never enters a pack
  std::string text;
  std::string corrects;  // id of the outcome this one takes the place of
  // When the first of those it takes the place of was written, its own `when` if it corrects none:
  // a correction is written later than the part was fitted. Set by each_finished_job() alone.
  std::string first_when;
};

// The fix did not hold.
struct Comeback {
  std::string id;
  std::string when;
  std::string who;
  std::string outcome;  // id of the outcome that failed
  std::string reason;   // one of kComebackReasons, or words
  std::string odometer;
  std::string text;
  std::string corrects;
  std::string first_when;  // as of an outcome
};
// "not the cause": the diagnosis was wrong, and the tip no longer counts as right.
inline constexpr std::string_view kNotTheCause = "not the cause";
const std::vector<std::string_view>& comeback_reasons();

Record record_of(const Outcome& outcome);
Record record_of(const Comeback& comeback);
// Takes back the outcome or comeback `id`, which was never so.
Record withdrawal_of(const std::string& id, const std::string& who, const std::string& text);
// Nothing when the record is of another kind or its result is unknown.
std::optional<Outcome> outcome_of(const Record& record);
std::optional<Comeback> comeback_of(const Record& record);

// A finished job as it stands now: the latest of an outcome and its corrections, with the comebacks
// that refer to any of them.
struct Finished {
  Outcome outcome;
  std::vector<Comeback> comebacks;  // by time
};
// Of all records, newest first. A correction takes the place of what it corrects, whichever was
// read first; of several corrections of one record the latest counts (by time, then id); what was
// withdrawn last is left out, and so is what sound_records() leaves aside (record_groups.h).
std::vector<Finished> finished_jobs(const std::vector<Record>& records);
// The same one by one, in any order: for counting, where a hundred thousand at once would take the
// room of the records again.
void each_finished_job(const std::vector<Record>& records,
                       const std::function<void(const Finished&)>& take);
// Of records that sound_records() gave back, or some of them.
void each_finished_job(const std::vector<const Record*>& sound,
                       const std::function<void(const Finished&)>& take);

// Which finished jobs are wanted; what is empty or 0 is not asked for.
struct Wanted {
  std::string make;  // small or capital letters
  std::string model;
  int year = 0;
  std::string since;  // `2026-03-14`, this day included, as written at the terminal
  std::string until;
  std::string order;
};
bool wanted(const Finished& job, const Wanted& by);

}  // namespace baylore::shop
