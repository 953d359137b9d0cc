// Copies that a file sync leaves when two terminals changed one text: both versions lie in the
// shop, under two names. Here they are found, merged as far as that goes, and settled by a person.
// No lock is held and no clock is trusted; whoever settles second is told that the first was there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/merge.h"
#include "pack/text.h"

namespace baylore::pack {

struct Copy {
  // Vocabulary and shop.md have copies too; like texts without an id they are known by the
  // provisional id of their path.
  TextKey key;
  std::string title;
  std::string path;  // of the text that counts (shop::comes_first()), relative to the shop
  std::string copy;  // of the other
  // The copy is of no text that is there: two terminals gave one name to two texts, or the text was
  // taken away meanwhile. `path` is then a free one, for it to get a name of its own.
  bool alone = false;
  std::string ours;    // the bytes at `path`; empty when alone
  std::string theirs;  // the bytes at `copy`
  // The version of history/ that both seem to have been made from; nothing when there is none.
  // Who made what of which is written nowhere: it is the version nearest to both, and of several
  // equally near ones that with which the merge keeps the most.
  std::optional<std::string> base;
  // With that version; what depends on which of several it was counts as a conflict. Without one
  // ours, and everything that differs is a conflict.
  Merged merged;
};

// By `copy`. Reads every text of the shop.
files::Result<std::vector<Copy>> find_copies(files::Disk& disk, const std::string& shop_folder);

// A person has looked at both and decided for `text`, which may be one of them. The copy's bytes go
// to history/, `text` is saved as any edit is, with ours in history/ before, and only then the copy
// is removed. Fails with `exists`, having changed nothing of either, when one of them is no longer
// as it was found. Cut off at any moment, both are kept, and the copy is found again or settled.
files::Result<void> settle_copy(files::Disk& disk, const std::string& shop_folder, const Copy& copy,
                                const std::string& text);

}  // namespace baylore::pack
