#include "shop/check/vehicles.h"

#include <string_view>

#include "shop/fold.h"

namespace baylore::shop::checking {
namespace {

// Whether every word of `few` is among the words of `many`; both have one blank between words.
bool words_within(std::string_view few, std::string_view many) {
  const std::string padded = ' ' + std::string(many) + ' ';
  while (!few.empty()) {
    const std::size_t end = few.find(' ');
    const std::string word = ' ' + std::string(few.substr(0, end)) + ' ';
    if (padded.find(word) == std::string::npos) return false;
    few = end == std::string_view::npos ? std::string_view() : few.substr(end + 1);
  }
  return true;
}

}  // namespace

Vehicle vehicle_of(const Fit& fit) {
  return {folded_words(fit.make), folded_words(fit.model), folded_words(fit.engine), fit.first_year,
          fit.last_year};
}

bool engines_agree(const std::string& a, const std::string& b) {
  if (a == b || a.empty() || b.empty()) return true;
  return words_within(a, b) || words_within(b, a);
}

bool overlap(const Vehicle& a, const Vehicle& b) {
  const auto same = [](const std::string& x, const std::string& y) {
    return x.empty() || y.empty() || x == y;
  };
  if (!same(a.make, b.make) || !same(a.model, b.model)) return false;
  if (a.first_year != 0 && b.last_year != 0 && a.first_year > b.last_year) return false;
  if (b.first_year != 0 && a.last_year != 0 && b.first_year > a.last_year) return false;
  return engines_agree(a.engine, b.engine);
}

}  // namespace baylore::shop::checking
