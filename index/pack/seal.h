// Seals tips, with the part families and pictures they use, into a pack for another location.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/minisign.h"
#include "pack/pack.h"
#include "pack/reason.h"

namespace baylore::pack {

// Which tips. What is empty is not asked for; a tip has to meet all that is asked, and one of each
// list. Drafts go only when they are named.
struct Choice {
  std::vector<std::string> ids;      // ids or slugs
  std::vector<std::string> systems;  // "cooling"; small or capital letters
  std::vector<std::string> authors;
  std::string since;    // `2026-03-14`: written this day or later
  bool parts = true;    // the part families that these tips name
  bool photos = true;   // the pictures that both show
  bool counts = false;  // how often each was right or held (counts.h)
};

struct SealText {
  shop::Kind kind = shop::Kind::tip;
  std::string path;
  std::string id;
  std::string title;
};

// What would go, to be shown before it does.
struct SealPlan {
  std::vector<SealText> texts;      // by path
  std::vector<std::string> photos;  // by path
  bool counts = false;
  std::uint64_t bytes = 0;
  // By path: what is meant and cannot go, with why: no id, a VIN in it, a picture that is not there
  // ...
  std::vector<Reason> left_out;
};
files::Result<SealPlan> plan_seal(files::Disk& disk, const std::string& shop_folder,
                                  const Choice& choice);

struct SealOptions {
  std::string name;  // an id; empty: made from the shop's name and the date
  std::string date;  // `2026-03-14`, the bagging date
  std::string from;  // the shop's name, as the other location reads it
};

struct Sealed {
  std::string path;  // the file written: FOLDER/NAME.bag.zip
  std::string name;
  PublicKey key;
  std::uint64_t bytes = 0;
};

// Writes the pack into `folder`, flushed, read back and judged before it gets its name; a file of
// that name that is there already is never written over. The same shop, plan, options and key give
// the same bytes. Fails, leaving nothing behind, when a file changed meanwhile or `progress` gives
// up.
files::Result<Sealed> seal(files::Disk& disk, const std::string& shop_folder, const SealPlan& plan,
                           const SealOptions& options, const SecretKey& key,
                           const std::string& folder, const Progress& progress = nullptr);

}  // namespace baylore::pack
