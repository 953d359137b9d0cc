// Deeds on a real file system that is full, at every point, and on one that takes nothing: a small
// one in memory, in a namespace of this process's own. Where the machine lets nobody mount one, the
// cases say that they tried nothing; what fails is then only tested by disks that pretend to.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "promises/deeds.h"
#include "support/scratch.h"

using namespace baylore;
using test::Deed;
using test::Found;
using test::Scratch;

namespace {

// Mounts and unmounts of this process are its own from here on.
bool enter_namespace() {
  const uid_t user = ::geteuid();
  if (user != 0) {
    if (::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) return false;
    std::ofstream("/proc/self/setgroups") << "deny";
    std::ofstream("/proc/self/uid_map") << "0 " << user << " 1";
  } else if (::unshare(CLONE_NEWNS) != 0) {
    return false;
  }
  return ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0;
}
bool may_mount() {
  static const bool may = enter_namespace();
  return may;
}

// A disk of 16 MB, gone with this object.
class SmallDisk {
 public:
  SmallDisk() {
    mounted_ =
        ::mount("small", scratch_.folder().c_str(), "tmpfs", 0, "size=16m,nr_inodes=4000") == 0;
  }
  ~SmallDisk() {
    if (mounted_) ::umount2(scratch_.folder().c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;

  [[nodiscard]] bool mounted() const { return mounted_; }
  [[nodiscard]] const Scratch& scratch() const { return scratch_; }
  [[nodiscard]] test::Place place() const { return test::place_in(scratch_.folder()); }

  // Fills it up but for so many blocks of 4 kB, or files.
  void leave_blocks(unsigned long blocks) const {
    struct statvfs now {};
    REQUIRE(::statvfs(scratch_.folder().c_str(), &now) == 0);
    REQUIRE(now.f_bavail > blocks + 1);
    const int file = ::open(scratch_.path("ballast").c_str(), O_CREAT | O_WRONLY | O_CLOEXEC, 0600);
    REQUIRE(file >= 0);
    REQUIRE(::fallocate(file, 0, 0, static_cast<off_t>((now.f_bavail - blocks) * now.f_frsize)) ==
            0);
    ::close(file);
  }
  void leave_files(unsigned long files) const {
    struct statvfs now {};
    REQUIRE(::statvfs(scratch_.folder().c_str(), &now) == 0);
    std::filesystem::create_directory(scratch_.path("crowd"));
    for (unsigned long i = files + 1; i < now.f_favail; ++i)
      std::ofstream(scratch_.path("crowd/" + std::to_string(i)));
  }
  void make_room() const {
    std::filesystem::remove(scratch_.path("ballast"));
    std::filesystem::remove_all(scratch_.path("crowd"));
  }
  void take_nothing(bool nothing) const {
    REQUIRE(::mount("small", scratch_.folder().c_str(), "tmpfs",
                    nothing ? MS_REMOUNT | MS_RDONLY : MS_REMOUNT | 0UL, nullptr) == 0);
  }

 private:
  Scratch scratch_;
  bool mounted_ = false;
};

void set(const SmallDisk& disk, const Deed& deed) {
  for (const std::string part : {"shop", "state", "stick"})
    std::filesystem::remove_all(disk.scratch().path(part));
  for (const auto& [path, bytes] : deed.scene) disk.scratch().put(path, bytes);
}

struct Course {
  Found before;
  Found done;
};
Course course_of(const SmallDisk& disk, const Deed& deed) {
  Course course;
  set(disk, deed);
  course.before = test::found_at_start(files::real_disk(), disk.place());
  REQUIRE_MESSAGE(deed.act(files::real_disk(), disk.place()), deed.name);
  course.done = test::found_at_start(files::real_disk(), disk.place());
  return course;
}

void try_again(const SmallDisk& disk, const Deed& deed, const Course& course) {
  const Found now = test::found_at_start(files::real_disk(), disk.place());
  if (!deed.repeats && now.kinds == course.done.kinds) return;
  CHECK(deed.act(files::real_disk(), disk.place()));
  const std::string wrong =
      test::judge(deed, test::found_at_start(files::real_disk(), disk.place()), course.before,
                  course.done, true);
  CHECK_MESSAGE(wrong.empty(), wrong);
}

}  // namespace

TEST_CASE("a disk that fills up at any point keeps what it has, and with room all goes on") {
  if (!may_mount()) {
    MESSAGE("nothing tried: this machine lets nobody mount a file system");
    return;
  }
  const SmallDisk disk;
  REQUIRE(disk.mounted());
  int points = 0;
  int refused = 0;
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    const Course course = course_of(disk, deed);
    for (const bool by_blocks : {true, false}) {
      bool through = false;
      for (unsigned long room = 0; !through; ++room) {
        REQUIRE(room < 200);
        CAPTURE(by_blocks);
        CAPTURE(room);
        set(disk, deed);
        if (by_blocks) {
          disk.leave_blocks(room);
        } else {
          disk.leave_files(room);
        }
        through = deed.act(files::real_disk(), disk.place());
        ++points;
        if (!through) ++refused;
        disk.make_room();
        const std::string wrong =
            test::judge(deed, test::found_at_start(files::real_disk(), disk.place()), course.before,
                        course.done, through);
        CHECK_MESSAGE(wrong.empty(), wrong);
        try_again(disk, deed, course);
      }
    }
  }
  MESSAGE(points, " points, ", refused, " of them refused");
  CHECK(refused > 50);
}

TEST_CASE(
    "on a disk that takes nothing all can be read, nothing is acknowledged, nothing changes") {
  if (!may_mount()) {
    MESSAGE("nothing tried: this machine lets nobody mount a file system");
    return;
  }
  const SmallDisk disk;
  REQUIRE(disk.mounted());
  for (const Deed& deed : test::deeds()) {
    CAPTURE(deed.name);
    const Course course = course_of(disk, deed);
    set(disk, deed);
    disk.take_nothing(true);
    CHECK_FALSE(deed.act(files::real_disk(), disk.place()));
    const Found now = test::found_at_start(files::real_disk(), disk.place());
    disk.take_nothing(false);
    CHECK(now.kinds == course.before.kinds);
    const std::string wrong = test::judge(deed, now, course.before, course.done, false);
    CHECK_MESSAGE(wrong.empty(), wrong);
    try_again(disk, deed, course);
  }
}
