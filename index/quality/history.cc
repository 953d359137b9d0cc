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
#include "shop/fold.h"
#include "shop/notes.h"
#include "shop/outcome.h"
#include "shop/part_record.h"
#include "shop/record_groups.h"
#include "trade/gtin.h"
#include "trade/quantity.h"

namespace baylore::quality {
namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
constexpr double kDay = 86400e3;               // milliseconds
constexpr double kMonth = 365.25 / 12 * kDay;  // the mean month
constexpr double kHalfDay = 0.5 * kDay;        // fitted and failed on one day
// A car's average a month that is believed: from a garden car to a courier.
constexpr double kLeastKm = 100;
constexpr double kMostKm = 12000;
constexpr double kUsualKm = 1200;  // where no car of the shop tells (common practice, no source)
constexpr double kYoungest = 6;    // months: a younger car's average says little
constexpr double kFarthest = 5e6;  // km: no car has gone farther
// Before that nobody kept such records; a clock that lost its battery begins at 1970, 1980 or 2000.
constexpr int kFirstYear = 1990;

double km_in(const std::string& odometer) {
  if (odometer.empty()) return kUnknown;
  const auto read = trade::taken(trade::parse_quantity(odometer));
  if (!read || read->unit->dimension != trade::Dimension::kLength || read->value < 0)
    return kUnknown;
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

// A brand's key: what is compared of it. Words that no part number could be stay as they are.
std::string brand_key(const std::string& brand) {
  const auto key = trade::taken(trade::part_key(brand));
  return key ? key->plain : shop::fold(brand);
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
    for (const shop::PartFamily& family : into_.parts_.families()) {
      for (const shop::PartNumber& number : family.numbers) {
        if (!number.brand.empty()) spelled(number.brand);
      }
    }
  }

  void read(const std::vector<Source>& sources) {
    const std::vector<const shop::Record*> all = one_set(sources);
    const std::int64_t today = into_.counting_.today;
    const shop::Times times{static_cast<std::int64_t>(new_year(kFirstYear)),
                            std::max(today, into_.counting_.now)};
    const auto sound = shop::sound_records(
        all, times, [&](const shop::Record& record, const std::string& why, std::string remedy) {
          tell(record.id, fmt::format("does not count: {}", why), std::move(remedy));
        });
    shop::each_finished_job(sound, [&](const shop::Finished& job) { take(job); });
    for (const shop::DeadOnArrival& dead : shop::dead_on_arrival(sound)) {
      if (shop::instant_of(dead.first_when).value_or(0) > today) continue;
      const std::uint32_t record = keep_id(dead.id);
      for (const shop::NamedPart& part : parts_in(dead.part, dead.id)) {
        FittedPart fitted = labelled(part, dead.id);
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
    if (untold_ == 0) return;
    into_.findings_.push_back({"records", 1, 1, shop::Level::note, "part-record",
                               fmt::format("{} more are not told", untold_),
                               "mend the ones above first"});
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

  // Every record once: of two with one id the smaller in byte order, as in a shop's own files.
  std::vector<const shop::Record*> one_set(const std::vector<Source>& sources) {
    std::size_t count = 0;
    for (const Source& source : sources) count += source.records ? source.records->size() : 0;
    std::vector<const shop::Record*> all;
    all.reserve(count);
    known_.reserve(count);
    for (const Source& source : sources) {
      if (source.records == nullptr) continue;
      const std::uint16_t location = location_of(source.location);
      for (const shop::Record& record : *source.records) {
        const auto [at, added] = known_.emplace(record.id, Known{all.size(), location});
        if (added) {
          all.push_back(&record);
        } else if (const shop::Record*& kept = all[at->second.place]; !(*kept == record)) {
          if (shop::comes_before(record, *kept)) kept = &record;
          tell(record.id, "is the id of two records that differ: the smaller in byte order counts",
               "look at both");
        }
      }
    }
    return all;
  }

  [[nodiscard]] std::uint16_t location_of_record(const std::string& id) const {
    if (into_.locations_.size() == 1) return 0;
    const auto at = known_.find(id);
    return at == known_.end() ? std::uint16_t{0} : at->second.location;
  }

  void tell(const std::string& id, const std::string& what, std::string remedy,
            shop::Level level = shop::Level::warning) {
    if (into_.findings_.size() >= kMostTold) {
      ++untold_;
      return;
    }
    const std::string& name = into_.locations_[location_of_record(id)];
    into_.findings_.push_back({name.empty() ? "records" : "received/" + name, 1, 1, level,
                               "part-record", fmt::format("{} {}", id, what), std::move(remedy)});
  }

  std::vector<shop::NamedPart> parts_in(const std::string& field, const std::string& id) {
    auto parts = shop::named_parts(field);
    if (parts.empty()) {
      tell(id, fmt::format("does not count: `{}` names no part", shop::excerpt(field)),
           "correct the record, with brand and number");
    }
    return parts;
  }

  std::uint32_t keep_id(const std::string& id) {
    into_.ids_ += id;
    into_.id_ends_.push_back(static_cast<std::uint32_t>(into_.ids_.size()));
    return static_cast<std::uint32_t>(into_.id_ends_.size() - 1);
  }

  // The label of a name, and the lot that a barcode carries.
  struct Named {
    std::uint32_t label = 0;
    std::string lot;
  };

  Named label_of(const std::string& name, const std::string& id) {
    const auto [at, added] = by_name_.try_emplace(name);
    if (!added) return at->second;
    const shop::PartBook::Found found = into_.parts_.find(name);
    at->second.lot = shop::lot_mark(found.lot);
    // Only what is surely meant is counted: one place, and not a guess that leads to a newer
    // number.
    const bool sure = is_one(found.places) && found.how != shop::PartBook::How::superseded;
    at->second.label = sure ? listed(found.places.front()) : not_listed(name, found);
    if (found.places.size() > 1) {
      const shop::PartBook::Place& first = found.places.front();
      const shop::PartBook::Place& other = found.places[1];
      tell(id,
           fmt::format("names `{}`, which may be {} of {} or {} of {}: it counts as {}", name,
                       into_.parts_.number(first).name, into_.parts_.family(first).path,
                       into_.parts_.number(other).name, into_.parts_.family(other).path,
                       sure ? "the first" : "not listed"),
           sure ? "keep one entry in the part files" : "correct the record, with brand and number");
    } else if (!sure && trade::taken(trade::read_gtin(name)) == std::nullopt) {
      if (const auto key = trade::part_key(name); const auto* refusal = trade::refusal_in(key)) {
        tell(id,
             fmt::format("names `{}`, which is no part number: {}; it counts as not listed",
                         shop::excerpt(name), refusal->what),
             refusal->remedy, shop::Level::note);
      }
    }
    return at->second;
  }

  // One number of one brand, though several files may list it.
  [[nodiscard]] bool is_one(const std::vector<shop::PartBook::Place>& places) const {
    if (places.empty()) return false;
    const shop::PartNumber& first = into_.parts_.number(places.front());
    return std::all_of(places.begin(), places.end(), [&](const shop::PartBook::Place& place) {
      const shop::PartNumber& number = into_.parts_.number(place);
      return number.key == first.key && brand_key(number.brand) == brand_key(first.brand);
    });
  }

  std::uint32_t add(Label label) {
    into_.labels_.push_back(std::move(label));
    return static_cast<std::uint32_t>(into_.labels_.size() - 1);
  }

  // A brand as it was spelled first.
  const std::string& spelled(const std::string& brand) {
    return brands_.emplace(brand_key(brand), brand).first->second;
  }

  std::uint32_t listed(const shop::PartBook::Place& place) {
    const auto [known, fresh] = by_place_.try_emplace(std::make_pair(place.family, place.number));
    if (!fresh) return known->second;
    const shop::PartNumber& number = into_.parts_.number(place);
    const std::string brand = number.brand.empty() ? "" : spelled(number.brand);
    return known->second = add({brand.empty() ? number.number : brand + " " + number.number, brand,
                                place.family, place.number});
  }

  std::uint32_t not_listed(const std::string& name, const shop::PartBook::Found& found) {
    const auto key = trade::taken(trade::part_key(name));
    const auto [known, fresh] = by_key_.try_emplace(key ? key->plain : name);
    if (!fresh) return known->second;
    std::string brand;
    if (const auto at = brands_.find(found.brand); !found.brand.empty() && at != brands_.end()) {
      brand = at->second;
    } else {
      // The brand as written: its words before the number.
      const std::size_t digit = std::min(name.find_first_of("0123456789"), name.size());
      const std::size_t blank = name.rfind(' ', digit);
      if (blank != std::string::npos && blank > 0) brand = spelled(name.substr(0, name.find(' ')));
    }
    return known->second = add({name, std::move(brand), into_.not_listed(), 0});
  }

  FittedPart labelled(const shop::NamedPart& part, const std::string& id) {
    const Named named = label_of(part.name, id);
    FittedPart fitted;
    fitted.label = named.label;
    fitted.location = location_of_record(id);
    const std::string& lot = part.lot.empty() ? named.lot : part.lot;
    if (!lot.empty()) {
      const auto [at, added] = by_lot_.emplace(lot, static_cast<std::uint32_t>(into_.lots_.size()));
      if (added) into_.lots_.push_back(lot);
      fitted.lot = at->second;
    }
    return fitted;
  }

  // An odometer in km; NaN, and told, when it cannot be one.
  double odometer_of(const std::string& odometer, const std::string& id) {
    const double km = km_in(odometer);
    if (odometer.empty() || km <= kFarthest) return km;
    tell(id,
         fmt::format("counts without its distance: `{}` is no odometer reading",
                     shop::excerpt(odometer)),
         "correct the record: 84200 km");
    return kUnknown;
  }

  // How far a part went until it failed; NaN, and told, when that cannot be.
  double gone_between(double start_km, const shop::Comeback& failure, double months) {
    const double gone = odometer_of(failure.odometer, failure.id) - start_km;
    const bool back = gone < 0;
    if (std::isnan(gone) || (!back && gone <= kMostKm * (months + 1))) return gone;
    tell(failure.id,
         fmt::format("counts without its distance: {:.0f} km {} {:.1f} months", std::abs(gone),
                     back ? "backwards in" : "in", months),
         "compare both odometers, and correct the wrong one");
    return kUnknown;
  }

  void take(const shop::Finished& job) {
    const shop::Outcome& outcome = job.outcome;
    if (outcome.part.empty() ||
        (outcome.result != shop::Result::fixed && outcome.result != shop::Result::not_fixed)) {
      return;
    }
    // All times can be read: sound_records().
    const std::int64_t from = shop::instant_of(outcome.first_when).value_or(0);
    if (from > into_.counting_.today) return;
    const auto parts = parts_in(outcome.part, outcome.id);
    if (parts.empty()) return;
    const shop::Comeback* failure = nullptr;
    std::int64_t end = into_.counting_.today;
    for (const shop::Comeback& comeback : job.comebacks) {
      const std::int64_t at = shop::instant_of(comeback.first_when).value_or(0);
      if (at < from) {
        tell(comeback.id,
             fmt::format("does not count: it came back before {} was fitted", outcome.id),
             "look at both times, and correct the wrong one");
        continue;
      }
      if (!counts_against(comeback) || at > end || (failure != nullptr && at == end)) continue;
      failure = &comeback;
      end = at;
    }
    const double months = std::max(static_cast<double>(end - from), kHalfDay) / kMonth;
    const double start_km = odometer_of(outcome.odometer, outcome.id);
    const double average = average_of(outcome, static_cast<double>(from), start_km);
    const double gone = failure == nullptr ? kUnknown : gone_between(start_km, *failure, months);
    const std::uint32_t record = keep_id(outcome.id);
    for (const shop::NamedPart& part : parts) {
      FittedPart fitted = labelled(part, outcome.id);
      fitted.record = record;
      fitted.months = static_cast<float>(months);
      fitted.minutes = static_cast<float>(outcome.minutes);
      fitted.failed = failure != nullptr;
      fitted.unclear = failure != nullptr && failure->reason != "part failed";
      fitted.estimated = std::isnan(gone);
      fitted.km = static_cast<float>(fitted.estimated ? average : std::max(gone, 1.0));
      into_.fitted_[into_.labels_[fitted.label].family].push_back(fitted);
    }
  }

  // The car's own kilometres a month; below 0 when it does not tell.
  double average_of(const shop::Outcome& outcome, double fitted, double odometer_km) {
    constexpr int kOldest = 1950;
    if (outcome.car.year < kOldest || std::isnan(odometer_km)) return -1;
    if (fitted < new_year(std::min(outcome.car.year, 3000))) return -1;  // a car of the future
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

  struct Known {
    std::size_t place;
    std::uint16_t location;
  };

  History& into_;
  std::unordered_map<std::string_view, Known> known_;  // by id, views into the sources
  std::size_t untold_ = 0;
  std::unordered_map<std::string, std::string> brands_;  // by key, as spelled first
  std::unordered_map<std::string, Named> by_name_;
  std::unordered_map<std::string, std::uint32_t> by_key_;  // what is not listed
  std::unordered_map<std::pair<std::size_t, std::size_t>, std::uint32_t, PlaceHash> by_place_;
  std::unordered_map<std::string, std::uint32_t> by_lot_;
  std::vector<double> averages_;
};

History::History(shop::PartBook parts, const std::vector<Source>& sources, const Counting& counting)
    : parts_(std::move(parts)), counting_(counting) {
  Reader reader(*this);
  reader.read(sources);
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
  const auto take = [&](shop::Findings more, const std::string& below) {
    for (shop::Finding& finding : more) {
      finding.file = files::join(below, finding.file);
      findings.push_back(std::move(finding));
    }
  };
  shop::PartBook parts = shop::read_parts(disk, shop_folder, findings);
  // A deque: sources point into it.
  std::deque<shop::Records> records;
  std::vector<Source> sources;
  records.push_back(shop::read_records(disk, shop_folder));
  sources.push_back({"", &records.back().records});
  take(std::move(records.back().findings), "");
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
    take(std::move(records.back().findings), files::join("received", name));
    if (records.back().records.empty()) {
      records.pop_back();
    } else {
      sources.push_back({name, &records.back().records});
    }
  }
  return History(std::move(parts), sources, counting);
}

}  // namespace baylore::quality
