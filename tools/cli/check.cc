#include <fmt/format.h>

#include <algorithm>

#include "opened.h"

namespace baylore::cli {

int check(const Common& common) {
  const std::optional<Opened> opened = open(common);
  if (!opened) return kCouldNotRun;
  const shop::Findings findings = opened->store.findings();
  const auto count = [&](shop::Level level) {
    return std::count_if(findings.begin(), findings.end(),
                         [&](const shop::Finding& finding) { return finding.level == level; });
  };
  const std::int64_t errors = count(shop::Level::error);
  const std::int64_t warnings = count(shop::Level::warning);
  const std::int64_t notes = count(shop::Level::note);
  if (common.json) {
    nlohmann::json list = nlohmann::json::array();
    for (const shop::Finding& finding : findings) list.push_back(to_json(finding));
    print({{"findings", list}});
  } else {
    for (const shop::Finding& finding : findings) complain(finding.text());
    fmt::print("{} read: {}, {}, {}.\n", counted(opened->store.counts().tips, "tip"),
               counted(errors, "error"), counted(warnings, "warning"), counted(notes, "note"));
  }
  return errors + warnings > 0 ? kFindings : kDone;
}

}  // namespace baylore::cli
