#include "viewer/photo/decoder/frame.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>

#include "shop/exif.h"

namespace baylore::photo {
namespace {

using Bytes = std::span<const std::uint8_t>;

bool starts_with(Bytes file, Bytes start) {
  return file.size() >= start.size() && std::equal(start.begin(), start.end(), file.begin());
}

// Most significant byte first, as both formats have it. `at + width` lies within `bytes`.
std::uint32_t number(Bytes bytes, std::size_t at, std::size_t width) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < width; ++i) value = (value << 8U) | bytes[at + i];
  return value;
}

// A JPEG file is a row of segments: FF, a marker byte, a two-byte length that counts itself,
// content. Markers 01 and D0 .. D9 stand alone. After a scan header (DA) come compressed bytes in
// which FF is always followed by 00 or by a restart marker (D0 .. D7); the next other marker ends
// them. Stray bytes between segments are skipped, as decoders do. C0 .. CF but C4, C8 and CC start
// a frame: precision, height, width. Source: ITU-T T.81 annex B, from memory.
void walk_jpeg(Bytes file, Frame& frame) {
  bool oriented = false;
  std::size_t at = 2;
  while (at + 1 < file.size()) {
    const std::uint8_t marker = file[at + 1];
    if (file[at] != 0xFF || marker == 0xFF) {
      ++at;
      continue;
    }
    at += 2;
    if (marker == 0xD9) {
      frame.whole = true;
      return;
    }
    if (marker <= 0x01 || (marker >= 0xD0 && marker <= 0xD8)) continue;
    if (at + 2 > file.size()) return;
    const std::size_t length = number(file, at, 2);
    if (length < 2 || length > file.size() - at) return;
    const Bytes content = file.subspan(at + 2, length - 2);
    const bool starts_frame =
        marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
    if (starts_frame && content.size() >= 5 && frame.width == 0) {
      frame.height = number(content, 1, 2);
      frame.width = number(content, 3, 2);
    }
    if (marker == 0xE1 && !oriented) {
      const int orientation = shop::exif_orientation(content);
      oriented = orientation != 0;
      if (oriented) frame.orientation = orientation;
    }
    at += length;
  }
}

// CRC-32 as PNG has it: ISO 3309, reflected polynomial EDB88320. Source: PNG specification, annex
// on the CRC, from memory.
constexpr std::array<std::uint32_t, 256> kCrcTable = [] {
  std::array<std::uint32_t, 256> table{};
  for (std::uint32_t n = 0; n < 256; ++n) {
    std::uint32_t c = n;
    for (int k = 0; k < 8; ++k) c = (c & 1U) != 0 ? 0xEDB88320U ^ (c >> 1U) : c >> 1U;
    table[n] = c;
  }
  return table;
}();

std::uint32_t crc(Bytes bytes) {
  std::uint32_t c = 0xFFFFFFFFU;
  for (const std::uint8_t byte : bytes) c = kCrcTable[(c ^ byte) & 0xFFU] ^ (c >> 8U);
  return ~c;
}

// A PNG file is eight fixed bytes, then chunks: a four-byte length of the data, a four-byte name,
// the data, the check sum of name and data. IHDR comes first and starts with width and height, IEND
// ends the file. A name with a capital first letter is one a decoder needs; only those are held to
// their sums. Source: PNG specification (ISO/IEC 15948), from memory.
void walk_png(Bytes file, Frame& frame) {
  std::size_t at = 8;
  for (bool first = true; file.size() - at >= 12; first = false) {
    const std::size_t length = number(file, at, 4);
    if (length > file.size() - at - 12) return;
    const Bytes name = file.subspan(at + 4, 4);
    const std::string_view text(reinterpret_cast<const char*>(name.data()), name.size());
    if (first) {
      if (text != "IHDR" || length < 8) return;
      frame.width = number(file, at + 8, 4);
      frame.height = number(file, at + 12, 4);
    }
#ifndef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION  // a fuzzer never guesses a check sum
    const bool needed = (name[0] & 0x20U) == 0;
    if (needed && crc(file.subspan(at + 4, 4 + length)) != number(file, at + 8 + length, 4)) return;
#endif
    if (text == "IEND") {
      frame.whole = true;
      return;
    }
    at += 12 + length;
  }
}

}  // namespace

Frame look_at(Bytes file) {
  static constexpr std::array<std::uint8_t, 3> kJpeg = {0xFF, 0xD8, 0xFF};
  static constexpr std::array<std::uint8_t, 8> kPng = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
  Frame frame;
  if (starts_with(file, kJpeg)) {
    frame.format = Frame::Format::jpeg;
    walk_jpeg(file, frame);
  } else if (starts_with(file, kPng)) {
    frame.format = Frame::Format::png;
    walk_png(file, frame);
  }
  return frame;
}

}  // namespace baylore::photo
