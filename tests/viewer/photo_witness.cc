// Stands in for baylore-photo and tells what it was given: a picture of one pixel for each open
// descriptor across, one row more than there are environment variables, its first value the number
// of ignored or blocked signals.
#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstddef>
#include <cstdint>
#include <string>

int main(int, char**, char** environment) {
  std::uint32_t open = 0;
  for (int fd = 0; fd < 1024; ++fd) open += fcntl(fd, F_GETFD) >= 0 ? 1U : 0U;
  std::uint32_t rows = 1;
  while (environment[rows - 1]) ++rows;
  int deaf = 0;
  sigset_t blocked;
  sigprocmask(SIG_BLOCK, nullptr, &blocked);
  for (int number = 1; number < NSIG; ++number) {
    struct sigaction action {};
    // The C library keeps two numbers to itself and answers for neither.
    if (sigaction(number, nullptr, &action) != 0) continue;
    deaf += action.sa_handler == SIG_IGN || sigismember(&blocked, number) == 1 ? 1 : 0;
  }

  std::string answer = "BayPict\n";
  for (const std::uint32_t value : {open, rows, 0U}) {
    for (unsigned i = 0; i < 4; ++i) answer += static_cast<char>(value >> (8 * i));
  }
  answer.append(std::size_t{4} * open * rows, static_cast<char>(deaf));
  return write(STDOUT_FILENO, answer.data(), answer.size()) == static_cast<ssize_t>(answer.size())
             ? 0
             : 1;
}
