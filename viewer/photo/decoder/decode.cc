#include "viewer/photo/decoder/decode.h"

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <string_view>
#include <utility>

#include "viewer/photo/decoder/frame.h"

namespace {

// 24 megapixels of four 16-bit values are 192 MB, 52 of four bytes 208 MB. A compressed stream that
// asks for more is not one picture.
constexpr std::size_t kLargestBlock = std::size_t{256} << 20U;

// Zeroed, because the decoder reads tables a damaged file never filled.
void* take(std::size_t size) { return size > kLargestBlock ? nullptr : std::calloc(1, size); }

void* take_more(void* block, std::size_t before, std::size_t after) {
  if (after > kLargestBlock) return nullptr;
  void* more = std::realloc(block, after);
  if (more && after > before) std::memset(static_cast<char*>(more) + before, 0, after - before);
  return more;
}

}  // namespace

// The decoder is compiled here, for these two formats and from memory only, with names no other
// copy of it can meet.
#define STB_IMAGE_STATIC
#define STBI_ONLY_JPEG
#define STBI_ONLY_PNG
#define STBI_NO_STDIO
#define STBI_NO_LINEAR
#define STBI_MAX_DIMENSIONS 8192
#define STBI_MALLOC(size) take(size)
#define STBI_REALLOC_SIZED(block, before, after) take_more(block, before, after)
#define STBI_FREE(block) std::free(block)
#define STB_IMAGE_IMPLEMENTATION
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#pragma GCC diagnostic ignored "-Wold-style-cast"  // blamed on the macros above
#include <stb/stb_image.h>
#pragma GCC diagnostic pop

