// What the tests of the store share: a folder that goes away, small invented tips from a seed, and
// the canonical dump, which says everything a store could answer and nothing about how it came to
// be.
#pragma once

#include <sqlite3.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "store/build.h"
#include "store/store.h"
#include "store/words.h"
#include "support/forwarding_disk.h"

namespace baylore::store::test {

// In memory where the system offers it: nothing here loses power, and flushing would be most of the
// time.
class TempFolder {
 public:
  TempFolder() {
    const std::filesystem::path memory = "/dev/shm";
    const bool in_memory = ::access(memory.c_str(), W_OK) == 0;
    const std::filesystem::path base = in_memory ? memory : std::filesystem::temp_directory_path();
    std::string name = (base / "baylore-test-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] std::string operator/(std::string_view name) const {
    return path_ + "/" + std::string(name);
  }

 private:
  std::string path_;
};

using baylore::test::ForwardingDisk;

inline void write_file(const std::string& path, std::string_view bytes) {
  std::filesystem::create_directories(std::filesystem::path(path).parent_path());
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << bytes;
}

inline std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

// Numbers from a seed, the same on every machine (the standard's distributions are not).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  std::size_t below(std::size_t limit) { return static_cast<std::size_t>(engine_() % limit); }
  bool one_in(std::size_t n) { return below(n) == 0; }
  template <class T>
  const T& of(const std::vector<T>& from) {
    return from[below(from.size())];
  }

 private:
  std::mt19937_64 engine_;
};

// A tip of invented words. `id` empty: a provisional one.
inline std::string tip_text(Dice& dice, const std::string& id, std::size_t prose_words = 30) {
  static const std::vector<std::string> kWords = {
      "coolant", "leaks",    "noise",     "idle",       "rattle",
      "cold",    "belt",     "tensioner", "Thermostat", "hose",
      "brake",   "pedal",    "soft",      "ground",     "strap",
      "voltage", "drops",    "wiper",     "door",       "latch",
      "Sensor",  "corroded", "pin",       "weeps",      "spannungsprüfer",
      "torque",  "loose",    "bracket",   "vibration",  "clutch",
      "slips",   "M8x1.25"};
  static const std::vector<std::string> kMakes = {"Corvane", "Ostrel", "Halvik"};
  static const std::vector<std::string> kModels = {"Hauler", "Vane", "Tarn", "Pell"};
  static const std::vector<std::string> kSystems = {"cooling", "brakes", "charging", "body"};
  static const std::vector<std::string> kCodes = {"P0128", "P0562", "C0035", "U0100-87", "B1342"};
  const auto words = [&](std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) text += ' ';
      text += dice.of(kWords);
    }
    return text;
  };
  std::ostringstream out;
  out << "---\n";
  if (!id.empty()) out << "id: " << id << "\n";
  out << "title: " << words(4) << "\n";
  if (dice.one_in(5)) out << "status: draft\n";
  if (!dice.one_in(4)) {
    out << "fits:\n";
    for (std::size_t i = 0; i <= dice.below(2); ++i) {
      const std::size_t year = 2005 + dice.below(12);
      out << "  - " << dice.of(kMakes) << " | " << dice.of(kModels) << " | " << year << "-"
          << year + dice.below(6) << " | 3.6 V6\n";
    }
  }
  if (dice.one_in(2)) out << "codes:\n  - " << dice.of(kCodes) << "\n";
  out << "system: " << dice.of(kSystems) << "\ncomponent: " << dice.of(kWords) << "\n";
  if (dice.one_in(3)) out << "when:\n  - " << words(2) << "\n";
  if (dice.one_in(3))
    out << "mistaken-for:\n  - tip-" << dice.below(9) << " | " << words(3) << "\n";
  if (dice.one_in(6)) out << "nonsense line without a colon\n";
  out << "written: 2026-0" << 1 + dice.below(9) << "-1" << dice.below(9) << "\n---\n\n";
  out << "## Symptom\n"
      << words(prose_words) << "\n\n## Checks\n### " << words(3)
      << "\n- minutes: 5\n- expect: >= 95 kPa\n"
      << words(prose_words / 2) << "\n\n## Repair\n1. " << words(prose_words / 2) << "\n\n"
      << "## Parts\n### Halden 88-" << 100 + dice.below(900) << "\n";
  if (dice.one_in(3)) out << "\n## Background\n" << words(prose_words) << "\n";
  return out.str();
}

