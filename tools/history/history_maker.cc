#include "history_maker.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "random.h"
#include "shop/outcome.h"
#include "shop/part_record.h"
#include "shop/records.h"

namespace baylore::history {
namespace {

using benchmark::Random;

constexpr std::int64_t kHour = 3600000;
constexpr std::int64_t kDay = 24 * kHour;
constexpr double kMonth = 365.25 / 12 * kDay;
constexpr int kDays = 3 * 365;
constexpr std::size_t kWorkingMinutes = 540;  // of a day
constexpr double kUsualShare = 0.04;
constexpr double kUsualShape = 1.2;
constexpr double kOtherReason = 0.02;  // comebacks that are not the part's, within a year

struct Terminal {
  std::string_view folder;
  bool own;
};
constexpr std::array<Terminal, 3> kTerminals = {{
    {"records/bay-1-7K2QF9/", true},
    {"records/bay-2-M4XW0D/", true},
    {"received/hexley-road/records/hexley-1-3RT8VA/", false},
}};
constexpr std::array<std::string_view, 6> kPeople = {"L. Adeyemi",  "R. Okoro", "M. Sand",
                                                     "T. Brandvik", "P. Quill", "J. Amsel"};

std::int64_t last_moment() {
  return shop::instant_of(std::string(kLastDay) + "T18:00:00Z").value_or(0);
}

std::string when_text(std::int64_t moment) {
  const std::chrono::sys_time<std::chrono::milliseconds> time{std::chrono::milliseconds(moment)};
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date(day);
  const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(time - day).count();
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:00.000+00:00", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     minutes / 60, minutes % 60);
}

int year_of(std::int64_t moment) { return std::stoi(when_text(moment).substr(0, 4)); }

// A ULID: 48 bits of time, 80 of chance.
std::string made_id(std::int64_t moment, Random& random) {
  constexpr std::string_view kDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  std::string id(26, '0');
  for (std::size_t i = 10; i-- > 0; moment /= 32)
    id[i] = kDigits[static_cast<std::size_t>(moment % 32)];
  for (std::size_t i = 10; i < id.size(); ++i) id[i] = kDigits[random.below(32)];
  return id;
}

// How often a family is repaired, and a number chosen, against the others.
double weight_of(const shop::PartFamily& family) {
  static const std::map<std::string_view, double> weights = {
      {"brake-pads", 2.5},   {"oil-filter", 2.5},          {"coolant-pump", 3},
      {"ignition-coil", 3},  {"front-wheel-bearing", 2.5}, {"alternator", 3},
      {"belt-tensioner", 3}, {"stabiliser-link", 2.5},     {"spark-plug", 2},
      {"tank-cap", 2},       {"crank-sensor", 2}};
  const auto found = weights.find(family.slug);
  return found == weights.end() ? 1 : found->second;
}

double weight_of(const shop::PartNumber& number) {
  static const std::map<std::string_view, double> weights = {{"Brevik WP-3361", 3},
                                                             {"Brevik ALT-5530", 3},
                                                             {"Halden BT-77", 3},
                                                             {"Pellworth SL 219", 3},
                                                             {"Ardmoor CP-12", 2}};
  const auto found = weights.find(number.name);
  return found == weights.end() ? 1 : found->second;
}

// What the next one drawn is, by weights.
template <class Things, class Weight>
std::size_t chosen(const Things& things, const Weight& weight, Random& random) {
  double all = 0;
  for (const auto& thing : things) all += weight(thing);
  double at = random.share() * all;
  for (std::size_t i = 0; i + 1 < things.size(); ++i) {
    at -= weight(things[i]);
    if (at <= 0) return i;
  }
  return things.size() - 1;
}

// The lot on a part that bears one: the week it was made in, one lot a quarter.
std::string lot_of(const shop::PartNumber& number, std::int64_t fitted) {
  if (number.name != "Brevik WP-3361") return {};
  const std::string made = when_text(fitted - 60 * kDay);
  const int month = std::stoi(made.substr(5, 2));
  constexpr std::array<int, 4> kWeeks = {7, 20, 33, 46};
  return fmt::format("{}{:02}", made.substr(2, 2),
                     kWeeks.at(static_cast<std::size_t>((month - 1) / 3)));
}

struct Life {
  double share = kUsualShare;
  double shape = kUsualShape;
};

Life life_of(const shop::PartFamily& family, const shop::PartNumber& number,
             const std::string& lot) {
  for (const Planted& effect : planted()) {
    if ((effect.brand.empty() || effect.brand == number.brand) &&
        (effect.family.empty() || effect.family == family.slug) &&
        (effect.lot.empty() || effect.lot == lot)) {
      return {effect.share, effect.shape};
    }
  }
  return {};
}

double dead_share(const shop::PartNumber& number) {
  if (number.name == kBadInTheBox) return 0.2;
  return 0.008;
}

shop::Car car_for(const shop::PartFamily& family, const shop::PartNumber& number,
                  std::int64_t fitted, Random& random) {
  const std::vector<shop::Fit>& fits = number.fits.empty() ? family.fits : number.fits;
  if (fits.empty()) return {};
  const shop::Fit& fit = fits[random.below(fits.size())];
  const int last = std::min(fit.last_year, year_of(fitted) - 1);
  const int first = std::min(fit.first_year, last);
  return {fit.make, fit.model,
          first + static_cast<int>(random.below(static_cast<std::size_t>(last - first) + 1)),
          fit.engine};
}

class Maker {
 public:
  Maker(const shop::PartBook& parts, std::uint64_t seed) : parts_(parts), random_(seed) {}

