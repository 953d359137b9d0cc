#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "opened.h"

namespace baylore::cli {
namespace {

int build(const Common& common, const store::Options& options) {
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

}  // namespace

void add_build(Arguments& arguments) {
  Verb verb = arguments.verb("build", "Bring the store up to date with the shop's files");
  verb.option("--shop").required();
  const auto options = std::make_shared<store::Options>();
  verb.flag("--from-scratch", options->from_scratch, "Build it anew");
  verb.runs([options](const Common& common) { return build(common, *options); });
}

}  // namespace baylore::cli
