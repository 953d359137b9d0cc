// photo_caged DEED: goes into the decoder's cage, then does what it is told. 0 when the deed went
// well, 1 when not, 98 for no such deed, 99 when the cage could not be closed. A program of its
// own, because sanitizers do not work inside the cage.
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/ptrace.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <csignal>
#include <cstddef>
#include <cstdlib>
#include <string_view>

#include "viewer/photo/decoder/confine.h"

namespace {

// --- what is allowed

bool work() {
  for (const std::size_t size :
       {std::size_t{100}, std::size_t{100} << 10U, std::size_t{100} << 20U}) {
    char* block = static_cast<char*>(std::malloc(size));
    if (!block) return false;
    static_cast<volatile char*>(block)[size - 1] = 1;
    char* more = static_cast<char*>(std::realloc(block, size * 2));  // mremap for the large one
    if (!more || more[size - 1] != 1) return false;
    std::free(more);
  }
  return write(STDOUT_FILENO, "yes", 3) == 3;
}

bool get_no_520_mebibytes() {
  void* volatile block = std::malloc(std::size_t{520} << 20U);
  return block == nullptr;
}

// Asked for before the cage closes: afterwards even that is forbidden.
const pid_t own = getpid();

// As the decoder does for a slow file: says its process id, then waits for a byte.
bool wait_for_input() {
  char byte = 0;
  return write(STDOUT_FILENO, &own, sizeof own) == sizeof own && read(STDIN_FILENO, &byte, 1) == 1;
}

// As a picture that is never done; in a cage of one second.
bool spin() {
  static volatile bool on = true;
  while (on) {
  }
  return true;
}

// --- what is not: returning at all is the failure

struct Deed {
  std::string_view name;
  void (*act)();
};

const Deed kForbidden[] = {
    {"open", [] { open("/dev/null", O_RDONLY); }},
    {"create", [] { open("made-by-the-decoder", O_CREAT | O_WRONLY, 0600); }},
    {"unlink", [] { unlink("nothing"); }},
    {"socket", [] { socket(AF_INET, SOCK_STREAM, 0); }},
    {"unix-socket", [] { socket(AF_UNIX, SOCK_STREAM, 0); }},
    {"fork", [] { syscall(SYS_clone, SIGCHLD, 0, 0, 0, 0); }},
    {"exec", [] { execl("/bin/true", "true", nullptr); }},
    {"kill", [] { kill(getppid(), 0); }},
    {"ptrace", [] { ptrace(PTRACE_TRACEME, 0, nullptr, nullptr); }},
    {"prctl", [] { prctl(PR_SET_DUMPABLE, 1, 0, 0, 0); }},
    {"limit", [] { syscall(SYS_prlimit64, 0, RLIMIT_CPU, nullptr, nullptr); }},
    {"run-memory",
     [] { mmap(nullptr, 4096, PROT_READ | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0); }},
    {"map-file", [] { mmap(nullptr, 4096, PROT_READ, MAP_PRIVATE, STDIN_FILENO, 0); }},
    {"protect", [] { mprotect(nullptr, 4096, PROT_EXEC); }},
    {"read-other", [] { syscall(SYS_read, 3, nullptr, 0); }},
    {"read-output", [] { syscall(SYS_read, STDOUT_FILENO, nullptr, 0); }},
    {"write-other", [] { syscall(SYS_write, 3, nullptr, 0); }},
    {"write-input", [] { syscall(SYS_write, STDIN_FILENO, nullptr, 0); }},
    {"own-id", [] { getpid(); }},
    {"duplicate", [] { syscall(SYS_dup, STDIN_FILENO); }},
    {"ioctl",
     [] {
       syscall(SYS_ioctl, STDIN_FILENO, 0x5412, "x");
     }},  // TIOCSTI types for the terminal's user
};

}  // namespace

int main(int argc, char** argv) {
  const std::string_view name = argc == 2 ? argv[1] : "";
  const Deed* forbidden = nullptr;
  for (const Deed& deed : kForbidden) forbidden = deed.name == name ? &deed : forbidden;
  bool (*const allowed)() = name == "work"     ? work
                            : name == "520MiB" ? get_no_520_mebibytes
                            : name == "wait"   ? wait_for_input
                            : name == "spin"   ? spin
                                               : nullptr;
  if (!forbidden && !allowed) _exit(98);
  baylore::photo::Limits limits = baylore::photo::kOfShop;
  if (allowed == spin) limits.processor_seconds = 1;
  if (!baylore::photo::confine(limits)) _exit(99);
  if (forbidden) forbidden->act();
  _exit(!allowed || allowed() ? 0 : 1);
}
