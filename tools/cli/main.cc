// The command line of a shop's knowledge. One verb, one file; see verbs.h.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>

#include "verbs.h"

namespace {

using namespace baylore;

int run(int argc, char** argv) {
  CLI::App app{"Repair knowledge of the shop, searched in the words people use.", "baylore"};
  app.require_subcommand(1);
  cli::Common common;
  bool from_scratch = false;
  cli::SearchOptions search;
  bool as_run = false;
  std::string id;

  const auto verb = [&](const char* name, const char* what) {
    CLI::App* sub = app.add_subcommand(name, what);
    sub->add_option("--shop", common.shop, "The shop's folder")
        ->envname("BAYLORE_SHOP")
        ->required();
    sub->add_option("--store", common.store, "Where the cache lies (default: the user's cache)");
    sub->add_flag("--json", common.json, "Print JSON, as tools/cli/JSON.md says");
    return sub;
  };

  CLI::App* build = verb("build", "Bring the store up to date with the shop's files");
  build->add_flag("--from-scratch", from_scratch, "Build it anew");
  CLI::App* check = verb("check", "What is wrong in the shop's files, where, and what to do");
  CLI::App* find = verb("search", "Tips for a line as typed at the bay");
  find->add_option("words", search.words, "Words, codes, vehicle");
  CLI::Option* queries =
      find->add_option("--queries", search.queries, "File of `QID<TAB>words` lines");
  CLI::Option* trec = find->add_flag("--run", as_run, "Print a TREC run for --queries");
  find->add_option("--limit", search.limit, "At most so many results")
      ->check(CLI::Range(1, 100000))
      ->capture_default_str();
  queries->needs(trec);
  trec->needs(queries);
  CLI::App* show = verb("show", "One tip as plain text");
  show->add_option("id", id, "Its id, slug or path")->required();

  try {
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp& help) {
    return app.exit(help);
  } catch (const CLI::CallForAllHelp& help) {
    return app.exit(help);
  } catch (const CLI::ParseError& error) {
    std::fprintf(stderr, "baylore: %s: see baylore --help\n", error.what());
    return cli::kCouldNotRun;
  }

  if (build->parsed()) return cli::build(common, from_scratch);
  if (check->parsed()) return cli::check(common);
  if (find->parsed()) return cli::search(common, search);
  return cli::show(common, id);
}

}  // namespace

// The parser and the library of JSON tell their errors by exceptions; they end here.
int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "baylore: %s\n", error.what());
  }
  return cli::kCouldNotRun;
}
