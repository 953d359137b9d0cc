// What baylore-photo and its caller agree on: the limits, the exit codes and the form of the
// answer.
//
// The answer on standard output is a header of kHeaderBytes, then width * height pixels of four
// bytes (red, green, blue, 255), rows from the top, nothing after them. The header is 8 bytes of
// kMagic, then width, height and flags as unsigned 32-bit numbers, lowest byte first. Both sides
// are built together, so the form carries no version.
//
// With --jpeg the answer is the same picture as a JPEG file: the header has kJpegMagic, and in
// place of the flags the number of bytes that follow it.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace baylore::photo {

// What a picture may be, before anything of it is decoded.
struct Limits {
  std::size_t file = 0;      // bytes
  std::int64_t pixels = 0;   // width * height
  std::uint64_t memory = 0;  // bytes of address space that decoding may take
  unsigned processor_seconds = 0;
};
// Of the shop: 24 megapixels decode in about 400 MB at worst.
inline constexpr Limits kOfShop = {std::size_t{12} << 20U, 24'000'000, std::uint64_t{512} << 20U,
                                   5};
// As a camera or a telephone leaves it (--large), to be made smaller.
inline constexpr Limits kOfCamera = {std::size_t{32} << 20U, 52'000'000, std::uint64_t{896} << 20U,
                                     15};
inline constexpr int kSideLimit = 8192;       // either side, before anything is decoded
inline constexpr int kDefaultMaxSide = 2048;  // longest side of the answer
inline constexpr int kLargestMaxSide =
    4096;  // what may be asked for: every OpenGL 3 texture holds it

inline constexpr std::size_t kHeaderBytes = 20;
inline constexpr std::array<std::uint8_t, 8> kMagic = {'B', 'a', 'y', 'P', 'i', 'c', 't', '\n'};
inline constexpr std::array<std::uint8_t, 8> kJpegMagic = {'B', 'a', 'y', 'J', 'p', 'e', 'g', '\n'};
inline constexpr std::size_t kJpegLimit = 8U << 20U;  // bytes of a JPEG answer
// Grey and mostly white: line art, which the viewer may tint with its theme.
inline constexpr std::uint32_t kFlagDrawing = 1;

// How baylore-photo ends. Codes below 10 are about the program, from 10 on about the picture.
enum class Exit : int {
  done = 0,
  usage = 2,
  unconfined = 3,  // the system refused the confinement, so nothing was read
  input = 4,       // standard input could not be read
  output = 5,      // standard output could not be written
  empty = 10,
  foreign = 11,
  heavy = 12,
  large = 13,
  long_side = 14,
  damaged = 15,
  memory = 16,
};

// The end in plain words; nullptr for a number that is no Exit, and for done. `large`: kOfCamera
// was the limit.
constexpr const char* words(Exit end, bool large = false) {
  switch (end) {
    case Exit::done:
      return nullptr;
    case Exit::usage:
      return "the picture decoder was called wrongly";
    case Exit::unconfined:
      return "the picture decoder could not be confined on this system";
    case Exit::input:
      return "the picture could not be read";
    case Exit::output:
      return "the decoded picture could not be handed over";
    case Exit::empty:
      return "the file is empty";
    case Exit::foreign:
      return "the file is neither a JPEG nor a PNG picture";
    case Exit::heavy:
      return large ? "the file is larger than 32 MB" : "the file is larger than 12 MB";
    case Exit::large:
      return large ? "the picture is larger than 52 megapixels"
                   : "the picture is larger than 24 megapixels";
    case Exit::long_side:
      return "the picture is longer than 8192 pixels";
    case Exit::damaged:
      return "the picture is damaged";
    case Exit::memory:
      return "the picture needs too much memory";
  }
  return nullptr;
}

}  // namespace baylore::photo
