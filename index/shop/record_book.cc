#include "shop/record_book.h"

#include <algorithm>

#include "files/names.h"

namespace baylore::shop {
namespace {

// How many bytes before the place where reading stopped have to be as they were for a grown file to
// be the same file: a record has more than that.
constexpr std::size_t kTail = 64;
// A modification time this near to now may be that of a later change too.
constexpr std::int64_t kTooFresh = 2'000'000'000;

bool same(const files::Status& a, const files::Status& b) {
  return a.size == b.size && a.modified_ns == b.modified_ns && a.changed_ns == b.changed_ns &&
         a.inode == b.inode && a.unreadable == b.unreadable;
}

}  // namespace

// 1. List the record files. One that is gone makes everything be read again.
// 2. A file with the status it had, not fresh, is left alone.
// 3. Of a known file the end is read: from kTail bytes before where reading stopped. When these
//    bytes are as they were the rest is new; when not, the file is another one.
// 4. New records join by id; one that differs from what is held under its id is weighed against it
//    (comes_before), which begins a new edition only when it wins.
bool RecordBook::update(files::Disk& disk, const std::string& shop_folder) {
  const auto listed = disk.list(files::join(shop_folder, "records"));
  const bool none = !listed && listed.failure().kind == files::Failure::Kind::missing;
  if (!listed && !none) {
    // Nothing is forgotten because a network folder does not answer.
    folder_trouble_ = {
        {"records", 1, 1, Level::error, "file", listed.failure().what, listed.failure().remedy}};
    return false;
  }
  folder_trouble_.clear();
  std::map<std::string, files::Status> there;
  if (listed) {
    for (const files::Listed& one : *listed) {
      if (!one.status.folder && is_record_file(one.path)) there[one.path] = one.status;
      if (one.status.unreadable) {
        folder_trouble_.push_back({files::join("records", one.path), 1, 1, Level::error, "file",
                                   "a folder that cannot be read", "let this terminal read it"});
      }
    }
  }
  const bool gone = std::any_of(files_.begin(), files_.end(),
                                [&](const auto& known) { return there.count(known.first) == 0; });
  bool changed = false;
  if (gone) {
    begin_again();
    changed = true;
  }
  for (auto one = there.begin(); one != there.end(); ++one) {
    const Step step = read(disk, shop_folder, one->first, one->second);
    changed |= step != Step::nothing;
    if (step != Step::another_file) continue;
    begin_again();
    for (const auto& [path, status] : there) read(disk, shop_folder, path, status);
    break;
  }
  return changed;
}

const Record* RecordBook::find(std::string_view id) const {
  const auto at = by_id_.find(std::string(id));
  return at == by_id_.end() ? nullptr : &records_[at->second];
}

Findings RecordBook::findings() const {
  Findings all = folder_trouble_;
  for (const auto& [path, file] : files_) {
    all.insert(all.end(), file.findings.begin(), file.findings.end());
    if (file.torn > 0) all.push_back(torn_line(files::join("records", path), file.torn));
  }
  return all;
}

void RecordBook::begin_again() {
  files_.clear();
  records_.clear();
  by_id_.clear();
  ++edition_;
}

// The file's end from its remembered tail on. It may grow between looking and reading: then its
// size is looked up again. Whoever calls sees by the tail whether the bytes are what they should
// be.
files::Result<std::string> RecordBook::read_on(files::Disk& disk, const std::string& full,
                                               const File& file, files::Status& status) {
  files::Result<std::string> text = std::string();
  for (int attempt = 0; attempt < 3; ++attempt) {
    if (status.size < file.read) return std::string("shorter than it was");
    text =
        disk.read_end(full, static_cast<std::size_t>(status.size - file.read) + file.tail.size());
    if (!text || text->substr(0, file.tail.size()) == file.tail) return text;
    const auto again = disk.status(full);
    if (!again) return again.failure();
    if (again->size == status.size) return text;
    status = *again;
  }
  return text;
}

RecordBook::Step RecordBook::read(files::Disk& disk, const std::string& shop_folder,
                                  const std::string& path, const files::Status& status) {
  File& file = files_[path];
  const std::string below = files::join("records", path);
  const std::string full = files::join(shop_folder, below);
  const bool fresh = files::now_ns() - status.modified_ns < kTooFresh;
  if (file.known && !fresh && same(file.status, status)) return Step::nothing;
  files::Status now = status;
  auto text = file.known ? read_on(disk, full, file, now) : disk.read(full, files::kTextLimit);
  if (!text) {
    file.findings = {
        {below, 1, 1, Level::error, "file", text.failure().what, text.failure().remedy}};
    return Step::nothing;
  }
  if (!file.known) file.findings.clear();
  std::string_view fresh_bytes = *text;
  if (fresh_bytes.substr(0, file.tail.size()) != file.tail) return Step::another_file;
  fresh_bytes.remove_prefix(file.tail.size());
  Records more;
  const std::size_t done = read_more_records(fresh_bytes, below, file.columns, more, file.torn);
  const std::string_view read = std::string_view(*text).substr(0, file.tail.size() + done);
  file.read += done;
  file.tail = read.substr(read.size() - std::min(read.size(), kTail));
  file.known = true;
  file.status = now;
  file.findings.insert(file.findings.end(), more.findings.begin(), more.findings.end());
  return join(more.records) ? Step::joined : Step::nothing;
}

bool RecordBook::join(std::vector<Record>& more) {
  bool changed = false;
  if (records_.empty()) by_id_.reserve(more.size());
  for (Record& record : more) {
    const auto [at, added] = by_id_.emplace(record.id, records_.size());
    if (added) {
      records_.push_back(std::move(record));
      changed = true;
    } else if (comes_before(record, records_[at->second])) {
      records_[at->second] = std::move(record);
      ++edition_;
      changed = true;
    }
  }
  return changed;
}

}  // namespace baylore::shop
