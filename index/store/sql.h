// SQLite as this layer uses it: a connection that closes itself, a statement that resets itself,
// result codes sorted into what they mean for a cache. Not for the layers above: they get the plain
// connection from Store.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "files/result.h"

namespace baylore::store {

// Whether a result code means that the file is not the store it should be: structure, page
// checksum, another format, or fixed SQL that does not fit the tables. Busy, full and out of memory
// are no damage.
bool is_damage(int code);

// The failure for a result code, in words.
files::Failure failure_of(int code, const std::string& path);

enum class Mode {
  read,    // read-only; every page is checked as it is read
  update,  // read and write an existing file, WAL
  create,  // a new file, no journal: nobody sees it before it is whole
};

class Statement {
 public:
  Statement() = default;
  explicit Statement(sqlite3_stmt* raw) : raw_(raw) {}

  [[nodiscard]] bool ready() const { return raw_ != nullptr; }
  [[nodiscard]] sqlite3_stmt* raw() const { return raw_.get(); }
  // Parameters count from 1. Bytes are not copied: they must live until the next run(), step() to
  // its end or reset().
  Statement& bind(int index, std::int64_t value);
  Statement& bind(int index, std::string_view text);
  Statement& bind_blob(int index, std::string_view bytes);

  // SQLITE_ROW, SQLITE_DONE or an error. Columns count from 0.
  int step();
  // Steps to the end, whatever rows there are, and resets: SQLITE_OK or an error.
  int run();
  void reset();
  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] std::string text(int column) const;  // of a blob: its bytes

 private:
  struct Finalize {
    void operator()(sqlite3_stmt* raw) const { sqlite3_finalize(raw); }
  };
  std::unique_ptr<sqlite3_stmt, Finalize> raw_;
};

class Database {
 public:
  Database() = default;
  // Opens with the settings every connection has (checksummed pages, defensive, untrusted schema,
  // no mmap, busy timeout).
  static files::Result<Database> open(const std::string& path, Mode mode);

  [[nodiscard]] sqlite3* raw() const { return raw_.get(); }
  [[nodiscard]] const std::string& path() const { return path_; }
  // A statement that is not ready() when it could not be prepared; the code is then
  // sqlite3_extended_errcode(raw()).
  [[nodiscard]] Statement prepare(std::string_view sql) const;
  // Runs SQL without parameters: SQLITE_OK or an error.
  int run(const char* sql) const;

 private:
  struct Close {
    void operator()(sqlite3* raw) const { sqlite3_close_v2(raw); }
  };
  std::unique_ptr<sqlite3, Close> raw_;
  std::string path_;
};

}  // namespace baylore::store
