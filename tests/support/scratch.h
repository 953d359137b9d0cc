// A folder of its own for one test, gone when the test ends.
#pragma once

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace baylore::test {

class Scratch {
 public:
  Scratch() {
    std::string pattern = (std::filesystem::temp_directory_path() / "baylore-test-XXXXXX").string();
    if (::mkdtemp(pattern.data()) != nullptr) folder_ = pattern;
  }
  ~Scratch() {
    std::error_code ignored;
    if (!folder_.empty()) std::filesystem::remove_all(folder_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  [[nodiscard]] const std::string& folder() const { return folder_; }
  [[nodiscard]] std::string path(std::string_view name) const {
    return folder_ + "/" + std::string(name);
  }

  // Writes without the layer under test.
  void put(std::string_view name, std::string_view bytes) const {
    const std::filesystem::path full = path(name);
    std::filesystem::create_directories(full.parent_path());
    std::ofstream(full, std::ios::binary) << bytes;
  }
  [[nodiscard]] std::string get(std::string_view name) const {
    std::ifstream file(path(name), std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    return bytes.str();
  }
  [[nodiscard]] bool has(std::string_view name) const {
    return std::filesystem::exists(path(name));
  }
  // Every file below, the hidden ones too, relative to the folder.
  [[nodiscard]] std::vector<std::string> files() const {
    std::vector<std::string> found;
    for (const auto& one : std::filesystem::recursive_directory_iterator(folder_)) {
      if (!one.is_directory())
        found.push_back(std::filesystem::relative(one.path(), folder_).string());
    }
    return found;
  }
  // Temporary files that an operation left behind.
  [[nodiscard]] std::vector<std::string> left_behind() const {
    std::vector<std::string> found;
    for (const std::string& file : files()) {
      if (std::filesystem::path(file).filename().string().front() == '.') found.push_back(file);
    }
    return found;
  }

 private:
  std::string folder_;
};

}  // namespace baylore::test
