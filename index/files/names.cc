#include "files/names.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

namespace baylore::files {
namespace {

constexpr std::size_t kKeyBytes = 32;

// libsodium wants to be started once; a function's static is, whichever thread comes first.
void start_sodium() {
  static const int started = sodium_init();
  static_cast<void>(started);
}

std::string from_environment(const char* variable, const char* below_home) {
  // XDG base directory specification 0.8: a path that is not absolute is to be ignored.
  const char* given = std::getenv(variable);
  if (given != nullptr && given[0] == '/') return given;
  const char* home = std::getenv("HOME");
  if (home == nullptr || home[0] != '/') return {};
  return join(home, below_home);
}

}  // namespace

std::string with_program(const std::string& installed, const std::string& built) {
  std::error_code error;
  const std::filesystem::path self = std::filesystem::read_symlink("/proc/self/exe", error);
  if (!error) {
    const std::filesystem::path path = self.parent_path() / installed;
    if (std::filesystem::exists(path, error)) return path.lexically_normal().string();
  }
  return built;
}

std::string new_id() {
  constexpr std::string_view kAlphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";  // Crockford's base 32
  start_sodium();
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data() + 6, 10);
  auto milliseconds = static_cast<std::uint64_t>(now_ns() / 1000000);
  for (std::size_t i = 6; i-- > 0;) {
    bytes[i] = static_cast<unsigned char>(milliseconds & 0xFFU);
    milliseconds >>= 8U;
  }
  // 128 bits in 26 digits of 5: the first digit holds the top 3 bits only.
  std::string id;
  unsigned held = 0;
  int bits = 2;  // two bits of nothing in front
  for (const unsigned char byte : bytes) {
    held = (held << 8U) | byte;
    bits += 8;
    while (bits >= 5) {
      bits -= 5;
      id += kAlphabet[(held >> static_cast<unsigned>(bits)) & 31U];
    }
  }
  return id;
}

std::string hash_hex(std::string_view bytes) {
  start_sodium();
  constexpr std::size_t kSize = 32;
  std::array<unsigned char, kSize> digest{};
  crypto_generichash(digest.data(), kSize, reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size(), nullptr, 0);
  std::array<char, kSize * 2 + 1> text{};
  sodium_bin2hex(text.data(), text.size(), digest.data(), kSize);
  return text.data();
}

std::string new_key() {
  start_sodium();
  std::array<unsigned char, kKeyBytes> key{};
  randombytes_buf(key.data(), key.size());
  std::array<char, kKeyBytes * 2 + 1> text{};
  sodium_bin2hex(text.data(), text.size(), key.data(), key.size());
  return text.data();
}

std::string keyed_hash_hex(std::string_view key, std::string_view bytes) {
  start_sodium();
  std::array<unsigned char, kKeyBytes> secret{};
  std::size_t length = 0;
  if (key.size() != kKeyBytes * 2 ||
      sodium_hex2bin(secret.data(), secret.size(), key.data(), key.size(), nullptr, &length,
                     nullptr) != 0 ||
      length != kKeyBytes)
    return {};
  constexpr std::size_t kSize = 16;
  std::array<unsigned char, kSize> digest{};
  crypto_generichash(digest.data(), kSize, reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size(), secret.data(), secret.size());
  std::array<char, kSize * 2 + 1> text{};
  sodium_bin2hex(text.data(), text.size(), digest.data(), kSize);
  return text.data();
}

bool is_id(std::string_view id) {
  if (id.empty() || id.size() > 64 || id.find_first_not_of('.') == std::string_view::npos)
    return false;
  return std::all_of(id.begin(), id.end(), [](char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' ||
           c == '_' || c == '-';
  });
}

std::string join(std::string_view folder, std::string_view name) {
  if (folder.empty()) return std::string(name);
  if (name.empty()) return std::string(folder);
  std::string out(folder);
  if (out.back() != '/') out += '/';
  return out += name;
}

std::string folder_of(std::string_view path) {
  const std::size_t slash = path.rfind('/');
  if (slash == std::string_view::npos) return {};
  return std::string(path.substr(0, std::max<std::size_t>(slash, 1)));
}

std::string name_of(std::string_view path) {
  const std::size_t slash = path.rfind('/');
  return std::string(slash == std::string_view::npos ? path : path.substr(slash + 1));
}

std::string cache_home() { return from_environment("XDG_CACHE_HOME", ".cache"); }
std::string state_home() { return from_environment("XDG_STATE_HOME", ".local/state"); }

std::int64_t now_ns() {
  const auto since = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::nanoseconds>(since).count();
}

std::string now_text() {
  const std::int64_t now = now_ns();
  const auto seconds = static_cast<std::time_t>(now / 1000000000);
  std::tm local{};
  localtime_r(&seconds, &local);
  const long offset = local.tm_gmtoff / 60;
  const long minutes = offset < 0 ? -offset : offset;
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}{}{:02}:{:02}", local.tm_year + 1900,
                     local.tm_mon + 1, local.tm_mday, local.tm_hour, local.tm_min, local.tm_sec,
                     (now / 1000000) % 1000, offset < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

}  // namespace baylore::files
