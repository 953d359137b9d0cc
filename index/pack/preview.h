// What a pack would change in a shop, before anything is. Nothing here writes.
#pragma once

#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/merge.h"
#include "pack/pack.h"
#include "pack/received.h"
#include "shop/finding.h"

namespace baylore::pack {

enum class Change {
  fresh,     // the shop has none with this id
  same,      // the shop has it, or a later one made from it
  replaced,  // theirs was made from ours
  merged,    // both changed, at different places
  conflict,  // both changed, at the same place, or nothing tells what both were made from
  blocked,   // cannot be taken, `why`
};
std::string_view change_word(Change change);  // "new", "same", "changed", "merged" ...

struct PreviewItem {
  TextKey key;
  std::string title;
  std::string path;  // in the shop: where it is, or would be
  Change change = Change::fresh;
  std::string why;
  // Between what is there and what would be; of a conflict: between ours and theirs.
  std::vector<Difference> differences;
  // Of a conflict whose ancestor is known: the places where both changed.
  std::vector<Difference> conflicts;
  shop::Findings findings;  // of `baylore check`, errors and warnings; not of `same` ones
};

struct Preview {
  std::vector<PreviewItem> items;   // as in the pack
  std::vector<std::string> photos;  // paths in the pack of those the shop has not
  std::size_t counts = 0;
  std::string counts_replace;  // the day of this location's counts that these replace; or empty
};

// For a pack that is not refused, whoever signed it.
files::Result<Preview> preview(files::Disk& disk, const std::string& shop_folder, const Pack& pack);

// --- shared by preview, accepting and undoing

// Works out what one text comes to, and what has to be written for it.
class Planner {
 public:
  // `leave_out`: a folder of received/ whose versions do not count.
  Planner(files::Disk& disk, std::string shop_folder, const Received& received,
          std::string leave_out = {});

  files::Result<void> read_shop();

  struct Plan {
    TextWrite write;
    Change change = Change::same;
    std::string why;                    // of a blocked one
    std::string before;                 // bytes there now
    std::string after;                  // bytes to be there
    const std::string* base = nullptr;  // of a conflict, if known
  };
  // `coming`: a version that is not accepted yet, or nullptr; it names the file when there is none.
  files::Result<Plan> plan(const TextKey& key, const PackText* coming);
  VersionStore& versions() { return versions_; }

 private:
  std::vector<Version> accepted(const TextKey& key);
  files::Result<std::optional<Version>> own(const TextKey& key, const std::string& hash,
                                            const std::string& bytes);
  std::string other_spelling(const TextKey& key) const;

  files::Disk& disk_;
  std::string shop_;
  const Received& received_;
  std::string leave_out_;
  struct ToldText {
    const ReceivedPack* pack = nullptr;
    const AcceptedText* text = nullptr;
    bool holds = false;  // by the last decision about its pack
  };
  // What all decisions say of a text, by the text.
  struct Told {
    std::vector<const TextWrite*> writes;
    std::vector<ToldText> texts;
  };
  std::map<TextKey, Told> told_;
  ShopTexts texts_;
  std::map<std::pair<shop::Kind, std::string>, std::string> spellings_;  // collision key -> id
  VersionStore versions_;
};

// The pictures that an accepted text needs at `path` and the shop has not; what lies there already
// with other bytes is added to `left`.
std::vector<PhotoWrite> photo_writes(files::Disk& disk, const std::string& shop_folder,
                                     const Pack& pack, const PackText& text,
                                     const std::string& path, std::vector<files::Failure>& left);

// --- what is known of received texts and counts

// The counts that hold for every location: of all its accepted packs with counts the latest sealed,
// so that the same job is never counted twice.
struct LocationCounts {
  std::string location;
  std::string sealed;
  std::string folder;
  std::vector<Count> counts;
};
std::vector<LocationCounts> latest_counts(const Received& received);

// From whom a text of this shop came, with which packs.
struct Origin {
  std::string location;
  std::string pack;
  std::string when;
  std::string who;
};
std::vector<Origin> origins(const Received& received, const TextKey& key);

}  // namespace baylore::pack
