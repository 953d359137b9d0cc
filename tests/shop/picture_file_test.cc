// What a picture's file tells beside the picture is found and cut out, and the picture stays.
// The files are put together here from their segments: ITU-T T.81 annex B, T.871 (JFIF), CIPA
// DC-008 (Exif 2.32), ISO/IEC 15948 (PNG), all from memory; the pixels are looked at by ImageMagick
// in tests/outside/.
#include <doctest/doctest.h>

#include <string>

#include "shop/picture_file.h"

namespace {

using baylore::shop::PictureFile;
using baylore::shop::read_picture_file;

std::string segment(int marker, const std::string& content) {
  const std::size_t length = content.size() + 2;
  return std::string("\xFF") + static_cast<char>(marker) + static_cast<char>(length >> 8U) +
         static_cast<char>(length & 0xFFU) + content;
}

const std::string kStart = "\xFF\xD8";
const std::string kEnd = "\xFF\xD9";
const std::string kJfif = segment(0xE0, std::string("JFIF\0\x01\x01\0\0\x01\0\x01\0\0", 14));
const std::string kTables = segment(0xDB, std::string(65, '\x10'));
const std::string kFrame = segment(0xC0, std::string("\x08\0\x10\0\x10\x01\x01\x11\0", 9));
// Compressed bytes with a stuffed FF and a restart marker among them.
const std::string kScan = segment(0xDA, std::string("\x01\x01\0\0\x3F\0", 6)) +
                          std::string("\x12\xFF\0\x34\xFF\xD0\x56", 7);

// An Exif segment in either byte order: Orientation, and a GPS directory with a latitude of 51.5 N.
std::string exif(int orientation, bool motorola) {
  const auto n = [&](unsigned value, int bytes) {
    std::string out;
    for (int i = 0; i < bytes; ++i) {
      const int shift = 8 * (motorola ? bytes - 1 - i : i);
      out += static_cast<char>((value >> static_cast<unsigned>(shift)) & 0xFFU);
    }
    return out;
  };
  const std::string value = motorola ? n(static_cast<unsigned>(orientation), 2) + n(0, 2)
                                     : n(static_cast<unsigned>(orientation), 2) + n(0, 2);
  std::string tiff = (motorola ? "MM" : "II") + n(42, 2) + n(8, 4);
  tiff += n(2, 2);
  tiff += n(0x0112, 2) + n(3, 2) + n(1, 4) + value;
  tiff += n(0x8825, 2) + n(4, 2) + n(1, 4) + n(38, 4);  // GPS directory at 38
  tiff += n(0, 4);
  tiff += n(2, 2);
  tiff += n(1, 2) + n(2, 2) + n(2, 4) + "N" + std::string(3, '\0');
  tiff += n(2, 2) + n(5, 2) + n(3, 4) + n(68, 4);
  tiff += n(0, 4);
  tiff += n(51, 4) + n(1, 4) + n(30, 4) + n(1, 4) + n(0, 4) + n(1, 4);
  return segment(0xE1, std::string("Exif\0\0", 6) + tiff);
}

std::string chunk(const std::string& name, const std::string& data) {
  const auto size = static_cast<unsigned>(data.size());
  std::string out;
  for (const unsigned shift : {24U, 16U, 8U, 0U}) out += static_cast<char>((size >> shift) & 0xFFU);
  return out + name + data + "sums";
}
const std::string kPng = "\x89PNG\r\n\x1A\n" + chunk("IHDR", std::string(13, '\x01'));

}  // namespace

TEST_CASE("a plain JPEG is left as it is") {
  const std::string plain = kStart + kJfif + kTables + kFrame + kScan + kEnd;
  const PictureFile file = read_picture_file(plain);
  CHECK(file.kind == PictureFile::Kind::jpeg);
  CHECK(file.whole);
  CHECK_FALSE(file.tells_more);
  CHECK(file.orientation == 1);
  CHECK(file.plain == plain);
}

