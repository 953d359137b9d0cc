#include "store/writer.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "shop/fold.h"
#include "shop/shop.h"

namespace baylore::store {
namespace {

// A finding behind those that the file has.
constexpr std::string_view kAddFinding = R"(
INSERT INTO findings(path, seq, line, col, level, rule, message, remedy)
SELECT ?1, (SELECT coalesce(max(seq), -1) + 1 FROM findings WHERE path = ?1), ?2, ?3, 1,
       'duplicate-id', ?4, ?5)";

}  // namespace

Writer::Writer(const Database& database, std::int64_t change)
    : database_(database),
      change_(change),
      put_file_(prepare("INSERT OR REPLACE INTO files VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")),
      put_tip_(prepare("INSERT INTO tips VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, "
                       "?13, ?14)")),
      put_text_(prepare("INSERT INTO texts VALUES(?1, ?2)")),
      put_words_(prepare("INSERT INTO tips_fts(rowid, title, symptom, checks, location, repair, "
                         "parts, finish, names, other) "
                         "VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)")),
      put_tail_(prepare("INSERT OR REPLACE INTO tail VALUES(?1, ?2, ?3)")),
      find_text_(prepare("SELECT bytes FROM texts WHERE doc = ?1")),
      put_document_(prepare("INSERT INTO documents VALUES(?1, ?2, ?3)")),
      put_fit_(prepare("INSERT INTO fits VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")),
      put_code_(prepare("INSERT INTO codes VALUES(?1, ?2, ?3)")),
      put_link_(prepare("INSERT INTO links VALUES(?1, ?2, ?3, ?4, ?5)")),
      put_finding_(prepare("INSERT INTO findings VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")),
      find_tip_(prepare("SELECT doc, id FROM tips WHERE path = ?1")),
      drop_file_(prepare("DELETE FROM files WHERE path = ?1")),
      drop_document_(prepare("DELETE FROM documents WHERE path = ?1")),
      drop_findings_(prepare("DELETE FROM findings WHERE path = ?1")),
      drop_tip_(prepare("DELETE FROM tips WHERE doc = ?1")),
      drop_text_(prepare("DELETE FROM texts WHERE doc = ?1")),
      drop_words_(prepare(
          "INSERT INTO tips_fts(tips_fts, rowid, title, symptom, checks, location, repair, parts, "
          "finish, names, other) "
          "VALUES('delete', ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)")),
      drop_fits_(prepare("DELETE FROM fits WHERE doc = ?1")),
      drop_codes_(prepare("DELETE FROM codes WHERE doc = ?1")),
      drop_links_(prepare("DELETE FROM links WHERE doc = ?1")),
      drop_twin_(prepare("DELETE FROM twins WHERE doc = ?1")),
      put_twin_(prepare("INSERT OR IGNORE INTO twins VALUES(?1)")),
      find_id_(prepare("SELECT doc, path, id_line, id_column FROM tips WHERE id = ?1")),
      forget_finding_(prepare("DELETE FROM findings WHERE path = ?1 AND rule = 'duplicate-id'")),
      add_finding_(prepare(kAddFinding)),
      put_meta_(prepare("INSERT OR REPLACE INTO meta VALUES(?1, ?2)")) {}

void Writer::take(int code) {
  if (code_ == SQLITE_OK && code != SQLITE_OK) code_ = code;
}

Statement Writer::prepare(std::string_view sql) {
  Statement statement = database_.prepare(sql);
  if (!statement.ready()) take(sqlite3_extended_errcode(database_.raw()));
  return statement;
}

void Writer::run(Statement& statement) {
  if (code_ == SQLITE_OK) take(statement.run());
}

void Writer::run(const char* sql) {
  if (code_ == SQLITE_OK) take(database_.run(sql));
}

void Writer::set_meta(std::string_view key, std::int64_t value) {
  if (code_ == SQLITE_OK) run(put_meta_.bind(1, key).bind(2, value));
}

void Writer::set_meta(std::string_view key, std::string_view value) {
  if (code_ == SQLITE_OK) run(put_meta_.bind(1, key).bind(2, value));
}

std::int64_t Writer::put(const Reading& reading) {
  // A new generation holds nothing that a path could have had before.
  std::optional<std::int64_t> doc;
  if (change_ > 0) doc = clear(reading.path);
  put_status(reading);
  if (reading.tip) {
    doc = put_tip(reading, doc);
  } else if (!reading.hash.empty()) {
    if (code_ != SQLITE_OK) return 0;
    if (reading.kind != shop::Kind::part) documents_changed_ = true;
    put_document_.bind(1, reading.path).bind(2, static_cast<std::int64_t>(reading.kind));
    run(put_document_.bind_blob(3, reading.bytes));
  }
  put_findings(reading);
  return reading.tip && doc ? *doc : 0;
}

