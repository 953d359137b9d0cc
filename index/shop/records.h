// Records: append-only CSV (RFC 4180) in records/TERMINAL/YYYY-MM.csv. One writer per file; reading
// takes the union by id, in any order, any number of times. The first line names the columns, so
// that later versions may add some.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/disk.h"
#include "shop/finding.h"

namespace baylore::shop {

// The named fields of a record, in one text: a shop of many years holds a hundred thousand records,
// and a map would take eight times the room. A line break in a value becomes a blank, as it does in
// the file.
class RecordFields {
 public:
  using Field = std::pair<std::string_view, std::string_view>;
  RecordFields() = default;
  RecordFields(std::initializer_list<Field> fields) {
    for (const auto& [name, value] : fields) set(name, value);
  }

  // The field's value; empty when there is none. Views hold until the next set().
  std::string_view operator[](std::string_view name) const;
  // Names hold no line break. An empty value takes the field away.
  void set(std::string_view name, std::string_view value);
  [[nodiscard]] std::vector<Field> all() const;  // by name
  // Room for names and values of so many bytes, two more a field.
  void reserve(std::size_t bytes) { text_.reserve(bytes); }
  bool operator==(const RecordFields& other) const { return text_ == other.text_; }
  bool operator<(const RecordFields& other) const { return text_ < other.text_; }

 private:
  void append(std::string_view name, std::string_view value);
  std::string text_;      // name, line feed, value, line feed; by name
  std::size_t last_ = 0;  // where the last field begins
};

struct Record {
  std::string id;       // ULID, unique without a server
  std::string when;     // ISO 8601 with offset
  std::string kind;     // "question", "settled", "outcome" ...
  RecordFields fields;  // "tip", "who", "text", "refers" ...
  bool operator==(const Record&) const = default;
};

// Milliseconds since 1970-01-01 UTC of an ISO 8601 time with offset:
// `2026-03-14T10:47:03.120+01:00`, seconds and their fraction may be missing, the offset may be
// `Z`. Nothing for any other text.
std::optional<std::int64_t> instant_of(std::string_view when);

// Appends one record to the terminal's own file of the record's month, writing the column line
// first when the file has none of this version. FORMAT.md names the columns and what each holds. A
// line break inside a field becomes a blank: a record is one line. Refused (`other`) are an id or a
// terminal that is no id, an empty kind, a `when` that is no time with an offset, and a field
// without a column.
files::Result<void> append_record(files::Disk& disk, const std::string& shop_folder,
                                  const std::string& terminal, const Record& record);

// The columns of this version in their order, `end` last.
std::vector<std::string> record_columns();
// The record as a line of these, without its line ending; a field without a column is left out.
std::string record_line(const Record& record);

// One line of CSV after RFC 4180, without its line ending: a field with a comma or a quote is
// quoted.
std::string csv_line(const std::vector<std::string>& fields);
// The fields of one line; false when a quote has no end or something follows one.
bool read_csv_line(std::string_view line, std::vector<std::string>& into);

// What one file's bytes hold; `file` names it in findings. A line counts when it ends in the `end`
// column's full stop, so that a torn one never does. Columns that this version does not know are
// kept in `fields`.
struct Records;
void read_records(std::string_view bytes, const std::string& file, Records& into);

// What reading a file by pieces keeps between them.
struct RecordColumns {
  std::vector<std::string> names;  // empty: this version's
  int lines = 0;                   // read so far
};
// As read_records, for the next piece of a file, which starts on a line of its own. Returns how
// many bytes are done with: all but a last line without an ending that holds no whole record. Such
// a line is in `torn`, by its number, 0 when there is none.
std::size_t read_more_records(std::string_view bytes, const std::string& file,
                              RecordColumns& columns, Records& into, int& torn);

struct Records {
  std::vector<Record> records;  // unique by id, sorted by id (after read_records of a shop)
  Findings findings;  // torn last lines, lines with too few columns, unreadable files: set aside,
                      // never fatal
};
// A line that was not written to its end, as a finding.
Finding torn_line(const std::string& file, int line);
// Whether a path below records/ holds records.
bool is_record_file(std::string_view path);
// Which of two records with one id counts, everywhere: the smaller in byte order.
bool comes_before(const Record& a, const Record& b);

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
