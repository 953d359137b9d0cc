#include "viewer/photo/client.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstddef>
#include <optional>
#include <span>
#include <utility>

#include "confine/child.h"
#include "viewer/photo/answer.h"

namespace baylore::photo {
namespace {

using confine::Child;
using confine::Clock;
using confine::Descriptor;
using confine::Got;
using confine::read_into;
using Kind = files::Failure::Kind;

files::Failure not_shown(const std::string& path, Kind kind, const std::string& why,
                         const std::string& remedy) {
  return {kind, path, "not shown: " + why, remedy};
}

files::Failure damaged(const std::string& path) {
  return not_shown(path, Kind::damaged, words(Exit::damaged), "replace the file");
}

files::Failure too_slow(const std::string& path) {
  return not_shown(path, Kind::too_large, "the picture takes too long to decode",
                   "save it smaller and replace the file");
}

files::Failure no_resources(const std::string& path) {
  return not_shown(path, Kind::other, "the system has no room for another program",
                   "try again; restart the terminal if it stays");
}

files::Failure from_open(const std::string& path, int error) {
  switch (error) {
    case ENOENT:
    case ENOTDIR:
      return not_shown(path, Kind::missing, "there is no such file",
                       "check the name in the tip or add the picture");
    case EACCES:
    case EPERM:
      return not_shown(path, Kind::denied, "the file may not be read",
                       "give this terminal's user the right to read it");
    case ELOOP:
      return not_shown(path, Kind::denied, "the name is a link, not a picture",
                       "put the picture itself in its place");
    case ENXIO:
    case ENODEV:
      return not_shown(path, Kind::damaged, "this is no picture file",
                       "replace it with a JPEG or PNG");
    case EIO:
    case ESTALE:
    case ETIMEDOUT:
    case EHOSTDOWN:
    case EHOSTUNREACH:
      return not_shown(path, Kind::gone, "the disk or network folder does not answer",
                       "check the connection and try again");
    case EMFILE:
    case ENFILE:
    case ENOMEM:
      return no_resources(path);
    default:
      return not_shown(path, Kind::other, "the file cannot be opened",
                       "check the file and its name");
  }
}

// Opens what is named if it is a plain file of a bearable size. Nothing that is named can make this
// wait: O_NONBLOCK is for pipes and devices and means nothing to a plain file.
files::Result<Descriptor> open_picture(const std::string& path) {
  int number = -1;
  do {
    number = open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
  } while (number < 0 && errno == EINTR);
  if (number < 0) return from_open(path, errno);
  Descriptor file(number);
  struct stat status {};
  if (fstat(file.number(), &status) != 0) return from_open(path, errno);
  if (S_ISDIR(status.st_mode)) {
    return not_shown(path, Kind::damaged, "this is a folder", "name a picture inside it");
  }
  if (!S_ISREG(status.st_mode)) return from_open(path, ENXIO);
  if (status.st_size > static_cast<off_t>(kFileLimit)) {
    return not_shown(path, Kind::too_large, words(Exit::heavy),
                     "save it smaller and replace the file");
  }
  return file;
}

std::uint32_t number_at(std::span<const std::uint8_t> bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = (value << 8U) | bytes[at + i];
  return value;
}

// Nothing the program says is believed: the sizes must lie within what was asked for, the pixels
// must be exactly as many, and nothing may follow. Returns what came of it; `picture` holds only
// when Got::all.
Got read_answer(const Descriptor& pipe, int max_side, Clock::time_point deadline,
                Picture& picture) {
  std::array<std::uint8_t, kHeaderBytes> header{};
  std::size_t filled = 0;
  const Got start = read_into(pipe, header, deadline, filled);
  if (start != Got::all) return start;
  const std::uint32_t width = number_at(header, 8);
  const std::uint32_t height = number_at(header, 12);
  const std::uint32_t flags = number_at(header, 16);
  const auto most = static_cast<std::uint32_t>(max_side);
  if (!std::equal(kMagic.begin(), kMagic.end(), header.begin()) || width < 1 || height < 1 ||
      width > most || height > most || (flags & ~kFlagDrawing) != 0) {
    return Got::failed;
  }
  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  picture.drawing = (flags & kFlagDrawing) != 0;
  picture.rgba.resize(std::size_t{4} * width * height);
  const Got body = read_into(pipe, picture.rgba, deadline, filled);
  if (body != Got::all) return body;
  std::array<std::uint8_t, 1> more{};
  const Got end = read_into(pipe, more, deadline, filled);
  if (end == Got::ended) return Got::all;
  return end == Got::all ? Got::failed : end;
}

// What to say when the program itself ended with `status` instead of done.
files::Failure from_status(const std::string& path, int status) {
  if (WIFSIGNALED(status)) return WTERMSIG(status) == SIGXCPU ? too_slow(path) : damaged(path);
  const auto end = static_cast<Exit>(WEXITSTATUS(status));
  switch (end) {
    case Exit::empty:
    case Exit::damaged:
      return not_shown(path, Kind::damaged, words(end), "replace the file");
    case Exit::foreign:
      return not_shown(path, Kind::damaged, words(end),
                       "save it as JPEG or PNG and replace the file");
    case Exit::heavy:
    case Exit::large:
    case Exit::long_side:
    case Exit::memory:
      return not_shown(path, Kind::too_large, words(end), "save it smaller and replace the file");
    case Exit::input:
      return not_shown(path, Kind::gone, words(end),
                       "check the disk or network folder and try again");
    case Exit::unconfined:
      return not_shown(path, Kind::other, words(end),
                       "pictures stay off until the system allows it");
    case Exit::done:
    case Exit::usage:
    case Exit::output:
      break;
  }
  // Also every other number: the loader's 127 when a library is missing, a shell's when `program`
  // is a script.
  return not_shown(path, Kind::other, "the picture decoder does not work", "install Baylore again");
}

}  // namespace

// In this order: open the file as plain and small, start the program on it, read its answer up to
// the limit, then ask how it ended. A refusal by exit code goes first, because it knows the reason;
// then the answer has to be whole.
files::Result<Picture> decode_picture(const std::string& program, const std::string& path,
                                      int max_side, std::chrono::milliseconds limit) {
  const Clock::time_point deadline = Clock::now() + limit;
  max_side = std::clamp(max_side, 1, kLargestMaxSide);
  auto file = open_picture(path);
  if (!file) return file.failure();

  Descriptor from;
  Descriptor to;
  if (!confine::make_pipe(from, to)) return no_resources(path);
  const pid_t id =
      confine::start(program, {"baylore-photo", "--max-side", std::to_string(max_side)}, *file, to);
  if (id == -EAGAIN || id == -ENOMEM || id == -EMFILE || id == -ENFILE) return no_resources(path);
  if (id < 0) {
    return not_shown(path, Kind::other, "the picture decoder cannot be started",
                     "install Baylore again");
  }
  Child child(id);
  to = Descriptor();  // else the pipe would never end
  fcntl(from.number(), F_SETFL, O_NONBLOCK);

  Picture picture;
  const Got got = read_answer(from, max_side, deadline, picture);
  if (got == Got::late) return too_slow(path);
  if (got == Got::failed) return damaged(path);
  const std::optional<int> status = child.ended_by(deadline);
  if (!status) return too_slow(path);
  if (*status != 0) return from_status(path, *status);
  if (got != Got::all) return damaged(path);
  return picture;
}

}  // namespace baylore::photo
