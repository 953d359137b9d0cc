// The check sums that BagIt manifests may use, by their BagIt names.
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::pack {

// "md5", "sha1", "sha224", "sha256", "sha384", "sha512"; false for any other name.
bool is_digest(std::string_view name);
// Hexadecimal digits of such a check sum; 0 for an unknown name.
std::size_t digest_digits(std::string_view name);

// Several check sums of one stream of bytes at once.
class Digests {
 public:
  // Unknown names are left out.
  explicit Digests(const std::vector<std::string>& names);
  Digests(Digests&&) noexcept;
  Digests& operator=(Digests&&) noexcept;
  Digests(const Digests&) = delete;
  Digests& operator=(const Digests&) = delete;
  ~Digests();

  void take(std::string_view bytes);
  // By name, in lower-case hexadecimal digits. Once.
  [[nodiscard]] std::map<std::string, std::string> finish();

 private:
  struct Running;
  std::vector<std::unique_ptr<Running>> running_;
};

// SHA-512 of the bytes in lower-case hexadecimal digits.
std::string sha512_hex(std::string_view bytes);

}  // namespace baylore::pack
