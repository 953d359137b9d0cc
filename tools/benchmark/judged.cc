#include "judged.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <memory>

#include "bootstrap.h"
#include "files/disk.h"
#include "relevance.h"
#include "store/build.h"

namespace baylore::benchmark {
namespace {

constexpr double kLeastMrr = 0.90;
constexpr double kLeastOfTwin = 0.95;

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

// The values at some places of a whole.
std::vector<double> at(const std::vector<double>& values, const std::vector<std::size_t>& places) {
  std::vector<double> out;
  for (const std::size_t place : places) out.push_back(values[place]);
  return out;
}

}  // namespace

int judged(const JudgedTask& task) {
  const auto lines = read_judged_lines(task.folder + "/queries.tsv");
  if (!lines) return fail(lines.failure());
  const auto grades = read_qrels(task.folder + "/qrels.tsv");
  if (!grades) return fail(grades.failure());
  auto compared = Compared::over(task.shop, task.work);
  if (!compared) return fail(compared.failure());

  std::vector<Question> questions;
  std::map<std::string, std::size_t> place;  // by id
  std::map<std::string, std::vector<std::size_t>> manners;
  for (const JudgedLine& line : *lines) {
    place[line.id] = questions.size();
    manners[line.manner].push_back(questions.size());
    questions.push_back({line.id, line.line});
  }
  Judged known = by_id(compared->store(), *grades);
  // A line that nobody judged finds nothing that is wanted.
  for (const Question& question : questions) known[question.id];

  Ask typed;
  typed.last_open = true;
  std::vector<Measured> measured;
  std::vector<Ranking> ours;
  for (const std::unique_ptr<Engine>& engine : compared->engines()) {
    std::vector<Ranking> rankings;
    for (const Question& question : questions)
      rankings.push_back(engine->rank(question.words, typed));
    measured.push_back(measure(questions, known, rankings));
    if (ours.empty()) ours = std::move(rankings);
  }

  fmt::print("{:24}{:>7}", "", "lines");
  for (const auto& engine : compared->engines()) {
    fmt::print("{:>15} MRR{:>9}", engine->name(), "nDCG@10");
  }
  fmt::print("\n");
  const auto row = [&](const std::string& name, const std::vector<std::size_t>& places) {
    fmt::print("  {:22}{:>7}", name, places.size());
    for (const Measured& each : measured) {
      fmt::print("{:>19.4f}{:>9.4f}", mean(at(each.reciprocal, places)),
                 mean(at(each.ndcg10, places)));
    }
    fmt::print("\n");
  };
  std::vector<std::size_t> all;
  for (const auto& [manner, places] : manners) {
    row(manner, places);
    all.insert(all.end(), places.begin(), places.end());
  }
  row("all", all);
  // What may be tuned on, and what may not: tests/search/judged/README.md.
  std::vector<std::size_t> tuned;
  std::vector<std::size_t> reported;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    (std::atoi(questions[i].id.c_str()) % 2 != 0 ? tuned : reported).push_back(i);
  }
  row("odd: for tuning", tuned);
  row("even: for reporting", reported);
  for (std::size_t i = 1; i < measured.size(); ++i) {
    const Interval found = difference(measured[0].reciprocal, measured[i].reciprocal);
    fmt::print("  MRR beyond {}: {:+.4f} [{:+.4f}, {:+.4f}]\n", compared->engines()[i]->name(),
               found.mean, found.low, found.high);
  }

  double kept = 1;  // the worst manner's share
  for (const auto& [manner, places] : manners) {
    std::vector<std::size_t> slipped;
    std::vector<std::size_t> clean;
    for (const std::size_t i : places) {
      const std::string& twin = (*lines)[i].twin;
      if (twin.empty()) continue;
      if (place.count(twin) == 0) {
        return fail({files::Failure::Kind::damaged, task.folder, "has no line " + twin,
                     "a twin is the id of another line"});
      }
      slipped.push_back(i);
      clean.push_back(place.at(twin));
    }
    if (slipped.empty()) continue;
    row(manner + "'s clean twins", clean);
    const double twins = mean(at(measured[0].reciprocal, clean));
    if (twins > 0) kept = std::min(kept, mean(at(measured[0].reciprocal, slipped)) / twins);
  }
  if (task.misses) {
    for (std::size_t i = 0; i < questions.size(); ++i) {
      const double reciprocal = measured[0].reciprocal[i];
      if (reciprocal >= 1) continue;
      fmt::print("  {} ({}) {}: first wanted tip {}\n", questions[i].id, (*lines)[i].manner,
                 questions[i].words,
                 reciprocal > 0 ? fmt::format("at {:.0f}", 1 / reciprocal) : "not found");
    }
  }
  // The stricter of the two: all lines, and those that nothing was tuned on.
  const double mrr =
      std::min(mean(measured[0].reciprocal), mean(at(measured[0].reciprocal, reported)));
  fmt::print("{:9}MRR {:.4f} (the lower of all and even), at least {:.2f}\n",
             mrr >= kLeastMrr ? "met" : "NOT MET", mrr, kLeastMrr);
  fmt::print(
      "{:9}MRR of misspelt and half-typed lines {:.1f} % of their clean twins', at least {:.0f} "
      "%\n",
      kept >= kLeastOfTwin ? "met" : "NOT MET", kept * 100, kLeastOfTwin * 100);
  return mrr >= kLeastMrr && kept >= kLeastOfTwin ? 0 : 1;
}

}  // namespace baylore::benchmark
