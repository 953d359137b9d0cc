#include "store/watch.h"

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/inotify.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <map>
#include <optional>
#include <set>
#include <string_view>
#include <system_error>
#include <thread>
#include <utility>

namespace baylore::store {
namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

constexpr std::uint32_t kEvents = IN_CLOSE_WRITE | IN_MODIFY | IN_ATTRIB | IN_CREATE | IN_DELETE |
                                  IN_MOVED_FROM | IN_MOVED_TO | IN_DELETE_SELF | IN_MOVE_SELF |
                                  IN_ONLYDIR | IN_DONT_FOLLOW | IN_EXCL_UNLINK;
// How often a vanished folder is looked for.
constexpr milliseconds kLookForFolder{250};
constexpr int kSettlesAtMost = 5;
// More files than that at once are looked for in the whole folder.
constexpr std::size_t kMostNamed = 256;

// Folders whose changes change no answer: written on every tap, and on every save.
constexpr std::array<std::string_view, 2> kQuiet = {"jobs", "history"};

bool is_quiet(const std::filesystem::path& folder) {
  const std::string name = folder.filename().string();
  return std::find(kQuiet.begin(), kQuiet.end(), name) != kQuiet.end();
}

bool is_hidden(const std::filesystem::path& path) {
  return path.filename().string().starts_with('.');
}

// A descriptor that closes itself.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  [[nodiscard]] int number() const { return number_; }

 private:
  int number_;
};

// What a batch of events asks for.
struct Seen {
  bool change = false;   // something that may change an answer
  bool folders = false;  // the tree of folders is not as it was watched
  bool named = true;     // `paths` are all there is to it
  std::set<std::string> paths;

  void join(Seen other) {
    change = change || other.change;
    named = named && other.named && !other.folders;
    paths.merge(other.paths);
    if (paths.size() > kMostNamed) named = false;
    if (!named) paths.clear();
  }
};

}  // namespace

// One thread. What changed is a hint that saves whoever is called a look at the whole folder: where
// it is not known for sure, nothing is named. An overflow costs a new walk, and a missed event is
// caught by the rescan.
struct Watcher::Inside {
  Inside(std::string folder, std::function<void(Changed)> call, milliseconds quiet,
         milliseconds again)
      : shop(std::move(folder)), changed(std::move(call)), settle(quiet), rescan(again) {}

