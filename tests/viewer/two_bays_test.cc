// Two terminals on one folder, each a process of its own that does anything a bay does, killed at
// random moments and started again: whatever a bay was told is done is there afterwards, whole and
// once, and both stores say what one built from scratch says.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <condition_variable>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <mutex>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "pack/shops.h"
#include "shop/document.h"
#include "shop/outcome.h"
#include "shop/shop.h"
#include "store/build.h"
#include "store/support.h"
#include "support/forwarding_disk.h"
#include "support/scratch.h"
#include "viewer/services/desk.h"
#include "viewer/services/drafts.h"

namespace {

using namespace baylore;
using test::Location;
using test::Scratch;
using Clock = std::chrono::steady_clock;
namespace fs = std::filesystem;

// BAYLORE_SECONDS=600 for a long run.
double seconds() {
  const char* text = std::getenv("BAYLORE_SECONDS");
  return text == nullptr ? 2.5 : std::atof(text);
}

constexpr std::size_t kTips = 8;
constexpr std::size_t kHot = 3;  // tips that half of the edits go to
constexpr std::string_view kEnd = "End of tip.\n";

// A reader that sees less than this saw a file that was half written.
bool is_whole(std::string_view text) { return text.starts_with("---\n") && text.ends_with(kEnd); }

std::string tip_of(const std::string& id, const std::string& title, const std::string& more) {
  std::string text = "---\nid: " + id + "\ntitle: " + title + "\nsystem: cooling\n---\n\n";
  text += "## Symptom\n" + more + "\n\n## Repair\n";
  for (int step = 1; step <= 12; ++step)
    text += std::to_string(step) + ". Step " + std::to_string(step) + " of " + id + ".\n\n";
  return text + "## Finish\n" + std::string(kEnd);
}

// --- what a bay says of what it does: a letter, a length, a line feed, so many bytes

enum class Kind : char { tip = 't', draft = 'd', record = 'r', setting = 's', pack = 'p' };

struct Said {
  char letter = 0;  // `i`: is about to; `a`: was told that it is done; `n`: that it is not; `e`:
                    // something is wrong
  Kind kind = Kind::tip;
  std::string mark;  // of what was done: no two are equal
  std::string what;  // a text, a value, the action on a pack
};

std::string line_of(const Said& said) {
  std::string body(1, static_cast<char>(said.kind));
  body += said.mark + '\x1f' + said.what;
  return said.letter + std::to_string(body.size()) + '\n' + body;
}

// Takes whole messages off the front.
std::vector<Said> taken_from(std::string& log) {
  std::vector<Said> out;
  for (;;) {
    const std::size_t end = log.find('\n');
    if (end == std::string::npos) return out;
    const auto length = static_cast<std::size_t>(std::atol(log.c_str() + 1));
    if (end + 1 + length > log.size()) return out;
    const std::string body = log.substr(end + 1, length);
    const std::size_t cut = body.find('\x1f');
    out.push_back(
        {log[0], static_cast<Kind>(body[0]), body.substr(1, cut - 1), body.substr(cut + 1)});
    log.erase(0, end + 1 + length);
  }
}

// --- a bay

struct Place {
  std::string shop;
  std::string work;      // store and state
  std::string terminal;  // folder name
  std::string setting;   // the key of shop.md that is its own to set
  std::vector<std::string> packs;
};

class Bay {
 public:
  Bay(const Place& place, int pipe, unsigned seed)
      : place_(place), pipe_(pipe), seed_(seed), dice_(seed) {}

