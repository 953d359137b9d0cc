// What a picture file says about itself before any pixel is decoded.
#pragma once

#include <cstdint>
#include <span>

namespace baylore::photo {

struct Frame {
  enum class Format { neither, jpeg, png };
  Format format = Format::neither;
  // Whether the file reaches its end mark and, as far as it carries check sums, they are right. The
  // decoder underneath checks neither: a JPEG that was cut short comes out with a grey lower part,
  // a PNG with a wrong bit as a wrong picture.
  bool whole = false;
  std::uint32_t width = 0;  // as claimed, 0 when nothing is
  std::uint32_t height = 0;
  int orientation = 1;  // 1 .. 8 after Exif
};

// Walks the parts of the file. Reads nothing outside `file`, whatever it holds; time is linear in
// its size.
Frame look_at(std::span<const std::uint8_t> file);

}  // namespace baylore::photo
