#include "shop/records.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>

#include "files/names.h"
#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;
using Texts = std::vector<std::string>;

namespace {

Record question(const std::string& id, const std::string& text,
                const std::string& when = "2026-03-14T10:00:00.000+01:00") {
  return {id, when, "question", {{"tip", "tip-1"}, {"who", "L. Adeyemi"}, {"text", text}}};
}

Texts ids(const Records& records) {
  Texts out;
  for (const Record& r : records.records) out.push_back(r.id);
  return out;
}

// The columns as the version before outcomes wrote them; files of it are read for ever.
const std::string kHeader = "id,when,kind,tip,who,text,refers,end\n";
const std::string kHeaderNow =
    "id,when,kind,tip,who,text,refers,corrects,job,result,reason,used,part,odometer,minutes,make,"
    "model,year,engine,codes,order,end\n";

}  // namespace

TEST_CASE("a field with a comma or a quote is quoted as RFC 4180, section 2 has it") {
  // The examples of its rules 5 to 7; rule 6's line break becomes a blank, as a record is one line.
  CHECK(csv_line({"aaa", "bbb", "ccc"}) == "aaa,bbb,ccc");
  CHECK(csv_line({"aaa", "b\"bb", "ccc"}) == "aaa,\"b\"\"bb\",ccc");
  CHECK(csv_line({"aaa", "b\r\nbb", "c,c"}) == "aaa,b  bb,\"c,c\"");
  Texts fields;
  CHECK(read_csv_line("\"aaa\",\"bbb\",\"ccc\"", fields));
  CHECK(fields == Texts{"aaa", "bbb", "ccc"});
  CHECK(read_csv_line("\"aaa\",\"b\"\"bb\",ccc", fields));
  CHECK(fields == Texts{"aaa", "b\"bb", "ccc"});
  CHECK(read_csv_line("a,,", fields));
  CHECK(fields == Texts{"a", "", ""});
  CHECK_FALSE(read_csv_line("a,\"b", fields));
  CHECK_FALSE(read_csv_line("a,\"b\"c", fields));
}

TEST_CASE("any fields come back from a line as they went in") {
  std::mt19937 random(7);
  const std::string letters = "ab,\"' ;|\t\xC3\xA9=";
  for (int i = 0; i < 20000; ++i) {
    Texts fields(1 + random() % 6);
    for (std::string& field : fields) {
      for (std::size_t n = random() % 8; n > 0; --n) field += letters[random() % letters.size()];
    }
    Texts back;
    REQUIRE(read_csv_line(csv_line(fields), back));
    REQUIRE(back == fields);
  }
}

TEST_CASE("records are appended to the terminal's file of their month and read back") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  REQUIRE(append_record(disk, scratch.folder(), "bay-1",
                        question("q1", "is it \"14\", not 10?\nI think")));
  REQUIRE(append_record(disk, scratch.folder(), "bay-1", question("q2", "two")));
  REQUIRE(append_record(disk, scratch.folder(), "bay-2",
                        question("q3", "three", "2026-04-01T00:00:00Z")));
  REQUIRE(append_record(
      disk, scratch.folder(), "bay-2",
      {"s1", "2026-04-02T00:00:00Z", "settled", {{"refers", "q2"}, {"who", "R. Okoro"}}}));
  CHECK(scratch.get("records/bay-1/2026-03.csv") ==
        kHeaderNow +
            "q1,2026-03-14T10:00:00.000+01:00,question,tip-1,L. Adeyemi,\"is it \"\"14\"\", not "
            "10? I think\",,,,,,,,,,,,,,,,.\n"
            "q2,2026-03-14T10:00:00.000+01:00,question,tip-1,L. Adeyemi,two,,,,,,,,,,,,,,,,.\n");
  const Records records = read_records(disk, scratch.folder());
  CHECK(records.findings.empty());
  CHECK(ids(records) == Texts{"q1", "q2", "q3", "s1"});
  const auto open = open_questions(records);
  REQUIRE(open.size() == 2);
  CHECK(open[0].id == "q1");
  CHECK(open[0].text == "is it \"14\", not 10? I think");
  CHECK(open[0].tip == "tip-1");
  CHECK(open[0].who == "L. Adeyemi");
  CHECK(open[1].id == "q3");
}

