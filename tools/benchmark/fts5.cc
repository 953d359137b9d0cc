#include <sqlite3.h>

#include <utility>
#include <vector>

#include "engine.h"
#include "shop/fold.h"

namespace baylore::benchmark {
namespace {

struct Finalize {
  void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;
struct Close {
  void operator()(sqlite3* connection) const { sqlite3_close(connection); }
};
using Connection = std::unique_ptr<sqlite3, Close>;

Statement prepare(const Connection& connection, const char* sql) {
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v2(connection.get(), sql, -1, &statement, nullptr);
  return Statement(statement);
}

void bind_text(const Statement& statement, int index, const std::string& text) {
  sqlite3_bind_text(statement.get(), index, text.data(), static_cast<int>(text.size()),
                    SQLITE_STATIC);
}

files::Failure failed(const std::string& file, const Connection& connection) {
  return {files::Failure::Kind::other, file, sqlite3_errmsg(connection.get()), ""};
}

Connection connect(const std::string& file) {
  sqlite3* raw = nullptr;
  sqlite3_open(file.c_str(), &raw);
  return Connection(raw);
}

bool run(const Connection& connection, const char* sql) {
  return sqlite3_exec(connection.get(), sql, nullptr, nullptr, nullptr) == SQLITE_OK;
}

class Fts5 : public Engine {
 public:
  explicit Fts5(Connection connection)
      : connection_(std::move(connection)),
        select_(
            prepare(connection_, "SELECT rowid FROM f WHERE f MATCH ?1 ORDER BY rank LIMIT ?2")) {
    const Statement ids = prepare(connection_, "SELECT id FROM ids ORDER BY doc");
    while (sqlite3_step(ids.get()) == SQLITE_ROW) {
      const void* text = sqlite3_column_blob(ids.get(), 0);
      ids_.emplace_back(static_cast<const char*>(text),
                        static_cast<std::size_t>(sqlite3_column_bytes(ids.get(), 0)));
    }
  }
  [[nodiscard]] std::string name() const override { return "FTS5 bm25"; }
  Ranking rank(const std::string& words, const Ask& ask) override {
    std::string expression;
    for (const std::string& word : shop::words_of(words)) {
      if (!expression.empty()) expression += ask.all ? " AND " : " OR ";
      expression += '"' + word + '"';
    }
    Ranking ranking;
    if (expression.empty()) return ranking;
    if (ask.last_open) expression += '*';
    sqlite3_reset(select_.get());
    bind_text(select_, 1, expression);
    sqlite3_bind_int(select_.get(), 2, ask.depth);
    while (sqlite3_step(select_.get()) == SQLITE_ROW) {
      const sqlite3_int64 doc = sqlite3_column_int64(select_.get(), 0);
      ranking.push_back(ids_.at(static_cast<std::size_t>(doc) - 1));
    }
    return ranking;
  }

 private:
  Connection connection_;
  Statement select_;
  std::vector<std::string> ids_;  // by doc, from 1
};

}  // namespace

files::Result<void> build_fts5(const std::string& file, const Documents& documents, bool prefix) {
  const Connection connection = connect(file);
  const bool made = run(connection, "PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; BEGIN") &&
                    run(connection, prefix ? "CREATE VIRTUAL TABLE f USING fts5(title, body, "
                                             "tokenize='porter unicode61', prefix='2 3')"
                                           : "CREATE VIRTUAL TABLE f USING fts5(title, body, "
                                             "tokenize='porter unicode61')") &&
                    run(connection, "CREATE TABLE ids(doc INTEGER PRIMARY KEY, id TEXT)");
  if (!made) return failed(file, connection);
  const Statement insert =
      prepare(connection, "INSERT INTO f(rowid, title, body) VALUES(?1, ?2, ?3)");
  const Statement name = prepare(connection, "INSERT INTO ids VALUES(?1, ?2)");
  sqlite3_int64 doc = 0;
  bool ok = true;
  documents([&](const Document& document) {
    ++doc;
    sqlite3_bind_int64(insert.get(), 1, doc);
    bind_text(insert, 2, document.title);
    bind_text(insert, 3, document.body);
    ok = ok && sqlite3_step(insert.get()) == SQLITE_DONE;
    sqlite3_reset(insert.get());
    sqlite3_bind_int64(name.get(), 1, doc);
    bind_text(name, 2, document.id);
    ok = ok && sqlite3_step(name.get()) == SQLITE_DONE;
    sqlite3_reset(name.get());
  });
  if (!ok || !run(connection, "COMMIT")) return failed(file, connection);
  return {};
}

files::Result<std::unique_ptr<Engine>> open_fts5(const std::string& file) {
  Connection connection = connect(file);
  if (!prepare(connection, "SELECT rowid FROM f LIMIT 1")) return failed(file, connection);
  return std::unique_ptr<Engine>(std::make_unique<Fts5>(std::move(connection)));
}

}  // namespace baylore::benchmark
