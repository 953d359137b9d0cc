#include "shop/records.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "files/names.h"
#include "files/save.h"
#include "shop/notes.h"
#include "shop/scan.h"

namespace baylore::shop {
namespace {

using files::Failure;

// The order is part of the format. `end` holds a full stop and stays last: a line that was torn
// while it was written lacks it.
constexpr std::array<std::string_view, 22> kColumns = {
    "id",    "when",   "kind",   "tip",   "who",   "text",     "refers",  "corrects",
    "job",   "result", "reason", "used",  "part",  "odometer", "minutes", "make",
    "model", "year",   "engine", "codes", "order", "end"};
constexpr std::string_view kEnd = ".";

std::string column_line() { return csv_line(record_columns()); }

// Whether the last column line of the file is this version's.
bool has_columns(std::string_view bytes) {
  const scan::Lines lines(bytes);
  bool has = false;
  for (int line = 1; line <= lines.count(); ++line) {
    if (lines.text(line).substr(0, 3) == "id,")
      has = lines.text(line) == column_line() && !lines.ending(line).empty();
  }
  return has;
}

Failure refused(std::string what) {
  return {Failure::Kind::other, {}, std::move(what), "report this: the record was not written"};
}

// The columns of a file as they are read into a record: where each of the fixed ones stands, and
// the others in the order of their names.
struct Places {
  explicit Places(const std::vector<std::string>& columns) : count(columns.size()) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      if (columns[i] == "id") {
        id = i;
      } else if (columns[i] == "when") {
        when = i;
      } else if (columns[i] == "kind") {
        kind = i;
      } else if (columns[i] == "end") {
        end = i;
      } else {
        fields.push_back(i);
      }
    }
    std::stable_sort(fields.begin(), fields.end(),
                     [&](std::size_t a, std::size_t b) { return columns[a] < columns[b]; });
  }
  static constexpr std::size_t kNowhere = static_cast<std::size_t>(-1);
  std::size_t count;
  std::size_t id = kNowhere, when = kNowhere, kind = kNowhere, end = kNowhere;
  std::vector<std::size_t> fields;
};

// One line of values under the columns named above it, which are moved out; nullopt when it was
// torn or is no record.
std::optional<Record> record_of(const std::vector<std::string>& columns, const Places& places,
                                std::vector<std::string>& values) {
  const auto there = [&](std::size_t place) { return place != Places::kNowhere; };
  if (values.size() != places.count || !there(places.id) || !there(places.kind))
    return std::nullopt;
  if (!there(places.end) || values[places.end] != kEnd) return std::nullopt;
  if (!files::is_id(values[places.id]) || values[places.kind].empty()) return std::nullopt;
  Record record;
  std::size_t room = 0;
  for (const std::size_t place : places.fields) {
    if (!values[place].empty()) room += columns[place].size() + values[place].size() + 2;
  }
  record.fields.reserve(room);
  record.id = std::move(values[places.id]);
  record.kind = std::move(values[places.kind]);
  if (there(places.when)) record.when = std::move(values[places.when]);
  for (const std::size_t place : places.fields) {
    if (!values[place].empty()) record.fields.set(columns[place], values[place]);
  }
  return record;
}

// Why a line that was written to its end is no record; empty when it was not.
std::string fault_of(const std::vector<std::string>& columns, const Places& places,
                     const std::vector<std::string>& values) {
  if (values.back() != kEnd) return {};
  if (values.size() != places.count) {
    return fmt::format("{} fields stand under {} columns", values.size(), columns.size());
  }
  const auto there = [&](std::size_t place) { return place != Places::kNowhere; };
  if (!there(places.id) || !there(places.kind) || !there(places.end))
    return "the columns above do not say which is `id`, `kind` and `end`";
  if (!files::is_id(values[places.id]))
    return fmt::format("`{}` cannot be the id of a record", excerpt(values[places.id]));
  return values[places.kind].empty() ? "a record without a kind" : "";
}