TEST_CASE("what cannot be a record is refused before anything is written") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  const Record good = question("q1", "one");
  CHECK_FALSE(append_record(disk, scratch.folder(), "../x", good));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1", question("", "one")));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1", question("a/b", "one")));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1", question("q1", "one", "yesterday")));
  CHECK_FALSE(
      append_record(disk, scratch.folder(), "bay-1", question("q1", "one", "../../xx-2026")));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1", {"q1", good.when, "", {}}));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1",
                            {"q1", good.when, "question", {{"mood", "bad"}}}));
  CHECK_FALSE(append_record(disk, scratch.folder(), "bay-1",
                            {"q1", good.when, "question", {{"end", "."}}}));
  CHECK(scratch.files().empty());
}

TEST_CASE("a torn line is set aside wherever it was torn, and no other") {
  const std::string first = kHeader + "q1,2026-03-14,question,tip-1,A,\"one, two\",,.\n";
  const std::string second = "q2,2026-03-14,settled,tip-1,B,,q1,.";
  for (std::size_t cut = 0; cut <= second.size(); ++cut) {
    for (const bool mended : {false, true}) {  // whether a later line was put under it
      Records records;
      read_records(first + second.substr(0, cut) +
                       (mended ? "\nq3,2026-03-15,question,tip-1,C,three,,.\n" : ""),
                   "records/bay-1/2026-03.csv", records);
      const bool whole = cut == second.size();
      CAPTURE(cut);
      CHECK(records.records.size() == 1U + (whole ? 1U : 0U) + (mended ? 1U : 0U));
      CHECK(records.findings.size() == (whole || cut == 0 ? 0U : 1U));
      if (!records.findings.empty()) CHECK(records.findings[0].line == 3);
    }
  }
}

TEST_CASE("a torn column line does not spoil what follows") {
  for (std::size_t cut = 0; cut < kHeaderNow.size(); cut += 5) {
    const test::Scratch scratch;
    scratch.put("records/bay-1/2026-03.csv", kHeaderNow.substr(0, cut));
    REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-1", question("q1", "one")));
    REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-1", question("q2", "two")));
    const Records records = read_records(files::real_disk(), scratch.folder());
    CAPTURE(cut);
    CHECK(ids(records) == Texts{"q1", "q2"});
    CHECK(open_questions(records).size() == 2);
  }
}

TEST_CASE("columns are read by name, older and newer ones too") {
  Records records;
  read_records("id,when,kind,mood,text,end\nq1,2026-03-14,question,bad,one,.\n" + kHeader +
                   "q2,2026-03-14,question,tip-1,A,two,,.\n",
               "f", records);
  REQUIRE(records.records.size() == 2);
  CHECK(records.records[0].fields["mood"] == "bad");
  CHECK(records.records[0].fields["text"] == "one");
  CHECK(records.records[1].fields["tip"] == "tip-1");

  // And a file begun by another version gets this version's columns named before its next record.
  const test::Scratch scratch;
  scratch.put("records/bay-1/2026-03.csv", "id,when,kind,text,end\nq1,2026-03-14,question,one,.\n");
  REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-1", question("q2", "two")));
  const Records both = read_records(files::real_disk(), scratch.folder());
  CHECK(both.findings.empty());
  REQUIRE(both.records.size() == 2);
  CHECK(both.records[1].fields["who"] == "L. Adeyemi");
}

TEST_CASE("reading is a union by id: order and repetition of lines and files do not matter") {
  std::mt19937 random(11);
  Texts lines;
  for (int i = 0; i < 30; ++i) {
    lines.push_back("q" + std::to_string(i) + ",2026-03-14,question,tip-1,A,text " +
                    std::to_string(i) + ",,.\n");
  }
  lines.push_back("q5,2026-03-14,question,tip-1,A,another text of the same id,,.\n");
  Records expected;
  for (int round = 0; round < 20; ++round) {
    const test::Scratch scratch;
    std::vector<std::string> files(1 + random() % 4, kHeader);
    Texts drawn = lines;
    for (int again = 0; again < 10; ++again) drawn.push_back(lines[random() % lines.size()]);
    std::shuffle(drawn.begin(), drawn.end(), random);
    for (const std::string& line : drawn) files[random() % files.size()] += line;
    for (std::size_t f = 0; f < files.size(); ++f) {
      scratch.put("records/bay-" + std::to_string(f) + "/2026-03.csv", files[f]);
    }
    const Records records = read_records(files::real_disk(), scratch.folder());
    CHECK(records.records.size() == 30);
    if (round == 0) expected = records;
    REQUIRE(ids(records) == ids(expected));
    for (std::size_t i = 0; i < 30; ++i)
      CHECK(records.records[i].fields == expected.records[i].fields);
  }
}

