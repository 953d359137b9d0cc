// When a panel that nobody touches dims, and when it hides the job. Pure: times in, states out; no
// clock, no window.
#pragma once

namespace baylore::viewer {

enum class Rest {
  awake,
  dim,     // everything shows, darker
  hidden,  // the job does not show: who comes by sees whose bay it is, not what is on the lift
};

class RestWatch {
 public:
  // In minutes without a touch or a key; 0: never.
  void set(int dim_minutes, int hide_minutes);
  // Someone touched the panel or a key at `now`, in seconds from any start. Returns what it woke
  // from.
  Rest touch(double now);
  // Someone walks away: hidden until the next touch.
  void hide() { hide_now_ = true; }
  // What the panel is at `now`; hiding goes before dimming when it is due first.
  [[nodiscard]] Rest at(double now) const;
  // When it changes next by itself; 0: not before a touch.
  [[nodiscard]] double deadline(double now) const;

 private:
  double dim_after_ = 0;   // seconds; 0: never
  double hide_after_ = 0;  // seconds; 0: never
  double touched_ = 0;
  bool hide_now_ = false;
};

}  // namespace baylore::viewer
