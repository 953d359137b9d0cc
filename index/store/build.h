// Building and updating the store from the shop's files.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "store/store.h"

namespace baylore::store {

struct Progress {
  std::int64_t done = 0;
  std::int64_t total = 0;
};

struct Report {
  bool rebuilt = false;  // a new generation was published
  std::string why;  // why it was rebuilt: "no store yet", "store is damaged", "another version",
                    // "asked for" ...
  std::int64_t added = 0;
  std::int64_t changed = 0;
  std::int64_t removed = 0;
  std::int64_t unchanged = 0;
  std::int64_t tips = 0;                    // tips findable now
  std::int64_t broken = 0;                  // of them with errors
  std::vector<std::string> closed_folders;  // may not be looked into: what was known of them stays,
                                            // new tips in them are not seen
  double seconds = 0;
};

struct Options {
  bool from_scratch = false;
  // Reads every page of the store first, so that damage is found before a query meets it. What was
  // read already in this run of the program need not be read again: a viewer sets it for the first
  // call only.
  bool check = true;
  // When the caller knows what may have changed since its last call: files of the shop, by their
  // paths in it. Only those are looked at, however many others there are. Without, and when one of
  // them is gone, everything is.
  std::optional<std::vector<std::string>> changed;
  std::function<void(const Progress&)> progress;  // called now and then on the building thread
  const std::atomic<bool>* stop = nullptr;        // set to give up; the store stays as it was
};

// Brings the store up to date: a full build into a new generation when there is none, it is
// damaged, of another version or shop, or asked for; else the files whose path, size, times and
// hash changed. A modification time equal to now is not trusted. Several processes may call it at
// once. Fails only when the shop folder cannot be listed or the cache cannot be written, or `stop`
// was set; the store then stays as it was. A folder that holds nothing while the store knows files
// counts as one that cannot be listed (`gone`): an unmounted network folder looks so. A shop that
// is meant to be empty is built from scratch. A file that cannot be read has a finding
// (`unreadable`) and is tried again each time.
files::Result<Report> bring_up_to_date(files::Disk& disk, const Location& location,
                                       const Options& options = {});

}  // namespace baylore::store
