#include "pack/bag.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <string>

#include "files/disk.h"
#include "pack/digest.h"
#include "pack/name.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

// The worked bag of RFC 8493's rules: two files of 9 and 18 bytes.
class Worked {
 public:
  Worked() {
    put("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
    put("bag-info.txt", "Payload-Oxum: 27.2\n");
    put("data/tips/0001.txt", "tip-0001\n");
    put("data/tips/a b.txt", "line one\nline two\n");
    seal();
  }

  void put(const std::string& path, const std::string& bytes) {
    scratch_.put("bag/" + path, bytes);
  }
  [[nodiscard]] std::string get(const std::string& path) const {
    return scratch_.get("bag/" + path);
  }
  [[nodiscard]] std::string folder() const { return scratch_.path("bag"); }

  // Manifests for what is there now.
  void seal() {
    std::string manifest;
    for (const char* path : {"data/tips/0001.txt", "data/tips/a b.txt"})
      manifest += pack::sha512_hex(get(path)) + "  " + path + "\n";
    put("manifest-sha512.txt", manifest);
    seal_tags();
  }
  void seal_tags() {
    std::string tags;
    for (const char* path : {"bag-info.txt", "bagit.txt", "manifest-sha512.txt"})
      tags += pack::sha512_hex(get(path)) + "  " + path + "\n";
    put("tagmanifest-sha512.txt", tags);
  }

  [[nodiscard]] std::string rules() const {
    const auto content = pack::read_bag_folder(files::real_disk(), folder());
    REQUIRE(content.ok());
    return listed(pack::judge_bag(content.value()).reasons);
  }
  [[nodiscard]] std::string pack_rules() const {
    const auto content = pack::read_bag_folder(files::real_disk(), folder());
    REQUIRE(content.ok());
    return listed(pack::judge_pack(content.value(), pack::judge_bag(content.value())));
  }

 private:
  static std::string listed(const std::vector<pack::Reason>& reasons) {
    std::string all;
    for (const pack::Reason& reason : reasons) all += reason.rule + " " + reason.path + "; ";
    return all;
  }
  test::Scratch scratch_;
};

}  // namespace

TEST_CASE("check sums are those of the published examples") {
  // FIPS 180-4 and RFC 1321, the examples for "abc".
  pack::Digests digests({"md5", "sha1", "sha256", "none", "sha512"});
  digests.take("a");
  digests.take("bc");
  const auto sums = digests.finish();
  CHECK(sums.size() == 4);
  CHECK(sums.at("md5") == "900150983cd24fb0d6963f7d28e17f72");
  CHECK(sums.at("sha1") == "a9993e364706816aba3e25717850c26c9cd0d89d");
  CHECK(sums.at("sha256") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sums.at("sha512") ==
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a"
        "2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f");
}

TEST_CASE("a bag of version 1.0 is valid, and so it is as a pack") {
  const Worked bag;
  CHECK(bag.rules() == "");
  CHECK(bag.pack_rules() == "");
  // sha512sum of the declaration.
  CHECK(pack::sha512_hex(bag.get("bagit.txt")) ==
        "1d73ae108d4109b61f56698a5e19ee1f8947bdf8940bbce6adbe5e0940c2363caace6a547b4f1b3ec6a4fd2b7f"
        "a845e9cb9d28823bc72c59971718bb26f2fbd8");
}

