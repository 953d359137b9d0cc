#include "viewer/ui/said.h"

namespace baylore::viewer {

std::vector<Run> runs_said(const std::string& pattern, const std::string& first,
                           const std::string& second) {
  std::vector<Run> runs;
  std::size_t from = 0;
  while (from < pattern.size()) {
    const std::size_t at = pattern.find('{', from);
    if (at == std::string::npos || at + 2 >= pattern.size()) break;
    if (at > from) runs.push_back({pattern.substr(from, at - from), false});
    const bool is_first = pattern[at + 1] == '0';
    runs.push_back({is_first ? first : second, is_first});
    from = at + 3;
  }
  if (from < pattern.size()) runs.push_back({pattern.substr(from), false});
  return runs;
}

}  // namespace baylore::viewer
