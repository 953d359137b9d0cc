// Whatever happened to a folder, in whatever order: the store that followed it step by step answers
// as one built from scratch. The shop lies in memory, so that times can be set to what a real clock
// seldom shows: two edits in one tick, a restored modification time, a changed file under its old
// inode.
#include <doctest/doctest.h>

#include <cstdlib>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "files/names.h"
#include "search/search.h"
#include "store/support.h"

using namespace baylore;
using store::test::Dice;
using store::test::TempFolder;

namespace {

// BAYLORE_SCRIPTS=500 for a long run.
std::size_t count_from(const char* name, std::size_t otherwise) {
  const char* text = std::getenv(name);
  return text == nullptr ? otherwise : static_cast<std::size_t>(std::atoi(text));
}

class MemoryShop : public store::test::ForwardingDisk {
 public:
  struct File {
    std::string bytes;
    files::Status status;
  };

  files::Result<std::string> read(const std::string& path, std::uint64_t limit) override {
    if (!path.starts_with(kRoot)) return ForwardingDisk::read(path, limit);
    const auto at = files_.find(path.substr(kRoot.size() + 1));
    if (at == files_.end())
      return files::Failure{files::Failure::Kind::missing, path, "missing", ""};
    return at->second.bytes;
  }
  files::Result<files::Status> status(const std::string& path) override {
    if (!path.starts_with(kRoot)) return ForwardingDisk::status(path);
    const auto at = files_.find(path.substr(kRoot.size() + 1));
    if (at == files_.end())
      return files::Failure{files::Failure::Kind::missing, path, "missing", ""};
    return at->second.status;
  }
  files::Result<std::vector<files::Listed>> list(const std::string& folder) override {
    if (folder != kRoot) return ForwardingDisk::list(folder);
    std::vector<files::Listed> listed;
    for (const auto& [path, file] : files_) listed.push_back({path, file.status});
    return listed;
  }

  // A save: times of the clock given, a new inode when it was a replacement.
  void save(const std::string& path, std::string bytes, std::int64_t now, bool new_inode) {
    File& file = files_[path];
    if (new_inode || file.status.inode == 0) file.status.inode = ++last_inode_;
    file.status.size = bytes.size();
    file.status.modified_ns = now;
    file.status.changed_ns = now;
    file.bytes = std::move(bytes);
  }

  std::map<std::string, File> files_;
  static constexpr std::string_view kRoot = "/memory-shop";

 private:
  std::uint64_t last_inode_ = 100;
};

constexpr std::int64_t kSecond = 1'000'000'000;
constexpr std::int64_t kHour = 3'600'000'000'000;

// Changes one letter and keeps the size.
std::string other_letter(Dice& dice, std::string bytes) {
  const std::size_t from = bytes.find("## Symptom");
  if (from == std::string::npos || from + 14 > bytes.size()) return bytes + "x";
  const std::size_t at = from + 11 + dice.below(bytes.size() - from - 12);
  bytes[at] = bytes[at] == 'e' ? 'a' : 'e';
  return bytes;
}

// One script: a shop, and what people and tools do to it.
class Script {
 public:
  explicit Script(std::uint64_t seed) : dice_(seed), clock_(files::now_ns() - kHour) {
    write("shop.md", "---\nname: Bay\n---\n");
    write("vocabulary/words.md", "## Synonyms\n- heater = cabin heat\n");
    for (std::size_t i = dice_.below(6); i > 0; --i) add();
  }

  void step() {
    clock_ += 1'000'000;
    switch (dice_.below(11)) {
      case 0:
      case 1:
        return add();
      case 2:
        return edit(false);
      case 3:
        return edit(true);
      case 4:
        return rename();
      case 5:
        return remove();
      case 6:
        return same_tick_edit();
      case 7:
        return edit_with_time_restored();
      case 8:
        return case_rename();
      case 9:
        return touch();
      default:
        return other_file();
    }
  }

  MemoryShop shop;

