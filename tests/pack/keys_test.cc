#include "pack/keys.h"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <cstdlib>
#include <string>

#include "files/disk.h"
#include "support/scratch.h"

using namespace baylore;

TEST_CASE("the first pair is made once, for its owner alone, outside of the shop") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  REQUIRE(::setenv("XDG_STATE_HOME", scratch.path("state").c_str(), 1) == 0);
  const std::string path = pack::secret_key_path(scratch.path("shop"));
  CHECK(path.starts_with(scratch.path("state/")));
  CHECK(path == pack::secret_key_path(scratch.path("shop/../shop/")));
  CHECK(path != pack::secret_key_path(scratch.path("other")));
  const auto first = pack::own_key(disk, path);
  REQUIRE(first.ok());
  CHECK(first->made);
  struct stat found {};
  REQUIRE(::stat(path.c_str(), &found) == 0);
  CHECK((found.st_mode & 0777U) == 0600U);
  const auto second = pack::own_key(disk, path);
  REQUIRE(second.ok());
  CHECK_FALSE(second->made);
  CHECK(second->key.public_key() == first->key.public_key());
}

TEST_CASE("a damaged key, or one with a passphrase, is told and not replaced") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  scratch.put("a.key", "something else\n");
  CHECK_FALSE(pack::own_key(disk, scratch.path("a.key")).ok());
  CHECK(scratch.get("a.key") == "something else\n");
  // `Sc` in the place that says how the key is locked.
  std::string locked = pack::SecretKey::make().file();
  locked.replace(locked.find('\n') + 1, 8, "RWRTY0Iy");
  scratch.put("b.key", locked);
  const auto read = pack::own_key(disk, scratch.path("b.key"));
  REQUIRE_FALSE(read.ok());
  CHECK(read.failure().what == "is a key with a passphrase");
  CHECK_FALSE(pack::own_key(disk, "").ok());
}

TEST_CASE("trusting a location is a file, and a second key for it needs a person") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const pack::PublicKey north = pack::SecretKey::make().public_key();
  const pack::PublicKey south = pack::SecretKey::make().public_key();
  CHECK(pack::read_trusted(disk, scratch.folder())->keys.empty());
  REQUIRE(pack::trust(disk, scratch.folder(), "north", north).ok());
  CHECK(scratch.get("keys/trusted/north.pub") == pack::public_key_file(north));
  CHECK(pack::trust(disk, scratch.folder(), "north", north).ok());
  CHECK_FALSE(pack::trust(disk, scratch.folder(), "north", south).ok());
  CHECK_FALSE(pack::trust(disk, scratch.folder(), "elsewhere", north).ok());
  pack::PublicKey same_id = south;
  same_id.id = north.id;
  CHECK_FALSE(pack::trust(disk, scratch.folder(), "south", same_id).ok());
  for (const char* name : {"", "..", "a/b", "../x", "a.b", "a b"})
    CHECK_FALSE(pack::trust(disk, scratch.folder(), name, south).ok());
  REQUIRE(pack::trust(disk, scratch.folder(), "south", south).ok());

  scratch.put("keys/trusted/north.second.pub",
              pack::public_key_file(pack::SecretKey::make().public_key()));
  scratch.put("keys/trusted/broken.pub", "no key\n");
  scratch.put("keys/trusted/deep/er.pub", pack::public_key_file(same_id));
  const auto trusted = pack::read_trusted(disk, scratch.folder());
  REQUIRE(trusted.ok());
  REQUIRE(trusted->keys.size() == 3);
  CHECK(trusted->keys[0].location == "north");
  CHECK(trusted->keys[1].location == "north");
  CHECK(trusted->find(south)->location == "south");
  CHECK(trusted->find(south.id)->location == "south");
  CHECK(trusted->find(same_id) == nullptr);
  REQUIRE(trusted->damaged.size() == 1);
  CHECK(trusted->damaged[0].path == "keys/trusted/broken.pub");
}
