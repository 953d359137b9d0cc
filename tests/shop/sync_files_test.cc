#include "shop/sync_files.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;

TEST_CASE("the files for git and Syncthing are written once, and a person's lines stay in them") {
  const test::Scratch scratch;
  const auto write = [&] {
    auto written = shop::write_sync_files(files::real_disk(), scratch.folder());
    REQUIRE(written.ok());
    return *written;
  };
  scratch.put(".gitignore", "/jobs/\n/photos/raw/");
  CHECK(write() == std::vector<std::string>{".gitattributes", ".gitignore", ".stignore"});
  const std::string ignored = scratch.get(".gitignore");
  CHECK(ignored.starts_with("/jobs/\n/photos/raw/\n"));
  CHECK(ignored.find("\n/keys/cars/\n") != std::string::npos);
  CHECK(ignored.find("/jobs/", 7) == std::string::npos);
  CHECK(scratch.get(".gitattributes").find("*.md merge=baylore\n") != std::string::npos);
  CHECK(write().empty());
  CHECK(scratch.files().size() == 3);
  CHECK(scratch.get(".gitignore") == ignored);
}

TEST_CASE("a file that cannot be read or written is a failure, and stays as it was") {
  const test::Scratch scratch;
  scratch.put(".gitignore", "/photos/raw/\n");
  int failed = 0;
  for (int call = 1; call < 40; ++call) {
    test::FailingDisk disk(files::real_disk());
    disk.fail_at(call, test::FailingDisk::How::forever, files::Failure::Kind::full);
    if (!shop::write_sync_files(disk, scratch.folder()).ok()) ++failed;
    CHECK(scratch.get(".gitignore").starts_with("/photos/raw/\n"));
    std::vector<std::string> names = scratch.files();
    for (const std::string& name : names) {
      const auto known = std::any_of(shop::sync_files().begin(), shop::sync_files().end(),
                                     [&](const shop::SyncFile& file) { return name == file.name; });
      CHECK(known);
    }
  }
  CHECK(failed > 3);
}
