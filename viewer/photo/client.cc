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
#include "shop/picture_file.h"
#include "viewer/photo/answer.h"

namespace baylore::photo {
namespace {

using confine::Child;
using confine::Clock;
using confine::Descriptor;
using confine::Got;
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
files::Result<Descriptor> open_picture(const std::string& path, From from) {
  const bool large = from == From::camera;
  const Limits& limits = large ? kOfCamera : kOfShop;
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
  if (status.st_size > static_cast<off_t>(limits.file)) {
    return not_shown(path, Kind::too_large, words(Exit::heavy, large),
                     "save it smaller and replace the file");
  }
  return file;
}

std::uint32_t number_at(std::span<const std::uint8_t> bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = (value << 8U) | bytes[at + i];
  return value;
}

// The answer's pipe, with how long it may take and whether somebody gave it up meanwhile.
class Answer {
 public:
  Answer(Descriptor pipe, Clock::time_point deadline, const std::atomic<bool>* stop)
      : pipe_(std::move(pipe)), deadline_(deadline), stop_(stop) {}

  [[nodiscard]] bool given_up() const { return stop_ != nullptr && *stop_; }

  // As confine::read_into(), and `late` too when it was given up.
  Got fill(std::span<std::uint8_t> into) {
    std::size_t filled = 0;
    while (filled < into.size()) {
      if (given_up()) return Got::late;
      const Clock::time_point look = std::min(deadline_, Clock::now() + kLookEvery);
      std::size_t more = 0;
      const Got got = confine::read_some(pipe_, into.subspan(filled), look, more);
      if (got == Got::late && look < deadline_) continue;
      if (got != Got::some) return got;
      filled += more;
    }
    return Got::all;
  }

  // Nothing may follow.
  Got close() {
    std::array<std::uint8_t, 1> more{};
    const Got end = fill(more);
    if (end == Got::ended) return Got::all;
    return end == Got::all ? Got::failed : end;
  }

 private:
  static constexpr auto kLookEvery = std::chrono::milliseconds(100);
  Descriptor pipe_;
  Clock::time_point deadline_;
  const std::atomic<bool>* stop_;
};

struct Header {
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  std::uint32_t third = 0;  // flags, or bytes
};

// Nothing the program says is believed: the sizes must lie within what was asked for, the pixels
// must be exactly as many, and nothing may follow.
Got read_header(Answer& answer, const std::array<std::uint8_t, 8>& magic, int max_side,
                Header& header) {
  std::array<std::uint8_t, kHeaderBytes> bytes{};
  const Got start = answer.fill(bytes);
  if (start != Got::all) return start;
  header = {number_at(bytes, 8), number_at(bytes, 12), number_at(bytes, 16)};
  const auto most = static_cast<std::uint32_t>(max_side);
  const bool sound = std::equal(magic.begin(), magic.end(), bytes.begin()) && header.width >= 1 &&
                     header.height >= 1 && header.width <= most && header.height <= most;
  return sound ? Got::all : Got::failed;
}

// Returns what came of it; `picture` holds only when Got::all.
Got read_picture(Answer& answer, int max_side, Picture& picture) {
  Header header;
  const Got start = read_header(answer, kMagic, max_side, header);
  if (start != Got::all) return start;
  if ((header.third & ~kFlagDrawing) != 0) return Got::failed;
  picture.width = static_cast<int>(header.width);
  picture.height = static_cast<int>(header.height);
  picture.drawing = (header.third & kFlagDrawing) != 0;
  picture.rgba.resize(std::size_t{4} * header.width * header.height);
  const Got body = answer.fill(picture.rgba);
  return body == Got::all ? answer.close() : body;
}

Got read_smaller(Answer& answer, int max_side, Smaller& smaller) {
  Header header;
  const Got start = read_header(answer, kJpegMagic, max_side, header);
  if (start != Got::all) return start;
  if (header.third > kJpegLimit) return Got::failed;
  smaller.width = static_cast<int>(header.width);
  smaller.height = static_cast<int>(header.height);
  smaller.jpeg.resize(header.third);
  const Got body =
      answer.fill({reinterpret_cast<std::uint8_t*>(smaller.jpeg.data()), smaller.jpeg.size()});
  if (body != Got::all) return body;
  // What is written into the shop is a JPEG from its first byte to its last, and tells nothing
  // else.
  const shop::PictureFile file = shop::read_picture_file(smaller.jpeg);
  if (!file.whole || file.kind != shop::PictureFile::Kind::jpeg || file.tells_more)
    return Got::failed;
  return answer.close();
}

// What to say when the program itself ended with `status` instead of done.
files::Failure from_status(const std::string& path, int status, bool large) {
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
      return not_shown(path, Kind::too_large, words(end, large),
                       "save it smaller and replace the file");
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

// In this order: open the file as plain and small, start the program on it, read its answer up to
// the limit, then ask how it ended. A refusal by exit code goes first, because it knows the reason;
// then the answer has to be whole.
template <typename Read>
std::optional<files::Failure> ask(const std::string& program, const std::string& path,
                                  std::vector<std::string> arguments,
                                  std::chrono::milliseconds limit, From from,
                                  const std::atomic<bool>* stop, Read read) {
  const Clock::time_point deadline = Clock::now() + limit;
  auto file = open_picture(path, from);
  if (!file) return file.failure();

  Descriptor out;
  Descriptor to;
  if (!confine::make_pipe(out, to)) return no_resources(path);
  const pid_t id = confine::start(program, std::move(arguments), *file, to);
  if (id == -EAGAIN || id == -ENOMEM || id == -EMFILE || id == -ENFILE) return no_resources(path);
  if (id < 0) {
    return not_shown(path, Kind::other, "the picture decoder cannot be started",
                     "install Baylore again");
  }
  Child child(id);
  to = Descriptor();  // else the pipe would never end
  fcntl(out.number(), F_SETFL, O_NONBLOCK);

  Answer answer(std::move(out), deadline, stop);
  const Got got = read(answer);
  if (answer.given_up())
    return files::Failure{Kind::other, path, "was given up", "start again when there is time"};
  if (got == Got::late) return too_slow(path);
  if (got == Got::failed) return damaged(path);
  const std::optional<int> status = child.ended_by(deadline);
  if (!status) return too_slow(path);
  if (*status != 0) return from_status(path, *status, from == From::camera);
  if (got != Got::all) return damaged(path);
  return std::nullopt;
}

}  // namespace

files::Result<Picture> decode_picture(const std::string& program, const std::string& path,
                                      int max_side, std::chrono::milliseconds limit, From from) {
  max_side = std::clamp(max_side, 1, kLargestMaxSide);
  std::vector<std::string> arguments = {"baylore-photo", "--max-side", std::to_string(max_side)};
  if (from == From::camera) arguments.emplace_back("--large");
  Picture picture;
  if (auto failure = ask(program, path, std::move(arguments), limit, from, nullptr,
                         [&](Answer& answer) { return read_picture(answer, max_side, picture); }))
    return *failure;
  return picture;
}

files::Result<Smaller> make_smaller(const std::string& program, const std::string& path,
                                    int max_side, std::chrono::milliseconds limit,
                                    const std::atomic<bool>* stop) {
  max_side = std::clamp(max_side, 1, kLargestMaxSide);
  Smaller smaller;
  if (auto failure =
          ask(program, path,
              {"baylore-photo", "--large", "--jpeg", "--max-side", std::to_string(max_side)}, limit,
              From::camera, stop,
              [&](Answer& answer) { return read_smaller(answer, max_side, smaller); }))
    return *failure;
  return smaller;
}

}  // namespace baylore::photo
