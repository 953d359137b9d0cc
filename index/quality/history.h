// What became of every part that was fitted: outcomes, comebacks and dead-on-arrivals of this shop
// and of others, by part family.
//
// What counts as what:
//   fitted           an outcome `fixed` or `not fixed` that names a part; several have `;` between
//   failed           its first comeback, unless the reason is `not the cause`, `workmanship` or
//                    `another fault`; a comeback without a reason, or with words of its own, counts
//                    against the part, and is told as unclear
//   in service       all others, up to the day of counting. Nobody hears of a car that goes
//                    elsewhere: beyond the comeback window that flatters every part alike
//   dead on arrival  a record of that kind: never fitted, in no curve
// The records of all locations are one set by id, as everywhere: one that came back from elsewhere
// counts once, at the location that is read first. A part's time begins with the first of a record
// and its corrections, which are written later.
// Distances of parts in service are estimated from the car's own average (the odometer when fitted
// over the car's age), as is usual with field records (Lawless, Hu and Cao, Lifetime Data Analysis
// 1:227, 1995); where that cannot be, from the median car's.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "quality/survival.h"
#include "shop/finding.h"
#include "shop/part_book.h"
#include "shop/records.h"

namespace baylore::quality {

// One fitted part. Small: a shop of many years has a hundred thousand.
struct FittedPart {
  std::uint32_t label = 0;     // into History::labels()
  std::uint32_t record = 0;    // for History::record_id()
  std::uint32_t lot = 0;       // into History::lots(); 0: not said
  float months = 0;            // in service, until it failed or the day of counting
  float km = 0;                // the same; NaN when not known
  float minutes = 0;           // working time of the job; 0: not said
  std::uint16_t location = 0;  // into History::locations(); 0: this shop
  bool failed = false;
  bool unclear = false;    // failed without a stated reason
  bool estimated = false;  // the distance is

  [[nodiscard]] Life life_months() const { return {months, failed}; }
  [[nodiscard]] Life life_km() const { return {km, failed}; }
};

// A part as it is named: a number of a family, or words that no part file lists.
struct Label {
  std::string name;        // "Halden 88-214"
  std::string brand;       // "Halden"; may be empty
  std::size_t family = 0;  // into parts().families(); as many as there are for what is not listed
  std::size_t number = 0;
};

struct Source {
  std::string location;  // empty: this shop
  const std::vector<shop::Record>* records = nullptr;
};

struct Counting {
  std::int64_t today = 0;  // milliseconds since 1970: the day of counting
  int window_months = 12;  // shop::Settings::comeback_months
  // Until when records may have been written, when that is later than the day of counting: what
  // happened after that day does not count, what was corrected or withdrawn since is as it is now.
  std::int64_t now = 0;
};

class History {
 public:
  // Reads all records once. What cannot be counted (shop::sound_records(), a comeback before its
  // outcome, a time before 1990 or after today) is left aside and told in findings(); so are
  // odometers that cannot be, of parts that count all the same, and parts whose name may mean
  // several.
  History(shop::PartBook parts, const std::vector<Source>& sources, const Counting& counting);

  [[nodiscard]] const shop::PartBook& parts() const { return parts_; }
  [[nodiscard]] const Counting& counting() const { return counting_; }
  [[nodiscard]] const std::vector<Label>& labels() const { return labels_; }
  [[nodiscard]] const std::vector<std::string>& lots() const { return lots_; }
  [[nodiscard]] const std::vector<std::string>& locations() const { return locations_; }
  // One family's fitted parts, `family` as in Label; of the not listed ones too.
  [[nodiscard]] const std::vector<FittedPart>& fitted(std::size_t family) const {
    return fitted_[family];
  }
  // Dead on arrival, in the same way; only label, record, lot and location mean anything.
  [[nodiscard]] const std::vector<FittedPart>& dead(std::size_t family) const {
    return dead_[family];
  }
  // Where parts go that no part file lists.
  [[nodiscard]] std::size_t not_listed() const { return parts_.families().size(); }
  // The id of the outcome, or of the dead-on-arrival record.
  [[nodiscard]] std::string_view record_id(std::uint32_t record) const;
  // By record: what was left aside, and why. `file` is "records" or "received/NAME". At most
  // kMostTold, then their number.
  static constexpr std::size_t kMostTold = 1000;
  [[nodiscard]] const shop::Findings& findings() const { return findings_; }
  [[nodiscard]] std::size_t count() const;  // fitted parts

 private:
  class Reader;

  shop::PartBook parts_;
  Counting counting_;
  std::vector<Label> labels_;
  std::vector<std::string> lots_;
  std::vector<std::string> locations_;
  std::vector<std::vector<FittedPart>> fitted_;
  std::vector<std::vector<FittedPart>> dead_;
  std::string ids_;  // all record ids, one after the other
  std::vector<std::uint32_t> id_ends_;
  shop::Findings findings_;
};

// Reads a shop's part files, its records and those that came from other locations
// (received/NAME/records, FORMAT.md of shop/). What could not be read is told in `findings`.
History read_history(files::Disk& disk, const std::string& shop_folder, const Counting& counting,
                     shop::Findings& findings);

}  // namespace baylore::quality
