// What the Packs screens show: put together off the drawing thread from sticks, from received/ and
// from the pack that is looked at.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/result.h"
#include "pack/accept.h"
#include "pack/copies.h"
#include "pack/merge.h"
#include "pack/minisign.h"
#include "pack/pack.h"
#include "pack/preview.h"
#include "pack/seal.h"
#include "viewer/state/progress.h"

namespace baylore::viewer {

// A folder that packs are looked for in and written to.
struct PackPlace {
  std::string folder;
  std::string label;  // "BLUE STICK", "this terminal"
  bool writable = true;
};

// A file that is named as a pack; nothing in it has been looked at.
struct FoundPack {
  std::string path;
  std::string name;
  std::string place;  // label
  std::uint64_t bytes = 0;
};

// A pack that was taken in, or taken out again.
struct TakenText {
  pack::TextKey key;
  std::string title;
};
struct TakenPack {
  std::string folder;  // below received/
  std::string name;
  std::string location;
  std::string sealed;  // the sender's day
  std::string when;    // of the last decision about it
  std::string who;
  bool there = false;          // or taken out again
  bool newly_trusted = false;  // its signer was unknown until then
  bool counts = false;
  std::size_t photos = 0;
  std::vector<TakenText> texts;
};

// A version that stands beside ours: from another location, or a copy that a file sync left.
struct OpenText {
  std::string title;
  std::string from;   // "Hexley Road", "Other file"
  std::string note;   // what a row says of it
  std::string ours;   // bytes
  std::string start;  // what settling begins with: ours, with what only they changed as far as that
                      // can be told
  std::string theirs;
  // Exactly one of them.
  std::optional<pack::OpenConflict> conflict;
  std::optional<pack::Copy> copy;
  // Of no text that is there: it can only get a name of its own.
  [[nodiscard]] bool alone() const { return copy && copy->alone; }
};

struct PackShelf {
  std::vector<PackPlace> places;
  std::vector<FoundPack> found;      // by place and name
  std::vector<TakenPack> taken;      // the last decision first
  std::vector<OpenText> open;        // by kind and id
  std::vector<std::string> trouble;  // what could not be read or finished
};

// A pack that is looked at, and what it would change.
struct OpenedPack {
  std::string path;
  std::optional<pack::Pack> pack;         // nothing: it could not be read, `failure`
  pack::Preview preview;                  // empty when the pack is refused
  std::optional<files::Failure> failure;  // of reading it, or of setting it against the shop
};

// Where a text of this shop came from, and what those who sent it know of it.
struct Source {
  std::vector<pack::Origin> came;                         // in the order in which it was taken in
  std::vector<std::pair<std::string, pack::Count>> told;  // by location: how often a tip was right
  bool waits = false;                                     // a version beside it is to be settled
  [[nodiscard]] std::string from() const;                 // "Hexley Road, North"
};

// Which tips are to go into a pack.
struct SealWish {
  pack::Choice choice;
  std::string words;  // only what a search for them finds; empty: not asked for
};

struct SealOffer {
  pack::SealPlan plan;
  std::vector<std::string> systems;  // of all tips here
  std::vector<std::string> authors;
  std::optional<files::Failure> failure;
};

// This terminal's public key, for the other location.
struct OwnKey {
  std::string id;
  std::string line;
  bool made = false;  // just now
  std::string failure;
};

// What to begin with and theirs set side by side, place by place.
struct Settling {
  OpenText text;
  std::vector<pack::Difference> places;
  std::set<std::size_t> taken;  // where theirs is to stand
};

// One thing at a time is done with packs.
enum class PackWork { none, reading, choosing, taking_in, taking_out, sealing, settling };
std::string_view work_word(PackWork work);  // "Taking in"; of none: empty

// Where the Packs screens are.
struct PacksView {
  std::shared_ptr<const PackShelf> shelf;  // nullptr: not looked at yet
  std::string taken;                       // folder of the received pack whose content shows
  bool show_key = false;
  std::optional<OwnKey> key;

  std::string opening;  // path of the pack being read
  std::shared_ptr<const OpenedPack> opened;
  std::set<pack::TextKey> chosen;
  std::size_t item = 0;
  bool item_open = false;  // phone: the item in place of the list

  SealWish wish;
  std::shared_ptr<const SealOffer> offer;  // nullptr: being worked out
  std::set<std::string> left_out;          // ids of tips that were tapped away
  std::string to;                          // folder; empty: the first place

  std::optional<Settling> settling;

  PackWork work = PackWork::none;  // under way
  Progress progress;               // in bytes
};

// What can be taken of a pack: fresh, replaced, merged, or kept beside ours.
bool can_be_taken(const pack::PreviewItem& item);
// Why nothing of it can be; empty when it can. An unknown signer's can, by a decision.
std::string why_not(const OpenedPack& opened);
bool needs_trust(const OpenedPack& opened);
// Ids of the offered tips that were not tapped away.
std::vector<std::string> tips_that_go(const PacksView& view);

// "2.1 MB", "340 kB": powers of ten.
std::string size_words(std::uint64_t bytes);
// "hexley-road" as it is shown: "Hexley Road".
std::string location_words(std::string_view location);

}  // namespace baylore::viewer
