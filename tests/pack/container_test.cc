#include "pack/container.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <map>
#include <string>
#include <utility>

#include "files/disk.h"
#include "support/failing_disk.h"
#include "support/scratch.h"
#include "support/zip_maker.h"

using namespace baylore;
using test::ZipPart;
using test::ZipWhole;

namespace {

using Content = std::map<std::string, std::string>;

std::string written(const std::string& name, const Content& content) {
  const test::Scratch scratch;
  auto output = files::real_disk().create(scratch.path("a.zip"));
  REQUIRE(output.ok());
  pack::ContainerWriter writer(**output, name);
  for (const auto& [path, bytes] : content) REQUIRE(writer.add(path, bytes).ok());
  REQUIRE(writer.finish().ok());
  REQUIRE((*output)->close().ok());
  return scratch.get("a.zip");
}

// What is in it, or the first reason why it is refused.
struct Read {
  std::string name;
  Content content;
  std::string refused;
};

Read read(const std::string& zip, const pack::ContainerLimits& limits = {}) {
  Read found;
  const auto source = pack::open_bytes(zip);
  const auto listing = pack::list_container(*source, limits);
  REQUIRE(listing.ok());
  found.name = listing->name;
  std::size_t most = 0;
  for (const pack::ContainerEntry& entry : listing->entries) most += entry.size;
  std::size_t got = 0;
  const auto reasons = pack::read_container(
      *source, *listing, [&](const pack::ContainerEntry& entry, std::string_view piece, bool) {
        found.content[entry.path] += piece;
        got += piece.size();
        return true;
      });
  REQUIRE(reasons.ok());
  CHECK(got <= most);
  if (!reasons->empty()) found.refused = reasons->front().rule + ": " + reasons->front().text();
  return found;
}

ZipPart part(std::string name, std::string bytes = "x") {
  ZipPart made;
  made.name = std::move(name);
  made.bytes = std::move(bytes);
  return made;
}

Read read(std::vector<ZipPart> parts) {
  ZipWhole whole;
  whole.parts = std::move(parts);
  return read(test::zip_of(whole));
}

}  // namespace

TEST_CASE("what is written is read, names in any script and empty files too") {
  const Content content = {{"a.txt", "one"},
                           {"data/caf\xC3\xA9/\xE6\xB0\xB4.md", std::string(200000, 'w')},
                           {"data/empty", ""}};
  const std::string zip = written("PACK-1", content);
  const Read found = read(zip);
  CHECK(found.refused == "");
  CHECK(found.name == "PACK-1");
  CHECK(found.content == content);
}

TEST_CASE("the same files give the same bytes in any time zone, and no time or owner is in them") {
  const Content content = {{"a.txt", "one"}, {"b/c.txt", "two"}};
  REQUIRE(::setenv("TZ", "Pacific/Kiritimati", 1) == 0);
  ::tzset();
  const std::string east = written("P", content);
  REQUIRE(::setenv("TZ", "Pacific/Midway", 1) == 0);
  ::tzset();
  CHECK(written("P", content) == east);
  REQUIRE(::unsetenv("TZ") == 0);
  ::tzset();
  CHECK(written("P", content) == east);
}

TEST_CASE("unzip reads what we write") {
  const test::Scratch scratch;
  scratch.put("p.zip", written("P", {{"data/caf\xC3\xA9.md", "text\n"}, {"bagit.txt", "x"}}));
  const std::string command = "cd '" + scratch.folder() + "' && LC_ALL=C.UTF-8 unzip -q p.zip";
  REQUIRE(std::system(command.c_str()) == 0);
  CHECK(scratch.get("P/data/caf\xC3\xA9.md") == "text\n");
  CHECK(scratch.get("P/bagit.txt") == "x");
}

TEST_CASE("deflated entries and folders are read") {
  ZipPart folder = part("P/data/", "");
  folder.mode = 0040755;
  ZipPart text = part("P/data/a.txt", test::deflated("hello hello hello"));
  text.method = 8;
  text.size = 17;
  text.sum = static_cast<std::uint32_t>(
      ::crc32(0, reinterpret_cast<const Bytef*>("hello hello hello"), 17));
  const Read found = read({folder, text});
  CHECK(found.refused == "");
  CHECK(found.content == Content{{"data/a.txt", "hello hello hello"}});
  // The same with a wrong check sum.
  text.sum = 1;
  CHECK(read({folder, text}).refused.starts_with("container: data/a.txt"));
  // And with sizes that lie.
  text.size = 16;
  CHECK(read({folder, text}).refused != "");
  text.size = 18;
  CHECK(read({folder, text}).refused != "");
}

