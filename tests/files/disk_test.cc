#include "files/disk.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <unistd.h>

#include <filesystem>
#include <string>
#include <thread>

#include "support/scratch.h"

using namespace baylore;
using files::Failure;

namespace {

int signals_seen = 0;
void count_signal(int) { ++signals_seen; }

}  // namespace

TEST_CASE("what the system refuses comes back as a kind, with the path and a remedy") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  scratch.put("there.md", "text");

  const auto missing = disk.read(scratch.path("none.md"), 10);
  REQUIRE_FALSE(missing.ok());
  CHECK(missing.failure().kind == Failure::Kind::missing);
  CHECK(missing.failure().path == scratch.path("none.md"));
  CHECK_FALSE(missing.failure().remedy.empty());

  const auto exists = disk.create(scratch.path("there.md"));
  REQUIRE_FALSE(exists.ok());
  CHECK(exists.failure().kind == Failure::Kind::exists);
  CHECK(scratch.get("there.md") == "text");

  const auto large = disk.read(scratch.path("there.md"), 3);
  REQUIRE_FALSE(large.ok());
  CHECK(large.failure().kind == Failure::Kind::too_large);
  CHECK(disk.read(scratch.path("there.md"), 4).ok());

  const auto folder = disk.read(scratch.folder(), 100);
  CHECK_FALSE(folder.ok());
  const auto taken = disk.make_folder(scratch.path("there.md"));
  REQUIRE_FALSE(taken.ok());
  CHECK(taken.failure().kind == Failure::Kind::exists);
  CHECK(disk.make_folder(scratch.path("new")).ok());
  CHECK(disk.make_folder(scratch.path("new")).ok());
}

// /dev/full answers every write with ENOSPC: full(4) of the Linux manual.
TEST_CASE("a full disk is told apart") {
  auto file = files::real_disk().append("/dev/full");
  REQUIRE(file.ok());
  const auto written = (*file)->write("text");
  REQUIRE_FALSE(written.ok());
  CHECK(written.failure().kind == Failure::Kind::full);
  CHECK(written.failure().remedy == "free some space and try again");
}

// setrlimit(2): a write that crosses RLIMIT_FSIZE is cut short at it, the next one fails with
// EFBIG.
TEST_CASE("a write that the system cuts short is gone on with until it fails") {
  const test::Scratch scratch;
  struct rlimit before {};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  ::signal(SIGXFSZ, SIG_IGN);
  struct rlimit small = before;
  small.rlim_cur = 1000;
  auto file = files::real_disk().create(scratch.path("a"));
  REQUIRE(file.ok());
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const auto written = (*file)->write(std::string(3000, 'x'));
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
  REQUIRE_FALSE(written.ok());
  CHECK(written.failure().kind == Failure::Kind::full);
  CHECK(scratch.get("a").size() == 1000);
}

// write(2): a signal that arrives after some bytes went into a pipe makes the write short, one
// before them makes it fail with EINTR.
TEST_CASE("signals in the middle of a write lose no byte") {
  const test::Scratch scratch;
  const std::string pipe = scratch.path("pipe");
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  struct sigaction act {};
  struct sigaction before {};
  act.sa_handler = count_signal;  // no SA_RESTART: calls are interrupted
  REQUIRE(::sigaction(SIGALRM, &act, &before) == 0);

  std::string bytes;
  for (int i = 0; i < 400000; ++i) bytes += static_cast<char>('a' + i % 26);
  std::string arrived;
  sigset_t alarms;
  sigset_t old;
  sigemptyset(&alarms);
  sigaddset(&alarms, SIGALRM);
  // The reader inherits a mask that keeps the signals on the writing thread.
  REQUIRE(::pthread_sigmask(SIG_BLOCK, &alarms, &old) == 0);
  std::thread reader([&] {
    const int in = ::open(pipe.c_str(), O_RDONLY | O_CLOEXEC);
    char part[4096];
    for (ssize_t n = 0; (n = ::read(in, part, sizeof part)) > 0;) {
      arrived.append(part, static_cast<std::size_t>(n));
      ::usleep(500);
    }
    ::close(in);
  });
  REQUIRE(::pthread_sigmask(SIG_SETMASK, &old, nullptr) == 0);
  signals_seen = 0;
  const itimerval every = {{0, 700}, {0, 700}};
  REQUIRE(::setitimer(ITIMER_REAL, &every, nullptr) == 0);
  auto file = files::real_disk().append(pipe);
  const bool opened = file.ok();
  const bool written = opened && (*file)->write(bytes).ok();
  const itimerval never = {};
  ::setitimer(ITIMER_REAL, &never, nullptr);
  if (opened) CHECK((*file)->close().ok());
  reader.join();
  ::sigaction(SIGALRM, &before, nullptr);
  CHECK(written);
  CHECK(signals_seen > 5);
  CHECK(arrived == bytes);
}

