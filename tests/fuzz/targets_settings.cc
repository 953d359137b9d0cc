// What a shop and a terminal keep about themselves: shop.md, the terminal, jobs and what waits for
// the shop, drafts, learned VINs, the keys of cars' marks.
#include <algorithm>
#include <cmath>
#include <set>

#include "files/names.h"
#include "files/save.h"
#include "fuzz/targets.h"
#include "job/board.h"
#include "job/car.h"
#include "job/jobs.h"
#include "job/terminal.h"
#include "job/vin_patterns.h"
#include "shop/setting.h"
#include "shop/shop.h"
#include "support/forgetful_disk.h"
#include "trade/vin.h"
#include "viewer/services/drafts.h"

namespace baylore::fuzz {
namespace {

using Disk = test::ForgetfulDisk;  // whose power is never cut here

constexpr const char* kShop = "/shop";
constexpr const char* kState = "/state";
// A made-up one whose check digit agrees.
constexpr const char* kVin = "11111111111111111";

bool put(Disk& disk, const std::string& path, std::string_view bytes) {
  return files::replace(disk, path, bytes).ok();
}

std::string get(Disk& disk, const std::string& path) {
  const auto bytes = disk.read(path, files::kTextLimit);
  return bytes ? *bytes : std::string();
}

bool clear(const files::Failure& failure) {
  return !failure.path.empty() && !failure.what.empty() && !failure.remedy.empty();
}

// A finding points at a line of the file and says what is wrong and what to do.
bool clear(const shop::Findings& findings, std::string_view bytes) {
  const auto lines = 1 + std::count(bytes.begin(), bytes.end(), '\n') +
                     std::count(bytes.begin(), bytes.end(), '\r');
  return std::all_of(findings.begin(), findings.end(), [&](const shop::Finding& finding) {
    return finding.line >= 1 && finding.line <= lines && finding.column >= 1 &&
           !finding.rule.empty() && !finding.message.empty() && !finding.remedy.empty();
  });
}

// --- shop.md

std::string sound(const shop::Settings& settings) {
  if (!(settings.altitude_m >= -500 && settings.altitude_m <= 6000)) return "a shop in the air";
  if (settings.altitude_m != 0 && !settings.altitude_known) return "a height that nobody knows";
  if (settings.torque_unit.empty()) return "torque without a unit";
  for (const double money : {settings.labour_rate, settings.goodwill}) {
    if (!(money >= 0 && std::isfinite(money))) return "an amount that cannot be";
  }
  if (settings.comeback_months < 1 || settings.comeback_months > 120) return "a window of no use";
  return {};
}

std::string shop_file(std::string_view bytes) {
  Disk disk;
  if (!put(disk, "/shop/shop.md", bytes)) return "the disk in memory fails";
  const auto first = shop::read_settings(disk, kShop);
  if (!first) return "shop.md is there and is not read: " + first.failure().text();
  if (!clear(first->findings, bytes)) return "a finding of shop.md is not clear";
  if (std::string broken = sound(*first); !broken.empty()) return broken;

  // What the terminal sets is so afterwards, and nothing else is otherwise.
  if (!shop::save_setting(disk, kShop, "altitude", {}, "790 ft")) return "a height is not saved";
  const auto higher = shop::read_settings(disk, kShop);
  if (!higher || !higher->altitude_known || std::abs(higher->altitude_m - 240.792) > 1e-6)
    return "a height that was set is another";
  if (!shop::save_setting(disk, kShop, "units", "torque",
                          "lbf\xC2\xB7"
                          "ft"))
    return "a unit is not saved";
  const auto set = shop::read_settings(disk, kShop);
  if (!set || set->torque_unit !=
                  "lbf\xC2\xB7"
                  "ft")
    return "a unit that was set is another";
  if (!set->altitude_known) return "setting the unit lost the height";
  if (set->name != first->name || set->location != first->location ||
      set->labour_rate != first->labour_rate || set->goodwill != first->goodwill ||
      set->comeback_months != first->comeback_months || set->demo != first->demo) {
    return "setting a value changed another";
  }
  const std::string once = get(disk, "/shop/shop.md");
  if (!shop::save_setting(disk, kShop, "units", "torque",
                          "lbf\xC2\xB7"
                          "ft"))
    return "a unit is not saved again";
  if (get(disk, "/shop/shop.md") != once) return "setting the same once more changes the file";
  return {};
}

// --- the terminal

std::string written(const job::Terminal& terminal) {
  Disk disk;
  if (!job::save_terminal(disk, kState, terminal)) return "not written";
  return get(disk, "/state/terminal.json");
}

std::string terminal_file(std::string_view bytes) {
  Disk disk;
  const bool there = put(disk, "/etc/machine-id", "0123456789abcdef0123456789abcdef\n") &&
                     put(disk, "/state/terminal.json", bytes);
  if (!there) return "the disk in memory fails";
  const auto first = job::load_terminal(disk, kState);
  if (!first) return "a terminal cannot start: " + first.failure().text();
  if (!files::is_id(first->folder)) return "a terminal without a folder";
  if (first->text_percent < 50 || first->text_percent > 300 ||
      !(first->ppi >= 0 && first->ppi <= 2000) || first->dim_minutes < 0 ||
      first->hide_minutes < 0 || first->dim_minutes > 1440 || first->hide_minutes > 1440) {
    return "a setting of the terminal out of its range";
  }
  if (first->hand.empty() || first->theme.empty() || first->language.empty())
    return "a setting of the terminal without a value";
  const std::string aside = get(disk, "/state/terminal.json.damaged");
  if (!aside.empty() && aside != bytes) return "what was set aside is something else";
  // From now on it is who it is.
  const auto second = job::load_terminal(disk, kState);
  if (!second || written(*second) != written(*first)) return "a terminal is another next time";
  if (!job::save_terminal(disk, kState, *second)) return "a terminal is not saved";
  const auto third = job::load_terminal(disk, kState);
  if (!third || written(*third) != written(*first)) return "a terminal saved is another";
  return {};
}

// --- jobs

// Typed fields of a job that was written, none of which may hold a VIN.
std::vector<std::string> typed(const job::Job& job) {
  std::vector<std::string> all = {job.line,       job.when,       job.often, job.after,
                                  job.why_parked, job.initials,   job.order, job.next_step,
                                  job.bay,        job.taken_words};
  all.insert(all.end(), {job.vehicle.make, job.vehicle.model, job.vehicle.engine});
  all.insert(all.end(), job.dropped.begin(), job.dropped.end());
  all.insert(all.end(), job.to_order.begin(), job.to_order.end());
  all.insert(all.end(), job.at_hand.begin(), job.at_hand.end());
  for (const auto& [code, state] : job.code_state) all.insert(all.end(), {code, state});
  for (const auto& [code, frame] : job.frames) {
    for (const auto& [name, value] : frame) all.insert(all.end(), {code, name, value});
  }
  const auto add = [&](const job::Reading& reading) {
    all.insert(all.end(), {reading.value, reading.measured, reading.name, reading.expected});
  };
  for (const job::Reading& reading : job.readings) add(reading);
  for (const auto& [part, readings] : job.acceptance) {
    all.push_back(part);
    for (const job::Reading& reading : readings) add(reading);
  }
  return all;
}

// The same bytes wait in the terminal's own folder when the shop's is away.
std::string job_file(std::string_view bytes) {
  const auto job = job::from_json(bytes, "jobs/bay-1/x.json");
  if (!job) return clear(job.failure()) ? "" : "a job is refused, and nobody knows why";
  if (!files::is_id(job->id)) return "a job without an id";
  const std::string text = job::to_json(*job);
  const auto again = job::from_json(text, "jobs/bay-1/x.json");
  if (!again) return "a job that was written is none: " + again.failure().text();
  if (job::to_json(*again) != text) return "a job written twice is two";
  for (const std::string& words : typed(*again)) {
    if (trade::find_vin(words)) return "a VIN is on the disk";
  }
  if (again->id != job->id || again->number != job->number || again->state != job->state ||
      again->started != job->started || again->touched != job->touched || again->tip != job->tip ||
      again->ticks != job->ticks || again->skipped != job->skipped || again->tried != job->tried ||
      again->cars != job->cars || again->readings.size() != job->readings.size() ||
      again->taken_from != job->taken_from) {
    return "a job written is another";
  }
  return {};
}

job::Job good_job(const std::string& id) {
  job::Job job;
  job.id = id;
  job.number = 3;
  job.line = "heater cold";
  job.touched = "2026-03-14T10:47:03.120+01:00";
  return job;
}

// In a folder beside a good one, and in another bay's.
std::string jobs_folder(std::string_view bytes) {
  Disk disk;
  const auto read = job::from_json(bytes, "x");
  const std::string id = read ? read->id : "no-job";
  if (id == "good") return {};
  const std::string name = id + ".json";
  const bool there = job::save_job(disk, kShop, "bay-1", good_job("good")).ok() &&
                     put(disk, "/shop/jobs/bay-1/" + name, bytes) &&
                     put(disk, "/shop/jobs/bay-1/a-copy-of-it.json", bytes) &&
                     put(disk, "/shop/jobs/bay-2/" + name, bytes);
  if (!there) return "the disk in memory fails";
  const job::Loaded loaded = job::load_jobs(disk, kShop, "bay-1");
  const bool alone = id == "a-copy-of-it";
  if (loaded.jobs.size() != (read ? 2U : 1U)) return "other jobs than there are";
  if (loaded.findings.size() != (alone ? 0U : read ? 1U : 2U)) return "another count of findings";
  if (!clear(loaded.findings, bytes)) return "a finding of jobs is not clear";
  const auto beside = std::find_if(loaded.jobs.begin(), loaded.jobs.end(),
                                   [](const job::Job& job) { return job.id == "good"; });
  if (beside == loaded.jobs.end() || job::to_json(*beside) != job::to_json(good_job("good")))
    return "the good job beside it is not what it was";
  if (job::new_job(loaded.jobs).number < 1) return "a new job without a number";

  job::JobBook book;
  if (!book.update(disk, kShop)) return "jobs that nobody sees";
  if (book.update(disk, kShop)) return "jobs that change while nothing does";
  const std::vector<job::Version> versions = book.versions();
  for (const char* bay : {"bay-1", "bay-2", "bay-3"}) {
    const job::Board board = job::board_of(versions, bay);
    std::set<std::string> seen;
    for (const job::Version& version : versions) {
      if (version.terminal == bay && !board.gone.contains(version.job.id))
        seen.insert(version.job.id);
    }
    for (const job::Elsewhere& one : board.elsewhere) seen.insert(one.version.job.id);
    for (const auto& [gone, where] : board.gone) {
      if (where.bay.empty()) return "a job is gone, and nobody has it";
    }
    for (const job::Version& version : versions) {
      if (version.job.state != job::State::finished && !seen.contains(version.job.id) &&
          !board.gone.contains(version.job.id)) {
        return "a job in hand that no list shows";
      }
    }
  }
  return {};
}

// --- drafts

bool same(const viewer::Draft& a, const viewer::Draft& b) {
  return a.id == b.id && a.path == b.path && a.before == b.before && a.text == b.text;
}

std::string drafts_folder(std::string_view bytes) {
  Disk disk;
  const viewer::Draft good{"good", "tips/a.md", "---\n", "x"};
  if (!viewer::write_draft(disk, kState, good) || !put(disk, "/state/drafts/d.json", bytes))
    return "the disk in memory fails";
  const std::vector<viewer::Draft> read = viewer::read_drafts(disk, kState);
  if (read.empty() || read.size() > 2 || !same(read.back(), good))
    return "the good draft beside it is not what it was";
  if (read.size() == 2) {
    if (!viewer::write_draft(disk, kState, read.front())) return "a draft is not kept";
    const std::vector<viewer::Draft> again = viewer::read_drafts(disk, kState);
    if (again.size() != 2 || !same(again.front(), read.front())) return "a draft kept is another";
  }

  // As text that is being typed.
  const viewer::Draft typed{"d", "tips/x.md", std::string(bytes), std::string(bytes) + "x"};
  if (!viewer::write_draft(disk, kState, typed)) return "what is typed is not kept";
  const std::vector<viewer::Draft> kept = viewer::read_drafts(disk, kState);
  if (kept.size() != 2) return "what was typed is not there";
  const bool ascii =
      std::all_of(bytes.begin(), bytes.end(), [](char c) { return (c & 0x80) == 0; });
  if (ascii && !same(kept.front(), typed)) return "what was typed is another";
  if (!viewer::write_draft(disk, kState, kept.front())) return "what is typed is not kept again";
  const std::vector<viewer::Draft> twice = viewer::read_drafts(disk, kState);
  if (twice.size() != 2 || !same(twice.front(), kept.front())) return "a draft changes by itself";
  return {};
}

// --- what is learned of VINs, and the keys of cars' marks

std::string said(const job::VinPatterns& patterns) {
  std::string out;
  for (const char* vin : {kVin, "1M8GDM9AXKP042788", "1111111?1?", "no VIN"}) {
    for (const job::VinGuess& guess : patterns.suggest(vin)) {
      out += guess.vehicle.make + '|' + guess.vehicle.model + '|' + guess.vehicle.engine + '|' +
             std::to_string(guess.vehicle.year) + '|' + std::to_string(guess.chosen) +
             (guess.exact ? "|exact\n" : "|alike\n");
    }
  }
  return out;
}

std::string patterns_file(std::string_view bytes) {
  Disk disk;
  if (!put(disk, "/state/vin-patterns.json", bytes)) return "the disk in memory fails";
  job::VinPatterns patterns(disk, kState);
  const std::string aside = get(disk, "/state/vin-patterns.json.damaged");
  if (!aside.empty() && aside != bytes) return "what was set aside is something else";
  for (const job::VinGuess& guess : patterns.suggest(kVin)) {
    if (guess.vehicle.make.empty() || guess.vehicle.model.empty() || guess.chosen < 1)
      return "a guess of nothing";
  }
  search::Vehicle chosen;
  chosen.make = "Corvane";
  chosen.model = "Hauler";
  chosen.year = 2014;
  if (!patterns.learn(kVin, chosen)) return "a choice is not kept";
  if (patterns.suggest(kVin).size() > job::VinPatterns::kMostGuesses) return "too many guesses";
  if (patterns.suggest(kVin).empty()) return "nothing was learned";
  if (said(job::VinPatterns(disk, kState)) != said(patterns)) return "what was learned is another";
  return {};
}

std::string keys_folder(std::string_view bytes) {
  Disk disk;
  if (!put(disk, "/shop/keys/cars/bay-2.key", bytes)) return "the disk in memory fails";
  const auto marks = job::car_marks(disk, kShop, "bay-1", kVin);
  if (!marks) return "a car has no marks: " + marks.failure().text();
  if (marks->empty() || marks->size() > 2) return "another count of marks than of keys";
  for (const std::string& mark : *marks) {
    if (mark.size() != 6 + 32 || (!mark.starts_with("bay-1:") && !mark.starts_with("bay-2:")))
      return "a mark that is none";
    if (mark.find(kVin) != std::string::npos) return "a VIN in a mark";
  }
  const auto again = job::car_marks(disk, kShop, "bay-1", kVin);
  if (!again || *again != *marks) return "a car has other marks next time";
  if (get(disk, "/shop/keys/cars/bay-2.key") != bytes) return "another bay's key was touched";
  return {};
}

}  // namespace

// Each reader gets what may be meant for it, and whatever is short.
std::string settings(std::string_view bytes) {
  const std::size_t first = bytes.find_first_not_of(" \t\r\n");
  const bool object = first != std::string_view::npos && bytes[first] == '{';
  const bool brief = bytes.size() < 64;
  struct Reader {
    Promise promise;
    bool objects;
    bool texts;
  };
  constexpr Reader kReaders[] = {{shop_file, false, true},     {keys_folder, false, true},
                                 {terminal_file, true, false}, {job_file, true, false},
                                 {jobs_folder, true, false},   {patterns_file, true, false},
                                 {drafts_folder, true, true}};
  for (const Reader& reader : kReaders) {
    if (!(object ? reader.objects : reader.texts) && !brief) continue;
    if (std::string broken = reader.promise(bytes); !broken.empty()) return broken;
  }
  return {};
}

}  // namespace baylore::fuzz
