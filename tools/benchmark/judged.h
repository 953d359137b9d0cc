// How well the lines that were judged by hand find their tips in the demo shop, by the manner in
// which they are written.
#pragma once

#include <string>

namespace baylore::benchmark {

struct JudgedTask {
  std::string shop;
  std::string folder;   // queries.tsv and qrels.tsv
  std::string work;     // a folder of its own for what is built
  bool misses = false;  // names the lines whose first tip is none that was wanted
};

// 0 when the mean reciprocal rank is at least .90 and that of the lines with a twin is at most 5 %
// below their twins', 1 when not, 2 when it could not run.
int judged(const JudgedTask& task);

}  // namespace baylore::benchmark
