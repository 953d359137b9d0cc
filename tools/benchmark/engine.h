// What is compared: our own search and the two engines that anybody could take instead, behind one
// face.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "evaluation.h"
#include "files/result.h"
#include "shop_text.h"
#include "store/store.h"

namespace baylore::benchmark {

// How the words of a line are meant.
struct Ask {
  bool all = false;        // every word has to be there; else any of them, the more the better
  bool last_open = false;  // the last word may still be growing
  int depth = 1000;        // results
};

class Engine {
 public:
  virtual ~Engine() = default;
  [[nodiscard]] virtual std::string name() const = 0;
  // Best first. `ask.all` means nothing to our own search: it decides by itself.
  virtual Ranking rank(const std::string& words, const Ask& ask) = 0;
};

// Hands every document to the function it is given.
using Documents = std::function<void(const std::function<void(const Document&)>&)>;

// Our own: ids only, nothing that only a screen needs. `store` is only looked at.
std::unique_ptr<Engine> our_engine(const store::Store& store);

// SQLite FTS5 in a database file of its own: `porter unicode61`, title and body of equal weight,
// ordered by its bm25. `prefix`: with prefix indexes for two and three letters, which a field that
// searches while one types needs.
files::Result<void> build_fts5(const std::string& file, const Documents& documents, bool prefix);
files::Result<std::unique_ptr<Engine>> open_fts5(const std::string& file);

// Xapian in a folder of its own: its English stemmer, positions, title and body of equal weight,
// its BM25, all as its own term generator and query parser have it.
files::Result<void> build_xapian(const std::string& folder, const Documents& documents);
files::Result<std::unique_ptr<Engine>> open_xapian(const std::string& folder);

}  // namespace baylore::benchmark
