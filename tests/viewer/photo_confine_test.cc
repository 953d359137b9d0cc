// The cage itself: what a confined process may do, and that everything else kills it. Each try runs
// in a child of this test, because there is no way back. Also the program as a shell sees it.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <poll.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/ptrace.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <cstdlib>
#include <functional>
#include <string>
#include <utility>

#include "viewer/photo/decoder/confine.h"
#include "viewer/photo_pictures.h"

namespace baylore::photo {
namespace {

using photo_tests::Folder;
using photo_tests::text_of;

// The wait status of a child that confines itself and then does `deed`; it exits 0 when that
// returns true.
int confined(const std::function<bool()>& deed) {
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    if (!confine()) _exit(99);
    _exit(deed() ? 0 : 1);
  }
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  return status;
}

bool killed_by_filter(const std::function<void()>& deed) {
  const int status = confined([&] {
    deed();
    return true;
  });
  return WIFSIGNALED(status) && WTERMSIG(status) == SIGSYS;
}

TEST_CASE("a confined process computes, takes memory and answers") {
  std::array<int, 2> out{};
  REQUIRE(pipe(out.data()) == 0);
  const int kept = dup(STDOUT_FILENO);
  dup2(out[1], STDOUT_FILENO);
  const int status = confined([] {
    for (const std::size_t size :
         {std::size_t{100}, std::size_t{100} << 10U, std::size_t{100} << 20U}) {
      auto* block = static_cast<volatile char*>(std::malloc(size));
      if (!block) return false;
      block[size - 1] = 1;
      void* more = std::realloc(const_cast<char*>(block), size * 2);  // mremap for the large one
      if (!more) return false;
      std::free(more);
    }
    return write(STDOUT_FILENO, "yes", 3) == 3;
  });
  dup2(kept, STDOUT_FILENO);
  close(kept);
  close(out[1]);
  std::array<char, 4> answer{};
  CHECK(read(out[0], answer.data(), answer.size()) == 3);
  close(out[0]);
  CHECK(status == 0);
}

TEST_CASE("a confined process cannot have more than 512 MiB") {
  CHECK(confined([] {
          void* volatile block = std::malloc(std::size_t{520} << 20U);
          return block == nullptr;
        }) == 0);
}

TEST_CASE("a confined process that asks for anything else is killed") {
  const std::array<std::pair<const char*, std::function<void()>>, 21> deeds = {{
      {"open", [] { open("/dev/null", O_RDONLY); }},
      {"open by its old number", [] { syscall(SYS_openat, AT_FDCWD, "/etc/passwd", O_RDONLY); }},
      {"create", [] { open("made-by-the-decoder", O_CREAT | O_WRONLY, 0600); }},
      {"socket", [] { socket(AF_INET, SOCK_STREAM, 0); }},
      {"unix socket", [] { socket(AF_UNIX, SOCK_STREAM, 0); }},
      {"fork", [] { syscall(SYS_clone, SIGCHLD, 0, 0, 0, 0); }},
      {"exec", [] { execl("/bin/true", "true", nullptr); }},
      {"unlink", [] { unlink("nothing"); }},
      {"kill", [] { kill(getppid(), 0); }},
      {"ptrace", [] { ptrace(PTRACE_TRACEME, 0, nullptr, nullptr); }},
      {"prctl", [] { prctl(PR_SET_DUMPABLE, 1, 0, 0, 0); }},
      {"raise a limit", [] { syscall(SYS_prlimit64, 0, RLIMIT_CPU, nullptr, nullptr); }},
      {"memory to run",
       [] { mmap(nullptr, 4096, PROT_READ | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0); }},
      {"map a file", [] { mmap(nullptr, 4096, PROT_READ, MAP_PRIVATE, STDIN_FILENO, 0); }},
      {"turn memory to code", [] { mprotect(nullptr, 4096, PROT_EXEC); }},
      {"read another descriptor", [] { syscall(SYS_read, 3, nullptr, 0); }},
      {"read its own output", [] { syscall(SYS_read, STDOUT_FILENO, nullptr, 0); }},
      {"write its own input", [] { syscall(SYS_write, STDIN_FILENO, nullptr, 0); }},
      {"write another descriptor", [] { syscall(SYS_write, 3, nullptr, 0); }},
      {"duplicate", [] { dup(STDIN_FILENO); }},
      {"ioctl",
       [] {
         syscall(SYS_ioctl, STDIN_FILENO, 0x5412, "x");
       }},  // TIOCSTI: types for the terminal's user
  }};
  for (const auto& deed : deeds) {
    CAPTURE(deed.first);
    CHECK(killed_by_filter(deed.second));
  }
}

// A child that confines itself, says so, then waits for standard input, as the decoder does for a
// slow file.
struct Waiting {
  int in = -1;    // write end of its standard input
  int said = -1;  // read end of its standard output
  pid_t parent = -1;
  pid_t id = -1;
};

// `through_parent`: started by a process between, whose only task is to be its parent.
Waiting start_waiting(bool through_parent) {
  std::array<int, 2> in{};
  std::array<int, 2> out{};
  REQUIRE(pipe(in.data()) == 0);
  REQUIRE(pipe(out.data()) == 0);
  Waiting waiting;
  const pid_t first = fork();
  REQUIRE(first >= 0);
  if (first == 0) {
    if (through_parent && fork() != 0) {
      close(in[1]);
      close(out[1]);
      for (;;) pause();
    }
    dup2(in[0], STDIN_FILENO);
    dup2(out[1], STDOUT_FILENO);
    dup2(out[1], STDERR_FILENO);  // where this test's own errors go may be a file
    for (const int fd : {in[0], in[1], out[0], out[1]}) close(fd);
    const pid_t own = getpid();
    if (!confine()) _exit(99);
    char byte = 0;
    if (write(STDOUT_FILENO, &own, sizeof own) != sizeof own) _exit(98);
    _exit(read(STDIN_FILENO, &byte, 1) == 1 ? 0 : 1);
  }
  close(in[0]);
  close(out[1]);
  waiting.in = in[1];
  waiting.said = out[0];
  waiting.parent = first;
  REQUIRE(read(out[0], &waiting.id, sizeof waiting.id) == sizeof waiting.id);
  return waiting;
}

TEST_CASE("the kernel confirms limits, filter and lost rights") {
  const Waiting waiting = start_waiting(false);
  const std::string folder = "/proc/" + std::to_string(waiting.id);
  const std::string status = text_of(folder + "/status");
  const std::string limits = text_of(folder + "/limits");
  CHECK(write(waiting.in, "x", 1) == 1);
  int ended = -1;
  CHECK(waitpid(waiting.parent, &ended, 0) == waiting.parent);
  CHECK(ended == 0);
  close(waiting.in);
  close(waiting.said);

  CHECK(status.find("NoNewPrivs:\t1\n") != std::string::npos);
  CHECK(status.find("Seccomp:\t2\n") != std::string::npos);
  const auto limit = [&](const std::string& name) {
    const std::size_t at = limits.find(name);
    if (at == std::string::npos) return std::string("none");
    const std::size_t from = limits.find_first_not_of(' ', at + name.size());
    return limits.substr(from, limits.find(' ', from) - from);
  };
  CHECK(limit("Max cpu time") == "5");
  CHECK(limit("Max address space") == "536870912");
  CHECK(limit("Max file size") == "0");
  CHECK(limit("Max open files") == "3");
  CHECK(limit("Max processes") == "0");
  CHECK(limit("Max core file size") == "0");
}

TEST_CASE("a confined process dies with the one that started it") {
  const Waiting waiting = start_waiting(true);
  kill(waiting.parent, SIGKILL);
  int ended = 0;
  REQUIRE(waitpid(waiting.parent, &ended, 0) == waiting.parent);
  // Its input stays open, so only its death can end its output.
  pollfd end{waiting.said, POLLIN, 0};
  CHECK(poll(&end, 1, 10'000) == 1);
  char byte = 0;
  CHECK(read(waiting.said, &byte, 1) == 0);
  close(waiting.in);
  close(waiting.said);
}

// --- the program from a shell

int shell(const std::string& line) {
  const int status = std::system(line.c_str());
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST_CASE("each refusal has its exit code and one plain line") {
  const Folder folder;
  const std::string run = "\"" BAYLORE_PHOTO "\"";
  const std::string said = folder.path("said");
  const auto check = [&](const std::string& line, int code, const std::string& words) {
    CAPTURE(line);
    CHECK(shell(line + " >" + folder.path("answer") + " 2>" + said) == code);
    CHECK(text_of(said) == words);
  };
  const std::string wrongly = "baylore-photo: the picture decoder was called wrongly\n";
  check(run + " --max-side </dev/null", 2, wrongly);
  check(run + " --max-side 0 </dev/null", 2, wrongly);
  check(run + " --max-side 4097 </dev/null", 2, wrongly);
  check(run + " --max-side 12x </dev/null", 2, wrongly);
  check(run + " picture.png </dev/null", 2, wrongly);
  check(run + " <&-", 4, "baylore-photo: the picture could not be read\n");
  check(run + " </dev/null", 10, "baylore-photo: the file is empty\n");
  check("echo text | " + run, 11, "baylore-photo: the file is neither a JPEG nor a PNG picture\n");
  check("head -c 12582912 /dev/zero | " + run, 11,
        "baylore-photo: the file is neither a JPEG nor a PNG picture\n");
  check("head -c 12582913 /dev/zero | " + run, 12,
        "baylore-photo: the file is larger than 12 MB\n");
  check("cat /dev/zero | " + run, 12, "baylore-photo: the file is larger than 12 MB\n");

  const std::string good =
      folder.file("good.png", photo_tests::png(photo_tests::Canvas(3, 2, {9, 8, 7, 255})));
  check(run + " --max-side 4096 <" + good, 0, "");
  // The answer as viewer/photo/answer.h describes it.
  std::string answer("BayPict\n\x03\0\0\0\x02\0\0\0\0\0\0\0", 20);
  for (int i = 0; i < 6; ++i) answer += "\x09\x08\x07\xFF";
  CHECK(text_of(folder.path("answer")) == answer);
  CHECK(shell(run + " <" + good + " >/dev/full 2>" + said) == 5);
  CHECK(text_of(said) == "baylore-photo: the decoded picture could not be handed over\n");
}

}  // namespace
}  // namespace baylore::photo
