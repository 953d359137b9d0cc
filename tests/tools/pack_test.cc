#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <cstdlib>

#include "tools/program.h"

using namespace baylore::tools::test;
using nlohmann::json;

namespace {

constexpr const char* kFamily =
    "---\nid: coolant-pump\ntitle: Coolant pump\ncomponent: coolant pump\nsystem: cooling\n---\n\n"
    "## Numbers\n### Halden 88-214\n- grade: aftermarket\n";

// Two shops beside each other; each command line names its own.
class Two {
 public:
  Two() {
    north_.environment = south_.environment = "XDG_STATE_HOME='" + north_.beside("state") + "'";
    north_.put("tips/cooling/pump.md",
               std::string(kPump) + "\n## Parts\n### Halden 88-214\n- family: coolant-pump\n");
    north_.put("tips/rattle.md", kRattle);
    north_.put("parts/coolant-pump.md", kFamily);
  }
  Program& north() { return north_; }
  Program& south() { return south_; }
  // Seals all of north; the pack's path, quoted for a shell.
  std::string seal(const std::string& more = "") {
    const Ran ran = north_.run("pack --date 2026-03-20 --to '" + north_.beside("") + "' " + more);
    REQUIRE_MESSAGE(ran.code == 0, ran.err);
    const std::size_t end = ran.out.find(".bag.zip");
    REQUIRE(end != std::string::npos);
    return "'" + ran.out.substr(0, end) + ".bag.zip'";
  }
  std::string key() {
    const Ran ran = north_.run("pack --show-key --json");
    REQUIRE(ran.code == 0);
    return json::parse(ran.out)["key"];
  }

 private:
  Program north_;
  Program south_;
};

}  // namespace

TEST_CASE("a pack is sealed, looked at, accepted by decision and undone") {
  Two two;
  const std::string pack = two.seal("--name p1");
  const Ran seen = two.south().run("unpack " + pack);
  CHECK(seen.code == 0);
  CHECK(seen.err.empty());
  CHECK(seen.out.find("p1, sealed 2026-03-20 by Small: signed with ") == 0);
  CHECK(seen.out.find("new       tip pump: Heater cold at idle, coolant lost\n") !=
        std::string::npos);
  CHECK(seen.out.find("new       part coolant-pump: Coolant pump\n") != std::string::npos);

  const Ran refused = two.south().run("unpack --accept " + pack);
  CHECK(refused.code == 1);
  CHECK(refused.err.find("p1: is signed with a key that is not trusted here") == 0);
  CHECK(two.south().get("tips/received/pump/pump.md").empty());

  const Ran accepted = two.south().run("unpack --accept --trust-as north --who LA " + pack);
  CHECK_MESSAGE(accepted.code == 0, accepted.err);
  CHECK(accepted.out.find(" accepted: 3 new, 0 changed, 0 kept beside ours") != std::string::npos);
  CHECK(two.south().get("tips/received/pump/pump.md") == two.north().get("tips/cooling/pump.md"));
  CHECK(two.south().get("keys/trusted/north.pub").find(two.key()) != std::string::npos);

  const Ran listed = two.south().run("unpack --list --json");
  REQUIRE(listed.code == 0);
  const json packs = json::parse(listed.out)["packs"];
  REQUIRE(packs.size() == 1);
  CHECK(packs[0]["location"] == "north");
  CHECK(packs[0]["who"] == "LA");
  CHECK(packs[0]["newly_trusted"] == true);
  const std::string folder = packs[0]["pack"];
  const Ran undone = two.south().run("unpack --undo " + folder);
  CHECK(undone.code == 0);
  CHECK(undone.out.find("3 removed") != std::string::npos);
  CHECK(two.south().get("tips/received/pump/pump.md").empty());
  CHECK(two.south().run("unpack --undo " + folder).code == 2);
  CHECK(two.south().run("unpack --list").out.find(" undone ") != std::string::npos);
}

TEST_CASE("the preview as JSON tells new, changed, conflicting and refused texts") {
  Two two;
  two.south().put("keys/trusted/north.pub", "untrusted comment: north\n" + two.key() + "\n");
  two.south().put("tips/rattle.md",
                  "---\nid: rattle\ntitle: Something else\n---\n\n## Symptom\nOurs.\n");
  const Ran seen = two.south().run("unpack --json " + two.seal());
  REQUIRE_MESSAGE(seen.code == 0, seen.err);
  const json out = json::parse(seen.out);
  CHECK(out["verdict"] == "trusted");
  CHECK(out["signer"]["location"] == "north");
  REQUIRE(out["new"].size() == 2);
  CHECK(out["new"][0]["id"] == "pump");
  CHECK(out["changed"].empty());
  REQUIRE(out["conflicts"].size() == 1);
  CHECK(out["conflicts"][0]["id"] == "rattle");
  CHECK(out["conflicts"][0]["file"] == "tips/rattle.md");
  CHECK(out["conflicts"][0]["differences"][0]["where"] == "title");
  CHECK(out["refused"].empty());
  CHECK(out["reasons"].empty());

  const Ran some = two.south().run("unpack --json --accept --only rattle " + two.seal("--name p2"));
  REQUIRE_MESSAGE(some.code == 0, some.err);
  CHECK(json::parse(some.out)["accepted"]["conflicts"] == 1);
  CHECK(two.south().get("tips/rattle.md").find("Ours.") != std::string::npos);
  CHECK(two.south().run("unpack --accept --only none " + two.seal("--name p3")).code == 2);
}