TEST_CASE("each rule of version 1.0 is kept by refusing what breaks it") {
  Worked bag;
  SUBCASE("a changed file") {
    bag.put("data/tips/0001.txt", "tip-0001!");
    CHECK(bag.rules() == "checksum data/tips/0001.txt; ");
  }
  SUBCASE("a file more") {
    bag.put("data/tips/2.txt", "");
    CHECK(bag.rules() == "oxum bag-info.txt; not-listed data/tips/2.txt; ");
  }
  SUBCASE("a hidden file more") {
    bag.put("data/.two", "");
    CHECK(bag.rules() == "oxum bag-info.txt; not-listed data/.two; ");
  }
  SUBCASE("a file less") {
    std::filesystem::remove(bag.folder() + "/data/tips/a b.txt");
    CHECK(bag.rules() == "oxum bag-info.txt; missing data/tips/a b.txt; ");
  }
  SUBCASE("a link, even to a file that fits") {
    std::filesystem::rename(bag.folder() + "/data/tips/a b.txt", bag.folder() + "/../a b.txt");
    std::filesystem::create_symlink("../../../a b.txt", bag.folder() + "/data/tips/a b.txt");
    CHECK(bag.rules() == "link data/tips/a b.txt; oxum bag-info.txt; missing data/tips/a b.txt; ");
  }
  SUBCASE("a manifest that leaves a file out") {
    bag.put("manifest-sha256.txt", "");
    CHECK(bag.rules() ==
          "not-listed data/tips/0001.txt; not-listed data/tips/a b.txt; "
          "not-listed manifest-sha256.txt; ");
  }
  SUBCASE("an unknown check sum") {
    bag.put("manifest-crc32.txt", "");
    CHECK(bag.rules() == "algorithm manifest-crc32.txt; not-listed manifest-crc32.txt; ");
  }
  SUBCASE("a check sum of the wrong length") {
    bag.put("manifest-sha512.txt", bag.get("manifest-sha512.txt") + "00  data/tips/0001.txt\n");
    bag.seal_tags();
    CHECK(bag.rules() == "manifest manifest-sha512.txt; ");
  }
  SUBCASE("no data") {
    std::filesystem::remove_all(bag.folder() + "/data");
    CHECK(bag.rules() ==
          "data data; oxum bag-info.txt; missing data/tips/0001.txt; missing data/tips/a b.txt; ");
  }
  SUBCASE("no manifest") {
    std::filesystem::remove(bag.folder() + "/manifest-sha512.txt");
    CHECK(bag.rules() == "manifest ; missing manifest-sha512.txt; ");
  }
  SUBCASE("a tag manifest that lists itself or the payload") {
    bag.put("tagmanifest-sha512.txt", bag.get("tagmanifest-sha512.txt") + pack::sha512_hex("") +
                                          "  tagmanifest-sha512.txt\n");
    CHECK(bag.rules() == "path tagmanifest-sha512.txt; checksum tagmanifest-sha512.txt; ");
  }
  SUBCASE("a declaration of three lines") {
    bag.put("bagit.txt", bag.get("bagit.txt") + "More: yes\n");
    bag.seal_tags();
    CHECK(bag.rules() == "bagit.txt bagit.txt; ");
  }
  SUBCASE("an encoding nobody knows") {
    bag.put("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: KLINKER-8\n");
    bag.seal_tags();
    CHECK(bag.rules() == "encoding bagit.txt; ");
  }
  SUBCASE("tag files that are not in their encoding") {
    bag.put("bag-info.txt", "Contact-Name: caf\xE9\n");
    bag.seal_tags();
    CHECK(bag.rules() == "encoding bag-info.txt; ");
  }
  SUBCASE("capitals in a check sum mean nothing, blanks after it may be any") {
    std::string manifest = bag.get("manifest-sha512.txt");
    for (const char* path : {"data/tips/0001.txt", "data/tips/a b.txt"}) {
      std::string sum = pack::sha512_hex(bag.get(path));
      std::string high = sum;
      std::transform(high.begin(), high.end(), high.begin(),
                     [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; });
      manifest.replace(manifest.find(sum), sum.size() + 2, high + " \t ");
    }
    bag.put("manifest-sha512.txt", manifest);
    bag.seal_tags();
    CHECK(bag.rules() == "");
  }
  SUBCASE("line ends and per cent signs in names are written as RFC 8493 2.1.3 says") {
    std::filesystem::rename(bag.folder() + "/data/tips/a b.txt",
                            bag.folder() + "/data/tips/a%\n.txt");
    std::string manifest = bag.get("manifest-sha512.txt");
    manifest.replace(manifest.find("a b.txt"), 7, "a%25%0A.txt");
    bag.put("manifest-sha512.txt", manifest);
    bag.seal_tags();
    CHECK(bag.rules() == "");
    CHECK(bag.pack_rules() == "name data/tips/a%\n.txt; ");
  }
}

