#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <filesystem>

#include "tools/program.h"

using namespace baylore::tools::test;
using nlohmann::json;

namespace {

const std::string kCopyName = "tips/pump.sync-conflict-20260314-101500-7K2QF9A.md";

std::string with(const char* from, const std::string& to) {
  std::string text = kPump;
  text.replace(text.find(from), std::string(from).size(), to);
  return text;
}

// Whether git is there: the tests of merging with it need it.
bool has_git() { return std::system("git --version >/dev/null 2>&1") == 0; }

}  // namespace

TEST_CASE("copies are listed with what differs, and settled by decision") {
  Program program;
  Ran ran = program.run("copies");
  CHECK(ran.code == 0);
  CHECK(ran.out == "No copies.\n");
  program.put("tips/pump.md", kPump);
  program.put(kCopyName, with("Low tank", "Empty tank"));
  ran = program.run("copies");
  CHECK(ran.code == 1);
  CHECK(ran.out == kCopyName +
                       ": a copy of tips/pump.md: Heater cold at idle, coolant lost\n"
                       "  Symptom (both changed it)\n"
                       "    - ## Symptom\n    - Low tank each morning.\n"
                       "    + ## Symptom\n    + Empty tank each morning.\n"
                       "  a person has to decide: --take ours, --take copy, or --with FILE\n");
  CHECK(program.run("check").err.find(kCopyName + ":1:1: ") != std::string::npos);
  ran = program.run("copies --take merged '" + kCopyName + "'");
  CHECK(ran.code == 1);
  CHECK(ran.err.find("both changed Symptom") != std::string::npos);
  CHECK(program.run("copies '" + kCopyName + "'").code == 2);
  CHECK(program.run("copies --take ours tips/none.md").code == 2);
  CHECK(program.run("copies --take ours '" + kCopyName + "' --with x").code == 2);
  CHECK(program.get(kCopyName).find("Empty tank") != std::string::npos);
  program.put_beside("third", with("Low tank", "Low or empty tank"));
  ran = program.run("copies '" + kCopyName + "' --with '" + program.beside("third") + "' --json");
  CHECK_MESSAGE(ran.code == 0, ran.err);
  CHECK(json::parse(ran.out)["file"] == "tips/pump.md");
  CHECK(program.get("tips/pump.md").find("Low or empty tank") != std::string::npos);
  CHECK(program.get(kCopyName).empty());
  CHECK(program.run("copies --json").code == 0);

  // Made from a version that is in history now: nothing to decide.
  program.put("tips/pump (1).md", with("Low tank", "Empty tank") + "\n## Finish\nBleed.\n");
  ran = program.run("copies --json");
  CHECK(ran.code == 1);
  const json copies = json::parse(ran.out)["copies"];
  REQUIRE(copies.size() == 1);
  CHECK(copies[0]["ancestor"] == true);
  CHECK(copies[0]["conflicts"].empty());
  CHECK(program.run("copies --take merged 'tips/pump (1).md'").code == 0);
  CHECK(program.get("tips/pump.md").find("Low or empty tank") != std::string::npos);
  CHECK(program.get("tips/pump.md").find("## Finish\nBleed.\n") != std::string::npos);
  CHECK(program.run_plain("copies").code == 2);
}

