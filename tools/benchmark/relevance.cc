#include "relevance.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <numeric>

#include "files/disk.h"
#include "files/save.h"
#include "store/build.h"

namespace baylore::benchmark {
namespace {

struct Measure {
  const char* name;
  std::vector<double> Measured::*values;
};
constexpr std::array<Measure, 5> kMeasures = {{{"nDCG@10", &Measured::ndcg10},
                                               {"MRR", &Measured::reciprocal},
                                               {"recall@10", &Measured::recall10},
                                               {"recall@100", &Measured::recall100},
                                               {"MAP", &Measured::map}}};

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

}  // namespace

double mean(const std::vector<double>& values) {
  if (values.empty()) return 0;
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

Interval difference(const std::vector<double>& ours, const std::vector<double>& theirs) {
  std::vector<double> each;
  for (std::size_t i = 0; i < ours.size(); ++i) each.push_back(ours[i] - theirs[i]);
  return bootstrap(each);
}

files::Result<Compared> Compared::over(const std::string& shop, const std::string& work) {
  const store::Location location = store::locate(shop, work + "/ours");
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  if (!report) return report.failure();
  auto store = store::Store::open(location);
  if (!store) return store.failure();
  Compared compared;
  compared.store_ = std::make_unique<store::Store>(std::move(*store));
  const Documents documents = [&](const auto& visit) { each_document(*compared.store_, visit); };
  const std::string fts5_file = work + "/fts5.db";
  if (auto built = build_fts5(fts5_file, documents, false); !built) return built.failure();
  const std::string xapian_folder = work + "/xapian";
  if (auto built = build_xapian(xapian_folder, documents); !built) return built.failure();
  auto fts5 = open_fts5(fts5_file);
  if (!fts5) return fts5.failure();
  auto xapian = open_xapian(xapian_folder);
  if (!xapian) return xapian.failure();
  compared.engines_.push_back(our_engine(*compared.store_));
  compared.engines_.push_back(std::move(*fts5));
  compared.engines_.push_back(std::move(*xapian));
  return compared;
}

Judged by_id(const store::Store& store, const Judged& judged) {
  Judged out;
  for (const auto& [question, grades] : judged) {
    for (const auto& [named, grade] : grades) {
      const std::optional<store::TipRow> tip = store.find(named);
      out[question][tip ? tip->id : named] = grade;
    }
  }
  return out;
}

Measured measure(const std::vector<Question>& questions, const Judged& judged,
                 const std::vector<Ranking>& rankings) {
  Measured measured;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    const Judgements& grades = judged.at(questions[i].id);
    measured.ndcg10.push_back(ndcg(rankings[i], grades, 10));
    measured.reciprocal.push_back(reciprocal_rank(rankings[i], grades));
    measured.recall10.push_back(recall(rankings[i], grades, 10));
    measured.recall100.push_back(recall(rankings[i], grades, 100));
    measured.map.push_back(average_precision(rankings[i], grades));
  }
  return measured;
}

int relevance(RelevanceTask task) {
  const auto compared = Compared::over(task.shop, task.store);
  if (!compared) return fail(compared.failure());
  const std::vector<std::unique_ptr<Engine>>& engines = compared->engines();

  task.judged = by_id(compared->store(), task.judged);
  std::erase_if(task.questions, [&](const Question& question) {
    const auto found = task.judged.find(question.id);
    return found == task.judged.end() ||
           std::none_of(found->second.begin(), found->second.end(),
                        [](const auto& each) { return each.second > 0; });
  });
  if (task.questions.empty()) {
    fmt::print(stderr,
               "{}: no question has a relevant tip: are the judgements those of these {}?\n",
               task.name, "questions");
    return 2;
  }
  std::vector<Measured> measured;
  for (const std::unique_ptr<Engine>& engine : engines) {
    std::vector<Ranking> rankings;
    const auto start = std::chrono::steady_clock::now();
    for (const Question& question : task.questions) {
      rankings.push_back(engine->rank(question.words, {}));
    }
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    measured.push_back(measure(task.questions, task.judged, rankings));
    measured.back().milliseconds = took.count() / static_cast<double>(task.questions.size());
    if (!task.run_folder.empty()) {
      std::string tag = engine->name();
      std::replace(tag.begin(), tag.end(), ' ', '-');
      if (auto made = files::make_folders(files::real_disk(), task.run_folder); !made) {
        return fail(made.failure());
      }
      const auto written = write_run(task.run_folder + "/" + task.name + "." + tag + ".run", tag,
                                     task.questions, rankings);
      if (!written) return fail(written.failure());
    }
  }

  fmt::print("{}: {} tips, {} judged questions\n{:24}", task.name, compared->store().counts().tips,
             task.questions.size(), "");
  for (const Measure& each : kMeasures) fmt::print("{:>11}", each.name);
  fmt::print("{:>15}\n", "ms a question");
  for (std::size_t i = 0; i < engines.size(); ++i) {
    fmt::print("  {:22}", engines[i]->name());
    for (const Measure& each : kMeasures) fmt::print("{:>11.4f}", mean(measured[i].*each.values));
    fmt::print("{:>15.2f}\n", measured[i].milliseconds);
  }
  bool below = false;
  for (std::size_t i = 1; i < engines.size(); ++i) {
    fmt::print("  baylore beyond {}: mean [95 % of {} paired resamples]\n", engines[i]->name(),
               kResamples);
    for (const Measure& each : kMeasures) {
      const Interval found = difference(measured[0].*each.values, measured[i].*each.values);
      fmt::print("    {:10} {:+.4f} [{:+.4f}, {:+.4f}]{}\n", each.name, found.mean, found.low,
                 found.high,
                 found.low > 0    ? " above"
                 : found.high < 0 ? " below"
                                  : "");
    }
    below = below || mean(measured[0].ndcg10) < mean(measured[i].ndcg10);
  }
  return below ? 1 : 0;
}

}  // namespace baylore::benchmark
