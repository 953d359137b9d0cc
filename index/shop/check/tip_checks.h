// Parts of check_tip() that other files of this folder use too.
#pragma once

#include <string>

#include "shop/check/check.h"
#include "shop/document.h"
#include "shop/notes.h"

namespace baylore::shop::checking {

// Cars a shop may still see; the bound is ours.
inline constexpr int kOldestYear = 1950;

// The year and the day up to which dates are plausible.
struct Today {
  int year = 0;
  std::string tomorrow;  // `2026-03-15`
};
Today today_of(const CheckOptions& options);

// Model years of a vocabulary file that cannot be: before 1950, or after next year.
void check_model_years(const Document& document, const CheckOptions& options, Notes& notes);

}  // namespace baylore::shop::checking
