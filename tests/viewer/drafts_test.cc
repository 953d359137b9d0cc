#include "viewer/services/drafts.h"

#include <doctest/doctest.h>

#include "files/names.h"
#include "support/scratch.h"
#include "viewer/services/waiting.h"

namespace {

using baylore::test::Scratch;
using baylore::viewer::Draft;
using baylore::viewer::read_drafts;
using baylore::viewer::remove_draft;
using baylore::viewer::WaitingJobs;
using baylore::viewer::write_draft;

baylore::files::Disk& disk() { return baylore::files::real_disk(); }

}  // namespace

TEST_CASE("a draft goes there and back byte for byte") {
  const Scratch at;
  const Draft draft{"01JTESTDRAFT", "tips/cooling/a.md", "---\r\ntitle: é\r\n---\r\n",
                    "---\ntitle: \"q\" \\ \t \x01\n---\n\n## Symptom\n≥ 95 kPa \U0001F527\n"};
  REQUIRE(write_draft(disk(), at.folder(), draft));
  const auto read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 1);
  CHECK(read[0].id == draft.id);
  CHECK(read[0].path == draft.path);
  CHECK(read[0].before == draft.before);
  CHECK(read[0].text == draft.text);
  CHECK(at.has("drafts/01JTESTDRAFT.json"));
  CHECK(at.left_behind().empty());
}

TEST_CASE("keeping it again takes the place of the earlier one, and it can be taken away") {
  const Scratch at;
  REQUIRE(write_draft(disk(), at.folder(), {"a1", "", "", "one"}));
  REQUIRE(write_draft(disk(), at.folder(), {"a1", "", "", "two"}));
  REQUIRE(write_draft(disk(), at.folder(), {"a2", "", "", "other"}));
  auto read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 2);
  CHECK(read[0].text == "two");
  CHECK(read[1].text == "other");
  CHECK(remove_draft(disk(), at.folder(), "a1"));
  read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 1);
  CHECK(read[0].id == "a2");
}

TEST_CASE("an older draft comes first") {
  const Scratch at;
  // New ids sort by time.
  const std::string first = baylore::files::new_id().replace(0, 10, "01JAAAAAAA");
  const std::string second = baylore::files::new_id().replace(0, 10, "01JBBBBBBB");
  REQUIRE(write_draft(disk(), at.folder(), {second, "", "", "2"}));
  REQUIRE(write_draft(disk(), at.folder(), {first, "", "", "1"}));
  const auto read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 2);
  CHECK(read[0].text == "1");
}

TEST_CASE("typed bytes that are no UTF-8 do not stop the keeping") {
  const Scratch at;
  REQUIRE(write_draft(disk(), at.folder(), {"a1", "", "", "good \xFF bad"}));
  const auto read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 1);
  CHECK(read[0].text == "good \uFFFD bad");
}

TEST_CASE("what is no draft is left alone and skipped") {
  const Scratch at;
  CHECK(read_drafts(disk(), at.folder()).empty());
  at.put("drafts/torn.json", "{\"id\": \"torn\", \"te");
  at.put("drafts/list.json", "[1, 2]");
  at.put("drafts/other.json", "{\"id\": \"a different one\", \"text\": \"x\"}");
  at.put("drafts/numbers.json", "{\"id\": 7, \"text\": 8}");
  at.put("drafts/notes.txt", "mine");
  at.put("drafts/empty.json", "");
  REQUIRE(write_draft(disk(), at.folder(), {"a1", "", "", "good"}));
  const auto read = read_drafts(disk(), at.folder());
  REQUIRE(read.size() == 1);
  CHECK(read[0].text == "good");
  CHECK(at.get("drafts/notes.txt") == "mine");
  CHECK(at.has("drafts/torn.json"));
}

TEST_CASE("an id that would climb out of the folder is refused") {
  const Scratch at;
  for (const char* id : {"", "..", "../a", "a/b", "a b"}) {
    CAPTURE(id);
    CHECK_FALSE(write_draft(disk(), at.folder(), {id, "", "", "x"}));
  }
  CHECK(at.files().empty());
}

TEST_CASE("of a job that waits and the shop's, the one touched last counts") {
  const Scratch at;
  baylore::job::Job job;
  job.id = "j1";
  job.touched = "2026-03-14T10:00:00+01:00";
  job.line = "older";
  WaitingJobs waiting(disk(), at.folder());
  REQUIRE(waiting.keep(job));
  // A start reads it again; what the shop has was touched a second later, in another zone.
  WaitingJobs again(disk(), at.folder());
  again.read();
  REQUIRE(again.jobs().size() == 1);
  baylore::job::Job newer = job;
  newer.touched = "2026-03-14T09:00:01Z";
  newer.line = "newer";
  std::vector<baylore::job::Job> jobs = {newer};
  again.put_over(jobs);
  CHECK(jobs.at(0).line == "newer");
  again.drop_older_than({newer});
  CHECK(again.jobs().empty());
  CHECK_FALSE(at.has("waiting/j1.json"));
  // And the other way about.
  REQUIRE(again.keep(newer));
  jobs = {job};
  again.put_over(jobs);
  CHECK(jobs.at(0).line == "newer");
  again.drop_older_than({job});
  CHECK(again.jobs().size() == 1);
}
