#include "speed.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "engine.h"
#include "figures.h"
#include "files/disk.h"
#include "files/save.h"
#include "lines.h"
#include "search/candidates.h"
#include "search/plan.h"
#include "search/search.h"
#include "search/vehicles.h"
#include "shop/fold.h"
#include "shop/shop.h"
#include "store/build.h"
#include "texts.h"
#include "trec.h"

namespace baylore::benchmark {
namespace {

constexpr std::size_t kLines = 500;
constexpr std::size_t kTyped = 60;
constexpr int kShown = 20;
constexpr std::size_t kRounds = 3;
// Seconds that one round may take: FTS5 ranks a hundred thousand tips at a few lines a second.
constexpr double kPatience = 60;
constexpr std::size_t kUpdates = 9;

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

int saved(const Figures& figures) {
  const auto done = figures.save();
  return done ? 0 : fail(done.failure());
}

std::string texts_file(const std::string& work) { return work + "/texts"; }

store::Location location(const std::string& shop, const std::string& work) {
  return store::locate(shop, work + "/ours");
}

std::string file_of(const std::string& engine, const std::string& work) {
  return work + "/" + engine;
}

std::vector<std::string> read_lines(const std::string& path) {
  std::vector<std::string> lines;
  std::ifstream in(path);
  std::string line;
  while (std::getline(in, line)) lines.push_back(line);
  return lines;
}

// Every beginning of every line, as the keys are pressed. Shuffled, so that a round that is cut
// short saw long and short ones alike.
std::vector<std::string> beginnings(const std::vector<std::string>& lines) {
  std::vector<std::string> out;
  for (const std::string& line : lines) {
    for (std::size_t length = 1; length <= line.size(); ++length) {
      out.push_back(line.substr(0, length));
    }
  }
  Random random(5);
  for (std::size_t i = out.size(); i > 1; --i) std::swap(out[i - 1], out[random.below(i)]);
  return out;
}

// Asks all, up to three times, and notes the shortest time of each in milliseconds.
void time_all(Figures& figures, const std::string& name, const std::vector<std::string>& asked,
              const std::function<void(const std::string&)>& ask) {
  std::vector<double> best;
  double worst = 0;
  for (std::size_t round = 0; round < kRounds; ++round) {
    const auto began = Clock::now();
    const std::size_t count = round == 0 ? asked.size() : best.size();
    for (std::size_t i = 0; i < count; ++i) {
      if (round == 0 && seconds_since(began) > kPatience) break;
      const auto start = Clock::now();
      ask(asked[i]);
      const double took = seconds_since(start) * 1e3;
      worst = std::max(worst, took);
      if (round == 0) {
        best.push_back(took);
      } else {
        best[i] = std::min(best[i], took);
      }
    }
    if (seconds_since(began) > kPatience / 2) break;
  }
  figures.set_times(name, std::move(best));
  figures.set(name + ".max", worst);
}

// What the other engines do with a line: its words and their other forms, the best tips by the
// words' weights. Nothing is understood, corrected or held against a vehicle, and no exact ranking
// follows.
void time_bare(Figures& figures, const store::Store& store, const std::vector<std::string>& lines) {
  const store::Snapshot snapshot = store.snapshot();
  if (!snapshot.good()) return;
  const store::Words& words = snapshot.words();
  search::Planner planner;
  search::Gatherer gatherer;
  const search::Standings no_vehicle;
  std::size_t letters = 0;
  time_all(figures, "ours.any", lines, [&](const std::string& line) {
    search::Terms terms;
    for (std::string& word : shop::words_of(line)) {
      search::Term& term = terms.terms.emplace_back();
      term.required = false;  // any word will do
      term.phrases.push_back({{word}, 1, false, false});
      term.word = std::move(word);
    }
    const search::Plan plan = planner.plan(words, terms, {});
    const search::Gathered found = gatherer.gather(words, plan, no_vehicle, false, kShown);
    for (const search::Candidate& each : found.best) {
      letters += words.pieces()[each.piece].part.id(each.tip).size();
    }
  });
  figures.set("ours.any.letters", static_cast<double>(letters));
}

int ask_ours(const std::string& shop, const std::string& work) {
  Figures figures = Figures::of(work);
  const auto start = Clock::now();
  const auto store = store::Store::open(location(shop, work));
  if (!store) return fail(store.failure());
  figures.set("ours.open", seconds_since(start) * 1e3);
  const std::vector<std::string> lines = read_lines(work + "/lines");
  const std::vector<std::string> keys = beginnings(read_lines(work + "/typed"));
  std::size_t hits = 0;
  const auto ask = [&](const std::string& line, bool open) {
    search::Query query;
    query.line = line;
    query.limit = kShown;
    query.last_is_prefix = open;
    const search::Answer answer = search::search(*store, query);
    hits += answer.hits.empty() ? 0U : 1U;
  };
  const auto first = Clock::now();
  ask(lines.front(), false);
  figures.set("ours.first", seconds_since(first) * 1e3);
  hits = 0;
  for (const std::string& line : lines) ask(line, false);
  figures.set("ours.found", static_cast<double>(hits) / static_cast<double>(lines.size()));
  time_all(figures, "ours.query", lines, [&](const std::string& line) { ask(line, false); });
  time_all(figures, "ours.key", keys, [&](const std::string& line) { ask(line, true); });
  const std::unique_ptr<Engine> ids = our_engine(*store);
  Ask any;
  any.depth = kShown;
  time_all(figures, "ours.ids", lines, [&](const std::string& line) { ids->rank(line, any); });
  time_bare(figures, *store, lines);
  figures.set("ours.ask.peak", peak_memory());
  figures.set("ours.ask.own", own_memory());
  return saved(figures);
}

int ask_reference(const std::string& name, const std::string& work) {
  Figures figures = Figures::of(work);
  const std::string file = file_of(name, work);
  const auto engine = name == "xapian" ? open_xapian(file) : open_fts5(file);
  if (!engine) return fail(engine.failure());
  const std::vector<std::string> lines = read_lines(work + "/lines");
  const std::vector<std::string> keys = beginnings(read_lines(work + "/typed"));
  const auto time = [&](const char* what, bool all, bool open) {
    Ask how;
    how.all = all;
    how.last_open = open;
    how.depth = kShown;
    time_all(figures, name + "." + what, open ? keys : lines,
             [&](const std::string& line) { (*engine)->rank(line, how); });
  };
  // Whole words need no prefix index; the open last word wants one.
  if (name != "fts5-prefix") {
    time("any", false, false);
    time("all", true, false);
  }
  if (name != "fts5") {
    time("key", false, true);
    time("all-key", true, true);
  }
  figures.set(name + ".ask.peak", peak_memory());
  return saved(figures);
}

}  // namespace

int prepare_speed(const std::string& shop, const std::string& work) {
  files::Disk& disk = files::real_disk();
  if (auto made = files::make_folders(disk, work); !made) return fail(made.failure());
  const auto listed = disk.list(shop + "/tips");
  if (!listed) return fail(listed.failure());
  std::vector<std::string> paths;
  for (const files::Listed& each : *listed) {
    std::string path = "tips/" + each.path;
    if (!each.status.folder && shop::kind_of(path) == shop::Kind::tip) {
      paths.push_back(std::move(path));
    }
  }
  if (paths.empty()) {
    fmt::print(stderr, "{}: has no tips\n", shop);
    return 2;
  }
  Random random(20260314);
  std::vector<std::pair<std::size_t, std::size_t>> wanted;
  std::map<std::size_t, shop::Tip> kept;
  for (std::size_t i = 0; i < kLines + kTyped; ++i) {
    wanted.emplace_back(random.below(paths.size()), random.below(paths.size()));
    kept[wanted.back().first];
    kept[wanted.back().second];
  }
  TextWriter texts(texts_file(work));
  double bytes = 0;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    const auto text = shop::read_text(disk, shop, paths[i]);
    if (!text) return fail(text.failure());
    bytes += static_cast<double>(text->size());
    texts.add(plain_text(*text, paths[i]));
    if (const auto found = kept.find(i); found != kept.end()) {
      found->second = shop::read_tip(shop::Document::parse(*text), paths[i]);
    }
  }
  std::string lines;
  std::string typed;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const auto& [tip, other] = wanted[i];
    (i < kLines ? lines : typed) += typed_line(kept.at(tip), kept.at(other), random) + '\n';
  }
  if (!texts.close()) return fail({files::Failure::Kind::full, work, "cannot be written", ""});
  for (const auto& [name, text] : {std::pair("/lines", &lines), std::pair("/typed", &typed)}) {
    if (auto written = write_plain(work + name, *text); !written) return fail(written.failure());
  }
  Figures figures = Figures::of(work);
  figures.set("tips", static_cast<double>(paths.size()));
  figures.set("text.size", bytes / 1e6);
  figures.set("plain.size", size_on_disk(texts_file(work)));
  return saved(figures);
}

