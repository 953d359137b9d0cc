// Containers read by baylore-container: it says what reading here says, it can do nothing else, and
// whatever it does instead costs one pack.
#include "pack/confined.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>

#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>

#include "pack/hostile.h"
#include "pack/shops.h"

using namespace baylore;
using test::Location;

namespace {

// Containers go through this program from here on, and through none when it is gone.
class With {
 public:
  explicit With(const std::string& program) { pack::read_containers_with(program); }
  ~With() { pack::read_containers_unconfined(); }
  With(const With&) = delete;
  With& operator=(const With&) = delete;
};

// A program that says these bytes and ends.
class Liar {
 public:
  explicit Liar(const std::string& says, const std::string& then = "exit 0") {
    folder_.put("says", says);
    folder_.put("liar", "#!/bin/sh\ncat '" + folder_.path("says") + "'\n" + then + "\n");
    REQUIRE(std::system(("chmod +x '" + program() + "'").c_str()) == 0);
  }
  [[nodiscard]] std::string program() const { return folder_.path("liar"); }

 private:
  test::Scratch folder_;
};

std::string frame(char kind, const std::string& bytes = "") {
  std::string all(1, kind);
  for (unsigned i = 0; i < 4; ++i) all += static_cast<char>((bytes.size() >> (8 * i)) & 0xFFU);
  return all + bytes;
}

std::string entry(const std::string& name, std::uint64_t size) {
  std::string bytes(1, name.ends_with('/') ? '\1' : '\0');
  for (unsigned i = 0; i < 8; ++i) bytes += static_cast<char>((size >> (8 * i)) & 0xFFU);
  return frame('e', bytes + name);
}

// What a pack is refused for when this is what the program says; "" when it is not.
std::string refused(const std::string& says, const std::string& then = "exit 0") {
  const Liar liar(says, then);
  const With with(liar.program());
  const test::Scratch scratch;
  scratch.put("a.zip", "whatever");
  const auto opened = pack::open_pack(files::real_disk(), scratch.path("a.zip"), {});
  if (!opened) return "failure: " + opened.failure().what;
  CHECK(opened->texts.empty());
  return opened->reasons.empty() ? std::string() : opened->reasons.front().text();
}

const std::string kCouldNot = "The file could not be read: ";
const std::string kLied = kCouldNot + "its reader says what cannot be";

}  // namespace

TEST_CASE(
    "what the confined reader says is what reading here says, of good packs and hostile ones") {
  Location north("north");
  Location south("south");
  const Location stranger("stranger");
  south.trusts(north);
  north.put("tips/h\xC3\xA9 1.md", test::tip_text("a", "One", "\n![x](x.png)\n"));
  north.put("tips/x.png", test::png_of(std::string(3U << 20U, 'x')));
  south.scratch().put(
      "good.zip",
      north.scratch().get(north.seal("p1").substr(north.scratch().folder().size() + 1)));
  std::vector<test::Hostile> packs = test::hostile_packs(north.key(), stranger.key());
  packs.push_back({"good", false, south.scratch().get("good.zip")});
  const auto trusted = south.trusted();
  for (const test::Hostile& hostile : packs) {
    INFO(hostile.name);
    south.scratch().put("bad.zip", hostile.bytes);
    const std::string path = south.scratch().path("bad.zip");
    const auto here = pack::open_pack(*pack::open_bytes(hostile.bytes), trusted);
    const With with(BAYLORE_CONTAINER);
    const auto there = pack::open_pack(files::real_disk(), path, trusted);
    REQUIRE(here.ok());
    REQUIRE_MESSAGE(there.ok(), there.failure().text());
    CHECK(there->reasons == here->reasons);
    CHECK(there->refused == here->refused);
    CHECK(there->folder() == here->folder());
    CHECK(there->verdict() == here->verdict());
    CHECK(there->photos.size() == here->photos.size());
    REQUIRE(there->texts.size() == here->texts.size());
    for (std::size_t i = 0; i < there->texts.size(); ++i)
      CHECK(there->texts[i].bytes == here->texts[i].bytes);
  }
  // All the way.
  const With with(BAYLORE_CONTAINER);
  CHECK(south.accept(south.scratch().path("good.zip")).photos == 1);
  CHECK(south.get("tips/received/a/x.png") == north.get("tips/x.png"));
}

