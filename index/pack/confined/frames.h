// What baylore-container writes: its container on standard input, frames on standard output. A
// frame is one letter, the number of bytes that follow (four, lowest first), and these.
//
//   e  an entry: 1 for a folder or 0, its size (eight bytes, lowest first), its name
//   r  why the container is refused: rule, path and words, a zero byte between
//   l  the listing is through; ends here when it is refused
//   b  bytes of the next file, in the order of the entries
//   f  that file is through
//   d  all is through; `r` may stand before it
#pragma once

#include <cstddef>
#include <cstdint>

#include "confine/cage.h"

namespace baylore::pack::frames {

inline constexpr std::size_t kHead = 5;
inline constexpr std::size_t kMost = std::size_t{1} << 16U;  // bytes in one frame

enum class Exit {
  done = 0,
  unconfined = 3,  // the system refused a part of the cage: nothing was read
  input = 4,       // the file could not be read
  output = 5,
};

// The directory of 60,000 entries twice, libarchive's own, and its libraries.
inline constexpr confine::Cage kCage{std::uint64_t{320} << 20U, 120, std::uint64_t{4} << 30U, true};

}  // namespace baylore::pack::frames
