// A busy shop: `baylore-load SHOP WORK MINUTES` lets the viewer's own desk index the shop, then for
// so many minutes asks it a hundred times a second, as lines are typed letter by letter, saves five
// tips a second, and half way takes in a pack of another location. Every figure is taken from the
// moment at which something was due, whether or not the desk was free for it then, so that a wait
// counts for all who waited (no coordinated omission). Exit 1 when anything went wrong, answers
// were late or memory grew, 2 when it could not run. SHOP is written to.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <exception>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <mutex>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "bootstrap.h"
#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "lines.h"
#include "pack/confined.h"
#include "pack/keys.h"
#include "pack/seal.h"
#include "random.h"
#include "shop/document.h"
#include "shop/shop.h"
#include "store/build.h"
#include "store/store.h"
#include "viewer/services/desk.h"

namespace {

using namespace baylore;
using benchmark::Random;
using Clock = std::chrono::steady_clock;
namespace fs = std::filesystem;

constexpr auto kEverySearch = std::chrono::milliseconds(10);
constexpr auto kEverySave = std::chrono::milliseconds(200);
constexpr double kMostLate = 25;  // ms within which 99 of 100 searches are answered
// MB, from the first tenth of the run to its end: what was saved and taken in meanwhile is in it.
constexpr double kMostGrowth = 32;
constexpr std::size_t kLines = 4000;
constexpr std::size_t kEdited = 1000;    // tips of which one is edited
constexpr std::size_t kInPack = 400;     // tips, half of them new to the shop
constexpr std::size_t kMostLetters = 4;  // of a line, told apart
constexpr auto kPatience = std::chrono::seconds(60);
constexpr int kErrorsTold = 20;

double since(Clock::time_point begin, Clock::time_point end) {
  return std::chrono::duration<double, std::milli>(end - begin).count();
}

std::string first_of(const char* path) {
  std::ifstream in(path);
  std::string line;
  std::getline(in, line);
  return line;
}

double own_memory_mb() {
  std::ifstream in("/proc/self/status");
  std::string word;
  double kilobytes = 0;
  while (in >> word) {
    if (word == "RssAnon:" && in >> kilobytes) return kilobytes / 1000;
  }
  return 0;
}

double processor_seconds() {
  std::ifstream in("/proc/self/stat");
  std::string word;
  double ticks = 0;
  for (int i = 1; i <= 15 && in >> word; ++i) {
    if (i >= 14) ticks += std::atof(word.c_str());
  }
  return ticks / 100;
}

struct Late {
  double half = 0;
  double most = 0;  // 99 of 100
  double all = 0;
};
Late late_of(std::vector<double> times) {
  std::sort(times.begin(), times.end());
  return {benchmark::quantile(times, 0.5), benchmark::quantile(times, 0.99),
          benchmark::quantile(times, 1)};
}

// A word that nobody wrote before.
std::string word_of(std::uint64_t number) {
  std::string word = "zuq";
  for (int i = 0; i < 5; ++i, number /= 26) word += static_cast<char>('a' + number % 26);
  return word;
}

// A tip that is edited now and then.
struct Edited {
  std::string path;
  std::string bytes;
  bool under_way = false;
};

class Load {
 public:
  // `any_time`: late answers and memory are told and nothing more, as under a sanitizer.
  Load(std::string shop, std::string work, double minutes, bool any_time)
      : shop_(std::move(shop)), work_(std::move(work)), minutes_(minutes), any_time_(any_time) {}