  [[noreturn]] void run() {
    viewer::DeskOptions options;
    options.shop = place_.shop;
    options.store_folder = place_.work + "/store";
    options.state_folder = place_.work + "/state";
    options.terminal = place_.terminal;
    options.wake = [this] {
      const std::lock_guard lock(mutex_);
      woken_ = true;
      wake_.notify_one();
    };
    desk_.emplace(std::move(options));
    desk_->packs().look();
    for (;;) {
      {
        std::unique_lock lock(mutex_);
        wake_.wait_for(lock, std::chrono::milliseconds(below(8)), [this] { return woken_; });
        woken_ = false;
      }
      for (viewer::Event& event : desk_->take())
        std::visit([this](auto& one) { take(one); }, event);
      if (ready_) act();
    }
  }

 private:
  std::size_t below(std::size_t count) { return dice_() % count; }
  void say(const Said& said) const {
    const std::string line = line_of(said);
    for (std::size_t at = 0; at < line.size();) {
      const ssize_t n = ::write(pipe_, line.data() + at, line.size() - at);
      if (n <= 0) ::_exit(9);
      at += static_cast<std::size_t>(n);
    }
  }
  void wrong(const std::string& what) const { say({'e', Kind::tip, "", what}); }

  // Says what is begun, before it is.
  void begin(Kind kind, const std::string& mark, const std::string& what) {
    under_way_[kind] = mark;
    say({'i', kind, mark, what});
  }
  void end(Kind kind, const std::optional<files::Failure>& failure, bool may_fail) {
    const auto found = under_way_.find(kind);
    if (found == under_way_.end()) return;
    const std::string mark = found->second;
    under_way_.erase(found);
    if (!failure) return say({'a', kind, mark, {}});
    say({'n', kind, mark, failure->text()});
    if (!may_fail) wrong(failure->text());
  }

  // --- what comes back

  template <typename Other>
  void take(const Other&) {}
  void take(const viewer::ShopNews& news) {
    if (news.gone || !news.problem.empty()) wrong("the shop: " + news.problem);
    ready_ = ready_ || news.counts.tips > 0;
  }
  void take(const viewer::TipSaved& event) {
    // The other bay was faster, or a pack that brought the tip was taken out.
    const bool other = event.failure && (event.failure->kind == files::Failure::Kind::exists ||
                                         event.failure->kind == files::Failure::Kind::missing);
    end(Kind::tip, event.failure, other);
  }
  void take(const viewer::DraftKept& event) { end(Kind::draft, event.failure, false); }
  void take(const viewer::OutcomeSaved& event) { end(Kind::record, event.failure, false); }
  void take(const viewer::QuestionSaved& event) { end(Kind::record, event.failure, false); }
  void take(const viewer::ShopChanged& event) { end(Kind::setting, event.failure, false); }
  void take(const viewer::PacksSeen& event) { shelf_ = event.shelf; }
  void take(const viewer::PackOpened& event) {
    if (event.opened->failure) {
      // A tip went while it was looked at.
      return end(Kind::pack, event.opened->failure,
                 event.opened->failure->kind == files::Failure::Kind::missing);
    }
    pack::Accepting how;
    how.who = under_way_[Kind::pack];
    how.when = files::now_text();
    desk_->packs().accept(event.opened, how);
  }
  void take(const viewer::PackDone& event) {
    // The other bay decided in the same moment, or did what was to be done.
    const bool other = event.failure && (event.failure->kind == files::Failure::Kind::exists ||
                                         event.failure->kind == files::Failure::Kind::missing);
    end(Kind::pack, event.failure, other);
  }
  void take(const viewer::Opened& event) {
    if (event.page && !is_whole(event.page->bytes))
      wrong(event.page->row.path + " was read half written");
  }
  void take(const viewer::Searched& event) {
    if (!event.answer.hits.empty())
      desk_->open_tip(event.answer.hits[below(event.answer.hits.size())].tip.id, {});
  }

  // --- what is done

  // One of each kind at a time.
  void act() {
    const std::string mark = place_.terminal.substr(0, 5) + " " + std::to_string(seed_) + "-" +
                             std::to_string(++number_) + "-";
    switch (below(12)) {
      case 0:
      case 1:
      case 2:
      case 3:
        return edit(mark);
      case 4:
        return add(mark);
      case 5:
        return draft(mark);
      case 6:
      case 7:
        return record(mark);
      case 8:
        return set(mark);
      case 9:
      case 10:
        return below(4) == 0 ? pack(mark) : search();
      default:
        return search();
    }
  }

