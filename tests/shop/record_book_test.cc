#include "shop/record_book.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <thread>

#include "support/failing_disk.h"
#include "support/scratch.h"

using namespace baylore;
using namespace baylore::shop;

namespace {

const std::string kHeader = "id,when,kind,tip,who,text,refers,end\n";

std::string line(const std::string& id, const std::string& text = "x") {
  return id + ",2026-03-14T10:00:00Z,question,tip-1,A," + text + ",,.\n";
}

std::vector<Record> sorted(const RecordBook& book) {
  std::vector<Record> records = book.records();
  std::sort(records.begin(), records.end(), comes_before);
  return records;
}

}  // namespace

TEST_CASE("what was appended since is read, and only that") {
  const test::Scratch scratch;
  std::string file = kHeader;
  for (int i = 0; i < 2000; ++i) file += line("q" + std::to_string(i));
  scratch.put("records/bay-1/2026-03.csv", file);
  scratch.put("records/bay-2/2026-03.csv", kHeader + line("r1"));
  files::Disk& disk = files::real_disk();
  RecordBook book;
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.records().size() == 2001);
  const std::uint64_t edition = book.edition();
  CHECK_FALSE(book.update(disk, scratch.folder()));

  // Nobody changes the lines that are there; if somebody does, reading on does not see it.
  const std::string before = line("q0");
  file.replace(file.find(before), before.size(), line("Q0"));
  scratch.put("records/bay-1/2026-03.csv", file + line("new"));
  scratch.put("records/bay-3/2026-03.csv", kHeader + line("r2"));
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.records().size() == 2003);
  CHECK(book.edition() == edition);
  REQUIRE(book.find("new") != nullptr);
  CHECK(book.find("new")->fields["text"] == "x");
  CHECK(book.find("gone") == nullptr);
  CHECK(book.find("Q0") == nullptr);
  CHECK(book.findings().empty());
}

TEST_CASE("a line that is being written is read once it is whole") {
  const std::string first = kHeader + line("q1");
  const std::string second = line("q2", "\"one, two\"");
  for (std::size_t cut = 1; cut <= second.size(); ++cut) {
    const test::Scratch scratch;
    files::Disk& disk = files::real_disk();
    RecordBook book;
    scratch.put("records/bay-1/2026-03.csv", first + second.substr(0, cut));
    book.update(disk, scratch.folder());
    const bool whole = cut + 1 >= second.size();
    CAPTURE(cut);
    CHECK(book.records().size() == (whole ? 2U : 1U));
    CHECK(book.findings().size() == (whole ? 0U : 1U));
    scratch.put("records/bay-1/2026-03.csv", first + second + line("q3"));
    book.update(disk, scratch.folder());
    CHECK(book.records().size() == 3);
    CHECK(book.findings().empty());
    CHECK(book.edition() == 0);
  }
}

TEST_CASE("a file that was replaced, shortened or removed makes everything be read again") {
  const test::Scratch scratch;
  files::Disk& disk = files::real_disk();
  RecordBook book;
  scratch.put("records/bay-1/2026-03.csv", kHeader + line("q1") + line("q2"));
  scratch.put("records/bay-2/2026-03.csv", kHeader + line("r1"));
  book.update(disk, scratch.folder());

  scratch.put("records/bay-1/2026-03.csv", kHeader + line("q1"));
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.records().size() == 2);
  CHECK(book.edition() == 1);

  scratch.put("records/bay-1/2026-03.csv", kHeader + line("q9") + line("q8"));
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.find("q1") == nullptr);
  CHECK(book.find("q8") != nullptr);

  std::filesystem::remove(scratch.path("records/bay-2/2026-03.csv"));
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.find("r1") == nullptr);
  CHECK(book.records().size() == 2);

  // The very same size, another id.
  scratch.put("records/bay-1/2026-03.csv", kHeader + line("q7") + line("q6"));
  CHECK(book.update(disk, scratch.folder()));
  CHECK(book.find("q6") != nullptr);
}

TEST_CASE("a folder that does not answer forgets nothing") {
  const test::Scratch scratch;
  RecordBook book;
  scratch.put("records/bay-1/2026-03.csv", kHeader + line("q1"));
  book.update(files::real_disk(), scratch.folder());
  test::FailingDisk disk(files::real_disk());
  disk.fail_at(1, test::FailingDisk::How::forever, files::Failure::Kind::gone);
  CHECK_FALSE(book.update(disk, scratch.folder()));
  CHECK(book.records().size() == 1);
  CHECK(book.findings().size() == 1);
  book.update(files::real_disk(), scratch.folder());
  CHECK(book.findings().empty());
}

TEST_CASE("growing file by file in any pieces gives what reading it all at once gives") {
  std::mt19937 random(17);
  for (int round = 0; round < 40; ++round) {
    const test::Scratch scratch;
    RecordBook book;
    std::vector<std::string> files(1 + random() % 3, kHeader);
    for (int step = 0; step < 8; ++step) {
      for (std::size_t f = 0; f < files.size(); ++f) {
        for (std::size_t n = random() % 4; n > 0; --n) {
          // Few ids, so that the same ones meet; some of them with other contents.
          std::string next =
              line("q" + std::to_string(random() % 25), random() % 5 == 0 ? "other" : "x");
          if (random() % 7 == 0) next = next.substr(0, random() % next.size()) + "\n";  // torn
          if (random() % 9 == 0)
            next = "id,when,kind,mood,end\nm" + std::to_string(random() % 5) +
                   ",2026-03-14T10:00:00Z,question,bad,.\n" + kHeader;
          files[f] += next;
        }
        scratch.put("records/bay-" + std::to_string(f) + "/2026-03.csv", files[f]);
      }
      book.update(files::real_disk(), scratch.folder());
      REQUIRE(sorted(book) == read_records(files::real_disk(), scratch.folder()).records);
    }
  }
}

TEST_CASE("two terminals append while a third reads: nothing is lost and nothing twice") {
  const test::Scratch scratch;
  constexpr int kEach = 150;
  const auto write = [&](const std::string& terminal) {
    for (int i = 0; i < kEach; ++i) {
      const Record record{terminal + "." + std::to_string(i),
                          "2026-03-14T10:00:00Z",
                          "question",
                          {{"tip", "tip-1"}, {"text", "number " + std::to_string(i)}}};
      CHECK(append_record(files::real_disk(), scratch.folder(), terminal, record));
    }
  };
  std::thread one(write, "bay-1");
  std::thread two(write, "bay-2");
  RecordBook book;
  for (int i = 0; i < 50; ++i) book.update(files::real_disk(), scratch.folder());
  one.join();
  two.join();
  book.update(files::real_disk(), scratch.folder());
  CHECK(book.records().size() == 2 * kEach);
  CHECK(book.findings().empty());
  CHECK(sorted(book) == read_records(files::real_disk(), scratch.folder()).records);
}