TEST_CASE("a container that is not one plain tree of files is refused, with the name and why") {
  const auto refused = [](ZipPart bad) { return read({part("P/good"), std::move(bad)}).refused; };
  CHECK(refused(part("P/also-good")) == "");
  CHECK(refused(part("P/../../etc/passwd")) ==
        "name: P/../../etc/passwd: climbs out of its folder");
  CHECK(refused(part("/P/a")) == "name: /P/a: is a path from the root of the disk");
  CHECK(refused(part("P/good")) == "name: P/good: is in the container twice");
  CHECK(refused(part("P/GOOD")).starts_with("name: P/GOOD: and `P/good` are one name"));
  CHECK(refused(part("P/good/below")) ==
        "name: P/good/below: lies below `P/good`, which is a file");
  CHECK(refused(part("Q/a")) == "name: Q/a: is outside of the one folder that a pack is");
  CHECK(refused(part("alone")) == "name: alone: is outside of the one folder that a pack is");

  ZipPart link = part("P/link", "/etc/passwd");
  link.mode = 0120777;
  CHECK(refused(link) == "link: P/link: is a link");
  link.mode = 0020666;
  CHECK(refused(link) == "link: P/link: is a device or a pipe");
  link.mode = 0040755;
  CHECK(refused(link).starts_with("link: P/link: is a folder by its mode"));
  link = part("P/label");
  link.attributes = 8;
  CHECK(refused(link) == "link: P/label: is a volume label");

  ZipPart locked = part("P/locked");
  locked.flags |= 1U;
  CHECK(refused(locked).starts_with("container: P/locked: is encrypted"));
  ZipPart odd = part("P/odd");
  odd.method = 12;
  CHECK(refused(odd).starts_with("container: P/odd: is packed in a way"));
  ZipPart two = part("P/two");
  two.local_name = "P/owt";
  CHECK(refused(two).starts_with("container: P/two: is another by its own header"));
  two = part("P/two");
  two.local_size = 7;
  CHECK(refused(two).starts_with("container: P/two: is another by its own header"));
  two = part("P/two");
  two.size = 7;
  CHECK(refused(two) == "size: P/two: has two sizes");
  two = part("P/two");
  two.at = 0;
  CHECK(refused(two).find("shares bytes") != std::string::npos);
  two = part("P/two");
  two.at = 1000000;
  CHECK(refused(two).find("shares bytes") != std::string::npos);
  two = part("P/two");
  two.packed = 5000;
  two.size = 5000;
  CHECK(refused(two) == "size: P/two: reaches into the directory");
  two = part("P/two");
  // Another name in the field that some programs prefer.
  two.extra = std::string("\x75\x70\x0B\x00\x01....", 9) + "P/else";
  CHECK(refused(two) == "container: P/two: has two names");
  two.extra = std::string("\x01\x00\x00\x00", 4);
  CHECK(refused(two).find("extra field") != std::string::npos);
  two.extra = "\x55";
  CHECK(refused(two) == "container: P/two: has a torn extra field");
  ZipPart folder = part("P/folder/", "x");
  folder.mode = 0040755;
  CHECK(refused(folder) == "size: P/folder/: is a folder with content");
}

TEST_CASE("bytes that belong to nothing are refused wherever they are") {
  ZipWhole whole;
  whole.parts = {part("P/a")};
  CHECK(read(test::zip_of(whole)).refused == "");
  const auto changed = [&](auto change) {
    ZipWhole other = whole;
    change(other);
    return read(test::zip_of(other)).refused;
  };
  CHECK(changed([](ZipWhole& w) { w.before = "#!/bin/sh\n"; }) != "");
  CHECK(changed([](ZipWhole& w) { w.between = "?"; }) != "");
  CHECK(changed([](ZipWhole& w) { w.comment = "?"; }) != "");
  CHECK(changed([](ZipWhole& w) { w.behind = "?"; }) != "");
  CHECK(changed([](ZipWhole& w) { w.parts[0].comment = "?"; }) != "");
  CHECK(changed([](ZipWhole& w) { w.count = 0; }) != "");
  CHECK(changed([](ZipWhole& w) { w.count = 2; }) != "");
  CHECK(changed([](ZipWhole& w) { w.parts.clear(); }) == "container: The file is empty");
  CHECK(read("").refused == "container: The file is no zip file");
}