TEST_CASE("a pipe is not read as a file, and does not hold the reader up") {
  const test::Scratch scratch;
  REQUIRE(::mkfifo(scratch.path("pipe").c_str(), 0600) == 0);
  CHECK_FALSE(files::real_disk().read(scratch.path("pipe"), 100).ok());
}

TEST_CASE("a list is sorted, relative, and leaves links, hidden names and devices out") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  for (const char* name :
       {"tips/b.md", "tips/a.md", "tips/deep/er/c.md", "shop.md", ".hidden/x.md", "tips/.new-1"}) {
    scratch.put(name, "text");
  }
  std::filesystem::create_symlink(scratch.path("shop.md"), scratch.path("tips/link.md"));
  std::filesystem::create_directory_symlink(scratch.path("tips"), scratch.path("linked"));
  REQUIRE(::mkfifo(scratch.path("tips/pipe").c_str(), 0600) == 0);
  const auto listed = disk.list(scratch.folder());
  REQUIRE(listed.ok());
  std::vector<std::string> paths;
  for (const files::Listed& one : *listed) paths.push_back(one.path);
  CHECK(paths == std::vector<std::string>{"shop.md", "tips", "tips/a.md", "tips/b.md", "tips/deep",
                                          "tips/deep/er", "tips/deep/er/c.md"});
  CHECK((*listed)[1].status.folder);
  CHECK((*listed)[0].status.size == 4);
  CHECK_FALSE(disk.list(scratch.path("none")).ok());
}

TEST_CASE("a list of everything names what the other leaves out, and follows no link") {
  const test::Scratch scratch;
  scratch.put("root/a.txt", "a");
  scratch.put("root/.hidden/b.txt", "b");
  scratch.put("outside/c.txt", "c");
  std::filesystem::create_symlink(scratch.path("outside"), scratch.path("root/link"));
  REQUIRE(::mkfifo(scratch.path("root/pipe").c_str(), 0600) == 0);
  const auto listed = files::real_disk().list_all(scratch.path("root"));
  REQUIRE(listed.ok());
  std::string all;
  for (const files::Listed& one : listed.value()) {
    all += one.path + (one.status.folder  ? "/"
                       : one.status.link  ? "@"
                       : one.status.other ? "|"
                                          : "");
    all += ' ';
  }
  CHECK(all == ".hidden/ .hidden/b.txt a.txt link@ pipe| ");
}

TEST_CASE("a folder closed to us is listed as such, its files do not just vanish") {
  const test::Scratch scratch;
  scratch.put("tips/closed/a.md", "text");
  REQUIRE(::chmod(scratch.path("tips/closed").c_str(), 0) == 0);
  // Root may read everything, so it looks with another user's eyes.
  const bool root = ::geteuid() == 0;
  REQUIRE(::chmod(scratch.folder().c_str(), 0755) == 0);
  if (root) REQUIRE(::seteuid(65534) == 0);
  const auto listed = files::real_disk().list(scratch.folder());
  if (root) REQUIRE(::seteuid(0) == 0);
  ::chmod(scratch.path("tips/closed").c_str(), 0700);
  REQUIRE(listed.ok());
  REQUIRE(listed->size() == 2);
  CHECK(listed->back().path == "tips/closed");
  CHECK(listed->back().status.unreadable);
}

