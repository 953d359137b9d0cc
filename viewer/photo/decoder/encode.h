// Pixels to a JPEG file that tells nothing but the picture.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>

#include "viewer/photo/decoder/decode.h"

namespace baylore::photo {

struct Encoded {
  Exit end = Exit::memory;  // done or memory
  std::unique_ptr<std::uint8_t, Free> jpeg;
  std::size_t size = 0;  // bytes, at most kJpegLimit
};

// A baseline JPEG of the pixels: start, JFIF header, tables, one frame, one scan, end. Nothing of
// the file the pixels came from goes into it. `picture` is one that is done. Memory: kJpegLimit.
Encoded encode(const Decoded& picture);

}  // namespace baylore::photo
