// The cage the decoder puts itself into before it reads the first byte of a picture.
#pragma once

namespace baylore::photo {

// From now on the calling process can compute, read standard input, write standard output and
// standard error, take memory up to 512 MiB and end. Any other request to the kernel kills it.
// Processor time ends at 5 s; it dies with the thread that started it; it cannot be traced or
// dumped, gain rights, start processes or open anything. The only way back is to end. Returns false
// when the system refused a part: then no picture may be read. The process must have one thread.
[[nodiscard]] bool confine();

}  // namespace baylore::photo
