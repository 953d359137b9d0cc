// Signatures against minisign: vectors made by minisign 0.11 and confirmed with PyNaCl, and the
// tool itself (Debian package minisign) reading our keys and signatures and writing some for us.
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

#include "pack/minisign.h"
#include "support/scratch.h"

using namespace baylore;

namespace {

constexpr const char* kMessage = "hello world\n";
constexpr const char* kPublic =
    "untrusted comment: minisign public key 2EBC06966C8A5475\n"
    "RWR1VIpslga8LrtfpIJOgQ09E25sQztDrlokFo2a2Jq6RlKdDgS0mT5B\n";
const std::string kPrehashed =
    "untrusted comment: signature from minisign secret key\n"
    "RUR1VIpslga8LpOJKtD+LxoowuggCR4CjqHL6HYAKIlR1+oWmpm3MJhiFIxt0E7tDVJzO4H7+ow2/tDj9lc+"
    "brBKw5yzotZD/Qo=\n"
    "trusted comment: vector 1\n"
    "FIaPMWpmH+yFPnKjWsyLb+wZSegabNwpEfFI9IDWZqXIY/"
    "S9IKSq3xK/pzOuILuGFyqjvVcKcBKO2k6m6rC4CA==\n";
const std::string kLegacy =
    "untrusted comment: signature from minisign secret key\n"
    "RWR1VIpslga8LqDkxyn9NCbI3rz76q/yn6+0P9s66maEonPvNH1deB/"
    "U1YmesEqAQzWwW5ieA9fM4T2c/06cotQyDsokmSZtgg8=\n"
    "trusted comment: vector legacy\n"
    "xueKI3qNHNTo/Rp3Lf5EyED3q9MEFbwMWtGq3IgJrGKlGTOecPr4C6rRdK2VhKtGAbM8VMR1geuLF3kJI7IHAA==\n";

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

bool good(const std::string& message, const std::string& signature, const std::string& key) {
  const auto read = pack::read_signature(signature);
  const auto open = pack::read_public_key(key);
  return read && open && pack::is_signed(message, *read, *open);
}

int run(const std::string& command) {
  return std::system((command + " >/dev/null 2>&1 </dev/null").c_str());
}

}  // namespace

TEST_CASE("the vectors verify") {
  const auto key = pack::read_public_key(kPublic);
  REQUIRE(key.has_value());
  CHECK(pack::key_id_text(key->id) == "2EBC06966C8A5475");
  CHECK(key->line() == "RWR1VIpslga8LrtfpIJOgQ09E25sQztDrlokFo2a2Jq6RlKdDgS0mT5B");
  CHECK(pack::public_key_file(*key) == kPublic);
  CHECK(pack::read_public_key(key->line()) == key);
  CHECK(good(kMessage, kPrehashed, kPublic));
  CHECK(good(kMessage, kLegacy, kPublic));
  CHECK(pack::read_signature(kPrehashed)->prehashed);
  CHECK_FALSE(pack::read_signature(kLegacy)->prehashed);
  CHECK(pack::read_signature(kPrehashed)->comment == "vector 1");
}

TEST_CASE("whatever is changed in them, they do not, but for the comment that nobody signed") {
  CHECK_FALSE(good("hello world!\n", kPrehashed, kPublic));
  CHECK_FALSE(good("hello world", kLegacy, kPublic));
  CHECK_FALSE(good(kMessage, with(kPrehashed, "vector 1", "vector 2"), kPublic));
  CHECK(good(kMessage, with(kPrehashed, "signature from", "whatever by"), kPublic));
  const std::string other = pack::public_key_file(pack::SecretKey::make().public_key());
  CHECK_FALSE(good(kMessage, kPrehashed, other));
  // The key of another under this id, as its holder could claim.
  auto claimed = *pack::read_public_key(other);
  claimed.id = pack::read_public_key(kPublic)->id;
  CHECK_FALSE(good(kMessage, kPrehashed, pack::public_key_file(claimed)));
  // One form's signature under the other's name.
  CHECK_FALSE(good(kMessage, with(kPrehashed, "\nRUR", "\nRWR"), kPublic));
  CHECK_FALSE(good(kMessage, with(kLegacy, "\nRWR", "\nRUR"), kPublic));
}