TEST_CASE("a pack is stricter than a bag") {
  Worked bag;
  SUBCASE("nothing is fetched") {
    bag.put("fetch.txt", "http://elsewhere.example/a 18 data/tips/a%20b.txt\n");
    CHECK(bag.pack_rules() == "fetch fetch.txt; not-listed fetch.txt; ");
  }
  SUBCASE("SHA-512 alone") {
    bag.put("manifest-md5.txt", "x");
    CHECK(bag.pack_rules() == "not-a-pack manifest-md5.txt; not-listed manifest-md5.txt; ");
  }
  SUBCASE("version 1.0 alone") {
    bag.put("bagit.txt", "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n");
    bag.seal_tags();
    CHECK(bag.rules() == "");
    CHECK(bag.pack_rules() == "version bagit.txt; ");
  }
  SUBCASE("no other tag files") {
    bag.put("notes/more.txt", "x");
    CHECK(bag.rules() == "");
    CHECK(bag.pack_rules() == "not-a-pack notes/more.txt; not-listed notes/more.txt; ");
  }
  SUBCASE("no dots before a path") {
    std::string manifest = bag.get("manifest-sha512.txt");
    manifest.replace(manifest.find("data/"), 5, "./data/");
    bag.put("manifest-sha512.txt", manifest);
    bag.seal_tags();
    CHECK(bag.rules() == "");
    CHECK(bag.pack_rules() == "path manifest-sha512.txt; ");
  }
  SUBCASE("no two names that differ in capitals alone") {
    bag.put("data/Tips/0001.txt", "");
    CHECK(bag.pack_rules() == "name data/tips/0001.txt; ");
  }
  SUBCASE("a tag manifest") {
    std::filesystem::remove(bag.folder() + "/tagmanifest-sha512.txt");
    CHECK(bag.rules() == "");
    CHECK(bag.pack_rules() == "missing tagmanifest-sha512.txt; ");
  }
}

TEST_CASE("names that could do harm somewhere are told, good ones are not") {
  for (const char* good :
       {"data/tips/a b.txt", "a", "tips/cooling/heater-cold.md", "caf\xC3\xA9/x.png", "console.md",
        "com.md", "a..b", "lpt10.txt", "nulls/x"}) {
    INFO(good);
    CHECK(pack::name_fault(good) == "");
  }
  for (const std::string bad : {"",
                                "/etc/passwd",
                                "..",
                                "../a",
                                "a/../b",
                                "a/..",
                                "a//b",
                                "a/",
                                "./a",
                                "a/./b",
                                "a\\..\\b",
                                "C:/a",
                                "C:a",
                                "a:stream",
                                "~/a",
                                "a/~b",
                                "a/.hidden",
                                ".ssh/x",
                                "con",
                                "a/CON.md",
                                "Nul",
                                "aux.txt",
                                "com1",
                                "LPT9.md",
                                "prn .txt",
                                "a ",
                                "a /b",
                                " a",
                                "a.",
                                "a./b",
                                "a\nb",
                                "a\x7F",
                                "a\xC2\x85",
                                "a\xE2\x80\xAE"
                                "gnp.md",
                                "a\xE2\x80\x8B"
                                "b",
                                "a\xFF",
                                "a\xC0\xAF",
                                "\xED\xA0\x80",
                                "a*",
                                "a?b",
                                "a|b",
                                "a<b",
                                "a>b",
                                "a\"b"}) {
    INFO(bad);
    CHECK(pack::name_fault(bad) != "");
  }
  CHECK(pack::name_fault(std::string("a\0b", 3)) != "");
  CHECK(pack::name_fault(std::string(200, 'a')) == "");
  CHECK(pack::name_fault(std::string(201, 'a')) != "");
  std::string deep = "a";
  while (deep.size() < 400) deep += "/a";
  CHECK(pack::name_fault(deep) != "");
  CHECK(pack::name_fault(deep.substr(0, 399)) == "");
}

TEST_CASE("one name on a disk that does not tell capitals or composed letters apart") {
  CHECK(pack::collision_key("Tips/A.md") == pack::collision_key("tips/a.MD"));
  CHECK(pack::collision_key("caf\xC3\xA9") == pack::collision_key("CAFe\xCC\x81"));
  CHECK(pack::collision_key("stra\xC3\x9F"
                            "e") == pack::collision_key("STRASSE"));
  CHECK(pack::collision_key("a.md") != pack::collision_key("b.md"));
}

TEST_CASE("a bag does not choose among all converters of the system") {
  for (const char* name : {"IBM1390", "ISO-2022-JP-3", "UTF-7", "UTF-8//TRANSLIT", "/etc/passwd"}) {
    CAPTURE(std::string(name));
    pack::BagContent content;
    content.tags["bagit.txt"] =
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: " + std::string(name) + "\n";
    const pack::Bag bag = pack::judge_bag(content);
    CHECK(std::any_of(bag.reasons.begin(), bag.reasons.end(),
                      [](const pack::Reason& one) { return one.rule == "encoding"; }));
  }
}
