// One JPEG or PNG picture to bounded, upright RGBA.
#pragma once

#include <cstdint>
#include <cstdlib>
#include <memory>
#include <span>

#include "viewer/photo/answer.h"

namespace baylore::photo {

struct Free {
  void operator()(std::uint8_t* p) const { std::free(p); }
};

struct Decoded {
  Exit end = Exit::damaged;  // done, or one of the codes from 10 on; the rest holds only when done
  int width = 0;             // pixels, 1 .. max_side
  int height = 0;
  bool drawing = false;  // grey throughout and mostly white
  std::unique_ptr<std::uint8_t, Free>
      rgba;  // width * height * 4 bytes, rows from the top, alpha 255
};

// Decodes `file`: transparent parts are laid on white paper, the picture is turned upright by its
// Exif orientation and, when its longest side is above `max_side` (1 .. kLargestMaxSide), averaged
// down to it; never enlarged. Never throws and never takes more than one block of 256 MiB. The JPEG
// decoder underneath is known to write out of bounds on damaged files, so call this only after
// confine() or in a fuzzer.
Decoded decode(std::span<const std::uint8_t> file, int max_side, const Limits& limits = kOfShop);

}  // namespace baylore::photo
