// The terminal killed at random moments during a job: what is on the disk is the job as the last
// tap that was done left it, or as the tap in flight would have; and the terminal starts on it
// again. Everything but the window is the real thing: screens' actions, desk, store, files.
#include <doctest/doctest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "job/jobs.h"
#include "support/terminals.h"

namespace {

using baylore::test::Headless;
using baylore::test::Terminals;
using Clock = std::chrono::steady_clock;
namespace job = baylore::job;
namespace viewer = baylore::viewer;

constexpr const char* kTerminal = "bay-3-TEST01";

// BAYLORE_KILLS=200 for a long run.
int kills() {
  const char* text = std::getenv("BAYLORE_KILLS");
  return text == nullptr ? 20 : std::atoi(text);
}

// Times left out, and the check's words, which come with the guide: the rest of a job follows from
// the taps.
std::string timeless(job::Job job) {
  job.touched.clear();
  for (job::Reading& reading : job.readings) {
    reading.when.clear();
    reading.name.clear();
    reading.expected.clear();
  }
  return job::to_json(job);
}

// One tap's effect on a job, worked out here and not by the viewer.
struct Tap {
  char kind = 't';  // tick, answered yes or no, skipped, offered again
  std::string key;
};
job::Job after(job::Job job, const Tap& tap) {
  switch (tap.kind) {
    case 't': {
      job::Ticks& ticks = job.ticks[job.tip];
      if (ticks.erase(tap.key) == 0) ticks.insert(tap.key);
      break;
    }
    case 'y':
    case 'n': {
      job::Reading reading;
      reading.check = tap.key;
      reading.result = tap.kind == 'y' ? "yes" : "no";
      reading.said = tap.kind == 'y' ? job::kInside : job::kOutside;
      job.keep(reading);
      std::erase(job.skipped, tap.key);
      break;
    }
    case 's':
      job.skipped.push_back(tap.key);
      break;
    case 'u':
      job.skipped.clear();
      break;
    default:
      break;
  }
  return job;
}

viewer::Action action_of(const Tap& tap) {
  switch (tap.kind) {
    case 't':
      return {viewer::Do::tick, tap.key};
    case 'y':
    case 'n':
      return {viewer::Do::answer_check, tap.key, tap.kind == 'y' ? 1 : 0};
    case 's':
      return {viewer::Do::skip_check, tap.key};
    default:
      return {viewer::Do::unskip, {}};
  }
}

// --- messages of the child: a letter, a length, a line feed, so many bytes

void say(int pipe, char letter, const std::string& bytes) {
  const std::string head = letter + std::to_string(bytes.size()) + "\n";
  const std::string all = head + bytes;
  std::size_t at = 0;
  while (at < all.size()) {
    const ssize_t n = ::write(pipe, all.data() + at, all.size() - at);
    if (n <= 0) ::_exit(9);
    at += static_cast<std::size_t>(n);
  }
}

struct Said {
  char letter = 0;
  std::string bytes;
};
std::vector<Said> read_all(const std::string& log) {
  std::vector<Said> out;
  std::size_t at = 0;
  while (at < log.size()) {
    const std::size_t end = log.find('\n', at);
    if (end == std::string::npos) break;
    const auto length = static_cast<std::size_t>(std::atol(log.c_str() + at + 1));
    if (end + 1 + length > log.size()) break;  // the kill cut it short
    out.push_back({log[at], log.substr(end + 1, length)});
    at = end + 1 + length;
  }
  return out;
}

// The terminal: starts, says what job it has, then taps without end.
[[noreturn]] void run_terminal(const Terminals& at, int pipe, unsigned seed, bool first) {
  Headless panel(at.options(kTerminal));
  if (first) {
    if (!panel.ready()) ::_exit(2);
    panel.tap("line");
    panel.type("hauler heater");
    panel.settle();
    const std::string tip = baylore::test::hit_of(panel.state(), "Heater cold at idle");
    if (tip.empty()) ::_exit(3);
    panel.app().apply({viewer::Do::open_tip, tip});
  }
  if (!panel.until([&] { return panel.state().tip && panel.app().busy().empty(); }, 20)) ::_exit(4);
  std::vector<Tap> taps;
  for (const viewer::Todo& todo : viewer::todo_of(panel.state().tip->tip))
    taps.push_back({'t', todo.key});
  for (const baylore::shop::Check& check : panel.state().tip->tip.checks) {
    for (const char kind : {'y', 'n', 's'}) taps.push_back({kind, check.id});
  }
  taps.push_back({'u', {}});
  say(pipe, 'a', job::to_json(*panel.state().current()));
  if (first) ::_exit(0);
  std::mt19937 dice(seed);
  for (;;) {
    const Tap& tap = taps[dice() % taps.size()];
    say(pipe, tap.kind, tap.key);
    const auto begun = Clock::now();
    panel.app().apply(action_of(tap));
    panel.frames(1);
    while (!panel.app().busy().empty()) panel.frames(1);
    const auto took =
        std::chrono::duration_cast<std::chrono::microseconds>(Clock::now() - begun).count();
    say(pipe, 'd', std::to_string(took));
    say(pipe, 'a', job::to_json(*panel.state().current()));
  }
}

// Runs it for so long after its start, or after its first word, and hands back what it said;
// `first`: to its end.
std::string run_for(const Terminals& at, unsigned seed, bool first, long microseconds,
                    bool after_word = false) {
  int pipe[2] = {-1, -1};
  REQUIRE(::pipe(pipe) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    ::close(pipe[0]);
    run_terminal(at, pipe[1], seed, first);
  }
  ::close(pipe[1]);
  auto until = Clock::now() + std::chrono::microseconds(microseconds);
  std::string log;
  std::string piece(1 << 16, '\0');
  bool killed = false;
  for (;;) {
    const auto left =
        std::chrono::duration_cast<std::chrono::nanoseconds>(until - Clock::now()).count();
    const bool timed = !first && (!after_word || !log.empty());
    if (timed && !killed && left <= 0) {
      REQUIRE(::kill(child, SIGKILL) == 0);
      killed = true;
    }
    pollfd wanted{pipe[0], POLLIN, 0};
    const timespec wait{left > 0 ? left / 1'000'000'000 : 0, left > 0 ? left % 1'000'000'000 : 0};
    if (::ppoll(&wanted, 1, !timed || killed ? nullptr : &wait, nullptr) <= 0) continue;
    const ssize_t n = ::read(pipe[0], piece.data(), piece.size());
    if (n <= 0) break;
    if (log.empty() && after_word) until = Clock::now() + std::chrono::microseconds(microseconds);
    log.append(piece, 0, static_cast<std::size_t>(n));
  }
  ::close(pipe[0]);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  // It was the signal that ended it, not a fault of its own.
  if (first) {
    REQUIRE(WIFEXITED(status));
    REQUIRE(WEXITSTATUS(status) == 0);
  } else {
    REQUIRE(WIFSIGNALED(status));
  }
  return log;
}

}  // namespace

