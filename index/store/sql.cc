#include "store/sql.h"

#include "store/checked_vfs.h"

namespace baylore::store {
namespace {

// Two viewers and a command may want to write in the same moment; an update takes milliseconds, so
// this is long.
constexpr int kBusyMilliseconds = 10'000;

// A store on disk can be damaged or made to hurt: limits that no statement of ours comes near.
void harden(sqlite3* raw) {
  sqlite3_extended_result_codes(raw, 1);
  sqlite3_busy_timeout(raw, kBusyMilliseconds);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_VIEW, 0, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
  sqlite3_limit(raw, SQLITE_LIMIT_LENGTH, 64 << 20);
  sqlite3_limit(raw, SQLITE_LIMIT_SQL_LENGTH, 100'000);
  sqlite3_limit(raw, SQLITE_LIMIT_ATTACHED, 0);
}

}  // namespace

bool is_damage(int code) {
  switch (code & 0xff) {
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_FORMAT:
    case SQLITE_ERROR:  // the SQL is ours and fixed: the tables are not
    case SQLITE_SCHEMA:
    case SQLITE_MISMATCH:
    case SQLITE_CONSTRAINT:
    case SQLITE_RANGE:
    case SQLITE_TOOBIG:
      return true;
    case SQLITE_IOERR:
      return code == SQLITE_IOERR_DATA || code == SQLITE_IOERR_CORRUPTFS ||
             code == SQLITE_IOERR_SHORT_READ;
    default:
      return false;
  }
}

files::Failure failure_of(int code, const std::string& path) {
  using Kind = files::Failure::Kind;
  if (is_damage(code)) return {Kind::damaged, path, "the store is damaged", "build it again"};
  switch (code & 0xff) {
    case SQLITE_FULL:
      return {Kind::full, path, "there is no space left for the store", "free some space"};
    case SQLITE_CANTOPEN:
      return {Kind::missing, path, "the store cannot be opened", "build it again"};
    case SQLITE_PERM:
    case SQLITE_READONLY:
    case SQLITE_AUTH:
      return {Kind::denied, path, "the store cannot be written",
              "allow writing to the cache folder or name another with --store"};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {Kind::other, path, "the store is busy", "try again"};
    default:
      return {Kind::other, path, std::string("the store failed: ") + sqlite3_errstr(code),
              "try again, or delete the cache folder"};
  }
}

Statement& Statement::bind(int index, std::int64_t value) {
  sqlite3_bind_int64(raw_.get(), index, value);
  return *this;
}

Statement& Statement::bind(int index, std::string_view text) {
  // A null pointer would bind NULL, which is not the empty text.
  const char* bytes = text.data() == nullptr ? "" : text.data();
  sqlite3_bind_text64(raw_.get(), index, bytes, text.size(), SQLITE_STATIC, SQLITE_UTF8);
  return *this;
}

Statement& Statement::bind_blob(int index, std::string_view bytes) {
  const char* data = bytes.data() == nullptr ? "" : bytes.data();
  sqlite3_bind_blob64(raw_.get(), index, data, bytes.size(), SQLITE_STATIC);
  return *this;
}

int Statement::step() { return sqlite3_step(raw_.get()); }

int Statement::run() {
  int code = SQLITE_ROW;
  while (code == SQLITE_ROW) code = step();
  reset();
  return code == SQLITE_DONE ? SQLITE_OK : code;
}

void Statement::reset() { sqlite3_reset(raw_.get()); }

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(raw_.get(), column);
}

std::string Statement::text(int column) const {
  const void* bytes = sqlite3_column_blob(raw_.get(), column);
  const int size = sqlite3_column_bytes(raw_.get(), column);
  if (bytes == nullptr || size <= 0) return {};
  return {static_cast<const char*>(bytes), static_cast<std::size_t>(size)};
}

files::Result<Database> Database::open(const std::string& path, Mode mode) {
  int flags = SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
  if (mode == Mode::read) flags |= SQLITE_OPEN_READONLY;
  if (mode == Mode::update) flags |= SQLITE_OPEN_READWRITE;
  if (mode == Mode::create) flags |= SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
  Database database;
  database.path_ = path;
  sqlite3* raw = nullptr;
  const int code = sqlite3_open_v2(path.c_str(), &raw, flags, checked_vfs());
  database.raw_.reset(raw);
  if (code != SQLITE_OK) return failure_of(code, path);
  harden(raw);
  if (mode == Mode::create) {
    // The checksum needs its place at the end of every page before the first page is written.
    int reserve = kPageChecksumBytes;
    sqlite3_file_control(raw, "main", SQLITE_FCNTL_RESERVE_BYTES, &reserve);
  }
  const char* settings =
      "PRAGMA mmap_size = 0; PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY;";
  if (mode == Mode::create) {
    // Nobody reads the file before it is whole, and a half one is thrown away: no journal, no flush
    // until the end.
    settings =
        "PRAGMA mmap_size = 0; PRAGMA temp_store = MEMORY; PRAGMA page_size = 4096; "
        "PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; "
        "PRAGMA cache_size = -65536;";
  } else if (mode == Mode::update) {
    // A power cut may lose the last updates of a cache, never its consistency.
    settings =
        "PRAGMA mmap_size = 0; PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY; "
        "PRAGMA synchronous = NORMAL; PRAGMA cache_size = -16384;";
  }
  if (const int set = database.run(settings); set != SQLITE_OK) return failure_of(set, path);
  return database;
}

Statement Database::prepare(std::string_view sql) const {
  sqlite3_stmt* raw = nullptr;
  sqlite3_prepare_v2(raw_.get(), sql.data(), static_cast<int>(sql.size()), &raw, nullptr);
  return Statement(raw);
}

int Database::run(const char* sql) const {
  return sqlite3_exec(raw_.get(), sql, nullptr, nullptr, nullptr);
}

}  // namespace baylore::store
