// The same car again, without its VIN.
#include "job/car.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "files/names.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

// The worked example of 49 CFR 565.15's check digit.
constexpr const char* kVin = "1M8GDM9AXKP042788";

std::vector<std::string> marks(const test::Scratch& shop, const std::string& terminal,
                               std::string_view vin) {
  const auto made = job::car_marks(files::real_disk(), shop.folder(), terminal, vin);
  REQUIRE(made.ok());
  return *made;
}

}  // namespace

TEST_CASE("one car has one mark, another car another; the VIN is in no file") {
  const test::Scratch shop;
  const auto one = marks(shop, "bay-1", kVin);
  REQUIRE(one.size() == 1);
  CHECK(one == marks(shop, "bay-1", kVin));
  CHECK(one == marks(shop, "bay-1", "1m8gdm9axkp042788"));
  CHECK_FALSE(job::same_car(one, marks(shop, "bay-1", "1M8GDM9AXKP042789")));
  CHECK_FALSE(job::same_car({}, {}));
  CHECK(one[0].starts_with("bay-1:"));
  CHECK(one[0].find("042788") == std::string::npos);
  for (const auto& file : std::filesystem::recursive_directory_iterator(shop.folder())) {
    if (!file.is_regular_file()) continue;
    CHECK(shop.get(std::filesystem::relative(file.path(), shop.folder()).string()).find("042788") ==
          std::string::npos);
  }
}

TEST_CASE("another shop's marks have nothing in common with this one's") {
  const test::Scratch here;
  const test::Scratch there;
  CHECK_FALSE(job::same_car(marks(here, "bay-1", kVin), marks(there, "bay-1", kVin)));
}

TEST_CASE("bays that did not know of each other meet at the next job") {
  const test::Scratch one;
  const test::Scratch two;
  const auto first = marks(one, "bay-1", kVin);
  const auto second = marks(two, "bay-2", kVin);
  CHECK_FALSE(job::same_car(first, second));
  // The folders are brought together: the next mark of either bay carries both keys.
  std::filesystem::copy(two.path("keys"), one.path("keys"),
                        std::filesystem::copy_options::recursive);
  const auto later = marks(one, "bay-1", kVin);
  CHECK(later.size() == 2);
  CHECK(job::same_car(later, first));
  CHECK(job::same_car(later, second));
}

TEST_CASE("what is no whole VIN has no mark, and makes no key") {
  const test::Scratch shop;
  for (const char* text : {"", "1M8GDM9AXKP04278", "1M8GDM9AXKP0427888", "KP042788"})
    CHECK(marks(shop, "bay-1", text).empty());
  CHECK(marks(shop, "../x", kVin).empty());
  CHECK_FALSE(std::filesystem::exists(shop.path("keys")));
  // A damaged key is no key.
  shop.put("keys/cars/bay-2.key", "not hexadecimal\n");
  CHECK(marks(shop, "bay-1", kVin).size() == 1);
}

// BLAKE2b with a key, RFC 7693; the value is Python's: hashlib.blake2b(b"abc", digest_size=16,
// key=bytes(range(32))).hexdigest().
TEST_CASE("the hash is keyed BLAKE2b") {
  CHECK(files::keyed_hash_hex("000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f",
                              "abc") == "1a64be47e4729d951c302ee543f97cf3");
  CHECK(files::keyed_hash_hex("00", "abc").empty());
  CHECK(files::new_key() != files::new_key());
}