auto in_order(const Record& r) { return std::tie(r.id, r.when, r.kind, r.fields); }

// The set union by id. Two records of one id that differ come from a damaged or copied file; which
// one stays depends on their content only, so that every terminal keeps the same.
void unite(Records& records) {
  std::sort(records.records.begin(), records.records.end(), comes_before);
  Notes notes("records", records.findings);
  for (std::size_t i = 1; i < records.records.size(); ++i) {
    const Record& kept = records.records[i - 1];
    if (kept.id != records.records[i].id || kept == records.records[i]) continue;
    notes.add(Level::warning, 1, 1, "record",
              fmt::format("two records that differ have the id {}", kept.id),
              "look at both: the smaller in byte order counts");
  }
  const auto same = [](const Record& a, const Record& b) { return a.id == b.id; };
  records.records.erase(std::unique(records.records.begin(), records.records.end(), same),
                        records.records.end());
}

}  // namespace

namespace {

// The field that begins at `at`, and where the next one does.
RecordFields::Field field_at(std::string_view text, std::size_t at, std::size_t& next) {
  const std::size_t name_end = text.find('\n', at);
  const std::size_t value_end = text.find('\n', name_end + 1);
  next = value_end + 1;
  return {text.substr(at, name_end - at), text.substr(name_end + 1, value_end - name_end - 1)};
}

}  // namespace

std::string_view RecordFields::operator[](std::string_view name) const {
  std::size_t next = 0;
  for (std::size_t at = 0; at < text_.size(); at = next) {
    const Field field = field_at(text_, at, next);
    if (field.first == name) return field.second;
    if (field.first > name) break;
  }
  return {};
}

void RecordFields::set(std::string_view name, std::string_view value) {
  // A file's columns come in the order of their names: usually the new field is the last.
  std::size_t next = 0;
  if (text_.empty() || field_at(text_, last_, next).first < name) {
    if (!value.empty()) append(name, value);
    return;
  }
  const std::string before = std::move(text_);
  text_.clear();
  bool placed = value.empty();
  for (std::size_t at = 0; at < before.size(); at = next) {
    const Field field = field_at(before, at, next);
    if (!placed && field.first >= name) {
      append(name, value);
      placed = true;
    }
    if (field.first != name) append(field.first, field.second);
  }
}

void RecordFields::append(std::string_view name, std::string_view value) {
  last_ = text_.size();
  text_ += name;
  text_ += '\n';
  const std::size_t from = text_.size();
  text_ += value;
  std::replace(text_.begin() + static_cast<std::ptrdiff_t>(from), text_.end(), '\n', ' ');
  text_ += '\n';
}

std::vector<RecordFields::Field> RecordFields::all() const {
  std::vector<Field> fields;
  std::size_t next = 0;
  for (std::size_t at = 0; at < text_.size(); at = next)
    fields.push_back(field_at(text_, at, next));
  return fields;
}

