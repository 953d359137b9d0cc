#include "viewer/input/scan_watch.h"

#include <utility>

namespace baylore::viewer {

bool ScanWatch::take(std::string_view character, double now) {
  const bool begins = text_.empty() || (now - last_at_ > kPause && !in_scan());
  if (begins) {
    text_.clear();
    count_ = 0;
    alike_ = true;
    first_at_ = now;
  } else {
    alike_ = alike_ && character == last_;
  }
  text_ += character;
  last_ = character;
  ++count_;
  last_at_ = now;
  return begins;
}

bool ScanWatch::in_scan() const { return !prefix_.empty() && text_.starts_with(prefix_); }

std::string ScanWatch::end(double now) {
  const std::string text = std::exchange(text_, {});
  const std::size_t count = std::exchange(count_, 0);
  if (!prefix_.empty() && text.starts_with(prefix_)) return text.substr(prefix_.size());
  if (count < kShortest || alike_ || now - last_at_ > kPause) return {};
  return now - first_at_ <= kMeanGap * static_cast<double>(count) ? text : std::string();
}

}  // namespace baylore::viewer
