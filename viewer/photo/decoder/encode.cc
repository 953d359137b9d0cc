#include "viewer/photo/decoder/encode.h"

#include <cstring>

// The encoder is compiled here, into memory only, with names no other copy of it can meet.
#define STB_IMAGE_WRITE_STATIC
#define STBI_WRITE_NO_STDIO
#define STB_IMAGE_WRITE_IMPLEMENTATION
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb/stb_image_write.h>
#pragma GCC diagnostic pop

namespace baylore::photo {
namespace {

// A torque mark or a hairline crack stays readable; 2048 x 1536 of a photo are about 700 kB.
constexpr int kQuality = 85;
// Noise costs more bytes than anything a lens gives; it is encoded a second time, coarser.
constexpr int kQualityOfNoise = 40;

// Takes the pieces as they come. What does not fit is counted and not kept.
struct Sink {
  std::uint8_t* bytes = nullptr;
  std::size_t size = 0;
};

void take(void* context, void* data, int size) {
  auto* sink = static_cast<Sink*>(context);
  const auto more = static_cast<std::size_t>(size);
  if (sink->size + more <= kJpegLimit) std::memcpy(sink->bytes + sink->size, data, more);
  sink->size += more;
}

}  // namespace

Encoded encode(const Decoded& picture) {
  Encoded encoded;
  encoded.jpeg.reset(static_cast<std::uint8_t*>(std::calloc(1, kJpegLimit)));
  if (!encoded.jpeg) return encoded;
  for (const int quality : {kQuality, kQualityOfNoise}) {
    Sink sink{encoded.jpeg.get(), 0};
    if (stbi_write_jpg_to_func(take, &sink, picture.width, picture.height, 4, picture.rgba.get(),
                               quality) == 0 ||
        sink.size > kJpegLimit) {
      continue;
    }
    encoded.size = sink.size;
    encoded.end = Exit::done;
    return encoded;
  }
  return encoded;
}

}  // namespace baylore::photo