TEST_CASE("without the program every pack stays closed, and it is said what to do") {
  const test::Scratch scratch;
  scratch.put("a.zip", "whatever");
  scratch.put("no-program", "");
  for (const std::string& program :
       {std::string(), std::string("/nowhere/baylore-container"), scratch.path("no-program")}) {
    const With with(program);
    const auto opened = pack::open_pack(files::real_disk(), scratch.path("a.zip"), {});
    REQUIRE_FALSE(opened.ok());
    CHECK(opened.failure().what.find("baylore-container, is not here") != std::string::npos);
    CHECK(opened.failure().remedy == "install Baylore again");
    CHECK_FALSE(pack::verify(files::real_disk(), scratch.path("a.zip"), {}).ok());
  }
  const With with(BAYLORE_CONTAINER);
  CHECK(pack::open_pack(files::real_disk(), scratch.path("none.zip"), {}).failure().kind ==
        files::Failure::Kind::missing);
}

TEST_CASE("a reader that dies, stops or is not locked in is a plain reason") {
  const std::string listing = entry("p1/bagit.txt", 3) + frame('l');
  CHECK(refused("", "kill -9 $$") == kCouldNot + "it broke its reader");
  CHECK(refused(listing, "kill -SYS $$") == kCouldNot + "it broke its reader");
  CHECK(refused(listing + frame('b', "one"), "kill -SEGV $$") == kCouldNot + "it broke its reader");
  CHECK(refused(listing, "kill -XCPU $$") == kCouldNot + "it takes too long");
  CHECK(refused("") == kCouldNot + "its reader stopped");
  CHECK(refused(listing + "b") == kCouldNot + "its reader stopped");
  CHECK(refused("", "exit 3").find("failure: stays closed: this system") == 0);
  CHECK(refused("", "exit 4") == "failure: cannot be read");
  CHECK(refused("", "exit 127").find("does not work") != std::string::npos);
}

TEST_CASE("a reader that lies is found out, and names are judged again") {
  const std::string good = entry("p1/bagit.txt", 3);
  const std::string end = frame('l');
  CHECK(refused("<html>") == kLied);
  CHECK(refused(frame('x')) == kLied);
  CHECK(refused(frame('b', "one")) == kLied);
  CHECK(refused(frame('d')) == kLied);
  CHECK(refused(frame('e', "short")) == kLied);
  CHECK(refused(frame('r', "no words")) == kLied);
  CHECK(refused(frame('r', std::string("rule\0path\0", 10))) == kLied);
  CHECK(refused(std::string("e\xFF\xFF\xFF\x7F", 5)) == kLied);
  // Names and sizes that listing here would have refused.
  CHECK(refused(entry("../p1/bagit.txt", 3) + end).find("climbs out") != std::string::npos);
  CHECK(refused(entry("/etc/passwd", 3) + end).find("root of the disk") != std::string::npos);
  CHECK(refused(good + good + end).find("twice") != std::string::npos);
  CHECK(refused(good + entry("p2/x", 1) + end).find("outside") != std::string::npos);
  CHECK(refused(entry("p1/" + std::string(700, 'x'), 3) + end) == kLied);
  CHECK(refused(entry("p1/data/x.png", std::uint64_t{65} << 20U) + end) == kLied);
  std::string many;
  for (int i = 0; i < 40; ++i)
    many += entry("p1/data/" + std::to_string(i) + ".png", std::uint64_t{60} << 20U);
  CHECK(refused(many + end) == kLied);
  many.clear();
  for (int i = 0; i < 70000; ++i) many += entry("p1/data/" + std::to_string(i), 0);
  CHECK(refused(many + end) == kLied);
  // Content.
  CHECK(refused(good + end + frame('b', "more") + frame('f') + frame('d')) == kLied);
  CHECK(refused(good + end + frame('b', "on") + frame('f') + frame('d')) == kLied);
  CHECK(refused(good + end + frame('b', "one") + frame('f') + frame('b', "x")) == kLied);
  CHECK(refused(good + end + frame('b', "one") + frame('d')) == kLied);
  CHECK(refused(good + end + frame('b') + frame('d')) == kLied);
  CHECK(refused(good + end + good) == kLied);
  // Wrong bytes are for the check sums.
  CHECK(refused(good + end + frame('b', "one") + frame('f') + frame('d')).find("bagit.txt") == 0);
}

