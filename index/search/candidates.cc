#include "search/candidates.h"

#include <sqlite3.h>

#include <algorithm>
#include <memory>

#include "shop/fold.h"

namespace baylore::search {
namespace {

constexpr const char* kFunction = "baylore_words";
constexpr const char* kPointer = "baylore_collector";

struct Finalize {
  void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;

Statement prepare(sqlite3* connection, const char* sql) {
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v2(connection, sql, -1, &statement, nullptr);
  return Statement(statement);
}

// `text` has to outlive the statement.
void bind(const Statement& statement, int index, const std::string& text) {
  sqlite3_bind_text(statement.get(), index, text.data(), static_cast<int>(text.size()),
                    SQLITE_STATIC);
}

// Which term a phrase of the expression belongs to.
struct PhraseOf {
  std::size_t term = 0;
  double weight = 1;
  bool counts = false;  // for how many tips have the term: synonyms do not
  int words = 1;
};

// Filled by the function below while SQLite steps over the rows of one query.
struct Collector {
  std::vector<PhraseOf> phrases;
  std::size_t terms = 0;
  Corpus* corpus = nullptr;
  bool corpus_known = false;
  Found found;
};

int count_row(const Fts5ExtensionApi* /*api*/, Fts5Context* /*context*/, void* counter) {
  *static_cast<double*>(counter) += 1;
  return SQLITE_OK;
}

int read_corpus(const Fts5ExtensionApi* api, Fts5Context* context, Collector& collector) {
  Corpus& corpus = *collector.corpus;
  sqlite3_int64 rows = 0;
  int code = api->xRowCount(context, &rows);
  corpus.tips = static_cast<double>(rows);
  for (std::size_t column = 0; column < kColumns && code == SQLITE_OK; ++column) {
    sqlite3_int64 words = 0;
    code = api->xColumnTotalSize(context, static_cast<int>(column), &words);
    corpus.average[column] = rows > 0 ? static_cast<double>(words) / static_cast<double>(rows) : 0;
  }
  corpus.having.assign(collector.terms, 0);
  std::vector<double> by_synonym(collector.terms, 0);
  for (std::size_t i = 0; i < collector.phrases.size() && code == SQLITE_OK; ++i) {
    double having = 0;
    code = api->xQueryPhrase(context, static_cast<int>(i), &having, count_row);
    const PhraseOf& phrase = collector.phrases[i];
    double& known = phrase.counts ? corpus.having[phrase.term] : by_synonym[phrase.term];
    known = std::max(known, having);
  }
  // A word no tip has is as rare as its synonyms, not as rare as can be.
  for (std::size_t term = 0; term < collector.terms; ++term) {
    if (corpus.having[term] == 0) corpus.having[term] = by_synonym[term];
  }
  collector.corpus_known = true;
  return code;
}

int read_row(const Fts5ExtensionApi* api, Fts5Context* context, Collector& collector) {
  Found& found = collector.found;
  found.occurrences.clear();
  int instances = 0;
  int code = api->xInstCount(context, &instances);
  for (int i = 0; i < instances && code == SQLITE_OK; ++i) {
    int phrase = 0;
    int column = 0;
    int position = 0;
    code = api->xInst(context, i, &phrase, &column, &position);
    const auto index = static_cast<std::size_t>(phrase);
    if (code != SQLITE_OK || index >= collector.phrases.size() || column < 0 ||
        static_cast<std::size_t>(column) >= kColumns) {
      continue;
    }
    const PhraseOf& of = collector.phrases[index];
    const auto where = static_cast<std::size_t>(column);
    // Several phrases of one term may meet at a place; the best one counts. Instances come by
    // column and position, so they are neighbours.
    auto same = found.occurrences.rbegin();
    while (same != found.occurrences.rend() && same->column == where &&
           same->position == position && same->term != of.term) {
      ++same;
    }
    if (same != found.occurrences.rend() && same->column == where && same->position == position) {
      if (of.weight > same->weight) {
        same->weight = of.weight;
        same->words = of.words;
      }
    } else {
      found.occurrences.push_back({of.term, where, position, of.weight, of.words});
    }
  }
  for (std::size_t column = 0; column < kColumns && code == SQLITE_OK; ++column) {
    code = api->xColumnSize(context, static_cast<int>(column), &found.sizes[column]);
  }
  return code;
}

// The auxiliary function: its second argument points to the collector of the query that runs.
void collect(const Fts5ExtensionApi* api, Fts5Context* context, sqlite3_context* result, int count,
             sqlite3_value** values) {
  auto* collector =
      count == 1 ? static_cast<Collector*>(sqlite3_value_pointer(values[0], kPointer)) : nullptr;
  if (collector == nullptr ||
      api->xPhraseCount(context) != static_cast<int>(collector->phrases.size())) {
    sqlite3_result_error_code(result, SQLITE_MISUSE);
    return;
  }
  int code = SQLITE_OK;
  if (!collector->corpus_known) code = read_corpus(api, context, *collector);
  if (code == SQLITE_OK) code = read_row(api, context, *collector);
  if (code != SQLITE_OK) {
    sqlite3_result_error_code(result, code);
  } else {
    sqlite3_result_int(result, 1);
  }
}

bool register_function(sqlite3* connection) {
  fts5_api* api = nullptr;
  const Statement statement = prepare(connection, "SELECT fts5(?1)");
  if (!statement) return false;
  sqlite3_bind_pointer(statement.get(), 1, static_cast<void*>(&api), "fts5_api_ptr", nullptr);
  sqlite3_step(statement.get());
  return api != nullptr &&
         api->xCreateFunction(api, kFunction, nullptr, collect, nullptr) == SQLITE_OK;
}

// The function is registered on the first query of a connection: FTS5 keeps every registration, so
// it is asked for first.
Statement prepare_match(sqlite3* connection) {
  constexpr const char* kSql =
      "SELECT rowid, baylore_words(tips_fts, ?2) FROM tips_fts WHERE tips_fts MATCH ?1";
  Statement statement = prepare(connection, kSql);
  if (!statement && register_function(connection)) statement = prepare(connection, kSql);
  return statement;
}

}  // namespace

int find_words(sqlite3* connection, const std::vector<Term>& terms, bool all_words, Corpus& corpus,
               const std::function<void(const Found&)>& visit) {
  corpus = {};
  corpus.having.assign(terms.size(), 0);
  const std::string expression = match_expression(terms, all_words);
  if (expression.empty()) return SQLITE_OK;
  Collector collector;
  collector.terms = terms.size();
  collector.corpus = &corpus;
  for (std::size_t i = 0; i < terms.size(); ++i) {
    if (all_words && !terms[i].required) continue;
    for (const Phrase& phrase : terms[i].phrases) {
      const auto blanks = std::count(phrase.words.begin(), phrase.words.end(), ' ');
      collector.phrases.push_back(
          {i, phrase.weight, !phrase.synonym, static_cast<int>(blanks) + 1});
    }
  }
  const Statement statement = prepare_match(connection);
  if (!statement) return sqlite3_extended_errcode(connection);
  bind(statement, 1, expression);
  sqlite3_bind_pointer(statement.get(), 2, &collector, kPointer, nullptr);
  int code = sqlite3_step(statement.get());
  while (code == SQLITE_ROW) {
    collector.found.doc = sqlite3_column_int64(statement.get(), 0);
    visit(collector.found);
    code = sqlite3_step(statement.get());
  }
  return code == SQLITE_DONE ? SQLITE_OK : sqlite3_extended_errcode(connection);
}

std::vector<CodeFound> find_code(sqlite3* connection, const std::string& code) {
  std::vector<CodeFound> found;
  const std::string base = code.substr(0, code.find('-'));
  const Statement statement =
      prepare(connection, "SELECT doc, code = ?2 FROM codes WHERE base = ?1 ORDER BY doc");
  if (!statement) return found;
  bind(statement, 1, base);
  bind(statement, 2, code);
  while (sqlite3_step(statement.get()) == SQLITE_ROW) {
    const std::int64_t doc = sqlite3_column_int64(statement.get(), 0);
    const bool exact = sqlite3_column_int(statement.get(), 1) != 0;
    if (!found.empty() && found.back().doc == doc) {
      found.back().exact = found.back().exact || exact;
    } else {
      found.push_back({doc, exact});
    }
  }
  return found;
}

std::vector<std::int64_t> find_vehicle(sqlite3* connection, const Vehicle& vehicle) {
  std::vector<std::int64_t> docs;
  const std::string make = shop::fold(vehicle.make);
  const std::string model = shop::fold(vehicle.model);
  const Statement statement = prepare(
      connection, make.empty() ? "SELECT DISTINCT doc FROM fits "
                                 "WHERE ?2 = '' OR model_folded IN (?2, '')"
                               : "SELECT DISTINCT doc FROM fits WHERE make_folded IN (?1, '') "
                                 "AND (?2 = '' OR model_folded IN (?2, ''))");
  if (!statement) return docs;
  bind(statement, 1, make);
  bind(statement, 2, model);
  while (sqlite3_step(statement.get()) == SQLITE_ROW) {
    docs.push_back(sqlite3_column_int64(statement.get(), 0));
  }
  return docs;
}

}  // namespace baylore::search
