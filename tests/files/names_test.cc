#include "files/names.h"

#include <doctest/doctest.h>
#include <stdlib.h>
#include <time.h>

#include <set>

using namespace baylore;

TEST_CASE(
    "ids are ULIDs: 26 digits of Crockford's base 32, the time in the first ten, all different") {
  // The ULID specification (github.com/ulid/spec): 01ARZ3NDEKTSV4RRFFQ69G5FAV is 48 bits of
  // milliseconds, then 80 random bits; the largest one starts with 7.
  constexpr std::string_view kAlphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  std::set<std::string> seen;
  for (int i = 0; i < 20000; ++i) {
    const std::int64_t before = files::now_ns() / 1000000;
    const std::string id = files::new_id();
    const std::int64_t after = files::now_ns() / 1000000;
    REQUIRE(id.size() == 26);
    REQUIRE(id.find_first_not_of(kAlphabet) == std::string::npos);
    std::int64_t time = 0;
    for (const char c : id.substr(0, 10)) {
      time = time * 32 + static_cast<std::int64_t>(kAlphabet.find(c));
    }
    REQUIRE(time >= before);
    REQUIRE(time <= after);
    REQUIRE(files::is_id(id));
    seen.insert(id);
  }
  CHECK(seen.size() == 20000);
}

TEST_CASE("every random digit of an id takes every value") {
  std::set<char> at[16];
  for (int i = 0; i < 3000; ++i) {
    const std::string id = files::new_id();
    for (std::size_t k = 0; k < 16; ++k) at[k].insert(id[10 + k]);
  }
  for (const auto& digits : at) CHECK(digits.size() == 32);
}

TEST_CASE("hash_hex is BLAKE2b-256") {
  // Computed with GNU coreutils 9.1, `b2sum -l 256`, and with Python's hashlib.
  CHECK(files::hash_hex("") == "0e5751c026e543b2e8ab2eb06099daa1d1e5df47778f7787faab45cdf12fe3a8");
  CHECK(files::hash_hex("abc") ==
        "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
}

TEST_CASE("an id is safe as a file name") {
  CHECK(files::is_id("01JD2Z6W0V4T9K3M8Q5XBN7RCE"));
  CHECK(files::is_id("coolant-hold_cold.2"));
  CHECK(files::is_id(std::string(64, 'a')));
  CHECK_FALSE(files::is_id(std::string(65, 'a')));
  for (const char* bad : {"", ".", "..", "a/b", "a b", "\xC3\xA4", "a\n", "..."})
    CHECK_FALSE(files::is_id(bad));
}

TEST_CASE("paths are joined and taken apart") {
  CHECK(files::join("a", "b") == "a/b");
  CHECK(files::join("a/", "b") == "a/b");
  CHECK(files::join("", "b") == "b");
  CHECK(files::join("a", "") == "a");
  CHECK(files::join("/", "b") == "/b");
  CHECK(files::folder_of("a/b/c.md") == "a/b");
  CHECK(files::folder_of("c.md").empty());
  CHECK(files::folder_of("/c.md") == "/");
  CHECK(files::folder_of("/") == "/");
  CHECK(files::name_of("a/b/c.md") == "c.md");
  CHECK(files::name_of("c.md") == "c.md");
}

TEST_CASE("the user's folders follow the XDG base directory specification 0.8") {
  REQUIRE(::setenv("HOME", "/home/bay", 1) == 0);
  REQUIRE(::unsetenv("XDG_CACHE_HOME") == 0);
  REQUIRE(::unsetenv("XDG_STATE_HOME") == 0);
  CHECK(files::cache_home() == "/home/bay/.cache");
  CHECK(files::state_home() == "/home/bay/.local/state");
  REQUIRE(::setenv("XDG_CACHE_HOME", "/var/c", 1) == 0);
  CHECK(files::cache_home() == "/var/c");
  // "If an implementation encounters a relative path ... it should consider the path invalid and
  // ignore it."
  REQUIRE(::setenv("XDG_CACHE_HOME", "c", 1) == 0);
  CHECK(files::cache_home() == "/home/bay/.cache");
  REQUIRE(::unsetenv("HOME") == 0);
  REQUIRE(::unsetenv("XDG_CACHE_HOME") == 0);
  CHECK(files::cache_home().empty());
}

TEST_CASE("the time is written as ISO 8601 with its offset") {
  REQUIRE(::setenv("TZ", "UTC+3:30", 1) == 0);  // POSIX: west of Greenwich is plus
  ::tzset();
  const std::string west = files::now_text();
  REQUIRE(west.size() == 29);
  CHECK(west.substr(23) == "-03:30");
  CHECK(west[4] == '-');
  CHECK(west[10] == 'T');
  CHECK(west[19] == '.');
  REQUIRE(::setenv("TZ", "UTC-1", 1) == 0);
  ::tzset();
  CHECK(files::now_text().substr(23) == "+01:00");
}
