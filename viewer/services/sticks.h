// Folders that were mounted by hand or by the desktop: sticks, cards, shares.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace baylore::viewer {

struct Mount {
  std::string folder;
  bool writable = true;
  bool operator==(const Mount&) const = default;
};

// Mount points below /media, /run/media and /mnt, in the order of the table; `mountinfo` is the
// text of /proc/self/mountinfo (proc(5)): the fifth field, with blanks and the like as octal
// escapes; the sixth says what can be written to.
std::vector<Mount> mounted_folders(std::string_view mountinfo);

}  // namespace baylore::viewer
