// Writes the demo shop's invented records.
//   baylore-make-history SHOP [--seed N]
// Removes SHOP/records and SHOP/received/hexley-road first. Only ever run on a demo shop.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "files/disk.h"
#include "history_maker.h"
#include "shop/shop.h"

namespace {

using namespace baylore;

int run(int argc, char** argv) {
  CLI::App app{"Writes the demo shop's invented records"};
  std::string folder;
  std::uint64_t seed = history::kSeed;
  app.add_option("shop", folder, "The demo shop's folder")->required();
  app.add_option("--seed", seed, "Another seed, another history");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  const auto settings = shop::read_settings(files::real_disk(), folder);
  if (!settings || !settings->demo) {
    std::fprintf(stderr, "%s: is no demo shop (demo: yes in shop.md)\n", folder.c_str());
    return 2;
  }
  shop::Findings findings;
  const shop::PartBook parts = shop::read_parts(files::real_disk(), folder, findings);
  const std::filesystem::path root = folder;
  std::filesystem::remove_all(root / "records");
  std::filesystem::remove_all(root / "received/hexley-road");
  for (const history::MadeFile& file : history::make_history(parts, seed)) {
    const std::filesystem::path path = root / file.path;
    std::filesystem::create_directories(path.parent_path());
    std::ofstream(path, std::ios::binary) << file.text;
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
  }
  return 2;
}
