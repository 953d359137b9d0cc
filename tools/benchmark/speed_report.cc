#include <fmt/format.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "figures.h"
#include "speed.h"

namespace baylore::benchmark {
namespace {

struct Row {
  const char* heading;  // of a group; empty for a further row of it
  const char* name;
  const char* figure;
};
constexpr std::array<Row, 12> kTimes = {
    {{"a line, everything included", "baylore", "ours.query"},
     {"a line, everything but the rows of the screen", "baylore", "ours.ids"},
     {"a line, any word, ids only", "baylore", "ours.any"},
     {"", "FTS5 bm25", "fts5.any"},
     {"", "Xapian", "xapian.any"},
     {"a line, all words, ids only", "FTS5 bm25", "fts5.all"},
     {"", "Xapian", "xapian.all"},
     {"a key, everything included", "baylore", "ours.key"},
     {"a key, any word, last one open, ids only", "FTS5 bm25", "fts5-prefix.key"},
     {"", "Xapian", "xapian.key"},
     {"a key, all words, last one open, ids only", "FTS5 bm25", "fts5-prefix.all-key"},
     {"", "Xapian", "xapian.all-key"}}};

struct Engine {
  const char* name;
  const char* figure;
};
constexpr std::array<Engine, 4> kEngines = {{{"baylore", "ours"},
                                             {"FTS5", "fts5"},
                                             {"FTS5 with prefixes", "fts5-prefix"},
                                             {"Xapian", "xapian"}}};

struct Target {
  std::string what;
  double value = 0;
  double limit = 0;
  bool at_least = false;

