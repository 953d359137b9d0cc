// Whether two fits can mean one car.
#pragma once

#include <string>
#include <vector>

#include "shop/tip.h"

namespace baylore::shop::checking {

// A fit made comparable: words folded, an empty part means any, year 0 is open.
struct Vehicle {
  std::string make;
  std::string model;
  std::string engine;  // folded words, one blank between
  int first_year = 0;
  int last_year = 0;

  friend bool operator==(const Vehicle&, const Vehicle&) = default;
};

Vehicle vehicle_of(const Fit& fit);

// Engines agree when the words of one are among those of the other: `3.6` and `3.6 V6`.
bool engines_agree(const std::string& a, const std::string& b);
bool overlap(const Vehicle& a, const Vehicle& b);

}  // namespace baylore::shop::checking
