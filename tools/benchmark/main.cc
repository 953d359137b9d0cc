// What tools/bench runs: reads what is asked for and hands it on. Every measurement is a file of
// its own beside this one.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <string>
#include <utility>

#include "collection.h"
#include "judged.h"
#include "relevance.h"
#include "scratch.h"
#include "speed.h"
#include "typing.h"

namespace {

using namespace baylore;

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

struct Options {
  std::string folder;
  std::string queries;
  std::string qrels;
  std::string run_folder;
  std::string engine;
  std::string work;
  std::string row;
};

int on_tips(const Options& options) {
  const benchmark::Scratch scratch;
  benchmark::RelevanceTask task;
  task.name = "tips";
  task.shop = options.folder;
  task.store = scratch.path();
  task.run_folder = options.run_folder;
  auto questions = benchmark::read_topics(options.queries);
  if (!questions) return fail(questions.failure());
  task.questions = std::move(*questions);
  auto judged = benchmark::read_qrels(options.qrels);
  if (!judged) return fail(judged.failure());
  task.judged = std::move(*judged);
  return benchmark::relevance(std::move(task));
}

int on_collection(const Options& options) {
  const benchmark::Scratch scratch;
  auto collection = benchmark::read_collection(options.folder);
  if (!collection) return fail(collection.failure());
  benchmark::RelevanceTask task;
  task.name = collection->name;
  task.shop = scratch.path() + "/shop";
  task.store = scratch.path();
  task.run_folder = options.run_folder;
  if (auto written = benchmark::write_as_shop(*collection, task.shop); !written) {
    return fail(written.failure());
  }
  task.questions = std::move(collection->questions);
  task.judged = std::move(collection->judged);
  return benchmark::relevance(std::move(task));
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Measures Baylore's search; tools/bench says how.");
  app.require_subcommand(1);
  Options options;

  CLI::App* relevance = app.add_subcommand("relevance", "rankings of a folder of tips");
  relevance->add_option("FOLDER", options.folder, "a shop")->required();
  relevance->add_option("QUERIES", options.queries, "QID<TAB>words")->required();
  relevance->add_option("QRELS", options.qrels, "QID 0 ID GRADE")->required();
  relevance->add_option("--run-out", options.run_folder, "a folder for TREC run files");

  CLI::App* collection = app.add_subcommand("collection", "rankings of a classic collection");
  collection->add_option("FOLDER", options.folder, "documents, queries, judgements")->required();
  collection->add_option("--run-out", options.run_folder, "a folder for TREC run files");

  benchmark::JudgedTask task;
  CLI::App* judged = app.add_subcommand("judged", "the lines judged by hand, by their manner");
  judged->add_option("SHOP", task.shop)->required();
  judged->add_option("FOLDER", task.folder, "queries.tsv and qrels.tsv")->required();
  judged->add_flag("--misses", task.misses, "name the lines that find something else first");

  CLI::App* typing = app.add_subcommand("typing", "searches while a line is typed");
  typing->add_option("SHOP", options.folder)->required();

  // The parts of tools/bench speed, each a process of its own: speed.h.
  CLI::App* prepare = app.add_subcommand("prepare", "read a shop for the parts that follow");
  CLI::App* build = app.add_subcommand("build", "build one engine's index");
  CLI::App* ask = app.add_subcommand("ask", "ask one engine");
  CLI::App* update = app.add_subcommand("update", "change tips");
  for (CLI::App* part : {build, ask}) part->add_option("ENGINE", options.engine)->required();
  for (CLI::App* part : {prepare, build, ask, update}) {
    part->add_option("SHOP", options.folder)->required();
    part->add_option("WORK", options.work)->required();
  }
  CLI::App* report = app.add_subcommand("report", "what the parts have found");
  report->add_option("WORK", options.work)->required();
  report->add_option("--row", options.row, "a file of tab-separated values to add a line to");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  if (relevance->parsed()) return on_tips(options);
  if (collection->parsed()) return on_collection(options);
  if (judged->parsed()) {
    const benchmark::Scratch scratch;
    task.work = scratch.path();
    return benchmark::judged(task);
  }
  if (prepare->parsed()) return benchmark::prepare_speed(options.folder, options.work);
  if (build->parsed()) return benchmark::build_engine(options.engine, options.folder, options.work);
  if (ask->parsed()) return benchmark::ask_engine(options.engine, options.folder, options.work);
  if (update->parsed()) return benchmark::time_updates(options.folder, options.work);
  if (report->parsed()) return benchmark::report_speed(options.work, options.row);
  return benchmark::typing(options.folder);
}
