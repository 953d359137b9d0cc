// How good a ranking is, after Järvelin and Kekäläinen (2002) and the TREC habit: plain functions
// over ids, checked against worked values in tests/outside.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace baylore::benchmark {

using Ranking = std::vector<std::string>;          // ids, best first
using Judgements = std::map<std::string, double>;  // id -> gain; not there: 0

// Sum of gain / log2(rank + 1) over the first `depth` results.
double dcg(const Ranking& ranking, const Judgements& judged, std::size_t depth);

// DCG over that of the best possible ranking of everything judged (not only of what was retrieved).
// 0 when nothing relevant is known.
double ndcg(const Ranking& ranking, const Judgements& judged, std::size_t depth);

// Mean of the precisions at each relevant result, over all relevant that are known. Any gain above
// 0 is relevant.
double average_precision(const Ranking& ranking, const Judgements& judged);

// Share of the first `depth` places, and of all relevant, that are relevant and there.
double precision(const Ranking& ranking, const Judgements& judged, std::size_t depth);
double recall(const Ranking& ranking, const Judgements& judged, std::size_t depth);

// 1 / rank of the first relevant result; 0 when there is none.
double reciprocal_rank(const Ranking& ranking, const Judgements& judged);

}  // namespace baylore::benchmark