std::optional<std::int64_t> instant_of(std::string_view when) {
  std::size_t at = 0;
  bool ok = true;
  const auto number = [&](int digits) {
    std::int64_t value = 0;
    for (int i = 0; i < digits; ++i, ++at) {
      if (at >= when.size() || when[at] < '0' || when[at] > '9') {
        ok = false;
        return std::int64_t{0};
      }
      value = value * 10 + (when[at] - '0');
    }
    return value;
  };
  const auto next_is = [&](char c) {
    if (at >= when.size() || when[at] != c) return false;
    ++at;
    return true;
  };
  const auto expect = [&](char c) { ok = next_is(c) && ok; };
  const auto year = static_cast<int>(number(4));
  expect('-');
  const auto month = static_cast<unsigned>(number(2));
  expect('-');
  const auto day = static_cast<unsigned>(number(2));
  expect('T');
  const std::int64_t hour = number(2);
  expect(':');
  const std::int64_t minute = number(2);
  std::int64_t second = 0;
  std::int64_t milliseconds = 0;
  if (ok && next_is(':')) {
    second = number(2);
    if (ok && next_is('.')) {
      std::int64_t worth = 100;
      const std::size_t from = at;
      for (; at < when.size() && when[at] >= '0' && when[at] <= '9'; ++at, worth /= 10)
        milliseconds += worth * (when[at] - '0');
      ok = at > from;
    }
  }
  std::int64_t offset = 0;
  if (ok && !next_is('Z')) {
    const bool west = next_is('-');
    if (!west) expect('+');
    const std::int64_t hours = number(2);
    next_is(':');
    const std::int64_t minutes = number(2);
    if (hours > 14 || minutes > 59) ok = false;
    offset = (hours * 60 + minutes) * (west ? -1 : 1);
  }
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month),
                                         std::chrono::day(day)};
  // A leap second is written as 60.
  if (!ok || at != when.size() || !date.ok() || hour > 23 || minute > 59 || second > 60)
    return std::nullopt;
  const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
  return (((days * 24 + hour) * 60 + minute - offset) * 60 + second) * 1000 + milliseconds;
}

std::vector<std::string> record_columns() { return {kColumns.begin(), kColumns.end()}; }

std::string record_line(const Record& record) {
  std::vector<std::string> values = {record.id, record.when, record.kind};
  for (auto column = kColumns.begin() + 3; column != kColumns.end() - 1; ++column) {
    values.emplace_back(record.fields[*column]);
  }
  values.emplace_back(kEnd);
  return csv_line(values);
}

std::string csv_line(const std::vector<std::string>& fields) {
  std::string out;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (i > 0) out += ',';
    std::string field = fields[i];
    std::replace_if(
        field.begin(), field.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
    const bool quoted = field.find_first_of(",\"") != std::string::npos ||
                        (!field.empty() && (field.front() == ' ' || field.back() == ' '));
    if (!quoted) {
      out += field;
      continue;
    }
    out += '"';
    for (const char c : field) {
      if (c == '"') out += '"';
      out += c;
    }
    out += '"';
  }
  return out;
}

bool read_csv_line(std::string_view line, std::vector<std::string>& into) {
  into.clear();
  std::size_t at = 0;
  while (true) {
    std::string field;
    if (at < line.size() && line[at] == '"') {
      for (++at;; ++at) {
        if (at >= line.size()) return false;
        if (line[at] != '"') {
          field += line[at];
        } else if (at + 1 < line.size() && line[at + 1] == '"') {
          field += line[++at];
        } else {
          break;
        }
      }
      ++at;
      if (at < line.size() && line[at] != ',') return false;
    } else {
      const std::size_t comma = std::min(line.find(',', at), line.size());
      field.assign(line.substr(at, comma - at));
      at = comma;
    }
    into.push_back(std::move(field));
    if (at >= line.size()) return true;
    ++at;  // the comma
  }
}

files::Result<void> append_record(files::Disk& disk, const std::string& shop_folder,
                                  const std::string& terminal, const Record& record) {
  if (!files::is_id(terminal))
    return refused(fmt::format("`{}` cannot be a terminal's folder", terminal));
  if (!files::is_id(record.id))
    return refused(fmt::format("`{}` cannot be a record's id", record.id));
  if (record.kind.empty()) return refused("a record without a kind");
  if (!instant_of(record.when))
    return refused(fmt::format("`{}` is no time with an offset", record.when));
  for (const auto& field : record.fields.all()) {
    if (std::find(kColumns.begin() + 3, kColumns.end() - 1, field.first) == kColumns.end() - 1) {
      return refused(fmt::format("`{}` has no column", field.first));
    }
  }
  const std::string path = files::join(files::join(files::join(shop_folder, "records"), terminal),
                                       record.when.substr(0, 7) + ".csv");
  const auto held = disk.read(path, files::kTextLimit);
  if (!held && held.failure().kind != Failure::Kind::missing) return held.failure();
  if (!held || !has_columns(*held)) {
    if (auto done = files::append_line(disk, path, column_line()); !done) return done;
  }
  return files::append_line(disk, path, record_line(record));
}

