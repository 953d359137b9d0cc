// The command line of a shop's knowledge. One verb, one file; see verbs.h.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>

#include "files/names.h"
#include "pack/confined.h"
#include "verbs.h"

namespace {

using namespace baylore;

// What was typed, last first, as the parser wants it. A negative number is no option: a blank in
// front says so, and every reader of numbers passes over it.
std::vector<std::string> arguments(int argc, char** argv) {
  std::vector<std::string> typed;
  for (int i = argc - 1; i > 0; --i) {
    std::string each = argv[i];
    if (each.size() > 1 && each[0] == '-' &&
        (each[1] == '.' || (each[1] >= '0' && each[1] <= '9'))) {
      each.insert(0, " ");
    }
    typed.push_back(std::move(each));
  }
  return typed;
}

int run(int argc, char** argv) {
  CLI::App app{"Repair knowledge of the shop, searched in the words people use.", "baylore"};
  app.require_subcommand(1);
  pack::read_containers_with(files::with_program("baylore-container", BAYLORE_CONTAINER));
  cli::Common common;
  bool from_scratch = false;
  cli::SearchOptions search;
  bool as_run = false;
  std::string id;

  const auto verb = [&](const char* name, const char* what) {
    CLI::App* sub = cli::add_verb(app, common, name, what);
    sub->get_option("--shop")->required();
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

  cli::Run other;
  cli::add_diagnose(app, common, other);
  cli::add_record(app, common, other);
  cli::add_stats(app, common, other);
  cli::add_pack(app, common, other);
  cli::add_unpack(app, common, other);
  cli::add_merge(app, common, other);
  cli::add_copies(app, common, other);
  cli::add_prepare(app, common, other);
  cli::add_vehicles(app, common, other);
  cli::add_vin(app, common, other);
  cli::add_code(app, common, other);
  cli::add_convert(app, common, other);
  cli::add_torque(app, common, other);
  cli::add_work_out(app, common, other);

  try {
    app.parse(arguments(argc, argv));
  } catch (const CLI::CallForHelp& help) {
    return app.exit(help);
  } catch (const CLI::CallForAllHelp& help) {
    return app.exit(help);
  } catch (const CLI::ParseError& error) {
    std::fprintf(stderr, "baylore: %s: see baylore --help\n", error.what());
    return cli::kCouldNotRun;
  }

  if (other) return other();
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
