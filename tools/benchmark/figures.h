// What the parts of a measurement found: named numbers in a file that every part adds to, because
// each part is a process of its own, so that its memory is its own too.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "files/result.h"

namespace baylore::benchmark {

class Figures {
 public:
  // Of the folder's file; there need not be one yet.
  static Figures of(const std::string& folder);

  void set(const std::string& name, double value);
  // 0 when nothing was measured.
  [[nodiscard]] double get(const std::string& name) const;
  [[nodiscard]] bool has(const std::string& name) const;
  // NAME.p50, .p95, .p99, .max, .count; `times` need not be sorted.
  void set_times(const std::string& name, std::vector<double> times);
  files::Result<void> save() const;

 private:
  std::string path_;
  std::map<std::string, double> values_;
};

// Of this process, in MB: the most it ever had, and what it holds now without the files that are
// mapped into it.
double peak_memory();
double own_memory();

// Bytes of all files in a folder, to any depth, or of one file, in MB.
double size_on_disk(const std::string& path);

}  // namespace baylore::benchmark
