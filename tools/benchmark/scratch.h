// A folder that goes away with its owner.
#pragma once

#include <string>

namespace baylore::benchmark {

class Scratch {
 public:
  Scratch();  // in the system's folder for temporary files; path() is empty when it cannot be made
  ~Scratch();
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

}  // namespace baylore::benchmark