TEST_CASE("inside the cage nothing works but reading the one file and answering") {
  const auto status_of = [](const std::string& deed) {
    const std::string line = "exec '" BAYLORE_CONTAINER_CAGED "' " + deed +
                             " <'" BAYLORE_CONTAINER "' >/dev/null 2>/dev/null";
    return std::system(line.c_str());
  };
  for (const char* deed : {"read-anywhere", "answer", "no-330-mebibytes"}) {
    CAPTURE(std::string(deed));
    CHECK(status_of(deed) == 0);
  }
  for (const char* deed :
       {"open", "create", "unlink", "socket", "unix-socket", "fork", "exec", "kill", "map-file",
        "write-input", "write-input-anywhere", "read-other-anywhere", "seek-output", "truncate"}) {
    CAPTURE(std::string(deed));
    const int status = status_of(deed);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == SIGSYS);
  }
}

TEST_CASE("the program that is shipped is locked in while it reads") {
  // More to say than a pipe holds, so that it stands still in the midst of it.
  test::ZipWhole whole;
  for (int i = 0; i < 3000; ++i) {
    test::ZipPart part;
    part.name = "p1/data/" + std::to_string(i) + std::string(100, 'x') + ".png";
    whole.parts.push_back(std::move(part));
  }
  const test::Scratch scratch;
  scratch.put("a.zip", test::zip_of(whole));
  std::array<int, 2> ends{};
  REQUIRE(pipe(ends.data()) == 0);
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const int file = open(scratch.path("a.zip").c_str(), O_RDONLY);
    dup2(file, STDIN_FILENO);
    dup2(ends[1], STDOUT_FILENO);
    for (const int fd : {file, ends[0], ends[1]}) close(fd);
    execl(BAYLORE_CONTAINER, "baylore-container", nullptr);
    _exit(97);
  }
  close(ends[1]);
  char byte = 0;
  CHECK(read(ends[0], &byte, 1) == 1);
  CHECK(byte == 'e');
  const auto told = [&](const std::string& name) {
    std::ifstream file("/proc/" + std::to_string(child) + "/" + name);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
  };
  const std::string status = told("status");
  const std::string limits = told("limits");
  kill(child, SIGKILL);
  CHECK(waitpid(child, nullptr, 0) == child);
  close(ends[0]);

  CHECK(status.find("Name:\tbaylore-contain\n") != std::string::npos);  // the kernel keeps 15
  CHECK(status.find("NoNewPrivs:\t1\n") != std::string::npos);
  CHECK(status.find("Seccomp:\t2\n") != std::string::npos);
  const auto limit = [&](const std::string& name) {
    const std::size_t at = limits.find(name);
    if (at == std::string::npos) return std::string("none");
    const std::size_t from = limits.find_first_not_of(' ', at + name.size());
    return limits.substr(from, limits.find(' ', from) - from);
  };
  CHECK(limit("Max cpu time") == "120");
  CHECK(limit("Max address space") == std::to_string(std::uint64_t{320} << 20U));
  CHECK(limit("Max file size") == "0");
  CHECK(limit("Max open files") == "3");
  CHECK(limit("Max processes") == "0");
  CHECK(limit("Max core file size") == "0");
}
