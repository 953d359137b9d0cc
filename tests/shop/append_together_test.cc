// Terminals that append records into one shop at once, each a process of its own, while somebody
// reads: none is lost and none is there twice.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdlib>
#include <set>
#include <string>
#include <vector>

#include "files/disk.h"
#include "files/names.h"
#include "shop/outcome.h"
#include "shop/record_book.h"
#include "support/scratch.h"

using namespace baylore;
using Clock = std::chrono::steady_clock;

namespace {

// BAYLORE_SECONDS=60 for a long run.
double seconds() {
  const char* text = std::getenv("BAYLORE_SECONDS");
  return text == nullptr ? 1.5 : std::atof(text);
}

constexpr std::size_t kId = 26;  // a ULID's length

// Appends outcomes until the time is over and says the id of each that was appended.
[[noreturn]] void append(const std::string& folder, const std::string& terminal, int pipe,
                         Clock::time_point until) {
  int n = 0;
  while (Clock::now() < until) {
    shop::Outcome outcome;
    outcome.id = files::new_id();
    outcome.when = files::now_text();
    outcome.who = terminal;
    outcome.right = "tip-" + std::to_string(n % 7);
    outcome.part = "Halden \"88\", 214";
    outcome.minutes = n++ % 90;
    outcome.result = shop::Result::fixed;
    if (!shop::append_record(files::real_disk(), folder, terminal, shop::record_of(outcome)))
      ::_exit(1);
    if (::write(pipe, outcome.id.data(), kId) != static_cast<ssize_t>(kId)) ::_exit(2);
  }
  ::_exit(0);
}

}  // namespace

TEST_CASE("two terminals that append into one folder at once lose none and double none") {
  const test::Scratch scratch;
  const std::string folder = scratch.folder();
  const auto until = Clock::now() + std::chrono::duration_cast<Clock::duration>(
                                        std::chrono::duration<double>(seconds()));
  int pipe[2] = {-1, -1};
  REQUIRE(::pipe(pipe) == 0);
  std::array<pid_t, 2> children = {};
  for (std::size_t i = 0; i < children.size(); ++i) {
    children[i] = ::fork();
    REQUIRE(children[i] >= 0);
    if (children[i] == 0) {
      ::close(pipe[0]);
      append(folder, "bay-" + std::to_string(i + 1), pipe[1], until);
    }
  }
  ::close(pipe[1]);
  // What was appended is in the book from then on: it is read again and again meanwhile.
  std::set<std::string> appended;
  shop::RecordBook book;
  std::string held;
  std::array<char, 64 * kId> piece = {};
  std::size_t looks = 0;
  auto look_at = Clock::now();
  for (ssize_t got = 0; (got = ::read(pipe[0], piece.data(), piece.size())) > 0;) {
    held.append(piece.data(), static_cast<std::size_t>(got));
    while (held.size() >= kId) {
      CHECK(appended.insert(held.substr(0, kId)).second);
      held.erase(0, kId);
    }
    if (Clock::now() < look_at) continue;
    static_cast<void>(book.update(files::real_disk(), folder));
    for (const std::string& id : appended) {
      if (book.find(id) == nullptr) FAIL("record ", id, " was appended and is not there");
    }
    ++looks;
    look_at = Clock::now() + std::chrono::milliseconds(200);
  }
  ::close(pipe[0]);
  for (const pid_t child : children) {
    int status = -1;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
  }
  // Read anew, by one who never saw it grow; and line by line, where nothing hides a double.
  const shop::Records all = shop::read_records(files::real_disk(), folder);
  CHECK(all.findings.empty());
  std::set<std::string> there;
  for (const shop::Record& record : all.records) there.insert(record.id);
  CHECK(there == appended);
  std::size_t lines = 0;
  std::size_t files_seen = 0;
  for (const auto& file : std::filesystem::recursive_directory_iterator(folder + "/records")) {
    if (!file.is_regular_file()) continue;
    ++files_seen;
    const std::string bytes = scratch.get(std::filesystem::relative(file.path(), folder).string());
    for (const char c : bytes) lines += c == '\n' ? 1 : 0;
    --lines;  // the line of columns
  }
  CHECK(files_seen >= children.size());
  CHECK(lines == appended.size());
  CHECK(shop::finished_jobs(all.records).size() == appended.size());
  CHECK(appended.size() > 20);
  MESSAGE(appended.size(), " records of two terminals in ", seconds(), " s, looked at ", looks,
          " times meanwhile: none lost, none twice");
}
