#include "figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <utility>

#include "bootstrap.h"
#include "trec.h"

namespace baylore::benchmark {
namespace {

constexpr double kMega = 1e6;

double status_line(std::string_view name) {
  std::ifstream in("/proc/self/status");
  std::string word;
  double kilobytes = 0;
  while (in >> word) {
    if (word == name && in >> kilobytes) return kilobytes * 1024 / kMega;
  }
  return 0;
}

}  // namespace

Figures Figures::of(const std::string& folder) {
  Figures figures;
  figures.path_ = folder + "/figures.tsv";
  std::ifstream in(figures.path_);
  std::string name;
  double value = 0;
  while (in >> name >> value) figures.values_[name] = value;
  return figures;
}

void Figures::set(const std::string& name, double value) { values_[name] = value; }

double Figures::get(const std::string& name) const {
  const auto found = values_.find(name);
  return found == values_.end() ? 0 : found->second;
}

bool Figures::has(const std::string& name) const { return values_.count(name) > 0; }

void Figures::set_times(const std::string& name, std::vector<double> times) {
  std::sort(times.begin(), times.end());
  set(name + ".p50", quantile(times, 0.5));
  set(name + ".p95", quantile(times, 0.95));
  set(name + ".p99", quantile(times, 0.99));
  set(name + ".max", quantile(times, 1));
  set(name + ".count", static_cast<double>(times.size()));
}

files::Result<void> Figures::save() const {
  std::string out;
  for (const auto& [name, value] : values_) out += fmt::format("{}\t{}\n", name, value);
  return write_plain(path_, out);
}

double peak_memory() { return status_line("VmHWM:"); }

double own_memory() { return status_line("RssAnon:"); }

double size_on_disk(const std::string& path) {
  std::error_code error;
  if (!std::filesystem::is_directory(path, error)) {
    return static_cast<double>(std::filesystem::file_size(path, error)) / kMega;
  }
  double sum = 0;
  for (const auto& each : std::filesystem::recursive_directory_iterator(path, error)) {
    if (each.is_regular_file(error)) sum += static_cast<double>(each.file_size(error));
  }
  return sum / kMega;
}

}  // namespace baylore::benchmark
