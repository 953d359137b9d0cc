// The cage itself: what a confined process may do, and that everything else kills it. Each try is a
// run of photo_caged, because there is no way back. Also the program as a shell sees it.
#include <doctest/doctest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <cstdlib>
#include <string>

#include "viewer/photo_pictures.h"

namespace baylore::photo {
namespace {

using photo_tests::Folder;
using photo_tests::text_of;

// A run of photo_caged between two pipes, or without a deed of the program that is shipped; its
// standard error goes to its output too. Whatever a test finds, it is killed and reaped in the end.
class Caged {
 public:
  // With `between`, it is started by a process in between whose only task is to be its parent; that
  // one is `child` then.
  explicit Caged(const char* deed, bool between = false) {
    std::array<int, 2> in_ends{};
    std::array<int, 2> out_ends{};
    REQUIRE(pipe(in_ends.data()) == 0);
    REQUIRE(pipe(out_ends.data()) == 0);
    child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      if (between && fork() != 0) {
        close(in_ends[1]);
        close(out_ends[1]);
        for (;;) pause();
      }
      dup2(in_ends[0], STDIN_FILENO);
      dup2(out_ends[1], STDOUT_FILENO);
      dup2(out_ends[1], STDERR_FILENO);
      for (const int fd : {in_ends[0], in_ends[1], out_ends[0], out_ends[1]}) close(fd);
      if (deed == nullptr) {
        execl(BAYLORE_PHOTO, "baylore-photo", nullptr);
      } else {
        execl(BAYLORE_PHOTO_CAGED, "photo_caged", deed, nullptr);
      }
      _exit(97);
    }
    close(in_ends[0]);
    close(out_ends[1]);
    in = in_ends[1];
    said = out_ends[0];
  }
  Caged(const Caged&) = delete;
  Caged& operator=(const Caged&) = delete;
  ~Caged() {
    if (child > 0) {
      kill(child, SIGKILL);
      waitpid(child, nullptr, 0);
    }
    close(in);
    close(said);
  }

  // How it ended, as waitpid says.
  int end() {
    int status = -1;
    CHECK(waitpid(child, &status, 0) == child);
    child = -1;
    return status;
  }

  int in = -1;    // write end of its standard input
  int said = -1;  // read end of its standard output
  pid_t child = -1;
};

TEST_CASE("a confined process computes, takes memory and answers") {
  Caged caged("work");
  std::array<char, 4> answer{};
  CHECK(read(caged.said, answer.data(), answer.size()) == 3);
  CHECK(caged.end() == 0);
}

TEST_CASE("a confined process cannot have more than 512 MiB") { CHECK(Caged("520MiB").end() == 0); }

TEST_CASE("a confined process that asks for anything else is killed") {
  for (const char* deed :
       {"open",      "create",  "unlink",     "socket",      "unix-socket", "fork",
        "exec",      "kill",    "ptrace",     "prctl",       "limit",       "run-memory",
        "map-file",  "protect", "read-other", "read-output", "write-other", "write-input",
        "duplicate", "own-id",  "ioctl"}) {
    const std::string name = deed;
    CAPTURE(name);
    const int status = Caged(deed).end();
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == SIGSYS);
  }
}

// What the kernel says of a running process.
struct Told {
  explicit Told(pid_t id)
      : status(text_of("/proc/" + std::to_string(id) + "/status")),
        limits(text_of("/proc/" + std::to_string(id) + "/limits")) {}
  [[nodiscard]] bool filtered() const { return status.find("Seccomp:\t2\n") != std::string::npos; }
  [[nodiscard]] std::string limit(const std::string& name) const {
    const std::size_t at = limits.find(name);
    if (at == std::string::npos) return "none";
    const std::size_t from = limits.find_first_not_of(' ', at + name.size());
    return limits.substr(from, limits.find(' ', from) - from);
  }

  std::string status;
  std::string limits;
};

void check_locked_in(const Told& told) {
  CHECK(told.status.find("NoNewPrivs:\t1\n") != std::string::npos);
  CHECK(told.filtered());
  CHECK(told.limit("Max cpu time") == "5");
  CHECK(told.limit("Max address space") == "536870912");
  CHECK(told.limit("Max file size") == "0");
  CHECK(told.limit("Max open files") == "3");
  CHECK(told.limit("Max processes") == "0");
  CHECK(told.limit("Max core file size") == "0");
}

TEST_CASE("the kernel confirms limits, filter and lost rights") {
  Caged caged("wait");
  pid_t id = 0;
  REQUIRE(read(caged.said, &id, sizeof id) == sizeof id);
  const Told told(id);
  CHECK(write(caged.in, "x", 1) == 1);
  CHECK(caged.end() == 0);
  check_locked_in(told);
}

TEST_CASE("so does the program that is shipped, before it has read a byte") {
  Caged shipped(nullptr);
  // Nothing is written to it, so it waits where it would read the first byte.
  for (int i = 0; i < 10'000 && !Told(shipped.child).filtered(); ++i) usleep(1000);
  const Told told(shipped.child);
  CHECK(told.status.find("Name:\tbaylore-photo\n") != std::string::npos);
  check_locked_in(told);
}

TEST_CASE("a confined process that computes for ever is ended by the kernel") {
  const int status = Caged("spin").end();
  CHECK(WIFSIGNALED(status));
  CHECK(WTERMSIG(status) == SIGXCPU);
}

TEST_CASE("a confined process dies with the one that started it") {
  Caged caged("wait", true);
  pid_t id = 0;
  REQUIRE(read(caged.said, &id, sizeof id) == sizeof id);
  kill(caged.child, SIGKILL);
  // Its input stays open, so only its death can end its output.
  pollfd ended{caged.said, POLLIN, 0};
  CHECK(poll(&ended, 1, 10'000) == 1);
  char byte = 0;
  CHECK(read(caged.said, &byte, 1) == 0);
  CHECK(WIFSIGNALED(caged.end()));
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
