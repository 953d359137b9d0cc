#include "shop/setting.h"

#include <fmt/format.h>

#include <utility>
#include <vector>

#include "files/names.h"
#include "files/save.h"
#include "shop/document.h"
#include "shop/scan.h"
#include "shop/shop.h"

namespace baylore::shop {
namespace {

constexpr const char* kPath = "shop.md";
// Another terminal can save so often in a row only by chance.
constexpr int kTries = 8;

void set_in(Document& document, std::string_view key, std::string_view item,
            std::string_view value) {
  if (item.empty()) {
    document.set_value(key, value);
    return;
  }
  // In its place, however the shop wrote it; of several of one name the last would count.
  std::vector<std::string> items;
  const std::string said = fmt::format("{}: {}", item, value);
  bool there = false;
  for (std::string& one : document.list(key)) {
    const auto split = scan::key_line(one);
    if (!split || scan::lower(split->key) != scan::lower(item)) {
      items.push_back(std::move(one));
    } else if (!std::exchange(there, true)) {
      items.push_back(said);
    }
  }
  if (!there) items.push_back(said);
  document.set_list(key, items);
}

}  // namespace

files::Result<void> save_setting(files::Disk& disk, const std::string& shop_folder,
                                 std::string_view key, std::string_view item,
                                 std::string_view value) {
  const std::string path = files::join(shop_folder, kPath);
  files::Result<void> saved;
  for (int i = 0; i < kTries; ++i) {
    const auto before = disk.read(path, files::kTextLimit);
    if (!before) return before.failure();
    Document document = Document::parse(*before);
    set_in(document, key, item, value);
    // An empty file has no earlier version to keep.
    saved = before->empty() ? files::replace(disk, path, document.bytes())
                            : save_tip(disk, shop_folder, kPath, *before, document.bytes());
    if (saved || saved.failure().kind != files::Failure::Kind::exists) break;
  }
  return saved;
}

}  // namespace baylore::shop
