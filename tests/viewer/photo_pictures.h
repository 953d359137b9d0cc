// Pictures for the photo tests, made in memory: honest ones and ones built to hurt.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::photo_tests {

using Colour = std::array<std::uint8_t, 4>;

// Pixels of four bytes, rows from the top.
struct Canvas {
  Canvas(int w, int h, Colour paper);
  void set(int x, int y, Colour colour);
  [[nodiscard]] Colour at(int x, int y) const;

  int width;
  int height;
  std::vector<std::uint8_t> rgba;
};

std::string png(const Canvas& canvas);
std::string jpeg(const Canvas& canvas, int quality = 95);

// One PNG chunk with its length and check sum, and the eight bytes a PNG file starts with.
std::string chunk(std::string_view type, std::string_view data);
std::string png_start();
// The header chunk; colour type 0 is grey, 2 is red-green-blue, 6 has alpha.
std::string png_header(std::uint32_t width, std::uint32_t height, int depth, int colour_type);
// `bytes` as a zlib stream.
std::string packed(const std::string& bytes);
// A zlib stream of about 1/158 of its content: `size` zero bytes.
std::string packed_zeros(std::uint64_t size);

// `jpeg` with an Exif segment behind its first two bytes that holds one entry with these fields.
// Byte order `motorola` or the other. Layout: TIFF 6.0 and Exif 2.3 (CIPA DC-008), from memory.
std::string with_exif(const std::string& jpeg, int value, bool motorola, int tag = 0x0112,
                      int type = 3, int count = 1);
// `jpeg` with any APP1 segment in front.
std::string with_app1(const std::string& jpeg, std::string_view content);

// What is in a file; empty when there is none. Reads what the kernel writes under /proc too.
std::string text_of(const std::string& path);

// A folder of its own, removed with all that is in it.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  [[nodiscard]] std::string path(const std::string& name) const { return where_ + "/" + name; }
  std::string file(const std::string& name, std::string_view bytes) const;
  // An executable shell script with this body.
  std::string script(const std::string& name, const std::string& body) const;

 private:
  std::string where_;
};

}  // namespace baylore::photo_tests