 private:
  std::string any_tip() {
    std::vector<std::string> tips;
    for (const auto& [path, file] : shop.files_) {
      if (path.starts_with("tips/")) tips.push_back(path);
    }
    return tips.empty() ? std::string() : dice_.of(tips);
  }
  std::string new_path() {
    static const std::vector<std::string> kFolders = {"tips/", "tips/cooling/",
                                                      "tips/brakes/front/"};
    return dice_.of(kFolders) + "t" + std::to_string(dice_.below(40)) + ".md";
  }
  // One id in three is somebody else's too; one in three is left out.
  std::string new_id() {
    if (dice_.one_in(3)) return {};
    return "tip-" + std::to_string(dice_.below(9));
  }
  void write(const std::string& path, std::string bytes, bool new_inode = true) {
    shop.save(path, std::move(bytes), clock_, new_inode);
  }

  void add() { write(new_path(), store::test::tip_text(dice_, new_id(), 8)); }
  void edit(bool in_place) {
    const std::string path = any_tip();
    if (!path.empty()) write(path, store::test::tip_text(dice_, new_id(), 8), !in_place);
  }
  void rename() {
    const std::string from = any_tip();
    if (from.empty()) return;
    const std::string to = new_path();
    if (to == from) return;
    auto node = shop.files_.extract(from);
    node.mapped().status.changed_ns = clock_;
    shop.files_.erase(to);
    node.key() = to;
    shop.files_.insert(std::move(node));
  }
  void remove() {
    const std::string path = any_tip();
    if (!path.empty()) shop.files_.erase(path);
  }
  // The file is saved this moment, read by the index, and saved again before the clock moves: name,
  // size, times and inode all stay.
  void same_tick_edit() {
    const std::string path = any_tip();
    if (path.empty()) return;
    MemoryShop::File& file = shop.files_[path];
    // A slow machine takes longer over a script than a tick can be.
    if (file.status.modified_ns < files::now_ns() - kSecond) {
      shop.save(path, store::test::tip_text(dice_, new_id(), 8), files::now_ns(), false);
    } else {
      file.bytes = other_letter(dice_, file.bytes);
      file.status.size = file.bytes.size();
    }
  }
  void edit_with_time_restored() {
    const std::string path = any_tip();
    if (path.empty()) return;
    MemoryShop::File& file = shop.files_[path];
    const std::int64_t modified = file.status.modified_ns;
    shop.save(path, other_letter(dice_, file.bytes), clock_, false);
    shop.files_[path].status.modified_ns = modified;
  }
  void case_rename() {
    const std::string from = any_tip();
    if (from.empty()) return;
    std::string to = from;
    char& letter = to[to.size() - 5 - dice_.below(2)];
    letter = letter == 't' ? 'T' : 't';
    if (to == from || shop.files_.contains(to)) return;
    auto node = shop.files_.extract(from);
    node.key() = to;
    shop.files_.insert(std::move(node));
  }
  void touch() {
    const std::string path = any_tip();
    if (path.empty()) return;
    shop.files_[path].status.modified_ns = clock_;
    shop.files_[path].status.changed_ns = clock_;
  }
  void other_file() {
    switch (dice_.below(4)) {
      case 0:
        return write("shop.md", "---\nname: Bay " + std::to_string(dice_.below(9)) + "\n---\n");
      case 1:
        return write("vocabulary/words.md", "## Synonyms\n- heater = heat " +
                                                std::to_string(dice_.below(9)) + "\nstray\n");
      case 2:
        return write("parts/p" + std::to_string(dice_.below(4)) + ".md", "---\nname P\n---\n");
      default:
        shop.files_.erase("parts/p" + std::to_string(dice_.below(4)) + ".md");
    }
  }