TEST_CASE("git merges a shop by the program's own files") {
  Program program;
  Ran ran = program.run("prepare");
  CHECK(ran.code == 0);
  CHECK(ran.out.find(".gitattributes: written.\n") == 0);
  CHECK(ran.out.find("git config merge.baylore.driver 'baylore merge %O %A %B %P'\n") !=
        std::string::npos);
  CHECK(json::parse(program.run("prepare --json").out)["written"].empty());
  if (!has_git()) {
    MESSAGE("git is not there: its merging is not tried");
    return;
  }
  program.put("tips/pump.md", kPump);
  program.put("tips/crlf.md", "---\r\nid: crlf\r\ntitle: Kept\r\n---\r\n");
  program.put("jobs/bay-1/x.json", "{}");
  program.put("keys/cars/bay-1.key", "0");
  const std::string columns = "id,when,kind,end\n";
  program.put("records/bay-1/2026-03.csv", columns);
  const std::string one = program.beside("shop");
  const std::string two = program.beside("two");
  // Nobody's own settings: who commits, line endings, hooks.
  const auto git = [&](const std::string& folder, const std::string& arguments) {
    const std::string command =
        "cd '" + folder + "' && GIT_CONFIG_NOSYSTEM=1 HOME='" + program.beside("home") +
        "' git -c user.name=bay -c user.email=bay@example.invalid -c core.autocrlf=true "
        "-c merge.baylore.driver=\"'" BAYLORE_PROGRAM "' merge %O %A %B %P\" " +
        arguments + " >'" + program.beside("git") + "' 2>&1";
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  };
  const auto said = [&] { return program.get("../git"); };
  REQUIRE(git(one, "init -q -b main") == 0);
  REQUIRE(git(one, "add -A") == 0);
  REQUIRE(git(one, "commit -q -m start") == 0);
  REQUIRE(git(one, "ls-files") == 0);
  CHECK(said().find("jobs/") == std::string::npos);
  CHECK(said().find("keys/cars") == std::string::npos);
  CHECK(said().find("records/bay-1/2026-03.csv") != std::string::npos);
  REQUIRE(git(program.beside(""), "clone -q shop two") == 0);
  CHECK(program.get("../two/tips/crlf.md") == "---\r\nid: crlf\r\ntitle: Kept\r\n---\r\n");

  // Both add a bolt and a list item at one place, records at one end, and a tip of one name.
  const auto bolt = [](const std::string& name) {
    return std::string(kPump) + "\n### " + name + "\n- torque: 9 N·m\n";
  };
  program.put("tips/pump.md", bolt("Housing bolts"));
  program.put("records/bay-1/2026-03.csv", columns + "1,a,b,.\n");
  REQUIRE(git(one, "commit -q -a -m one") == 0);
  program.put("../two/tips/pump.md", bolt("Cover bolts"));
  program.put("../two/records/bay-1/2026-03.csv", columns + "2,a,b,.\n");
  REQUIRE(git(two, "commit -q -a -m two") == 0);
  CHECK_MESSAGE(git(two, "pull -q --no-rebase --no-edit") == 0, said());
  const std::string merged = program.get("../two/tips/pump.md");
  CHECK(merged.find("### Cover bolts") != std::string::npos);
  CHECK(merged.find("### Housing bolts") != std::string::npos);
  CHECK(program.get("../two/records/bay-1/2026-03.csv").find("2,a,b,.\n1,a,b,.\n") !=
        std::string::npos);

  // Both changed one thing: both stand in the file, and git waits for a person.
  program.put("tips/pump.md", with("Low tank", "Empty tank"));
  REQUIRE(git(one, "commit -q -a -m one") == 0);
  program.put("../two/tips/pump.md", with("Low tank", "Foaming tank"));
  REQUIRE(git(two, "commit -q -a -m two") == 0);
  CHECK(git(two, "pull -q --no-rebase --no-edit") == 1);
  const std::string open = program.get("../two/tips/pump.md");
  CHECK(open.find("Foaming tank each morning.") != std::string::npos);
  CHECK(open.find("Empty tank each morning.") != std::string::npos);
  REQUIRE(git(two, "diff --name-only --diff-filter=U") == 0);
  CHECK(said() == "tips/pump.md\n");
  // What waits is told by the check.
  const Ran checked = program.run_plain("check --shop '" + two + "'");
  CHECK(checked.code == 1);
  CHECK(checked.err.find("tips/pump.md:") != std::string::npos);
  CHECK(checked.err.find("both sides of a merge stand here") != std::string::npos);
}
