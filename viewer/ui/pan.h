// A picture looked at through a window: how much of it is seen, and where. Pure.
#pragma once

#include "viewer/look/metrics.h"

namespace baylore::viewer {

struct Pan {
  float zoom = 1;  // 1: the whole picture fits the window; kMostZoom at most
  float x = 0.5F;  // the place in the picture, 0 left .. 1 right, that lies in the window's middle
  float y = 0.5F;  // 0 top .. 1 bottom
};

inline constexpr float kMostZoom = 8;
inline constexpr float kZoomStep = 1.6F;

// Where the whole picture, `aspect` times as wide as high, lies when `view` shows it so. It is
// never drawn away from an edge of the window while it reaches over the other one.
Rect picture_rect(Rect view, float aspect, const Pan& pan);

// The picture moved along with a finger by so many mm.
Pan moved(const Pan& pan, Rect view, float aspect, float dx, float dy);

// Enlarged by a factor, or made smaller, about the window's middle.
Pan zoomed(const Pan& pan, Rect view, float aspect, float factor);

}  // namespace baylore::viewer
