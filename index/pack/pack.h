// A pack as it comes from elsewhere: looked at, never mixed in (accept.h does that). Nothing in it
// is trusted or even parsed before container, check sums and signature have been judged.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/bag.h"
#include "pack/container.h"
#include "pack/counts.h"
#include "pack/keys.h"
#include "pack/text.h"

namespace baylore::pack {

enum class Signer {
  trusted,  // by the key of a location in keys/trusted/
  unknown,  // by a key that is not: may be looked at
  nobody,   // unsigned: may be looked at
  altered,  // there is a signature, and it is not of these bytes
};
std::string_view signer_word(Signer signer);  // "trusted", "unknown", "unsigned", "altered"

struct Signed {
  Signer signer = Signer::nobody;
  std::string location;          // of a trusted signer
  std::string key_id;            // as the signature names it
  std::optional<PublicKey> key;  // that the signature was verified with; none: nothing was
  std::string comment;           // the trusted comment
  std::vector<Reason> reasons;   // why it is `altered`
};

// Judges the signature over the tag manifest. An unknown signer's is held against the key that came
// with the pack: that tells whether it is whole, not whom it is from.
Signed judge_signature(const BagContent& content, const TrustedKeys& trusted);

struct PackText {
  shop::Kind kind = shop::Kind::tip;
  std::string id;
  std::string path;  // "tips/cooling/heater.md"
  std::string title;
  std::string bytes;
  std::string hash;                // of the bytes, as in history/
  std::set<std::string> ancestry;  // hashes of earlier versions, as the sender knows them
  [[nodiscard]] TextKey key() const { return {kind, id}; }
};

struct PackPhoto {
  std::string path;  // "photos/pump.png", or beside a text
  std::uint64_t size = 0;
  std::string sha512;
};

struct Pack {
  std::string name;
  Signed signature;
  Bag bag;
  std::string mark;  // tells packs of one name apart: 32 digits made of tag manifest and signature
  std::vector<PackText> texts;    // by kind and id
  std::vector<PackPhoto> photos;  // by path
  std::vector<Count> counts;
  // Files that are left out one by one, with why: no id, an id twice, no UTF-8, no picture ...
  std::vector<Reason> refused;
  // Why all of it is refused. Then texts, photos and counts are empty.
  std::vector<Reason> reasons;

  // What the signature and the check sums leave open: "trusted", "unknown", "unsigned", "altered"
  // or, for any other reason to refuse it, "refused".
  [[nodiscard]] std::string_view verdict() const;
  // The folder it has below received/.
  [[nodiscard]] std::string folder() const { return name + "-" + mark; }
};

// Told now and then how far it is; returning false gives up, with a failure.
using Progress = std::function<bool(std::uint64_t done, std::uint64_t all)>;

inline constexpr std::uint64_t kTextsInPack = std::uint64_t{64} << 20U;  // bytes of all texts
inline constexpr std::uint64_t kLinesInPack = 2000000;                   // of all texts
inline constexpr std::uint64_t kPhotoInPack = std::uint64_t{12} << 20U;  // of one picture

// Lists, checks and reads a pack. Fails only when it cannot be read or was given up; what is wrong
// with it is told in the pack.
files::Result<Pack> open_pack(files::Disk& disk, const std::string& path,
                              const TrustedKeys& trusted, const Progress& progress = nullptr);
// The same for one in memory.
files::Result<Pack> open_pack(ByteSource& bytes, const TrustedKeys& trusted,
                              const Progress& progress = nullptr);

// Gives the bytes of photos of a pack, each whole and after its check sum held; `wanted` by path.
// Fails when the file is no longer what was opened.
using TakePhoto =
    std::function<files::Result<void>(const PackPhoto& photo, std::string_view bytes)>;
files::Result<void> read_photos(files::Disk& disk, const std::string& path, const Pack& pack,
                                const std::set<std::string>& wanted, const TakePhoto& take);

// Whether something, a pack, a zipped bag or an unzipped one, is complete and unchanged.
struct Verified {
  bool sound = false;  // a valid bag, and its signature, if there is one, is its own
  Bag bag;
  Signed signature;
  std::vector<Reason> reasons;  // why it is not sound
  std::vector<Reason> no_pack;  // why a sound bag would be refused as a pack
};
files::Result<Verified> verify(files::Disk& disk, const std::string& path,
                               const TrustedKeys& trusted);

// --- what seal.h writes and this reads

inline constexpr std::string_view kAncestry = "data/ancestry.csv";
inline constexpr std::string_view kCounts = "data/counts.csv";

// Whether a path below data/ can be a picture's, by its place and ending.
bool is_photo_path(std::string_view path);
// Whether the bytes begin as a JPEG or a PNG does.
bool is_photo(std::string_view bytes);

}  // namespace baylore::pack
