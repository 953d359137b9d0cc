// baylore-photo [--large] [--jpeg] [--max-side N] < picture > answer
//
// Decodes one outside picture in a process that can do nothing else, so that a picture made to
// break the decoder breaks only this process. viewer/photo/answer.h holds the form of the answer
// and the exit codes; a refusal is one line on standard error. In the order that matters:
// understand the arguments, go into the cage, only then read.
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <span>
#include <string_view>

#include "viewer/photo/answer.h"
#include "viewer/photo/decoder/confine.h"
#include "viewer/photo/decoder/decode.h"
#include "viewer/photo/decoder/encode.h"

namespace baylore::photo {
namespace {

bool write_all(int to, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = write(to, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return true;
}

// Ends without running anything else: exit handlers could ask the kernel for what the cage forbids.
[[noreturn]] void finish(Exit end, bool large = false) {
  if (const char* why = words(end, large)) {
    std::array<char, 128> line{};
    std::size_t length = 0;
    for (const std::string_view piece :
         {std::string_view("baylore-photo: "), std::string_view(why), std::string_view("\n")}) {
      std::memcpy(line.data() + length, piece.data(), piece.size());
      length += piece.size();
    }
    const ssize_t ignored = write(STDERR_FILENO, line.data(), length);
    static_cast<void>(ignored);
  }
  _exit(static_cast<int>(end));
}

struct Wanted {
  bool large = false;  // --large: a camera's picture
  bool jpeg = false;   // --jpeg: the answer is a file again
  int max_side = kDefaultMaxSide;
};

// False for anything that is not understood.
bool understand(std::span<char*> arguments, Wanted& wanted) {
  for (std::size_t i = 1; i < arguments.size(); ++i) {
    const std::string_view word(arguments[i]);
    if (word == "--large") {
      wanted.large = true;
    } else if (word == "--jpeg") {
      wanted.jpeg = true;
    } else if (word == "--max-side" && i + 1 < arguments.size()) {
      const std::string_view text(arguments[++i]);
      const auto [end, error] =
          std::from_chars(text.data(), text.data() + text.size(), wanted.max_side);
      if (error != std::errc() || end != text.data() + text.size()) return false;
    } else {
      return false;
    }
  }
  return wanted.max_side >= 1 && wanted.max_side <= kLargestMaxSide;
}

void put(std::array<std::uint8_t, kHeaderBytes>& header, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) {
    header[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
  }
}

bool answer(const std::array<std::uint8_t, 8>& magic, const Decoded& picture, std::uint32_t third,
            std::span<const std::uint8_t> bytes) {
  std::array<std::uint8_t, kHeaderBytes> header{};
  std::copy(magic.begin(), magic.end(), header.begin());
  put(header, 8, static_cast<std::uint32_t>(picture.width));
  put(header, 12, static_cast<std::uint32_t>(picture.height));
  put(header, 16, third);
  return write_all(STDOUT_FILENO, header) && write_all(STDOUT_FILENO, bytes);
}

int run(std::span<char*> arguments) {
  Wanted wanted;
  if (!understand(arguments, wanted)) finish(Exit::usage);
  const Limits& limits = wanted.large ? kOfCamera : kOfShop;
  if (!confine(limits)) finish(Exit::unconfined);

  // One byte more than allowed shows that there is more.
  std::unique_ptr<std::uint8_t, Free> file(
      static_cast<std::uint8_t*>(std::calloc(1, limits.file + 1)));
  if (!file) finish(Exit::memory);
  std::size_t size = 0;
  while (size <= limits.file) {
    const ssize_t got = read(STDIN_FILENO, file.get() + size, limits.file + 1 - size);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) finish(Exit::input);
    if (got == 0) break;
    size += static_cast<std::size_t>(got);
  }

  const Decoded picture = decode({file.get(), size}, wanted.max_side, limits);
  if (picture.end != Exit::done) finish(picture.end, wanted.large);
  if (!wanted.jpeg) {
    const std::size_t pixels =
        static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height) * 4;
    const bool handed =
        answer(kMagic, picture, picture.drawing ? kFlagDrawing : 0, {picture.rgba.get(), pixels});
    finish(handed ? Exit::done : Exit::output);
  }
  file.reset();
  const Encoded encoded = encode(picture);
  if (encoded.end != Exit::done) finish(encoded.end);
  const bool handed = answer(kJpegMagic, picture, static_cast<std::uint32_t>(encoded.size),
                             {encoded.jpeg.get(), encoded.size});
  finish(handed ? Exit::done : Exit::output);
}

}  // namespace
}  // namespace baylore::photo

int main(int argc, char** argv) {
  return baylore::photo::run({argv, static_cast<std::size_t>(argc)});
}
