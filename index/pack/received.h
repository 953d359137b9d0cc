// received/PACK/: what came with a pack, from whom, and what was made of it. Each decision is a
// file of its own, written once, so that nothing here has two writers; the highest number counts.
//
//   received/PACK/pack.bag.zip      the pack as it came, signature and all
//   received/PACK/0001.json         a decision: accepted or undone, with all that has to be written
//   received/PACK/0001.done         all of it has been written
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/counts.h"
#include "pack/pack.h"
#include "pack/stand.h"
#include "pack/text.h"

namespace baylore::pack {

// One text that was accepted.
struct AcceptedText {
  TextKey key;
  std::string title;
  std::string hash;
  std::set<std::string> ancestry;
};

// What a decision does to one file of the shop.
struct TextWrite {
  TextKey key;
  std::string path;    // relative to the shop
  std::string before;  // hash of what is there; empty: nothing
  std::string after;   // hash of what has to be there; empty: nothing
  // The bytes of `after`, where they are not those of an accepted text.
  std::optional<std::string> bytes;
  std::string own;  // hash of the version that was written here; empty: none was
  std::set<std::string> own_ancestry;
  std::set<std::string> taken;    // versions that `after` is or includes
  std::vector<std::string> open;  // versions kept beside it
};

struct PhotoWrite {
  TextKey key;       // the text that shows it
  std::string from;  // path in the pack
  std::string path;  // relative to the shop
  std::string sha512;
  bool remove = false;  // taken away again, when it is still the same
};

struct Decision {
  int number = 0;
  bool accepted = false;  // or undone
  std::string when;       // ISO 8601 with offset
  std::string who;
  std::string name;            // of the pack
  std::string location;        // that it is from, as it is called here
  std::string key;             // PublicKey::line() of the signer
  std::string sealed;          // the bagging date, as the sender has it
  bool newly_trusted = false;  // the signer was unknown until this decision
  std::vector<Count> counts;   // those the pack brought
  std::vector<AcceptedText>
      texts;  // all of this pack that are accepted, by this and earlier decisions
  std::vector<TextWrite> writes;
  std::vector<PhotoWrite> photos;
};

std::string decision_text(const Decision& decision);
// Bytes of one: that of a pack with many tips is larger than a text.
inline constexpr std::uint64_t kLargestDecision = std::uint64_t{128} << 20U;
// Nothing when the file is none, or of a later form.
std::optional<Decision> read_decision(std::string_view bytes);

struct ReceivedPack {
  std::string folder;               // below received/
  std::vector<Decision> decisions;  // by number
  bool done = false;                // the last one has been written in full
  [[nodiscard]] const Decision& last() const { return decisions.back(); }
  [[nodiscard]] bool accepted() const { return last().accepted; }
};

// A lead has compared a text with the versions kept beside it, and decided. A file of its own,
// received/settled/ULID.json, written once.
struct Settlement {
  TextKey key;
  std::string after;              // hash of the text decided for
  std::set<std::string> settled;  // the versions it stands for from now on
};
std::string settlement_text(const Settlement& settlement);
std::optional<Settlement> read_settlement(std::string_view bytes);
std::string new_settlement_path();  // relative to the shop

// All packs with a decision, by folder.
struct Received {
  std::vector<ReceivedPack> packs;
  std::vector<Settlement> settlements;
  std::vector<files::Failure> damaged;
  [[nodiscard]] const ReceivedPack* find(const std::string& folder) const;
};
files::Result<Received> read_received(files::Disk& disk, const std::string& shop_folder);
std::string pack_path(const std::string& folder);                  // relative to the shop
std::string decision_path(const std::string& folder, int number);  // the same
std::string done_path(const std::string& folder, int number);

// Bytes of versions by hash: from history/, and from packs received (opened when first needed, and
// judged again). What it was made from must outlive it.
class VersionStore {
 public:
  VersionStore(files::Disk& disk, std::string shop_folder, const Received& received);
  ~VersionStore();
  VersionStore(const VersionStore&) = delete;
  VersionStore& operator=(const VersionStore&) = delete;

  // A pack that is not in received/ yet; it must outlive the store.
  void add(const Pack& pack);
  // nullptr when nobody has it, or (see failure()) it cannot be told. Valid as long as the store.
  const std::string* find(const TextKey& key, const std::string& hash);
  // The first trouble with the disk: what was found is then not to be relied on.
  [[nodiscard]] const std::optional<files::Failure>& failure() const { return failure_; }

 private:
  void open_packs_with(const TextKey& key, const std::string& hash);
  const std::string* keep(const std::string& hash, std::string bytes);

  files::Disk& disk_;
  std::string shop_;
  const Received& received_;
  std::optional<files::Failure> failure_;
  std::set<std::string> opened_;
  std::map<std::string, const std::string*> bytes_;  // by hash; null: looked for in vain
  std::deque<std::string> kept_;                     // those that nobody else holds
};

}  // namespace baylore::pack
