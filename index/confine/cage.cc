#include "confine/cage.h"

#include <seccomp.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <cstdint>
#include <memory>

namespace baylore::confine {
namespace {

bool limit(__rlimit_resource resource, rlim_t soft, rlim_t hard) {
  const rlimit wanted{soft, hard};
  return setrlimit(resource, &wanted) == 0;
}

bool set_limits(const Cage& cage) {
  // Pipes know no file size. Only a shell that sends the answer or the refusal to a file needs room
  // for it.
  const auto is_file = [](int descriptor) {
    struct stat status {};
    return fstat(descriptor, &status) == 0 && S_ISREG(status.st_mode);
  };
  const bool to_file = is_file(STDOUT_FILENO) || is_file(STDERR_FILENO);
  const rlim_t written = to_file ? rlim_t{cage.written} : rlim_t{0};
  const rlim_t seconds{cage.processor_seconds};
  return limit(RLIMIT_AS, cage.memory, cage.memory) &&
         // The soft limit ends it with a signal the caller can tell from a crash, the hard one for
         // certain.
         limit(RLIMIT_CPU, seconds, seconds + 1) && limit(RLIMIT_NOFILE, 3, 3) &&
         limit(RLIMIT_FSIZE, written, written) && limit(RLIMIT_NPROC, 0, 0) &&
         limit(RLIMIT_CORE, 0, 0);
}

struct Release {
  void operator()(void* filter) const { seccomp_release(filter); }
};

// Only what is listed is allowed; what is not kills the whole process, as does a call by another
// architecture's numbers.
bool load_filter(const Cage& cage) {
  const std::unique_ptr<void, Release> filter(seccomp_init(SCMP_ACT_KILL_PROCESS));
  if (!filter) return false;
  scmp_filter_ctx f = filter.get();
  bool ok = seccomp_attr_set(f, SCMP_FLTATR_ACT_BADARCH, SCMP_ACT_KILL_PROCESS) == 0;

  const scmp_arg_cmp from_input{0, SCMP_CMP_EQ, STDIN_FILENO, 0};
  ok = ok && seccomp_rule_add_array(f, SCMP_ACT_ALLOW, SCMP_SYS(read), 1, &from_input) == 0;
  if (cage.seeks_input) {
    for (const int call : {SCMP_SYS(pread64), SCMP_SYS(lseek)})
      ok = ok && seccomp_rule_add_array(f, SCMP_ACT_ALLOW, call, 1, &from_input) == 0;
  }
  for (const unsigned out : {1U, 2U}) {  // standard output and standard error
    const scmp_arg_cmp to_output{0, SCMP_CMP_EQ, out, 0};
    ok = ok && seccomp_rule_add_array(f, SCMP_ACT_ALLOW, SCMP_SYS(write), 1, &to_output) == 0;
  }
  // Memory of its own that can never be run as code: no file behind it, no PROT_EXEC.
  const scmp_arg_cmp memory[] = {
      {2, SCMP_CMP_MASKED_EQ, PROT_EXEC, 0},
      {3, SCMP_CMP_MASKED_EQ, MAP_ANONYMOUS, MAP_ANONYMOUS},
  };
  ok = ok && seccomp_rule_add_array(f, SCMP_ACT_ALLOW, SCMP_SYS(mmap), 2, memory) == 0;
  for (const int call :
       {SCMP_SYS(munmap), SCMP_SYS(mremap), SCMP_SYS(brk), SCMP_SYS(exit), SCMP_SYS(exit_group)}) {
    ok = ok && seccomp_rule_add_array(f, SCMP_ACT_ALLOW, call, 0, nullptr) == 0;
  }
  return ok && seccomp_load(f) == 0;
}

}  // namespace

bool close_cage(const Cage& cage) {
  // Both signals may have been inherited as ignored. Out of time ends the process, out of room is
  // an error to report.
  std::signal(SIGXCPU, SIG_DFL);
  std::signal(SIGXFSZ, SIG_IGN);
  return prctl(PR_SET_PDEATHSIG, SIGKILL, 0, 0, 0) == 0 &&
         prctl(PR_SET_DUMPABLE, 0, 0, 0, 0) == 0 && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
         set_limits(cage) && load_filter(cage);
}

}  // namespace baylore::confine
