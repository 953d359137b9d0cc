#include "quality/history.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <deque>
#include <limits>
#include <numeric>
#include <set>
#include <unordered_map>

#include <fmt/format.h>

#include "files/names.h"
#include "shop/outcome.h"
#include "shop/part_record.h"
#include "trade/quantity.h"

namespace baylore::quality {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kDay = 86400e3;               // milliseconds
constexpr double kMonth = 365.25 / 12 * kDay;  // the mean month
constexpr double kHalfDay = 0.5 * kDay;        // fitted and failed on one day
// A car's average a month that is believed: from a garden car to a courier.
constexpr double kLeastKm = 100;
constexpr double kMostKm = 12000;
constexpr double kUsualKm = 1200;  // where no car of the shop tells (common practice, no source)
constexpr double kYoungest = 6;    // months: a younger car's average says little

double km_in(const std::string& odometer) {
  if (odometer.empty()) return kNan;
  const auto read = trade::taken(trade::parse_quantity(odometer));
  if (!read || read->unit->dimension != trade::Dimension::kLength || read->value < 0) return kNan;
  return trade::convert(read->value, *read->unit, trade::unit(trade::UnitId::kKilometre));
}

// Midnight before the first of January of a year.
double new_year(int year) {
  const std::chrono::sys_days day =
      std::chrono::year(year) / std::chrono::January / std::chrono::day(1);
  return static_cast<double>(day.time_since_epoch().count()) * kDay;
}

bool counts_against(const shop::Comeback& comeback) {
  return comeback.reason != shop::kNotTheCause && comeback.reason != "workmanship" &&
         comeback.reason != "another fault";
}

}  // namespace

// Everything is read in one go; distances that have to be estimated are filled in at the end, when
// the median car is known.
class History::Reader {
 public:
  Reader(History& into) : into_(into) {
    into_.fitted_.resize(into_.not_listed() + 1);
    into_.dead_.resize(into_.not_listed() + 1);
    into_.locations_ = {""};
    into_.lots_ = {""};
  }

  void read(const Source& source) {
    const std::uint16_t location = location_of(source.location);
    shop::each_finished_job(*source.records,
                            [&](const shop::Finished& job) { take(job, location); });
    for (const shop::DeadOnArrival& dead : shop::dead_on_arrival(*source.records)) {
      if (!shop::instant_of(dead.when)) {
        aside(location, dead.id, "its time cannot be read");
        continue;
      }
      const std::uint32_t record = keep_id(dead.id);
      for (const shop::NamedPart& part : shop::named_parts(dead.part)) {
        FittedPart fitted = labelled(part, location);
        fitted.record = record;
        into_.dead_[into_.labels_[fitted.label].family].push_back(fitted);
      }
    }
  }

  void finish() {
    double usual = kUsualKm;
    if (!averages_.empty()) {
      const auto middle = averages_.begin() + static_cast<std::ptrdiff_t>(averages_.size() / 2);
      std::nth_element(averages_.begin(), middle, averages_.end());
      usual = *middle;
    }
    for (auto& family : into_.fitted_) {
      for (FittedPart& part : family) {
        // While reading, an estimate holds the car's average, below 0 where there is none.
        if (part.estimated)
          part.km = (part.km < 0 ? static_cast<float>(usual) : part.km) * part.months;
      }
      family.shrink_to_fit();
    }
  }

 private:
  std::uint16_t location_of(const std::string& name) {
    const auto found = std::find(into_.locations_.begin(), into_.locations_.end(), name);
    if (found == into_.locations_.end()) {
      into_.locations_.push_back(name);
      return static_cast<std::uint16_t>(into_.locations_.size() - 1);
    }
    return static_cast<std::uint16_t>(found - into_.locations_.begin());
  }

  void aside(std::uint16_t location, const std::string& id, std::string why) {
    const std::string& name = into_.locations_[location];
    into_.findings_.push_back({name.empty() ? "records" : name, 1, 1, shop::Level::warning,
                               "part-record", fmt::format("{} does not count: {}", id, why),
                               "correct the record"});
  }

  std::uint32_t keep_id(const std::string& id) {
    into_.ids_ += id;
    into_.id_ends_.push_back(static_cast<std::uint32_t>(into_.ids_.size()));
    return static_cast<std::uint32_t>(into_.id_ends_.size() - 1);
  }

  std::uint32_t label_of(const std::string& name) {
    const auto [at, added] =
        by_name_.emplace(name, static_cast<std::uint32_t>(into_.labels_.size()));
    if (!added) return at->second;
    const shop::PartBook::Found found = into_.parts_.find(name);
    Label label{name, found.brand, into_.not_listed(), 0};
    // Only what is surely meant is counted: one place, and not a guess that leads to a newer
    // number.
    const bool sure = found.places.size() == 1 && found.how != shop::PartBook::How::superseded;
    if (sure) {
      const auto place = found.places.front();
      const auto [known, fresh] =
          by_place_.emplace(std::make_pair(place.family, place.number),
                            static_cast<std::uint32_t>(into_.labels_.size()));
      if (!fresh) return at->second = known->second;
      const shop::PartNumber& number = into_.parts_.number(place);
      label = {number.brand.empty() ? number.number : number.brand + " " + number.number,
               number.brand, place.family, place.number};
    } else {
      // The brand as written: its words before the number.
      const std::size_t digit = std::min(name.find_first_of("0123456789"), name.size());
      const std::size_t blank = name.rfind(' ', digit);
      label.brand = blank == std::string::npos || blank == 0 ? "" : name.substr(0, name.find(' '));
    }
    into_.labels_.push_back(std::move(label));
    return at->second;
  }

