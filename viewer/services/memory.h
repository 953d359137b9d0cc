// Memory after a large piece of work.
#pragma once

#include <cstdlib>
#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace baylore::viewer {

// What was allocated and freed goes back to the system. The allocator would keep it for the thread
// that had it: of a hundred thousand tips some 200 MB after a pack was taken in, on a terminal that
// is on for months. Costs milliseconds: for what happens a few times a day.
inline void give_back_memory() {
#if defined(__GLIBC__)
  ::malloc_trim(0);
#endif
}

}  // namespace baylore::viewer
