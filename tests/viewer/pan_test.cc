// A picture in its window: it fits, comes closer about the middle, and never leaves an edge bare
// that it could cover.
#include <doctest/doctest.h>

#include "viewer/ui/pan.h"

using namespace baylore::viewer;

namespace {

constexpr Rect kView{10, 20, 100, 60};

void covers(const Rect& r) {
  if (r.w >= kView.w - 0.01F) {
    CHECK(r.x <= kView.x + 0.01F);
    CHECK(r.right() >= kView.right() - 0.01F);
  }
  if (r.h >= kView.h - 0.01F) {
    CHECK(r.y <= kView.y + 0.01F);
    CHECK(r.bottom() >= kView.bottom() - 0.01F);
  }
}

}  // namespace

TEST_CASE("the whole picture fits, in the middle") {
  const Rect wide = picture_rect(kView, 4, {});
  CHECK(wide.w == doctest::Approx(100));
  CHECK(wide.h == doctest::Approx(25));
  CHECK(wide.y == doctest::Approx(37.5));
  const Rect high = picture_rect(kView, 0.5F, {});
  CHECK(high.h == doctest::Approx(60));
  CHECK(high.x == doctest::Approx(45));
}

TEST_CASE("it comes closer about the middle, up to a limit, and back") {
  Pan pan;
  for (int i = 0; i < 12; ++i) {
    pan = zoomed(pan, kView, 1.5F, kZoomStep);
    const Rect r = picture_rect(kView, 1.5F, pan);
    CHECK(pan.x == doctest::Approx(0.5));
    CHECK(r.x + r.w / 2 == doctest::Approx(kView.x + kView.w / 2));
    covers(r);
  }
  CHECK(pan.zoom == doctest::Approx(kMostZoom));
  for (int i = 0; i < 12; ++i) pan = zoomed(pan, kView, 1.5F, 1 / kZoomStep);
  CHECK(pan.zoom == doctest::Approx(1));
}

TEST_CASE("it moves with the finger, and stops at its own edge") {
  Pan pan = zoomed({}, kView, 1.5F, 4);
  const Rect before = picture_rect(kView, 1.5F, pan);
  pan = moved(pan, kView, 1.5F, 7, -3);
  const Rect after = picture_rect(kView, 1.5F, pan);
  CHECK(after.x - before.x == doctest::Approx(7).epsilon(0.01));
  CHECK(after.y - before.y == doctest::Approx(-3).epsilon(0.01));
  for (const float dx : {-400.0F, 400.0F}) {
    Pan far = pan;
    for (int i = 0; i < 5; ++i) far = moved(far, kView, 1.5F, dx, dx);
    const Rect r = picture_rect(kView, 1.5F, far);
    covers(r);
    // What was dragged too far does not have to be dragged back first.
    const Rect back = picture_rect(kView, 1.5F, moved(far, kView, 1.5F, -dx / 100, 0));
    CHECK(back.x - r.x == doctest::Approx(-dx / 100).epsilon(0.01));
  }
  // One that fits does not move.
  const Rect still = picture_rect(kView, 1.5F, moved({}, kView, 1.5F, 30, 30));
  CHECK(still.x == doctest::Approx(picture_rect(kView, 1.5F, {}).x));
}
