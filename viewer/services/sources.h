// Where the texts of a shop came from.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "viewer/state/packs.h"

namespace baylore::viewer {

struct Sources {
  std::map<pack::TextKey, Source> texts;  // those written here alone are not in it
  // What other locations counted of a part, by its brand and number: location and count.
  std::map<std::string, std::vector<std::pair<std::string, pack::Count>>> parts;
};
Sources read_sources(files::Disk& disk, const std::string& shop_folder);

}  // namespace baylore::viewer