  Dice dice_;
  std::int64_t clock_;
};

// The paths whose file is not as it was, as whoever saw every change would name them.
std::vector<std::string> changed_between(const std::map<std::string, MemoryShop::File>& before,
                                         const std::map<std::string, MemoryShop::File>& after) {
  std::vector<std::string> paths;
  for (const auto& [path, file] : after) {
    const auto was = before.find(path);
    if (was == before.end() || was->second.bytes != file.bytes ||
        was->second.status.modified_ns != file.status.modified_ns ||
        was->second.status.changed_ns != file.status.changed_ns ||
        was->second.status.inode != file.status.inode)
      paths.push_back(path);
  }
  for (const auto& [path, file] : before) {
    if (!after.contains(path)) paths.push_back(path);
  }
  return paths;
}

// What a search gives: scores to the last bit, in order, with why.
std::string answers(const store::Store& reader) {
  std::string out;
  for (const char* line : {"coolant leak", "noise cold idl", "brake pedal soft", "P0128",
                           "u0100 vibrating", "hauler 2012 be", "corvane", "no heat", "cabin heat",
                           "tensioner rattles pin te", "M8x1.25 coolant", "belt", "collant leek",
                           "heeter cold", "P0121", "nosuchword hauler", "88214", "12.4 V noise"}) {
    search::Query query;
    query.line = line;
    const search::Answer answer = search::search(reader, query);
    out += std::string(line) + ": " + std::to_string(answer.fitting) + ' ' +
           std::to_string(answer.without_vehicle) + (answer.all_words ? " all" : "") + ' ' +
           std::to_string(answer.above) + ' ' + answer.shortfall;
    for (const search::Slip& slip : answer.understood.slips) out += ' ' + slip.said();
    for (const search::Hit& hit : answer.hits) {
      std::ostringstream score;
      score << std::hexfloat << hit.score;
      out += "\n  " + hit.tip.id + ' ' + hit.tip.path + ' ' + score.str() + ' ' + hit.fit.words;
      for (const search::Why& why : hit.why) out += " [" + why.field + ' ' + why.words + ']';
    }
    out += '\n';
  }
  return out;
}

}  // namespace

TEST_CASE("a store that followed a folder equals one built from scratch") {
  const std::size_t scripts = count_from("BAYLORE_SCRIPTS", 12);
  const std::size_t steps = count_from("BAYLORE_STEPS", 20);
  std::size_t compared = 0;
  std::size_t rebuilt = 0;
  std::int64_t touched = 0;
  std::size_t renewed = 0;  // main parts of the postings written by an update
  for (std::size_t seed = 1; seed <= scripts; ++seed) {
    Script script(seed);
    Dice dice(seed + 1000);
    const TempFolder folder;
    const store::Location location{std::string(MemoryShop::kRoot), folder / "store"};
    std::optional<store::Store> follower;  // one reader that saw everything happen
    std::string words;
    for (std::size_t step = 0; step <= steps; ++step) {
      const auto before = script.shop.files_;
      if (step > 0) {
        for (std::size_t i = dice.below(3); i < 3; ++i) script.step();
      }
      store::Options options;
      options.check = dice.one_in(4);
      if (step > 0 && dice.one_in(2)) options.changed = changed_between(before, script.shop.files_);
      const auto report = store::bring_up_to_date(script.shop, location, options);
      REQUIRE_MESSAGE(report.ok(), "script ", seed, " step ", step, ": ",
                      (report ? "" : report.failure().text()));
      if (report->rebuilt) ++rebuilt;
      touched += report->added + report->changed + report->removed;
      auto opened = store::Store::open(location);
      REQUIRE(opened.ok());
      if (!follower) {
        follower = std::move(*opened);
        opened = store::Store::open(location);
      } else {
        REQUIRE(follower->refresh().ok());
      }
      const std::string mine = store::test::canonical_dump(*opened);
      const TempFolder scratch;
      const store::Location anew{location.shop, scratch / "store"};
      REQUIRE(store::bring_up_to_date(script.shop, anew).ok());
      const auto built = store::Store::open(anew);
      REQUIRE(built.ok());
      const std::string fresh = store::test::canonical_dump(*built);
      REQUIRE_MESSAGE(mine == fresh, "script ", seed, " step ", step, "\n", mine, "\n-- fresh\n",
                      fresh);
      REQUIRE(mine.find("\nerror") == std::string::npos);
      REQUIRE(store::test::words_dump(*follower) == store::test::words_dump(*built));
      const std::string right = answers(*built);
      const std::string followed = answers(*follower);
      REQUIRE_MESSAGE(followed == right, "script ", seed, " step ", step, "\n", followed,
                      "\n-- fresh\n", right);
      REQUIRE(answers(*opened) == right);
      const std::string now = store::test::words_file(location);
      if (!words.empty() && now != words) ++renewed;
      words = now;
      ++compared;
    }
  }
  CHECK(compared == scripts * (steps + 1));
  // Only the first step of each script builds: everything after went through the update.
  CHECK(rebuilt == scripts);
  CHECK(touched > static_cast<std::int64_t>(scripts * steps));
  CHECK(renewed > scripts / 4);
  MESSAGE(compared, " states compared, ", touched, " files added, changed or removed, ", renewed,
          " main parts written by updates");
}
