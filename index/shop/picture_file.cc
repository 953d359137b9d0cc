#include "shop/picture_file.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

#include "shop/exif.h"

namespace baylore::shop {
namespace {

constexpr std::string_view kJpegStart = "\xFF\xD8\xFF";
constexpr std::string_view kPngStart = "\x89PNG\r\n\x1A\n";
constexpr std::string_view kExif("Exif\0\0", 6);
constexpr std::string_view kJfif("JFIF\0", 5);
constexpr std::string_view kProfile("ICC_PROFILE\0", 12);
constexpr std::string_view kAdobe("Adobe", 5);

std::uint8_t byte_at(std::string_view bytes, std::size_t at) {
  return static_cast<std::uint8_t>(bytes[at]);
}

// Most significant byte first; `at + width` lies within `bytes`.
std::uint32_t number(std::string_view bytes, std::size_t at, std::size_t width) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < width; ++i) value = (value << 8U) | byte_at(bytes, at + i);
  return value;
}

// An Exif segment, marker and length included, that holds the Orientation entry alone.
std::string exif_segment(int orientation) {
  std::string segment("\xFF\xE1\x00\x22", 4);
  segment += kExif;
  segment += std::string_view("MM\0\x2A\0\0\0\x08", 8);
  segment += std::string_view("\0\x01\x01\x12\0\x03\0\0\0\x01\0", 11);
  segment += static_cast<char>(orientation);
  segment += std::string_view("\0\0\0\0\0\0", 6);
  return segment;
}

// Whether an application segment or comment belongs to the picture.
bool jpeg_needs(std::uint8_t marker, std::string_view content) {
  if (marker == 0xE0) return content.starts_with(kJfif);
  if (marker == 0xE2) return content.starts_with(kProfile);
  if (marker == 0xEE) return content.starts_with(kAdobe);
  return (marker < 0xE1 || marker > 0xEF) && marker != 0xFE;
}

// The row of segments: FF, a marker byte, a two-byte length that counts itself, content. Markers 01
// and D0 .. D9 stand alone. After a scan header (DA) come compressed bytes in which FF is followed
// by 00 or a restart marker (D0 .. D7) until the next other marker. Fill bytes (FF) before a marker
// and strays are passed over, as decoders do; they are not kept.
void read_jpeg(std::string_view bytes, PictureFile& file) {
  std::string& plain = file.plain;
  plain.reserve(bytes.size());
  plain = bytes.substr(0, 2);
  bool oriented = false;
  std::size_t exif_place = 2;
  std::size_t at = 2;
  while (at + 1 < bytes.size()) {
    const std::uint8_t marker = byte_at(bytes, at + 1);
    if (byte_at(bytes, at) != 0xFF || marker == 0xFF || marker == 0) {
      file.tells_more = file.tells_more || byte_at(bytes, at) != 0xFF;
      ++at;
      continue;
    }
    if (marker == 0xD9) {
      plain += bytes.substr(at, 2);
      file.whole = true;
      at += 2;
      break;
    }
    if (marker == 0x01 || (marker >= 0xD0 && marker <= 0xD8)) {
      plain += bytes.substr(at, 2);
      at += 2;
      continue;
    }
    if (at + 4 > bytes.size()) return;
    const std::size_t length = number(bytes, at + 2, 2);
    if (length < 2 || length > bytes.size() - at - 2) return;
    const std::string_view segment = bytes.substr(at, length + 2);
    const std::string_view content = segment.substr(4);
    at += segment.size();
    if (marker == 0xE1 && !oriented) {
      const int orientation =
          exif_orientation({reinterpret_cast<const std::uint8_t*>(content.data()), content.size()});
      oriented = orientation != 0;
      if (oriented) file.orientation = orientation;
      // One that says how it is stored and nothing else is put back below.
      if (orientation > 1 && segment == exif_segment(orientation)) continue;
    }
    if (!jpeg_needs(marker, content)) {
      file.tells_more = true;
      continue;
    }
    // The header of JFIF may carry a thumbnail of what the picture was before it was worked on.
    if (marker == 0xE0 && content.size() > 14) {
      file.tells_more = true;
      plain += std::string_view("\xFF\xE0\x00\x10", 4);
      plain += content.substr(0, 12);
      plain += std::string_view("\0\0", 2);
    } else {
      plain += segment;
    }
    if (marker == 0xE0) exif_place = plain.size();
    if (marker != 0xDA) continue;
    const std::size_t from = at;
    while (at + 1 < bytes.size()) {
      const std::uint8_t next = byte_at(bytes, at + 1);
      if (byte_at(bytes, at) == 0xFF && next != 0 && (next < 0xD0 || next > 0xD7)) break;
      ++at;
    }
    plain += bytes.substr(from, at - from);
  }
  if (at < bytes.size()) file.tells_more = true;
  if (file.orientation != 1) plain.insert(exif_place, exif_segment(file.orientation));
}

// Length, name, data, check sum; a name that begins with a capital is one a decoder needs.
void read_png(std::string_view bytes, PictureFile& file) {
  static constexpr std::array<std::string_view, 10> kKept{"tRNS", "gAMA", "cHRM", "sRGB", "iCCP",
                                                          "sBIT", "bKGD", "pHYs", "cICP", "hIST"};
  std::string& plain = file.plain;
  plain.reserve(bytes.size());
  plain = bytes.substr(0, kPngStart.size());
  std::size_t at = kPngStart.size();
  while (bytes.size() - at >= 12) {
    const std::size_t length = number(bytes, at, 4);
    if (length > bytes.size() - at - 12) return;
    const std::string_view name = bytes.substr(at + 4, 4);
    const bool needed = (byte_at(name, 0) & 0x20U) == 0 ||
                        std::find(kKept.begin(), kKept.end(), name) != kKept.end();
    if (needed) {
      plain += bytes.substr(at, 12 + length);
    } else {
      file.tells_more = true;
    }
    at += 12 + length;
    if (name != "IEND") continue;
    file.whole = true;
    if (at < bytes.size()) file.tells_more = true;
    return;
  }
}

}  // namespace

PictureFile read_picture_file(std::string_view bytes) {
  PictureFile file;
  if (bytes.starts_with(kJpegStart)) {
    file.kind = PictureFile::Kind::jpeg;
    read_jpeg(bytes, file);
  } else if (bytes.starts_with(kPngStart)) {
    file.kind = PictureFile::Kind::png;
    read_png(bytes, file);
  }
  if (!file.whole) {
    file.tells_more = false;
    file.plain.clear();
  }
  return file;
}

}  // namespace baylore::shop
