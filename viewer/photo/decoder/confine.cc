#include "viewer/photo/decoder/confine.h"

#include "confine/cage.h"
#include "viewer/photo/answer.h"

namespace baylore::photo {

bool confine() {
  confine::Cage cage;
  cage.memory = std::uint64_t{512} << 20U;  // 24 megapixels decode in about 400 MB at worst
  cage.processor_seconds = 5;
  cage.written = kHeaderBytes + std::uint64_t{4} * kLargestMaxSide * kLargestMaxSide;
  return confine::close_cage(cage);
}

}  // namespace baylore::photo
