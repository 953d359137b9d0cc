#include "viewer/input/rest.h"

#include <initializer_list>

namespace baylore::viewer {

void RestWatch::set(int dim_minutes, int hide_minutes) {
  dim_after_ = 60.0 * dim_minutes;
  hide_after_ = 60.0 * hide_minutes;
}

Rest RestWatch::touch(double now) {
  const Rest before = at(now);
  touched_ = now;
  hide_now_ = false;
  return before;
}

Rest RestWatch::at(double now) const {
  if (hide_now_) return Rest::hidden;
  if (hide_after_ > 0 && now >= touched_ + hide_after_) return Rest::hidden;
  if (dim_after_ > 0 && now >= touched_ + dim_after_) return Rest::dim;
  return Rest::awake;
}

double RestWatch::deadline(double now) const {
  double due = 0;
  for (const double after : {dim_after_, hide_after_}) {
    const double t = touched_ + after;
    if (after > 0 && t > now && (due == 0 || t < due)) due = t;
  }
  return due;
}

}  // namespace baylore::viewer