  void edit(const std::string& mark) {
    if (under_way_.contains(Kind::tip)) return;
    files::Disk& disk = files::real_disk();
    const auto listed = disk.list(place_.shop + "/tips");
    if (!listed) return wrong(listed.failure().text());
    std::vector<std::string> paths;
    for (const files::Listed& one : *listed) {
      const std::string path = "tips/" + one.path;
      if (shop::kind_of(path) == shop::Kind::tip) paths.push_back(path);
    }
    const std::string& path = paths[below(below(2) == 0 ? kHot : paths.size())];
    const auto before = shop::read_text(disk, place_.shop, path);
    if (!before) return;  // a pack that was taken out
    if (!is_whole(*before)) return wrong(path + " was read half written");
    shop::Document document = shop::Document::parse(*before);
    switch (below(3)) {
      case 0:
        document.set_value("title", "Heater cold, by " + mark);
        break;
      case 1:
        document.set_list("when", {"cold start", "by " + mark});
        break;
      default:
        document.set_section("Symptom", "Cold at idle, by " + mark + ".");
        break;
    }
    begin(Kind::tip, mark, document.bytes());
    desk_->save_tip("edit", path, *before, document.bytes());
  }

  void add(const std::string& mark) {
    if (under_way_.contains(Kind::tip) || below(4) != 0) return;
    const std::string text =
        tip_of(files::new_id(), "Belt chirps " + std::to_string(below(4)), "By " + mark + ".");
    begin(Kind::tip, mark, text);
    desk_->save_tip("new", {}, {}, text);
  }

  void draft(const std::string& mark) {
    if (under_way_.contains(Kind::draft)) return;
    const std::string id = "draft-" + std::to_string(below(3));
    begin(Kind::draft, mark, id);
    desk_->keep_draft({id, {}, {}, tip_of("01JDRAFT", "Half a thought", "By " + mark + ".")});
  }

  void record(const std::string& mark) {
    if (under_way_.contains(Kind::record)) return;
    begin(Kind::record, mark, {});
    if (below(2) == 0) return desk_->add_question("tip-0", place_.terminal, mark);
    shop::Outcome outcome;
    outcome.id = files::new_id();
    outcome.when = files::now_text();
    outcome.who = place_.terminal;
    outcome.right = "tip-" + std::to_string(below(kTips));
    outcome.text = mark;
    desk_->record(shop::record_of(outcome));
  }

  void set(const std::string& mark) {
    if (under_way_.contains(Kind::setting)) return;
    begin(Kind::setting, mark, place_.setting);
    desk_->set_shop_value(place_.setting, {}, mark);
  }

  void pack(const std::string& mark) {
    if (under_way_.contains(Kind::pack) || !shelf_) return;
    std::vector<std::string> taken;
    for (const viewer::TakenPack& one : shelf_->taken) {
      if (one.there) taken.push_back(one.folder);
    }
    if (!taken.empty() && below(2) == 0) {
      begin(Kind::pack, mark, "undo");
      return desk_->packs().undo(taken[below(taken.size())], mark);
    }
    begin(Kind::pack, mark, "accept");
    desk_->packs().open(place_.packs[below(place_.packs.size())]);
  }

  void search() {
    static constexpr std::array<const char*, 5> kTyped = {"heater cold", "belt chi", "cold idle",
                                                          "by bay", "north"};
    search::Query query;
    query.line = kTyped[below(kTyped.size())];
    desk_->search(++serial_, query);
  }

