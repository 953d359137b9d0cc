// The measures of the ranking benchmark against worked values. DCG and nDCG: the gains 3,2,3,0,1,2
// are the widely reprinted example after Järvelin and Kekäläinen, "Cumulated gain-based evaluation
// of IR techniques" (ACM TOIS 20(4), 2002), here with the log2(rank + 1) discount of TREC practice;
// average precision, reciprocal rank, precision and recall as in Manning, Raghavan and Schütze,
// "Introduction to Information Retrieval" (2008), chapter 8. The digits were recomputed outside
// this project.
#include "evaluation.h"

#include <doctest/doctest.h>

using namespace baylore::benchmark;
using doctest::Approx;

namespace {

const Ranking kRanking = {"d1", "d2", "d3", "d4", "d5", "d6"};
const Judgements kRetrieved = {{"d1", 3}, {"d2", 2}, {"d3", 3}, {"d4", 0}, {"d5", 1}, {"d6", 2}};
constexpr double kClose = 1e-9;

}  // namespace

TEST_CASE("DCG and nDCG of graded judgements") {
  CHECK(dcg(kRanking, kRetrieved, 6) == Approx(6.861126689).epsilon(kClose));
  // Ideal from what was retrieved only ...
  CHECK(ndcg(kRanking, kRetrieved, 6) == Approx(0.960808194).epsilon(kClose));
  // ... and from the whole pool, which is what the benchmark uses: two more relevant ones are
  // known.
  Judgements pool = kRetrieved;
  pool["d7"] = 3;
  pool["d8"] = 2;
  CHECK(ndcg(kRanking, pool, 6) == Approx(0.785002372).epsilon(kClose));
  CHECK(dcg({"d1", "d3", "d7", "d2", "d6", "d8"}, pool, 6) == Approx(8.740262366).epsilon(kClose));
}

TEST_CASE("binary judgements 0 1 0 1 1, four relevant") {
  const Ranking ranking = {"a", "b", "c", "d", "e"};
  const Judgements judged = {{"b", 1}, {"d", 1}, {"e", 1}, {"z", 1}};
  CHECK(ndcg(ranking, judged, 5) == Approx(0.5654495432).epsilon(kClose));
  CHECK(ndcg(ranking, judged, 3) == Approx(0.2960819110).epsilon(kClose));
  CHECK(recall(ranking, judged, 3) == Approx(0.25));
  CHECK(recall(ranking, judged, 5) == Approx(0.75));
  CHECK(precision(ranking, judged, 5) == Approx(0.6));
  CHECK(reciprocal_rank(ranking, judged) == Approx(0.5));
  CHECK(average_precision(ranking, judged) == Approx(0.4));
}

TEST_CASE("mean reciprocal rank of the ranks 1, 3, 2, none, 5") {
  const Judgements judged = {{"r", 1}};
  const std::vector<Ranking> rankings = {
      {"r"}, {"a", "b", "r"}, {"a", "r"}, {"a"}, {"a", "b", "c", "d", "r"}};
  double sum = 0;
  for (const Ranking& ranking : rankings) sum += reciprocal_rank(ranking, judged);
  CHECK(sum / 5 == Approx(0.4066666667).epsilon(kClose));
}

TEST_CASE("nothing relevant, nothing retrieved") {
  CHECK(ndcg(kRanking, {}, 10) == 0);
  CHECK(average_precision(kRanking, {}) == 0);
  CHECK(recall(kRanking, {}, 10) == 0);
  CHECK(ndcg({}, kRetrieved, 10) == 0);
  CHECK(precision({}, kRetrieved, 0) == 0);
}