  [[nodiscard]] bool met() const { return at_least ? value >= limit : value <= limit; }
};

// Milliseconds of the 99th percentile a key, at the size a shop is measured at or the next smaller
// one.
double key_limit(double tips) { return tips <= 20000 ? 1.5 : tips <= 100000 ? 4 : 20; }

std::vector<Target> targets_of(const Figures& figures) {
  const auto get = [&](const char* name) { return figures.get(name); };
  const auto ratio = [&](const char* above, const char* below) {
    return get(below) > 0 ? get(above) / get(below) : 0;
  };
  std::vector<Target> targets;
  const double tips = get("tips");
  targets.push_back({"ms a key, everything included, p99", get("ours.key.p99"), key_limit(tips)});
  if (figures.has("xapian.any.p50")) {
    targets.push_back({"times as fast as Xapian, any word, p50",
                       ratio("xapian.any.p50", "ours.any.p50"), 10, true});
    targets.push_back({"times as fast as Xapian, any word, p99",
                       ratio("xapian.any.p99", "ours.any.p99"), 10, true});
    targets.push_back(
        {"times as fast built as Xapian", ratio("xapian.build", "ours.build"), 3, true});
    targets.push_back({"times Xapian's size", ratio("ours.size", "xapian.size"), 1});
  }
  if (figures.has("fts5.build")) {
    targets.push_back(
        {"times the time of a bare FTS5 insert", ratio("ours.build", "fts5.build"), 3});
  }
  targets.push_back({"times the size of the tips", ratio("ours.size", "text.size"), 5});
  if (tips <= 100000) {
    targets.push_back({"ms from a changed tip to finding it, p50", get("ours.update.p50"), 100});
    targets.push_back({"MB at most while asking", get("ours.ask.peak"), 150});
  }
  return targets;
}

int write_row(const Figures& figures, const std::string& file) {
  constexpr std::array<const char*, 26> kColumns = {"tips",
                                                    "text.size",
                                                    "ours.query.p50",
                                                    "ours.query.p99",
                                                    "ours.key.p50",
                                                    "ours.key.p99",
                                                    "ours.any.p50",
                                                    "ours.any.p99",
                                                    "fts5.any.p50",
                                                    "fts5.any.p99",
                                                    "xapian.any.p50",
                                                    "xapian.any.p99",
                                                    "fts5-prefix.key.p50",
                                                    "fts5-prefix.key.p99",
                                                    "xapian.key.p50",
                                                    "xapian.key.p99",
                                                    "ours.build",
                                                    "fts5.build",
                                                    "fts5-prefix.build",
                                                    "xapian.build",
                                                    "ours.size",
                                                    "fts5.size",
                                                    "fts5-prefix.size",
                                                    "xapian.size",
                                                    "ours.update.p50",
                                                    "ours.ask.peak"};
  std::error_code error;
  const bool fresh = !std::filesystem::exists(file, error);
  std::ofstream out(file, std::ios::app);
  std::string names;
  std::string values;
  for (const char* column : kColumns) {
    names += (names.empty() ? "" : "\t") + std::string(column);
    values += values.empty() ? "" : "\t";
    // What was not measured is no zero.
    values += figures.has(column) ? fmt::format("{:.6g}", figures.get(column)) : "nan";
  }
  if (fresh) out << names << '\n';
  out << values << '\n';
  out.close();
  if (!out.fail()) return 0;
  fmt::print(stderr, "{}: cannot be written\n", file);
  return 2;
}

}  // namespace

int report_speed(const std::string& work, const std::string& row) {
  const Figures figures = Figures::of(work);
  const auto get = [&](const std::string& name) { return figures.get(name); };
  if (!figures.has("ours.key.p99") || !figures.has("ours.build")) {
    fmt::print(stderr, "{}: nothing was measured\n", work);
    return 2;
  }
  fmt::print("{:.0f} tips, {:.1f} MB; as plain text {:.1f} MB\n\n", get("tips"), get("text.size"),
             get("plain.size"));
  fmt::print("milliseconds{:34}{:>10}{:>10}{:>10}{:>10}{:>8}\n", "", "p50", "p95", "p99", "max",
             "asked");
  for (const Row& each : kTimes) {
    const std::string name = each.figure;
    if (!figures.has(name + ".p50")) continue;
    if (each.heading[0] != '\0') fmt::print("{}\n", each.heading);
    fmt::print("  {:44}{:>10.3f}{:>10.3f}{:>10.3f}{:>10.3f}{:>8.0f}\n", each.name,
               get(name + ".p50"), get(name + ".p95"), get(name + ".p99"), get(name + ".max"),
               get(name + ".count"));
  }
  fmt::print("found something: {:.1f} % of the lines; opened in {:.2f} ms, first line {:.2f} ms\n",
             get("ours.found") * 100, get("ours.open"), get("ours.first"));
  fmt::print("one changed tip findable in {:.1f} ms (p50 of {:.0f}), {:.1f} ms at most\n\n",
             get("ours.update.p50"), get("ours.update.count"), get("ours.update.max"));
  fmt::print("{:22}{:>12}{:>12}{:>16}{:>16}\n", "", "build s", "size MB", "build peak MB",
             "ask peak MB");
  for (const Engine& each : kEngines) {
    const std::string name = each.figure;
    if (!figures.has(name + ".build")) continue;
    fmt::print("{:22}{:>12.2f}{:>12.1f}{:>16.1f}{:>16.1f}\n", each.name, get(name + ".build"),
               get(name + ".size"), get(name + ".build.peak"), get(name + ".ask.peak"));
  }
  fmt::print("of baylore's peak while asking {:.1f} MB are its own, the rest mapped files\n\n",
             get("ours.ask.own"));
  bool all = true;
  for (const Target& each : targets_of(figures)) {
    fmt::print("{:9}{:44}{:>10.2f}, {} {:g}\n", each.met() ? "met" : "NOT MET", each.what,
               each.value, each.at_least ? "at least" : "at most", each.limit);
    all = all && each.met();
  }
  if (!row.empty()) {
    if (const int code = write_row(figures, row); code != 0) return code;
  }
  return all ? 0 : 1;
}

}  // namespace baylore::benchmark
