#include "viewer/ui/pan.h"

#include <algorithm>

namespace baylore::viewer {
namespace {

// The picture's edge along one side: `middle` of the window, its reach, the picture's size.
float edge(float from, float reach, float size, float place) {
  if (size <= reach) return from + (reach - size) / 2;
  return std::clamp(from + reach / 2 - place * size, from + reach - size, from);
}

// The pan that shows the picture where it lies.
Pan pan_of(float zoom, Rect view, const Rect& r) {
  return {zoom, (view.x + view.w / 2 - r.x) / r.w, (view.y + view.h / 2 - r.y) / r.h};
}

}  // namespace

Rect picture_rect(Rect view, float aspect, const Pan& pan) {
  const float w = std::min(view.w, view.h * aspect) * pan.zoom;
  const float h = w / aspect;
  return {edge(view.x, view.w, w, pan.x), edge(view.y, view.h, h, pan.y), w, h};
}

Pan moved(const Pan& pan, Rect view, float aspect, float dx, float dy) {
  const Rect r = picture_rect(view, aspect, pan);
  const Pan further = pan_of(pan.zoom, view, {r.x + dx, r.y + dy, r.w, r.h});
  return pan_of(pan.zoom, view, picture_rect(view, aspect, further));
}

Pan zoomed(const Pan& pan, Rect view, float aspect, float factor) {
  const Pan next{std::clamp(pan.zoom * factor, 1.0F, kMostZoom), pan.x, pan.y};
  return pan_of(next.zoom, view, picture_rect(view, aspect, next));
}

}  // namespace baylore::viewer
