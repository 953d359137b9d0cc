#include "store/store.h"

#include <sqlite3.h>

#include <utility>

#include "files/names.h"
#include "shop/document.h"
#include "store/generations.h"
#include "store/reading.h"
#include "store/schema.h"
#include "store/sql.h"
#include "store/words.h"

namespace baylore::store {
namespace {

// The columns read_row expects, of `tips AS t`.
constexpr std::string_view kRowColumns =
    "t.doc, t.id, t.slug, t.path, t.title, t.status, t.lang, t.system, t.component, t.author, "
    "t.written, t.broken";

// The number of a generation is milliseconds since 1970, 44 bits until the year 2527; a million
// updates fit below it.
constexpr unsigned kChangeBits = 20;

// A publication between reading the pointer and opening the file, twice in a row, is as unlucky as
// it gets.
constexpr int kOpenTries = 4;

std::string select_rows(std::string_view rest) {
  return "SELECT " + std::string(kRowColumns) + " " + std::string(rest);
}

shop::Finding read_finding(const Statement& row) {
  shop::Finding finding;
  finding.file = row.text(0);
  finding.line = static_cast<int>(row.integer(1));
  finding.column = static_cast<int>(row.integer(2));
  finding.level = static_cast<shop::Level>(row.integer(3));
  finding.rule = row.text(4);
  finding.message = row.text(5);
  finding.remedy = row.text(6);
  return finding;
}

}  // namespace

// Statements that lists and searches use all the time are prepared once a generation.
struct Store::Inside {
  Location location;
  Opened opened;
  std::uint64_t stamp = 0;      // as of the last refresh
  std::int64_t documents = -1;  // the change that settings and vocabulary are of
  std::uint64_t documents_version = 0;
  Words words;
  std::uint64_t words_stamp = 0;  // what the words were brought to
  std::shared_ptr<void> companion;
  shop::Vocabulary vocabulary;
  shop::Settings settings;
  bool damaged = false;

  Statement by_doc;
  Statement fits;
  Statement codes;
  Statement text;
  Statement changes;
  Statement begin;
  Statement commit;

  void met(int code) {
    if (!is_damage(code) || damaged) return;
    damaged = true;
    mark_damaged(files::real_disk(), location, opened.generation);
  }

  Statement prepare(std::string_view sql) {
    Statement statement = opened.database.prepare(sql);
    if (!statement.ready()) met(sqlite3_extended_errcode(opened.database.raw()));
    return statement;
  }

  // One step: true when there is a row. The end and an error are false, and an error is remembered.
  bool row(Statement& statement) {
    if (!statement.ready()) return false;
    const int code = statement.step();
    if (code == SQLITE_ROW) return true;
    statement.reset();
    if (code != SQLITE_DONE) met(code);
    return false;
  }

  void adopt(Opened next) {
    by_doc = {};
    fits = {};
    codes = {};
    text = {};
    changes = {};
    begin = {};
    commit = {};
    documents = -1;
    opened = std::move(next);
    damaged = false;
    by_doc = prepare(select_rows("FROM tips t WHERE t.doc = ?1"));
    fits = prepare(
        "SELECT make, model, first_year, last_year, engine, line FROM fits WHERE doc = ?1 ORDER BY "
        "seq");
    codes = prepare("SELECT code FROM codes WHERE doc = ?1 ORDER BY seq");
    text = prepare("SELECT bytes FROM texts WHERE doc = ?1");
    changes = prepare("SELECT value FROM meta WHERE key = 'changes'");
    begin = prepare("BEGIN");
    commit = prepare("COMMIT");
  }

  std::uint64_t stamp_of(std::int64_t change) const {
    return (static_cast<std::uint64_t>(opened.number) << kChangeBits) +
           static_cast<std::uint64_t>(change);
  }

  std::uint64_t read_stamp() {
    std::int64_t change = 0;
    if (row(changes)) change = changes.integer(0);
    if (changes.ready()) changes.reset();
    return stamp_of(change);
  }

  // Brings the words to what the database says, as one transaction sees it.
  files::Result<void> follow_words() {
    if (begin.ready() && begin.run() != SQLITE_OK) return failure_of(SQLITE_BUSY, location.folder);
    const auto followed = words.follow(opened.database, location.folder);
    if (commit.ready()) commit.run();
    if (!followed) return followed.failure();
    return {};
  }

