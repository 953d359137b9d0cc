// A disk that writes into a shop's folder only while it is the shop's. With a network folder or a
// stick gone, a bare folder may stand in its place, or none, and writing makes folders that are
// missing: a second, empty shop would be started there, and what went into it would be hidden when
// the first returns. Between the look and the write stands one system call.
#pragma once

#include <string>
#include <string_view>

#include "files/disk_over.h"

namespace baylore::shop {

// Refused (`gone`) is making the shop's folder or one above it, and whatever lists it or writes
// below it while its shop.md is not there. A file or folder of the shop that is not there is
// `missing` only when shop.md is, and `gone` otherwise: a shop that is away for a moment is no shop
// without tips. Thread-safe as the disk below is.
class ShopDisk final : public files::DiskOver {
 public:
  ShopDisk(files::Disk& disk, std::string shop_folder);

 private:
  files::Result<void> may(std::string_view call, const std::string& path) override;

  files::Failure seen(const std::string& path, files::Failure failure) override;
  files::Failure away();

  std::string shop_;
};

}  // namespace baylore::shop
