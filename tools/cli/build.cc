#include <fmt/format.h>

#include "opened.h"

namespace baylore::cli {

int build(const Common& common, bool from_scratch) {
  store::Options options;
  options.from_scratch = from_scratch;
  const std::optional<Opened> opened = open(common, options);
  if (!opened) return kCouldNotRun;
  const store::Report& report = opened->report;
  if (common.json) {
    print({{"rebuilt", report.rebuilt},
           {"why", report.why},
           {"added", report.added},
           {"changed", report.changed},
           {"removed", report.removed},
           {"unchanged", report.unchanged},
           {"tips", report.tips},
           {"broken", report.broken},
           {"seconds", report.seconds}});
    return kDone;
  }
  if (report.rebuilt) fmt::print("Built anew: {}.\n", report.why);
  fmt::print("{} findable, {} broken. Files: {} added, {} changed, {} removed, {} unchanged.\n",
             counted(report.tips, "tip"), report.broken, report.added, report.changed,
             report.removed, report.unchanged);
  return kDone;
}

}  // namespace baylore::cli