TEST_CASE("what is no signature, key or line of them is not read as one") {
  CHECK_FALSE(pack::read_signature("").has_value());
  CHECK_FALSE(pack::read_signature(kPublic).has_value());
  CHECK_FALSE(pack::read_signature(kPrehashed + "more\n").has_value());
  CHECK(pack::read_signature(kPrehashed + "\n").has_value());
  CHECK_FALSE(
      pack::read_signature(with(kPrehashed, "trusted comment: v", "comment: v")).has_value());
  CHECK_FALSE(pack::read_signature(with(kPrehashed, "RUR1", "RUR")).has_value());
  CHECK_FALSE(pack::read_signature(with(kPrehashed, "\nRUR1", "\n RUR1")).has_value());
  CHECK_FALSE(pack::read_signature(with(kPrehashed, "Qo=", "Qo")).has_value());
  // Bits that no byte holds: another text for the same bytes.
  CHECK_FALSE(pack::read_signature(with(kPrehashed, "Qo=", "Qp=")).has_value());
  for (std::size_t length = 0; length + 1 < kPrehashed.size(); ++length)
    CHECK_FALSE(pack::read_signature(kPrehashed.substr(0, length)).has_value());
  CHECK_FALSE(pack::read_public_key("").has_value());
  CHECK_FALSE(pack::read_public_key("RWR1VIps").has_value());
  CHECK_FALSE(pack::SecretKey::read(kPublic).has_value());
}

TEST_CASE("every bit of a signature counts") {
  const auto key = pack::read_public_key(kPublic);
  REQUIRE(key.has_value());
  const auto whole = pack::read_signature(kPrehashed);
  REQUIRE(whole.has_value());
  for (std::size_t bit = 0; bit < 64 * 8; ++bit) {
    const auto flip = static_cast<std::uint8_t>(1U << (bit % 8));
    pack::Signature changed = *whole;
    changed.of_bytes[bit / 8] ^= flip;
    CHECK_FALSE(pack::is_signed(kMessage, changed, *key));
    changed = *whole;
    changed.of_comment[bit / 8] ^= flip;
    CHECK_FALSE(pack::is_signed(kMessage, changed, *key));
  }
}

TEST_CASE("our signatures verify, are the same each time, and stay one line of comment") {
  const pack::SecretKey secret = pack::SecretKey::make();
  const std::string key = pack::public_key_file(secret.public_key());
  const std::string signature = secret.sign("bytes", "two\nlines");
  CHECK(signature == secret.sign("bytes", "two\nlines"));
  CHECK(good("bytes", signature, key));
  CHECK(pack::read_signature(signature)->comment == "two lines");
  const auto again = pack::SecretKey::read(secret.file());
  REQUIRE(again.has_value());
  CHECK(again->public_key() == secret.public_key());
  CHECK(again->sign("bytes", "two\nlines") == signature);
  // Any letter of the key's line but those that stand for the unused salt.
  const std::string file = secret.file();
  const std::size_t line = file.find('\n') + 1;
  for (const std::size_t at :
       std::initializer_list<std::size_t>{0, 2, 5, 73, 90, 120, 150, 180, 205}) {
    std::string damaged = file;
    damaged[line + at] = damaged[line + at] == 'A' ? 'B' : 'A';
    INFO(at);
    CHECK_FALSE(pack::SecretKey::read(damaged).has_value());
  }
  CHECK_FALSE(pack::SecretKey::make().public_key() == secret.public_key());
}

TEST_CASE("minisign reads ours and we read what it writes") {
  const test::Scratch scratch;
  const std::string tool = BAYLORE_MINISIGN;
  const auto in = [&](const char* name) { return "'" + scratch.path(name) + "'"; };
  const pack::SecretKey secret = pack::SecretKey::make();
  scratch.put("message", kMessage);
  scratch.put("ours.key", secret.file());
  scratch.put("ours.pub", pack::public_key_file(secret.public_key()));
  scratch.put("message.minisig", secret.sign(kMessage, "from the test"));
  CHECK(run(tool + " -V -H -m " + in("message") + " -p " + in("ours.pub")) == 0);
  scratch.put("message", "hello world!\n");
  CHECK(run(tool + " -V -m " + in("message") + " -p " + in("ours.pub")) != 0);

  // It signs with our secret key's file.
  scratch.put("message", kMessage);
  REQUIRE(run(tool + " -S -m " + in("message") + " -s " + in("ours.key") + " -x " +
              in("theirs.minisig") + " -t 'from the tool'") == 0);
  CHECK(good(kMessage, scratch.get("theirs.minisig"), scratch.get("ours.pub")));
  CHECK(
      scratch.get("theirs.minisig") ==
      with(
          secret.sign(kMessage, "from the tool"), "signature from minisign secret key",
          scratch.get("theirs.minisig").substr(19, scratch.get("theirs.minisig").find('\n') - 19)));

  // And we with its own.
  REQUIRE(run(tool + " -G -W -p " + in("its.pub") + " -s " + in("its.key")) == 0);
  const auto its = pack::SecretKey::read(scratch.get("its.key"));
  REQUIRE(its.has_value());
  CHECK(its->public_key() == pack::read_public_key(scratch.get("its.pub")));
  scratch.put("message.minisig", its->sign(kMessage, "by us"));
  CHECK(run(tool + " -V -m " + in("message") + " -p " + in("its.pub")) == 0);
}
