#include "pack/name.h"

#include <utf8proc.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>

#include "shop/scan.h"

namespace baylore::pack {
namespace {

constexpr std::size_t kLongestPart = 200;
constexpr std::size_t kLongestPath = 400;

// Names that Windows and DOS keep for devices, whatever follows the first full stop.
bool is_device(std::string_view part) {
  static constexpr std::array<std::string_view, 6> kNames = {"con", "prn",    "aux",
                                                             "nul", "conin$", "conout$"};
  std::string stem = shop::scan::lower(part.substr(0, part.find('.')));
  while (!stem.empty() && stem.back() == ' ') stem.pop_back();
  if (std::find(kNames.begin(), kNames.end(), stem) != kNames.end()) return true;
  return stem.size() == 4 && (stem.starts_with("com") || stem.starts_with("lpt")) &&
         stem[3] >= '0' && stem[3] <= '9';
}

// Controls, what turns the reading direction or cannot be seen, and what stands for no character.
bool is_hidden(utf8proc_int32_t point) {
  switch (utf8proc_category(point)) {
    case UTF8PROC_CATEGORY_CC:
    case UTF8PROC_CATEGORY_CF:
    case UTF8PROC_CATEGORY_CN:
    case UTF8PROC_CATEGORY_CS:
    case UTF8PROC_CATEGORY_CO:
    case UTF8PROC_CATEGORY_ZL:
    case UTF8PROC_CATEGORY_ZP:
      return true;
    default:
      return false;
  }
}

// The next code point at `at`, moving it on; below 0 when the bytes are no UTF-8.
utf8proc_int32_t next_point(std::string_view text, std::size_t& at) {
  utf8proc_int32_t point = -1;
  const utf8proc_ssize_t length =
      utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(text.data()) + at,
                       static_cast<utf8proc_ssize_t>(text.size() - at), &point);
  if (length <= 0) return -1;
  at += static_cast<std::size_t>(length);
  return point;
}

std::string part_fault(std::string_view part) {
  if (part.empty()) return "has an empty part in its path";
  if (part == "..") return "climbs out of its folder";
  if (part == ".") return "has `.` in its path";
  if (part.size() > kLongestPart) return "has a name too long for some disks";
  if (part.front() == '.') return "is a hidden name";
  if (part.front() == '~') return "begins with a tilde, which some programs take for a home folder";
  if (part.front() == ' ' || part.back() == ' ') return "begins or ends with a blank";
  if (part.back() == '.') return "ends with a full stop, which some systems drop";
  if (is_device(part)) return "is the name of a device on some systems";
  return {};
}

}  // namespace

std::string name_fault(std::string_view path) {
  if (path.empty()) return "has no name";
  if (path.size() > kLongestPath) return "has a path too long for some disks";
  if (!is_utf8(path)) return "is not UTF-8";
  for (std::size_t at = 0; at < path.size();) {
    const utf8proc_int32_t point = next_point(path, at);
    if (point == '\\') return "has a backslash in its path";
    if (is_hidden(point)) return "has a character in its name that cannot be seen";
    if (point < 0x80 &&
        std::string_view(":*?\"<>|").find(static_cast<char>(point)) != std::string_view::npos) {
      return "has a character in its name that some systems read as a command";
    }
  }
  if (path.front() == '/') return "is a path from the root of the disk";
  std::size_t start = 0;
  while (true) {
    const std::size_t slash = path.find('/', start);
    std::string fault =
        part_fault(path.substr(start, slash == std::string_view::npos ? slash : slash - start));
    if (!fault.empty()) return fault;
    if (slash == std::string_view::npos) return {};
    start = slash + 1;
  }
}

std::string collision_key(std::string_view path) {
  utf8proc_uint8_t* folded = nullptr;
  const utf8proc_ssize_t length =
      utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(path.data()),
                   static_cast<utf8proc_ssize_t>(path.size()), &folded,
                   static_cast<utf8proc_option_t>(UTF8PROC_CASEFOLD | UTF8PROC_COMPOSE |
                                                  UTF8PROC_COMPAT | UTF8PROC_STABLE));
  std::string key(path);
  if (length >= 0)
    key.assign(reinterpret_cast<const char*>(folded), static_cast<std::size_t>(length));
  std::free(folded);  // NOLINT: utf8proc allocates with malloc
  return key;
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    if (static_cast<unsigned char>(text[at]) < 0x80) {
      ++at;
    } else if (next_point(text, at) < 0) {
      return false;
    }
  }
  return true;
}

}  // namespace baylore::pack