  std::string shop;
  std::function<void(Changed)> changed;
  milliseconds settle;
  milliseconds rescan;
  Descriptor stop{::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)};
  Descriptor notify{::inotify_init1(IN_CLOEXEC | IN_NONBLOCK)};
  std::map<int, std::string> watches;  // with the folder's path in the shop
  bool there = false;                  // the shop folder exists and is watched
  std::thread thread;

  // Watches every folder of the tree; forgets the watches of folders that are not in it any more.
  // Watching a folder again is free.
  void watch_tree() {
    std::map<int, std::string> now;
    there = watch_folder(shop, "", now);
    if (there) {
      std::error_code error;
      using Walk = std::filesystem::recursive_directory_iterator;
      Walk walk(shop, std::filesystem::directory_options::skip_permission_denied, error);
      while (!error && walk != Walk()) {
        const bool folder = walk->is_directory(error) && !walk->is_symlink(error);
        if (folder) {
          const bool quiet =
              is_hidden(walk->path()) || (walk.depth() == 0 && is_quiet(walk->path()));
          if (quiet) {
            walk.disable_recursion_pending();
          } else {
            watch_folder(walk->path().string(),
                         walk->path().lexically_relative(shop).generic_string() + "/", now);
          }
        }
        error.clear();  // a folder that vanished meanwhile is no reason to leave its neighbours
                        // unwatched
        walk.increment(error);
      }
    }
    for (const auto& [old, folder] : watches) {
      if (!now.contains(old)) ::inotify_rm_watch(notify.number(), old);
    }
    watches = std::move(now);
  }

  bool watch_folder(const std::string& folder, std::string in_shop,
                    std::map<int, std::string>& now) const {
    const int watch = ::inotify_add_watch(notify.number(), folder.c_str(), kEvents);
    if (watch >= 0) now.emplace(watch, std::move(in_shop));
    // ENOSPC: the user's limit of watches is reached; the rescan has to do.
    return watch >= 0 || errno == ENOSPC || errno == ENOMEM;
  }

  Seen read_events() {
    Seen seen;
    alignas(inotify_event) std::array<char, 16 * 1024> buffer;
    while (true) {
      const ssize_t length = ::read(notify.number(), buffer.data(), buffer.size());
      if (length <= 0) return seen;
      for (std::size_t at = 0; at < static_cast<std::size_t>(length);) {
        inotify_event event = {};
        std::memcpy(&event, buffer.data() + at, sizeof event);
        const char* name = event.len > 0 ? buffer.data() + at + sizeof event : "";
        at += sizeof event + event.len;
        judge(event, name, seen);
      }
    }
  }

  void judge(const inotify_event& event, const char* name, Seen& seen) const {
    if ((event.mask & IN_Q_OVERFLOW) != 0) {
      seen.change = seen.folders = true;
      return;
    }
    const auto folder = watches.find(event.wd);
    if (folder == watches.end()) return;  // of a folder that was let go
    if ((event.mask & (IN_DELETE_SELF | IN_MOVE_SELF | IN_UNMOUNT | IN_IGNORED)) != 0) {
      seen.change = seen.folders = true;
      return;
    }
    if (name[0] == '.') return;  // temporary files: their rename is what counts
    if ((event.mask & IN_ISDIR) != 0) {
      if ((event.mask & (IN_CREATE | IN_DELETE | IN_MOVED_FROM | IN_MOVED_TO)) == 0) return;
      seen.folders = true;
    }
    seen.change = true;
    if (name[0] == '\0') {
      seen.named = false;
    } else {
      seen.paths.insert(folder->second + name);
    }
  }

  // Sleeps until `until`, an event or the destructor. False: the end.
  [[nodiscard]] bool wait(std::optional<Clock::time_point> until) const {
    int timeout = -1;
    if (until) {
      const auto left = std::chrono::ceil<milliseconds>(*until - Clock::now());
      timeout = static_cast<int>(std::clamp<std::int64_t>(left.count(), 0, 1'000'000));
    }
    std::array<pollfd, 2> wanted = {{{stop.number(), POLLIN, 0}, {notify.number(), POLLIN, 0}}};
    ::poll(wanted.data(), wanted.size(), timeout);
    return wanted[0].revents == 0;
  }

  // `first` and `last` are the times of the first and last change not yet reported. Reported when
  // quiet for `settle`, or `settle` x 5 after the first; or when the rescan is due.
  void run() {
    watch_tree();
    // What happened before the watches were in place was seen by nobody.
    bool unreported = true;
    Clock::time_point first = Clock::now();
    Clock::time_point last = first;
    Seen pending;
    pending.named = false;
    Clock::time_point rescan_at = Clock::now() + rescan;
    while (true) {
      Clock::time_point until = rescan_at;
      if (unreported) {
        until = std::min(until, std::min(last + settle, first + settle * kSettlesAtMost));
      }
      if (!there) until = std::min(until, Clock::now() + kLookForFolder);
      if (!wait(until)) return;

      const bool was_there = there;
      Seen seen = read_events();
      const bool changes = seen.change;
      if (seen.folders || !there) watch_tree();
      const Clock::time_point now = Clock::now();
      if (there != was_there) seen.named = false;
      if (changes || there != was_there) {
        if (!std::exchange(unreported, true)) first = now;
        last = now;
        pending.join(std::move(seen));
      }
      const bool due =
          unreported && (now >= last + settle || now >= first + settle * kSettlesAtMost);
      const bool rescan_due = now >= rescan_at;
      if (!due && !rescan_due) continue;
      if (rescan_due) watch_tree();
      unreported = false;
      const Seen told = std::exchange(pending, Seen());
      if (told.named && !rescan_due) {
        changed(std::vector<std::string>(told.paths.begin(), told.paths.end()));
      } else {
        changed(std::nullopt);
      }
      rescan_at = Clock::now() + rescan;
    }
  }
};

Watcher::Watcher(std::string shop, std::function<void(Changed)> changed, milliseconds settle,
                 milliseconds rescan)
    : inside_(std::make_unique<Inside>(std::move(shop), std::move(changed), settle, rescan)) {
  inside_->thread = std::thread([inside = inside_.get()] { inside->run(); });
}

Watcher::~Watcher() {
  const std::uint64_t one = 1;
  // An eventfd that nobody else writes to takes this write at once.
  [[maybe_unused]] const ssize_t written = ::write(inside_->stop.number(), &one, sizeof one);
  inside_->thread.join();
}

}  // namespace baylore::store
