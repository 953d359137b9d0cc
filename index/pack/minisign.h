// Signatures and keys in the minisign format (Ed25519; the text forms as minisign 0.11 writes
// them), so that a person with that tool alone can check what we signed, and we what they did.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace baylore::pack {

using KeyId = std::array<std::uint8_t, 8>;

// The id as people read it: 16 capital hexadecimal digits, "2EBC06966C8A5475".
std::string key_id_text(const KeyId& id);

struct PublicKey {
  KeyId id{};
  std::array<std::uint8_t, 32> key{};
  // The one line that is told to the other location: "RWR1VIps...".
  [[nodiscard]] std::string line() const;
  bool operator==(const PublicKey&) const = default;
};

// A file of two lines, or the one line alone. Nothing when it is no such key.
std::optional<PublicKey> read_public_key(std::string_view text);
std::string public_key_file(const PublicKey& key);

// Wipes itself.
class SecretKey {
 public:
  // A new pair from the system's randomness.
  static SecretKey make();
  // The file of two lines. Nothing when it is damaged; one that needs a passphrase is told by
  // needs_passphrase().
  static std::optional<SecretKey> read(std::string_view text);
  static bool needs_passphrase(std::string_view text);

  SecretKey(const SecretKey&) = default;
  SecretKey& operator=(const SecretKey&) = default;
  ~SecretKey();

  // As `minisign -G -W` writes it, without a passphrase. A secret: for the owner alone.
  [[nodiscard]] std::string file() const;
  [[nodiscard]] PublicKey public_key() const;
  // The file of four lines, prehashed: Ed25519 over BLAKE2b-512 of the bytes, then Ed25519 over
  // signature and comment. The comment is one line, at most kLongestComment bytes. The same input
  // gives the same text.
  [[nodiscard]] std::string sign(std::string_view bytes, std::string_view trusted_comment) const;

 private:
  SecretKey() = default;
  KeyId id_{};
  std::array<std::uint8_t, 64> key_{};
};

inline constexpr std::size_t kLongestComment = 1024;

struct Signature {
  bool prehashed = false;  // the legacy form signs the bytes themselves
  KeyId id{};
  std::array<std::uint8_t, 64> of_bytes{};
  std::string comment;
  std::array<std::uint8_t, 64> of_comment{};
};

// Nothing when the text is no such signature, or has anything after its four lines.
std::optional<Signature> read_signature(std::string_view text);

// Whether both signatures, of the bytes and of the comment, are this key's. The first line's
// comment is signed by nobody and counts for nothing.
bool is_signed(std::string_view bytes, const Signature& signature, const PublicKey& key);

}  // namespace baylore::pack
