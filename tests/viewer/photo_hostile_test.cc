// Pictures and programs that mean harm: the caller always gets a plain answer, in time, and leaves
// nothing behind.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "viewer/photo/client.h"
#include "viewer/photo_pictures.h"

namespace baylore::photo {
namespace {

using namespace photo_tests;
using Kind = files::Failure::Kind;
using std::chrono::milliseconds;

constexpr milliseconds kLimit{30'000};

Canvas noise(int width, int height) {
  std::mt19937 random(3);
  Canvas canvas(width, height, {255, 255, 255, 255});
  for (std::size_t i = 0; i < canvas.rgba.size(); ++i) {
    if (i % 4 != 3) canvas.rgba[i] = std::uint8_t(random());
  }
  return canvas;
}

bool no_child_left() { return waitpid(-1, nullptr, WNOHANG) == -1 && errno == ECHILD; }

files::Failure refused(const std::string& path, const std::string& program = BAYLORE_PHOTO,
                       milliseconds limit = kLimit) {
  const auto picture = decode_picture(program, path, 2048, limit);
  REQUIRE_FALSE(picture.ok());
  CHECK(picture.failure().path == path);
  CHECK(picture.failure().what.starts_with("not shown: "));
  CHECK_FALSE(picture.failure().remedy.empty());
  CHECK(no_child_left());
  return picture.failure();
}

TEST_CASE("the failure reads as one plain line") {
  const Folder folder;
  const std::string whole = png(noise(20, 20));
  const std::string path = folder.file("pump.png", whole.substr(0, 200));
  CHECK(refused(path).text() == path + ": not shown: the picture is damaged: replace the file");
}

TEST_CASE("what is no picture is refused with its reason") {
  const Folder folder;
  const auto why = [&](const std::string& bytes) {
    return refused(folder.file("pump.png", bytes)).what;
  };
  CHECK(why("") == "not shown: the file is empty");

  const std::string foreign = "not shown: the file is neither a JPEG nor a PNG picture";
  CHECK(why("no picture at all\n") == foreign);
  CHECK(why(std::string(100'000, '\xA5')) == foreign);
  CHECK(why("\xFF") == foreign);
  CHECK(why("\x89PNG") == foreign);
  // Whole small files of formats the decoder underneath could read, had they been compiled in.
  CHECK(
      why(std::string("GIF89a\x01\0\x01\0\x80\0\0\0\0\0\xFF\xFF\xFF,\0\0\0\0\x01\0\x01\0\0\x02\x02"
                      "D\x01\0;",
                      35)) == foreign);
  CHECK(why(std::string("\0\0\x02\0\0\0\0\0\0\0\0\0\x01\0\x01\0\x18\0\x10\x20\x30", 21)) ==
        foreign);  // TGA
  CHECK(why("P6 1 1 255\nabc") == foreign);
  CHECK(why(std::string("BM\x3A\0\0\0\0\0\0\0\x36\0\0\0\x28\0\0\0\x01\0\0\0\x01\0\0\0\x01\0\x18\0",
                        30) +
            std::string(28, '\0')) == foreign);
}

TEST_CASE("what is no plain file is refused without waiting for it") {
  const Folder folder;
  const auto begun = std::chrono::steady_clock::now();
  const std::string picture = folder.file("real.png", png(noise(4, 4)));

  CHECK(refused(folder.path("none.png")).kind == Kind::missing);
  CHECK(refused(picture + "/inside.png").kind == Kind::missing);
  CHECK(refused(folder.path("")).what == "not shown: this is a folder");

  REQUIRE(symlink(picture.c_str(), folder.path("link.png").c_str()) == 0);
  CHECK(refused(folder.path("link.png")).what == "not shown: the name is a link, not a picture");

  REQUIRE(mkfifo(folder.path("pipe.png").c_str(), 0600) == 0);
  CHECK(refused(folder.path("pipe.png")).what == "not shown: this is no picture file");
  CHECK(refused("/dev/zero").what == "not shown: this is no picture file");
  CHECK(refused("/dev/full").what == "not shown: this is no picture file");
  CHECK(std::chrono::steady_clock::now() - begun < std::chrono::seconds(5));
}

TEST_CASE("a picture that claims too much is refused before it is decoded") {
  const Folder folder;
  const auto why = [&](const std::string& bytes) {
    return refused(folder.file("pump.png", bytes)).what;
  };
  const auto claim = [](std::uint32_t width, std::uint32_t height) {
    return png_start() + png_header(width, height, 8, 6) + chunk("IDAT", packed("x")) +
           chunk("IEND", "");
  };
  CHECK(why(claim(20'000, 20'000)) == "not shown: the picture is longer than 8192 pixels");
  CHECK(why(claim(8192, 8192)) == "not shown: the picture is larger than 24 megapixels");
  CHECK(why(claim(8193, 1)) == "not shown: the picture is longer than 8192 pixels");
  CHECK(why(claim(0, 10)) == "not shown: the picture is damaged");
  CHECK(why(claim(0x80000000U, 0x80000000U)).starts_with("not shown: "));
  CHECK(why(claim(0xFFFFFFFFU, 1)).starts_with("not shown: "));

  // A JPEG whose frame header (FFC0: length 2, precision 1, height 2, width 2) is made to claim
  // 65535 x 65535.
  std::string frame = jpeg(noise(16, 16));
  const std::size_t at = frame.find("\xFF\xC0");
  REQUIRE(at != std::string::npos);
  frame.replace(at + 5, 4, "\xFF\xFF\xFF\xFF");
  CHECK(why(frame) == "not shown: the picture is longer than 8192 pixels");
}

TEST_CASE("a picture that holds less or more than it claims does no harm") {
  const Folder folder;
  const auto with_data = [](std::uint32_t side, const std::string& stream) {
    return png_start() + png_header(side, side, 8, 0) + chunk("IDAT", stream) + chunk("IEND", "");
  };
  SUBCASE("less") {
    CHECK(refused(folder.file("less.png", with_data(200, packed(std::string(110, '\0'))))).what ==
          "not shown: the picture is damaged");
  }
  SUBCASE("2 GB in 4 MB: stopped by the memory limit") {
    const std::string bomb = with_data(100, packed_zeros(2'000'000'000));
    REQUIRE(bomb.size() < 13'000'000);
    const auto begun = std::chrono::steady_clock::now();
    const files::Failure failure = refused(folder.file("bomb.png", bomb));
    CHECK(failure.kind == Kind::too_large);
    CHECK(std::chrono::steady_clock::now() - begun < std::chrono::seconds(20));
    rusage children{};
    getrusage(RUSAGE_CHILDREN, &children);
    CHECK(children.ru_maxrss < 600 * 1024);  // KiB
  }
  SUBCASE("a chunk longer than the file") {
    std::string file = with_data(10, packed(std::string(110, '\0')));
    file.replace(33, 4, "\x7F\xFF\xFF\xF0");  // the length of the data chunk
    CHECK(refused(folder.file("chunk.png", file)).kind == Kind::damaged);
  }
}

TEST_CASE("a file cut short anywhere is refused") {
  const Folder folder;
  const Canvas canvas = noise(24, 24);
  for (const std::string& whole : {png(canvas), jpeg(canvas, 60)}) {
    REQUIRE(decode_picture(BAYLORE_PHOTO, folder.file("whole", whole), 2048, kLimit).ok());
    // Without its last 12 bytes a PNG lacks the chunk that ends it, a JPEG its end marker.
    const std::size_t longest = whole.size() - 12;
    for (std::size_t i = 0; i <= 40; ++i) {
      const std::size_t size = longest * i / 40;
      CAPTURE(size);
      CHECK(refused(folder.file("cut", whole.substr(0, size))).kind == Kind::damaged);
    }
  }
}

TEST_CASE("300 flipped bytes: always a picture or a plain refusal") {
  const Folder folder;
  const Canvas canvas = noise(24, 24);
  std::mt19937 random(20'240);
  const auto flip = [&random](std::string bytes) {
    bytes[random() % bytes.size()] ^= char(1 + random() % 255);
    return bytes;
  };
  // How many of `count` come out as pictures.
  const auto shown_of = [&](int count, const std::function<std::string()>& make) {
    int shown = 0;
    for (int i = 0; i < count; ++i) {
      const auto picture =
          decode_picture(BAYLORE_PHOTO, folder.file("flipped", make()), 64, kLimit);
      if (picture.ok()) {
        ++shown;
        CHECK(picture->width <= 64);
        CHECK(picture->height <= 64);
        CHECK(picture->rgba.size() ==
              std::size_t(picture->width) * std::size_t(picture->height) * 4);
      } else {
        CHECK(picture.failure().what.starts_with("not shown: the "));
        CHECK(picture.failure().kind != Kind::other);
      }
    }
    return shown;
  };
  const std::string jpeg_file = jpeg(canvas, 60);
  const std::size_t tables = jpeg_file.find("\xFF\xDA");  // all before the scan
  REQUIRE(tables != std::string::npos);
  const int jpeg_tables =
      shown_of(100, [&] { return flip(jpeg_file.substr(0, tables)) + jpeg_file.substr(tables); });
  const int jpeg_scan =
      shown_of(100, [&] { return jpeg_file.substr(0, tables) + flip(jpeg_file.substr(tables)); });

  // A PNG carries check sums, so each flip is seen (a flip in the last chunk's name or length,
  // too); where the sum is made to fit again, the decoder meets the damage.
  const std::string png_file = png(canvas);
  const int png_plain = shown_of(50, [&] { return flip(png_file); });
  std::string rows;
  for (int i = 0; i < 24 * 25; ++i) rows += i % 25 == 0 ? char(i % 5) : char(random());
  std::string stream = packed(rows);
  stream.append(8, char(0));  // some bytes behind its end, which mean nothing
  const int png_summed = shown_of(50, [&] {
    return png_start() + png_header(24, 24, 8, 0) + chunk("IDAT", flip(stream)) + chunk("IEND", "");
  });
  MESSAGE("shown: JPEG tables " << jpeg_tables << "/100, JPEG scan " << jpeg_scan << "/100, PNG "
                                << png_plain << "/50, PNG with sums that fit " << png_summed
                                << "/50");
  CHECK(jpeg_tables < 100);
  CHECK(jpeg_scan > 0);
  CHECK(png_plain == 0);
  CHECK(png_summed > 0);
  CHECK(png_summed < 50);
  CHECK(no_child_left());
}

TEST_CASE("what the fuzzer keeps of pictures is shown or refused in plain words") {
  int shown = 0;
  int hidden = 0;
  for (const auto& one :
       std::filesystem::directory_iterator(BAYLORE_SOURCE_DIR "/tests/fuzz/corpus/photo")) {
    CAPTURE(one.path().filename().string());
    const auto picture = decode_picture(BAYLORE_PHOTO, one.path().string(), 64, kLimit);
    if (picture.ok()) {
      ++shown;
      CHECK(picture->width <= 64);
      CHECK(picture->height <= 64);
    } else {
      ++hidden;
      CHECK(picture.failure().what.starts_with("not shown: "));
      CHECK_FALSE(picture.failure().remedy.empty());
    }
  }
  CHECK(shown >= 10);
  CHECK(hidden >= 1);
  CHECK(no_child_left());
}

// --- programs that are not what they should be

TEST_CASE("a program that does not answer is ended at the limit") {
  const Folder folder;
  const std::string picture = folder.file("pump.png", png(noise(4, 4)));
  const std::string slow = "not shown: the picture takes too long to decode";
  for (const char* body : {"exec sleep 30",                 // says nothing
                           "printf 'Bay'; exec sleep 30",   // begins and stops
                           "exec >&- 2>&-; exec sleep 30",  // closes its answer and stays
                           "trap '' TERM INT HUP; exec >&-; while :; do sleep 0.1; done",
                           "sleep 30 & exit 0"}) {  // leaves the answer open to another
    CAPTURE(body);
    const auto begun = std::chrono::steady_clock::now();
    CHECK(refused(picture, folder.script("program", body), milliseconds(300)).what == slow);
    const auto took = std::chrono::steady_clock::now() - begun;
    CHECK(took >= milliseconds(300));
    CHECK(took < std::chrono::seconds(5));
  }
  CHECK(refused(picture, BAYLORE_PHOTO, milliseconds(0)).what == slow);
  CHECK(refused(picture, BAYLORE_PHOTO, milliseconds(-5)).what == slow);
}

TEST_CASE("a program that crashes or lies costs one picture") {
  const Folder folder;
  const std::string picture = folder.file("pump.png", png(noise(4, 4)));
  const std::string magic = "printf 'BayPict\\n'; ";
  const std::string one = "printf '\\001\\000\\000\\000'; ";
  const std::string zero = "printf '\\000\\000\\000\\000'; ";
  const std::string huge = "printf '\\377\\377\\377\\377'; ";
  const std::string wide = "printf '\\001\\010\\000\\000'; ";  // 2049
  const std::string pixel = "printf 'abcd'; ";
  REQUIRE(decode_picture(folder.script("program", magic + one + one + zero + pixel), picture, 2048,
                         kLimit)
              .ok());

  for (const std::string& body :
       {std::string("kill -SEGV $$"), std::string("kill -KILL $$"), std::string("exit 0"),
        std::string("cat /dev/zero"), std::string("printf 'PNG and more than twenty bytes of it'"),
        magic + one + one,                          // short header
        magic + one + one + zero,                   // no pixels
        magic + one + one + zero + "printf 'abc'",  // short
        magic + one + one + zero + pixel + pixel,   // long
        magic + one + one + zero + pixel + "cat /dev/zero", magic + zero + one + zero,
        magic + one + zero + zero, magic + huge + huge + zero + pixel,
        magic + huge + one + zero + pixel, magic + wide + one + zero + "cat /dev/zero",
        magic + one + one + huge + pixel, magic + one + one + zero + pixel + "kill -SEGV $$"}) {
    CAPTURE(body);
    const files::Failure failure = refused(picture, folder.script("program", body));
    CHECK(failure.what == "not shown: the picture is damaged");
    CHECK(failure.kind == Kind::damaged);
  }
  // An answer is no answer when the program says it failed.
  CHECK(refused(picture, folder.script("program", magic + one + one + zero + pixel + "exit 14"))
            .what == "not shown: the picture is longer than 8192 pixels");
  CHECK(refused(picture, folder.script("program", "kill -XCPU $$")).kind == Kind::too_large);
}

TEST_CASE("a program that is missing or broken is named as the trouble") {
  const Folder folder;
  const std::string picture = folder.file("pump.png", png(noise(4, 4)));
  CHECK(refused(picture, folder.path("none")).what ==
        "not shown: the picture decoder cannot be started");
  CHECK(refused(picture, folder.path("")).what ==
        "not shown: the picture decoder cannot be started");
  CHECK(refused(picture, picture).what == "not shown: the picture decoder cannot be started");
  CHECK(refused(picture, "").what == "not shown: the picture decoder cannot be started");
  CHECK(refused(picture, folder.script("program", "exit 127")).what ==
        "not shown: the picture decoder does not work");
  CHECK(refused(picture, folder.script("program", "exit 3")).what ==
        "not shown: the picture decoder could not be confined on this system");
}

TEST_CASE("the program inherits three descriptors, no environment and no deaf signal") {
  const Folder folder;
  const std::string picture = folder.file("pump.png", png(noise(4, 4)));
  // Open across exec unless someone closes it.
  const int leaked = fcntl(STDERR_FILENO, F_DUPFD, 57);
  REQUIRE(leaked >= 57);
  setenv("BAYLORE_TEST_SECRET", "1", 1);
  sigset_t blocked;
  sigset_t before;
  sigemptyset(&blocked);
  sigaddset(&blocked, SIGTERM);
  sigprocmask(SIG_BLOCK, &blocked, &before);
  const auto piped = std::signal(SIGPIPE, SIG_IGN);
  const auto seen = decode_picture(BAYLORE_PHOTO_WITNESS, picture, 2048, kLimit);
  std::signal(SIGPIPE, piped);
  sigprocmask(SIG_SETMASK, &before, nullptr);
  unsetenv("BAYLORE_TEST_SECRET");
  close(leaked);

  REQUIRE(seen.ok());
  CHECK(seen->width == 3);
  CHECK(seen->height == 1);
  CHECK(seen->rgba[0] == 0);
}

// --- callers in unusual states

TEST_CASE("several threads decode at once, each its own picture") {
  const Folder folder;
  std::atomic<int> right{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < 4; ++t) {
    threads.emplace_back([&, t] {
      const Canvas canvas(10 + t, 7, {std::uint8_t(60 * t), 1, 2, 255});
      const std::string path = folder.file(std::to_string(t) + ".png", png(canvas));
      for (int i = 0; i < 10; ++i) {
        const auto picture = decode_picture(BAYLORE_PHOTO, path, 2048, kLimit);
        if (picture.ok() && picture->width == canvas.width && picture->rgba == canvas.rgba) ++right;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  CHECK(right == 40);
  CHECK(no_child_left());
}

TEST_CASE("signals that interrupt every call do not disturb") {
  const Folder folder;
  const Canvas canvas = noise(600, 400);
  const std::string path = folder.file("pump.png", png(canvas));
  static volatile std::sig_atomic_t rung = 0;
  struct sigaction ring {};
  ring.sa_handler = [](int) { rung = rung + 1; };  // without SA_RESTART
  struct sigaction before {};
  REQUIRE(sigaction(SIGALRM, &ring, &before) == 0);
  const itimerval often{{0, 500}, {0, 500}};
  setitimer(ITIMER_REAL, &often, nullptr);
  for (int i = 0; i < 5; ++i) {
    const auto picture = decode_picture(BAYLORE_PHOTO, path, 2048, kLimit);
    CHECK(picture.ok());
    if (picture.ok()) CHECK(picture->rgba == canvas.rgba);
  }
  const itimerval never{};
  setitimer(ITIMER_REAL, &never, nullptr);
  sigaction(SIGALRM, &before, nullptr);
  CHECK(rung > 10);
}

TEST_CASE("a caller that lets the system reap its children is served") {
  const Folder folder;
  const std::string path = folder.file("pump.png", png(noise(4, 4)));
  const auto before = std::signal(SIGCHLD, SIG_IGN);
  const auto shown = decode_picture(BAYLORE_PHOTO, path, 2048, kLimit);
  const auto hidden = decode_picture(BAYLORE_PHOTO, folder.file("bad.png", "bad"), 2048, kLimit);
  std::signal(SIGCHLD, before);
  CHECK(shown.ok());
  REQUIRE_FALSE(hidden.ok());
  CHECK(hidden.failure().what ==
        "not shown: the picture is damaged");  // the reason went with the exit code
}

TEST_CASE("a caller without standard descriptors is served") {
  const Folder folder;
  const std::string path = folder.file("pump.png", png(noise(4, 4)));
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    for (int i = 0; i < 3; ++i) close(i);
    const auto picture = decode_picture(BAYLORE_PHOTO, path, 2048, kLimit);
    _exit(picture.ok() && picture->width == 4 ? 0 : 1);
  }
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  CHECK(status == 0);
}

TEST_CASE("no descriptor is left open, whatever comes of it") {
  const Folder folder;
  const std::string good = folder.file("good.png", png(noise(4, 4)));
  const std::string bad = folder.file("bad.png", "bad");
  const auto next_free = [] {
    const int fd = open("/dev/null", O_RDONLY | O_CLOEXEC);
    close(fd);
    return fd;
  };
  const int before = next_free();
  CHECK(decode_picture(BAYLORE_PHOTO, good, 2048, kLimit).ok());
  CHECK(next_free() == before);
  for (const std::string& program : {std::string(BAYLORE_PHOTO), folder.path("none"),
                                     folder.script("program", "exec sleep 30")}) {
    CHECK_FALSE(decode_picture(program, bad, 2048, milliseconds(200)).ok());
    CHECK(next_free() == before);
  }
  CHECK_FALSE(decode_picture(BAYLORE_PHOTO, folder.path(""), 2048, kLimit).ok());
  CHECK(next_free() == before);
}

}  // namespace
}  // namespace baylore::photo
