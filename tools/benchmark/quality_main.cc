// Measures the parts' statistics; tools/bench quality runs it.
//   baylore-bench-quality [--draws N] [--families N] [PART ...]
// PART is any of coverage, verdicts, history; all of them when none is named. Exit 0 when every
// target is met, 1 when one is not, 2 when it could not run.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>

#include "quality.h"

namespace {

using namespace baylore::benchmark;

int run(int argc, char** argv) {
  CLI::App app{"Measures the parts' statistics"};
  int draws = 100000;
  int families = 2000;
  std::vector<std::string> parts;
  app.add_option("parts", parts, "What to measure; everything when not said")
      ->check(CLI::IsMember({"coverage", "verdicts", "history"}));
  app.add_option("--draws", draws, "Draws of each number")->check(CLI::Range(100, 10000000));
  app.add_option("--families", families, "Families of each kind")->check(CLI::Range(10, 1000000));
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  const auto wanted = [&](const char* part) {
    return parts.empty() || std::find(parts.begin(), parts.end(), part) != parts.end();
  };
  bool good = true;
  if (wanted("coverage")) good &= measure_coverage(draws);
  if (wanted("verdicts")) good &= measure_verdicts(families);
  if (wanted("history")) good &= measure_history();
  return good ? 0 : 1;
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
