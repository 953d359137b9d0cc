#include "store/listing.h"

#include <sqlite3.h>

#include <algorithm>
#include <utility>

#include "files/names.h"
#include "shop/shop.h"

namespace baylore::store {
namespace {

// A file younger than this when it is read may be edited once more without its times moving: clocks
// tick coarsely, and a network folder's clock is not ours. It is hashed next time whatever its
// times say.
constexpr std::int64_t kYoungNs = 2'000'000'000;

constexpr std::string_view kSelectFiles =
    "SELECT path, size, modified, changed, inode, racy, hash FROM files";

Candidate candidate_of(std::string path, shop::Kind kind, const files::Status& status,
                       std::int64_t now) {
  Candidate candidate;
  candidate.path = std::move(path);
  candidate.kind = kind;
  candidate.status = status;
  candidate.racy = status.modified_ns > now - kYoungNs || status.changed_ns > now - kYoungNs;
  return candidate;
}

bool same_status(const files::Status& one, const files::Status& other) {
  return one.size == other.size && one.modified_ns == other.modified_ns &&
         one.changed_ns == other.changed_ns && one.inode == other.inode;
}

bool lies_in(const std::string& path, const std::vector<std::string>& folders) {
  return std::any_of(folders.begin(), folders.end(), [&](const std::string& folder) {
    return path.size() > folder.size() && path.starts_with(folder) && path[folder.size()] == '/';
  });
}

// A file against its row.
void hold_against(const Statement& row, Candidate& candidate, Difference& difference) {
  files::Status status;
  status.size = static_cast<std::uint64_t>(row.integer(1));
  status.modified_ns = row.integer(2);
  status.changed_ns = row.integer(3);
  status.inode = static_cast<std::uint64_t>(row.integer(4));
  const bool racy = row.integer(5) != 0;
  const bool same = same_status(status, candidate.status);
  if (same && !racy) {
    ++difference.unchanged;
    return;
  }
  candidate.known = true;
  candidate.known_hash = row.text(6);
  candidate.noted = same && racy == candidate.racy;
  difference.read.push_back(std::move(candidate));
}

}  // namespace

files::Result<Listing> list_shop(files::Disk& disk, const std::string& shop) {
  const std::int64_t now = files::now_ns();
  auto listed = disk.list(shop);
  if (!listed) return listed.failure();
  Listing listing;
  for (files::Listed& file : *listed) {
    if (file.status.unreadable) listing.closed.push_back(file.path);
    if (file.status.folder) continue;
    const shop::Kind kind = shop::kind_of(file.path);
    if (kind == shop::Kind::other) continue;
    listing.candidates.push_back(candidate_of(std::move(file.path), kind, file.status, now));
  }
  return listing;
}

std::optional<Listing> list_these(files::Disk& disk, const std::string& shop,
                                  std::vector<std::string> paths) {
  const std::int64_t now = files::now_ns();
  std::sort(paths.begin(), paths.end());
  paths.erase(std::unique(paths.begin(), paths.end()), paths.end());
  Listing listing;
  for (std::string& path : paths) {
    const shop::Kind kind = shop::kind_of(path);
    if (kind == shop::Kind::other) continue;
    const auto status = disk.status(files::join(shop, path));
    if (!status || status->folder || status->unreadable) return std::nullopt;
    listing.candidates.push_back(candidate_of(std::move(path), kind, *status, now));
  }
  return listing;
}

files::Result<Difference> compare(const Database& database, Listing listing) {
  Difference difference;
  Statement rows = database.prepare(std::string(kSelectFiles) + " ORDER BY path");
  if (!rows.ready()) return failure_of(sqlite3_extended_errcode(database.raw()), database.path());
  int code = SQLITE_ROW;
  std::string path;
  const auto next = [&] {
    code = rows.step();
    path = code == SQLITE_ROW ? rows.text(0) : std::string();
  };
  const auto not_listed = [&] {
    if (lies_in(path, listing.closed)) {
      ++difference.unchanged;
    } else {
      difference.removed.push_back(path);
    }
  };
  next();
  for (Candidate& candidate : listing.candidates) {
    while (code == SQLITE_ROW && path < candidate.path) {
      not_listed();
      next();
    }
    if (code != SQLITE_ROW || path != candidate.path) {
      difference.read.push_back(std::move(candidate));
      continue;
    }
    hold_against(rows, candidate, difference);
    next();
  }
  while (code == SQLITE_ROW) {
    not_listed();
    next();
  }
  if (code != SQLITE_DONE) return failure_of(code, database.path());
  return difference;
}

files::Result<Difference> compare_these(const Database& database, Listing listing) {
  Difference difference;
  Statement row = database.prepare(std::string(kSelectFiles) + " WHERE path = ?1");
  for (Candidate& candidate : listing.candidates) {
    if (!row.ready()) return failure_of(sqlite3_extended_errcode(database.raw()), database.path());
    row.bind(1, candidate.path);
    const int code = row.step();
    if (code == SQLITE_ROW) {
      hold_against(row, candidate, difference);
    } else if (code == SQLITE_DONE) {
      difference.read.push_back(std::move(candidate));
    } else {
      return failure_of(code, database.path());
    }
    row.reset();
  }
  return difference;
}

}  // namespace baylore::store
