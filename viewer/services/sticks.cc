#include "viewer/services/sticks.h"

#include <algorithm>
#include <array>

namespace baylore::viewer {
namespace {

constexpr std::array<std::string_view, 3> kBelow{"/media/", "/run/media/", "/mnt/"};

bool is_octal(char c) { return c >= '0' && c <= '7'; }

std::string unescaped(std::string_view field) {
  std::string out;
  for (std::size_t i = 0; i < field.size(); ++i) {
    const bool escape = field[i] == '\\' && i + 3 < field.size() && is_octal(field[i + 1]) &&
                        is_octal(field[i + 2]) && is_octal(field[i + 3]);
    if (!escape) {
      out += field[i];
      continue;
    }
    const int code = (field[i + 1] - '0') * 64 + (field[i + 2] - '0') * 8 + (field[i + 3] - '0');
    out += static_cast<char>(code);
    i += 3;
  }
  return out;
}

}  // namespace

std::vector<Mount> mounted_folders(std::string_view mountinfo) {
  std::vector<Mount> found;
  while (!mountinfo.empty()) {
    const std::size_t end = std::min(mountinfo.find('\n'), mountinfo.size());
    std::string_view line = mountinfo.substr(0, end);
    mountinfo.remove_prefix(std::min(end + 1, mountinfo.size()));
    for (int field = 1; field < 5; ++field) {
      const std::size_t blank = line.find(' ');
      line = blank == std::string_view::npos ? std::string_view() : line.substr(blank + 1);
    }
    const std::string folder = unescaped(line.substr(0, line.find(' ')));
    const bool ours =
        folder == "/mnt" || std::any_of(kBelow.begin(), kBelow.end(), [&](std::string_view below) {
          return folder.starts_with(below) && folder.size() > below.size();
        });
    const bool told = std::any_of(found.begin(), found.end(),
                                  [&](const Mount& one) { return one.folder == folder; });
    if (!ours || told) continue;
    const std::size_t options = std::min(line.find(' '), line.size());
    found.push_back({folder, !line.substr(options).starts_with(" ro,") &&
                                 !line.substr(options).starts_with(" ro ")});
  }
  return found;
}

}  // namespace baylore::viewer
