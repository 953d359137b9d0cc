// The cage that a program closes around itself before it reads the first byte of what somebody else
// made.
#pragma once

#include <cstdint>

namespace baylore::confine {

struct Cage {
  std::uint64_t memory = 0;  // bytes of address space
  unsigned processor_seconds = 0;
  // The most that standard output and standard error may grow where a shell sends them to a file;
  // pipes know no size.
  std::uint64_t written = 0;
  bool seeks_input = false;  // standard input may be read at any place of it
};

// From now on the calling process can compute, read standard input, write standard output and
// standard error, take memory and end. Any other request to the kernel kills it. Out of processor
// time it dies of SIGXCPU; it dies with the thread that started it; it cannot be traced or dumped,
// gain rights, start processes or open anything. The only way back is to end. Returns false when
// the system refused a part: then nothing may be read. The process must have one thread.
[[nodiscard]] bool close_cage(const Cage& cage);

}  // namespace baylore::confine
