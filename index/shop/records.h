// Records: append-only CSV (RFC 4180) in records/TERMINAL/YYYY-MM.csv. One writer per file; reading takes the union by
// id, in any order, any number of times. The first line names the columns, so that later versions may add some.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "files/disk.h"
#include "shop/finding.h"

namespace baylore::shop {

struct Record {
  std::string id;    // ULID, unique without a server
  std::string when;  // ISO 8601 with offset
  std::string kind;  // "question", "settled" ...
  std::map<std::string, std::string> fields;  // "tip", "who", "text", "refers" ...
};

// Appends one record to the terminal's own file of the record's month, writing the column line first when the file is new. The columns of
// this version are fixed in records.cc and named in DEVELOPERS.md.
files::Result<void> append_record(files::Disk& disk, const std::string& shop_folder, const std::string& terminal, const Record& record);

struct Records {
  std::vector<Record> records;  // unique by id, sorted by id
  Findings findings;            // torn last lines, lines with too few columns, unreadable files: set aside, never fatal
};
Records read_records(files::Disk& disk, const std::string& shop_folder);

// A reader's doubt about a tip, open until a lead settles it.
struct Question {
  std::string id;
  std::string tip;
  std::string who;
  std::string when;
  std::string text;
};
std::vector<Question> open_questions(const Records& records);

}  // namespace baylore::shop
