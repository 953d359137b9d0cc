// Building and updating the store from the shop's files.
#pragma once

#include <atomic>
#include <functional>

#include "store/store.h"

namespace baylore::store {

struct Progress {
  std::int64_t done = 0;
  std::int64_t total = 0;
};

struct Report {
  bool rebuilt = false;      // a new generation was published
  std::string why;           // why it was rebuilt: "no store yet", "store is damaged", "another version", "asked for" ...
  std::int64_t added = 0;
  std::int64_t changed = 0;
  std::int64_t removed = 0;
  std::int64_t unchanged = 0;
  std::int64_t tips = 0;     // tips findable now
  std::int64_t broken = 0;   // of them with errors
  double seconds = 0;
};

struct Options {
  bool from_scratch = false;
  std::function<void(const Progress&)> progress;  // called now and then on the building thread
  const std::atomic<bool>* stop = nullptr;        // set to give up; the store stays as it was
};

// Brings the store up to date: a full build into a new generation when there is none, it is damaged, of another version or shop, or asked for; else the
// files whose path, size, times and hash changed. A modification time equal to now is not trusted. Several processes may call it at once.
// Fails only when the shop folder cannot be listed or the cache cannot be written; the store then stays as it was.
files::Result<Report> bring_up_to_date(files::Disk& disk, const Location& location, const Options& options = {});

}  // namespace baylore::store
