#include "evaluation.h"

#include <algorithm>
#include <cmath>

namespace baylore::benchmark {
namespace {

double gain_of(const std::string& id, const Judgements& judged) {
  const auto found = judged.find(id);
  return found == judged.end() ? 0 : found->second;
}

double discounted(const std::vector<double>& gains, std::size_t depth) {
  double sum = 0;
  for (std::size_t i = 0; i < gains.size() && i < depth; ++i) {
    sum += gains[i] / std::log2(static_cast<double>(i) + 2);
  }
  return sum;
}

std::size_t relevant_in(const Judgements& judged) {
  return static_cast<std::size_t>(std::count_if(judged.begin(), judged.end(),
                                                [](const auto& each) { return each.second > 0; }));
}

std::size_t relevant_among(const Ranking& ranking, const Judgements& judged, std::size_t depth) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < ranking.size() && i < depth; ++i) {
    if (gain_of(ranking[i], judged) > 0) ++count;
  }
  return count;
}

}  // namespace

double dcg(const Ranking& ranking, const Judgements& judged, std::size_t depth) {
  std::vector<double> gains;
  for (const std::string& id : ranking) gains.push_back(gain_of(id, judged));
  return discounted(gains, depth);
}

double ndcg(const Ranking& ranking, const Judgements& judged, std::size_t depth) {
  std::vector<double> ideal;
  for (const auto& [id, gain] : judged) ideal.push_back(gain);
  std::sort(ideal.begin(), ideal.end(), std::greater<>());
  const double best = discounted(ideal, depth);
  return best > 0 ? dcg(ranking, judged, depth) / best : 0;
}

double average_precision(const Ranking& ranking, const Judgements& judged) {
  const std::size_t relevant = relevant_in(judged);
  if (relevant == 0) return 0;
  double sum = 0;
  double found = 0;
  for (std::size_t i = 0; i < ranking.size(); ++i) {
    if (gain_of(ranking[i], judged) <= 0) continue;
    found += 1;
    sum += found / static_cast<double>(i + 1);
  }
  return sum / static_cast<double>(relevant);
}

double precision(const Ranking& ranking, const Judgements& judged, std::size_t depth) {
  if (depth == 0) return 0;
  return static_cast<double>(relevant_among(ranking, judged, depth)) / static_cast<double>(depth);
}

double recall(const Ranking& ranking, const Judgements& judged, std::size_t depth) {
  const std::size_t relevant = relevant_in(judged);
  if (relevant == 0) return 0;
  return static_cast<double>(relevant_among(ranking, judged, depth)) /
         static_cast<double>(relevant);
}

double reciprocal_rank(const Ranking& ranking, const Judgements& judged) {
  for (std::size_t i = 0; i < ranking.size(); ++i) {
    if (gain_of(ranking[i], judged) > 0) return 1 / static_cast<double>(i + 1);
  }
  return 0;
}

}  // namespace baylore::benchmark
