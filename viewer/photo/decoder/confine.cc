#include "viewer/photo/decoder/confine.h"

#include "confine/cage.h"

namespace baylore::photo {

bool confine(const Limits& limits) {
  confine::Cage cage;
  cage.memory = limits.memory;
  cage.processor_seconds = limits.processor_seconds;
  cage.written = kHeaderBytes + std::uint64_t{4} * kLargestMaxSide * kLargestMaxSide;
  return confine::close_cage(cage);
}

}  // namespace baylore::photo
