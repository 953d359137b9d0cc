// What git and Syncthing are told about a shop's folder: files of theirs, written by the program.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "files/result.h"

namespace baylore::shop {

// A file at the top of the shop, and the lines that have to be in it.
struct SyncFile {
  std::string_view name;
  std::string_view lines;
};

// `.gitignore`: what belongs to one machine or to one shop alone. `.gitattributes`: bytes stay as
// they are, and `baylore merge` merges texts and records. `.stignore`: what Syncthing leaves out.
const std::vector<SyncFile>& sync_files();

// Writes those that are not there, and puts the lines that one lacks behind what a person wrote in
// it; nothing of theirs is taken out. The names of the files that were written.
files::Result<std::vector<std::string>> write_sync_files(files::Disk& disk,
                                                         const std::string& shop_folder);

}  // namespace baylore::shop