  const Place& place_;
  const int pipe_;
  const unsigned seed_;
  std::mt19937 dice_;
  std::mutex mutex_;
  std::condition_variable wake_;
  bool woken_ = false;
  bool ready_ = false;
  int number_ = 0;
  std::uint64_t serial_ = 0;
  std::map<Kind, std::string> under_way_;
  std::shared_ptr<const viewer::PackShelf> shelf_;
  std::optional<viewer::Desk> desk_;  // last: what wakes it is above
};

// --- who starts and kills them

struct Done {
  Kind kind = Kind::tip;
  std::size_t bay = 0;
  std::string what;
  std::size_t order = 0;
  char letter = 'i';  // the last that was said of it
};

class Bays {
 public:
  explicit Bays(std::array<Place, 2> places) : places_(std::move(places)) {}

  void run(double for_seconds) {
    const auto until = Clock::now() + std::chrono::duration_cast<Clock::duration>(
                                          std::chrono::duration<double>(for_seconds));
    // However slow the machine is, something of each kind has to have been done.
    const auto latest = until + std::chrono::minutes(2);
    for (std::size_t bay = 0; bay < places_.size(); ++bay) start(bay);
    auto next_kill = Clock::now() + pause();
    std::size_t victim = 0;
    while (Clock::now() < until || (!enough() && Clock::now() < latest)) {
      listen(next_kill);
      // One kill in four at any moment of the start, the others in the midst of the work.
      if (kills_ % 4 != 3 && !children_[victim].said) {
        next_kill = Clock::now() + std::chrono::milliseconds(20);
        continue;
      }
      end(victim);
      start(victim);
      victim = dice_() % places_.size();
      next_kill = Clock::now() + pause();
    }
    for (std::size_t bay = 0; bay < places_.size(); ++bay) end(bay);
  }

  [[nodiscard]] const std::map<std::string, Done>& done() const { return done_; }
  [[nodiscard]] int kills() const { return kills_; }
  [[nodiscard]] int silent() const { return silent_; }

 private:
  struct Child {
    pid_t pid = -1;
    int pipe = -1;
    std::string log;
    bool said = false;
  };

  [[nodiscard]] bool enough() const {
    std::set<Kind> kinds;
    for (const auto& [mark, done] : done_) {
      if (done.letter == 'a' || done.kind == Kind::pack) kinds.insert(done.kind);
    }
    return kinds.size() == 5 && kills_ > silent_;
  }

  std::chrono::milliseconds pause() { return std::chrono::milliseconds(20 + dice_() % 700); }

  void start(std::size_t bay) {
    int pipe[2] = {-1, -1};
    REQUIRE(::pipe2(pipe, O_CLOEXEC) == 0);
    const pid_t pid = ::fork();
    REQUIRE(pid >= 0);
    const auto seed = static_cast<unsigned>(++starts_);
    if (pid == 0) {
      ::close(pipe[0]);
      for (const Child& other : children_) ::close(other.pipe);
      Bay(places_[bay], pipe[1], seed).run();
    }
    ::close(pipe[1]);
    children_[bay] = {pid, pipe[0], {}, false};
  }

  // Hears what both say until then.
  void listen(Clock::time_point until) {
    for (;;) {
      const auto left =
          std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
      if (left <= 0) return;
      std::array<pollfd, 2> wanted{};
      for (std::size_t i = 0; i < wanted.size(); ++i) wanted[i] = {children_[i].pipe, POLLIN, 0};
      if (::poll(wanted.data(), wanted.size(), static_cast<int>(left)) <= 0) continue;
      for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (wanted[i].revents != 0) REQUIRE_MESSAGE(hear(i), "a bay ended by itself");
      }
    }
  }

