// The cage the decoder puts itself into before it reads the first byte of a picture.
#pragma once

#include "viewer/photo/answer.h"

namespace baylore::photo {

// confine::close_cage() with the memory and the processor time of `limits`.
[[nodiscard]] bool confine(const Limits& limits = kOfShop);

}  // namespace baylore::photo
