#include "support/jpeg_file.h"

#include <cstdio>
#include <cstdlib>
#include <stdexcept>

#include <jpeglib.h>

namespace baylore::test {
namespace {

[[noreturn]] void fail(j_common_ptr) { throw std::runtime_error("libjpeg"); }
void no_words(j_common_ptr) {}

jpeg_error_mgr errors() {
  jpeg_error_mgr manager{};
  jpeg_std_error(&manager);
  manager.error_exit = fail;
  manager.output_message = no_words;
  return manager;
}

std::string number(unsigned value, int bytes) {
  std::string out;
  for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
    out += static_cast<char>((value >> static_cast<unsigned>(shift)) & 0xFFU);
  return out;
}

}  // namespace

std::string make_jpeg(int width, int height,
                      const std::vector<std::pair<int, std::string>>& segments) {
  jpeg_compress_struct c{};
  jpeg_error_mgr manager = errors();
  c.err = &manager;
  jpeg_create_compress(&c);
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&c, &bytes, &size);
  c.image_width = static_cast<JDIMENSION>(width);
  c.image_height = static_cast<JDIMENSION>(height);
  c.input_components = 3;
  c.in_color_space = JCS_RGB;
  jpeg_set_defaults(&c);
  jpeg_set_quality(&c, 92, TRUE);
  jpeg_start_compress(&c, TRUE);
  for (const auto& [marker, content] : segments) {
    jpeg_write_marker(&c, marker, reinterpret_cast<const JOCTET*>(content.data()),
                      static_cast<unsigned>(content.size()));
  }
  std::string row(static_cast<std::size_t>(width) * 3, '\0');
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const bool left = x < width / 2;
      const bool top = y < height / 2;
      const Rgb colour = top ? (left ? Rgb{220, 20, 20} : Rgb{20, 180, 20})
                             : (left ? Rgb{20, 20, 220} : Rgb{250, 250, 250});
      for (std::size_t i = 0; i < 3; ++i)
        row[static_cast<std::size_t>(x) * 3 + i] = static_cast<char>(colour[i]);
    }
    JSAMPROW line = reinterpret_cast<JSAMPROW>(row.data());
    jpeg_write_scanlines(&c, &line, 1);
  }
  jpeg_finish_compress(&c);
  std::string out(reinterpret_cast<const char*>(bytes), size);
  jpeg_destroy_compress(&c);
  std::free(bytes);
  return out;
}

std::string exif_of(int orientation) {
  std::string tiff = "MM" + number(42, 2) + number(8, 4);
  // The first directory: Make (ASCII), Orientation (SHORT), the GPS directory's place (LONG).
  tiff += number(3, 2);
  tiff += number(0x010F, 2) + number(2, 2) + number(8, 4) + number(50, 4);
  tiff += number(0x0112, 2) + number(3, 2) + number(1, 4) +
          number(static_cast<unsigned>(orientation), 2) + number(0, 2);
  tiff += number(0x8825, 2) + number(4, 2) + number(1, 4) + number(58, 4);
  tiff += number(0, 4);
  tiff += std::string("LensBox\0", 8);
  // GPS: latitude N, its degrees, minutes and seconds, longitude E and the same.
  tiff += number(4, 2);
  tiff += number(1, 2) + number(2, 2) + number(2, 4) + "N" + std::string(3, '\0');
  tiff += number(2, 2) + number(5, 2) + number(3, 4) + number(112, 4);
  tiff += number(3, 2) + number(2, 2) + number(2, 4) + "E" + std::string(3, '\0');
  tiff += number(4, 2) + number(5, 2) + number(3, 4) + number(136, 4);
  tiff += number(0, 4);
  for (const unsigned part : {51U, 30U, 12U, 7U, 4U, 33U}) tiff += number(part, 4) + number(1, 4);
  return std::string("Exif\0\0", 6) + tiff;
}

Rgb ReadJpeg::at(int x, int y) const {
  const std::size_t i = (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                         static_cast<std::size_t>(x)) *
                        3;
  const auto value = [&](std::size_t k) {
    return static_cast<int>(static_cast<unsigned char>(rgb[i + k]));
  };
  return {value(0), value(1), value(2)};
}

std::optional<ReadJpeg> read_jpeg(std::string_view bytes) {
  jpeg_decompress_struct d{};
  jpeg_error_mgr manager = errors();
  d.err = &manager;
  ReadJpeg out;
  try {
    jpeg_create_decompress(&d);
    jpeg_mem_src(&d, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    for (int i = 0; i < 16; ++i) jpeg_save_markers(&d, JPEG_APP0 + i, 0xFFFF);
    jpeg_save_markers(&d, JPEG_COM, 0xFFFF);
    jpeg_read_header(&d, TRUE);
    d.out_color_space = JCS_RGB;
    jpeg_start_decompress(&d);
    out.width = static_cast<int>(d.output_width);
    out.height = static_cast<int>(d.output_height);
    for (const auto* m = d.marker_list; m != nullptr; m = m->next) out.markers.push_back(m->marker);
    out.rgb.resize(static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height) * 3);
    while (d.output_scanline < d.output_height) {
      JSAMPROW line =
          reinterpret_cast<JSAMPROW>(out.rgb.data() + static_cast<std::size_t>(d.output_scanline) *
                                                          static_cast<std::size_t>(out.width) * 3);
      jpeg_read_scanlines(&d, &line, 1);
    }
    jpeg_finish_decompress(&d);
  } catch (const std::runtime_error&) {
    jpeg_destroy_decompress(&d);
    return std::nullopt;
  }
  const bool clean = manager.num_warnings == 0;
  jpeg_destroy_decompress(&d);
  if (!clean) return std::nullopt;
  return out;
}

}  // namespace baylore::test
