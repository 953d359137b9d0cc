#include "viewer/input/gesture.h"

#include <algorithm>
#include <cmath>

namespace baylore::viewer {
namespace {
constexpr double kTrail = 0.1;       // seconds of movement that decide a fling
constexpr float kSlowestFling = 30;  // mm/s; slower is putting the page down
constexpr float kFastestFling = 2500;
}  // namespace

std::vector<Gesture> GestureRecogniser::feed(double now, float x, float y, bool down) {
  std::vector<Gesture> out;
  const auto emit = [&](Gesture::Kind kind, float dx = 0, float dy = 0) {
    out.push_back(Gesture{kind, from_x_, from_y_, dx, dy});
  };
  if (down && phase_ == Phase::up) {
    phase_ = Phase::undecided;
    began_ = now;
    from_x_ = last_x_ = x;
    from_y_ = last_y_ = y;
    trail_.assign(1, Sample{now, x, y});
    emit(Gesture::Kind::press);
    return out;
  }
  if (phase_ == Phase::up) return out;

  if (phase_ == Phase::undecided) {
    const float far = std::hypot(x - from_x_, y - from_y_);
    if (far > slop_) {
      phase_ = Phase::dragging;
      // The slop itself is not scrolled through: the page starts under the finger without a jump.
      last_x_ = from_x_ + (x - from_x_) * slop_ / far;
      last_y_ = from_y_ + (y - from_y_) * slop_ / far;
    } else if (now - began_ > longest_) {
      phase_ = Phase::dead;
      emit(Gesture::Kind::cancel);
    } else if (!down) {
      phase_ = Phase::up;
      emit(Gesture::Kind::tap);
      return out;
    }
  }
  if (phase_ == Phase::dragging) {
    if (x != last_x_ || y != last_y_) emit(Gesture::Kind::drag, x - last_x_, y - last_y_);
    last_x_ = x;
    last_y_ = y;
    trail_.push_back(Sample{now, x, y});
    trail_.erase(trail_.begin(),
                 std::find_if(trail_.begin(), trail_.end() - 1,
                              [&](const Sample& s) { return now - s.t <= kTrail; }));
  }
  if (!down) {
    if (phase_ == Phase::dragging && trail_.size() > 1) {
      const double dt = trail_.back().t - trail_.front().t;
      if (dt > 1e-4) {
        const auto speed = [&](float a, float b) {
          return std::clamp(static_cast<float>((b - a) / dt), -kFastestFling, kFastestFling);
        };
        const float vx = speed(trail_.front().x, trail_.back().x);
        const float vy = speed(trail_.front().y, trail_.back().y);
        if (std::hypot(vx, vy) >= kSlowestFling) emit(Gesture::Kind::fling, vx, vy);
      }
    }
    phase_ = Phase::up;
    trail_.clear();
  }
  return out;
}

std::vector<Gesture> GestureRecogniser::cancel() {
  if (phase_ == Phase::up) return {};
  phase_ = Phase::up;
  trail_.clear();
  return {Gesture{Gesture::Kind::cancel, from_x_, from_y_, 0, 0}};
}

}  // namespace baylore::viewer
