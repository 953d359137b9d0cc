// Every hostile pack by the command line, as a person would meet it: through the confined reader,
// nothing outside the shop touched, nothing inside it changed.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "pack/hostile.h"
#include "tools/program.h"

using namespace baylore::tools::test;
using baylore::pack::SecretKey;
using nlohmann::json;

TEST_CASE("hostile packs are refused or looked at, and change nothing") {
  const SecretKey trusted = SecretKey::make();
  Program south;
  south.put("keys/trusted/north.pub", public_key_file(trusted.public_key()));
  south.put("tips/ours.md", "---\nid: ours\ntitle: Ours\n---\n\n## Symptom\nOurs.\n");
  const auto whole = [&] {
    const std::string line = "cd '" + south.beside("shop") +
                             "' && find . -type f | sort | xargs sha512sum >'" +
                             south.beside("sums") + "'";
    REQUIRE(std::system(line.c_str()) == 0);
    return south.get("../sums");
  };
  const std::string before = whole();
  for (const baylore::test::Hostile& hostile :
       baylore::test::hostile_packs(trusted, SecretKey::make())) {
    INFO(hostile.name);
    south.put_beside("bad.zip", hostile.bytes);
    const Ran ran = south.run("unpack --json '" + south.beside("bad.zip") + "'");
    CHECK(ran.code == (hostile.refused ? 1 : 0));
    const json out = json::parse(ran.out, nullptr, false);
    REQUIRE(out.is_object());
    CHECK(out["reasons"].empty() == !hostile.refused);
    for (const json& reason : out["reasons"])
      CHECK(std::string(reason["message"]).find("its reader") == std::string::npos);
  }
  CHECK(whole() == before);
}