  FittedPart labelled(const shop::NamedPart& part, std::uint16_t location) {
    FittedPart fitted;
    fitted.label = label_of(part.name);
    fitted.location = location;
    if (!part.lot.empty()) {
      const auto [at, added] =
          by_lot_.emplace(part.lot, static_cast<std::uint32_t>(into_.lots_.size()));
      if (added) into_.lots_.push_back(part.lot);
      fitted.lot = at->second;
    }
    return fitted;
  }

  void take(const shop::Finished& job, std::uint16_t location) {
    const shop::Outcome& outcome = job.outcome;
    if (outcome.part.empty() ||
        (outcome.result != shop::Result::fixed && outcome.result != shop::Result::not_fixed)) {
      return;
    }
    const auto from = shop::instant_of(outcome.when);
    if (!from) return aside(location, outcome.id, "its time cannot be read");
    if (*from > into_.counting_.today) return aside(location, outcome.id, "it lies in the future");

    // The first comeback that counts, or else the last one at which the part was seen.
    auto end = static_cast<double>(into_.counting_.today);
    const shop::Comeback* failure = nullptr;
    for (const shop::Comeback& comeback : job.comebacks) {
      const auto at = shop::instant_of(comeback.when);
      if (!at || *at < *from) {
        aside(location, comeback.id,
              at ? "it came back before it was fitted" : "its time cannot be read");
        continue;
      }
      if (*at > into_.counting_.today || !counts_against(comeback)) continue;
      failure = &comeback;
      end = static_cast<double>(*at);
      break;
    }
    const double months = std::max(end - static_cast<double>(*from), kHalfDay) / kMonth;
    const double start_km = km_in(outcome.odometer);
    const double average = average_of(outcome, static_cast<double>(*from), start_km);
    const double gone = failure == nullptr ? kNan : km_in(failure->odometer) - start_km;
    const std::uint32_t record = keep_id(outcome.id);
    for (const shop::NamedPart& part : shop::named_parts(outcome.part)) {
      FittedPart fitted = labelled(part, location);
      fitted.record = record;
      fitted.months = static_cast<float>(months);
      fitted.minutes = static_cast<float>(outcome.minutes);
      fitted.failed = failure != nullptr;
      fitted.unclear = failure != nullptr && failure->reason != "part failed";
      fitted.estimated = !(gone >= 0);
      fitted.km = static_cast<float>(fitted.estimated ? average : std::max(gone, 1.0));
      into_.fitted_[into_.labels_[fitted.label].family].push_back(fitted);
    }
  }

  // The car's own kilometres a month; below 0 when it does not tell.
  double average_of(const shop::Outcome& outcome, double fitted, double odometer_km) {
    if (outcome.car.year < 1950 || std::isnan(odometer_km)) return -1;
    const double age = (fitted - new_year(outcome.car.year)) / kMonth;
    const double average = odometer_km / age;
    if (age < kYoungest || average < kLeastKm || average > kMostKm) return -1;
    averages_.push_back(average);
    return average;
  }

  struct PlaceHash {
    std::size_t operator()(const std::pair<std::size_t, std::size_t>& place) const {
      return place.first * 1009 + place.second;
    }
  };

  History& into_;
  std::unordered_map<std::string, std::uint32_t> by_name_;
  std::unordered_map<std::pair<std::size_t, std::size_t>, std::uint32_t, PlaceHash> by_place_;
  std::unordered_map<std::string, std::uint32_t> by_lot_;
  std::vector<double> averages_;
};

History::History(shop::PartBook parts, const std::vector<Source>& sources, const Counting& counting)
    : parts_(std::move(parts)), counting_(counting) {
  Reader reader(*this);
  for (const Source& source : sources) {
    if (source.records != nullptr) reader.read(source);
  }
  reader.finish();
}

std::string_view History::record_id(std::uint32_t record) const {
  const std::size_t from = record == 0 ? 0 : id_ends_[record - 1];
  return std::string_view(ids_).substr(from, id_ends_[record] - from);
}

std::size_t History::count() const {
  return std::accumulate(fitted_.begin(), fitted_.end(), std::size_t{0},
                         [](std::size_t sum, const auto& family) { return sum + family.size(); });
}

History read_history(files::Disk& disk, const std::string& shop_folder, const Counting& counting,
                     shop::Findings& findings) {
  const auto take = [&](const shop::Findings& more) {
    findings.insert(findings.end(), more.begin(), more.end());
  };
  shop::PartBook parts = shop::read_parts(disk, shop_folder, findings);
  // A deque: sources point into it.
  std::deque<shop::Records> records;
  std::vector<Source> sources;
  records.push_back(shop::read_records(disk, shop_folder));
  sources.push_back({"", &records.back().records});
  take(records.back().findings);
  // Received folders in the order of their names, so that locations always count alike.
  const std::string received = files::join(shop_folder, "received");
  std::set<std::string> names;
  if (const auto listed = disk.list(received)) {
    for (const files::Listed& one : *listed) {
      if (one.status.folder && one.path.find('/') == std::string::npos) names.insert(one.path);
    }
  }
  for (const std::string& name : names) {
    records.push_back(shop::read_records(disk, files::join(received, name)));
    take(records.back().findings);
    if (records.back().records.empty()) {
      records.pop_back();
    } else {
      sources.push_back({name, &records.back().records});
    }
  }
  return History(std::move(parts), sources, counting);
}

}  // namespace baylore::quality
