#include "pack/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "files/names.h"
#include "files/save.h"

namespace baylore::pack {
namespace {

using files::Failure;
using files::Result;

constexpr std::uint64_t kKeyLimit = 4096;
constexpr std::string_view kTrustedFolder = "keys/trusted";

}  // namespace

std::string secret_key_path(const std::string& shop_folder) {
  const std::string home = files::state_home();
  if (home.empty()) return {};
  std::error_code error;
  std::string absolute = std::filesystem::weakly_canonical(shop_folder, error).string();
  if (error) absolute = shop_folder;
  while (absolute.size() > 1 && absolute.back() == '/') absolute.pop_back();
  return files::join(files::join(home, "baylore/keys"),
                     files::hash_hex(absolute).substr(0, 32) + ".key");
}

Result<OwnKey> own_key(files::Disk& disk, const std::string& path) {
  if (path.empty()) {
    return Failure{Failure::Kind::missing,
                   {},
                   "There is no folder to keep a signing key in",
                   "set HOME, or name a key with --key"};
  }
  auto text = disk.read(path, kKeyLimit);
  bool made = false;
  if (!text && text.failure().kind == Failure::Kind::missing) {
    const auto written = files::write_once_private(disk, path, SecretKey::make().file());
    if (!written) return written.failure();
    made = *written;
    // Another program may have been faster: what lies there counts.
    text = disk.read(path, kKeyLimit);
  }
  if (!text) return text.failure();
  const auto key = SecretKey::read(*text);
  if (!key) {
    if (SecretKey::needs_passphrase(*text)) {
      return Failure{Failure::Kind::damaged, path, "is a key with a passphrase",
                     "sign with minisign itself, or name a key without one"};
    }
    return Failure{
        Failure::Kind::damaged, path, "is no signing key",
        "move it away and a new one is made; the other locations then need its public key"};
  }
  return OwnKey{*key, made};
}

const Trusted* TrustedKeys::find(const KeyId& id) const {
  const auto found =
      std::find_if(keys.begin(), keys.end(), [&](const Trusted& one) { return one.key.id == id; });
  return found == keys.end() ? nullptr : &*found;
}

const Trusted* TrustedKeys::find(const PublicKey& key) const {
  const auto found =
      std::find_if(keys.begin(), keys.end(), [&](const Trusted& one) { return one.key == key; });
  return found == keys.end() ? nullptr : &*found;
}

Result<TrustedKeys> read_trusted(files::Disk& disk, const std::string& shop_folder) {
  TrustedKeys trusted;
  const auto listed = disk.list(files::join(shop_folder, kTrustedFolder));
  if (!listed) {
    if (listed.failure().kind == Failure::Kind::missing) return trusted;
    return listed.failure();
  }
  for (const files::Listed& one : *listed) {
    if (one.status.folder || !one.path.ends_with(".pub") ||
        one.path.find('/') != std::string::npos) {
      continue;
    }
    const std::string path = files::join(kTrustedFolder, one.path);
    const auto text = disk.read(files::join(shop_folder, path), kKeyLimit);
    const auto key = text ? read_public_key(*text) : std::nullopt;
    if (key) {
      trusted.keys.push_back({one.path.substr(0, one.path.find('.')), path, *key});
    } else {
      trusted.damaged.push_back({Failure::Kind::damaged, path,
                                 "is no public key, and trusts nobody",
                                 "ask the location for its key again"});
    }
  }
  return trusted;
}

bool is_location(std::string_view name) {
  return files::is_id(name) && name.find('.') == std::string_view::npos;
}

Result<void> may_trust(const TrustedKeys& trusted, const std::string& location,
                       const PublicKey& key) {
  if (!is_location(location)) {
    return Failure{Failure::Kind::other, location, "is no name for a location",
                   "use letters, digits and dashes: hexley-road"};
  }
  for (const Trusted& one : trusted.keys) {
    if (one.key == key && one.location == location) continue;
    if (one.key.id == key.id || one.location == location) {
      return Failure{
          Failure::Kind::exists, one.path, "is trusted already, with another key or name",
          fmt::format("ask {} which key is theirs, and remove the other file", location)};
    }
  }
  return {};
}

Result<void> trust(files::Disk& disk, const std::string& shop_folder, const std::string& location,
                   const PublicKey& key) {
  const auto trusted = read_trusted(disk, shop_folder);
  if (!trusted) return trusted.failure();
  if (auto may = may_trust(*trusted, location, key); !may) return may;
  if (trusted->find(key) != nullptr) {
    // Whoever put it there may have been stopped before its name was flushed.
    return disk.sync_folder(files::join(shop_folder, kTrustedFolder));
  }
  const std::string path = files::join(kTrustedFolder, location + ".pub");
  const auto written =
      files::write_once(disk, files::join(shop_folder, path), public_key_file(key));
  if (!written) return written.failure();
  if (!*written) {
    return Failure{Failure::Kind::exists, path, "is there already and is no key",
                   "look at it and move it away"};
  }
  return {};
}

}  // namespace baylore::pack