  int run() {
    if (!read_shop() || !make_pack()) return 2;
    viewer::DeskOptions options;
    options.shop = shop_;
    options.store_folder = work_ + "/store";
    options.state_folder = work_ + "/state";
    options.terminal = "bay-1-LOAD01";
    options.wake = [this] {
      const std::lock_guard lock(mutex_);
      woken_ = true;
      wake_.notify_one();
    };
    desk_ = std::make_unique<viewer::Desk>(std::move(options));
    if (!wait_for([this] { return ready_ && desk_->busy().empty(); }, std::chrono::minutes(30))) {
      fmt::print(stderr, "the shop could not be indexed\n");
      return 2;
    }
    fmt::print("{} tips indexed in {:.0f} s; {:.0f} MB; load average {}\n", tips_,
               since(begun_, Clock::now()) / 1000, own_memory_mb(), first_of("/proc/loadavg"));
    work_through();
    desk_.reset();
    check_store();
    return report();
  }

 private:
  void error(const std::string& what) {
    if (++errors_ <= kErrorsTold) fmt::print(stderr, "ERROR {}\n", what);
  }
  bool fail(const files::Failure& failure) {
    fmt::print(stderr, "{}\n", failure.text());
    return false;
  }

  // --- what is typed and edited

  bool read_shop() {
    const auto listed = disk_.list(shop_ + "/tips");
    if (!listed) return fail(listed.failure());
    std::vector<std::string> paths;
    for (const files::Listed& one : *listed) {
      std::string path = "tips/" + one.path;
      if (!one.status.folder && shop::kind_of(path) == shop::Kind::tip)
        paths.push_back(std::move(path));
    }
    tips_ = paths.size();
    if (paths.size() < 2 * kInPack) {
      fmt::print(stderr, "{}: too few tips\n", shop_);
      return false;
    }
    std::vector<shop::Tip> read;
    const std::size_t step = std::max<std::size_t>(1, paths.size() / kEdited);
    for (std::size_t i = 0; i < paths.size() && edited_.size() < kEdited; i += step) {
      auto bytes = shop::read_text(disk_, shop_, paths[i]);
      if (!bytes) return fail(bytes.failure());
      read.push_back(shop::read_tip(shop::Document::parse(*bytes), paths[i]));
      edited_.push_back({paths[i], std::move(*bytes), false});
    }
    while (lines_.size() < kLines) lines_.push_back(line_of(read));
    return true;
  }

  // What is typed at a bay: words of the complaint with or without the car, a slip among them now
  // and then, a code, the number of a part.
  std::string line_of(const std::vector<shop::Tip>& tips) {
    const shop::Tip& tip = tips[random_.below(tips.size())];
    const std::size_t kind = random_.below(10);
    if (kind == 0 && !tip.codes.empty()) return tip.codes[random_.below(tip.codes.size())];
    if (kind == 1 && !tip.parts.empty()) return tip.parts[random_.below(tip.parts.size())].name;
    std::string line = typed_line(tip, tips[random_.below(tips.size())], random_);
    if (kind < 4 && line.size() > 4) {
      const std::size_t at = 1 + random_.below(line.size() - 2);
      if (line[at] != ' ' && line[at + 1] != ' ') std::swap(line[at], line[at + 1]);
    }
    return line;
  }

  // The next letter of the line that is being typed.
  std::string next_typed() {
    if (line_ == nullptr || typed_ >= line_->size()) {
      line_ = &lines_[random_.below(lines_.size())];
      typed_ = 0;
    }
    // Not within a letter of several bytes.
    do {
      ++typed_;
    } while (typed_ < line_->size() &&
             (static_cast<unsigned char>((*line_)[typed_]) & 0xC0U) == 0x80U);
    return line_->substr(0, typed_);
  }

