// Notices changes in a shop folder: inotify, and a slow rescan for network folders where inotify is
// silent.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace baylore::store {

// Files that changed, by their paths in the shop; nothing: anything may have.
using Changed = std::optional<std::vector<std::string>>;

class Watcher {
 public:
  // Calls `changed` on a thread of its own: once when the watches are in place (what happened
  // before was seen by nobody), then after the folder was quiet for `settle` (at most 5 x settle
  // after the first change), and every `rescan` even when nothing was seen. It is told which files
  // changed where only files did, and not too many; at the start, at a rescan and whenever folders
  // changed, anything may have. `changed` runs to its end before it is called again. A folder that
  // vanishes and returns is watched again. Names that begin with '.' and what lies in the shop's
  // jobs/ and history/ are not reported: they change no answer of the store. To follow jobs/, watch
  // that folder itself.
  Watcher(std::string shop, std::function<void(Changed)> changed,
          std::chrono::milliseconds settle = std::chrono::milliseconds(120),
          std::chrono::milliseconds rescan = std::chrono::seconds(20));
  ~Watcher();  // waits for a running `changed`
  Watcher(const Watcher&) = delete;
  Watcher& operator=(const Watcher&) = delete;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace baylore::store
