// The tables inside a generation of the store. The layer above reads them through
// Store::connection(); only store/ writes them. FORMAT.md beside this file says what the files
// around them are. A change of any table, of the tokenizer, of shop::fold or of what goes into a
// column raises kSchemaVersion or kParserEpoch: older stores are then rebuilt, never migrated.
#pragma once

#include <array>
#include <string_view>

namespace baylore::store {

// `PRAGMA application_id`: "Bayl" in ASCII. Another number: not a store, rebuilt.
inline constexpr int kApplicationId = 0x4261796c;
// `PRAGMA user_version`. Raised when the tables change.
inline constexpr int kSchemaVersion = 4;
// In `meta`. Raised when the same file would be read or folded into other rows than before.
inline constexpr int kParserEpoch = 3;

// meta(key, value): one line each.
//   shop        the shop folder this store is of, absolute; another one: rebuilt
//   epoch       kParserEpoch of the builder
//   generation  this file's own name; another one: the file was copied over, rebuilt
//   number      the generation's number; grows from generation to generation
//   changes     how many updates that changed an answer were committed in this generation
//   documents   the `changes` of the last update that touched shop.md or the vocabulary
//   words       the main part of the postings: its file's name, a blank, the checksum of its footer
inline constexpr std::string_view kMetaTable = R"(
CREATE TABLE meta(
  key TEXT PRIMARY KEY,
  value NOT NULL
) WITHOUT ROWID)";

// files: what the folder said about every file that was read, in path order: one side of the
// comparison that finds changes. Times are nanoseconds since 1970. `racy` is 1 when the file was so
// young when it was read that a second edit could leave all these equal: it is hashed next time
// whatever they say. `kind` is 0 shop.md, 1 tip, 2 part, 3 vocabulary. `hash` is files::hash_hex of
// the bytes, empty when they could not be read.
inline constexpr std::string_view kFilesTable = R"(
CREATE TABLE files(
  path TEXT PRIMARY KEY,
  kind INTEGER NOT NULL,
  size INTEGER NOT NULL,
  modified INTEGER NOT NULL,
  changed INTEGER NOT NULL,
  inode INTEGER NOT NULL,
  racy INTEGER NOT NULL,
  hash TEXT NOT NULL
) WITHOUT ROWID)";

// tips: one row a tip file. `doc` is this store's own number for it, never reused inside a
// generation and different in the next: nothing that is shown, compared or kept may depend on it
// (ties are broken by id, then path). `id` is not unique: two files may carry one id, both are kept
// here, and all but the one that counts are in `twins`. `id_line` and `id_column` are where the
// file says its id, 1 when it does not. `system_folded` and `component_folded` are shop::fold of
// the authored words beside them.
inline constexpr std::string_view kTipsTable = R"(
CREATE TABLE tips(
  doc INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL,
  id_line INTEGER NOT NULL,
  id_column INTEGER NOT NULL,
  slug TEXT NOT NULL,
  path TEXT NOT NULL UNIQUE,
  title TEXT NOT NULL,
  status TEXT NOT NULL,
  lang TEXT NOT NULL,
  system TEXT NOT NULL,
  component TEXT NOT NULL,
  author TEXT NOT NULL,
  written TEXT NOT NULL,
  broken INTEGER NOT NULL
))";

// texts: the tip file's bytes as they were when it was read. Apart from `tips`, so that reading
// rows does not drag texts.
inline constexpr std::string_view kTextsTable = R"(
CREATE TABLE texts(
  doc INTEGER PRIMARY KEY,
  bytes BLOB NOT NULL
))";

// documents: the bytes of every other file that was read: shop.md, vocabulary, parts. Settings and
// vocabulary are read from here.
inline constexpr std::string_view kDocumentsTable = R"(
CREATE TABLE documents(
  path TEXT PRIMARY KEY,
  kind INTEGER NOT NULL,
  bytes BLOB NOT NULL
) WITHOUT ROWID)";

// fits: the vehicles of a tip, `seq` counting from 0 in file order, as authored; the search
// compares them in the postings. Year 0 is open, an empty word means any. A tip with no row here
// fits all.
inline constexpr std::string_view kFitsTable = R"(
CREATE TABLE fits(
  doc INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  make TEXT NOT NULL,
  model TEXT NOT NULL,
  first_year INTEGER NOT NULL,
  last_year INTEGER NOT NULL,
  engine TEXT NOT NULL,
  line INTEGER NOT NULL,
  PRIMARY KEY(doc, seq)
) WITHOUT ROWID)";