  // Of a location that has some of the tips too, went on writing them, and wrote others.
  bool make_pack() {
    const std::string north = work_ + "/north";
    fs::create_directories(work_ + "/sealed");
    if (!files::replace(disk_, north + "/shop.md", "---\nname: North\n---\n")) return false;
    for (std::size_t i = 0; i < kInPack; ++i) {
      const Edited& one = edited_[i * edited_.size() / kInPack];
      shop::Document document = shop::Document::parse(one.bytes);
      if (i % 2 == 0) {
        document.set_value("id", fmt::format("NORTH{:06}", i));
        document.append_to_section("Symptom",
                                   "Met in the north too, " + word_of(1000000 + i) + ".");
        const std::string path = fmt::format("tips/north-{}.md", i);
        if (!files::replace(disk_, files::join(north, path), document.bytes())) return false;
        continue;
      }
      if (!files::replace(disk_, files::join(north, one.path), one.bytes)) return false;
      document.append_to_section("Finish", "Seen in the north, " + word_of(1000000 + i) + ".");
      if (const auto saved = shop::save_tip(disk_, north, one.path, one.bytes, document.bytes());
          !saved)
        return fail(saved.failure());
    }
    const pack::SecretKey key = pack::SecretKey::make();
    if (const auto trusted = pack::trust(disk_, shop_, "north", key.public_key()); !trusted)
      return fail(trusted.failure());
    const auto plan = pack::plan_seal(disk_, north, {});
    if (!plan) return fail(plan.failure());
    const auto sealed =
        pack::seal(disk_, north, *plan, {"north-1", "2026-03-20", "North"}, key, work_ + "/sealed");
    if (!sealed) return fail(sealed.failure());
    pack_ = sealed->path;
    return true;
  }

  // --- what comes back

  void take_events() {
    const auto now = Clock::now();
    for (viewer::Event& event : desk_->take()) {
      std::visit([&](auto& one) { take(one, now); }, event);
    }
  }
  template <typename Other>
  void take(const Other&, Clock::time_point) {}

  void take(const viewer::ShopNews& news, Clock::time_point) {
    if (!news.problem.empty() && ready_) error("the store: " + news.problem);
    if (news.gone) error("the shop is gone");
    if (news.problem.empty() && static_cast<std::size_t>(news.counts.tips) >= tips_) ready_ = true;
  }

  // An answer is one to every earlier request too: newer letters take the place of those that
  // nobody has begun to look for.
  void take(const viewer::Searched& answer, Clock::time_point now) {
    while (!asked_.empty() && asked_.front().serial <= answer.serial) {
      const Asked& asked = asked_.front();
      const double late = since(asked.due, now);
      late_.push_back(late);
      late_this_minute_.push_back(late);
      by_letters_[std::min(asked.letters, kMostLetters)].push_back(late);
      if (asked.serial != answer.serial) ++overtaken_;
      asked_.pop_front();
    }
    hits_ += answer.answer.hits.size();
    for (auto probe = probes_.begin(); probe != probes_.end() && probe->first <= answer.serial;) {
      Saved saved = std::move(probe->second);
      const bool answered = probe->first == answer.serial;
      probe = probes_.erase(probe);
      if (!answered) {
        looked_for_.push_front(std::move(saved));
        continue;
      }
      if (saved.edited != nullptr) saved.edited->under_way = false;
      if (answer.answer.hits.empty() || answer.answer.hits.front().tip.id != saved.id) {
        error(saved.path + " was saved with " + saved.word + " and is not found by it");
      } else {
        findable_.push_back(since(saved.due, now));
      }
    }
  }

  void take(const viewer::TipSaved& event, Clock::time_point now) {
    const auto found = saving_.find(event.draft);
    if (found == saving_.end()) return error("a draft that nobody saved: " + event.draft);
    Saved saved = std::move(found->second);
    saving_.erase(found);
    if (event.failure) {
      // The pack changed it meanwhile: whoever wrote looks once more, and saves.
      if (event.failure->kind != files::Failure::Kind::exists || saved.edited == nullptr)
        return error(event.failure->text());
      ++looked_again_;
      auto bytes = shop::read_text(disk_, shop_, saved.edited->path);
      if (!bytes) return error(bytes.failure().text());
      saved.edited->bytes = std::move(*bytes);
      return save_edit(std::move(saved));
    }
    saved_.push_back(since(saved.due, now));
    saved.id = event.id;
    saved.path = event.path;
    // Not edited again before it was found: another word would take this one's place.
    if (saved.edited != nullptr) saved.edited->bytes = saved.text;
    words_[saved.path] = saved.word;
    looked_for_.push_back(std::move(saved));
  }