std::size_t read_more_records(std::string_view bytes, const std::string& file,
                              RecordColumns& columns, Records& into, int& torn) {
  Notes notes(file, into.findings);
  const scan::Lines lines(bytes);
  if (columns.names.empty()) columns.names = record_columns();
  torn = 0;
  Places places(columns.names);
  std::vector<std::string> values;
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view text = lines.text(line);
    const bool ended = !lines.ending(line).empty();
    if (scan::is_blank(text)) {
      if (ended) ++columns.lines;
      continue;
    }
    const bool whole = read_csv_line(text, values);
    const bool names = whole && values.front() == "id";
    // A column line that was torn has no `end`; the writer puts a new one under it.
    if (names && values.back() == "end" && ended) {
      columns.names = values;
      places = Places(columns.names);
    }
    auto record = whole && !names ? record_of(columns.names, places, values) : std::nullopt;
    if (!record && !ended) {
      torn = columns.lines + 1;
      return lines.start(line);
    }
    ++columns.lines;
    if (record) {
      into.records.push_back(std::move(*record));
    } else if (!names) {
      Finding left = torn_line(file, columns.lines);
      if (const std::string fault = whole ? fault_of(columns.names, places, values) : "";
          !fault.empty()) {
        left.message = fault;
        left.remedy = "look at the line: it was written to its end, and does not count";
      }
      notes.add(left.level, left.line, left.column, left.rule, left.message, left.remedy);
    }
  }
  return bytes.size();
}

Finding torn_line(const std::string& file, int line) {
  return {file,
          line,
          1,
          Level::warning,
          "record",
          "a line that was not written to its end is left aside",
          "nothing to do if the terminal lost power; else look at the line"};
}

bool is_record_file(std::string_view path) {
  return path.size() >= 4 && path.substr(path.size() - 4) == ".csv";
}

bool comes_before(const Record& a, const Record& b) { return in_order(a) < in_order(b); }

void read_records(std::string_view bytes, const std::string& file, Records& into) {
  RecordColumns columns;
  int torn = 0;
  read_more_records(bytes, file, columns, into, torn);
  if (torn > 0) into.findings.push_back(torn_line(file, torn));
}

Records read_records(files::Disk& disk, const std::string& shop_folder) {
  Records records;
  const auto listed = disk.list(files::join(shop_folder, "records"));
  if (!listed) {
    if (listed.failure().kind != Failure::Kind::missing) {
      Notes("records", records.findings)
          .add(Level::error, 1, 1, "file", listed.failure().what, listed.failure().remedy);
    }
    return records;
  }
  for (const files::Listed& one : *listed) {
    const std::string path = files::join("records", one.path);
    Notes notes(path, records.findings);
    if (one.status.unreadable) {
      notes.add(Level::error, 1, 1, "file", "a folder that cannot be read",
                "let this terminal read it");
    }
    if (one.status.folder || !is_record_file(one.path)) continue;
    const auto text = disk.read(files::join(shop_folder, path), files::kTextLimit);
    if (text) {
      read_records(*text, path, records);
    } else {
      notes.add(Level::error, 1, 1, "file", text.failure().what, text.failure().remedy);
    }
  }
  unite(records);
  return records;
}

std::vector<Question> open_questions(const Records& records) {
  std::set<std::string> settled;
  const auto field = [](const Record& record, const char* name) {
    return std::string(record.fields[name]);
  };
  for (const Record& record : records.records) {
    if (record.kind == "settled") settled.insert(field(record, "refers"));
  }
  std::vector<Question> open;
  for (const Record& record : records.records) {
    if (record.kind != "question" || settled.count(record.id) != 0) continue;
    open.push_back({record.id, field(record, "tip"), field(record, "who"), record.when,
                    field(record, "text")});
  }
  return open;
}

}  // namespace baylore::shop
