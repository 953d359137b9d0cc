// Reads and parses many files on all cores and hands them over one by one, in the order asked for.
#pragma once

#include <atomic>
#include <functional>
#include <string>
#include <vector>

#include "files/disk.h"
#include "store/reading.h"

namespace baylore::store {

// A file that may have changed.
struct Candidate {
  std::string path;
  shop::Kind kind = shop::Kind::other;
  files::Status status;
  bool racy = false;
  bool known = false;      // the store has this path
  bool noted = false;      // and its line in `files` says the same already
  std::string known_hash;  // of the bytes in the store; equal bytes are not parsed again
};

enum class Found {
  read,      // parsed
  same,      // the bytes are those of known_hash; not parsed
  vanished,  // removed since it was listed
  stopped,   // `stop` was set; nothing follows
  lost,      // the device or network folder does not answer; nothing follows
};

// Calls `take` on the calling thread, once for each candidate in order, with `stopped` or `lost` at
// the latest where they happen. A file that cannot be read for another reason is `read` with an
// empty hash and a finding. `take` returns false to end early. Returns when all threads have ended.
// Holds a few hundred readings at most.
void read_in_order(files::Disk& disk, const std::string& shop,
                   const std::vector<Candidate>& candidates, const std::atomic<bool>* stop,
                   const std::function<bool(Reading& reading, Found found)>& take);

}  // namespace baylore::store