  void take(const viewer::Checked&, Clock::time_point) { ++checked_; }

  void take(const viewer::PackOpened& event, Clock::time_point) {
    if (event.opened->failure) return error(event.opened->failure->text());
    fmt::print("the pack is looked at: {} texts, after {:.1f} s\n",
               event.opened->preview.items.size(), since(pack_due_, Clock::now()) / 1000);
    desk_->packs().accept(event.opened, {{}, "RO", files::now_text(), {}});
  }

  void take(const viewer::PackDone& event, Clock::time_point now) {
    if (event.failure) return error(event.failure->text());
    pack_done_ = since(pack_due_, now) / 1000;
    const pack::Outcome& outcome = event.outcome;
    fmt::print(
        "the pack is taken in: {} new, {} changed, {} in conflict, {} left, after {:.1f} s\n",
        outcome.fresh, outcome.changed, outcome.conflicts, outcome.left.size(), pack_done_);
    if (outcome.fresh + outcome.changed + outcome.conflicts + outcome.same !=
        static_cast<int>(kInPack))
      error("the pack was not taken in as a whole");
  }

  // --- what is asked for

  struct Saved {
    Clock::time_point due;
    std::string word;
    Edited* edited = nullptr;  // nullptr: a new tip
    std::string text;
    std::string path;
    std::string id;
  };

  void search_next(Clock::time_point due) {
    search::Query query;
    const std::uint64_t serial = ++serial_;
    if (!looked_for_.empty()) {
      query.line = looked_for_.front().word;
      probes_.emplace(serial, std::move(looked_for_.front()));
      looked_for_.pop_front();
    } else {
      query.line = next_typed();
    }
    asked_.push_back({serial, due, query.line.size()});
    desk_->search(serial, std::move(query));
  }

  void save_next(Clock::time_point due) {
    Saved saved;
    saved.due = due;
    saved.word = word_of(++saves_);
    if (saves_ % 2 == 0) {
      const std::string draft = fmt::format("draft-{}", saves_);
      const std::string text = fmt::format(
          "---\ntitle: {}\nsystem: cooling\nauthor: R. Okoro\nwritten: 2026-03-14\n---\n\n"
          "## Symptom\nAs on the car before, {}.\n\n## Repair\n1. Do it again.\n",
          lines_[random_.below(lines_.size())], saved.word);
      saving_.emplace(draft, std::move(saved));
      desk_->save_tip(draft, {}, {}, text);
      return;
    }
    for (std::size_t tries = 0; saved.edited == nullptr && tries < edited_.size(); ++tries) {
      Edited& one = edited_[random_.below(edited_.size())];
      if (!one.under_way) saved.edited = &one;
    }
    if (saved.edited == nullptr) return error("all tips wait to be saved");
    saved.edited->under_way = true;
    save_edit(std::move(saved));
  }

  void save_edit(Saved saved) {
    const std::string draft = "edit-" + saved.word;
    shop::Document document = shop::Document::parse(saved.edited->bytes);
    // The last remark is replaced: nobody lets a tip grow for ever, and what was said of it before
    // is no longer found.
    document.set_section("Background", "Seen again, " + saved.word + ".");
    saved.text = document.bytes();
    const std::string path = saved.edited->path;
    const std::string before = saved.edited->bytes;
    const std::string text = saved.text;
    saving_.insert_or_assign(draft, std::move(saved));
    desk_->save_tip(draft, path, before, text);
  }

  // --- the run

  // Sleeps until an event or `until`; events are taken.
  void rest(Clock::time_point until) {
    {
      std::unique_lock lock(mutex_);
      wake_.wait_until(lock, until, [this] { return woken_; });
      woken_ = false;
    }
    take_events();
  }
  template <typename Done>
  bool wait_for(Done done, std::chrono::seconds longest) {
    const auto end = Clock::now() + longest;
    while (!done() && Clock::now() < end) rest(Clock::now() + std::chrono::milliseconds(100));
    return done();
  }

