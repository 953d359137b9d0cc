// Makes a shop's folder ready for git and Syncthing.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "files/disk.h"
#include "opened.h"
#include "packs.h"
#include "shop/sync_files.h"
#include "verbs.h"

namespace baylore::cli {
namespace {

int run(const Common& common) {
  if (common.shop.empty()) {
    complain("prepare: no shop: name one with --shop or BAYLORE_SHOP");
    return kCouldNotRun;
  }
  if (!is_shop(common.shop)) return kCouldNotRun;
  const auto written = shop::write_sync_files(files::real_disk(), common.shop);
  if (!written) {
    complain(written.failure());
    return kCouldNotRun;
  }
  if (common.json) {
    print({{"written", *written}});
    return kDone;
  }
  for (const std::string& name : *written) fmt::print("{}: written.\n", name);
  if (written->empty()) fmt::print("Everything is there.\n");
  fmt::print(
      "Once in every clone, so that git merges by section:\n"
      "  git config merge.baylore.name 'Baylore, section by section'\n"
      "  git config merge.baylore.driver 'baylore merge %O %A %B %P'\n");
  return kDone;
}

}  // namespace

void add_prepare(Arguments& arguments) {
  Verb verb = arguments.verb("prepare",
                             "Make the shop's folder ready for git and Syncthing: what they leave "
                             "out, and how they merge");
  verb.runs([](const Common& common) { return run(common); });
}

}  // namespace baylore::cli
