#include "packs.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "files/names.h"
#include "opened.h"
#include "pack/name.h"
#include "shop/shop.h"

namespace baylore::cli {

using nlohmann::json;

namespace {

// One side of a difference, line by line.
void print_side(const char* mark, const std::string& text) {
  std::string_view rest = text;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    if (end > 0) fmt::print("    {} {}\n", mark, plain(rest.substr(0, end)));
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
}

}  // namespace

std::string plain(std::string_view words) {
  const bool utf8 = pack::is_utf8(words);
  std::string out;
  for (const char c : words) {
    const auto byte = static_cast<unsigned char>(c);
    out += byte < 0x20 || byte == 0x7F || (byte >= 0x80 && !utf8) ? '?' : c;
  }
  // The second block of controls, which some terminals obey.
  for (std::size_t at = 0; utf8 && (at = out.find('\xC2', at)) != std::string::npos; ++at) {
    if (at + 1 < out.size() && static_cast<unsigned char>(out[at + 1]) < 0xA0)
      out.replace(at, 2, "?");
  }
  return out;
}

json to_json(const std::vector<pack::Reason>& reasons) {
  json list = json::array();
  for (const pack::Reason& reason : reasons)
    list.push_back({{"rule", reason.rule}, {"file", reason.path}, {"message", reason.what}});
  return list;
}

json to_json(const std::vector<pack::Difference>& differences) {
  json list = json::array();
  for (const pack::Difference& one : differences)
    list.push_back({{"where", one.where}, {"ours", one.ours}, {"theirs", one.theirs}});
  return list;
}

void print_differences(const std::vector<pack::Difference>& differences,
                       const std::vector<pack::Difference>& conflicts) {
  for (const pack::Difference& one : differences) {
    const bool both =
        std::any_of(conflicts.begin(), conflicts.end(),
                    [&](const pack::Difference& other) { return other.where == one.where; });
    fmt::print("  {}{}\n", plain(one.where), both ? " (both changed it)" : "");
    print_side("-", one.ours);
    print_side("+", one.theirs);
  }
}

bool is_shop(const std::string& folder) {
  const auto settings = shop::read_settings(files::real_disk(), folder);
  if (!settings) complain(settings.failure());
  return settings.ok();
}

std::string today() { return files::now_text().substr(0, 10); }

}  // namespace baylore::cli
