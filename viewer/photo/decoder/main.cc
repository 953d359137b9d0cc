// baylore-photo [--max-side N] < picture > answer
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
[[noreturn]] void finish(Exit end) {
  if (const char* why = words(end)) {
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

// `--max-side N` or nothing; 0 for anything else.
int max_side_of(std::span<char*> arguments) {
  if (arguments.size() == 1) return kDefaultMaxSide;
  if (arguments.size() != 3 || std::string_view(arguments[1]) != "--max-side") return 0;
  const std::string_view text(arguments[2]);
  int side = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), side);
  const bool number = error == std::errc() && end == text.data() + text.size();
  return number && side >= 1 && side <= kLargestMaxSide ? side : 0;
}

void put(std::array<std::uint8_t, kHeaderBytes>& header, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) {
    header[at + i] = static_cast<std::uint8_t>(value >> (8 * i));
  }
}

int run(std::span<char*> arguments) {
  const int max_side = max_side_of(arguments);
  if (max_side == 0) finish(Exit::usage);
  if (!confine()) finish(Exit::unconfined);

  // One byte more than allowed shows that there is more.
  const std::unique_ptr<std::uint8_t, Free> file(
      static_cast<std::uint8_t*>(std::calloc(1, kFileLimit + 1)));
  if (!file) finish(Exit::memory);
  std::size_t size = 0;
  while (size <= kFileLimit) {
    const ssize_t got = read(STDIN_FILENO, file.get() + size, kFileLimit + 1 - size);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) finish(Exit::input);
    if (got == 0) break;
    size += static_cast<std::size_t>(got);
  }

  const Decoded picture = decode({file.get(), size}, max_side);
  if (picture.end != Exit::done) finish(picture.end);

  std::array<std::uint8_t, kHeaderBytes> header{};
  std::copy(kMagic.begin(), kMagic.end(), header.begin());
  put(header, 8, static_cast<std::uint32_t>(picture.width));
  put(header, 12, static_cast<std::uint32_t>(picture.height));
  put(header, 16, picture.drawing ? kFlagDrawing : 0);
  const std::size_t pixels =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height) * 4;
  const bool handed =
      write_all(STDOUT_FILENO, header) && write_all(STDOUT_FILENO, {picture.rgba.get(), pixels});
  finish(handed ? Exit::done : Exit::output);
}

}  // namespace
}  // namespace baylore::photo

int main(int argc, char** argv) {
  return baylore::photo::run({argv, static_cast<std::size_t>(argc)});
}