  std::vector<MadeFile> make() {
    int left = kOutcomes - make_too_new();
    while (left > 0) left -= make_one() ? 1 : 0;
    std::vector<MadeFile> files;
    for (auto& [path, lines] : lines_) {
      std::sort(lines.begin(), lines.end());
      MadeFile file{path, shop::csv_line(shop::record_columns()) + "\n"};
      for (const auto& [when, line] : lines) file.text += line;
      files.push_back(std::move(file));
    }
    return files;
  }

 private:
  // A moment in working hours, so many days before the last.
  std::int64_t moment(std::int64_t days_before) {
    return last_moment() - days_before * kDay -
           static_cast<std::int64_t>(random_.below(kWorkingMinutes)) * kHour / 60;
  }

  void write(std::size_t terminal, const shop::Record& record) {
    const std::string path =
        std::string(kTerminals.at(terminal).folder) + record.when.substr(0, 7) + ".csv";
    lines_[path].emplace_back(record.when + record.id, shop::record_line(record) + "\n");
  }

  // Two of four came back: fixed, not drawn.
  int make_too_new() {
    const auto found = parts_.find(kTooNew);
    if (found.places.size() != 1) return 0;
    const auto& family = parts_.family(found.places.front());
    const auto& number = parts_.number(found.places.front());
    constexpr std::array<int, 4> kDaysAgo = {200, 170, 150, 120};
    for (std::size_t i = 0; i < kDaysAgo.size(); ++i)
      fit(family, number, moment(kDaysAgo[i]),
          i % 2 == 0 ? 40.0 + 20 * static_cast<double>(i) : 1e9);
    return static_cast<int>(kDaysAgo.size());
  }

  // False when the part was dead before it went in.
  bool make_one() {
    const auto weight = [](const auto& thing) { return weight_of(thing); };
    const shop::PartFamily& family = parts_.families()[chosen(parts_.families(), weight, random_)];
    if (family.numbers.empty()) return false;
    const shop::PartNumber& number = family.numbers[chosen(family.numbers, weight, random_)];
    if (number.name == kTooNew) return false;
    std::int64_t days = static_cast<std::int64_t>(random_.below(kDays));
    // What was superseded is not sold any more in the last two years.
    if (!number.superseded_by.empty() && days < 730) return false;
    const std::int64_t fitted = moment(days);
    if (random_.chance(dead_share(number))) {
      shop::DeadOnArrival dead;
      dead.when = when_text(fitted);
      dead.id = made_id(fitted, random_);
      dead.who = kPeople[random_.below(kPeople.size())];
      dead.part = number.name;
      dead.car = car_for(family, number, fitted, random_);
      dead.text = family.acceptance.empty() ? "bad in the box"
                                            : "failed: " + family.acceptance.front().name;
      write(random_.below(kTerminals.size()), record_of(dead));
      return false;
    }
    const Life life = life_of(family, number, lot_of(number, fitted));
    const double scale = 12 / std::pow(-std::log1p(-life.share), 1 / life.shape);
    const double months = scale * std::pow(-std::log(random_.share()), 1 / life.shape);
    fit(family, number, fitted, months * kMonth / kDay);
    return true;
  }

