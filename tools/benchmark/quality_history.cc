// A hundred thousand records of parts: read, gathered and told.
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

#include <fmt/format.h>

#include "quality.h"
#include "quality/standing.h"
#include "random.h"
#include "shop/outcome.h"
#include "shop/part_book.h"

namespace baylore::benchmark {
namespace {

using Clock = std::chrono::steady_clock;

constexpr int kFamilies = 25;
constexpr int kNumbers = 12;
constexpr std::size_t kOutcomes = 92000;  // and some 8,000 comebacks
constexpr std::int64_t kDay = 86400000;
const std::int64_t kToday = shop::instant_of("2026-11-01T12:00:00Z").value_or(0);

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

std::string number_name(int family, int number) {
  return fmt::format("Brand{} {}-{:03}", static_cast<char>('A' + number), 10 + family, number);
}

shop::PartBook made_book() {
  shop::PartBook book;
  for (int f = 0; f < kFamilies; ++f) {
    std::string text = fmt::format("---\ntitle: Family {}\n---\n\n## Numbers\n", f);
    for (int n = 0; n < kNumbers; ++n) {
      text += fmt::format("### {}\n- grade: {}\n", number_name(f, n),
                          n % 3 == 0 ? "original" : "aftermarket");
    }
    book.add(shop::read_part(shop::Document::parse(text), fmt::format("parts/f{}.md", f)));
  }
  return book;
}

std::string day_text(std::int64_t milliseconds) {
  const std::chrono::sys_days day{
      std::chrono::days(static_cast<std::chrono::days::rep>(milliseconds / kDay))};
  const std::chrono::year_month_day date(day);
  return fmt::format("{:04}-{:02}-{:02}T10:00:00.000+00:00", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::string csv_of(const shop::Record& record) { return shop::record_line(record) + "\n"; }

// One file's text: five years of outcomes, and what came back.
std::string made_records() {
  Random random(5);
  std::string text = shop::csv_line(shop::record_columns()) + "\n";
  for (std::size_t i = 0; i < kOutcomes; ++i) {
    const std::int64_t ago = static_cast<std::int64_t>(random.below(5 * 365)) * kDay;
    const int family = static_cast<int>(random.below(kFamilies));
    shop::Outcome outcome;
    outcome.id = fmt::format("01JD{:022}", i);
    outcome.when = day_text(kToday - ago);
    outcome.who = "LA";
    outcome.right = fmt::format("01JT{:022}", i % 500);
    outcome.used = {outcome.right};
    outcome.part = number_name(family, static_cast<int>(random.below(kNumbers)));
    outcome.odometer = fmt::format("{} km", 30000 + random.below(200000));
    outcome.minutes = 60;
    outcome.car = {"Corvane", "Hauler", 2012 + static_cast<int>(random.below(8)), "3.6 V6"};
    text += csv_of(record_of(outcome));
    const std::int64_t life = static_cast<std::int64_t>(-std::log(random.share()) * 12000) * kDay;
    if (life >= ago) continue;
    shop::Comeback comeback;
    comeback.id = fmt::format("01JE{:022}", i);
    comeback.when = day_text(kToday - ago + life);
    comeback.outcome = outcome.id;
    comeback.reason = "part failed";
    text += csv_of(record_of(comeback));
  }
  return text;
}

double megabytes() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

bool told(const char* what, double seconds, double most) {
  fmt::print("  {:40} {:8.4f} s (at most {:.2f})\n", what, seconds, most);
  return seconds <= most;
}

}  // namespace

bool measure_history() {
  std::string text = made_records();
  shop::Records records;
  auto start = Clock::now();
  shop::read_records(text, "records.csv", records);
  const double reading = seconds_since(start);
  const double before = megabytes();
  text.clear();
  text.shrink_to_fit();
  fmt::print("{} records, {} families of {} numbers\n", records.records.size(), kFamilies,
             kNumbers);
  fmt::print("  {:40} {:8.4f} s\n", "read", reading);

  start = Clock::now();
  const quality::History history(made_book(), {{"", &records.records}}, {kToday, 12});
  fmt::print("  {:40} {:8.4f} s, {} parts\n", "gathered", seconds_since(start), history.count());

  double worst = 0;
  start = Clock::now();
  for (std::size_t family = 0; family < kFamilies; ++family) {
    const auto one = Clock::now();
    const quality::Standing standing = quality::standing_of(history, {family}, quality::By::number);
    worst = std::max(worst, seconds_since(one));
    if (standing.rivals.size() != kNumbers) return false;
  }
  bool good = told("one family, the slowest", worst, 0.02);
  good &= told("the whole shop", seconds_since(start), 1);
  fmt::print("  {:40} {:8.0f} MB (at most 150), {:.0f} MB of it before they were gathered\n",
             "memory at its highest", megabytes(), before);
  return good && megabytes() <= 150;
}

}  // namespace baylore::benchmark