TEST_CASE("status tells links, and times that move") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  scratch.put("a", "12345");
  std::filesystem::create_symlink(scratch.path("a"), scratch.path("l"));
  std::filesystem::create_symlink(scratch.path("none"), scratch.path("broken"));
  const auto a = disk.status(scratch.path("a"));
  REQUIRE(a.ok());
  CHECK(a->size == 5);
  CHECK_FALSE(a->link);
  CHECK(a->modified_ns > std::int64_t{1600000000} * 1000000000);
  const auto l = disk.status(scratch.path("l"));
  REQUIRE(l.ok());
  CHECK(l->link);
  CHECK(l->inode == a->inode);
  const auto broken = disk.status(scratch.path("broken"));
  REQUIRE(broken.ok());
  CHECK(broken->link);
  CHECK(broken->size == 0);
}

TEST_CASE("the end of a file is read alone") {
  const test::Scratch scratch;
  scratch.put("a", "0123456789");
  scratch.put("empty", "");
  files::Disk& disk = files::real_disk();
  CHECK(*disk.read_end(scratch.path("a"), 3) == "789");
  CHECK(*disk.read_end(scratch.path("a"), 30) == "0123456789");
  CHECK(disk.read_end(scratch.path("empty"), 3)->empty());
  CHECK_FALSE(disk.read_end(scratch.path("none"), 3).ok());
}

TEST_CASE("any part of a file is read alone, and beyond its end there is nothing") {
  const test::Scratch scratch;
  scratch.put("a", "0123456789");
  files::Disk& disk = files::real_disk();
  CHECK(disk.read_part(scratch.path("a"), 0, 3).value() == "012");
  CHECK(disk.read_part(scratch.path("a"), 7, 100).value() == "789");
  CHECK(disk.read_part(scratch.path("a"), 10, 1).value().empty());
  CHECK(disk.read_part(scratch.path("a"), 99, 1).value().empty());
  CHECK_FALSE(disk.read_part(scratch.path("b"), 0, 1).ok());
}

TEST_CASE("link never replaces") {
  const test::Scratch scratch;
  scratch.put("a", "one");
  scratch.put("b", "two");
  files::Disk& disk = files::real_disk();
  const auto done = disk.link(scratch.path("a"), scratch.path("b"));
  REQUIRE_FALSE(done.ok());
  CHECK(done.failure().kind == Failure::Kind::exists);
  CHECK(scratch.get("b") == "two");
  CHECK(disk.link(scratch.path("a"), scratch.path("c")).ok());
  CHECK(scratch.get("c") == "one");
}

TEST_CASE(
    "what is read takes no more room than it needs, and a size that is not known does not cut it") {
  const test::Scratch scratch;
  scratch.put("small", std::string(1000, 'x'));
  const auto small = files::real_disk().read(scratch.path("small"), files::kTextLimit);
  REQUIRE(small.ok());
  CHECK(small->size() == 1000);
  CHECK(small->capacity() < 2000);
  // proc(5): such files say that they have no bytes.
  const auto unknown = files::real_disk().read("/proc/self/status", files::kTextLimit);
  REQUIRE(unknown.ok());
  CHECK(unknown->find("Threads:") != std::string::npos);
}

TEST_CASE("a folder is listed without what lies deeper") {
  const test::Scratch scratch;
  scratch.put("b.zip", "two");
  scratch.put("a.zip", "one");
  scratch.put(".hidden", "no");
  scratch.put("deep/c.zip", "three");
  const auto listed = files::real_disk().list_here(scratch.folder());
  REQUIRE(listed.ok());
  std::string names;
  for (const files::Listed& one : *listed) names += one.path + (one.status.folder ? "/ " : " ");
  CHECK(names == "a.zip b.zip deep/ ");
  const auto missing = files::real_disk().list_here(scratch.path("none"));
  REQUIRE_FALSE(missing.ok());
  CHECK(missing.failure().kind == Failure::Kind::missing);
}