  // False when there is no more to come.
  bool hear(std::size_t bay) {
    Child& child = children_[bay];
    std::array<char, 1 << 16> piece{};
    const ssize_t n = ::read(child.pipe, piece.data(), piece.size());
    if (n <= 0) return false;
    child.log.append(piece.data(), static_cast<std::size_t>(n));
    for (Said& said : taken_from(child.log)) {
      child.said = true;
      if (said.letter == 'e') {
        FAIL_CHECK(places_[bay].terminal, ": ", said.what);
      } else if (said.letter == 'i') {
        done_[said.mark] = {said.kind, bay, std::move(said.what), done_.size(), 'i'};
      } else {
        done_.at(said.mark).letter = said.letter;
      }
    }
    return true;
  }

  void end(std::size_t bay) {
    Child& child = children_[bay];
    REQUIRE(::kill(child.pid, SIGKILL) == 0);
    while (hear(bay)) continue;
    ::close(child.pipe);
    int status = 0;
    REQUIRE(::waitpid(child.pid, &status, 0) == child.pid);
    // It was the signal that ended it, not a fault of its own.
    REQUIRE(WIFSIGNALED(status));
    ++kills_;
    if (!child.said) ++silent_;
  }

  const std::array<Place, 2> places_;
  std::array<Child, 2> children_;
  std::mt19937 dice_{11};
  std::map<std::string, Done> done_;  // by mark
  int starts_ = 0;
  int kills_ = 0;
  int silent_ = 0;
};

// --- what is there afterwards

// Bytes of all files below a folder of the shop, by path.
std::map<std::string, std::string> files_below(const std::string& shop, const std::string& folder) {
  std::map<std::string, std::string> all;
  if (!fs::exists(fs::path(shop) / folder)) return all;
  for (const auto& one : fs::recursive_directory_iterator(fs::path(shop) / folder)) {
    if (one.is_regular_file() && one.path().filename().string().front() != '.')
      all[fs::relative(one.path(), shop).string()] = store::test::read_file(one.path().string());
  }
  return all;
}

// Every text that a bay was told is saved is a tip, an earlier version or a copy kept beside one.
void check_texts(const std::string& shop, const Bays& bays) {
  std::set<std::string> there;
  for (const char* folder : {"tips", "history"}) {
    for (auto& [path, bytes] : files_below(shop, folder)) {
      // An earlier version, of shop.md too, carries the hash of its bytes as its name.
      const bool whole = path.starts_with("history/")
                             ? files::name_of(path) == files::hash_hex(bytes) + ".md"
                             : is_whole(bytes);
      if (!whole) FAIL_CHECK(path, " is not whole");
      there.insert(std::move(bytes));
    }
  }
  int lost = 0;
  for (const auto& [mark, done] : bays.done()) {
    if (done.kind == Kind::tip && done.letter == 'a' && !there.contains(done.what)) {
      ++lost;
      MESSAGE("lost: what ", mark, " saved");
    }
  }
  CHECK_MESSAGE(lost == 0, lost, " texts that were saved are nowhere");
}

void check_records(const std::string& shop, const Bays& bays) {
  const auto files = files_below(shop, "records");
  CHECK(files.size() >= 2);
  const shop::Records all = shop::read_records(files::real_disk(), shop);
  std::map<std::string, int> times;
  for (const auto& [path, bytes] : files) {
    for (const auto& [mark, done] : bays.done()) {
      if (done.kind != Kind::record) continue;
      for (std::size_t at = bytes.find(mark); at != std::string::npos;
           at = bytes.find(mark, at + 1))
        ++times[mark];
    }
  }
  std::map<std::string, int> read;
  for (const shop::Record& record : all.records) ++read[std::string(record.fields["text"])];
  for (const auto& [mark, done] : bays.done()) {
    if (done.kind != Kind::record) continue;
    CAPTURE(mark);
    if (done.letter == 'a') {
      CHECK(times[mark] == 1);
      CHECK(read[mark] == 1);
    } else {
      CHECK(times[mark] <= 1);
    }
  }
}

