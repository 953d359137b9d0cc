// One thread that runs jobs in order. A keyed job replaces one of the same key that has not begun:
// newest wins.
#pragma once

#include <sys/resource.h>

#include <algorithm>
#include <cerrno>
#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <string>
#include <thread>

namespace baylore::viewer {

class Worker {
 public:
  // `behind`: gives way to those that somebody waits for, when there is not processor enough for
  // all.
  enum class Place { in_front, behind };
  explicit Worker(Place place = Place::in_front)
      : thread_([this, place] {
          if (place == Place::behind) stand_behind();
          run();
        }) {}
  ~Worker() { end(); }
  // Runs what is queued to its end, then stops. What is posted after that is dropped: workers that
  // hand on work to each other can be ended one after the other.
  void end() {
    {
      const std::lock_guard lock(mutex_);
      stop_ = true;
    }
    wake_.notify_all();
    if (thread_.joinable()) thread_.join();
  }
  Worker(const Worker&) = delete;
  Worker& operator=(const Worker&) = delete;

  void post(std::function<void()> work, const std::string& key = {}) {
    {
      const std::lock_guard lock(mutex_);
      if (stop_) return;
      if (!key.empty()) {
        for (Queued& q : queue_) {
          if (q.key == key) {
            q.work = std::move(work);
            return;
          }
        }
      }
      queue_.push_back(Queued{key, std::move(work)});
    }
    wake_.notify_one();
  }

  // Drops what has not begun.
  void clear() {
    const std::lock_guard lock(mutex_);
    queue_.clear();
  }

  [[nodiscard]] bool quiet() const {
    const std::lock_guard lock(mutex_);
    return queue_.empty() && !busy_;
  }

 private:
  struct Queued {
    std::string key;
    std::function<void()> work;
  };

  // On Linux each thread has a niceness of its own. One that cannot be had is done without.
  static void stand_behind() {
    constexpr int kBehind = 10;
    constexpr int kLast = 19;
    errno = 0;
    const int now = ::getpriority(PRIO_PROCESS, 0);
    if (now != -1 || errno == 0)
      static_cast<void>(::setpriority(PRIO_PROCESS, 0, std::min(now + kBehind, kLast)));
  }

  void run() {
    std::unique_lock lock(mutex_);
    for (;;) {
      wake_.wait(lock, [&] { return stop_ || !queue_.empty(); });
      if (queue_.empty()) return;
      const Queued next = std::move(queue_.front());
      queue_.pop_front();
      busy_ = true;
      lock.unlock();
      next.work();
      lock.lock();
      busy_ = false;
    }
  }

  mutable std::mutex mutex_;
  std::condition_variable wake_;
  std::deque<Queued> queue_;
  bool stop_ = false;
  bool busy_ = false;
  std::thread thread_;  // last: it runs with everything above made
};

}  // namespace baylore::viewer
