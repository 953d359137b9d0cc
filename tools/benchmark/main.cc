// Measures the ranking against judged collections, with stock FTS5 beside it in the same run.
//
//   1. read the collection
//   2. write it as a shop: a tip for every document, its body as the symptom
//   3. bring a store up to date over that shop, the way a terminal does
//   4. ask every judged question of our search and of the stock ranking
//   5. print the means of nDCG@10 and average precision of both
//
// And how long a terminal waits while a line is being typed, letter by letter, over any shop.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "collection.h"
#include "evaluation.h"
#include "files/disk.h"
#include "files/save.h"
#include "search/search.h"
#include "stock.h"
#include "store/build.h"

namespace {

using namespace baylore;
using benchmark::Collection;
using benchmark::Ranking;

constexpr int kDepth = 1000;  // results a run holds, the TREC habit
constexpr std::size_t kShown = 10;

// A folder that goes away with its owner.
class Scratch {
 public:
  Scratch() {
    std::string name = (std::filesystem::temp_directory_path() / "baylore-bench-XXXXXX").string();
    if (mkdtemp(name.data()) != nullptr) path_ = name;
  }
  ~Scratch() {
    std::error_code ignored;
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

// Written once into a fresh folder and never needed after the run: not flushed, for speed.
files::Result<void> write_file(const std::string& path, const std::string& text) {
  auto output = files::real_disk().create(path);
  if (!output) return output.failure();
  if (auto written = (*output)->write(text); !written) return written;
  return (*output)->close();
}

files::Result<void> write_shop(const Collection& collection, const std::string& folder) {
  if (auto made = files::make_folders(files::real_disk(), folder + "/tips"); !made) return made;
  if (auto written = write_file(folder + "/shop.md", "---\nname: Benchmark\n---\n"); !written) {
    return written;
  }
  for (const benchmark::Document& document : collection.documents) {
    // An empty document has no title, and a tip without one is broken: a dash stands in, no word.
    const std::string title = document.title.empty() ? "-" : document.title;
    auto written = write_file(
        folder + "/tips/" + document.id + ".md",
        "---\nid: " + document.id + "\ntitle: " + title + "\n---\n\n## Symptom\n" + document.body);
    if (!written) return written;
  }
  return {};
}

struct Means {
  double ndcg = 0;
  double map = 0;
  double seconds = 0;  // a question
};

Means measure(const Collection& collection, const std::function<Ranking(const std::string&)>& ask) {
  Means means;
  for (const benchmark::Question& question : collection.questions) {
    const auto start = std::chrono::steady_clock::now();
    const Ranking ranking = ask(question.words);
    means.seconds +=
        std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    const benchmark::Judgements& judged = collection.judged.at(question.id);
    means.ndcg += benchmark::ndcg(ranking, judged, kShown);
    means.map += benchmark::average_precision(ranking, judged);
  }
  const auto count = static_cast<double>(collection.questions.size());
  means.ndcg /= count;
  means.map /= count;
  means.seconds /= count;
  return means;
}

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

int run(const Collection& collection) {
  const Scratch scratch;
  const std::string shop = scratch.path() + "/shop";
  if (auto made = files::make_folders(files::real_disk(), shop); !made) return fail(made.failure());
  if (auto written = write_shop(collection, shop); !written) return fail(written.failure());
  const store::Location location = store::locate(shop, scratch.path() + "/store");
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  if (!report) return fail(report.failure());
  const auto store = store::Store::open(location);
  if (!store) return fail(store.failure());
  const benchmark::Stock stock(collection);

  const Means ours = measure(collection, [&](const std::string& words) {
    search::Query query;
    query.line = words;
    query.limit = kDepth;
    query.last_is_prefix = false;
    query.only_ids = true;
    Ranking ranking;
    for (search::Hit& hit : search::search(*store, query).hits) {
      ranking.push_back(std::move(hit.tip.id));
    }
    return ranking;
  });
  const Means theirs =
      measure(collection, [&](const std::string& words) { return stock.rank(words, kDepth); });
  fmt::print("{}: {} documents, {} judged questions, built in {:.1f} s\n", collection.name,
             report->tips, collection.questions.size(), report->seconds);
  fmt::print("  {:<22} nDCG@10  MAP     ms a question\n", "");
  const auto line = [](const char* name, const Means& means) {
    fmt::print("  {:<22} {:.4f}   {:.4f}  {:.2f}\n", name, means.ndcg, means.map,
               means.seconds * 1000);
  };
  line("baylore", ours);
  line("stock FTS5 bm25", theirs);
  return ours.ndcg >= theirs.ndcg && ours.map >= theirs.map ? 0 : 1;
}

// Lines as typed at the bay; every beginning of each is a search of its own.
constexpr std::array<const char*, 8> kTyped = {
    "heater cold at idle", "P0128",           "hauler 2016 no heat",  "battery flat overnight",
    "rattle cold start",   "vane brake drag", "lights flicker bumps", "misfire under load P0302"};

int typing(const std::string& shop) {
  const Scratch scratch;
  const store::Location location = store::locate(shop, scratch.path() + "/store");
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  if (!report) return fail(report.failure());
  const auto store = store::Store::open(location);
  if (!store) return fail(store.failure());
  std::vector<double> times;
  for (int round = 0; round < 5; ++round) {
    for (const std::string line : kTyped) {
      for (std::size_t length = 1; length <= line.size(); ++length) {
        search::Query query;
        query.line = line.substr(0, length);
        const auto start = std::chrono::steady_clock::now();
        (void)search::search(*store, query);
        times.push_back(
            std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start)
                .count());
      }
    }
  }
  std::sort(times.begin(), times.end());
  const auto at = [&](double share) {
    return times[static_cast<std::size_t>(share * static_cast<double>(times.size() - 1))];
  };
  fmt::print(
      "{} tips, {} searches: half within {:.2f} ms, 95 % within {:.2f} ms, all within {:.2f} ms\n",
      report->tips, times.size(), at(0.5), at(0.95), at(1));
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const std::string what = argc > 1 ? argv[1] : "";
  if (argc == 3 && what == "typing") return typing(argv[2]);
  if (argc != 3 || (what != "cranfield" && what != "cisi")) {
    fmt::print(stderr,
               "baylore-bench: say cranfield or cisi and the folder of the collections, or typing "
               "and a shop\n");
    return 2;
  }
  const auto collection =
      what == "cranfield" ? benchmark::read_cranfield(argv[2]) : benchmark::read_cisi(argv[2]);
  if (!collection) return fail(collection.failure());
  return run(*collection);
}
