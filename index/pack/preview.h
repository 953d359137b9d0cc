// What a pack would change in a shop, before anything is. Nothing here writes.
#pragma once

#include <array>
#include <map>
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
inline constexpr std::size_t kFindingsShown = 10000;  // of all items together

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
  // The versions of a text that the accepted packs brought; `missing` names the folder of a pack
  // whose version is nowhere.
  std::vector<Version> accepted(const TextKey& key, const FindBytes& find, std::string& missing);
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

// The pictures of a pack that its texts need and the shop has not. Every text gets its own beside
// it, so a pack could ask for one picture a million times: there is a limit to what one pack comes
// to. The pack must outlive it.
class PhotoPlan {
 public:
  PhotoPlan(files::Disk& disk, std::string shop_folder, const Pack& pack);
  // For a text that comes to lie at `path`. What lies there already with other bytes, and what is
  // beyond the limits, is added to `left`.
  std::vector<PhotoWrite> writes(const PackText& text, const std::string& path,
                                 std::vector<files::Failure>& left);

  static constexpr std::size_t kShownByText = 200;
  static constexpr std::size_t kShown = 60000;                      // by all texts together
  static constexpr std::uint64_t kBytes = std::uint64_t{2} << 30U;  // to be written

 private:
  [[nodiscard]] const PackPhoto* find(const PackText& text, std::string_view name) const;
  bool is_there(const std::string& path, const PackPhoto& photo);

  files::Disk& disk_;
  std::string shop_;
  std::map<std::string_view, const PackPhoto*> photos_;  // by path in the pack
  // Of pictures in the shop, by path: as they are, and as they would leave in a pack.
  std::map<std::string, std::array<std::string, 2>> sums_;
  std::set<std::string> planned_;  // paths in the shop
  std::size_t shown_ = 0;
  std::uint64_t bytes_ = 0;
};

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

// From whom texts of this shop came, with which packs, in the order in which they were taken in.
struct Origin {
  std::string location;
  std::string pack;
  std::string when;
  std::string who;
};
std::map<TextKey, std::vector<Origin>> origins(const Received& received);

}  // namespace baylore::pack