int build_engine(const std::string& engine, const std::string& shop, const std::string& work) {
  Figures figures = Figures::of(work);
  const std::string file = file_of(engine, work);
  std::error_code error;
  std::filesystem::remove_all(file, error);
  const auto start = Clock::now();
  if (engine == "ours") {
    store::Options options;
    options.from_scratch = true;
    const auto report = store::bring_up_to_date(files::real_disk(), location(shop, work), options);
    if (!report) return fail(report.failure());
    // Findable is when something is found.
    const auto store = store::Store::open(location(shop, work));
    if (!store) return fail(store.failure());
    search::Query query;
    query.line = read_lines(work + "/lines").front();
    search::search(*store, query);
  } else {
    const Documents texts = texts_of(texts_file(work));
    const auto built = engine == "xapian" ? build_xapian(file, texts)
                                          : build_fts5(file, texts, engine == "fts5-prefix");
    if (!built) return fail(built.failure());
  }
  figures.set(engine + ".build", seconds_since(start));
  figures.set(engine + ".build.peak", peak_memory());
  figures.set(engine + ".size", size_on_disk(file));
  return saved(figures);
}

int ask_engine(const std::string& engine, const std::string& shop, const std::string& work) {
  return engine == "ours" ? ask_ours(shop, work) : ask_reference(engine, work);
}