TEST_CASE("whichever call fails while appending, the earlier records and the next one are read") {
  int points = 0;
  for (int point = 0; point == 0 || point <= points; ++point) {
    const test::Scratch scratch;
    REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-1", question("q1", "one")));
    test::FailingDisk disk(files::real_disk());
    disk.fail_at(point, test::FailingDisk::How::forever, files::Failure::Kind::full);
    const bool ok = append_record(disk, scratch.folder(), "bay-2", question("q2", "two")).ok() &&
                    append_record(disk, scratch.folder(), "bay-1", question("q3", "three")).ok();
    if (point == 0) points = disk.calls();
    CHECK(ok == (point == 0));
    REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-1", question("q4", "four")));
    REQUIRE(append_record(files::real_disk(), scratch.folder(), "bay-2", question("q5", "five")));
    const Texts read = ids(read_records(files::real_disk(), scratch.folder()));
    CAPTURE(point);
    for (const char* id : {"q1", "q4", "q5"}) CHECK(std::count(read.begin(), read.end(), id) == 1);
  }
  CHECK(points > 15);
}

TEST_CASE("fields are kept by name, whatever order they come in") {
  std::mt19937 random(13);
  const Texts names = {"tip", "who", "text", "used", "a", ""};
  for (int round = 0; round < 500; ++round) {
    std::map<std::string, std::string> expected;
    RecordFields fields;
    for (int step = 0; step < 12; ++step) {
      const std::string& name = names[random() % names.size()];
      const std::string value(random() % 4, static_cast<char>('a' + random() % 3));
      fields.set(name, value);
      expected[name] = value;
    }
    RecordFields again;
    for (const auto& [name, value] : expected) again.set(name, value);
    REQUIRE(again == fields);
    std::size_t filled = 0;
    for (const auto& [name, value] : expected) {
      REQUIRE(fields[name] == value);
      if (!value.empty()) ++filled;
    }
    REQUIRE(fields.all().size() == filled);
  }
  const RecordFields broken = {{"text", "two\nlines"}, {"who", "A"}};
  CHECK(broken["text"] == "two lines");
  CHECK(broken["who"] == "A");
  CHECK(broken["none"].empty());
}

TEST_CASE("times are read as ISO 8601 with an offset, and nothing else is a time") {
  // The same instant five ways: RFC 3339, section 5.8 has the first as an example of its own.
  CHECK(instant_of("1985-04-12T23:20:50.52Z") == 482196050520);
  CHECK(instant_of("1985-04-12T23:20:50.520+00:00") == 482196050520);
  CHECK(instant_of("1985-04-13T00:20:50.52+01:00") == 482196050520);
  CHECK(instant_of("1985-04-12T15:20:50.52-08:00") == 482196050520);
  CHECK(instant_of("1996-12-19T16:39:57-08:00") == instant_of("1996-12-20T00:39:57Z"));
  CHECK(instant_of("1970-01-01T00:00:00Z") == 0);
  CHECK(instant_of("2024-02-29T00:00Z").has_value());
  for (const char* text : {"", "2026", "2026-03-14", "2026-03-14T10:00:00", "2026-13-01T00:00:00Z",
                           "2026-02-29T00:00:00Z", "2026-03-14T24:00:00Z", "2026-03-14T10:60:00Z",
                           "2026-03-14T10:00:00.Z", "2026-03-14T10:00:00+25:00",
                           "2026-03-14T10:00:00Z ", "yesterday", "2026-3-14T10:00:00Z"}) {
    CAPTURE(text);
    CHECK_FALSE(instant_of(text).has_value());
  }
}

TEST_CASE("any bytes in a record file are survived") {
  std::mt19937 random(3);
  const std::string good =
      kHeader + "q1,2026-03-14,question,tip-1,A,\"one, two\",,.\nq2,2026-03-14,settled,,,,q1,.\n";
  for (int round = 0; round < 3000; ++round) {
    std::string bytes = good;
    for (std::size_t n = 1 + random() % 4; n > 0; --n)
      bytes[random() % bytes.size()] = static_cast<char>(random());
    Records records;
    read_records(bytes, "f", records);
    CHECK(records.records.size() <= 2 + 4);
  }
}