  // Fits a part that fails after so many days, if by then it is not yet the last day.
  void fit(const shop::PartFamily& family, const shop::PartNumber& number, std::int64_t fitted,
           double days) {
    const std::size_t terminal = random_.below(10) < 7 ? random_.below(2) : 2;
    shop::Outcome outcome;
    outcome.id = made_id(fitted, random_);
    outcome.when = when_text(fitted);
    outcome.who = kPeople[random_.below(kPeople.size())];
    outcome.result = random_.chance(0.04) ? shop::Result::not_fixed : shop::Result::fixed;
    outcome.car = car_for(family, number, fitted, random_);
    const std::string lot = lot_of(number, fitted);
    outcome.part = number.name + (lot.empty() ? "" : " lot " + lot);
    const double a_year = 9000 + 13000 * random_.share();
    const double age = std::max(year_of(fitted) - outcome.car.year, 1) + random_.share() - 0.5;
    const double odometer = a_year * age;
    const bool told = random_.chance(0.9);
    if (told) outcome.odometer = fmt::format("{:.0f} km", odometer);
    outcome.minutes = static_cast<double>(20 + 5 * random_.below(30));
    write(terminal, record_of(outcome));

    const double other = kOtherReason * (number.name == kLooksBad ? 12 : 1);
    shop::Comeback comeback;
    comeback.outcome = outcome.id;
    double after = days;
    comeback.reason = "part failed";
    if (random_.chance(other)) {
      // Came back for another reason, before the part could fail.
      after = 5 + 200 * random_.share();
      comeback.reason = number.name == kLooksBad ? "workmanship" : std::string(other_reason());
    } else if (random_.chance(0.05)) {
      comeback.reason.clear();  // nobody wrote it down
    }
    after = std::max(after, 1.0);
    const auto back = fitted + static_cast<std::int64_t>(std::min(after, 1e5)) * kDay;
    if (back > last_moment()) return;
    comeback.when = when_text(back);
    comeback.id = made_id(back, random_);
    comeback.who = kPeople[random_.below(kPeople.size())];
    if (told && random_.chance(0.85))
      comeback.odometer = fmt::format("{:.0f} km", odometer + a_year * after / 365.25);
    write(terminal, record_of(comeback));
  }

  std::string_view other_reason() {
    return shop::comeback_reasons()[std::array<std::size_t, 3>{0, 2, 3}.at(random_.below(3))];
  }

  const shop::PartBook& parts_;
  Random random_;
  std::map<std::string, std::vector<std::pair<std::string, std::string>>> lines_;  // by file
};

}  // namespace

const std::vector<Planted>& planted() {
  static const std::vector<Planted> effects = {
      {"Brevik", "coolant-pump", "2433", 0.45, 0.9, "one bad lot of an ordinary pump"},
      {"Tarrowby", "", "", 0.24, 1.2, "one bad brand, in all its families"},
      {"Brevik", "alternator", "", 0.14, 0.45, "fails in the first weeks or not at all"},
      {"Halden", "belt-tensioner", "", 0.02, 4.5, "wears out in its third year"},
  };
  return effects;
}

std::vector<MadeFile> make_history(const shop::PartBook& parts, std::uint64_t seed) {
  return Maker(parts, seed).make();
}

}  // namespace baylore::history
