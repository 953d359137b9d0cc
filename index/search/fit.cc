// How a tip stands to a vehicle.
#include <algorithm>
#include <cstdlib>

#include "search/engine.h"
#include "search/fit_rules.h"
#include "search/search.h"
#include "shop/fold.h"
#include "words/words.h"

namespace baylore::search {
namespace {

struct Standing {
  FitVerdict verdict = FitVerdict::other_model;
  int apart = 0;  // years, or 0 / 1 for the same make / another
};

Standing standing_of(const shop::Fit& fit, const Vehicle& vehicle) {
  if (!same_name(fit.make, vehicle.make)) return {FitVerdict::other_model, 1};
  if (!same_name(fit.model, vehicle.model)) return {FitVerdict::other_model, 0};
  const int apart = years_apart(fit.first_year, fit.last_year, vehicle);
  if (apart != 0) return {FitVerdict::other_year, std::abs(apart)};
  if (!same_engine(fit.engine, vehicle.engine)) return {FitVerdict::other_engine, 0};
  return {FitVerdict::fits, 0};
}

std::string words_for(FitVerdict verdict, const shop::Fit& fit, const Vehicle& vehicle) {
  switch (verdict) {
    case FitVerdict::no_vehicle:
      return {};
    case FitVerdict::fits:
      return tr("fits");
    case FitVerdict::fits_all:
      return tr("fits all");
    case FitVerdict::other_year:
      return years_apart(fit.first_year, fit.last_year, vehicle) < 0
                 ? say("to {0} only", fit.last_year)
                 : say("from {0} only", fit.first_year);
    case FitVerdict::other_engine:
      return say("{0} only", fit.engine);
    case FitVerdict::other_model:
      return say("other model: {0}",
                 fit.make + (fit.make.empty() || fit.model.empty() ? "" : " ") + fit.model);
  }
  return {};
}

}  // namespace

bool same_name(std::string_view fit, std::string_view asked) {
  return fit.empty() || asked.empty() || shop::run_together(fit) == shop::run_together(asked);
}

bool same_engine(std::string_view fit, std::string_view asked) {
  return fit.empty() || asked.empty() || agree(read_engine(fit), read_engine(asked));
}

int years_apart(int first_year, int last_year, const Vehicle& vehicle) {
  if (vehicle.year == 0) return 0;
  const int last = vehicle.last_year != 0 ? vehicle.last_year : vehicle.year;
  if (last_year != 0 && last_year < vehicle.year) return last_year - vehicle.year;
  if (first_year != 0 && first_year > last) return first_year - last;
  return 0;
}

FitResult fit_of(const std::vector<shop::Fit>& fits, const Vehicle& vehicle) {
  FitResult result;
  result.year = vehicle.year;
  if (fits.empty()) {
    if (!vehicle.empty()) result.verdict = FitVerdict::fits_all;
    result.words = words_for(result.verdict, {}, vehicle);
    return result;
  }
  // The line that comes nearest; the first of equals.
  const shop::Fit* nearest = &fits.front();
  Standing best = standing_of(*nearest, vehicle);
  for (const shop::Fit& fit : fits) {
    const Standing standing = standing_of(fit, vehicle);
    if (standing.verdict < best.verdict ||
        (standing.verdict == best.verdict && standing.apart < best.apart)) {
      best = standing;
      nearest = &fit;
    }
  }
  result.verdict = vehicle.empty() ? FitVerdict::no_vehicle : best.verdict;
  result.first_year = nearest->first_year;
  result.last_year = nearest->last_year;
  result.words = words_for(result.verdict, *nearest, vehicle);
  return result;
}

}  // namespace baylore::search