// The last of each bay's own that was told done, or one that was under way when it was killed
// later.
template <typename Name>
void check_last(const Bays& bays, Kind kind, Name name,
                const std::map<std::string, std::string>& there) {
  std::map<std::string, std::pair<std::size_t, std::string>> last;
  for (const auto& [mark, done] : bays.done()) {
    if (done.kind != kind || done.letter != 'a') continue;
    auto& latest = last[name(done)];
    if (latest.second.empty() || latest.first < done.order) latest = {done.order, mark};
  }
  CHECK_FALSE(last.empty());
  for (const auto& [which, latest] : last) {
    CAPTURE(which);
    const auto found = there.find(which);
    REQUIRE(found != there.end());
    bool good = found->second.find(latest.second) != std::string::npos;
    for (const auto& [mark, done] : bays.done()) {
      const bool later = done.kind == kind && name(done) == which && done.order > latest.first;
      good = good || (later && found->second.find(mark) != std::string::npos);
    }
    CHECK_MESSAGE(good, "was told ", latest.second, ", is ", found->second);
  }
}

// Every decision that a bay was told is done is written down once, and what holds is carried out.
void check_packs(const std::string& shop, const Bays& bays) {
  files::Disk& disk = files::real_disk();
  const auto finished = pack::finish_received(disk, shop);
  REQUIRE_MESSAGE(finished.ok(), finished.failure().text());
  const auto received = pack::read_received(disk, shop);
  REQUIRE(received.ok());
  CHECK(received->damaged.empty());
  std::map<std::string, std::vector<bool>> decided;  // who -> accepted
  for (const pack::ReceivedPack& one : received->packs) {
    for (const pack::Decision& decision : one.decisions)
      decided[decision.who].push_back(decision.accepted);
  }
  for (const auto& [mark, done] : bays.done()) {
    if (done.kind != Kind::pack) continue;
    CAPTURE(mark);
    const std::vector<bool>& all = decided[mark];
    if (done.letter == 'a') CHECK(all.size() == 1);
    CHECK(all.size() <= 1);
    for (const bool accepted : all) CHECK(accepted == (done.what == "accept"));
  }
}

// Another bay that sets a value right before this one's file is put in place.
class Meddled final : public test::ForwardingDisk {
 public:
  explicit Meddled(std::string shop) : shop_(std::move(shop)) {}
  files::Result<void> exchange(const std::string& from, const std::string& to) override {
    if (to == shop_ + "/shop.md" && left_ > 0) {
      --left_;
      shop::Document document = shop::Document::parse(store::test::read_file(to));
      document.set_value("altitude", std::to_string(100 + left_) + " m");
      REQUIRE(files::replace(files::real_disk(), to, document.bytes()));
    }
    return ForwardingDisk::exchange(from, to);
  }

 private:
  const std::string shop_;
  int left_ = 3;
};

}  // namespace

TEST_CASE("a value that another bay sets in the same moment stays") {
  const Scratch scratch;
  scratch.put("shop/shop.md", "---\nname: South\n---\n");
  scratch.put("shop/tips/a.md", tip_of("tip-0", "Heater cold", "Cold at idle."));
  Meddled disk(scratch.path("shop"));
  {
    viewer::DeskOptions options;
    options.shop = scratch.path("shop");
    options.store_folder = scratch.path("store");
    options.state_folder = scratch.path("state");
    options.terminal = "bay-1-TWO000";
    options.disk = &disk;
    viewer::Desk desk(options);
    desk.set_shop_value("location", {}, "Bay Road");
    desk.set_shop_value("units", "torque", "lbf·ft");
  }
  const shop::Document settings = shop::Document::parse(scratch.get("shop/shop.md"));
  CHECK(settings.value("name") == "South");
  CHECK(settings.value("location") == "Bay Road");
  CHECK(settings.list("units") == std::vector<std::string>{"torque: lbf·ft"});
  CHECK(settings.value("altitude") == "100 m");
}

