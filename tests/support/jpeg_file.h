// JPEG files made and read by libjpeg, which shares nothing with what is tested.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace baylore::test {

using Rgb = std::array<int, 3>;

// Quarters of red and green above, blue and white below, as they are stored; every segment is a
// marker (0xE1 for APP1) and its content.
std::string make_jpeg(int width, int height,
                      const std::vector<std::pair<int, std::string>>& segments = {});

// The content of an APP1 segment as a telephone writes it: Orientation, Make, and a GPS directory
// with a latitude and a longitude. Layout: Exif 2.32 (CIPA DC-008, JEITA CP-3451) over TIFF 6.0,
// from memory.
std::string exif_of(int orientation);

struct ReadJpeg {
  int width = 0;
  int height = 0;
  std::vector<int> markers;  // of application segments and comments, in order
  std::string rgb;
  [[nodiscard]] Rgb at(int x, int y) const;
};
// Nothing when libjpeg finds an error or a warning in it.
std::optional<ReadJpeg> read_jpeg(std::string_view bytes);

}  // namespace baylore::test
