// Who this terminal is: its name and a random suffix, so that a cloned disk is not a second writer
// of the same files, and what it was set to.
#pragma once

#include <string>
#include <vector>

#include "files/disk.h"

namespace baylore::job {

struct Terminal {
  std::string name = "bay";
  std::string folder;           // "bay-7K2QF9" : name and suffix, an id
  std::string shop;             // the shop it works on; empty: the demo
  std::string hand = "glove";   // bare, glove, thick glove
  std::string theme = "light";  // light, dark, sun
  std::string language = "en";  // ISO 639-1, of those the program has words in
  int text_percent = 100;
  double ppi = 0;  // 0: from the panel, else assumed
  bool motion = true;
  int dim_minutes = 10;        // without a touch until the panel dims; 0: never
  int hide_minutes = 30;       // and until the job is hidden; 0: never
  bool set_up = false;         // someone has been through the first questions
  std::string scanner_prefix;  // what a scanner sends before a code; empty: told by its speed
  std::vector<std::string> missing_tools;  // tools this shop lacks, as tips name them
};

// Reads `state_folder`/terminal.json, making and saving a new one when there is none. When the
// machine id stored in it is not this machine's, the suffix is drawn anew (a cloned disk). A
// damaged file is kept beside as terminal.json.damaged and a new one is made.
files::Result<Terminal> load_terminal(files::Disk& disk, const std::string& state_folder);
files::Result<void> save_terminal(files::Disk& disk, const std::string& state_folder,
                                  const Terminal& terminal);

}  // namespace baylore::job