void Writer::note_status(const Reading& reading) { put_status(reading); }

void Writer::remove(std::string_view path) {
  clear(path);
  if (code_ == SQLITE_OK) run(drop_file_.bind(1, path));
}

std::optional<std::int64_t> Writer::clear(std::string_view path) {
  if (code_ != SQLITE_OK) return std::nullopt;
  run(drop_document_.bind(1, path));
  if (sqlite3_changes(database_.raw()) > 0) documents_changed_ = true;
  run(drop_findings_.bind(1, path));
  if (code_ != SQLITE_OK) return std::nullopt;
  const int code = find_tip_.bind(1, path).step();
  if (code != SQLITE_ROW) {
    find_tip_.reset();
    take(code == SQLITE_DONE ? SQLITE_OK : code);
    return std::nullopt;
  }
  const std::int64_t doc = find_tip_.integer(0);
  touched_.insert(find_tip_.text(1));
  find_tip_.reset();
  drop_words(doc, path);
  if (change_ > 0) {  // the tip is gone, until its new text comes
    sqlite3_clear_bindings(put_tail_.raw());
    run(put_tail_.bind(1, doc).bind(2, change_));
  }
  for (Statement* drop :
       {&drop_text_, &drop_fits_, &drop_codes_, &drop_links_, &drop_twin_, &drop_tip_}) {
    run(drop->bind(1, doc));
  }
  return doc;
}

Reading Writer::read_again(std::int64_t doc, std::string_view path) {
  Reading was;
  was.path = path;
  was.kind = shop::Kind::tip;
  if (code_ != SQLITE_OK) return was;
  if (const int code = find_text_.bind(1, doc).step(); code != SQLITE_ROW) {
    find_text_.reset();
    take(code == SQLITE_DONE ? SQLITE_CORRUPT : code);
    return was;
  }
  was.bytes = find_text_.text(0);
  find_text_.reset();
  understand_bytes(was);
  return was;
}

// The index keeps no texts, so it is told again what it was given: the text is read once more.
void Writer::drop_words(std::int64_t doc, std::string_view path) {
  const Reading was = read_again(doc, path);
  if (code_ != SQLITE_OK) return;
  drop_words_.bind(1, doc);
  for (std::size_t i = 0; i < was.words.size(); ++i) {
    drop_words_.bind(static_cast<int>(i) + 2, was.words[i]);
  }
  run(drop_words_);
}

void Writer::put_words_back(std::int64_t doc, const std::string& path) {
  const Reading was = read_again(doc, path);
  if (code_ == SQLITE_OK) run(put_tail_.bind(1, doc).bind(2, change_).bind_blob(3, was.spread));
}

void Writer::hide_words(std::int64_t doc) {
  if (code_ != SQLITE_OK) return;
  sqlite3_clear_bindings(put_tail_.raw());
  run(put_tail_.bind(1, doc).bind(2, std::max(change_, std::int64_t{1})));
}

void Writer::put_status(const Reading& reading) {
  if (code_ != SQLITE_OK) return;
  put_file_.bind(1, reading.path)
      .bind(2, static_cast<std::int64_t>(reading.kind))
      .bind(3, static_cast<std::int64_t>(reading.status.size))
      .bind(4, reading.status.modified_ns)
      .bind(5, reading.status.changed_ns)
      .bind(6, static_cast<std::int64_t>(reading.status.inode))
      .bind(7, static_cast<std::int64_t>(reading.racy ? 1 : 0))
      .bind(8, reading.hash);
  run(put_file_);
}

