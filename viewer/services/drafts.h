// Drafts on disk: STATE/drafts/ID.json, one file each, replaced whole at every keeping. They belong
// to the terminal, not to the shop, so that typing goes on when the shop's folder is away.
#pragma once

#include <string>
#include <vector>

#include "files/disk.h"
#include "files/result.h"

namespace baylore::viewer {

// A tip that is being written.
struct Draft {
  std::string id;
  std::string path;    // of the tip being edited; empty: new
  std::string before;  // its bytes when editing began
  std::string text;    // the whole document as typed so far
};

files::Result<void> write_draft(files::Disk& disk, const std::string& state_folder,
                                const Draft& draft);
files::Result<void> remove_draft(files::Disk& disk, const std::string& state_folder,
                                 const std::string& id);
// What is there, oldest first; a file that is no draft is left alone and skipped.
std::vector<Draft> read_drafts(files::Disk& disk, const std::string& state_folder);

}  // namespace baylore::viewer