TEST_CASE("bags and packs are verified with every reason") {
  Two two;
  const std::string pack = two.seal("--name p1");
  Ran ran = two.south().run_plain("unpack --verify " + pack);
  CHECK(ran.code == 0);
  CHECK(ran.out.find("Sound: a bag of version 1.0, signed with ") == 0);
  ran = two.south().run("unpack --json --verify " + pack);
  CHECK(json::parse(ran.out)["sound"] == true);

  const std::string unzip = "cd '" + two.north().beside("") + "' && unzip -q p1.bag.zip";
  REQUIRE(std::system(unzip.c_str()) == 0);
  const std::string bag = "'" + two.north().beside("p1") + "'";
  CHECK(two.south().run_plain("unpack --verify " + bag).code == 0);
  two.north().put_beside("p1/data/tips/rattle.md", "changed\n");
  ran = two.south().run_plain("unpack --verify " + bag);
  CHECK(ran.code == 1);
  CHECK(ran.err.find("data/tips/rattle.md: is not what manifest-sha512.txt says") !=
        std::string::npos);

  const std::string suite = BAYLORE_SOURCE_DIR "/tests/outside/data/bagit/";
  ran = two.south().run_plain("unpack --verify '" + suite + "valid/holey-bag'");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("Sound: a bag of version 0.97, unsigned.\n") == 0);
  CHECK(ran.out.find("As a pack it would be refused: fetch.txt: asks for files from elsewhere") !=
        std::string::npos);
  ran = two.south().run_plain("unpack --verify '" + suite + "invalid/corrupt-data-file'");
  CHECK(ran.code == 1);
  CHECK(two.south().run_plain("unpack --verify '" + suite + "none'").code == 2);
  CHECK(two.south().run_plain("unpack --verify").code == 2);
}

TEST_CASE("what is refused is said with every reason and changes nothing") {
  Two two;
  two.south().put_beside("bad.zip", "PK no zip \x1B[2J");
  const Ran ran = two.south().run("unpack --json '" + two.south().beside("bad.zip") + "'");
  CHECK(ran.code == 1);
  const json out = json::parse(ran.out);
  CHECK(out["verdict"] == "refused");
  CHECK(out["reasons"].size() == 1);
  CHECK(two.south().run("unpack '" + two.south().beside("none.zip") + "'").code == 2);
  CHECK(two.south().run("unpack").code == 2);
  CHECK(two.south().run_plain("unpack " + two.seal()).code == 2);
}

TEST_CASE("what stays at home is said, and nothing to seal is an error") {
  Two two;
  two.north().put("tips/nameless.md", "---\ntitle: No id\n---\n\n## Symptom\nNone.\n");
  Ran ran = two.north().run("pack --dry-run");
  CHECK(ran.code == 1);
  CHECK(ran.err == "tips/nameless.md: has no id that can be one: left out of the pack\n");
  CHECK(ran.out.find("2 tips, 1 part family, 0 pictures would go.\n") != std::string::npos);
  ran = two.north().run("pack --dry-run --json pump");
  CHECK(ran.code == 0);
  CHECK(json::parse(ran.out)["texts"].size() == 2);
  CHECK(two.north().run("pack --system brakes").code == 2);
  CHECK(two.north().run("pack --to '" + two.north().beside("none") + "'").code == 2);
  CHECK(two.north().run_plain("pack --shop '" + two.north().beside("none") + "'").code == 2);
}

TEST_CASE("texts and records are merged as version control asks") {
  Program program;
  const std::string base = std::string(kPump);
  const auto merged = [&](const std::string& ours, const std::string& theirs,
                          const std::string& more = "") {
    program.put_beside("base", base);
    program.put_beside("ours", ours);
    program.put_beside("theirs", theirs);
    return program.run_plain("merge '" + program.beside("base") + "' '" + program.beside("ours") +
                             "' '" + program.beside("theirs") + "' " + more);
  };
  const auto read = [&] { return program.get("../ours"); };
  Ran ran =
      merged(base + "- note: ours\n\n## Finish\nBleed.\n", base + "\n## Corrections\n- one\n");
  CHECK_MESSAGE(ran.code == 0, ran.err);
  CHECK(read().find("## Finish\nBleed.\n") != std::string::npos);
  CHECK(read().find("## Corrections\n- one\n") != std::string::npos);
  std::string here = base;
  here.replace(here.find("Heater"), 6, "Cabin");
  std::string there = base;
  there.replace(there.find("Heater"), 6, "Blower");
  ran = merged(here, there, "tips/pump.md");
  CHECK(ran.code == 1);
  CHECK(ran.err == "tips/pump.md: both changed title: choose between the marks\n");
  CHECK(read().find("<<<<<<< ours\ntitle: Cabin") != std::string::npos);
  ran = merged("id,when,kind,end\n1,a,b,.\n", "id,when,kind,end\n2,a,b,.\n");
  CHECK(ran.code == 0);
  CHECK(read() == "id,when,kind,end\n1,a,b,.\n2,a,b,.\n");
  CHECK(program.run_plain("merge a b c").code == 2);
}
