// Any bytes through the picture decoder, in this process and without the confinement.
//
// Debian 12's stb_image 2.27 is known to write past a Huffman table on damaged JPEGs, and its
// arithmetic to overflow: known.txt names both, and the confined process is the answer to those.
// Anything else is a fault to mend. The last bit of the input picks the smaller answer.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "shop/picture_file.h"
#include "viewer/photo/decoder/decode.h"
#include "viewer/photo/decoder/encode.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace baylore::photo;
  const int max_side = size != 0 && (data[size - 1] & 1U) != 0 ? 64 : kDefaultMaxSide;
  const Decoded picture = decode({data, size}, max_side);
  if (picture.end != Exit::done) return 0;
  if (picture.width < 1 || picture.width > max_side || picture.height < 1 ||
      picture.height > max_side) {
    std::abort();
  }
  // Every pixel is read, so that a sanitizer sees one that was never set, and is opaque as
  // promised.
  const std::uint8_t* pixel = picture.rgba.get();
  const std::size_t count =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
  unsigned sum = 0;
  for (std::size_t i = 0; i < count; ++i, pixel += 4) {
    sum += static_cast<unsigned>(pixel[0] + pixel[1] + pixel[2]);
    if (pixel[3] != 255) std::abort();
  }
  static volatile unsigned used;
  used = sum;
  // Taken in, it is a JPEG that tells nothing but the picture.
  const Encoded encoded = encode(picture);
  if (encoded.end != Exit::done) std::abort();
  const std::string_view jpeg(reinterpret_cast<const char*>(encoded.jpeg.get()), encoded.size);
  const baylore::shop::PictureFile file = baylore::shop::read_picture_file(jpeg);
  if (!file.whole || file.tells_more || file.orientation != 1) std::abort();
  const Decoded again = decode({encoded.jpeg.get(), encoded.size}, max_side);
  if (again.end != Exit::done || again.width != picture.width || again.height != picture.height)
    std::abort();
  return 0;
}
