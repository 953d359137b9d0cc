// Reading, pooling and writing of many records.
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <set>

#include <fmt/format.h>

#include "bootstrap.h"
#include "diagnosis.h"
#include "diagnosis/experience.h"
#include "diagnosis/session.h"
#include "files/names.h"
#include "scratch.h"
#include "shop/outcome.h"

namespace baylore::benchmark {
namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

shop::Outcome outcome(std::size_t number, int month) {
  static const std::vector<shop::Car> cars = {{"Corvane", "Hauler", 2016, "3.6 V6"},
                                              {"Corvane", "Pallet", 2018, "2.2 diesel"},
                                              {"Ostrel", "Vane", 2012, "2.0 I4"},
                                              {"Tavik", "Osier", 2010, "2.5 I4"}};
  shop::Outcome made;
  made.id = files::new_id();
  made.when = fmt::format("20{:02}-{:02}-14T10:{:02}:{:02}+01:00", 20 + month / 12, 1 + month % 12,
                          number / 60 % 60, number % 60);
  made.who = "L. Adeyemi";
  made.right =
      number % 11 == 0 ? std::string(shop::kNoneOfThese) : fmt::format("tip-{}", number % 2000);
  made.used = {fmt::format("tip-{}", number % 2000), fmt::format("tip-{}", number % 1999)};
  made.part = "Halden 88-214";
  made.odometer = fmt::format("{} km", 30000 + number % 200000);
  made.minutes = static_cast<double>(20 + number % 200);
  made.car = cars[number % cars.size()];
  made.codes = {"P0128"};
  return made;
}

std::string line_of(const shop::Outcome& outcome) {
  const shop::Record record = record_of(outcome);
  return shop::record_line(record) + "\n";
}

bool told(const char* what, double seconds, double most) {
  fmt::print("  {:44} {:7.3f} s (at most {:.2f})\n", what, seconds, most);
  return seconds <= most;
}

}  // namespace

bool measure_records() {
  constexpr std::size_t kRecords = 100000;
  constexpr int kTerminals = 4;
  constexpr int kMonths = 60;
  const Scratch scratch;
  const std::filesystem::path folder = scratch.path();
  std::size_t bytes = 0;
  std::size_t number = 0;
  for (int terminal = 0; terminal < kTerminals; ++terminal) {
    const auto records = folder / "records" / fmt::format("bay-{}", terminal);
    std::filesystem::create_directories(records);
    for (int month = 0; month < kMonths; ++month) {
      std::string text = shop::csv_line(shop::record_columns()) + "\n";
      const std::size_t last = kRecords * static_cast<std::size_t>(terminal * kMonths + month + 1) /
                               static_cast<std::size_t>(kTerminals * kMonths);
      for (; number < last; ++number) text += line_of(outcome(number, month));
      std::ofstream(records / fmt::format("20{:02}-{:02}.csv", 20 + month / 12, 1 + month % 12),
                    std::ios::binary)
          << text;
      bytes += text.size();
    }
  }
  fmt::print("{} records of {} terminals, {} files, {:.1f} MB\n", kRecords, kTerminals,
             kTerminals * kMonths, static_cast<double>(bytes) / 1e6);
  files::Disk& disk = files::real_disk();
  shop::RecordBook book;
  diagnosis::Experience experience;
  auto start = Clock::now();
  book.update(disk, scratch.path());
  const double read = seconds_since(start);
  start = Clock::now();
  experience.take(book);
  const double pooled = seconds_since(start);
  fmt::print("  read {:.3f} s, pooled {:.3f} s\n", read, pooled);
  bool good = told("read and pooled", read + pooled, 1);

  for (std::size_t i = 0; i < 100; ++i) {
    const auto added = shop::append_record(disk, scratch.path(), "bay-0",
                                           record_of(outcome(kRecords + i, kMonths - 1)));
    good = good && added.ok();
  }
  start = Clock::now();
  book.update(disk, scratch.path());
  experience.take(book);
  good = told("100 more", seconds_since(start), 0.05) && good;
  std::vector<std::string> tips;
  for (int i = 0; i < 50; ++i) tips.push_back(fmt::format("tip-{}", i));
  start = Clock::now();
  const auto shares = experience.shares(tips, {"Corvane", "Hauler", 2016, "3.6 V6"});
  good = told("shares of 50 tips on one vehicle", seconds_since(start), 0.01) && good;
  return good && book.records().size() == kRecords + 100 && shares.tips.size() == tips.size();
}

