#include "viewer/services/shops.h"

#include <algorithm>
#include <optional>

#include "files/names.h"
#include "shop/document.h"

namespace baylore::viewer {
namespace {

constexpr std::uint64_t kShopFileLimit = 1U << 20U;

std::optional<ShopFolder> shop_at(files::Disk& disk, const std::string& folder) {
  auto text = disk.read(files::join(folder, "shop.md"), kShopFileLimit);
  if (!text) return std::nullopt;
  return ShopFolder{folder, shop::Document::parse(std::move(*text)).value("name")};
}

}  // namespace

std::vector<ShopFolder> shops_in(files::Disk& disk, const std::vector<std::string>& places,
                                 std::size_t most) {
  std::vector<ShopFolder> found;
  const auto add = [&](const std::string& folder) {
    const bool known = std::any_of(found.begin(), found.end(),
                                   [&](const ShopFolder& one) { return one.folder == folder; });
    if (known || found.size() >= most) return;
    if (auto shop = shop_at(disk, folder)) found.push_back(std::move(*shop));
  };
  for (const std::string& place : places) {
    if (place.empty()) continue;
    add(place);
    const auto below = disk.list_here(place);
    if (!below) continue;
    for (const files::Listed& one : *below) {
      if (one.status.folder) add(files::join(place, one.path));
    }
  }
  return found;
}

}  // namespace baylore::viewer
