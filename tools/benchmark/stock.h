// The reference beside our own ranking: SQLite's FTS5 with its stock bm25 over the same text.
#pragma once

#include <memory>
#include <string>

#include "collection.h"
#include "evaluation.h"

struct sqlite3;

namespace baylore::benchmark {

class Stock {
 public:
  // `porter unicode61`, title and body of equal weight, in memory.
  explicit Stock(const Collection& collection);
  // OR of the question's words, ordered by bm25.
  [[nodiscard]] Ranking rank(const std::string& words, int limit) const;

 private:
  struct Close {
    void operator()(sqlite3* connection) const;
  };
  std::unique_ptr<sqlite3, Close> connection_;
  std::vector<std::string> ids_;
};

}  // namespace baylore::benchmark
