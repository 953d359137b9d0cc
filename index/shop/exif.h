// The one thing a camera says about a picture that changes how it is shown. It stands alone: the
// picture decoder has it in its cage.
#pragma once

#include <cstdint>
#include <span>

namespace baylore::shop {

// The Orientation tag (274) in the content of a JPEG file's APP1 segment: 1 upright, 2 .. 8
// mirrored or turned; 0 when the segment is not Exif, 1 when it is and the tag is missing or makes
// no sense. Reads nothing outside `segment`, whatever it holds. Source: Exif 2.3 (CIPA DC-008) and
// TIFF 6.0, from memory.
int exif_orientation(std::span<const std::uint8_t> segment);

}  // namespace baylore::shop