TEST_CASE("two bays on one folder, killed at random moments, keep all that they said is done") {
  const Scratch scratch;
  Location south("south");
  Location north("north");
  south.trusts(north);
  for (std::size_t i = 0; i < kTips; ++i) {
    const std::string id = "tip-" + std::to_string(i);
    for (Location* one : {&south, &north})
      one->put("tips/cooling/" + id + ".md", tip_of(id, "Heater cold " + id, "Cold at idle."));
  }
  std::array<Place, 2> places;
  for (int number = 1; number <= 2; ++number) {
    const std::string name = "north-" + std::to_string(number);
    for (int i = 0; i < 4; ++i) {
      const std::string id = name + "-" + std::to_string(i);
      north.put("tips/" + id + ".md", tip_of(id, "Squeal in the north", "By " + name + "."));
      const std::string path = "tips/cooling/tip-" + std::to_string(i * number) + ".md";
      shop::Document document = shop::Document::parse(north.get(path));
      document.set_list("often", {"seldom, says " + name});
      north.edit(path, document.bytes());
    }
    const std::string path = north.seal(name);
    for (Place& place : places) place.packs.push_back(path);
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    places[i].shop = south.folder();
    places[i].terminal = "bay-" + std::to_string(i + 1) + "-TWO000";
    places[i].work = scratch.path(places[i].terminal);
    places[i].setting = i == 0 ? "location" : "labour-rate";
  }

  Bays bays(places);
  bays.run(seconds());

  check_packs(south.folder(), bays);
  check_texts(south.folder(), bays);
  check_records(south.folder(), bays);
  std::map<std::string, std::string> values;
  const shop::Document settings = shop::Document::parse(south.get("shop.md"));
  for (const Place& place : places) values[place.setting] = settings.value(place.setting);
  check_last(
      bays, Kind::setting, [](const Done& done) { return done.what; }, values);
  std::map<std::string, std::string> drafts;
  for (std::size_t i = 0; i < places.size(); ++i) {
    for (const viewer::Draft& draft :
         viewer::read_drafts(files::real_disk(), places[i].work + "/state"))
      drafts[std::to_string(i) + draft.id] = draft.text;
  }
  check_last(
      bays, Kind::draft, [](const Done& done) { return std::to_string(done.bay) + done.what; },
      drafts);
  const std::string anew = store::test::dump_from_scratch(files::real_disk(), south.folder());
  for (const Place& place : places) {
    const store::Location location{place.shop, place.work + "/store"};
    const auto report = store::bring_up_to_date(files::real_disk(), location);
    REQUIRE_MESSAGE(report.ok(), report.failure().text());
    CHECK_FALSE(report->rebuilt);  // a kill is no damage
    CHECK(store::test::canonical_dump(*store::Store::open(location)) == anew);
  }

  std::map<Kind, std::array<int, 3>> counts;  // done, not done, cut off
  for (const auto& [mark, done] : bays.done())
    ++counts[done.kind][done.letter == 'a' ? 0U : done.letter == 'n' ? 1U : 2U];
  const auto told = [&](Kind kind) {
    return std::to_string(counts[kind][0]) + " (" + std::to_string(counts[kind][1]) + " refused, " +
           std::to_string(counts[kind][2]) + " cut off)";
  };
  MESSAGE(seconds(), " s, ", bays.kills(), " kills, ", bays.silent(),
          " of them while starting: ", told(Kind::tip), " tips saved, ", told(Kind::draft),
          " drafts, ", told(Kind::record), " records, ", told(Kind::setting), " settings, ",
          told(Kind::pack), " packs accepted or undone");
  // Kills that all came between actions would prove nothing, nor would bays that did nothing.
  for (const Kind kind : {Kind::tip, Kind::draft, Kind::record, Kind::setting})
    CHECK(counts[kind][0] > 0);
  CHECK(counts[Kind::pack][0] + counts[Kind::pack][1] + counts[Kind::pack][2] > 0);
  CHECK(bays.kills() > bays.silent());
}
