#include "store/readers.h"

#include <algorithm>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>
#include <utility>

#include "files/names.h"
#include "shop/shop.h"

namespace baylore::store {
namespace {

// How far the readers may run ahead of the one that writes.
constexpr std::size_t kAhead = 256;
// Below this many files starting threads costs more than it saves.
constexpr std::size_t kFewFiles = 4;

struct Done {
  Reading reading;
  Found found = Found::read;
  bool ready = false;
};

Done read_one(files::Disk& disk, const std::string& shop, const Candidate& candidate) {
  Done done;
  Reading& reading = done.reading;
  reading.path = candidate.path;
  reading.kind = candidate.kind;
  reading.status = candidate.status;
  reading.racy = candidate.racy;
  auto bytes = shop::read_text(disk, shop, candidate.path);
  if (!bytes) {
    using Kind = files::Failure::Kind;
    const files::Failure& failure = bytes.failure();
    if (failure.kind == Kind::missing) {
      done.found = Found::vanished;
    } else if (failure.kind == Kind::gone) {
      done.found = Found::lost;
    } else {
      reading.racy = true;  // try again next time, whatever the times say
      reading.findings.push_back({candidate.path, 1, 1, shop::Level::error, "unreadable",
                                  failure.what.empty() ? "cannot be read" : failure.what,
                                  failure.remedy});
    }
    return done;
  }
  reading.hash = files::hash_hex(*bytes);
  if (reading.hash == candidate.known_hash) {
    done.found = Found::same;
    return done;
  }
  reading.bytes = std::move(*bytes);
  understand_bytes(reading);
  return done;
}

bool is_set(const std::atomic<bool>* stop) { return stop != nullptr && stop->load(); }

}  // namespace

// The threads draw the next number each, at most kAhead beyond the one being handed over, and leave
// their reading in the slot of that number; the calling thread takes the slots in order. Both wait
// on one mutex: a file is parsed in far more time than a lock costs.
void read_in_order(files::Disk& disk, const std::string& shop,
                   const std::vector<Candidate>& candidates, const std::atomic<bool>* stop,
                   const std::function<bool(Reading& reading, Found found)>& take) {
  if (candidates.size() <= kFewFiles) {
    for (const Candidate& candidate : candidates) {
      Done done;
      if (is_set(stop)) {
        done.found = Found::stopped;
      } else {
        done = read_one(disk, shop, candidate);
      }
      const bool more = take(done.reading, done.found);
      if (!more || done.found == Found::stopped || done.found == Found::lost) return;
    }
    return;
  }

  std::mutex mutex;
  std::condition_variable room;
  std::condition_variable ready;
  std::deque<Done> slots(kAhead);
  std::size_t next = 0;
  std::size_t taken = 0;
  bool over = false;

  const auto work = [&] {
    std::unique_lock lock(mutex);
    while (true) {
      room.wait(lock, [&] { return over || next >= candidates.size() || next < taken + kAhead; });
      if (over || next >= candidates.size()) return;
      const std::size_t number = next++;
      lock.unlock();
      Done done = read_one(disk, shop, candidates[number]);
      done.ready = true;
      lock.lock();
      slots[number % kAhead] = std::move(done);
      ready.notify_one();
    }
  };

  std::vector<std::thread> threads;
  const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
  for (unsigned i = 0; i < cores; ++i) threads.emplace_back(work);

  for (std::size_t number = 0; number < candidates.size(); ++number) {
    Done done;
    if (is_set(stop)) {
      done.found = Found::stopped;
    } else {
      std::unique_lock lock(mutex);
      Done& slot = slots[number % kAhead];
      ready.wait(lock, [&] { return slot.ready; });
      done = std::move(slot);
      slot = Done();
      ++taken;
      room.notify_one();  // room for one more
    }
    const bool more = take(done.reading, done.found);
    if (!more || done.found == Found::stopped || done.found == Found::lost) break;
  }
  {
    const std::lock_guard lock(mutex);
    over = true;
  }
  room.notify_all();
  for (std::thread& thread : threads) thread.join();
}

}  // namespace baylore::store