TEST_CASE("a container is refused by its listing when it unpacks to too much") {
  ZipPart bomb = part("P/bomb", test::deflated(std::string(8U << 20U, '\0')));
  bomb.method = 8;
  bomb.size = 8U << 20U;
  CHECK(read({bomb}).refused == "size: P/bomb: unpacks to more than 200 times itself");
  // One that lies about it: never more bytes than it says.
  bomb.size = 1000;
  const Read lied = read({bomb});
  CHECK(lied.refused.starts_with("size: bomb"));

  pack::ContainerLimits limits;
  limits.one = 10;
  limits.all = 15;
  limits.entries = 3;
  ZipWhole whole;
  whole.parts = {part("P/a", std::string(10, 'a')), part("P/b", std::string(5, 'b'))};
  CHECK(read(test::zip_of(whole), limits).refused == "");
  whole.parts[1].bytes += 'b';
  CHECK(read(test::zip_of(whole), limits).refused.starts_with("size: The file unpacks to more"));
  whole.parts[1].bytes = std::string(11, 'b');
  CHECK(read(test::zip_of(whole), limits).refused.starts_with("size: P/b: is larger"));
  whole.parts = {part("P/a"), part("P/b"), part("P/c"), part("P/d")};
  CHECK(read(test::zip_of(whole), limits).refused ==
        "container: The file holds 4 files, and 3 is the most");
}

TEST_CASE("whatever bit is flipped, a container says the same, or is refused, or another text") {
  const Content content = {{"a.txt", "one two three"}, {"data/b.txt", "four"}};
  const std::string zip = written("P", content);
  int refused = 0;
  int changed = 0;
  for (std::size_t bit = 0; bit < zip.size() * 8; ++bit) {
    std::string other = zip;
    other[bit / 8] = static_cast<char>(other[bit / 8] ^ (1 << (bit % 8)));
    const Read found = read(other);
    if (!found.refused.empty()) {
      ++refused;
    } else {
      // Times, versions and owners may change; a name may, in both headers at once, not here.
      CHECK(found.content == content);
      CHECK(found.name == "P");
      ++changed;
    }
  }
  CHECK(refused > changed);
}

TEST_CASE("cut anywhere, a container is refused") {
  const std::string zip = written("P", {{"a.txt", "one two three"}, {"data/b.txt", "four"}});
  for (std::size_t length = 0; length < zip.size(); ++length)
    CHECK(read(zip.substr(0, length)).refused != "");
}

TEST_CASE("a disk that fails is a failure, never a reason against the pack") {
  const test::Scratch scratch;
  scratch.put("p.zip", written("P", {{"a.txt", std::string(400000, 'a')}, {"b.txt", "b"}}));
  test::FailingDisk disk(files::real_disk());
  const auto act = [&]() -> int {  // 0 read, 1 failed, 2 refused
    const auto source = pack::open_file(disk, scratch.path("p.zip"));
    if (!source) return 1;
    const auto listing = pack::list_container(**source);
    if (!listing) return 1;
    if (!listing->reasons.empty()) return 2;
    const auto reasons = pack::read_container(
        **source, *listing,
        [](const pack::ContainerEntry&, std::string_view, bool) { return true; });
    if (!reasons) return 1;
    return reasons->empty() ? 0 : 2;
  };
  disk.fail_at(0, test::FailingDisk::How::once, files::Failure::Kind::gone);
  REQUIRE(act() == 0);
  const int calls = disk.calls();
  CHECK(calls > 3);
  for (int call = 1; call <= calls; ++call) {
    disk.fail_at(call, test::FailingDisk::How::once, files::Failure::Kind::gone);
    CHECK(act() == 1);
  }
}
