#include "stock.h"

#include <sqlite3.h>

#include "shop/fold.h"

namespace baylore::benchmark {
namespace {

struct Finalize {
  void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;

Statement prepare(sqlite3* connection, const char* sql) {
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v2(connection, sql, -1, &statement, nullptr);
  return Statement(statement);
}

void bind(const Statement& statement, int index, const std::string& text) {
  sqlite3_bind_text(statement.get(), index, text.data(), static_cast<int>(text.size()),
                    SQLITE_STATIC);
}

}  // namespace

void Stock::Close::operator()(sqlite3* connection) const { sqlite3_close(connection); }

Stock::Stock(const Collection& collection) {
  sqlite3* raw = nullptr;
  sqlite3_open(":memory:", &raw);
  connection_.reset(raw);
  sqlite3_exec(raw, "CREATE VIRTUAL TABLE f USING fts5(title, body, tokenize='porter unicode61')",
               nullptr, nullptr, nullptr);
  const Statement insert = prepare(raw, "INSERT INTO f(rowid, title, body) VALUES(?1, ?2, ?3)");
  for (const Document& document : collection.documents) {
    ids_.push_back(document.id);
    sqlite3_reset(insert.get());
    sqlite3_bind_int64(insert.get(), 1, static_cast<sqlite3_int64>(ids_.size()));
    bind(insert, 2, document.title);
    bind(insert, 3, document.body);
    sqlite3_step(insert.get());
  }
}

Ranking Stock::rank(const std::string& words, int limit) const {
  std::string expression;
  for (const std::string& word : shop::words_of(words)) {
    expression += (expression.empty() ? "\"" : " OR \"") + word + "\"";
  }
  Ranking ranking;
  const Statement select = prepare(
      connection_.get(), "SELECT rowid FROM f WHERE f MATCH ?1 ORDER BY bm25(f), rowid LIMIT ?2");
  bind(select, 1, expression);
  sqlite3_bind_int(select.get(), 2, limit);
  while (sqlite3_step(select.get()) == SQLITE_ROW) {
    ranking.push_back(ids_[static_cast<std::size_t>(sqlite3_column_int64(select.get(), 0)) - 1]);
  }
  return ranking;
}

}  // namespace baylore::benchmark
