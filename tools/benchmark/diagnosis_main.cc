// Measures the guided diagnosis and the records; tools/bench diagnosis runs it.
//   baylore-bench-diagnosis SHOP [--draws N] [--together SECONDS] [PART ...]
// PART is any of simulate, optimum, next-check, records, together; all of them when none is named.
// Exit 0 when every target is met, 1 when one is not, 2 when it could not run.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>

#include <fmt/format.h>

#include "diagnosis.h"

namespace {

using namespace baylore::benchmark;

bool simulate_all(const std::vector<Simulated>& cases, const std::string& name, int draws) {
  bool good = simulate(name, cases, World::as_written, draws);
  good &= simulate(name + ", every strength word one step wrong", cases, World::wrong_words, draws);
  good &= simulate(name + ", half of the checks dependent", cases, World::dependent, draws);
  good &= simulate(name + ", a cause in no tip", cases, World::not_in_a_tip, draws);
  return good;
}

int run(int argc, char** argv) {
  CLI::App app{"Measures the guided diagnosis"};
  std::string shop;
  int draws = 20;
  int seconds = 60;
  int tips = 2000;
  std::vector<std::string> parts;
  app.add_option("shop", shop, "The shop's folder")->required();
  app.add_option("parts", parts, "What to measure; everything when not said")
      ->check(CLI::IsMember({"simulate", "optimum", "next-check", "records", "together"}));
  app.add_option("--draws", draws, "Simulated jobs of each case")->check(CLI::Range(1, 10000));
  app.add_option("--tips", tips, "Tips of the generated shop")->check(CLI::Range(10, 100000));
  app.add_option("--together", seconds, "Seconds that two terminals append")
      ->check(CLI::Range(1, 3600));
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  const auto wanted = [&](const char* part) {
    return parts.empty() || std::find(parts.begin(), parts.end(), part) != parts.end();
  };
  bool good = true;
  if (wanted("simulate")) {
    const std::vector<Simulated> cases = shop_cases(shop);
    if (cases.empty()) return 2;
    good &= simulate_all(cases, "the shop's tips", draws);
    good &= simulate_all(generated_cases(static_cast<std::size_t>(tips), 3),
                         fmt::format("{} generated tips", tips), std::max(1, draws / 4));
  }
  if (wanted("optimum")) good &= compare_with_optimum(200);
  if (wanted("next-check")) good &= measure_next_check();
  if (wanted("records")) good &= measure_records();
  if (wanted("together")) good &= append_together(seconds);
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