std::int64_t Writer::put_tip(const Reading& reading, std::optional<std::int64_t> known) {
  if (code_ != SQLITE_OK) return 0;
  const shop::Tip& tip = *reading.tip;
  touched_.insert(tip.id);
  // A doc that was never bound is NULL: SQLite draws the next one.
  Statement& row = put_tip_;
  sqlite3_clear_bindings(row.raw());
  if (known) row.bind(1, *known);
  row.bind(2, tip.id)
      .bind(3, std::int64_t{reading.id_line})
      .bind(4, std::int64_t{reading.id_column})
      .bind(5, tip.slug)
      .bind(6, tip.path)
      .bind(7, tip.title)
      .bind(8, tip.status)
      .bind(9, tip.lang)
      .bind(10, tip.system)
      .bind(11, tip.component)
      .bind(12, tip.author)
      .bind(13, tip.written)
      .bind(14, std::int64_t{tip.broken ? 1 : 0});
  run(row);
  if (code_ != SQLITE_OK) return 0;
  const std::int64_t doc = known ? *known : sqlite3_last_insert_rowid(database_.raw());

  run(put_text_.bind(1, doc).bind_blob(2, reading.bytes));
  put_words_.bind(1, doc);
  for (std::size_t i = 0; i < reading.words.size(); ++i) {
    put_words_.bind(static_cast<int>(i) + 2, reading.words[i]);
  }
  run(put_words_);
  if (change_ > 0) {
    run(put_tail_.bind(1, doc).bind(2, change_).bind_blob(3, reading.spread));
  }

  std::int64_t seq = 0;
  for (const shop::Fit& fit : tip.fits) {
    put_fit_.bind(1, doc)
        .bind(2, seq++)
        .bind(3, fit.make)
        .bind(4, fit.model)
        .bind(5, std::int64_t{fit.first_year})
        .bind(6, std::int64_t{fit.last_year})
        .bind(7, fit.engine)
        .bind(8, std::int64_t{fit.line});
    run(put_fit_);
  }
  seq = 0;
  for (const std::string& code : tip.codes) {
    run(put_code_.bind(1, doc).bind(2, seq++).bind(3, code));
  }
  seq = 0;
  for (const shop::MistakenFor& link : tip.mistaken_for) {
    put_link_.bind(1, doc).bind(2, seq++).bind(3, link.tip).bind(4, link.note);
    run(put_link_.bind(5, std::int64_t{link.line}));
  }
  return doc;
}

void Writer::put_findings(const Reading& reading) {
  if (code_ != SQLITE_OK) return;
  std::int64_t seq = 0;
  for (const shop::Finding& finding : reading.findings) {
    put_finding_.bind(1, reading.path)
        .bind(2, seq++)
        .bind(3, std::int64_t{finding.line})
        .bind(4, std::int64_t{finding.column})
        .bind(5, static_cast<std::int64_t>(finding.level))
        .bind(6, finding.rule)
        .bind(7, finding.message)
        .bind(8, finding.remedy);
    run(put_finding_);
  }
}

// 1. The tips with this id, the one that counts first.
// 2. That one was perhaps in another's shadow until now: its words come back.
// 3. The others' words go, and each is told.
bool Writer::compare_id(const std::string& id) {
  struct Holder {
    std::int64_t doc;
    std::string path;
    std::int64_t line;
    std::int64_t column;
  };
  std::vector<Holder> holders;
  if (code_ != SQLITE_OK) return false;
  find_id_.bind(1, id);
  int code = find_id_.step();
  for (; code == SQLITE_ROW; code = find_id_.step()) {
    holders.push_back(
        {find_id_.integer(0), find_id_.text(1), find_id_.integer(2), find_id_.integer(3)});
  }
  find_id_.reset();
  if (code != SQLITE_DONE) take(code);
  if (holders.empty()) return false;
  const auto first = std::min_element(
      holders.begin(), holders.end(),
      [](const Holder& a, const Holder& b) { return shop::comes_first(a.path, b.path); });
  std::iter_swap(holders.begin(), first);
  const Holder& counts = holders.front();
  if (change_ > 0) {
    run(drop_twin_.bind(1, counts.doc));
    if (code_ != SQLITE_OK) return false;
    if (sqlite3_changes(database_.raw()) > 0) {
      put_words_back(counts.doc, counts.path);
      run(forget_finding_.bind(1, counts.path));
    }
  }
  for (auto twin = holders.begin() + 1; twin != holders.end(); ++twin) {
    run(put_twin_.bind(1, twin->doc));
    hide_words(twin->doc);
    if (change_ > 0) run(forget_finding_.bind(1, twin->path));
    if (code_ != SQLITE_OK) return false;
    const std::string message =
        "the id " + id + " is also that of " + counts.path + ", which is the one that counts";
    add_finding_.bind(1, twin->path)
        .bind(2, twin->line)
        .bind(3, twin->column)
        .bind(4, message)
        .bind(5, std::string_view("if this is a copy of it, bring both together with `baylore "
                                  "copies`; if it is another text, delete its id line"));
    run(add_finding_);
  }
  return holders.size() > 1;
}

bool Writer::compare_ids(bool all) {
  if (all) {
    touched_.clear();
    Statement several = prepare("SELECT id FROM tips GROUP BY id HAVING count(*) > 1");
    if (code_ != SQLITE_OK) return false;
    int code = several.step();
    for (; code == SQLITE_ROW; code = several.step()) touched_.insert(several.text(0));
    if (code != SQLITE_DONE) take(code);
  }
  bool any = false;
  for (const std::string& id : touched_) any = compare_id(id) || any;
  touched_.clear();
  return any;
}

}  // namespace baylore::store
