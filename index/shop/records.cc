#include "shop/records.h"

#include <algorithm>
#include <array>
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
using files::Result;

// The order is part of the format. `end` holds a full stop and stays last: a line that was torn
// while it was written lacks it.
constexpr std::array<std::string_view, 8> kColumns = {"id",  "when", "kind",   "tip",
                                                      "who", "text", "refers", "end"};
constexpr std::string_view kEnd = ".";

std::string column_line() { return csv_line({kColumns.begin(), kColumns.end()}); }

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

bool is_month(std::string_view text) {
  const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
  return text.size() >= 7 && digit(0) && digit(1) && digit(2) && digit(3) && text[4] == '-' &&
         digit(5) && digit(6) && (text.size() == 7 || text[7] == '-');
}

Failure refused(std::string what) {
  return {Failure::Kind::other, {}, std::move(what), "report this: the record was not written"};
}

// One line of values under the columns named above it; nullopt when it was torn or is no record.
std::optional<Record> record_of(const std::vector<std::string>& columns,
                                const std::vector<std::string>& values) {
  if (values.size() != columns.size()) return std::nullopt;
  Record record;
  bool ended = false;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i] == "id") {
      record.id = values[i];
    } else if (columns[i] == "when") {
      record.when = values[i];
    } else if (columns[i] == "kind") {
      record.kind = values[i];
    } else if (columns[i] == "end") {
      ended = values[i] == kEnd;
    } else if (!values[i].empty()) {
      record.fields[columns[i]] = values[i];
    }
  }
  if (!ended || !files::is_id(record.id) || record.kind.empty()) return std::nullopt;
  return record;
}

auto in_order(const Record& r) { return std::tie(r.id, r.when, r.kind, r.fields); }

// The set union by id. Two records of one id that differ come from a damaged or copied file; which
// one stays depends on their content only, so that every terminal keeps the same.
void unite(Records& records) {
  std::sort(records.records.begin(), records.records.end(),
            [](const Record& a, const Record& b) { return in_order(a) < in_order(b); });
  const auto same = [](const Record& a, const Record& b) { return a.id == b.id; };
  records.records.erase(std::unique(records.records.begin(), records.records.end(), same),
                        records.records.end());
}

}  // namespace

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
      field = std::string(line.substr(at, comma - at));
      at = comma;
    }
    into.push_back(std::move(field));
    if (at >= line.size()) return true;
    ++at;  // the comma
  }
}

Result<void> append_record(files::Disk& disk, const std::string& shop_folder,
                           const std::string& terminal, const Record& record) {
  if (!files::is_id(terminal))
    return refused(fmt::format("`{}` cannot be a terminal's folder", terminal));
  if (!files::is_id(record.id))
    return refused(fmt::format("`{}` cannot be a record's id", record.id));
  if (record.kind.empty()) return refused("a record without a kind");
  if (!is_month(record.when)) return refused(fmt::format("`{}` is no time", record.when));
  for (const auto& field : record.fields) {
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
  std::vector<std::string> values = {record.id, record.when, record.kind};
  for (auto column = kColumns.begin() + 3; column != kColumns.end() - 1; ++column) {
    const auto field = record.fields.find(std::string(*column));
    values.push_back(field == record.fields.end() ? std::string() : field->second);
  }
  values.emplace_back(kEnd);
  return files::append_line(disk, path, csv_line(values));
}

void read_records(std::string_view bytes, const std::string& file, Records& into) {
  Notes notes(file, into.findings);
  const scan::Lines lines(bytes);
  std::vector<std::string> columns(kColumns.begin(), kColumns.end());
  std::vector<std::string> values;
  for (int line = 1; line <= lines.count(); ++line) {
    const std::string_view text = lines.text(line);
    if (scan::is_blank(text)) continue;
    const bool whole = read_csv_line(text, values);
    if (whole && values.front() == "id") {
      // A column line that was torn has no `end`; the writer puts a new one under it.
      if (values.back() == "end") columns = values;
      continue;
    }
    auto record = whole ? record_of(columns, values) : std::nullopt;
    if (record) {
      into.records.push_back(std::move(*record));
    } else {
      notes.add(Level::warning, line, 1, "record",
                "a line that was not written to its end is left aside",
                "nothing to do if the terminal lost power; else look at the line");
    }
  }
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
    if (one.status.folder || one.path.size() < 4 || one.path.substr(one.path.size() - 4) != ".csv")
      continue;
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
    const auto at = record.fields.find(name);
    return at == record.fields.end() ? std::string() : at->second;
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