int time_updates(const std::string& shop, const std::string& work) {
  files::Disk& disk = files::real_disk();
  auto store = store::Store::open(location(shop, work));
  if (!store) return fail(store.failure());
  store::Options options;
  options.check = false;  // as a running viewer does after its start
  const auto update = [&]() -> files::Result<void> {
    const auto report = store::bring_up_to_date(disk, location(shop, work), options);
    if (!report) return report.failure();
    const auto moved = store->refresh();
    if (!moved) return moved.failure();
    return {};
  };
  const auto all = static_cast<std::int64_t>(store->counts().tips);
  Random random(3);
  std::vector<double> times;
  std::vector<double> undone;
  for (std::size_t i = 0; i < kUpdates; ++i) {
    const auto tip =
        store->tip(1 + static_cast<std::int64_t>(random.below(static_cast<std::size_t>(all))));
    if (!tip) continue;
    const auto before = shop::read_text(disk, shop, tip->path);
    if (!before) return fail(before.failure());
    const std::string word = fmt::format("novelword{}", i);
    const std::string path = shop + "/" + tip->path;
    // As the watcher names it to a running viewer, and as the viewer itself knows it when it saves.
    options.changed = {tip->path};
    if (auto put = files::replace(disk, path, *before + "\nFound " + word + ".\n"); !put) {
      return fail(put.failure());
    }
    auto start = Clock::now();
    if (auto done = update(); !done) return fail(done.failure());
    search::Query query;
    query.line = word;
    const search::Answer answer = search::search(*store, query);
    times.push_back(seconds_since(start) * 1e3);
    const bool found = std::any_of(answer.hits.begin(), answer.hits.end(),
                                   [&](const auto& hit) { return hit.tip.path == tip->path; });
    if (auto put = files::replace(disk, path, *before); !put) return fail(put.failure());
    start = Clock::now();
    if (auto done = update(); !done) return fail(done.failure());
    undone.push_back(seconds_since(start) * 1e3);
    if (!found) {
      fmt::print(stderr, "{}: changed and not found\n", tip->path);
      return 2;
    }
  }
  if (times.empty()) {
    fmt::print(stderr, "{}: the store names no tip to change\n", shop);
    return 2;
  }
  Figures figures = Figures::of(work);
  figures.set_times("ours.update", std::move(times));
  figures.set_times("ours.undo", std::move(undone));
  figures.set("ours.update.size", size_on_disk(file_of("ours", work)));
  return saved(figures);
}

}  // namespace baylore::benchmark
