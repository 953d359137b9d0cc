// Honest pictures through the real decoder.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <random>
#include <span>
#include <string>

#include "viewer/photo/client.h"
#include "viewer/photo/decoder/frame.h"
#include "viewer/photo_pictures.h"

namespace baylore::photo {
namespace {

using namespace photo_tests;

constexpr std::chrono::seconds kLimit{30};  // ample: a busy machine must not fail a test
constexpr Colour kRed = {230, 20, 20, 255};
constexpr Colour kGreen = {20, 180, 20, 255};
constexpr Colour kBlue = {20, 20, 220, 255};
constexpr Colour kWhite = {255, 255, 255, 255};
constexpr Colour kInk = {26, 26, 26, 255};

Picture shown(const std::string& path, int max_side = 2048) {
  const auto picture = decode_picture(BAYLORE_PHOTO, path, max_side, kLimit);
  REQUIRE_MESSAGE(picture.ok(), picture.failure().what);
  REQUIRE(picture->rgba.size() == std::size_t(picture->width) * std::size_t(picture->height) * 4);
  return *picture;
}

Colour pixel(const Picture& picture, int x, int y) {
  const std::size_t i = (std::size_t(y) * std::size_t(picture.width) + std::size_t(x)) * 4;
  return {picture.rgba[i], picture.rgba[i + 1], picture.rgba[i + 2], picture.rgba[i + 3]};
}

// JPEG keeps colours only roughly.
bool near(Colour a, Colour b, int tolerance) {
  return std::equal(a.begin(), a.end(), b.begin(),
                    [&](int x, int y) { return std::abs(x - y) <= tolerance; });
}

// Stored corners: red and green above, blue and white below.
Canvas corners() {
  Canvas canvas(64, 32, kWhite);
  for (int y = 0; y < 32; ++y) {
    for (int x = 0; x < 64; ++x)
      canvas.set(x, y, y < 16 ? (x < 32 ? kRed : kGreen) : (x < 32 ? kBlue : kWhite));
  }
  return canvas;
}

std::span<const std::uint8_t> bytes_of(const std::string& text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

TEST_CASE("a PNG comes back pixel by pixel") {
  const Folder folder;
  std::mt19937 random(7);
  Canvas canvas(37, 23, kWhite);
  for (int y = 0; y < 23; ++y) {
    for (int x = 0; x < 37; ++x) {
      canvas.set(x, y,
                 {std::uint8_t(random()), std::uint8_t(random()), std::uint8_t(random()), 255});
    }
  }
  const Picture picture = shown(folder.file("pump.png", png(canvas)));
  CHECK(picture.width == 37);
  CHECK(picture.height == 23);
  CHECK(picture.rgba == canvas.rgba);
  CHECK_FALSE(picture.drawing);
}

TEST_CASE("a JPEG comes back in its colours") {
  const Folder folder;
  const Picture picture = shown(folder.file("pump.jpg", jpeg(corners())));
  REQUIRE(picture.width == 64);
  REQUIRE(picture.height == 32);
  CHECK(near(pixel(picture, 8, 8), kRed, 6));
  CHECK(near(pixel(picture, 56, 8), kGreen, 6));
  CHECK(near(pixel(picture, 8, 24), kBlue, 6));
  CHECK(near(pixel(picture, 56, 24), kWhite, 6));
}

TEST_CASE("the name's ending does not matter, the content does") {
  const Folder folder;
  CHECK(shown(folder.file("pump.png", jpeg(corners()))).width == 64);
  CHECK(shown(folder.file("pump.jpg", png(corners()))).width == 64);
}

// Source: the Orientation tag's table in Exif 2.3 (CIPA DC-008), from memory: where the stored row
// 0 and column 0 are seen.
TEST_CASE("every Exif orientation is turned upright") {
  struct Seen {
    int orientation;
    const char* rule;
    Colour top_left, top_right, bottom_left, bottom_right;
  };
  static const std::array<Seen, 8> kTable = {{
      {1, "row 0 top, column 0 left", kRed, kGreen, kBlue, kWhite},
      {2, "row 0 top, column 0 right", kGreen, kRed, kWhite, kBlue},
      {3, "row 0 bottom, column 0 right", kWhite, kBlue, kGreen, kRed},
      {4, "row 0 bottom, column 0 left", kBlue, kWhite, kRed, kGreen},
      {5, "row 0 left, column 0 top", kRed, kBlue, kGreen, kWhite},
      {6, "row 0 right, column 0 top", kBlue, kRed, kWhite, kGreen},
      {7, "row 0 right, column 0 bottom", kWhite, kGreen, kBlue, kRed},
      {8, "row 0 left, column 0 bottom", kGreen, kWhite, kRed, kBlue},
  }};
  const Folder folder;
  const std::string stored = jpeg(corners());
  for (const Seen& seen : kTable) {
    for (const bool motorola : {true, false}) {
      CAPTURE(seen.rule);
      CAPTURE(motorola);
      const std::string path =
          folder.file("turned.jpg", with_exif(stored, seen.orientation, motorola));
      // Once as it is, once averaged down on the way.
      for (const int max_side : {2048, 32}) {
        CAPTURE(max_side);
        const Picture picture = shown(path, max_side);
        const bool upright = seen.orientation <= 4;
        const int longest = std::min(max_side, 64);
        CHECK(picture.width == (upright ? longest : longest / 2));
        CHECK(picture.height == (upright ? longest / 2 : longest));
        const int right = picture.width - 4;
        const int bottom = picture.height - 4;
        CHECK(near(pixel(picture, 3, 3), seen.top_left, 8));
        CHECK(near(pixel(picture, right, 3), seen.top_right, 8));
        CHECK(near(pixel(picture, 3, bottom), seen.bottom_left, 8));
        CHECK(near(pixel(picture, right, bottom), seen.bottom_right, 8));
      }
    }
  }
}

TEST_CASE("an orientation that makes no sense leaves the picture as stored") {
  const std::string stored = jpeg(corners());
  const auto orientation = [](const std::string& file) {
    return look_at(bytes_of(file)).orientation;
  };
  CHECK(orientation(stored) == 1);
  CHECK(orientation(with_exif(stored, 6, true)) == 6);
  CHECK(orientation(with_exif(stored, 0, true)) == 1);
  CHECK(orientation(with_exif(stored, 9, true)) == 1);
  CHECK(orientation(with_exif(stored, 6, true, 0x0113)) == 1);     // another tag
  CHECK(orientation(with_exif(stored, 6, true, 0x0112, 4)) == 1);  // LONG, not SHORT
  CHECK(orientation(with_exif(stored, 6, true, 0x0112, 3, 2)) == 1);
  // The first Exif segment counts; other APP1 segments, such as XMP, are passed over.
  CHECK(orientation(with_app1(with_exif(stored, 6, false), "http://ns.adobe.com/xap/1.0/")) == 6);
  CHECK(orientation(with_exif(with_exif(stored, 6, false), 3, false)) == 3);
}

TEST_CASE("an Exif segment that lies about its insides is read within its bounds") {
  const std::string stored = jpeg(corners());
  const std::string file = with_exif(stored, 6, true);
  const std::size_t tiff = 2 + 4 + 6;  // start of image, marker and length, "Exif"
  int turned = 0;
  for (std::size_t at = 2; at < tiff + 40; ++at) {
    for (const char value : {'\x00', '\x01', '\x7F', '\xFF'}) {
      std::string bad = file;
      bad[at] = value;
      const int orientation = look_at(bytes_of(bad)).orientation;
      CHECK(orientation >= 1);
      CHECK(orientation <= 8);
      turned += orientation == 6 ? 1 : 0;
      // And cut off there: nothing behind may be read (a sanitizer build sees it).
      const std::vector<std::uint8_t> cut(bad.begin(), bad.begin() + std::ptrdiff_t(at));
      CHECK_FALSE(look_at(cut).whole);
    }
  }
  CHECK(turned > 0);
}

TEST_CASE("a large picture is averaged by area") {
  const Folder folder;

  SUBCASE("a fine checkerboard turns to even grey") {
    Canvas canvas(400, 200, {0, 0, 0, 255});
    for (int y = 0; y < 200; ++y) {
      for (int x = y % 2; x < 400; x += 2) canvas.set(x, y, kWhite);
    }
    const Picture picture = shown(folder.file("board.png", png(canvas)), 100);
    REQUIRE(picture.width == 100);
    REQUIRE(picture.height == 50);
    CHECK(std::all_of(picture.rgba.begin(), picture.rgba.end(),
                      [](int v) { return v == 128 || v == 255; }));
    CHECK(pixel(picture, 50, 25) == Colour{128, 128, 128, 255});
  }
  SUBCASE("three columns to two: each takes half of the middle one") {
    Canvas canvas(3, 1, kWhite);
    canvas.set(0, 0, {0, 0, 0, 255});
    canvas.set(1, 0, {90, 90, 90, 255});
    canvas.set(2, 0, {240, 240, 240, 255});
    const Picture picture = shown(folder.file("three.png", png(canvas)), 2);
    REQUIRE(picture.width == 2);
    REQUIRE(picture.height == 1);
    CHECK(pixel(picture, 0, 0)[0] == 30);   // (0 + 90 / 2) / 1.5
    CHECK(pixel(picture, 1, 0)[0] == 190);  // (90 / 2 + 240) / 1.5
  }
  SUBCASE("the mean stays, whatever the sizes") {
    std::mt19937 random(11);
    for (const auto& [width, height, side] :
         {std::array{301, 211, 97}, {50, 999, 333}, {640, 640, 639}}) {
      Canvas canvas(width, height, kWhite);
      double sum = 0;
      for (std::size_t i = 0; i < canvas.rgba.size(); ++i) {
        if (i % 4 != 3) canvas.rgba[i] = std::uint8_t(random() % 256);
        sum += canvas.rgba[i];
      }
      const Picture picture = shown(folder.file("noise.png", png(canvas)), side);
      CHECK(std::max(picture.width, picture.height) == side);
      double small_sum = 0;
      for (const std::uint8_t value : picture.rgba) small_sum += value;
      const double mean = sum / double(canvas.rgba.size());
      CHECK(std::abs(small_sum / double(picture.rgba.size()) - mean) < 0.5);
    }
  }
  SUBCASE("a strip keeps at least one pixel of its short side") {
    const Picture picture = shown(folder.file("strip.png", png(Canvas(1000, 3, kRed))), 100);
    CHECK(picture.width == 100);
    CHECK(picture.height == 1);
    CHECK(pixel(picture, 99, 0) == kRed);
  }
  SUBCASE("a small one is not enlarged") {
    CHECK(shown(folder.file("small.png", png(Canvas(10, 8, kRed))), 2048).width == 10);
  }
}

TEST_CASE("transparent parts lie on white paper") {
  const Folder folder;
  Canvas canvas(2, 1, {0, 0, 0, 0});
  canvas.set(1, 0, {0, 0, 0, 51});  // a fifth
  const Picture picture = shown(folder.file("clear.png", png(canvas)));
  CHECK(pixel(picture, 0, 0) == kWhite);
  CHECK(pixel(picture, 1, 0) == Colour{204, 204, 204, 255});
}

TEST_CASE("a drawing is told from a photo") {
  const Folder folder;
  Canvas art(60, 40, kWhite);
  for (int x = 0; x < 60; ++x) {
    for (int y = 18; y < 22; ++y) art.set(x, y, kInk);
  }
  const auto is_drawing = [&](const std::string& bytes, int side = 2048) {
    return shown(folder.file("picture", bytes), side).drawing;
  };
  CHECK(is_drawing(png(art)));
  CHECK(is_drawing(jpeg(art, 70)));
  CHECK(is_drawing(png(art), 20));  // judged on what was drawn, not on what averaging made of it
  CHECK(is_drawing(png(Canvas(8, 8, {0, 0, 0, 0}))));

  Canvas marked = art;
  marked.set(3, 3, kRed);
  CHECK_FALSE(is_drawing(png(marked)));  // colour has a meaning that tinting would lose
  CHECK_FALSE(is_drawing(png(marked), 4));
  CHECK_FALSE(is_drawing(png(Canvas(60, 40, kInk))));
  CHECK_FALSE(is_drawing(png(Canvas(60, 40, {128, 128, 128, 255}))));  // a grey photo
}

TEST_CASE("the largest picture allowed is shown, one row more is not") {
  const Folder folder;
  // 6000 x 4000 of one bit: 24 megapixels; a row is a filter byte and 750 bytes.
  const std::string rows(751UL * 4000, '\0');
  const std::string most =
      png_start() + png_header(6000, 4000, 1, 0) + chunk("IDAT", packed(rows)) + chunk("IEND", "");
  const Picture picture = shown(folder.file("most.png", most), 512);
  CHECK(picture.width == 512);
  CHECK(picture.height == 341);

  const std::string more = png_start() + png_header(6000, 4001, 1, 0) +
                           chunk("IDAT", packed(rows + std::string(751, '\0'))) + chunk("IEND", "");
  const auto refused = decode_picture(BAYLORE_PHOTO, folder.file("more.png", more), 512, kLimit);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.failure().what == "not shown: the picture is larger than 24 megapixels");
}

TEST_CASE("the largest file allowed is shown, one byte more is not") {
  const Folder folder;
  std::string file = png(corners());
  file.resize(12UL * 1024 * 1024, '\0');
  CHECK(shown(folder.file("most.png", file)).width == 64);
  file += '\0';
  // Refused before any program is started: there is none of that name.
  const auto refused =
      decode_picture("/no/such/program", folder.file("more.png", file), 512, kLimit);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.failure().what == "not shown: the file is larger than 12 MB");
  CHECK(refused.failure().kind == files::Failure::Kind::too_large);
}

TEST_CASE("the largest side is clamped to what the decoder takes") {
  const Folder folder;
  const std::string path = folder.file("pump.png", png(corners()));
  CHECK(shown(path, 0).width == 1);
  CHECK(shown(path, 1'000'000).width == 64);
}

}  // namespace
}  // namespace baylore::photo
