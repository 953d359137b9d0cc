#include "pack/digest.h"

#include <nettle/nettle-meta.h>

#include <array>
#include <cstdint>

namespace baylore::pack {
namespace {

const nettle_hash* hash_of(std::string_view name) {
  static constexpr std::array<std::pair<std::string_view, const nettle_hash*>, 6> kHashes = {
      {{"md5", &nettle_md5},
       {"sha1", &nettle_sha1},
       {"sha224", &nettle_sha224},
       {"sha256", &nettle_sha256},
       {"sha384", &nettle_sha384},
       {"sha512", &nettle_sha512}}};
  for (const auto& [known, hash] : kHashes) {
    if (known == name) return hash;
  }
  return nullptr;
}

}  // namespace

struct Digests::Running {
  std::string name;
  const nettle_hash* hash = nullptr;
  // What the library keeps between calls, aligned for any type.
  std::vector<std::max_align_t> context;
};

bool is_digest(std::string_view name) { return hash_of(name) != nullptr; }

std::size_t digest_digits(std::string_view name) {
  const nettle_hash* hash = hash_of(name);
  return hash == nullptr ? 0 : std::size_t{2} * hash->digest_size;
}

Digests::Digests(const std::vector<std::string>& names) {
  for (const std::string& name : names) {
    const nettle_hash* hash = hash_of(name);
    if (hash == nullptr) continue;
    auto running = std::make_unique<Running>();
    running->name = name;
    running->hash = hash;
    running->context.resize(hash->context_size / sizeof(std::max_align_t) + 1);
    hash->init(running->context.data());
    running_.push_back(std::move(running));
  }
}

Digests::Digests(Digests&&) noexcept = default;
Digests& Digests::operator=(Digests&&) noexcept = default;
Digests::~Digests() = default;

void Digests::take(std::string_view bytes) {
  for (const auto& running : running_) {
    running->hash->update(running->context.data(), bytes.size(),
                          reinterpret_cast<const std::uint8_t*>(bytes.data()));
  }
}

std::map<std::string, std::string> Digests::finish() {
  constexpr std::string_view kHex = "0123456789abcdef";
  std::map<std::string, std::string> found;
  for (const auto& running : running_) {
    std::vector<std::uint8_t> bytes(running->hash->digest_size);
    running->hash->digest(running->context.data(), bytes.size(), bytes.data());
    std::string& text = found[running->name];
    for (const std::uint8_t byte : bytes) {
      text += kHex[byte >> 4U];
      text += kHex[byte & 15U];
    }
  }
  running_.clear();
  return found;
}

std::string sha512_hex(std::string_view bytes) {
  Digests digests({"sha512"});
  digests.take(bytes);
  return digests.finish()["sha512"];
}

}  // namespace baylore::pack
