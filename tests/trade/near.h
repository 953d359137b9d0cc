#pragma once

#include <cmath>

// Whether two numbers agree to a relative difference; an expected 0 is met to the same absolute
// one.
inline bool near(double got, double want, double relative) {
  const double scale = want == 0 ? 1.0 : std::fabs(want);
  return std::fabs(got - want) <= relative * scale;
}
