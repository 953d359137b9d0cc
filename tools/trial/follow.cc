#include <fmt/format.h>
#include <signal.h>

#include <atomic>
#include <chrono>
#include <string>
#include <thread>

#include "files/disk.h"
#include "files/names.h"
#include "files/save.h"
#include "search/search.h"
#include "store/build.h"
#include "store/store.h"
#include "store/watch.h"
#include "trial.h"

namespace baylore::trial {
namespace {

// What a store says to lines that touch most of what is written here, with its list and findings.
std::string answers_of(const store::Store& store) {
  std::string said =
      fmt::format("{} tips, {} findings\n", store.counts().tips, store.counts().findings);
  for (const char* line : {"heater cold", "belt chirps", "by bay-a", "by bay-b", "road test",
                           "bolt by bay-a", "line 3", "bleed it"}) {
    search::Query query;
    query.line = line;
    query.limit = 100;
    query.last_is_prefix = false;
    said += fmt::format("# {}\n", line);
    for (const search::Hit& hit : search::search(store, query).hits)
      said += fmt::format("{} {} {:.9g}\n", hit.tip.id, hit.tip.path, hit.score);
  }
  for (const shop::Finding& finding : store.findings()) said += finding.text() + "\n";
  return said;
}

std::string ask(const store::Location& location) {
  const auto store = store::Store::open(location);
  return store ? answers_of(*store) : store.failure().text();
}

}  // namespace

bool follow(const Bay& bay) {
  // Before any thread is made, so that none of them is ended by it.
  sigset_t wanted;
  sigemptyset(&wanted);
  sigaddset(&wanted, SIGTERM);
  pthread_sigmask(SIG_BLOCK, &wanted, nullptr);
  const store::Location location{bay.shop, bay.work + "/store"};
  std::atomic<int> updates{0};
  std::atomic<int> failed{0};
  std::string followed;
  {
    // The watcher calls on one thread.
    store::Options options;
    const store::Watcher watcher(bay.shop, [&](const store::Changed& changed) {
      options.changed = changed;
      ++updates;
      if (!store::bring_up_to_date(files::real_disk(), location, options)) ++failed;
      options.check = false;
    });
    int signal = 0;
    sigwait(&wanted, &signal);
    // The watcher waits for the folder to be quiet, five times 120 ms at most.
    std::this_thread::sleep_for(std::chrono::seconds(2));
    followed = ask(location);
  }
  const store::Location anew{bay.shop, bay.work + "/store-anew"};
  if (auto built = store::bring_up_to_date(files::real_disk(), anew); !built) {
    fmt::print(stderr, "{}\n", built.failure().text());
    return false;
  }
  const std::string fresh = ask(anew);
  if (!files::replace(files::real_disk(), bay.work + "/answers", followed)) return false;
  fmt::print(
      "{}               {} updates while it ran, {} failed; {} what a store built now says\n",
      bay.name, updates.load(), failed.load(), followed == fresh ? "answers" : "DOES NOT ANSWER");
  return followed == fresh && failed == 0;
}

}  // namespace baylore::trial