  void tell(double minutes) {
    const Late late = late_of(std::exchange(late_this_minute_, {}));
    memory_.push_back(own_memory_mb());
    fmt::print(
        "{:5.1f} min  searches within {:.1f} ms half, {:.1f} ms 99 %, {:.1f} ms all; {:.1f} MB; "
        "load average {}; {:.0f} s of processor time; {} cross-checks\n",
        minutes, late.half, late.most, late.all, memory_.back(), first_of("/proc/loadavg"),
        processor_seconds(), checked_);
    std::fflush(stdout);
  }

  void work_through() {
    const auto start = Clock::now();
    const auto end = start + std::chrono::duration_cast<Clock::duration>(
                                 std::chrono::duration<double>(minutes_ * 60));
    pack_due_ = start + (end - start) / 2;
    // Ten looks at least, however short the run is.
    const auto every = std::min<Clock::duration>(std::chrono::minutes(1), (end - start) / 10);
    auto next_search = start;
    auto next_save = start + kEverySearch / 2;
    auto next_look = start + every;
    bool pack_begun = false;
    while (next_search < end) {
      rest(std::min({next_search, next_save, next_look}));
      const auto now = Clock::now();
      for (; next_search <= now && next_search < end; next_search += kEverySearch)
        search_next(next_search);
      for (; next_save <= now && next_save < end; next_save += kEverySave) save_next(next_save);
      if (!pack_begun && now >= pack_due_) {
        pack_begun = true;
        desk_->packs().open(pack_);
      }
      if (now >= next_look) {
        tell(since(start, now) / 60000);
        next_look += every;
      }
    }
    // What is still asked for is answered; what was saved at the very end is looked for too.
    const bool all = wait_for(
        [this] {
          while (!looked_for_.empty()) search_next(Clock::now());
          return asked_.empty() && saving_.empty() && probes_.empty() && pack_done_ >= 0 &&
                 desk_->busy().empty();
        },
        any_time_ ? 10 * kPatience : kPatience);
    if (!all)
      error(fmt::format("unanswered at the end: {} searches, {} saves, {} looked for; busy: {}",
                        asked_.size(), saving_.size(), probes_.size(), desk_->busy()));
    tell(since(start, Clock::now()) / 60000);
  }

  // What the desk made of the folder is what there is in it.
  void check_store() {
    const store::Location location = store::locate(shop_, work_ + "/store");
    const auto looked = store::bring_up_to_date(disk_, location);
    if (!looked) return error(looked.failure().text());
    if (looked->rebuilt || looked->added + looked->changed + looked->removed > 0)
      error(fmt::format(
          "the store was not up to date at the end: {} added, {} changed, {} removed {}",
          looked->added, looked->changed, looked->removed, looked->why));
    const auto store = store::Store::open(location);
    if (!store) return error(store.failure().text());
    for (const auto& [path, word] : words_) {
      const auto row = store->find(path);
      const auto bytes = row ? store->bytes(row->doc) : std::nullopt;
      if (!bytes || bytes->find(word) == std::string::npos)
        error(path + ": what was saved is lost");
    }
  }

