// Changing one setting of a shop: a few lines of shop.md.
#pragma once

#include <string>
#include <string_view>

#include "files/disk.h"

namespace baylore::shop {

// Sets one value of shop.md; with `item` the entry of that name in the list `key`, such as torque
// in units. The file is read again first, and only these lines change. Saved as a tip is
// (save_tip), with the earlier bytes in history; when another terminal saves at the same moment,
// once more on top of that.
files::Result<void> save_setting(files::Disk& disk, const std::string& shop_folder,
                                 std::string_view key, std::string_view item,
                                 std::string_view value);

}  // namespace baylore::shop
