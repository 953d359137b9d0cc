#include "scratch.h"

#include <cstdlib>
#include <filesystem>

namespace baylore::benchmark {

Scratch::Scratch() {
  std::error_code error;
  const auto folder = std::filesystem::temp_directory_path(error);
  std::string name = (folder / "baylore-bench-XXXXXX").string();
  if (mkdtemp(name.data()) != nullptr) path_ = name;
}

Scratch::~Scratch() {
  std::error_code ignored;
  if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
}

}  // namespace baylore::benchmark
