// Contrast and sizes of the viewer against figures from outside the project.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "viewer/look/metrics.h"
#include "viewer/look/theme.h"

namespace {

using baylore::viewer::Colour;
using baylore::viewer::contrast;
using baylore::viewer::Hand;
using baylore::viewer::metrics_for;
using baylore::viewer::Type;

constexpr Colour grey(unsigned char v) { return {v, v, v}; }
constexpr Colour kWhite{255, 255, 255};
constexpr Colour kBlack{0, 0, 0};

// Pixels of `mm` on a panel of that many pixels per inch, as the viewer works them out.
double pixels(double ppi, double mm) {
  return static_cast<double>(metrics_for(1920, 1080, ppi, 100, Hand::glove).px_per_mm) * mm;
}

// Height that subtends `minutes` of arc at `distance`.
double height(double distance, double minutes) {
  return 2 * distance * std::tan(minutes / 60 / 180 * std::numbers::pi / 2);
}

}  // namespace

// WCAG 2.2 (W3C Recommendation), definitions of contrast ratio and relative luminance; the pairs
// are the well-known boundary greys of levels AA (4.5:1, success criterion 1.4.3) and AAA (7:1,
// 1.4.6), and the primaries, worked out from the definition.
TEST_CASE("contrast ratios are WCAG's") {
  CHECK(contrast(kBlack, kWhite) == doctest::Approx(21).epsilon(1e-9));
  CHECK(contrast(kWhite, kWhite) == doctest::Approx(1).epsilon(1e-9));
  CHECK(contrast(grey(0x76), kWhite) == doctest::Approx(4.54222496).epsilon(1e-8));
  CHECK(contrast(grey(0x77), kWhite) == doctest::Approx(4.47808945).epsilon(1e-8));
  CHECK(contrast(grey(0x59), kWhite) == doctest::Approx(7.00472921).epsilon(1e-8));
  CHECK(contrast(grey(0x5A), kWhite) == doctest::Approx(6.89692622).epsilon(1e-8));
  CHECK(contrast(grey(0x94), kWhite) == doctest::Approx(3.03346983).epsilon(1e-8));
  CHECK(contrast(grey(0x1A), grey(0xE0)) == doctest::Approx(13.1842623).epsilon(1e-8));
  CHECK(contrast({255, 0, 0}, kWhite) == doctest::Approx(3.99847677).epsilon(1e-8));
  CHECK(contrast({0, 0, 255}, kWhite) == doctest::Approx(8.59247136).epsilon(1e-8));
  CHECK(contrast({0, 255, 0}, kBlack) == doctest::Approx(15.304).epsilon(1e-4));
  CHECK(contrast({255, 255, 0}, kBlack) == doctest::Approx(19.556).epsilon(1e-4));
  CHECK(contrast({255, 0x66, 0}, kWhite) == doctest::Approx(2.93601645).epsilon(1e-8));
  CHECK(contrast({255, 0x95, 0}, kBlack) == doctest::Approx(9.55097844).epsilon(1e-8));
  // It is the same both ways round.
  CHECK(contrast(kWhite, grey(0x76)) == contrast(grey(0x76), kWhite));
}

// Arithmetic of 25.4 mm to the inch (international inch, 1959) at the density of the panel's
// diagonal and pixels.
TEST_CASE("millimetres become pixels at the panel's own density") {
  const auto ppi = [](double diagonal, double w, double h) { return std::hypot(w, h) / diagonal; };
  const double bench = ppi(21.5, 1920, 1080);
  CHECK(bench == doctest::Approx(102.461).epsilon(1e-5));
  CHECK(pixels(bench, 15) == doctest::Approx(60.5083).epsilon(1e-5));
  CHECK(pixels(bench, 19) == doctest::Approx(76.6439).epsilon(1e-5));
  CHECK(pixels(bench, 22) == doctest::Approx(88.7456).epsilon(1e-5));
  const double laptop = ppi(15.6, 1920, 1080);
  CHECK(pixels(laptop, 15) == doctest::Approx(83.3929).epsilon(1e-5));
  CHECK(pixels(laptop, 22) == doctest::Approx(122.310).epsilon(1e-5));
  const double bay = ppi(10.1, 1280, 800);
  CHECK(bay == doctest::Approx(149.449).epsilon(1e-5));
  CHECK(pixels(bay, 15) == doctest::Approx(88.2574).epsilon(1e-5));
  CHECK(pixels(bay, 19) == doctest::Approx(111.793).epsilon(1e-5));
  CHECK(pixels(bay, 22) == doctest::Approx(129.444).epsilon(1e-5));
  // A CSS pixel is a 96th of an inch (CSS Values and Units 3): 20 mm are 75.59 of them.
  CHECK(pixels(96, 20) == doctest::Approx(75.5905512).epsilon(1e-6));
}

// WCAG 2.2, success criterion 2.5.5 (level AAA): a target of 44 by 44 CSS pixels, nominally
// 11.64 mm.
TEST_CASE("a gloved hand's targets are larger than the enhanced size of WCAG") {
  const double enhanced = 44 * 25.4 / 96;
  CHECK(enhanced == doctest::Approx(11.6416667).epsilon(1e-8));
  CHECK(metrics_for(1280, 800, 0, 100, Hand::glove).target() > enhanced);
  CHECK(metrics_for(1280, 800, 0, 100, Hand::thick_glove).target() > enhanced);
  // 20 mm: Colle and Hiszem, Ergonomics 47(13), 2004: sufficient when standing, bare-handed.
  CHECK(metrics_for(1280, 800, 0, 100, Hand::thick_glove).target() >= 20);
}

// h = 2 d tan(a/2). 16 minutes of arc as the least height of characters: ISO 9241-303, from memory.
TEST_CASE("the smallest letters can be read from 600 mm") {
  CHECK(height(600, 16) == doctest::Approx(2.79253184).epsilon(1e-8));
  CHECK(height(600, 20) == doctest::Approx(3.49066835).epsilon(1e-8));
  CHECK(height(900, 20) == doctest::Approx(5.23600252).epsilon(1e-8));
  for (const auto& [w, h] :
       {std::pair{1280, 800}, {800, 480}, {800, 1280}, {390, 844}, {1920, 1080}}) {
    CHECK(static_cast<double>(metrics_for(w, h, 0, 100, Hand::glove).capitals(Type::small)) >=
          height(600, 16));
  }
}
