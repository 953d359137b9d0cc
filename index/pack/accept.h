// Mixing a pack into a shop, and taking it out again. Both are one decision: a file in received/
// that holds everything to be written, put in place by one rename. Before that rename nothing has
// changed, after it everything will: what a power cut or a kill interrupts, finish_received() takes
// up. No lock is held; two terminals that finish the same decision write the same bytes.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/pack.h"
#include "pack/received.h"

namespace baylore::pack {

struct Accepting {
  std::set<TextKey> chosen;  // empty: all
  std::string who;           // initials, or the terminal's name
  std::string when;          // ISO 8601 with offset
  // For an unknown signer, the name under which its location is trusted from now on: looking at
  // such a pack needs nothing, mixing it in needs this decision, which is recorded.
  std::string trust_as;
};

struct Outcome {
  std::string folder;  // below received/
  int fresh = 0;
  int changed = 0;    // replaced or merged
  int conflicts = 0;  // kept beside ours
  int same = 0;
  int removed = 0;  // by undoing
  int photos = 0;
  std::vector<files::Failure> left;  // what could not be done as decided, file by file
};

// Accepts the pack at `path`. `seen` is what a person looked at: when the file holds another by
// now, nothing is done. Refused (`denied`) are packs that are altered, unsound or unsigned, and
// those of an unknown signer without `trust_as`. `progress` can give up until the decision is
// written.
files::Result<Outcome> accept(files::Disk& disk, const std::string& shop_folder,
                              const std::string& path, const Pack& seen, const Accepting& accepting,
                              const Progress& progress = nullptr);

// Takes back all that was accepted of a pack, as one step. What someone here has edited since stays
// as it is, and so does everything in history/.
files::Result<Outcome> undo(files::Disk& disk, const std::string& shop_folder,
                            const std::string& folder, const std::string& who,
                            const std::string& when);

// Finishes decisions that were cut off. To be called before a shop's packs are looked at.
files::Result<std::vector<files::Failure>> finish_received(files::Disk& disk,
                                                           const std::string& shop_folder);

// A version that came with a pack and is kept beside ours.
struct OpenConflict {
  TextKey key;
  std::string path;      // of ours, relative to the shop
  std::string hash;      // of theirs
  std::string theirs;    // its bytes
  std::string location;  // from whom
  std::string pack;
};
files::Result<std::vector<OpenConflict>> open_conflicts(files::Disk& disk,
                                                        const std::string& shop_folder);

// A lead has looked at ours and all open versions of a text and decided for `after`, which may be
// one of them. `before` is what the lead saw as ours. From then on all of them are earlier
// versions.
files::Result<void> settle(files::Disk& disk, const std::string& shop_folder, const TextKey& key,
                           const std::string& before, const std::string& after);

}  // namespace baylore::pack