namespace baylore::photo {
namespace {

static_assert(STBI_MAX_DIMENSIONS == kSideLimit);

using Pixels = std::unique_ptr<std::uint8_t, Free>;

// Below this difference between channels a pixel counts as grey, above that value in each as white.
// A part filled in light grey on a drawing still counts as white, JPEG noise on grey as grey.
constexpr int kGreyTolerance = 16;
constexpr int kWhiteFrom = 216;

struct Image {
  int width = 0;
  int height = 0;
  Pixels rgba;
};

std::size_t bytes_of(int width, int height) {
  return static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 4;
}

Pixels blank(int width, int height) {  // both at least 1
  // NOLINTNEXTLINE(clang-analyzer-optin.portability.UnixAPI)
  return Pixels(static_cast<std::uint8_t*>(std::calloc(1, bytes_of(width, height))));
}

Exit refusal() {
  const char* reason = stbi_failure_reason();
  return reason && std::string_view(reason) == "outofmem" ? Exit::memory : Exit::damaged;
}

// Lays every pixel on white paper and says whether the whole is a drawing.
bool lay_on_paper(Image& image) {
  const std::size_t size = bytes_of(image.width, image.height);
  std::uint8_t* pixel = image.rgba.get();
  std::size_t white = 0;
  bool grey = true;
  for (const std::uint8_t* end = pixel + size; pixel != end; pixel += 4) {
    const int alpha = pixel[3];
    if (alpha != 255) {
      for (int i = 0; i < 3; ++i) {
        pixel[i] = static_cast<std::uint8_t>((pixel[i] * alpha + 255 * (255 - alpha) + 127) / 255);
      }
      pixel[3] = 255;
    }
    const int low = std::min({pixel[0], pixel[1], pixel[2]});
    const int high = std::max({pixel[0], pixel[1], pixel[2]});
    grey = grey && high - low <= kGreyTolerance;
    white += low >= kWhiteFrom ? 1 : 0;
  }
  return grey && white * 2 > size / 4;
}

// How the run of `from` source pixels falls on `to` <= `from` target pixels: source pixel i gives
// `first` of itself to target `at` and `second` to the one after; each target's shares add up to 1.
struct Share {
  int at = 0;
  float first = 0;
  float second = 0;
};

std::unique_ptr<Share, void (*)(void*)> shares(int from, int to) {
  std::unique_ptr<Share, void (*)(void*)> all(
      static_cast<Share*>(std::calloc(static_cast<std::size_t>(from), sizeof(Share))), std::free);
  if (!all) return all;
  // In units of 1 / from of a target pixel, source pixel i covers i * to up to (i + 1) * to: whole
  // numbers, so no drift.
  for (int i = 0; i < from; ++i) {
    const std::int64_t start = std::int64_t{i} * to;
    const std::int64_t at = start / from;
    const std::int64_t border = (at + 1) * from;
    const std::int64_t first = std::min<std::int64_t>(to, border - start);
    all.get()[i] = {static_cast<int>(at), static_cast<float>(first) / static_cast<float>(from),
                    static_cast<float>(to - first) / static_cast<float>(from)};
  }
  return all;
}

// Averages the picture down: a target pixel is the mean of the source area it covers, edge pixels
// by the part covered. Rows are first averaged across into `line`, then added into the target row
// being filled and, over a border, the next.
Image shrink(const Image& image, int width, int height) {
  Image small{width, height, blank(width, height)};
  const auto across = shares(image.width, width);
  const auto down = shares(image.height, height);
  const std::size_t channels = static_cast<std::size_t>(width) * 3;
  const std::unique_ptr<float, void (*)(void*)> rows(
      static_cast<float*>(std::calloc(channels * 3, sizeof(float))), std::free);
  if (!small.rgba || !across || !down || !rows) return {};
  float* line = rows.get();
  float* filling = line + channels;
  float* next = filling + channels;

  const std::uint8_t* source = image.rgba.get();
  std::uint8_t* target = small.rgba.get();
  for (int y = 0; y < image.height; ++y) {
    std::fill(line, line + channels, 0.0F);
    for (int x = 0; x < image.width; ++x, source += 4) {
      const Share& share = across.get()[x];
      float* to = line + static_cast<std::ptrdiff_t>(share.at) * 3;
      for (int i = 0; i < 3; ++i) to[i] += static_cast<float>(source[i]) * share.first;
      if (share.second > 0) {
        for (int i = 0; i < 3; ++i) to[3 + i] += static_cast<float>(source[i]) * share.second;
      }
    }
    const Share& share = down.get()[y];
    for (std::size_t i = 0; i < channels; ++i) filling[i] += line[i] * share.first;
    if (share.second > 0) {
      for (std::size_t i = 0; i < channels; ++i) next[i] += line[i] * share.second;
    }
    const bool row_done = y + 1 == image.height || down.get()[y + 1].at != share.at;
    if (!row_done) continue;
    for (std::size_t i = 0; i < channels; i += 3) {
      for (std::size_t c = 0; c < 3; ++c) {
        const float value = std::clamp(filling[i + c] + 0.5F, 0.0F, 255.0F);
        *target++ = static_cast<std::uint8_t>(value);
      }
      *target++ = 255;
    }
    std::swap(filling, next);
    std::fill(next, next + channels, 0.0F);
  }
  return small;
}

// Where the first row and the first column of the stored picture lie when it is upright, after the
// table of the Orientation tag in Exif 2.3 (CIPA DC-008), from memory: 1 top, left; 2 top, right; 3
// bottom, right; 4 bottom, left; 5 left, top; 6 right, top; 7 right, bottom; 8 left, bottom.
Image turn(const Image& image, int orientation) {
  const bool swapped = orientation >= 5;  // the stored rows stand upright as columns
  const bool first_row_far =
      orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7;
  const bool first_column_far =
      orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8;
  Image upright;
  upright.width = swapped ? image.height : image.width;
  upright.height = swapped ? image.width : image.height;
  upright.rgba = blank(upright.width, upright.height);
  if (!upright.rgba) return {};
  const std::uint8_t* source = image.rgba.get();
  for (int row = 0; row < image.height; ++row) {
    const int along_rows = first_row_far ? image.height - 1 - row : row;
    for (int column = 0; column < image.width; ++column, source += 4) {
      const int along_columns = first_column_far ? image.width - 1 - column : column;
      const int x = swapped ? along_rows : along_columns;
      const int y = swapped ? along_columns : along_rows;
      std::memcpy(upright.rgba.get() + bytes_of(upright.width, y) + static_cast<std::size_t>(x) * 4,
                  source, 4);
    }
  }
  return upright;
}

// A few bytes can claim gigabytes, so sizes are judged before anything of that size is made.
Exit judge_size(std::int64_t width, std::int64_t height, const Limits& limits) {
  if (width < 1 || height < 1) return Exit::damaged;
  if (width > kSideLimit || height > kSideLimit) return Exit::long_side;
  return width * height > limits.pixels ? Exit::large : Exit::done;
}

Decoded refused(Exit end) {
  Decoded decoded;
  decoded.end = end;
  return decoded;
}

}  // namespace

Decoded decode(std::span<const std::uint8_t> file, int max_side, const Limits& limits) {
  if (file.empty()) return refused(Exit::empty);
  if (file.size() > limits.file) return refused(Exit::heavy);
  const Frame frame = look_at(file);
  if (frame.format == Frame::Format::neither) return refused(Exit::foreign);
  if (!frame.whole) return refused(Exit::damaged);
  const Exit claimed = judge_size(frame.width, frame.height, limits);
  if (claimed != Exit::done) return refused(claimed);

  // The claim again as the decoder understands it: only that is what it will take memory for.
  Image image;
  int channels = 0;
  const int size = static_cast<int>(file.size());
  if (!stbi_info_from_memory(file.data(), size, &image.width, &image.height, &channels)) {
    return refused(refusal());
  }
  const Exit understood = judge_size(image.width, image.height, limits);
  if (understood != Exit::done) return refused(understood);

  int width = 0;
  int height = 0;
  image.rgba.reset(stbi_load_from_memory(file.data(), size, &width, &height, &channels, 4));
  if (!image.rgba) return refused(refusal());
  if (width != image.width || height != image.height) return refused(Exit::damaged);

  Decoded decoded;
  decoded.drawing = lay_on_paper(image);
  const int longest = std::max(width, height);
  if (longest > max_side) {
    const auto scaled = [&](int side) {
      const std::int64_t rounded = (std::int64_t{side} * max_side + longest / 2) / longest;
      return static_cast<int>(std::max<std::int64_t>(1, rounded));
    };
    image = shrink(image, scaled(width), scaled(height));
    if (!image.rgba) return refused(Exit::memory);
  }
  if (frame.orientation != 1) {
    image = turn(image, frame.orientation);
    if (!image.rgba) return refused(Exit::memory);
  }
  decoded.end = Exit::done;
  decoded.width = image.width;
  decoded.height = image.height;
  decoded.rgba = std::move(image.rgba);
  return decoded;
}

}  // namespace baylore::photo
