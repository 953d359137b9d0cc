#include "pack/minisign.h"

#include <sodium.h>

#include <algorithm>

namespace baylore::pack {
namespace {

using Bytes = std::string;

constexpr std::string_view kUntrusted = "untrusted comment: ";
constexpr std::string_view kTrusted = "trusted comment: ";
constexpr std::size_t kIdSize = 8;
constexpr std::size_t kSecretSize = 64;
constexpr std::size_t kSignatureSize = 64;
constexpr std::size_t kChecksumSize = 32;

void start_sodium() {
  static const int started = sodium_init();
  static_cast<void>(started);
}

const unsigned char* bytes_of(std::string_view text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}

unsigned char* writable(Bytes& bytes) { return reinterpret_cast<unsigned char*>(bytes.data()); }

// The first line, taken off `text`; its line ending is dropped.
std::string_view take_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

// Exactly `size` bytes in base 64 with padding and nothing else.
std::optional<Bytes> read_base64(std::string_view text, std::size_t size) {
  start_sodium();
  Bytes bytes(size, '\0');
  std::size_t length = 0;
  const char* end = nullptr;
  if (sodium_base642bin(writable(bytes), bytes.size(), text.data(), text.size(), nullptr, &length,
                        &end, sodium_base64_VARIANT_ORIGINAL) != 0 ||
      length != size || end != text.data() + text.size()) {
    return std::nullopt;
  }
  return bytes;
}

std::string base64(const Bytes& bytes) {
  start_sodium();
  std::string text(sodium_base64_encoded_len(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
  sodium_bin2base64(text.data(), text.size(), bytes_of(bytes), bytes.size(),
                    sodium_base64_VARIANT_ORIGINAL);
  text.pop_back();  // the terminator
  return text;
}

bool is_algorithm(const Bytes& bytes, std::string_view two) {
  return std::string_view(bytes).substr(0, 2) == two;
}

template <std::size_t kSize>
void copy_at(const Bytes& bytes, std::size_t at, std::array<std::uint8_t, kSize>& into) {
  std::copy_n(bytes_of(bytes) + at, kSize, into.begin());
}

template <typename Range>
void put(Bytes& into, const Range& range) {
  into.append(reinterpret_cast<const char*>(range.data()), range.size());
}

std::array<std::uint8_t, crypto_generichash_BYTES_MAX> prehash(std::string_view bytes) {
  start_sodium();
  std::array<std::uint8_t, crypto_generichash_BYTES_MAX> hash{};
  crypto_generichash(hash.data(), hash.size(), bytes_of(bytes), bytes.size(), nullptr, 0);
  return hash;
}

// The check sum inside a secret key's file: over "Ed", id and key.
std::array<std::uint8_t, kChecksumSize> checksum_of(const KeyId& id,
                                                    const std::array<std::uint8_t, 64>& key) {
  Bytes bytes;
  put(bytes, std::string_view("Ed"));
  put(bytes, id);
  put(bytes, key);
  std::array<std::uint8_t, kChecksumSize> sum{};
  crypto_generichash(sum.data(), sum.size(), bytes_of(bytes), bytes.size(), nullptr, 0);
  sodium_memzero(bytes.data(), bytes.size());
  return sum;
}

// Whether the second half of a secret key is the public key of the first.
bool fits_itself(const std::array<std::uint8_t, kSecretSize>& key) {
  start_sodium();
  std::array<std::uint8_t, 32> open{};
  std::array<std::uint8_t, kSecretSize> made{};
  crypto_sign_seed_keypair(open.data(), made.data(), key.data());
  const bool same = made == key;
  sodium_memzero(made.data(), made.size());
  return same;
}

// What a secret key's file holds before id, key and check sum: "Ed", how it is locked, "B2", then
// the salt and the two limits of the passphrase's function.
constexpr std::size_t kSecretHead = 2 + 2 + 2 + 32 + 8 + 8;
constexpr std::size_t kSecretFile = kSecretHead + kIdSize + kSecretSize + kChecksumSize;

std::optional<Bytes> secret_bytes(std::string_view text) {
  const std::string_view first = take_line(text);
  if (!first.starts_with(kUntrusted)) return std::nullopt;
  auto bytes = read_base64(take_line(text), kSecretFile);
  if (!bytes || !is_algorithm(*bytes, "Ed") || std::string_view(*bytes).substr(4, 2) != "B2")
    return std::nullopt;
  return bytes;
}

}  // namespace

std::string key_id_text(const KeyId& id) {
  // The id is a number whose lowest byte comes first.
  constexpr std::string_view kHex = "0123456789ABCDEF";
  std::string text;
  for (auto byte = id.rbegin(); byte != id.rend(); ++byte) {
    text += kHex[*byte >> 4U];
    text += kHex[*byte & 15U];
  }
  return text;
}

std::string PublicKey::line() const {
  Bytes bytes;
  put(bytes, std::string_view("Ed"));
  put(bytes, id);
  put(bytes, key);
  return base64(bytes);
}

std::optional<PublicKey> read_public_key(std::string_view text) {
  std::string_view line = take_line(text);
  if (line.starts_with(kUntrusted)) line = take_line(text);
  const auto bytes = read_base64(line, 2 + kIdSize + 32);
  if (!bytes || !is_algorithm(*bytes, "Ed")) return std::nullopt;
  PublicKey key;
  copy_at(*bytes, 2, key.id);
  copy_at(*bytes, 2 + kIdSize, key.key);
  return key;
}

std::string public_key_file(const PublicKey& key) {
  return std::string(kUntrusted) + "minisign public key " + key_id_text(key.id) + "\n" +
         key.line() + "\n";
}

SecretKey::~SecretKey() { sodium_memzero(key_.data(), key_.size()); }

SecretKey SecretKey::make() {
  start_sodium();
  SecretKey made;
  std::array<std::uint8_t, 32> open{};
  crypto_sign_keypair(open.data(), made.key_.data());
  randombytes_buf(made.id_.data(), made.id_.size());
  return made;
}

std::optional<SecretKey> SecretKey::read(std::string_view text) {
  auto bytes = secret_bytes(text);
  if (!bytes) return std::nullopt;
  const bool open = (*bytes)[2] == 0 && (*bytes)[3] == 0;
  SecretKey key;
  copy_at(*bytes, kSecretHead, key.id_);
  copy_at(*bytes, kSecretHead + kIdSize, key.key_);
  std::array<std::uint8_t, kChecksumSize> sum{};
  copy_at(*bytes, kSecretHead + kIdSize + kSecretSize, sum);
  sodium_memzero(bytes->data(), bytes->size());
  // The tool leaves the check sum zero where there is no passphrase. Whether the key's two halves
  // belong together can be told all the same.
  const bool none = sum == std::array<std::uint8_t, kChecksumSize>{};
  if (!open || (!none && sum != checksum_of(key.id_, key.key_)) || !fits_itself(key.key_))
    return std::nullopt;
  return key;
}

bool SecretKey::needs_passphrase(std::string_view text) {
  const auto bytes = secret_bytes(text);
  return bytes && (*bytes)[2] == 'S' && (*bytes)[3] == 'c';
}

std::string SecretKey::file() const {
  Bytes bytes;
  put(bytes, std::string_view("Ed"));
  put(bytes, std::array<std::uint8_t, 2>{});  // no passphrase
  put(bytes, std::string_view("B2"));
  put(bytes, std::array<std::uint8_t, 32 + 8 + 8>{});
  put(bytes, id_);
  put(bytes, key_);
  put(bytes, checksum_of(id_, key_));
  std::string text =
      std::string(kUntrusted) + "minisign secret key, no passphrase\n" + base64(bytes) + "\n";
  sodium_memzero(bytes.data(), bytes.size());
  return text;
}

PublicKey SecretKey::public_key() const {
  PublicKey open;
  open.id = id_;
  // The second half of an Ed25519 secret key as libsodium keeps it.
  std::copy_n(key_.begin() + 32, 32, open.key.begin());
  return open;
}

std::string SecretKey::sign(std::string_view bytes, std::string_view trusted_comment) const {
  start_sodium();
  std::string comment(trusted_comment.substr(0, kLongestComment));
  std::replace_if(
      comment.begin(), comment.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
  const auto hash = prehash(bytes);
  std::array<std::uint8_t, kSignatureSize> signature{};
  crypto_sign_detached(signature.data(), nullptr, hash.data(), hash.size(), key_.data());
  Bytes both;
  put(both, signature);
  put(both, comment);
  std::array<std::uint8_t, kSignatureSize> global{};
  crypto_sign_detached(global.data(), nullptr, bytes_of(both), both.size(), key_.data());

  Bytes line;
  put(line, std::string_view("ED"));
  put(line, id_);
  put(line, signature);
  Bytes last;
  put(last, global);
  return std::string(kUntrusted) + "signature from minisign secret key\n" + base64(line) + "\n" +
         std::string(kTrusted) + comment + "\n" + base64(last) + "\n";
}

std::optional<Signature> read_signature(std::string_view text) {
  if (text.find('\0') != std::string_view::npos) return std::nullopt;
  if (!take_line(text).starts_with(kUntrusted)) return std::nullopt;
  const auto bytes = read_base64(take_line(text), 2 + kIdSize + kSignatureSize);
  const std::string_view comment = take_line(text);
  const auto global = read_base64(take_line(text), kSignatureSize);
  const bool more = text.find_first_not_of(" \t\r\n") != std::string_view::npos;
  if (!bytes || !global || more || !comment.starts_with(kTrusted)) return std::nullopt;
  Signature signature;
  signature.prehashed = is_algorithm(*bytes, "ED");
  if (!signature.prehashed && !is_algorithm(*bytes, "Ed")) return std::nullopt;
  copy_at(*bytes, 2, signature.id);
  copy_at(*bytes, 2 + kIdSize, signature.of_bytes);
  signature.comment = std::string(comment.substr(kTrusted.size()));
  copy_at(*global, 0, signature.of_comment);
  return signature;
}

bool is_signed(std::string_view bytes, const Signature& signature, const PublicKey& key) {
  start_sodium();
  if (signature.id != key.id) return false;
  Bytes both;
  put(both, signature.of_bytes);
  put(both, signature.comment);
  if (crypto_sign_verify_detached(signature.of_comment.data(), bytes_of(both), both.size(),
                                  key.key.data()) != 0) {
    return false;
  }
  if (!signature.prehashed) {
    return crypto_sign_verify_detached(signature.of_bytes.data(), bytes_of(bytes), bytes.size(),
                                       key.key.data()) == 0;
  }
  const auto hash = prehash(bytes);
  return crypto_sign_verify_detached(signature.of_bytes.data(), hash.data(), hash.size(),
                                     key.key.data()) == 0;
}

}  // namespace baylore::pack
