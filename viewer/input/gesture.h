// Tells taps, drags, flings and palms apart. Pure: pointer samples in, gestures out; no clock, no
// window.
#pragma once

#include <vector>

namespace baylore::viewer {

struct Gesture {
  enum class Kind {
    press,   // a finger came down; nothing is decided yet
    tap,     // it went up near where it came down, in time: this is what activates
    drag,    // it moved on by dx, dy after leaving the slop
    fling,   // it went up while moving: velocity dx, dy in mm/s
    cancel,  // it stayed too long (a palm, a lean) or was taken away: nothing happens
  } kind = Kind::press;
  float x = 0;  // where the finger came down (press, tap, drag, fling), in mm
  float y = 0;
  float dx = 0;
  float dy = 0;
};

class GestureRecogniser {
 public:
  // `slop` in mm; a press longer than `longest` seconds never activates.
  explicit GestureRecogniser(float slop, double longest = 1.0) : slop_(slop), longest_(longest) {}
  void set_slop(float slop) { slop_ = slop; }

  // One sample at `now` seconds. Press and release may come in neighbouring samples; the position
  // of the release sample counts.
  std::vector<Gesture> feed(double now, float x, float y, bool down);
  // The pointer was taken away (focus lost): whatever was begun ends without effect.
  std::vector<Gesture> cancel();
  // The finger that is down has done all it will: it only woke the panel.
  void ignore() {
    if (phase_ != Phase::up) phase_ = Phase::dead;
  }
  [[nodiscard]] bool down() const { return phase_ != Phase::up; }
  // When a held press turns into a cancel; 0 when nothing is held undecided.
  [[nodiscard]] double deadline() const {
    return phase_ == Phase::undecided ? began_ + longest_ : 0;
  }

 private:
  enum class Phase { up, undecided, dragging, dead };
  struct Sample {
    double t;
    float x;
    float y;
  };
  float slop_;
  double longest_;
  Phase phase_ = Phase::up;
  double began_ = 0;
  float from_x_ = 0, from_y_ = 0;
  float last_x_ = 0, last_y_ = 0;
  std::vector<Sample> trail_;  // the last tenth of a second, for the fling's velocity
};

}  // namespace baylore::viewer
