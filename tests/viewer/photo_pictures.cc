#include "viewer/photo_pictures.h"

#include <sys/stat.h>

#include <cstddef>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#define STB_IMAGE_WRITE_STATIC
#define STB_IMAGE_WRITE_IMPLEMENTATION
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb/stb_image_write.h>
#pragma GCC diagnostic pop

namespace baylore::photo_tests {
namespace {

std::size_t index_of(int x, int y, int width) {
  return (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
          static_cast<std::size_t>(x)) *
         4;
}

void append(void* context, void* data, int size) {
  static_cast<std::string*>(context)->append(static_cast<const char*>(data),
                                             static_cast<std::size_t>(size));
}

std::string number(std::uint32_t value, int bytes, bool motorola) {
  std::string text;
  for (int i = 0; i < bytes; ++i) {
    const int shift = 8 * (motorola ? bytes - 1 - i : i);
    text += static_cast<char>((value >> shift) & 0xFFU);
  }
  return text;
}

}  // namespace

Canvas::Canvas(int w, int h, Colour paper)
    : width(w), height(h), rgba(static_cast<std::size_t>(w) * static_cast<std::size_t>(h) * 4) {
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) set(x, y, paper);
  }
}

void Canvas::set(int x, int y, Colour colour) {
  for (std::size_t i = 0; i < 4; ++i) rgba[index_of(x, y, width) + i] = colour[i];
}

Colour Canvas::at(int x, int y) const {
  const std::size_t i = index_of(x, y, width);
  return {rgba[i], rgba[i + 1], rgba[i + 2], rgba[i + 3]};
}

std::string png(const Canvas& canvas) {
  std::string bytes;
  stbi_write_png_to_func(append, &bytes, canvas.width, canvas.height, 4, canvas.rgba.data(),
                         canvas.width * 4);
  return bytes;
}

std::string jpeg(const Canvas& canvas, int quality) {
  std::string bytes;
  stbi_write_jpg_to_func(append, &bytes, canvas.width, canvas.height, 4, canvas.rgba.data(),
                         quality);
  return bytes;
}

std::string chunk(std::string_view type, std::string_view data) {
  std::string summed(type);
  summed += data;
  std::vector<unsigned char> raw(summed.begin(), summed.end());
  return number(static_cast<std::uint32_t>(data.size()), 4, true) + summed +
         number(stbiw__crc32(raw.data(), static_cast<int>(raw.size())), 4, true);
}

std::string png_start() { return "\x89PNG\r\n\x1a\n"; }

std::string png_header(std::uint32_t width, std::uint32_t height, int depth, int colour_type) {
  std::string data = number(width, 4, true) + number(height, 4, true);
  data += static_cast<char>(depth);
  data += static_cast<char>(colour_type);
  data.append(3, '\0');
  return chunk("IHDR", data);
}

std::string packed(const std::string& bytes) {
  std::vector<unsigned char> raw(bytes.begin(), bytes.end());
  int size = 0;
  unsigned char* out = stbi_zlib_compress(raw.data(), static_cast<int>(raw.size()), &size, 8);
  std::string stream(out, out + size);
  std::free(out);
  return stream;
}

// One block with the fixed codes of RFC 1951: a literal zero (8 bits 00110000), then "258 bytes
// from 1 back" again and again (length code 285 is 11000101, distance code 0 is 00000), then the
// end code (0000000). The Adler check sum is left zero.
std::string packed_zeros(std::uint64_t size) {
  std::string stream = "\x78\x01";
  unsigned held = 0;
  int bits = 0;
  const auto put = [&](std::string_view code) {
    for (const char bit : code) {
      held |= (bit == '1' ? 1U : 0U) << bits;
      if (++bits == 8) {
        stream += static_cast<char>(held);
        held = 0;
        bits = 0;
      }
    }
  };
  put("1");   // the last block
  put("10");  // fixed codes, lowest bit first
  put("00110000");
  for (std::uint64_t made = 1; made < size; made += 258) put("1100010100000");
  put("0000000");
  while (bits != 0) put("0");
  stream.append(4, '\0');
  return stream;
}

std::string with_app1(const std::string& jpeg_bytes, std::string_view content) {
  std::string segment =
      "\xFF\xE1" + number(static_cast<std::uint32_t>(content.size() + 2), 2, true);
  segment += content;
  return jpeg_bytes.substr(0, 2) + segment + jpeg_bytes.substr(2);
}

std::string with_exif(const std::string& jpeg_bytes, int value, bool motorola, int tag, int type,
                      int count) {
  const auto n = [motorola](int v, int bytes) {
    return number(static_cast<std::uint32_t>(v), bytes, motorola);
  };
  std::string content("Exif\0\0", 6);
  content += motorola ? "MM" : "II";
  content += n(42, 2) + n(8, 4);  // the first directory follows at once
  content += n(2, 2);             // two entries, by rising tag
  content += n(0x0100, 2) + n(4, 2) + n(1, 4) + n(640, 4);
  content += n(tag, 2) + n(type, 2) + n(count, 4) + n(value, 2) + n(0, 2);
  content += n(0, 4);  // no further directory
  return with_app1(jpeg_bytes, content);
}

std::string text_of(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

Folder::Folder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "baylore-photo-XXXXXX").string();
  const char* made = mkdtemp(pattern.data());
  if (!made) std::abort();
  where_ = pattern;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(where_, ignored);
}

std::string Folder::file(const std::string& name, std::string_view bytes) const {
  std::ofstream out(path(name), std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (!out) std::abort();
  return path(name);
}

std::string Folder::script(const std::string& name, const std::string& body) const {
  file(name, "#!/bin/sh\n" + body + "\n");
  if (chmod(path(name).c_str(), 0700) != 0) std::abort();
  return path(name);
}

}  // namespace baylore::photo_tests