TEST_CASE("a terminal killed at random moments loses at most the tap in flight") {
  Terminals at;
  // One tip of the demo: what a start costs is spent two hundred times.
  const std::filesystem::path demo = std::string(BAYLORE_SOURCE_DIR) + "/content";
  for (const char* file : {"shop.md", "tips/cooling/heater-cold-at-idle-coolant-lost-cold.md"})
    at.put(file, baylore::test::bytes_of(demo / file));
  std::filesystem::copy(demo / "vocabulary", at.shop() + "/vocabulary");
  const auto begun = Clock::now();
  const std::vector<Said> start = read_all(run_for(at, 1, true, 0));
  REQUIRE(start.size() == 1);
  auto on_disk = job::from_json(start[0].bytes, "first");
  REQUIRE(on_disk.ok());
  std::mt19937 dice(23);
  // One kill in five at any moment of the start, the others within the taps.
  constexpr long kStart = 400'000;
  constexpr long kTaps = 120'000;
  int in_flight = 0;
  int kept_in_flight = 0;
  int while_starting = 0;
  std::size_t taps = 0;
  std::vector<long> took;
  const int rounds = kills();
  for (int round = 0; round < rounds; ++round) {
    const bool taps_only = round % 5 != 0;
    const long moment = static_cast<long>(dice() % 1000) * (taps_only ? kTaps : kStart) / 1000;
    const std::vector<Said> said =
        read_all(run_for(at, static_cast<unsigned>(dice()), false, moment, taps_only));
    const auto loaded = job::load_jobs(baylore::files::real_disk(), at.shop(), kTerminal);
    CHECK(loaded.findings.empty());
    REQUIRE(loaded.jobs.size() == 1);
    const job::Job& now = loaded.jobs[0];
    // The restart took up what was on the disk.
    if (!said.empty()) {
      REQUIRE(said[0].letter == 'a');
      const auto first = job::from_json(said[0].bytes, "first");
      REQUIRE(first.ok());
      CHECK(timeless(*first) == timeless(*on_disk));
    }
    job::Job last = *on_disk;
    std::optional<Tap> flying;
    for (const Said& one : said) {
      if (one.letter == 'a') {
        const auto acknowledged = job::from_json(one.bytes, "acknowledged");
        REQUIRE(acknowledged.ok());
        if (flying) {
          // The viewer did with the tap what it means.
          REQUIRE(timeless(*acknowledged) == timeless(after(last, *flying)));
          ++taps;
        }
        last = *acknowledged;
        flying.reset();
      } else if (one.letter == 'd') {
        took.push_back(std::atol(one.bytes.c_str()));
      } else {
        flying = Tap{one.letter, one.bytes};
      }
    }
    const bool as_acknowledged = timeless(now) == timeless(last);
    const bool as_in_flight = flying && timeless(now) == timeless(after(last, *flying));
    CHECK_MESSAGE((as_acknowledged || as_in_flight), "round ", round,
                  ": a tap that was done is gone");
    if (flying) ++in_flight;
    if (as_in_flight && !as_acknowledged) ++kept_in_flight;
    if (said.empty()) ++while_starting;
    on_disk = now;
  }
  REQUIRE_FALSE(took.empty());
  std::sort(took.begin(), took.end());
  MESSAGE(rounds, " kills, ", taps, " taps done, ", in_flight, " kills with a tap in flight (",
          kept_in_flight, " of those taps were on the disk), ", while_starting,
          " while starting; a tap and all it set off was done after ",
          static_cast<double>(took[took.size() / 2]) / 1000, " ms (median), ",
          static_cast<double>(took.back()) / 1000, " ms at most; ",
          std::chrono::duration<double>(Clock::now() - begun).count(), " s");
  // Kills that all came between taps would prove nothing.
  CHECK(taps > 0);
  CHECK(in_flight * 10 >= rounds);
}
