#include "store/build.h"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

#include "files/names.h"
#include "files/save.h"
#include "shop/shop.h"
#include "store/generations.h"
#include "store/listing.h"
#include "store/part_builder.h"
#include "store/readers.h"
#include "store/schema.h"
#include "store/sql.h"
#include "store/words.h"
#include "store/writer.h"

namespace baylore::store {
namespace {

using Kind = files::Failure::Kind;

constexpr std::int64_t kProgressEvery = 64;

files::Failure stopped(const Location& location) {
  return {Kind::other, location.shop, "stopped", ""};
}

files::Failure lost(const Location& location) {
  return {Kind::gone, location.shop, "the shop folder does not answer",
          "the tips known so far stay findable; check the network"};
}

void count_tips(const Database& database, Report& report) {
  Statement count = database.prepare(
      "SELECT count(*) - (SELECT count(*) FROM twins), "
      "(SELECT count(*) FROM tips WHERE broken) FROM tips");
  if (!count.ready() || count.step() != SQLITE_ROW) return;
  report.tips = count.integer(0);
  report.broken = count.integer(1);
}

// Tells the caller now and then.
class Counter {
 public:
  Counter(const Options& options, std::size_t total)
      : options_(options), total_(static_cast<std::int64_t>(total)) {}
  void step() {
    ++done_;
    if (options_.progress && (done_ % kProgressEvery == 0 || done_ == total_)) {
      options_.progress({done_, total_});
    }
  }

 private:
  const Options& options_;
  std::int64_t total_;
  std::int64_t done_ = 0;
};

// Adds tips to the postings on a thread of its own, in the order they come: it takes a third of the
// time that the rows take.
class Adding {
 public:
  explicit Adding(PartBuilder& words) : words_(words), thread_([this] { run(); }) {}
  ~Adding() { finish(); }
  Adding(const Adding&) = delete;
  Adding& operator=(const Adding&) = delete;

  void add(std::int64_t doc, std::string spread) {
    batch_.push_back({doc, std::move(spread)});
    if (batch_.size() == kBatch) hand_over();
  }
  // Everything is in afterwards.
  void finish() {
    if (!thread_.joinable()) return;
    hand_over();
    {
      const std::lock_guard lock(mutex_);
      over_ = true;
    }
    come_.notify_one();
    thread_.join();
  }

 private:
  struct Tip {
    std::int64_t doc = 0;
    std::string spread;
  };
  static constexpr std::size_t kBatch = 64;
  static constexpr std::size_t kMostWaiting = 8;  // batches

  void hand_over() {
    std::unique_lock lock(mutex_);
    room_.wait(lock, [this] { return waiting_.size() < kMostWaiting; });
    waiting_.push_back(std::exchange(batch_, {}));
    lock.unlock();
    come_.notify_one();
  }
  void run() {
    Spread spread;
    while (true) {
      std::unique_lock lock(mutex_);
      come_.wait(lock, [this] { return over_ || !waiting_.empty(); });
      if (waiting_.empty()) return;
      const std::vector<Tip> batch = std::move(waiting_.front());
      waiting_.pop_front();
      lock.unlock();
      room_.notify_one();
      for (const Tip& tip : batch) {
        if (read_spread(tip.spread, spread)) words_.add(tip.doc, spread);
      }
    }
  }

