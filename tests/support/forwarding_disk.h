// A disk that hands every call on, for tests of what happens between two of them.
#pragma once

#include <string>
#include <string_view>

#include "files/disk_over.h"

namespace baylore::test {

// The real disk, for a test to change one call of.
class ForwardingDisk : public files::DiskOver {
 public:
  ForwardingDisk() : DiskOver(files::real_disk()) {}

 private:
  files::Result<void> may(std::string_view /*call*/, const std::string& /*path*/) override {
    return {};
  }
};

}  // namespace baylore::test
