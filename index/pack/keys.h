// Where keys lie: this terminal's own pair in the user's folder, those of other locations in the
// shop's.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "files/result.h"
#include "pack/minisign.h"

namespace baylore::pack {

// The file of the secret key for a shop: in the user's state folder, never in the shop's, which
// file syncs and version control carry about. Empty when the user has no such folder. A copy of the
// shop elsewhere has another.
std::string secret_key_path(const std::string& shop_folder);

// Reads the pair, or makes the first one, readable only by the owner (0600). `made` tells which.
struct OwnKey {
  SecretKey key;
  bool made = false;
};
files::Result<OwnKey> own_key(files::Disk& disk, const std::string& path);

// A location whose packs are trusted: keys/trusted/LOCATION.pub, or LOCATION.ANYTHING.pub for a
// further key of the same location (another terminal there, or a new key after an old one).
struct Trusted {
  std::string location;
  std::string path;  // relative to the shop
  PublicKey key;
};

struct TrustedKeys {
  std::vector<Trusted> keys;            // by path
  std::vector<files::Failure> damaged;  // files that are no keys: they trust nobody
  [[nodiscard]] const Trusted* find(const KeyId& id) const;
  // By the whole key; an id alone can be claimed by anyone.
  [[nodiscard]] const Trusted* find(const PublicKey& key) const;
};
files::Result<TrustedKeys> read_trusted(files::Disk& disk, const std::string& shop_folder);

// Whether it can be a location's name: an id (files::is_id) without full stops.
bool is_location(std::string_view name);

// Whether trust() would; the reason when not. Nothing is written.
files::Result<void> may_trust(const TrustedKeys& trusted, const std::string& location,
                              const PublicKey& key);
// Writes a location's key. `location` is one by is_location(). Fails with
// `exists` when another key has this id or this location has another key already, which a person
// has to look at; the same key again is fine.
files::Result<void> trust(files::Disk& disk, const std::string& shop_folder,
                          const std::string& location, const PublicKey& key);

}  // namespace baylore::pack