  // Settings and vocabulary, when an update touched them since they were read.
  void read_documents() {
    int code = SQLITE_OK;
    const std::int64_t now = meta_number(opened.database, "documents", &code);
    if (code == SQLITE_ROW && now == documents) return;
    documents = now;
    ++documents_version;
    vocabulary = {};
    settings = {};
    Statement read =
        prepare("SELECT path, kind, bytes FROM documents WHERE kind IN (?1, ?2) ORDER BY path");
    if (!read.ready()) return;
    read.bind(1, static_cast<std::int64_t>(shop::Kind::shop))
        .bind(2, static_cast<std::int64_t>(shop::Kind::vocabulary));
    while (row(read)) {
      if (read.integer(1) == static_cast<std::int64_t>(shop::Kind::shop)) {
        settings = settings_of(read.text(2));
      } else {
        shop::read_vocabulary(shop::Document::parse(read.text(2)), read.text(0), vocabulary);
      }
    }
  }

  TipRow read_row(const Statement& from) {
    TipRow tip;
    tip.doc = from.integer(0);
    tip.id = from.text(1);
    tip.slug = from.text(2);
    tip.path = from.text(3);
    tip.title = from.text(4);
    tip.status = from.text(5);
    tip.lang = from.text(6);
    tip.system = from.text(7);
    tip.component = from.text(8);
    tip.author = from.text(9);
    tip.written = from.text(10);
    tip.broken = from.integer(11) != 0;
    if (fits.ready()) fits.bind(1, tip.doc);
    while (row(fits)) {
      shop::Fit fit;
      fit.make = fits.text(0);
      fit.model = fits.text(1);
      fit.first_year = static_cast<int>(fits.integer(2));
      fit.last_year = static_cast<int>(fits.integer(3));
      fit.engine = fits.text(4);
      fit.line = static_cast<int>(fits.integer(5));
      tip.fits.push_back(std::move(fit));
    }
    if (codes.ready()) codes.bind(1, tip.doc);
    while (row(codes)) tip.codes.push_back(codes.text(0));
    return tip;
  }
};

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

files::Result<Store> Store::open(const Location& location) {
  auto inside = std::make_unique<Inside>();
  inside->location = location;
  for (int tries = 1;; ++tries) {
    auto opened = open_current(files::real_disk(), location, Mode::read);
    files::Result<void> followed;
    if (opened) {
      inside->adopt(std::move(*opened));
      followed = inside->follow_words();
      if (followed) break;
    } else {
      followed = opened.failure();
    }
    // The generation or its postings may have been replaced this moment.
    if (tries >= kOpenTries || followed.failure().kind != files::Failure::Kind::missing) {
      // Whoever builds next may not look at every page: the damage met here is marked for it.
      if (opened && followed.failure().kind == files::Failure::Kind::damaged)
        inside->met(SQLITE_CORRUPT);
      return followed.failure();
    }
  }
  inside->stamp = inside->read_stamp();
  inside->read_documents();
  return Store(std::move(inside));
}

files::Result<bool> Store::refresh() {
  Inside& in = *inside_;
  const auto pointer = read_pointer(files::real_disk(), in.location);
  if (!pointer) return pointer.failure();
  if (pointer->current != in.opened.generation) {
    auto opened = open_current(files::real_disk(), in.location, Mode::read);
    if (!opened) return opened.failure();
    in.adopt(std::move(*opened));
  }
  const std::uint64_t now = in.read_stamp();
  if (now == in.stamp) return false;
  in.stamp = now;
  in.read_documents();
  return true;
}

Snapshot::Snapshot(Snapshot&& other) noexcept
    : words_(std::exchange(other.words_, nullptr)),
      stamp_(other.stamp_),
      end_(std::exchange(other.end_, nullptr)) {}

Snapshot::~Snapshot() {
  if (end_) end_();
}

Snapshot Store::snapshot() const {
  Inside& in = *inside_;
  Snapshot snapshot;
  if (!in.begin.ready() || in.begin.run() != SQLITE_OK) return snapshot;
  snapshot.end_ = [&in] {
    if (in.words.damaged()) in.met(SQLITE_CORRUPT);
    if (in.commit.ready()) in.commit.run();
  };
  snapshot.stamp_ = in.read_stamp();
  if (in.words_stamp != snapshot.stamp_) {
    // A tail that cannot be followed leaves the answers of before: better than none.
    const auto followed = in.words.follow(in.opened.database, in.location.folder);
    if (followed) in.words_stamp = snapshot.stamp_;
    if (!followed && followed.failure().kind == files::Failure::Kind::damaged) {
      in.met(SQLITE_CORRUPT);
    }
  }
  if (!in.words.damaged() && !in.words.pieces().empty()) snapshot.words_ = &in.words;
  return snapshot;
}

std::shared_ptr<void>& Store::companion() const { return inside_->companion; }
std::uint64_t Store::documents_version() const { return inside_->documents_version; }

std::uint64_t Store::stamp() const { return inside_->read_stamp(); }

Counts Store::counts() const {
  Counts counts;
  Statement count = inside_->prepare(
      "SELECT (SELECT count(*) FROM tips) - (SELECT count(*) FROM twins), (SELECT count(*) FROM "
      "tips WHERE broken), "
      "(SELECT count(*) FROM findings)");
  if (inside_->row(count)) {
    counts = {count.integer(0), count.integer(1), count.integer(2)};
  }
  return counts;
}

std::optional<TipRow> Store::tip(std::int64_t doc) const {
  Inside& in = *inside_;
  if (in.by_doc.ready()) in.by_doc.bind(1, doc);
  if (!in.row(in.by_doc)) return std::nullopt;
  TipRow tip = in.read_row(in.by_doc);
  in.by_doc.reset();
  return tip;
}

std::optional<TipRow> Store::find(std::string_view id_or_slug) const {
  for (const std::string_view where : {"t.id = ?1", "t.slug = ?1", "t.path = ?1"}) {
    Statement statement =
        inside_->prepare(select_rows("FROM tips t WHERE " + std::string(where) +
                                     " ORDER BY t.doc IN (SELECT doc FROM twins), t.path LIMIT 1"));
    if (statement.ready()) statement.bind(1, id_or_slug);
    if (inside_->row(statement)) return inside_->read_row(statement);
  }
  return std::nullopt;
}

std::optional<std::string> Store::bytes(std::int64_t doc) const {
  Inside& in = *inside_;
  if (in.text.ready()) in.text.bind(1, doc);
  if (!in.row(in.text)) return std::nullopt;
  std::string bytes = in.text.text(0);
  in.text.reset();
  return bytes;
}

std::vector<std::pair<TipRow, std::string>> Store::mistaken_by(const TipRow& tip) const {
  std::vector<std::pair<TipRow, std::string>> found;
  Statement statement = inside_->prepare(
      select_rows(", l.note FROM links l JOIN tips t ON t.doc = l.doc "
                  "WHERE l.target IN (?1, ?2) AND t.doc <> ?3 "
                  "AND t.doc NOT IN (SELECT doc FROM twins) ORDER BY t.id, t.path, l.seq"));
  if (statement.ready()) statement.bind(1, tip.id).bind(2, tip.slug).bind(3, tip.doc);
  while (inside_->row(statement)) {
    found.emplace_back(inside_->read_row(statement), statement.text(12));
  }
  return found;
}

std::vector<TipRow> Store::newest(int limit) const {
  std::vector<TipRow> tips;
  Statement statement =
      inside_->prepare(select_rows("FROM tips t WHERE t.doc NOT IN (SELECT doc FROM twins) "
                                   "ORDER BY t.written DESC, t.id, t.path LIMIT ?1"));
  if (statement.ready()) statement.bind(1, std::int64_t{limit});
  while (inside_->row(statement)) tips.push_back(inside_->read_row(statement));
  return tips;
}

std::vector<std::string> Store::newest_titles(int limit) const {
  std::vector<std::string> titles;
  Statement statement = inside_->prepare(
      "SELECT t.title FROM tips t WHERE t.doc NOT IN (SELECT doc FROM twins) "
      "ORDER BY t.written DESC, t.id, t.path LIMIT ?1");
  if (statement.ready()) statement.bind(1, std::int64_t{limit});
  while (inside_->row(statement)) titles.push_back(statement.text(0));
  return titles;
}

shop::Findings Store::findings() const {
  shop::Findings findings;
  Statement statement = inside_->prepare(
      "SELECT path, line, col, level, rule, message, remedy FROM findings ORDER BY path, line, "
      "seq");
  while (inside_->row(statement)) findings.push_back(read_finding(statement));
  return findings;
}

shop::Findings Store::findings(std::string_view path) const {
  shop::Findings findings;
  Statement statement = inside_->prepare(
      "SELECT path, line, col, level, rule, message, remedy FROM findings WHERE path = ?1 "
      "ORDER BY line, seq");
  if (statement.ready()) statement.bind(1, path);
  while (inside_->row(statement)) findings.push_back(read_finding(statement));
  return findings;
}

const shop::Vocabulary& Store::vocabulary() const { return inside_->vocabulary; }
const shop::Settings& Store::settings() const { return inside_->settings; }

void Store::each(const std::function<void(const TipRow&, const std::string& bytes)>& visit) const {
  Statement statement = inside_->prepare(
      select_rows(", x.bytes FROM tips t JOIN texts x ON x.doc = t.doc ORDER BY t.path"));
  while (inside_->row(statement)) {
    const TipRow tip = inside_->read_row(statement);
    visit(tip, statement.text(12));
  }
}

sqlite3* Store::connection() const { return inside_->opened.database.raw(); }
void Store::failed(int sqlite_code) const { inside_->met(sqlite_code); }
bool Store::damaged() const { return inside_->damaged; }

}  // namespace baylore::store
