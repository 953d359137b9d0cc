// One part of a trial of file syncs; tools/trial-sync says which, and when.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <exception>

#include "trial.h"

namespace {

using namespace baylore;

int run(int argc, char** argv) {
  CLI::App app("The parts of a trial with two bays under one file sync.", "baylore-sync-trial");
  app.require_subcommand(1);
  trial::Bay bay;
  trial::Bay other;
  int count = 0;
  std::uint64_t dice = 1;
  std::string missing;
  std::vector<std::string> paths;
  const auto part = [&](const char* name, const char* what) {
    CLI::App* sub = app.add_subcommand(name, what);
    sub->add_option("SHOP", bay.shop)->required();
    return sub;
  };
  const auto at_bay = [&](const char* name, const char* what) {
    CLI::App* sub = part(name, what);
    sub->add_option("WORK", bay.work)->required();
    sub->add_option("NAME", bay.name)->required();
    return sub;
  };
  CLI::App* seed = part("seed", "make a shop");
  seed->add_option("TIPS", count)->required();
  CLI::App* work = at_bay("work", "edit and record");
  work->add_option("ACTIONS", count)->required();
  work->add_option("DICE", dice)->required();
  CLI::App* settle = at_bay("settle", "settle the copies");
  CLI::App* resolve = at_bay("resolve", "take the marks of a merge out");
  resolve->add_option("PATH", paths)->required();
  CLI::App* follow = at_bay("follow", "keep a store, until SIGTERM");
  CLI::App* judge = at_bay("judge", "compare two shops");
  judge->add_option("SHOP2", other.shop)->required();
  judge->add_option("WORK2", other.work)->required();
  judge->add_option("NAME2", other.name)->required();
  judge->add_option("MISSING", missing)->required();
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  bool good = true;
  if (seed->parsed()) good = trial::seed(bay.shop, count);
  if (work->parsed()) good = trial::work(bay, count, dice);
  if (settle->parsed()) good = trial::settle(bay);
  if (resolve->parsed()) good = trial::resolve(bay, paths);
  if (follow->parsed()) good = trial::follow(bay);
  if (judge->parsed()) good = trial::judge(bay, other, missing);
  return good ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    fmt::print(stderr, "baylore-sync-trial: {}\n", error.what());
  }
  return 2;
}
