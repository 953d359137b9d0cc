// libFuzzer's way in: one program a target, which BAYLORE_FUZZ_TARGET names.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "fuzz/targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  // An empty input comes with a null pointer.
  const std::string_view bytes =
      size == 0 ? std::string_view() : std::string_view(reinterpret_cast<const char*>(data), size);
  const std::string broken = baylore::fuzz::BAYLORE_FUZZ_TARGET(bytes);
  if (broken.empty()) return 0;
  std::fprintf(stderr, "A promise is broken: %s\n", broken.c_str());
  std::abort();
}
