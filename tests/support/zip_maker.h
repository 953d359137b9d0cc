// Makes zip files byte by byte, so that a test can have any header say anything.
#pragma once

#include <zlib.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::test {

// Bytes as a raw deflate stream.
inline std::string deflated(std::string_view bytes) {
  z_stream stream{};
  if (::deflateInit2(&stream, 9, Z_DEFLATED, -15, 9, Z_DEFAULT_STRATEGY) != Z_OK) return {};
  std::string in(bytes);
  std::string out(::deflateBound(&stream, static_cast<uLong>(in.size())), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(in.data());
  stream.avail_in = static_cast<uInt>(in.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  ::deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  ::deflateEnd(&stream);
  return out;
}

struct ZipPart {
  std::string name;
  std::string bytes;                        // as they lie in the file
  std::uint32_t method = 0;                 // 8: `bytes` is a deflate stream
  std::optional<std::uint32_t> size;        // unpacked, as both headers say it
  std::optional<std::uint32_t> local_size;  // as the header before the entry says it
  std::optional<std::uint32_t> packed;
  std::optional<std::uint32_t> sum;
  std::optional<std::string> local_name;
  std::uint32_t flags = 1U << 11U;
  std::uint32_t mode = 0100644;  // Unix
  std::uint32_t attributes = 0;  // the lower half
  std::string extra;
  std::string local_extra;
  std::string comment;
  std::optional<std::uint32_t> at;  // where the directory says the header is
};

struct ZipWhole {
  std::vector<ZipPart> parts;
  std::string before;   // the first header
  std::string between;  // the last entry and the directory
  std::string comment;  // of the whole
  std::string behind;   // the end
  std::optional<std::uint32_t> count;
};

inline void put_number(std::string& into, std::uint32_t value, int size) {
  for (int i = 0; i < size; ++i) {
    into += static_cast<char>(static_cast<unsigned char>(value & 255U));
    value >>= 8U;
  }
}

inline std::string zip_of(const ZipWhole& whole) {
  std::string out = whole.before;
  std::string directory;
  for (const ZipPart& part : whole.parts) {
    const auto at = static_cast<std::uint32_t>(out.size());
    const auto sum = part.sum.value_or(
        static_cast<std::uint32_t>(::crc32(0, reinterpret_cast<const Bytef*>(part.bytes.data()),
                                           static_cast<uInt>(part.bytes.size()))));
    const auto packed = part.packed.value_or(static_cast<std::uint32_t>(part.bytes.size()));
    const std::uint32_t size = part.size.value_or(packed);
    const std::string local = part.local_name.value_or(part.name);
    put_number(out, 0x04034b50, 4);
    put_number(out, 20, 2);
    put_number(out, part.flags, 2);
    put_number(out, part.method, 2);
    put_number(out, 0x00210000, 4);
    put_number(out, sum, 4);
    put_number(out, packed, 4);
    put_number(out, part.local_size.value_or(size), 4);
    put_number(out, static_cast<std::uint32_t>(local.size()), 2);
    put_number(out, static_cast<std::uint32_t>(part.local_extra.size()), 2);
    out += local + part.local_extra + part.bytes;

    put_number(directory, 0x02014b50, 4);
    put_number(directory, 0x0314, 2);  // made by a Unix program
    put_number(directory, 20, 2);
    put_number(directory, part.flags, 2);
    put_number(directory, part.method, 2);
    put_number(directory, 0x00210000, 4);
    put_number(directory, sum, 4);
    put_number(directory, packed, 4);
    put_number(directory, size, 4);
    put_number(directory, static_cast<std::uint32_t>(part.name.size()), 2);
    put_number(directory, static_cast<std::uint32_t>(part.extra.size()), 2);
    put_number(directory, static_cast<std::uint32_t>(part.comment.size()), 2);
    put_number(directory, 0, 4);
    put_number(directory, (part.mode << 16U) | part.attributes, 4);
    put_number(directory, part.at.value_or(at), 4);
    directory += part.name + part.extra + part.comment;
  }
  out += whole.between;
  const auto start = static_cast<std::uint32_t>(out.size());
  const std::uint32_t count = whole.count.value_or(static_cast<std::uint32_t>(whole.parts.size()));
  out += directory;
  put_number(out, 0x06054b50, 4);
  put_number(out, 0, 4);
  put_number(out, count, 2);
  put_number(out, count, 2);
  put_number(out, static_cast<std::uint32_t>(directory.size()), 4);
  put_number(out, start, 4);
  put_number(out, static_cast<std::uint32_t>(whole.comment.size()), 2);
  return out + whole.comment + whole.behind;
}

}  // namespace baylore::test
