#include "store/store.h"

#include <sqlite3.h>

#include <utility>

#include "files/names.h"
#include "shop/document.h"
#include "store/generations.h"
#include "store/reading.h"
#include "store/schema.h"
#include "store/sql.h"

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

// Statements that lists use for every row are prepared once a generation.
struct Store::Inside {
  Location location;
  Opened opened;
  std::uint64_t stamp = 0;  // as of the last refresh
  shop::Vocabulary vocabulary;
  shop::Settings settings;
  bool damaged = false;

  Statement by_doc;
  Statement fits;
  Statement codes;
  Statement text;

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
    opened = std::move(next);
    damaged = false;
    by_doc = prepare(select_rows("FROM tips t WHERE t.doc = ?1"));
    fits = prepare(
        "SELECT make, model, first_year, last_year, engine, line FROM fits WHERE doc = ?1 ORDER BY "
        "seq");
    codes = prepare("SELECT code FROM codes WHERE doc = ?1 ORDER BY seq");
    text = prepare("SELECT bytes FROM texts WHERE doc = ?1");
  }

  std::uint64_t read_stamp() {
    int code = SQLITE_OK;
    const std::int64_t changes = meta_number(opened.database, "changes", &code);
    if (code != SQLITE_ROW) met(code == SQLITE_DONE ? SQLITE_CORRUPT : code);
    return (static_cast<std::uint64_t>(opened.number) << kChangeBits) +
           static_cast<std::uint64_t>(changes);
  }

  void read_documents() {
    vocabulary = {};
    settings = {};
    Statement documents =
        prepare("SELECT path, kind, bytes FROM documents WHERE kind IN (?1, ?2) ORDER BY path");
    if (!documents.ready()) return;
    documents.bind(1, static_cast<std::int64_t>(shop::Kind::shop))
        .bind(2, static_cast<std::int64_t>(shop::Kind::vocabulary));
    while (row(documents)) {
      if (documents.integer(1) == static_cast<std::int64_t>(shop::Kind::shop)) {
        settings = settings_of(documents.text(2));
      } else {
        shop::read_vocabulary(shop::Document::parse(documents.text(2)), documents.text(0),
                              vocabulary);
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
    if (opened) {
      inside->adopt(std::move(*opened));
      break;
    }
    if (tries >= kOpenTries || opened.failure().kind != files::Failure::Kind::missing) {
      return opened.failure();
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

std::uint64_t Store::stamp() const { return inside_->read_stamp(); }

Counts Store::counts() const {
  Counts counts;
  Statement count = inside_->prepare(
      "SELECT (SELECT count(*) FROM tips), (SELECT count(*) FROM tips WHERE broken), "
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
    Statement statement = inside_->prepare(
        select_rows("FROM tips t WHERE " + std::string(where) + " ORDER BY t.path LIMIT 1"));
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
                  "WHERE l.target IN (?1, ?2) AND t.doc <> ?3 ORDER BY t.id, t.path, l.seq"));
  if (statement.ready()) statement.bind(1, tip.id).bind(2, tip.slug).bind(3, tip.doc);
  while (inside_->row(statement)) {
    found.emplace_back(inside_->read_row(statement), statement.text(12));
  }
  return found;
}

std::vector<TipRow> Store::newest(int limit) const {
  std::vector<TipRow> tips;
  Statement statement =
      inside_->prepare(select_rows("FROM tips t ORDER BY t.written DESC, t.id, t.path LIMIT ?1"));
  if (statement.ready()) statement.bind(1, std::int64_t{limit});
  while (inside_->row(statement)) tips.push_back(inside_->read_row(statement));
  return tips;
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
