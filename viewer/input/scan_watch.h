// Tells a barcode scanner that types like a keyboard from fingers: by a prefix it was set to send,
// else by its speed.
#pragma once

#include <string>
#include <string_view>

namespace baylore::viewer {

// Pure; one key stream each. Times in seconds, from any start, never falling.
class ScanWatch {
 public:
  // What a scanner sends before a code, such as "~"; empty: speed alone tells.
  explicit ScanWatch(std::string prefix = {}) : prefix_(std::move(prefix)) {}

  // A character came. True when it is the first after a pause: what is on the screen now is what
  // has to come back if all this turns out to be a scan.
  bool take(std::string_view character, double now);
  // The ending key (Enter or Tab) came: what was scanned, without the prefix; empty when fingers
  // typed it.
  std::string end(double now);
  // What came since the pause begins with the prefix: it belongs to no field, whatever follows.
  [[nodiscard]] bool in_scan() const;

  // A scanner sends a character every 1 to 20 ms, a hand one every 60 or more (common practice, no
  // source); a frame that was late makes many come at once, never few come apart.
  static constexpr double kPause = 0.12;       // ends a stretch of typing
  static constexpr double kMeanGap = 0.035;    // of a scan, from its first to its ending key
  static constexpr std::size_t kShortest = 5;  // characters; fewer are typed quickly by chance

 private:
  std::string prefix_;
  std::string text_;
  std::size_t count_ = 0;  // characters in it
  bool alike_ = true;      // all the same: a key held down, which repeats as fast
  std::string last_;
  double first_at_ = 0;
  double last_at_ = 0;
};

}  // namespace baylore::viewer