bool append_together(int seconds) {
  const Scratch scratch;
  std::vector<pid_t> writers;
  for (int writer = 0; writer < 2; ++writer) {
    const pid_t child = ::fork();
    if (child == 0) {
      const std::string terminal = fmt::format("bay-{}", writer);
      std::ofstream written(scratch.path() + "/written-" + terminal);
      const auto end = Clock::now() + std::chrono::seconds(seconds);
      bool good = true;
      for (std::size_t i = 0; good && Clock::now() < end; ++i) {
        const shop::Outcome made = outcome(i, 1);
        good =
            shop::append_record(files::real_disk(), scratch.path(), terminal, record_of(made)).ok();
        written << made.id << '\n';
      }
      written.close();
      ::_exit(good ? 0 : 1);
    }
    writers.push_back(child);
  }
  shop::RecordBook book;
  diagnosis::Experience experience;
  std::size_t looks = 0;
  bool good = true;
  std::size_t running = writers.size();
  std::size_t before = 0;
  while (running > 0) {
    book.update(files::real_disk(), scratch.path());
    experience.take(book);
    good = good && book.records().size() >= before;
    before = book.records().size();
    ++looks;
    int status = 0;
    if (::waitpid(-1, &status, WNOHANG) > 0) {
      --running;
      good = good && status == 0;
    }
    ::usleep(20000);
  }
  book.update(files::real_disk(), scratch.path());
  experience.take(book);
  std::size_t written = 0;
  std::size_t lost = 0;
  for (const char* terminal : {"bay-0", "bay-1"}) {
    std::ifstream ids(scratch.path() + "/written-" + terminal);
    for (std::string id; std::getline(ids, id); ++written) {
      if (book.find(id) == nullptr) ++lost;
    }
  }
  const std::size_t torn = book.findings().size();
  fmt::print(
      "2 terminals appended {} records in {} s while a third read {} times: {} lost, {} twice, {} "
      "torn\n",
      written, seconds, looks, lost, book.records().size() - (written - lost), torn);
  return good && lost == 0 && torn == 0 && book.records().size() == written &&
         experience.jobs() == written;
}

bool measure_next_check() {
  std::mt19937_64 random(7);
  std::vector<double> look_ms;
  for (int round = 0; round < 40; ++round) {
    std::vector<diagnosis::Candidate> candidates(50);
    for (std::size_t i = 0; i < candidates.size(); ++i) {
      shop::Tip& tip = candidates[i].tip;
      tip.id = fmt::format("t{}", i);
      tip.title = tip.id;
      tip.repair_minutes = 20 + static_cast<double>(random() % 200);
      candidates[i].share = static_cast<double>(1 + random() % 9);
      // Six of its own and four of the others': 300 in all.
      for (std::size_t k = 0; k < 10; ++k) {
        const std::size_t number = k < 6 ? 6 * i + k : random() % 300;
        shop::Check check;
        check.id = fmt::format("k{}", number);
        check.name = check.id;
        check.fact = fmt::format("f{}", number % 250);
        check.minutes = static_cast<double>(2 + number % 30);
        if (number % 3 == 0) check.access = {{fmt::format("cover {}", number % 7), 6}};
        check.outside = diagnosis::kStrengths.at(random() % 7).word;
        check.inside = diagnosis::kStrengths.at(random() % 7).word;
        tip.checks.push_back(std::move(check));
      }
    }
    const diagnosis::Case a_case = diagnosis::make_case(candidates, 0.1);
    std::vector<diagnosis::Answer> answers;
    for (int step = 0; step < 6; ++step) {
      const auto start = Clock::now();
      const diagnosis::Outlook outlook = diagnosis::look(a_case, answers);
      look_ms.push_back(1000 * seconds_since(start));
      if (outlook.next.kind != diagnosis::Next::Kind::check) break;
      answers.push_back({outlook.next.check, random() % 3 == 0 ? diagnosis::Answer::Kind::no
                                                               : diagnosis::Answer::Kind::yes});
    }
  }
  std::sort(look_ms.begin(), look_ms.end());
  fmt::print(
      "next check, ranking and ledger for 50 causes and 300 checks: median {:.2f} ms, 99th "
      "percentile {:.2f} ms, most {:.2f} ms of {} (at most 20)\n",
      quantile(look_ms, 0.5), quantile(look_ms, 0.99), look_ms.back(), look_ms.size());
  return quantile(look_ms, 0.99) <= 20;
}

}  // namespace baylore::benchmark
