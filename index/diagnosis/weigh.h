// From answers to weights and the ledger.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "diagnosis/belief.h"
#include "diagnosis/session.h"

namespace baylore::diagnosis {

// An answer as it counts: the last one to its check.
struct Taken {
  const Answer* answer = nullptr;
  const Check* check = nullptr;  // nullptr: a repair that was tried
  std::size_t cause = 0;         // of a repair
  std::vector<Judged> judged;    // one an effect of the check
};

struct Weighed {
  Weights weights;
  // How strong the evidence is that counts for each cause on each fact, as the logarithm of the
  // odds ratio; by cause, then by fact name.
  std::vector<std::map<std::string, double>> strength;
};

// What of the answers belongs to the case, and what of it counts; sentences about the rest.
std::vector<Taken> take(const Case& a_case, const std::vector<Answer>& answers, double meter_doubt,
                        std::vector<std::string>& troubles);

// The weights after the first `count` of what was taken:
//   1. every answer has a likelihood under each cause its check has an effect on, relative to the
//      causes it says nothing about
//   2. of several checks of one fact the strongest counts, cause by cause; of equals the one whose
//      id is smaller, so that the order of the answers does not matter
//   3. priors times likelihoods, normalised; a repair without effect "rules out" its cause; the
//      weight beyond the book is raised to kLeastBeyond
Weighed weigh(const Case& a_case, const std::vector<Taken>& taken, std::size_t count);

// For every cause what speaks for it and against it, in the order it became known.
std::vector<std::vector<Entry>> ledgers(const Case& a_case, const std::vector<Taken>& taken);

}  // namespace baylore::diagnosis
