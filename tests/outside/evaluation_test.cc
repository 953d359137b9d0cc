// The measures of the ranking benchmark against worked values. DCG and nDCG: the gains 3,2,3,0,1,2
// are the widely reprinted example after Järvelin and Kekäläinen, "Cumulated gain-based evaluation
// of IR techniques" (ACM TOIS 20(4), 2002), here with the log2(rank + 1) discount of TREC practice;
// average precision, reciprocal rank, precision and recall as in Manning, Raghavan and Schütze,
// "Introduction to Information Retrieval" (2008), chapter 8. The digits were recomputed outside
// this project.
//
// The bootstrap: the mouse data of Efron and Tibshirani, "An Introduction to the Bootstrap" (1993),
// chapter 2, whose ideal bootstrap standard error the book gives as 23.36; and a set so small that
// all its resamples can be counted out. Quantiles: Hyndman and Fan, "Sample quantiles in
// statistical packages" (The American Statistician 50(4), 1996), definition 7, R's default.
#include "evaluation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "bootstrap.h"

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

TEST_CASE("the paper's own DCG, 3 2 3 0 0 1 2 2 3 0 with no discount at the first two ranks") {
  // Järvelin and Kekäläinen divide by log2(rank) from rank 2 on; TREC by log2(rank + 1) from rank
  // 1. So their sum is the first gain and our DCG of the rest. Printed to two decimals there; from
  // memory.
  const Judgements judged = {{"d2", 2}, {"d3", 3}, {"d6", 1}, {"d7", 2}, {"d8", 2}, {"d9", 3}};
  const Ranking rest = {"d2", "d3", "d4", "d5", "d6", "d7", "d8", "d9", "d10"};
  constexpr std::array<double, 9> kPrinted = {5, 6.89, 6.89, 6.89, 7.28, 7.99, 8.66, 9.61, 9.61};
  for (std::size_t i = 0; i < kPrinted.size(); ++i) {
    CHECK(std::abs(3 + dcg(rest, judged, i + 1) - kPrinted.at(i)) < 0.005);
  }
}

TEST_CASE("average precision of two systems (Manning et al., exercise 8.9): 0.6 and 0.493") {
  const Judgements judged = {{"r1", 1}, {"r2", 1}, {"r3", 1}, {"r4", 1}};
  const Ranking one = {"r1", "a", "r2", "b", "c", "d", "e", "f", "r3", "r4"};
  const Ranking two = {"a", "r1", "b", "c", "r2", "r3", "r4", "d", "e", "f"};
  CHECK(average_precision(one, judged) == Approx(0.6));
  CHECK(std::abs(average_precision(two, judged) - 0.493) < 0.0005);
}

TEST_CASE("mean reciprocal rank of the ranks 3, 2, 1: 11/18") {
  // The widely reprinted example of the measure, after Voorhees, "The TREC-8 question answering
  // track report" (1999).
  const Judgements judged = {{"r", 1}};
  const double sum = reciprocal_rank({"a", "b", "r"}, judged) +
                     reciprocal_rank({"a", "r"}, judged) + reciprocal_rank({"r"}, judged);
  CHECK(sum / 3 == Approx(11.0 / 18).epsilon(kClose));
}

TEST_CASE("recall at a depth beyond the ranking counts what is there") {
  const Judgements judged = {{"r1", 3}, {"r2", 1}, {"x", 0}};
  CHECK(recall({"a", "r1"}, judged, 100) == Approx(0.5));
  CHECK(recall({"x", "r2", "r1"}, judged, 2) == Approx(0.5));
}

TEST_CASE("quantiles between neighbours") {
  const std::vector<double> ten = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  CHECK(quantile(ten, 0.25) == Approx(3.25));
  CHECK(quantile(ten, 0.9) == Approx(9.1));
  CHECK(quantile(ten, 0) == 1);
  CHECK(quantile(ten, 1) == 10);
  CHECK(quantile({}, 0.5) == 0);
}

TEST_CASE("the bootstrap's standard error of the mouse data's mean is 23.36") {
  const std::vector<double> treated = {94, 197, 16, 38, 99, 141, 23};
  const std::vector<double> means = resampled_means(treated);
  REQUIRE(means.size() == kResamples);
  const double mean = std::accumulate(means.begin(), means.end(), 0.0) / kResamples;
  double squares = 0;
  for (const double each : means) squares += (each - mean) * (each - mean);
  // 10,000 resamples leave a relative error of 1/sqrt(2 * 10,000), 0.7 %, on it: three of those.
  CHECK(std::sqrt(squares / (kResamples - 1)) == Approx(23.36).epsilon(0.021));
  CHECK(mean == Approx(86.857).epsilon(0.01));
}

TEST_CASE("the interval is that of all resamples counted out") {
  const std::vector<double> values = {-0.2, 0, 0.1, 0.4, 0.7};
  std::vector<double> all;
  for (std::size_t i = 0; i < 3125; ++i) {
    double sum = 0;
    for (std::size_t n = i, place = 0; place < 5; ++place, n /= 5) sum += values[n % 5];
    all.push_back(sum / 5);
  }
  std::sort(all.begin(), all.end());
  const Interval found = bootstrap(values);
  CHECK(found.mean == Approx(0.2));
  CHECK(std::abs(found.low - quantile(all, 0.025)) < 0.021);  // means lie 0.02 apart
  CHECK(std::abs(found.high - quantile(all, 0.975)) < 0.021);
  CHECK(found.low < found.mean);
  CHECK(found.mean < found.high);
}

TEST_CASE("equal everywhere, and nothing at all") {
  const Interval same = bootstrap({0.25, 0.25, 0.25});
  CHECK(same.low == Approx(0.25));
  CHECK(same.high == Approx(0.25));
  CHECK(bootstrap({}).high == 0);
  // The same numbers every time.
  CHECK(resampled_means({1, 2, 5}, 50, 7) == resampled_means({1, 2, 5}, 50, 7));
}