// codes: normalised as in trade::text (P0420 or P0420-1A); the search finds them in the postings.
inline constexpr std::string_view kCodesTable = R"(
CREATE TABLE codes(
  doc INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  code TEXT NOT NULL,
  PRIMARY KEY(doc, seq)
) WITHOUT ROWID)";

// links: mistaken-for. `target` is the id or slug as authored; it may name no tip.
inline constexpr std::string_view kLinksTable = R"(
CREATE TABLE links(
  doc INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  target TEXT NOT NULL,
  note TEXT NOT NULL,
  line INTEGER NOT NULL,
  PRIMARY KEY(doc, seq)
) WITHOUT ROWID)";

// findings: of every file, `seq` counting from 0 in the file's own order, and after them what only
// shows across files (rule `duplicate-id`). `level` is 0 error, 1 warning, 2 note.
inline constexpr std::string_view kFindingsTable = R"(
CREATE TABLE findings(
  path TEXT NOT NULL,
  seq INTEGER NOT NULL,
  line INTEGER NOT NULL,
  col INTEGER NOT NULL,
  level INTEGER NOT NULL,
  rule TEXT NOT NULL,
  message TEXT NOT NULL,
  remedy TEXT NOT NULL,
  PRIMARY KEY(path, seq)
) WITHOUT ROWID)";

// tail: tips that are not as the main part of the postings has them. `spread` is what
// store/spread.h makes of the tip, NULL when it is gone. `change` is the `changes` of the update
// that wrote the row.
inline constexpr std::string_view kTailTable = R"(
CREATE TABLE tail(
  doc INTEGER PRIMARY KEY,
  change INTEGER NOT NULL,
  spread BLOB
))";

// twins: the tips with an id that another file's tip has, where shop::comes_first() says that the
// other one counts. They have a finding, and are in no list and no search: in the postings they are
// gone, by a row of the tail without a spread.
inline constexpr std::string_view kTwinsTable = R"(
CREATE TABLE twins(
  doc INTEGER PRIMARY KEY
))";

// tips_fts: where the words stand, rowid = tips.doc: membership and phrases, and the truth that the
// postings are tested against. Contentless, because the texts are in `texts`: a row is taken out by
// giving the words it was put in with, which reading the text again yields. Every column is
// shop::fold of its text before it goes in; fold the query the same way. unicode61 cuts at
// everything that is no letter or digit. Words are kept as they are; endings are the ranking's
// business.
//
//   title     the title
//   symptom   Symptom, or the text before the first section
//   checks    Checks: names, prose, tools, expected answers
//   location  Location and the captions and labels of all pictures
//   repair    Repair and Fasteners
//   parts     Parts as written, and part numbers with their separators taken out: 88-214 is also
//             88214
//   finish    Finish and Verify
//   names     codes with and without failure type, vehicles, component, system, when
//   other     every other section, author and slug
inline constexpr std::string_view kFtsTable = R"(
CREATE VIRTUAL TABLE tips_fts USING fts5(
  title, symptom, checks, location, repair, parts, finish, names, other,
  content = '',
  tokenize = 'unicode61 remove_diacritics 0',
  detail = full
))";

// Column numbers in tips_fts, in the order above: for bm25 weights and column filters.
enum class FtsColumn { title, symptom, checks, location, repair, parts, finish, names, other };
inline constexpr std::array<std::string_view, 9> kFtsColumns = {
    "title", "symptom", "checks", "location", "repair", "parts", "finish", "names", "other"};

inline constexpr std::array<std::string_view, 12> kTables = {
    kMetaTable,  kFilesTable, kTipsTable,     kTextsTable, kDocumentsTable, kFitsTable,
    kCodesTable, kLinksTable, kFindingsTable, kTailTable,  kTwinsTable,     kFtsTable};

// Made after the rows are in: filling an index at the end is faster.
inline constexpr std::array<std::string_view, 6> kIndexes = {
    "CREATE INDEX tips_by_id ON tips(id, path)",
    "CREATE INDEX tips_by_slug ON tips(slug, path)",
    "CREATE INDEX tips_by_written ON tips(written DESC, id, path)",
    "CREATE INDEX tips_by_broken ON tips(doc) WHERE broken",
    "CREATE INDEX tail_by_change ON tail(change)",
    "CREATE INDEX links_by_target ON links(target)"};

}  // namespace baylore::store
