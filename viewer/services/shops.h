// Folders that already hold a shop, near enough to be offered instead of having their path typed.
#pragma once

#include <string>
#include <vector>

#include "files/disk.h"

namespace baylore::viewer {

struct ShopFolder {
  std::string folder;
  std::string name;  // as its shop.md says; empty: it says none
};

// Looks for a readable shop.md in each of `places` and in the folders right below them; at most
// `most`, in the order of the places. Folders that cannot be read are passed over. Blocks on slow
// disks: not for the drawing thread.
std::vector<ShopFolder> shops_in(files::Disk& disk, const std::vector<std::string>& places,
                                 std::size_t most);

}  // namespace baylore::viewer