// What the ranking is given: each word with the tips that hold it and what they weigh, each tip as
// it was spread. By path instead of number, whatever parts it lies in.
inline std::string words_dump(const Store& store) {
  const Snapshot snapshot = store.snapshot();
  if (!snapshot.good()) return "error: no words";
  const Words& words = snapshot.words();
  std::string out = "== words of " + std::to_string(words.tips()) + " tips\n";
  std::map<std::string, std::map<std::string, int>> postings;
  std::map<std::string, std::string> tips;
  std::map<std::string, std::uint32_t> counts;
  for (const Words::Piece& piece : words.pieces()) {
    for (const std::uint32_t number : piece.part.by_text()) {
      const std::string word = std::string(piece.part.text(number)) + '/' +
                               std::to_string(static_cast<int>(piece.part.language(number)));
      counts[word] += piece.count(number);
      for (Postings at = piece.part.postings(number); at.more(); at.next()) {
        if (piece.is_dead(at.tip())) continue;
        postings[word][std::string(piece.part.path(at.tip()))] = at.weight();
      }
    }
    for (std::uint32_t tip = 0; tip < piece.part.tips(); ++tip) {
      if (piece.is_dead(tip)) continue;
      const std::optional<Spread> spread = piece.part.spread(tip);
      if (!spread) return "error: damaged";
      std::string& text = tips[std::string(spread->path)];
      text += std::string(spread->id) + ' ' + std::to_string(piece.part.hash(tip)) +
              (spread->withdrawn ? " withdrawn" : "");
      for (const SpreadFit& fit : spread->fits) {
        text += " | " + std::string(fit.make) + ' ' + std::string(fit.model) + ' ' +
                std::to_string(fit.first_year) + '-' + std::to_string(fit.last_year) + ' ' +
                std::string(fit.engine);
      }
      for (const std::string_view code : spread->codes) text += ' ' + std::string(code);
      for (const std::uint16_t when : spread->whens) text += " when " + std::to_string(when);
      for (const auto& area : spread->words) {
        text += "\n ";
        for (const std::string_view word : area) text += ' ' + std::string(word);
      }
    }
  }
  for (const auto& [path, text] : tips) out += '\n' + path + ": " + text;
  for (const auto& [word, count] : counts) {
    if (count != postings[word].size()) out += "\nerror: count of " + word;
    if (count == 0) continue;
    out += '\n' + word;
    for (const auto& [path, weight] : postings[word])
      out += ' ' + path + '=' + std::to_string(weight);
  }
  return out + '\n';
}

// What a reader gives out, piece by piece.
inline std::string answers(const Store& store) {
  std::string out;
  store.each([&](const store::TipRow& tip, const std::string& bytes) {
    out += tip.id + '|' + tip.title + '|' + tip.path + '|' + bytes;
    for (const shop::Fit& fit : tip.fits) out += shop::fit_line(fit);
    for (const std::string& code : tip.codes) out += code;
  });
  for (const shop::Finding& finding : store.findings()) out += finding.text();
  out += store.settings().name;
  for (const auto& synonyms : store.vocabulary().synonyms) out += synonyms.front();
  const auto tip = store.find("tip-3");
  out += tip ? tip->title : "none";
  out += std::to_string(store.counts().findings);
  return out + words_dump(store);
}

