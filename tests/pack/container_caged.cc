// container_caged DEED < FILE: goes into the cage of baylore-container, then does what it is told.
// 0 when the deed went well, 1 when not, 98 for no such deed, 99 when the cage could not be closed.
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <string_view>

#include "confine/cage.h"
#include "pack/confined/frames.h"

namespace {

char byte = 0;

struct Deed {
  std::string_view name;
  bool (*act)();
};

const Deed kDeeds[] = {
    // --- allowed
    {"read-anywhere",
     [] { return pread(STDIN_FILENO, &byte, 1, 2) == 1 && lseek(STDIN_FILENO, 0, SEEK_SET) == 0; }},
    {"answer", [] { return write(STDOUT_FILENO, "yes", 3) == 3; }},
    {"no-330-mebibytes",
     [] {
       void* volatile block = std::malloc(std::size_t{330} << 20U);
       return block == nullptr;
     }},
    // --- not: returning at all is the failure
    {"open", [] { return open("/dev/null", O_RDONLY) >= 0; }},
    {"create", [] { return open("made-by-the-reader", O_CREAT | O_WRONLY, 0600) >= 0; }},
    {"unlink", [] { return unlink("nothing") == 0; }},
    {"socket", [] { return socket(AF_INET, SOCK_STREAM, 0) >= 0; }},
    {"unix-socket", [] { return socket(AF_UNIX, SOCK_STREAM, 0) >= 0; }},
    {"fork", [] { return syscall(SYS_clone, SIGCHLD, 0, 0, 0, 0) >= 0; }},
    {"exec", [] { return execl("/bin/true", "true", nullptr) == 0; }},
    {"kill", [] { return kill(getppid(), 0) == 0; }},
    {"map-file", [] { return mmap(nullptr, 4096, PROT_READ, MAP_PRIVATE, 0, 0) != nullptr; }},
    {"write-input", [] { return syscall(SYS_write, STDIN_FILENO, &byte, 1) == 1; }},
    {"write-input-anywhere", [] { return syscall(SYS_pwrite64, STDIN_FILENO, &byte, 1, 0) == 1; }},
    {"read-other-anywhere", [] { return syscall(SYS_pread64, 2, &byte, 1, 0) == 1; }},
    {"seek-output", [] { return syscall(SYS_lseek, STDOUT_FILENO, 0, SEEK_SET) == 0; }},
    {"truncate", [] { return syscall(SYS_ftruncate, STDIN_FILENO, 0) == 0; }},
};

}  // namespace

int main(int argc, char** argv) {
  const std::string_view name = argc == 2 ? argv[1] : "";
  for (const Deed& deed : kDeeds) {
    if (deed.name != name) continue;
    if (!baylore::confine::close_cage(baylore::pack::frames::kCage)) _exit(99);
    _exit(deed.act() ? 0 : 1);
  }
  _exit(98);
}