  int report() {
    const Late search = late_of(late_);
    const Late saved = late_of(saved_);
    const Late found = late_of(findable_);
    fmt::print(
        "searches   {}, {} of them overtaken by the next letter, {:.1f} tips each; within "
        "{:.1f} ms half, {:.1f} ms 99 % (at most {:.0f}), {:.1f} ms all\n",
        late_.size(), overtaken_,
        static_cast<double>(hits_) /
            static_cast<double>(std::max<std::size_t>(1, late_.size() - overtaken_)),
        search.half, search.most, kMostLate, search.all);
    for (const auto& [letters, times] : by_letters_) {
      const Late late = late_of(times);
      fmt::print("           of {}{} letters: {}, within {:.1f} ms half, {:.1f} ms 99 %\n", letters,
                 letters == kMostLetters ? " or more" : "", times.size(), late.half, late.most);
    }
    fmt::print(
        "saves      {}, {} of them after another look; done within {:.0f} ms half, {:.0f} ms "
        "99 %, {:.0f} ms all\n",
        saved_.size(), looked_again_, saved.half, saved.most, saved.all);
    fmt::print(
        "findable   {} looked for by a word of their own; within {:.0f} ms half, {:.0f} ms 99 %, "
        "{:.0f} ms all\n",
        findable_.size(), found.half, found.most, found.all);
    const double first = memory_[memory_.size() / 10];
    // What a cross-check needs while it goes on is given back.
    const double last = *std::min_element(memory_.end() - 3, memory_.end());
    const bool grew = last - first > kMostGrowth;
    fmt::print(
        "memory     {:.1f} MB after the first tenth, {:.1f} MB at the end (at most {:.0f} MB "
        "more), "
        "{:.1f} MB at most{}\n",
        first, last, kMostGrowth, *std::max_element(memory_.begin(), memory_.end()),
        grew ? ": NOT MET" : "");
    fmt::print("errors     {}\n", errors_);
    const bool late = search.most > kMostLate;
    if (late) fmt::print("99 % within {:.0f} ms: NOT MET\n", kMostLate);
    return errors_ > 0 || (!any_time_ && (late || grew)) ? 1 : 0;
  }

  files::Disk& disk_ = files::real_disk();
  const std::string shop_;
  const std::string work_;
  const double minutes_;
  const bool any_time_;
  const Clock::time_point begun_ = Clock::now();
  std::size_t tips_ = 0;
  std::string pack_;
  Random random_{7};

  std::mutex mutex_;
  std::condition_variable wake_;
  bool woken_ = false;

  std::vector<std::string> lines_;
  const std::string* line_ = nullptr;
  std::size_t typed_ = 0;
  std::vector<Edited> edited_;
  std::uint64_t saves_ = 0;

  bool ready_ = false;
  std::uint64_t serial_ = 0;
  struct Asked {
    std::uint64_t serial = 0;
    Clock::time_point due;
    std::size_t letters = 0;
  };
  std::deque<Asked> asked_;
  std::map<std::size_t, std::vector<double>> by_letters_;
  std::map<std::string, Saved> saving_;       // by draft
  std::deque<Saved> looked_for_;              // saved, to be looked for
  std::map<std::uint64_t, Saved> probes_;     // being looked for, by serial
  std::map<std::string, std::string> words_;  // of what was saved last, by path
  Clock::time_point pack_due_;
  double pack_done_ = -1;

  std::vector<double> late_;
  std::vector<double> late_this_minute_;
  std::vector<double> saved_;
  std::vector<double> findable_;
  std::vector<double> memory_;
  std::size_t overtaken_ = 0;
  std::size_t hits_ = 0;
  std::size_t looked_again_ = 0;
  int checked_ = 0;
  int errors_ = 0;
  std::unique_ptr<viewer::Desk> desk_;  // last: what wakes it is above
};

}  // namespace

int main(int argc, char** argv) {
  const bool any_time = argc == 5 && std::string_view(argv[4]) == "--any-time";
  const double minutes = argc == 4 || any_time ? std::atof(argv[3]) : 0;
  if (minutes <= 0) {
    fmt::print(stderr, "usage: baylore-load SHOP WORK MINUTES [--any-time]\n");
    return 2;
  }
  try {
    pack::read_containers_with(BAYLORE_CONTAINER);
    return Load(argv[1], argv[2], minutes, any_time).run();
  } catch (const std::exception& error) {
    fmt::print(stderr, "baylore-load: {}\n", error.what());
  }
  return 2;
}