// Everything the store at `location` could answer, in an order that does not depend on how it was
// built: rows by path instead of doc, the word index term by term. Damage ends up in the dump as
// the text of an error.
inline std::string canonical_dump(const Store& store) {
  std::string out;
  // A connection of its own, through the same VFS: the dump makes a temporary table.
  const char* file = sqlite3_db_filename(store.connection(), "main");
  sqlite3* raw = nullptr;
  int code = sqlite3_open_v2(file, &raw, SQLITE_OPEN_READONLY, "baylore-checked");
  const auto add = [&](const char* sql) {
    out += "== ";
    out += sql;
    out += '\n';
    sqlite3_stmt* row = nullptr;
    code = sqlite3_prepare_v2(raw, sql, -1, &row, nullptr);
    while (code == SQLITE_OK || code == SQLITE_ROW) {
      code = sqlite3_step(row);
      if (code != SQLITE_ROW) break;
      for (int column = 0; column < sqlite3_column_count(row); ++column) {
        const auto* bytes = static_cast<const char*>(sqlite3_column_blob(row, column));
        if (bytes != nullptr)
          out.append(bytes, static_cast<std::size_t>(sqlite3_column_bytes(row, column)));
        out += '\x1f';
      }
      out += '\n';
    }
    if (code != SQLITE_DONE) out += std::string("error ") + sqlite3_errmsg(raw) + "\n";
    sqlite3_finalize(row);
  };
  if (code != SQLITE_OK) out += "error: cannot be opened\n";
  add("SELECT path, kind, size, hash FROM files ORDER BY path");
  add("SELECT path, id, id_line, id_column, slug, title, status, lang, system, "
      "component, "
      "author, written, broken FROM tips ORDER BY path");
  add("SELECT path, bytes FROM tips JOIN texts USING(doc) ORDER BY path");
  add("SELECT count(*) FROM texts");
  add("SELECT path, kind, bytes FROM documents ORDER BY path");
  add("SELECT path, seq, make, model, first_year, last_year, engine, line FROM fits LEFT JOIN tips "
      "USING(doc) ORDER BY path, seq");
  add("SELECT path, seq, code FROM codes LEFT JOIN tips USING(doc) ORDER BY path, seq");
  add("SELECT path, seq, target, note, line FROM links LEFT JOIN tips USING(doc) ORDER BY path, "
      "seq");
  add("SELECT path, seq, line, col, level, rule, message, remedy FROM findings ORDER BY path, seq");
  add("CREATE VIRTUAL TABLE temp.terms USING fts5vocab('main', 'tips_fts', 'instance')");
  add("SELECT term, path, col, offset FROM terms LEFT JOIN tips t ON t.doc = terms.doc "
      "ORDER BY term, path, col, offset");
  // The score is a function of the index as a whole: equal scores show equal statistics.
  add("SELECT path, bm25(tips_fts) FROM tips_fts LEFT JOIN tips t ON t.doc = tips_fts.rowid "
      "WHERE tips_fts MATCH '\"leaks\" OR \"coolant\" OR \"br\"*' ORDER BY path");
  sqlite3_close(raw);
  return out + words_dump(store);
}

// The file of the main part of the postings, by name; empty when there is not exactly one.
inline std::string words_file(const Location& location) {
  std::string name;
  for (const auto& file : std::filesystem::directory_iterator(location.folder)) {
    if (file.path().extension() != ".words") continue;
    if (!name.empty()) return {};
    name = file.path().filename().string();
  }
  return name;
}

// Of a store built from the same folder with nothing to start from.
inline std::string dump_from_scratch(files::Disk& disk, const std::string& shop) {
  const TempFolder fresh;
  const Location location{shop, fresh / "store"};
  const auto built = bring_up_to_date(disk, location);
  if (!built) return built.failure().text();
  const auto store = Store::open(location);
  if (!store) return store.failure().text();
  return canonical_dump(*store);
}

}  // namespace baylore::store::test
