#include <utility>

#include "engine.h"
#include "search/search.h"

namespace baylore::benchmark {
namespace {

class Ours : public Engine {
 public:
  explicit Ours(const store::Store& store) : store_(store) {}
  [[nodiscard]] std::string name() const override { return "baylore"; }
  Ranking rank(const std::string& words, const Ask& ask) override {
    search::Query query;
    query.line = words;
    query.limit = ask.depth;
    query.last_is_prefix = ask.last_open;
    query.only_ids = true;
    Ranking ranking;
    for (search::Hit& hit : search::search(store_, query).hits) {
      ranking.push_back(std::move(hit.tip.id));
    }
    return ranking;
  }

 private:
  const store::Store& store_;
};

}  // namespace

std::unique_ptr<Engine> our_engine(const store::Store& store) {
  return std::make_unique<Ours>(store);
}

}  // namespace baylore::benchmark
