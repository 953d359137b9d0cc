#include "shop/exif.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>

namespace baylore::shop {
namespace {

using Bytes = std::span<const std::uint8_t>;

// A phone writes a dozen entries; more than this is not a camera's work.
constexpr std::uint32_t kEntryLimit = 512;

// A TIFF structure: numbers in the byte order its first two bytes name, offsets from its start.
class Tiff {
 public:
  explicit Tiff(Bytes bytes) : bytes_(bytes), motorola_(bytes.size() > 1 && bytes[0] == 'M') {}

  [[nodiscard]] std::optional<std::uint32_t> number(std::size_t at, std::size_t width) const {
    if (width > bytes_.size() || at > bytes_.size() - width) return std::nullopt;
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < width; ++i) {
      value = (value << 8U) | bytes_[at + (motorola_ ? i : width - 1 - i)];
    }
    return value;
  }

 private:
  Bytes bytes_;
  bool motorola_;
};

}  // namespace

// Six bytes "Exif", then a TIFF header that leads to the first directory, a count and entries of
// twelve bytes: tag, type, count, value. The entry looked for has tag 0x0112, type 3 (SHORT) and
// one value.
int exif_orientation(Bytes segment) {
  static constexpr std::array<std::uint8_t, 6> kExif = {'E', 'x', 'i', 'f', 0, 0};
  if (segment.size() < kExif.size() || !std::equal(kExif.begin(), kExif.end(), segment.begin())) {
    return 0;
  }
  const Bytes bytes = segment.subspan(kExif.size());
  const bool ordered =
      bytes.size() > 1 && bytes[0] == bytes[1] && (bytes[0] == 'I' || bytes[0] == 'M');
  const Tiff tiff(bytes);
  if (!ordered || tiff.number(2, 2) != 42U) return 1;
  const std::size_t directory = tiff.number(4, 4).value_or(0);
  const std::uint32_t entries = std::min(tiff.number(directory, 2).value_or(0), kEntryLimit);
  for (std::uint32_t i = 0; i < entries; ++i) {
    const std::size_t entry = directory + 2 + std::size_t{12} * i;
    if (tiff.number(entry, 2) != 0x0112U) continue;
    const std::uint32_t value = tiff.number(entry + 8, 2).value_or(1);
    const bool sound = tiff.number(entry + 2, 2) == 3U && tiff.number(entry + 4, 4) == 1U &&
                       value >= 1 && value <= 8;
    return sound ? static_cast<int>(value) : 1;
  }
  return 1;
}

}  // namespace baylore::shop
