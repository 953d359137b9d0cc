#include "typing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <vector>

#include "bootstrap.h"
#include "files/disk.h"
#include "scratch.h"
#include "search/search.h"
#include "store/build.h"

namespace baylore::benchmark {
namespace {

// Lines as typed at the bay; every beginning of each is a search of its own.
constexpr std::array<const char*, 8> kTyped = {
    "heater cold at idle", "P0128",           "hauler 2016 no heat",  "battery flat overnight",
    "rattle cold start",   "vane brake drag", "lights flicker bumps", "misfire under load P0302"};

int fail(const files::Failure& failure) {
  fmt::print(stderr, "{}\n", failure.text());
  return 2;
}

}  // namespace

int typing(const std::string& shop) {
  const Scratch scratch;
  const store::Location location = store::locate(shop, scratch.path() + "/store");
  const auto report = store::bring_up_to_date(files::real_disk(), location);
  if (!report) return fail(report.failure());
  const auto store = store::Store::open(location);
  if (!store) return fail(store.failure());
  std::vector<double> times;
  for (int round = 0; round < 5; ++round) {
    for (const std::string line : kTyped) {
      for (std::size_t length = 1; length <= line.size(); ++length) {
        search::Query query;
        query.line = line.substr(0, length);
        const auto start = std::chrono::steady_clock::now();
        (void)search::search(*store, query);
        times.push_back(
            std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start)
                .count());
      }
    }
  }
  std::sort(times.begin(), times.end());
  fmt::print(
      "{} tips, {} searches: half within {:.2f} ms, 95 % within {:.2f} ms, all within {:.2f} ms\n",
      report->tips, times.size(), quantile(times, 0.5), quantile(times, 0.95), times.back());
  return 0;
}

}  // namespace baylore::benchmark