  PartBuilder& words_;
  std::vector<Tip> batch_;
  std::mutex mutex_;
  std::condition_variable come_;
  std::condition_variable room_;
  std::deque<std::vector<Tip>> waiting_;
  bool over_ = false;
  std::thread thread_;
};

// A new generation and what is known of it while it is made.
struct Fresh {
  std::string name;
  std::string words;  // the file of its postings
  std::int64_t number = 0;
};

// Fills a new generation: everything in one transaction. At the end this thread makes the indexes
// while another writes the postings.
files::Result<void> fill(files::Disk& disk, const Location& location, const Options& options,
                         const std::vector<Candidate>& candidates, const Database& database,
                         const Fresh& fresh, Report& report) {
  int code = SQLITE_OK;
  const auto run = [&](std::string_view sql) {
    if (code == SQLITE_OK) code = database.run(std::string(sql).c_str());
  };
  run("PRAGMA application_id = " + std::to_string(kApplicationId));
  run("PRAGMA user_version = " + std::to_string(kSchemaVersion));
  run("BEGIN");
  for (const std::string_view table : kTables) run(table);
  if (code != SQLITE_OK) return failure_of(code, database.path());

  Writer writer(database, 0);
  PartBuilder words;
  Adding adding(words);
  Counter counter(options, candidates.size());
  Found end = Found::read;
  read_in_order(disk, location.shop, candidates, options.stop, [&](Reading& reading, Found found) {
    end = found;
    if (found == Found::stopped || found == Found::lost) return false;
    if (found == Found::read) {
      const std::int64_t doc = writer.put(reading);
      if (doc > 0) adding.add(doc, std::move(reading.spread));
      ++report.added;
    }
    counter.step();
    return writer.code() == SQLITE_OK;
  });
  adding.finish();
  if (writer.code() != SQLITE_OK) return failure_of(writer.code(), database.path());
  if (end == Found::stopped) return stopped(location);
  if (end == Found::lost) return lost(location);

  files::Result<std::uint64_t> sum = std::uint64_t{0};
  std::thread other(
      [&] { sum = write_part(disk, words, files::join(location.folder, fresh.words)); });
  for (const std::string_view index : kIndexes) writer.run(std::string(index).c_str());
  const bool twins = writer.compare_ids(true);
  writer.set_meta("shop", location.shop);
  writer.set_meta("epoch", std::int64_t{kParserEpoch});
  writer.set_meta("generation", fresh.name);
  writer.set_meta("number", fresh.number);
  writer.set_meta("changes", std::int64_t{twins ? 1 : 0});
  writer.set_meta("documents", std::int64_t{0});
  other.join();
  if (!sum) return sum.failure();
  writer.set_meta("words", text_of({fresh.words, *sum}));
  writer.run("COMMIT");
  // In the header from here on: whoever opens the file uses a WAL.
  writer.run("PRAGMA journal_mode = WAL");
  if (writer.code() != SQLITE_OK) return failure_of(writer.code(), database.path());
  count_tips(database, report);
  return {};
}

// Whether every page is as it was written and the trees hold together.
int check_whole(const Database& database) {
  Statement check = database.prepare("PRAGMA quick_check(1)");
  if (!check.ready()) return sqlite3_extended_errcode(database.raw());
  const int code = check.step();
  if (code != SQLITE_ROW) return code;
  return check.text(0) == "ok" ? SQLITE_OK : SQLITE_CORRUPT;
}

// Whether the postings that the database names are there and, with `whole`, as they were written.
files::Result<void> check_words(const Database& database, const Location& location, bool whole) {
  int code = SQLITE_OK;
  const MainPart named = read_main_part(meta_text(database, "words", &code));
  const std::string path = files::join(location.folder, named.file);
  const auto part = Part::map(path, named.sum);
  if (!part) return part.failure();
  if (whole && !part->whole()) return failure_of(SQLITE_CORRUPT, path);
  return {};
}

files::Result<void> flush_file(files::Disk& disk, const std::string& path) {
  auto output = disk.append(path);
  if (!output) return output.failure();
  if (auto synced = (*output)->sync(); !synced) return synced;
  return (*output)->close();
}

// A new generation beside the current one:
//   1. list the shop, read and parse on all cores, insert on this thread into a file nobody knows;
//   2. close it, open it as a reader would and check it; flush the file and its name;
//   3. replace the pointer. Before this step nothing has changed for anyone, after it everything
//   has.
files::Result<Report> build(files::Disk& disk, const Location& location, const Options& options,
                            const std::string& previous, const Fresh& fresh,
                            const std::vector<Candidate>& candidates, std::string why) {
  Report report;
  report.rebuilt = true;
  report.why = std::move(why);
  const std::string path = generation_path(location, fresh.name);

  const auto whole = [&]() -> files::Result<void> {
    {
      auto database = Database::open(path, Mode::create);
      if (!database) return database.failure();
      auto filled = fill(disk, location, options, candidates, *database, fresh, report);
      if (!filled) return filled;
    }
    {
      auto reader = Database::open(path, Mode::read);
      if (!reader) return reader.failure();
      if (const int code = check_whole(*reader); code != SQLITE_OK) return failure_of(code, path);
      if (auto words = check_words(*reader, location, true); !words) return words;
    }
    if (auto flushed = flush_file(disk, path); !flushed) return flushed;
    if (auto flushed = disk.sync_folder(location.folder); !flushed) return flushed;
    return publish(disk, location, {fresh.name, previous});
  }();
  if (!whole) {
    for (const char* side : {"", "-wal", "-shm"}) (void)disk.remove(path + side).ok();
    (void)disk.remove(files::join(location.folder, fresh.words)).ok();
    return whole.failure();
  }
  return report;
}

// When so many tips are not as the main part of the postings has them, a new main part is written:
// a twentieth of all, and no fewer than make it worth while.
constexpr std::int64_t kTailShare = 20;
constexpr std::int64_t kTailLeast = 16;

// Replaces the main part when its time has come, inside the transaction of the update: the file is
// on the disk before the database names it. The name of a file that was written, for taking away
// should the transaction fail; empty when there is none.
files::Result<std::string> renew_words(files::Disk& disk, const Location& location,
                                       const Database& database, const std::string& generation,
                                       Writer& writer) {
  Statement count = database.prepare("SELECT count(*) FROM tail");
  if (!count.ready()) return failure_of(sqlite3_extended_errcode(database.raw()), database.path());
  if (const int code = count.step(); code != SQLITE_ROW) return failure_of(code, database.path());
  const std::int64_t tail = count.integer(0);
  count.reset();
  if (tail < kTailLeast) return std::string();
  Words words;
  if (auto followed = words.follow(database, location.folder); !followed) return followed.failure();
  if (tail * kTailShare < std::int64_t{words.tips()}) return std::string();
  const std::string file = new_words_file(generation);
  const std::string path = files::join(location.folder, file);
  auto sum = write_whole(disk, words, path);
  if (sum) {
    if (auto flushed = disk.sync_folder(location.folder); !flushed) sum = flushed.failure();
  }
  if (!sum) {
    (void)disk.remove(path).ok();
    return sum.failure();
  }
  writer.set_meta("words", text_of({file, *sum}));
  writer.run("DELETE FROM tail");
  return file;
}

// Brings the current generation up to date in place. Additions and changes go in before removals,
// so that a renamed file is never missing; all of it is one transaction, so a reader sees the
// folder before or after. Nothing is locked while nothing differs.
files::Result<Report> update(files::Disk& disk, const Location& location, const Options& options,
                             const Database& database, const std::string& generation,
                             Listing listing) {
  auto difference = options.changed ? compare_these(database, std::move(listing))
                                    : compare(database, std::move(listing));
  if (!difference) return difference.failure();
  Report report;
  report.unchanged = difference->unchanged;
  if (difference->read.empty() && difference->removed.empty()) {
    count_tips(database, report);
    return report;
  }

  std::optional<Writer> held;
  // The number of this update is known once no other can be at work.
  const auto begin = [&]() -> Writer& {
    if (!held) {
      int code = database.run("BEGIN IMMEDIATE");
      const std::int64_t changes = code == SQLITE_OK ? meta_number(database, "changes", &code) : 0;
      held.emplace(database, changes + 1);
      if (code != SQLITE_ROW) held->fail(code);
    }
    return *held;
  };
  Counter counter(options, difference->read.size());
  Found end = Found::read;
  std::size_t at = 0;
  read_in_order(disk, location.shop, difference->read, options.stop,
                [&](Reading& reading, Found found) {
                  end = found;
                  if (found == Found::stopped || found == Found::lost) return false;
                  const Candidate& candidate = difference->read[at++];
                  if (found == Found::vanished) {
                    if (candidate.known) difference->removed.push_back(candidate.path);
                  } else if (found == Found::same) {
                    ++report.unchanged;
                    if (!candidate.noted) begin().note_status(reading);
                  } else {
                    begin().put(reading);
                    const bool still_unreadable =
                        candidate.known && candidate.known_hash.empty() && reading.hash.empty();
                    if (still_unreadable) {
                      ++report.unchanged;
                    } else {
                      ++(candidate.known ? report.changed : report.added);
                    }
                  }
                  counter.step();
                  return !held || held->code() == SQLITE_OK;
                });

  const bool whole = end != Found::stopped && end != Found::lost;
  std::string fresh_words;
  if (whole) {
    for (const std::string& path : difference->removed) begin().remove(path);
    report.removed = static_cast<std::int64_t>(difference->removed.size());
    if (report.added + report.changed + report.removed > 0) {
      begin().compare_ids(false);
      held->set_meta("changes", held->change());
      if (held->documents_changed()) held->set_meta("documents", held->change());
      if (held->code() == SQLITE_OK) {
        auto renewed = renew_words(disk, location, database, generation, *held);
        if (!renewed) {
          database.run("ROLLBACK");
          return renewed.failure();
        }
        fresh_words = std::move(*renewed);
      }
    }
    if (held) held->run("COMMIT");
  }
  const int code = held ? held->code() : SQLITE_OK;
  if (!whole || code != SQLITE_OK) {
    if (held) database.run("ROLLBACK");
    if (!fresh_words.empty()) (void)disk.remove(files::join(location.folder, fresh_words)).ok();
    if (code != SQLITE_OK) return failure_of(code, database.path());
    return end == Found::stopped ? stopped(location) : lost(location);
  }
  count_tips(database, report);
  return report;
}

// An unmounted network folder looks like an empty one. Taking every tip out of the search because a
// cable was pulled would be wrong.
bool looks_unmounted(const Database& database, const Listing& listing) {
  if (!listing.candidates.empty() || !listing.closed.empty()) return false;
  Statement any = database.prepare("SELECT 1 FROM files LIMIT 1");
  return any.ready() && any.step() == SQLITE_ROW;
}

// What there is to go on with: the current generation, or why it must be rebuilt.
struct Start {
  std::string why;       // empty: update
  std::string previous;  // the generation that readers may hold
  std::int64_t number = 0;
};

files::Result<Start> look(files::Disk& disk, const Location& location, const Options& options) {
  Start start;
  if (const auto pointer = read_pointer(disk, location)) start.previous = pointer->current;
  const auto rebuild = [&start](std::string why) {
    start.why = std::move(why);
    return start;
  };
  const auto opened = open_current(disk, location, Mode::read);
  if (!opened) {
    const files::Failure& failure = opened.failure();
    if (failure.kind == Kind::other) return failure;
    start.previous.clear();
    return rebuild(failure.kind == Kind::missing ? "no store yet" : failure.what);
  }
  start.number = opened->number;
  bool damaged = is_marked_damaged(disk, location, opened->generation);
  if (!damaged && options.check) damaged = is_damage(check_whole(opened->database));
  if (!damaged) damaged = !check_words(opened->database, location, options.check).ok();
  if (damaged) {
    start.previous.clear();
    return rebuild("the store is damaged");
  }
  if (options.from_scratch) return rebuild("asked for");
  return start;
}

void sweep_unread(files::Disk& disk, const Location& location, const std::string& words) {
  if (const auto pointer = read_pointer(disk, location)) sweep(disk, location, *pointer, words);
}

files::Result<Report> bring(files::Disk& disk, const Location& location, const Options& options) {
  if (location.folder.empty()) {
    return files::Failure{Kind::denied, "", "there is no cache folder",
                          "set XDG_CACHE_HOME, or name a store with --store"};
  }
  if (auto made = files::make_folders(disk, location.folder); !made) return made.failure();
  if (on_network(location.folder)) {
    return files::Failure{Kind::denied, location.folder, "the store cannot lie on a network folder",
                          "set XDG_CACHE_HOME to a local folder, or name one with --store"};
  }
  const BuildLock lock(location, options.stop);
  if (options.stop != nullptr && options.stop->load()) return stopped(location);

  auto start = look(disk, location, options);
  if (!start) return start.failure();
  std::optional<Listing> some;
  if (start->why.empty() && options.changed) {
    some = list_these(disk, location.shop, *options.changed);
  }
  Options all = options;
  if (!some) all.changed.reset();
  auto listing = some ? files::Result<Listing>(std::move(*some)) : list_shop(disk, location.shop);
  if (!listing) return listing.failure();

  if (start->why.empty()) {
    auto opened = open_current(disk, location, Mode::update);
    files::Result<Report> updated = opened ? Report() : files::Result<Report>(opened.failure());
    if (opened && !all.changed && looks_unmounted(opened->database, *listing)) {
      return files::Failure{Kind::gone, location.shop, "the shop folder is empty",
                            "the tips known so far stay findable; check the network folder, or "
                            "build from scratch when it is meant to be empty"};
    }
    if (opened) {
      updated = update(disk, location, all, opened->database, opened->generation, *listing);
    }
    if (updated) {
      int code = SQLITE_OK;
      const MainPart words = read_main_part(meta_text(opened->database, "words", &code));
      if (lock.held() && code == SQLITE_ROW) sweep_unread(disk, location, words.file);
      updated->closed_folders = std::move(listing->closed);
      return updated;
    }
    if (updated.failure().kind != Kind::damaged) return updated;
    start->why = "the store is damaged";
    start->previous.clear();
    if (all.changed) listing = list_shop(disk, location.shop);
    if (!listing) return listing.failure();
  }

  Fresh fresh;
  fresh.name = new_generation();
  fresh.words = new_words_file(fresh.name);
  fresh.number = std::max(start->number + 1, files::now_ns() / 1'000'000);
  auto built =
      build(disk, location, options, start->previous, fresh, listing->candidates, start->why);
  if (built && lock.held()) sweep_unread(disk, location, fresh.words);
  if (built) built->closed_folders = std::move(listing->closed);
  return built;
}

}  // namespace

files::Result<Report> bring_up_to_date(files::Disk& disk, const Location& location,
                                       const Options& options) {
  const auto from = std::chrono::steady_clock::now();
  auto report = bring(disk, location, options);
  if (report) {
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
    report->seconds = took.count();
  }
  return report;
}

}  // namespace baylore::store
