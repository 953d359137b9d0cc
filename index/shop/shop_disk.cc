#include "shop/shop_disk.h"

#include <algorithm>
#include <array>
#include <utility>

#include "files/names.h"
#include "words/words.h"

namespace baylore::shop {
namespace {

constexpr const char* kNeeded = "shop.md";
constexpr std::array<std::string_view, 7> kWrites = {
    "create", "create_private", "append", "exchange", "rename", "link", "make_folder"};

bool is_below(std::string_view path, std::string_view folder) {
  return path.size() > folder.size() && path.starts_with(folder) && path[folder.size()] == '/';
}

}  // namespace

ShopDisk::ShopDisk(files::Disk& disk, std::string shop_folder)
    : DiskOver(disk), shop_(std::move(shop_folder)) {
  while (shop_.size() > 1 && shop_.back() == '/') shop_.pop_back();
}

files::Result<void> ShopDisk::may(std::string_view call, const std::string& path) {
  if (path == shop_ && call.starts_with("list"))
    return disk().status(files::join(shop_, kNeeded)) ? files::Result<void>() : away();
  if (std::find(kWrites.begin(), kWrites.end(), call) == kWrites.end()) return {};
  const bool makes_it = call == "make_folder" && (path == shop_ || is_below(shop_, path));
  if (!makes_it && !is_below(path, shop_)) return {};
  if (!makes_it && disk().status(files::join(shop_, kNeeded))) return {};
  return away();
}

files::Failure ShopDisk::seen(const std::string& path, files::Failure failure) {
  const bool is_missing = failure.kind == files::Failure::Kind::missing;
  if (!is_missing || !is_below(path, shop_)) return failure;
  const std::string shop_file = files::join(shop_, kNeeded);
  return path == shop_file || disk().status(shop_file) ? failure : away();
}

files::Failure ShopDisk::away() {
  if (!disk().status(shop_)) {
    return {files::Failure::Kind::gone, shop_, tr("the shop folder is not there"),
            tr("look at the network or the stick")};
  }
  return {files::Failure::Kind::gone, shop_, tr("there is no shop.md in the shop folder"),
          tr("look at the network or the stick, or put shop.md back")};
}

}  // namespace baylore::shop
