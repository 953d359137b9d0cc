// The cage the decoder puts itself into before it reads the first byte of a picture.
#pragma once

namespace baylore::photo {

// confine::close_cage() with 512 MiB of memory and 5 s of processor time.
[[nodiscard]] bool confine();

}  // namespace baylore::photo
