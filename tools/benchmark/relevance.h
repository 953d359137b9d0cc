// How good the rankings are, ours beside the two reference engines, over the same tips and
// questions in one run.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "bootstrap.h"
#include "engine.h"
#include "trec.h"

namespace baylore::benchmark {

// The three engines over one shop, ours first. All that is built lies in a folder of its own.
class Compared {
 public:
  static files::Result<Compared> over(const std::string& shop, const std::string& work);
  [[nodiscard]] const store::Store& store() const { return *store_; }
  [[nodiscard]] const std::vector<std::unique_ptr<Engine>>& engines() const { return engines_; }

 private:
  std::unique_ptr<store::Store> store_;
  std::vector<std::unique_ptr<Engine>> engines_;
};

// Every measure of every question, of one engine.
struct Measured {
  std::vector<double> ndcg10;
  std::vector<double> reciprocal;
  std::vector<double> recall10;
  std::vector<double> recall100;
  std::vector<double> map;
  double milliseconds = 0;  // a question, on average
};

// Judgements may name a tip by id, slug or path: all by id afterwards. What the store does not know
// stays as it is and counts as not found.
Judged by_id(const store::Store& store, const Judged& judged);

Measured measure(const std::vector<Question>& questions, const Judged& judged,
                 const std::vector<Ranking>& rankings);

double mean(const std::vector<double>& values);
// How far ours are above theirs, question by question.
Interval difference(const std::vector<double>& ours, const std::vector<double>& theirs);

struct RelevanceTask {
  std::string name;   // for the heading and the run files
  std::string shop;   // a folder of tips
  std::string store;  // a folder of its own for everything that is built
  std::vector<Question> questions;
  Judged judged;
  std::string run_folder;  // where TREC runs are written; empty: nowhere
};

// Builds all three, asks every question that has judgements, prints the table. 0 when our nDCG@10
// is below neither of the others, 1 when it is, 2 when it could not run.
int relevance(RelevanceTask task);

}  // namespace baylore::benchmark