TEST_CASE("segments that tell go, the picture's own stay") {
  const std::string profile = segment(0xE2, std::string("ICC_PROFILE\0\x01\x01", 14) + "colours");
  const std::string adobe = segment(0xEE, std::string("Adobe\0\x64\0\0\0\0\x01", 12));
  const std::string plain = kStart + kJfif + profile + adobe + kTables + kFrame + kScan + kEnd;
  const std::string xmp = segment(0xE1, std::string("http://ns.adobe.com/xap/1.0/\0<x/>", 33));
  const std::string iptc = segment(0xED, std::string("Photoshop 3.0\0", 14) + "8BIM");
  const std::string maker = segment(0xE5, "whatever");
  const std::string several = segment(0xE2, std::string("MPF\0", 4) + "a second picture");
  const std::string comment = segment(0xFE, "bay 3, L. Adeyemi");
  const std::string loud = kStart + kJfif + exif(1, true) + xmp + profile + several + iptc + adobe +
                           maker + comment + kTables + kFrame + kScan + kEnd + "a film";
  const PictureFile file = read_picture_file(loud);
  CHECK(file.whole);
  CHECK(file.tells_more);
  CHECK(file.plain == plain);
  // What came out has nothing left to tell.
  const PictureFile again = read_picture_file(file.plain);
  CHECK_FALSE(again.tells_more);
  CHECK(again.plain == plain);
}

TEST_CASE("a turned picture keeps how it is turned and nothing else of its Exif") {
  for (const bool motorola : {true, false}) {
    for (int orientation = 2; orientation <= 8; ++orientation) {
      CAPTURE(orientation);
      const std::string loud =
          kStart + exif(orientation, motorola) + kTables + kFrame + kScan + kEnd;
      const PictureFile file = read_picture_file(loud);
      CHECK(file.tells_more);
      CHECK(file.orientation == orientation);
      CHECK(file.plain.size() < loud.size());
      // The latitude's degrees, whole and as a fraction, are nowhere in it.
      CHECK(file.plain.find(motorola
                                ? std::string("\0\0\0\x33\0\0\0\x01", 8)
                                : std::string("\x33\0\0\0\x01\0\0\0", 8)) == std::string::npos);
      const PictureFile again = read_picture_file(file.plain);
      CHECK(again.whole);
      CHECK_FALSE(again.tells_more);
      CHECK(again.orientation == orientation);
      CHECK(again.plain == file.plain);
    }
  }
}

TEST_CASE("a thumbnail in JFIF's header goes") {
  const std::string loud =
      kStart + segment(0xE0, std::string("JFIF\0\x01\x01\0\0\x01\0\x01\x02\x01", 14) + "sixbyt") +
      kTables + kFrame + kScan + kEnd;
  const PictureFile file = read_picture_file(loud);
  CHECK(file.tells_more);
  CHECK(file.plain == kStart + kJfif + kTables + kFrame + kScan + kEnd);
}

TEST_CASE("chunks of a PNG that tell go") {
  const std::string rest =
      chunk("sRGB", std::string(1, '\0')) + chunk("IDAT", "pixels") + chunk("IEND", "");
  const std::string loud = kPng + chunk("eXIf", "MM place") + chunk("tEXt", "Author") +
                           chunk("iTXt", "words") + chunk("tIME", "1234567") +
                           chunk("prVt", "own") + rest + "behind";
  const PictureFile file = read_picture_file(loud);
  CHECK(file.kind == PictureFile::Kind::png);
  CHECK(file.whole);
  CHECK(file.tells_more);
  CHECK(file.plain == kPng + rest);
  CHECK_FALSE(read_picture_file(file.plain).tells_more);
}

TEST_CASE("what is cut short or something else is not whole") {
  const std::string loud = kStart + kJfif + exif(6, true) + kTables + kFrame + kScan + kEnd;
  for (std::size_t length = 0; length < loud.size(); ++length) {
    const PictureFile file = read_picture_file(loud.substr(0, length));
    CHECK_FALSE(file.whole);
    CHECK(file.plain.empty());
  }
  CHECK(read_picture_file("GIF89a").kind == PictureFile::Kind::neither);
  const std::string png = kPng + chunk("IDAT", "pixels") + chunk("IEND", "");
  for (std::size_t length = 0; length < png.size(); ++length)
    CHECK_FALSE(read_picture_file(png.substr(0, length)).whole);
}
