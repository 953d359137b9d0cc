#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "opened.h"
#include "shop/check/check.h"

namespace baylore::cli {
namespace {

// Reads the files themselves: what is wrong must not depend on how fresh the store is.
int check(const Common& common) {
  files::Disk& disk = files::real_disk();
  const auto folder = disk.status(common.shop);
  if (!folder || !folder->folder) {
    complain(common.shop + ": no shop folder here: name one with --shop or BAYLORE_SHOP");
    return kCouldNotRun;
  }
  const auto report = shop::check_shop(disk, common.shop);
  if (!report) {
    complain(report.failure());
    return kCouldNotRun;
  }
  const shop::Findings& findings = report->findings;
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
    fmt::print("{} read: {}, {}, {}.\n", counted(report->tips, "tip"), counted(errors, "error"),
               counted(warnings, "warning"), counted(notes, "note"));
  }
  return errors + warnings > 0 ? kFindings : kDone;
}

}  // namespace

void add_check(Arguments& arguments) {
  Verb verb = arguments.verb("check", "What is wrong in the shop's files, where, and what to do");
  verb.option("--shop").required();
  verb.runs(check);
}

}  // namespace baylore::cli
