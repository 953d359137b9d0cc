// Where the texts of a shop came from.
#pragma once

#include <map>
#include <string>

#include "files/disk.h"
#include "viewer/state/packs.h"

namespace baylore::viewer {

// By text; those written here alone are not in it.
using Sources = std::map<pack::TextKey, Source>;
Sources read_sources(files::Disk& disk, const std::string& shop_folder);

}  // namespace baylore::viewer
