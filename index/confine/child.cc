#include "confine/child.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <thread>

namespace baylore::confine {

Descriptor::~Descriptor() {
  if (number_ >= 0) close(number_);
}

bool make_pipe(Descriptor& from, Descriptor& to) {
  std::array<int, 2> ends{};
  if (pipe2(ends.data(), O_CLOEXEC) != 0) return false;
  from = Descriptor(ends[0]);
  to = Descriptor(ends[1]);
  return true;
}

Child::~Child() {
  if (id_ <= 0) return;
  kill(id_, SIGKILL);
  while (waitpid(id_, nullptr, 0) < 0 && errno == EINTR) {
  }
}

std::optional<int> Child::ended_by(Clock::time_point deadline) {
  for (;;) {
    int status = 0;
    const pid_t got = waitpid(id_, &status, WNOHANG);
    if (got == id_) {
      id_ = -1;
      return status;
    }
    if (got < 0 && errno != EINTR) {
      // The process ignores SIGCHLD, so the system reaped the program: the answer has to speak
      // for itself.
      id_ = -1;
      return 0;
    }
    if (Clock::now() >= deadline) return std::nullopt;
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
}

pid_t start(const std::string& program, std::vector<std::string> arguments, const Descriptor& file,
            const Descriptor& out) {
  posix_spawn_file_actions_t actions;
  posix_spawnattr_t attributes;
  if (posix_spawn_file_actions_init(&actions) != 0) return -ENOMEM;
  if (posix_spawnattr_init(&attributes) != 0) {
    posix_spawn_file_actions_destroy(&actions);
    return -ENOMEM;
  }
  sigset_t none;
  sigset_t all;
  sigemptyset(&none);
  sigfillset(&all);
  std::vector<char*> words;
  for (std::string& word : arguments) words.push_back(word.data());
  words.push_back(nullptr);
  const std::array<char*, 1> environment = {nullptr};

  pid_t id = 0;
  int error = 0;
  const auto step = [&error](int result) { error = error != 0 ? error : result; };
  // When this process runs without standard descriptors, ours may lie at 0 to 2 themselves. The
  // file was opened before the pipe, so its number is the lower one and laying it over 0 never
  // covers the pipe.
  step(posix_spawn_file_actions_adddup2(&actions, file.number(), STDIN_FILENO));
  step(posix_spawn_file_actions_adddup2(&actions, out.number(), STDOUT_FILENO));
  step(posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0));
  step(posix_spawn_file_actions_addclosefrom_np(&actions, STDERR_FILENO + 1));
  step(posix_spawnattr_setsigmask(&attributes, &none));
  step(posix_spawnattr_setsigdefault(&attributes, &all));
  step(posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF));
  if (error == 0) {
    error =
        posix_spawn(&id, program.c_str(), &actions, &attributes, words.data(), environment.data());
  }
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  return error == 0 ? id : -error;
}

Got read_some(const Descriptor& pipe, std::span<std::uint8_t> into, Clock::time_point deadline,
              std::size_t& filled) {
  filled = 0;
  while (true) {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(deadline - Clock::now()).count();
    if (left <= 0) return Got::late;
    pollfd waiting{pipe.number(), POLLIN, 0};
    const int ready = poll(&waiting, 1, static_cast<int>(std::min<std::int64_t>(left, 60'000)));
    if (ready < 0 && errno != EINTR) return Got::failed;
    if (ready <= 0) continue;
    const ssize_t count = read(pipe.number(), into.data(), into.size());
    if (count == 0) return Got::ended;
    if (count < 0 && errno != EINTR && errno != EAGAIN) return Got::failed;
    if (count <= 0) continue;
    filled = static_cast<std::size_t>(count);
    return Got::some;
  }
}

Got read_into(const Descriptor& pipe, std::span<std::uint8_t> into, Clock::time_point deadline,
              std::size_t& filled) {
  filled = 0;
  while (filled < into.size()) {
    std::size_t more = 0;
    const Got got = read_some(pipe, into.subspan(filled), deadline, more);
    if (got != Got::some) return got;
    filled += more;
  }
  return Got::all;
}

}  // namespace baylore::confine
